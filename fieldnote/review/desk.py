"""Where decisions are made: the same desk under the terminal and under the page.

In: a notebook, a way to look at a visit, a reader of amendments. Out: decisions, each kept durably before a method returns, so
that nothing is lost when the program is closed at any moment.
"""

from collections.abc import Callable, Mapping
from datetime import datetime

from fieldnote.flow.points import answered
from fieldnote.flow.view import decisions
from fieldnote.notebook import Notebook
from fieldnote.records import Decision, Extraction, Finding, Line, Reading, VisitView, to_plain
from fieldnote.review.amendment import Said, changes_of, fields_of
from fieldnote.review.queue import CERTAIN, Card, cards

Look = Callable[[], VisitView]
Read = Callable[[str], Extraction]


class Desk:
    """One visit on the desk of one person. Methods that decide raise UsageProblem FN-201 for words that do not fit."""

    def __init__(
        self, book: Notebook, visit: str, look: Look, read: Read, by: str, clock: Callable[[], datetime]
    ) -> None:
        self.visit = visit
        self._book = book
        self._look = look
        self._read = read
        self._by = by
        self._clock = clock
        self._view: VisitView | None = None

    @property
    def view(self) -> VisitView:
        """The visit as it stands after the last decision made here."""
        if self._view is None:
            self._view = self._look()
        return self._view

    def refresh(self) -> None:
        """Look again: another process may have added something."""
        self._view = None

    def answered(self) -> Mapping[str, Decision]:
        """What stands about points and loose photos."""
        return answered(self._decisions())

    def queue(self) -> list[Card]:
        """What is still to be decided, in order."""
        return cards(self.view, self.answered())

    def sure(self) -> list[Card]:
        """The lines that may be accepted in one go."""
        return [card for card in self.queue() if card.rank == CERTAIN]

    def line(self, target: str) -> Line | None:
        """The line with this id."""
        return next((line for line in self.view.lines if line.id == target), None)

    def accept(self, target: str) -> None:
        """What the machine proposed holds; of a point: it was seen."""
        self._decide("accept", target)

    def accept_sure(self) -> int:
        """Accept everything that is sure, each line recorded as taken in one go. Returns how many there were."""
        sure, at = self.sure(), self._clock()
        for card in sure:
            seen = fields_of(card.line.proposed) if card.line and card.line.proposed else {}
            self._keep(Decision("accept-sure", card.target, at, self._by, {}, seen))
        self.refresh()
        return len(sure)

    def amend(self, target: str, words: str) -> dict[str, str]:
        """Change fields of a line by words such as "rear left, not right". Returns the changes."""
        line = self.line(target)
        if line is None or line.current is None:
            return self.add(words)
        changes = changes_of(line.current, words, self._read)
        self._decide("amend", target, changes=changes, reason=words)
        return changes

    def reject(self, target: str, reason: str = "") -> None:
        """Strike a line out of what holds; of a point: it does not apply here. The record keeps it."""
        self._decide("reject", target, reason=reason)

    def defer(self, target: str) -> None:
        """Leave it for later."""
        self._decide("defer", target)

    def add(self, words: str) -> dict[str, str]:
        """Add what the words say, read as dictation is. Returns the fields of the last line that was added."""
        from fieldnote.errors import UsageProblem

        said = self._read(words)
        groups: tuple[tuple[str, tuple[Said, ...]], ...] = (
            ("finding", said.findings),
            ("reading", said.readings),
            ("declared", said.declared),
            ("followup", said.followups),
            ("procedure", said.procedure),
        )
        added: dict[str, str] = {}
        for kind, records in groups:
            for record in records:
                added = {"line": kind} | {name: text for name, text in fields_of(record).items() if text}
                self._decide("add", None, changes=added, reason=words)
        if not added:
            raise UsageProblem("FN-201", what="adding that", reason="no finding or reading was understood in it")
        return added

    def undo(self) -> str | None:
        """Take back the last decision that stands (all of them, where they were made in one go). Returns its kind."""
        standing = self._standing()
        if not standing:
            return None
        last = standing[-1]
        together = [d for d in standing if d.kind == last.kind == "accept-sure" and d.at == last.at] or [last]
        for decision in together:
            self._decide("undo", decision.id)
        return last.kind

    def _standing(self) -> list[Decision]:
        every = self._decisions()
        taken_back = {decision.target for decision in every if decision.kind == "undo"}
        return [decision for decision in every if decision.kind != "undo" and decision.id not in taken_back]

    def _decisions(self) -> list[Decision]:
        return decisions(self._book, self.visit)

    def _decide(
        self,
        kind: str,
        target: str | None,
        *,
        changes: Mapping[str, str] | None = None,
        reason: str = "",
    ) -> None:
        seen = self._seen(target) if target and kind != "undo" else {}
        self._keep(Decision(kind, target, self._clock(), self._by, changes or {}, seen, reason))
        self.refresh()

    def _keep(self, decision: Decision) -> None:
        payload = {name: value for name, value in to_plain(decision).items() if name != "id"}
        self._book.append("decision", payload, visit=self.visit)

    def _seen(self, target: str) -> dict[str, str]:
        line = self.line(target)
        if line is not None:
            return fields_of(line.proposed) if line.proposed is not None else {}
        card = next((card for card in self.queue() if card.target == target), None)
        return {"text": card.point.text} if card and card.point else {}


def confidence(line: Line) -> float | None:
    """How sure the machine was; None where it does not say."""
    said = line.proposed
    return said.confidence if isinstance(said, (Finding, Reading)) else None
