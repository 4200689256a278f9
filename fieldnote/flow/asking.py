"""Which question to ask, if any. In: what was just read and checked. Out: one short question, or silence.

Only three things are worth a question to somebody with full hands: a number that does not make sense, a correction that found no
place, a danger of which nobody said what was done. Each is asked once; no answer is an answer too.
"""

import re
from collections.abc import Iterator

from fieldnote.flow.commands import plain
from fieldnote.records import Check, Extraction, Finding, Point
from fieldnote.trade.vocabulary import vocabulary

LATER = 60  # characters of talk after a danger before it is asked about
CORRECTION = re.compile(
    r"^(?:(?:no|sorry|wait|er|um|oh) )*"
    r"(?:make that|make it|i mean|scratch that|strike that|correction|should be|i meant|that should)\b"
)
FIGURE = re.compile(
    r"\d|\b(?:nought|zero|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|\w+teen|twenty|thirty|forty|fifty|"
    r"sixty|seventy|eighty|ninety|hundred|half)\b"
)
Question = tuple[tuple[object, ...], str]


class Asker:
    """Remembers what was asked."""

    def __init__(self) -> None:
        self._asked: set[tuple[object, ...]] = set()

    def ask(self, said: Extraction, checked: Check, newest: int, *, text: str, patient: bool) -> str | None:
        """The first question that was not asked yet. `newest` is where the last phrase (`text`) begins."""
        for key, question in self._worth(said, checked, newest, text, LATER if patient else 0):
            if key not in self._asked:
                self._asked.add(key)
                return question
        return None

    def _worth(self, said: Extraction, checked: Check, newest: int, text: str, later: int) -> Iterator[Question]:
        for point in checked.points:
            doubted = point.id.startswith("doubted/")  # asked on the page, not of somebody with full hands
            if point.kind == "unlikely" and not doubted and point.evidence and point.evidence.end > newest:
                yield (point.id, point.evidence.text), point.text
        if text and _homeless(said, newest, text):
            yield ("correction", text), f"what does \u201c{text.rstrip('. ')}\u201d put right?"
        end = newest + len(text) if text else newest + 10**9
        for point in checked.points:
            if point.kind == "question":
                yield from _undone(said, point, end - later)


def _homeless(said: Extraction, newest: int, text: str) -> bool:
    """A correction with a figure from which nothing was read: it replaced nothing."""
    words = plain(text)
    if not CORRECTION.search(words) or not FIGURE.search(words):
        return False
    ends = [one.evidence.end for one in said.findings + said.doubted] + [one.evidence.end for one in said.readings]
    return not any(end > newest for end in ends)


def _undone(said: Extraction, point: Point, before: int) -> Iterator[Question]:
    """A danger that stands, of which no action and no step was said although there was time to."""
    for index in point.findings:
        finding = said.findings[index]
        steps = any(step.evidence.start >= finding.evidence.start for step in said.procedure)
        if finding.status == "present" and not finding.actions and not steps and finding.evidence.end <= before:
            key = ("danger", finding.appliance, finding.component, finding.position, finding.condition)
            yield key, f"{_named(finding)}: what was done about it?"


def _named(finding: Finding) -> str:
    words = vocabulary()
    place = f"{finding.position.replace('-', ' ')} " if finding.position else ""
    return f"{place}{words.label(finding.component).lower()} {words.label(finding.condition).lower()}".strip()
