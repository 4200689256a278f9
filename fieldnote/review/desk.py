"""Where decisions are made: the same desk under the terminal and under the page.

In: a notebook, a way to look at a visit, a reader of amendments. Out: decisions, each kept durably before a method returns, so
that nothing is lost when the program is closed at any moment.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from fieldnote.flow.points import answered
from fieldnote.flow.view import decisions
from fieldnote.notebook import Notebook
from fieldnote.records import Decision, Extraction, Finding, Line, Reading, VisitView, to_plain
from fieldnote.review.amendment import Said, changes_of, fields_of
from fieldnote.review.queue import CERTAIN, Card, all_lines, cards

Look = Callable[[], VisitView]
Read = Callable[[str], Extraction]


@dataclass(frozen=True, slots=True)
class Sight:
    """A view with what is made from it once: the card of each line, the queue, and what was answered about points."""

    view: VisitView
    lines: list[Card]
    queue: list[Card]
    answered: Mapping[str, Decision]


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
        self._sight: Sight | None = None

    @property
    def sight(self) -> Sight:
        """What lies on the desk after the last decision made here."""
        if self._sight is None:
            view = self._look()
            lines, said = all_lines(view), answered(self._decisions())
            self._sight = Sight(view, lines, cards(view, said, lines), said)
        return self._sight

    @property
    def view(self) -> VisitView:
        """The visit as it stands after the last decision made here."""
        return self.sight.view

    def refresh(self) -> None:
        """Look again: another process may have added something."""
        self._sight = None

    def queue(self) -> list[Card]:
        """What is still to be decided, in order."""
        return self.sight.queue

    def card(self, target: str) -> Card | None:
        """The card with this target, decided or not."""
        return next((card for card in (*self.sight.queue, *self.sight.lines) if card.target == target), None)

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
        self._keep(Decision("accept-sure", card.target, at, self._by, {}, _seen(card)) for card in sure)
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
            ("finding", (*said.findings, *said.doubted)),  # who types means it
            ("reading", said.readings),
            ("declared", said.declared),
            ("followup", said.followups),
            ("procedure", said.procedure),
        )
        records = [(kind, record) for kind, some in groups for record in some]
        changes = [
            {"line": kind} | {name: text for name, text in fields_of(one).items() if text} for kind, one in records
        ]
        if not changes:
            raise UsageProblem("FN-201", what="adding that", reason="no finding or reading was understood in it")
        at = self._clock()
        self._keep(Decision("add", None, at, self._by, one, {}, words) for one in changes)
        return changes[-1]

    def prepare(self) -> None:
        """Make the reader of words ready before there are any; the first time it takes a second."""
        self._read("")

    def undo(self) -> str | None:
        """Take back the last decision that stands (all of them, where they were made in one go). Returns its kind."""
        standing = self._standing()
        if not standing:
            return None
        last = standing[-1]
        together = [d for d in standing if d.kind == last.kind == "accept-sure" and d.at == last.at] or [last]
        at = self._clock()
        self._keep(Decision("undo", decision.id, at, self._by) for decision in together)
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
        seen = _seen(self.card(target)) if target else {}
        self._keep([Decision(kind, target, self._clock(), self._by, changes or {}, seen, reason)])

    def _keep(self, decisions: Iterable[Decision]) -> None:
        """What is decided in one go is kept in one go: all of it or nothing."""
        plain = [to_plain(decision) for decision in decisions]
        payloads = [{name: value for name, value in one.items() if name != "id"} for one in plain]
        self._book.append_all("decision", payloads, visit=self.visit)
        self._sight = None


def _seen(card: Card | None) -> dict[str, str]:
    """What the machine proposed, as a decision keeps it."""
    if card is not None and card.line is not None:
        return fields_of(card.line.proposed) if card.line.proposed is not None else {}
    return {"text": card.point.text} if card and card.point else {}


def confidence(line: Line) -> float | None:
    """How sure the machine was; None where it does not say."""
    said = line.proposed
    return said.confidence if isinstance(said, (Finding, Reading)) else None
