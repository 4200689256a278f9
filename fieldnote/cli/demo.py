"""`fieldnote demo`: the whole job on the demo recordings, for real: take in, transcribe, extract, work out, report."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from fieldnote.notebook import Notebook
    from fieldnote.records import Visit
    from fieldnote.settings import Settings


@click.command(
    help="The whole job on the demo recordings: takes in, transcribes, extracts, works out, writes a report."
)
@click.option(
    "--keep",
    type=click.Path(path_type=Path, file_okay=False),
    metavar="DIR",
    help="Where notebook and report go; a new temporary folder if not given.",
)
@click.option("--model", metavar="NAME", help="Other speech weights than the usual ones.")
@click.pass_context
def command(ctx: click.Context, keep: Path | None, model: str | None) -> int:
    import tempfile
    from dataclasses import replace

    from fieldnote import settings

    chosen = settings.load(ctx.obj)
    chosen = replace(chosen, model=model) if model else chosen
    folder = keep.absolute() if keep else Path(tempfile.mkdtemp(prefix="fieldnote-demo-"))
    return run(replace(chosen, notebook=folder / "notebook"))


def run(settings: Settings) -> int:
    """The demo in the notebook that the settings name. Returns the exit status."""
    import shlex
    import time

    from fieldnote import bootstrap
    from fieldnote.cli import output, present, process
    from fieldnote.export import whole

    started = time.monotonic()
    with bootstrap.notebook(settings, create=True) as book:
        visit = _take_in(settings, book)
        status = process.run(settings, book, visit.id)
        view = bootstrap.view(settings, book, visit.id)
        report = settings.notebook.parent / f"{visit.ref}.html"
        whole.write(report, bootstrap.report(settings, book, visit.id, "html", mask=False))
        for line in present.lines_of(view):
            output.say(line)
    seconds = sum(item.seconds or 0 for item in view.items)
    output.say()
    output.say(f"{seconds:.0f} s of sound, all of it worked through in {time.monotonic() - started:.0f} s.")
    output.say(f"Report: {report}")
    output.say(f"To go on: fieldnote --notebook {shlex.quote(str(settings.notebook))} review")
    output.say("Nothing above says that an appliance is fit to use: the engineer decides, by the maker's instructions.")
    return status


def _take_in(settings: Settings, book: Notebook) -> Visit:
    import tomllib

    from fieldnote.cli import output
    from fieldnote.errors import InputProblem
    from fieldnote.flow.take_in import take_in

    described = settings.demo / "visit.toml"
    if not described.is_file():
        raise InputProblem(
            "FN-301", path=described, reason="the demo recordings are not here; they come with the source"
        )
    facts = tomllib.loads(described.read_text("utf-8"))
    visit = book.open_visit(facts.pop("ref"), **facts)
    paths = sorted(p for p in settings.demo.iterdir() if p.suffix in (".ogg", ".opus", ".m4a", ".wav", ".mp3", ".jpg"))
    receipts = list(take_in(book, paths, visit.id))
    kinds = [receipt.kind for receipt in receipts if receipt.status == "added"]
    output.note(f"taken in: {kinds.count('recording')} recordings, {kinds.count('photo')} photos")
    return visit
