"""`fieldnote erase`: content gone for good, a tombstone kept."""

import click


@click.command(help="Remove the content of a recording, photo, note or record for good, and all that was made from it.")
@click.argument("id_", metavar="ID")
@click.option("--reason", required=True, metavar="TEXT", help="Why; it stays on record, so name nobody in it.")
@click.pass_context
def command(ctx: click.Context, id_: str, reason: str) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.cli import output
    from fieldnote.errors import UsageProblem
    from fieldnote.flow import taped
    from fieldnote.flow.forget import forget

    if not reason.strip():
        raise UsageProblem("FN-201", what=f"erasing {id_}", reason="say why with --reason TEXT; it stays on record")
    chosen = settings.load(ctx.obj)
    with bootstrap.notebook(chosen) as book:
        stone = forget(book, id_, reason=reason, by=chosen.engineer)
        growing = any(taped.folder_of(book).glob("listen-*.wav"))
    output.say(f"erased  {id_}  records emptied: {len(stone.payload['records'])}")
    if growing:
        output.note("what is being recorded right now is not reached by this")
    output.note("copies made before (backups, bundles, reports) are not reached by this")
    return 0
