"""`fieldnote process`: hear, read and check everything that waits."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from fieldnote.flow.hear import Heard, Progress
    from fieldnote.notebook import Notebook
    from fieldnote.records import Item
    from fieldnote.settings import Settings


@click.command(help="Transcribe, extract and check everything that waits. Can be stopped and started at any moment.")
@click.option("--visit", "ref", metavar="REF", help="Only this visit.")
@click.option("--model", metavar="NAME", help="Other speech weights than the usual ones.")
@click.pass_context
def command(ctx: click.Context, ref: str | None, model: str | None) -> int:
    from dataclasses import replace

    from fieldnote import bootstrap, settings

    chosen = settings.load(ctx.obj)
    chosen = replace(chosen, model=model) if model else chosen
    with bootstrap.notebook(chosen) as book:
        bootstrap.recover(book)
        return run(chosen, book, book.visit(ref).id if ref else None)


def run(settings: Settings, book: Notebook, visit: str | None) -> int:
    """Process a notebook, telling how far it is. Returns 3 when some recording could not be heard, else 0."""
    from functools import partial

    from fieldnote import bootstrap
    from fieldnote.cli import output
    from fieldnote.flow.hear import Heard
    from fieldnote.flow.process import process

    failed = 0
    parts = (partial(bootstrap.recogniser, settings), bootstrap.extractor, bootstrap.checker(settings))
    for step in process(book, *parts, visit=visit, progress=_progress):
        if isinstance(step, Heard):
            failed += step.transcript is None
            _tell(step)
        else:
            output.note(f"visit {step.ref}: read and checked")
    return 3 if failed else 0


def _tell(step: Heard) -> None:
    from fieldnote.cli import output

    if step.transcript is None:
        output.complain(f"{step.item.name}: {step.reason}")
        return
    flags = f" ({', '.join(step.transcript.flags)})" if step.transcript.flags else ""
    output.note(f"{step.item.name}: {step.transcript.duration:.0f} s, {len(step.transcript.text.split())} words{flags}")


def _progress(item: Item) -> Progress:
    """Seconds of sound done, on one line that is written over, on a terminal only."""
    import sys

    from fieldnote.cli.output import one_line

    def tell(done: float, total: float) -> None:
        if sys.stderr.isatty():
            print(f"\r{one_line(item.name)}: {done:.0f} of {total:.0f} s ", end="", file=sys.stderr, flush=True)

    return tell
