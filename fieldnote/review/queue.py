"""What a person should look at, in which order. In: a view, and what was answered already. Out: cards.

Dangerous first, then what does not add up or is unlikely, then what was hard to hear or to read, then what is still unsaid,
then photos that stand at no line; what is sure comes last and can be taken in one go.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fieldnote.flow.points import counted, lines_of, target_of, target_of_photo
from fieldnote.records import Decision, Line, Point, VisitView

SURE = 0.905  # at and above this confidence, with no doubtful word, a line may be taken in one go; "no drop" has 0.9
DANGER, DISAGREES, UNLIKELY, LOW, UNSAID, LOOSE_PHOTO, CERTAIN = range(7)
REASONS = (
    "dangerous, or declared so",
    "does not add up",
    "unlikely value",
    "less sure",
    "still unsaid",
    "photo without a finding",
    "sure",
)
_POINT_RANK = {
    "emergency": DANGER,
    "question": DANGER,
    "tell": DANGER,
    "procedure-unsaid": DANGER,
    "contradiction": DISAGREES,
    "unlikely": UNLIKELY,
    "unsaid": UNSAID,
}
HEARD = "heard in doubt"  # of what the reader was sure, had the words been
_ALONE = ("emergency", "question", "procedure-unsaid")
_DONE = ("accepted", "amended", "added", "rejected")


@dataclass(frozen=True, slots=True)
class Card:
    """One thing to decide: a line with the points that speak of it, a point on its own with the lines that it is about, or a
    photo at no line."""

    target: str
    rank: int
    line: Line | None = None
    point: Point | None = None
    photo: str | None = None
    points: tuple[Point, ...] = ()
    about: tuple[Line, ...] = ()

    @property
    def reason(self) -> str:
        """Why it stands where it does in the queue."""
        if self.rank == LOW and self.line and getattr(self.line.current, "confidence", 1.0) >= SURE:
            return HEARD
        return REASONS[self.rank]


def cards(view: VisitView, answered: Mapping[str, Decision], lines: Sequence[Card] | None = None) -> list[Card]:
    """Everything that is not decided yet, in the order in which to decide it. `lines` are `all_lines`, where known."""
    known = all_lines(view) if lines is None else lines
    open_lines = [card for card in known if card.line and card.line.state not in _DONE]
    loose = [card for card in _points(view) + _photos(view) if not _settled(answered.get(card.target))]
    return sorted(open_lines + loose, key=lambda card: card.rank)


def all_lines(view: VisitView) -> list[Card]:
    """Every line of a visit as a card, decided or not, in the order in which it was said."""
    about: dict[str, list[Point]] = {}
    among = counted(view)
    for point in view.check.points:
        for line in lines_of(point, among):
            about.setdefault(line.id, []).append(point)
    return [_line_card(line, tuple(about.get(line.id, ()))) for line in view.lines]


def _line_card(line: Line, points: tuple[Point, ...]) -> Card:
    ranks = [_POINT_RANK.get(point.kind, CERTAIN) for point in points if point.kind != "tell"]
    if line.kind == "declared":
        ranks.append(DANGER)
    if line.trace.doubtful or getattr(line.current, "confidence", 1.0) < SURE:
        ranks.append(LOW)
    told = {(point.kind, point.text): point for point in reversed(points)}  # what is told twice of a line is shown once
    return Card(line.id, min([CERTAIN, *ranks]), line=line, points=tuple(reversed(told.values())))


def _points(view: VisitView) -> list[Card]:
    """Points to answer on their own: those of `_ALONE` always, others where no line carries them."""
    cards = []
    among = counted(view)
    for point in view.check.points:
        rank = _POINT_RANK.get(point.kind)
        about = lines_of(point, among)
        if rank is not None and (not about or point.kind in _ALONE):
            cards.append(Card(target_of(point, among), rank, point=point, about=tuple(about)))
    return cards


def _photos(view: VisitView) -> list[Card]:
    placed = {photo for line in view.lines for photo in line.photos}
    loose = [item for item in view.items if item.kind == "photo" and item.id not in placed]
    return [Card(target_of_photo(item.id), LOOSE_PHOTO, photo=item.id) for item in loose]


def _settled(decision: Decision | None) -> bool:
    return decision is not None and decision.kind != "defer"
