"""`fieldnote process`: hear, read and check everything that waits."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Container, Iterator

    from fieldnote.flow.hear import Heard, Progress
    from fieldnote.notebook import Notebook
    from fieldnote.records import Item
    from fieldnote.settings import Settings


@click.command(help="Transcribe, extract and check everything that waits. Can be stopped and started at any moment.")
@click.option("--visit", "ref", metavar="REF", help="Only this visit.")
@click.option("--model", metavar="NAME", help="Other speech weights than the usual ones.")
@click.option(
    "--transcripts",
    type=click.Path(path_type=Path, exists=True, file_okay=False),
    metavar="DIR",
    help="Take words from results of fieldnote audit transcribe first; only what is not there is heard here.",
)
@click.pass_context
def command(ctx: click.Context, ref: str | None, model: str | None, transcripts: Path | None) -> int:
    from dataclasses import replace

    from fieldnote import bootstrap, settings

    chosen = settings.load(ctx.obj)
    chosen = replace(chosen, model=model) if model else chosen
    with bootstrap.notebook(chosen) as book:
        bootstrap.recover(book)
        visit = book.visit(ref).id if ref else None
        waits = _take(book, transcripts, chosen.model, visit) if transcripts else ()
        return run(chosen, book, visit, waits) or (3 if waits else 0)


def _take(book: Notebook, folder: Path, model: str, visit: str | None) -> list[str]:
    """Words that were heard elsewhere into the notebook. Returns the ids of recordings whose results could not be taken."""
    from fieldnote.cli import output
    from fieldnote.flow.elsewhere import take

    steps = list(_told(take(book, folder, model, visit)))
    taken = sum(step.transcript is not None for step in steps)
    output.note(f"words of {taken} {'recording' if taken == 1 else 'recordings'} taken from {folder}")
    return [step.item.id for step in steps if step.transcript is None]


def run(settings: Settings, book: Notebook, visit: str | None, without: Container[str] = ()) -> int:
    """Process a notebook, telling how far it is. Returns 3 when some recording could not be heard, else 0."""
    from functools import partial

    from fieldnote import bootstrap
    from fieldnote.cli import output
    from fieldnote.flow.hear import Heard
    from fieldnote.flow.process import process

    output.tell_if_rules_alone(settings)
    failed = 0
    hears = partial(bootstrap.recogniser, settings)
    parts = (hears, bootstrap.extractor_after_hearing, bootstrap.checker(settings))
    for step in process(book, *parts, visit=visit, progress=_progress, without=without):
        if isinstance(step, Heard):
            failed += step.transcript is None
            _tell(step)
        else:
            output.note(f"visit {step.ref}: read and checked")
    return 3 if failed else 0


def _told(steps: Iterator[Heard]) -> Iterator[Heard]:
    for step in steps:
        _tell(step)
        yield step


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

    from fieldnote.cli.output import lively, one_line

    def tell(done: float, total: float) -> None:
        if lively():
            print(f"\r{one_line(item.name)}: {done:.0f} of {total:.0f} s ", end="", file=sys.stderr, flush=True)

    return tell
