"""`fieldnote list`: everything that is kept."""

import click


@click.command(help="List everything that is kept: recordings, photos, notes.")
@click.option("--visit", "ref", metavar="REF", help="Only this visit.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line.")
@click.pass_context
def command(ctx: click.Context, ref: str | None, as_json: bool) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.cli import output
    from fieldnote.records import to_plain

    with bootstrap.notebook(settings.load(ctx.obj), write=False) as book:
        refs = {visit.id: visit.ref for visit in book.visits()}
        for item in book.items(book.visit(ref).id) if ref else book.items():
            if as_json:
                output.data(to_plain(item) | {"visit_ref": refs.get(item.visit or "")})
                continue
            made = f"{item.at:%Y-%m-%d %H:%M:%S}" if item.at else "no time known      "
            flags = f"  ({', '.join(item.flags)})" if item.flags else ""
            visit = refs.get(item.visit or "", "no visit")
            output.say(output.one_line(f"{item.id}  {item.kind:9}  {made}  {visit}  {item.name}{flags}"))
    return 0
