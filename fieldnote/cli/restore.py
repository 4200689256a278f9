"""`fieldnote restore`: a copy back into its place."""

from pathlib import Path

import click


@click.command(
    help="Bring a copy in PATH back as the notebook, checked before and after. It never writes over a notebook."
)
@click.argument("path", type=click.Path(path_type=Path, readable=False))
@click.pass_context
def command(ctx: click.Context, path: Path) -> int:
    from fieldnote import settings
    from fieldnote.cli import output
    from fieldnote.notebook import restore

    report = restore(path, settings.load(ctx.obj).notebook)
    output.say(f"restored from {path}, checked: {report.records} records, {report.media} media, {report.size} bytes")
    return 0
