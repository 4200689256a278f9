"""Lines and points as a person at the desk reads them: the words around a line with the doubtful ones marked. Plain text.

In: a view, a line. Out: text without layout, the same for the terminal and the page.
"""

import functools
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import resources

from fieldnote.flow.talk import word_places
from fieldnote.records import Line, Point, VisitView
from fieldnote.review.queue import SURE

TELL = "tell the responsible person: "
FIT = ("ok", "passed")
AROUND = 3  # words shown before and after the ones that a line came from


@dataclass(frozen=True, slots=True)
class Heard:
    """One word as heard: whether the line came from it, and whether it is doubtful (and why)."""

    text: str
    own: bool
    doubt: str | None


def heard(line: Line, view: VisitView) -> list[Heard]:
    """The words that a line came from with a few around them; empty where it came from no recording."""
    transcript = view.transcripts.get(line.trace.item or "")
    if transcript is None:
        return []
    places = word_places(transcript)
    inside = [n for n, (start, end, _) in enumerate(places) if start < line.trace.end and end > line.trace.start]
    if not inside:
        return []
    first, last = inside[0], inside[-1]
    around = range(max(0, first - AROUND), min(len(places), last + 1 + AROUND))
    return [Heard(places[n][2].text.strip(), first <= n <= last, places[n][2].doubt) for n in around]


def pointed(point: Point) -> tuple[str, str]:
    """The kind of a point and its text, as they stand beside each other."""
    text = point.text.removeprefix(TELL)
    return (TELL.partition(":")[0] if text != point.text else point.kind), text


def doubts(line: Line) -> list[str]:
    """Why the machine was less sure of a line, what weighs most first; empty where it was sure (`queue.SURE`) or does not say.

    That nothing was done about it counts against a finding in the table; of what is in order it goes without saying.
    """
    sure = line.proposed is None or getattr(line.proposed, "confidence", 1.0) >= SURE
    whys = () if sure else getattr(line.proposed, "why", ())
    names = " ".join(why.rule for why in whys if why.field == "confidence").split()
    in_order = getattr(line.proposed, "condition", "") in FIT or getattr(line.proposed, "status", "") == "absent"
    untold = {"no-doubt", *(("no-action", "status-present") if in_order else ())}
    return [_doubts().get(name, name.replace("-", " ")) for name in names if name not in untold]


@functools.cache
def _doubts() -> dict[str, str]:
    return tomllib.loads(resources.files("fieldnote.review").joinpath("doubts.toml").read_text("utf-8"))


def marked(line: Line, view: VisitView) -> str:
    """The words of a line as one line of text; a doubtful word stands in brackets with a question mark: [twenty?]."""
    words = heard(line, view)
    if not words:
        said = line.proposed or line.current
        return f"\u201c{' '.join(said.evidence.text.split())}\u201d" if said else ""
    return " ".join(_runs(words))


def _runs(words: list[Heard]) -> Iterator[str]:
    """The line's own words in quotation marks, the ones around them outside."""
    own = [n for n, word in enumerate(words) if word.own]
    for n, word in enumerate(words):
        text = f"[{word.text}?]" if word.doubt else word.text
        text = f"\u201c{text}" if n == own[0] else text
        yield f"{text}\u201d" if n == own[-1] else text
