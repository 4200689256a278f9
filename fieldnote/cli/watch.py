"""`fieldnote watch`: take in whatever lands in a folder."""

import time
from pathlib import Path

import click

PAUSE = 1.0  # seconds between two looks


@click.command(help="Take in whatever lands in DIR, until stopped. Nothing there is moved or removed.")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path, exists=True, file_okay=False))
@click.option("--visit", "ref", metavar="REF", help="The visit they belong to; else the last one opened.")
@click.option(
    "--rest", type=click.FloatRange(0, 3600), default=3.0, show_default=True, help="Seconds a file must hold still."
)
@click.option("--once", is_flag=True, help="Take in what is there and end.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line.")
@click.pass_context
def command(ctx: click.Context, folder: Path, ref: str | None, rest: float, once: bool, as_json: bool) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.capture import Watch
    from fieldnote.cli.add import take

    landed, status = Watch(folder, rest), 0
    with bootstrap.notebook(settings.load(ctx.obj), create=True) as book:
        started = time.monotonic()
        while True:
            if ready := landed.look():
                status = max(status, take(book, ready, ref, as_json))
            if once and time.monotonic() - started >= rest:
                return status
            time.sleep(min(PAUSE, rest) if once else PAUSE)
