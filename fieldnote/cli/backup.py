"""`fieldnote backup`: a whole notebook to another disk."""

from pathlib import Path

import click


@click.command(help="Copy the whole notebook to PATH, or bring an older copy there up to date. The copy is checked.")
@click.argument("path", type=click.Path(path_type=Path, readable=False))
@click.pass_context
def command(ctx: click.Context, path: Path) -> int:
    from fieldnote import settings
    from fieldnote.cli import output
    from fieldnote.notebook import backup

    report = backup(settings.load(ctx.obj).notebook, path)
    output.say(f"copied to {path}, checked: {report.records} records, {report.media} media, {report.size} bytes")
    return 0
