"""`fieldnote search`: words in what was said and found."""

import click


@click.command(
    help="Find words in what was said and found, the newest first. All words must be there; `burn*` finds burner."
)
@click.argument("words", nargs=-1, required=True)
@click.option("--limit", type=click.IntRange(1, 10_000), default=20, show_default=True, help="How many lines at most.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line.")
@click.pass_context
def command(ctx: click.Context, words: tuple[str, ...], limit: int, as_json: bool) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.cli import output
    from fieldnote.errors import DONE, NO
    from fieldnote.records import to_plain

    with bootstrap.notebook(settings.load(ctx.obj), write=False) as book:
        refs = {visit.id: visit.ref for visit in book.visits()}
        hits = book.search(" ".join(words), limit)
    for hit in hits:
        visit = refs.get(hit.visit or "", "no visit")
        if as_json:
            output.data(to_plain(hit) | {"visit_ref": visit})
        else:
            output.say(output.one_line(f"{hit.at[:10]}  {visit}  {hit.kind}  {hit.words}"))
    if not hits and not as_json:
        output.note("nothing found")
    return DONE if hits else NO
