"""`fieldnote transcribe`: sound to words only. One line a recording; a file that cannot be used is named and the rest goes on."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fieldnote.cli.output import complain, data, lively, one_line, say

if TYPE_CHECKING:
    from fieldnote.records import Transcript


@click.command()
@click.argument("audio", nargs=-1, required=True, type=click.Path(path_type=Path, readable=False))
@click.option("--model", metavar="M", help="Which weights: see fieldnote models.")
@click.option("--format", "form", type=click.Choice(["text", "jsonl"]), default="text", show_default=True)
@click.pass_obj
def command(notebook: Path | None, audio: tuple[Path, ...], model: str | None, form: str) -> None:
    """Sound to words only, on this machine."""
    from dataclasses import replace

    from fieldnote import settings, speech
    from fieldnote.errors import InputProblem

    chosen = settings.load(notebook)
    recogniser = speech.build(replace(chosen, model=model) if model else chosen)
    status = 0
    for path in audio:
        progress = _Progress(path.name)
        try:
            heard = recogniser.hear(path, progress=progress.show)
        except InputProblem as problem:
            progress.end()
            complain(problem.line())
            status = problem.exit_status
        else:
            progress.end()
            _print(path, heard, form)
    raise SystemExit(status)


def _print(path: Path, heard: "Transcript", form: str) -> None:
    if form == "jsonl":
        data(as_row(path.name, heard))
        return
    say(f"{path.name}: {heard.text or '(nobody speaks)'}")
    for word in (word for segment in heard.segments for word in segment.words if word.doubt):
        say(f"  doubtful at {word.start:.1f} s: {word.text} ({word.doubt})")
    for repair in heard.repairs:
        say(f"  heard {repair.heard!r}, read as {repair.read!r} ({repair.rule})")
    if heard.flags:
        say(f"  {', '.join(heard.flags)}")


def as_row(name: str, heard: "Transcript") -> dict[str, Any]:
    """A transcript in the shape that scripts rely on."""
    from fieldnote.records import to_plain

    plain = to_plain(heard)
    repairs = [{key: repair[key] for key in ("heard", "read", "rule", "start", "end")} for repair in plain["repairs"]]
    keys = ("text", "segments", "model", "duration", "flags", "raw", "provenance")
    return {"id": name} | {key: plain[key] for key in keys} | {"repairs": repairs}


class _Progress:
    """Counts seconds on a terminal, in one line that is wiped at the end; silent elsewhere."""

    def __init__(self, name: str) -> None:
        self._name = one_line(name)
        self._on = lively()

    def show(self, done: float, total: float) -> None:
        """Seconds done, of seconds in all (0 where the file does not say)."""
        if self._on:
            print(f"\r{self._name}: {done:.0f} of {total or done:.0f} s ", end="", file=sys.stderr, flush=True)

    def end(self) -> None:
        """Wipe the line."""
        if self._on:
            print("\r\x1b[2K", end="", file=sys.stderr, flush=True)
