"""What is being said now and just before it, read again with each phrase. In: phrases. Out: lines, danger, one question.

A few minutes of talk are read each time, so that a place or a correction reaches back as far as it does in speech and the work
does not grow with the visit. What is kept is read from the whole talk later. Not allowed to know: sound, terminals.
"""

from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from typing import Protocol

from fieldnote.flow.asking import Asker
from fieldnote.flow.talk import PART, Talk, unsure_marks
from fieldnote.records import Check, Evidence, Extraction, Finding, Point, Reading

REACH = 2500  # characters of talk that are read with each phrase
Record = Finding | Reading


class Reads(Protocol):
    """Whatever turns a text into an extraction; `appliance` is the one that was spoken of before the text begins, and behind
    words that end at the characters `soft` stand marks that nobody is sure of."""

    def read(self, text: str, *, appliance: str | None = None, soft: Collection[int] = ()) -> Extraction: ...


@dataclass(frozen=True, slots=True)
class Said:
    """What a phrase brought."""

    lines: tuple[str, ...] = ()
    emergency: Point | None = None
    question: str | None = None


@dataclass
class Window:
    """The talk of now. `earlier` gives the talk of the visit that is filed already."""

    reader: Reads
    checker: Callable[[Extraction], Check]
    describe: Callable[[Record], str]
    earlier: Callable[[], Talk]
    asker: Asker = field(default_factory=Asker)
    phrases: list[str] = field(default_factory=list)
    unfiled: list[str] = field(default_factory=list)
    appliance: str | None = None
    _last: tuple[str, ...] = ()
    _asked_of: tuple[Extraction, Check, int] | None = None

    def add(self, text: str) -> Said:
        """Read one more phrase; empty when it holds no words."""
        if not text:
            return Said()
        self.hold(text)
        whole = " ".join(self.phrases)
        found = self._read(whole)
        newest = len(whole) - len(text)
        checked = self.checker(found)
        self._asked_of = (found, checked, newest)
        lines = tuple(self.describe(one) for one in _records(found) if _fresh(one.evidence, newest))
        self._last = lines or self._last
        return Said(lines, self._emergency(found, checked, newest), self.question(text=text))

    def hold(self, text: str) -> None:
        """Keep words without reading them yet; what lies too far back is let go, its appliance kept."""
        self.unfiled.append(text)
        self.phrases.append(text)
        while len(self.phrases) > 1 and sum(map(len, self.phrases)) > REACH:
            gone = self.phrases.pop(0)
            before = self._read(gone)
            self.appliance = next(
                (one.appliance for one in reversed(_records(before)) if one.appliance), self.appliance
            )

    def question(self, text: str = "", *, patient: bool = True) -> str | None:
        """One question that matters and was not asked before, or None. `patient` gives time to say it unasked."""
        if self._asked_of is None:
            return None
        return self.asker.ask(*self._asked_of, text=text, patient=patient)

    def strike(self) -> str:
        """Let go of the last phrase that was dictated; returns it."""
        gone = self.phrases.pop() if self.phrases else ""
        if self.unfiled and self.unfiled[-1] == gone:
            self.unfiled.pop()
        self._last, self._asked_of = (), None
        return gone

    def last_lines(self) -> str:
        """The lines that were last understood."""
        return "; ".join(self._last)

    def left(self) -> list[str]:
        """What the list of this kind of work has and nobody said yet, of the whole visit."""
        filed, now = self.earlier(), " ".join(self.unfiled)
        before = filed.text + PART if filed.text and now else filed.text
        soft = [*filed.soft, *(len(before) + at for at in unsure_marks(now))]
        points = self.checker(self.reader.read(before + now, soft=soft)).points
        return [point.text for point in points if point.kind == "unsaid"]

    def filed(self) -> None:
        """What was said up to now is in the notebook."""
        self.unfiled.clear()

    def _read(self, heard: str) -> Extraction:
        return self.reader.read(heard, appliance=self.appliance, soft=unsure_marks(heard))

    def _emergency(self, found: Extraction, checked: Check, newest: int) -> Point | None:
        if found.smell_of_gas is None or not _fresh(found.smell_of_gas, newest):
            return None
        return next((point for point in checked.points if point.kind == "emergency"), None)


def _records(found: Extraction) -> list[Record]:
    both: list[Record] = [*found.findings, *found.readings]
    return sorted(both, key=lambda one: one.evidence.start)


def _fresh(evidence: Evidence, newest: int) -> bool:
    return evidence.end > newest
