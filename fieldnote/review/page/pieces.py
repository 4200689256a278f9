"""The parts of the page, so that an answer to a decision holds only what the decision changed.

In: what lies on the desk. Out: the parts in their order, each with a key that differs when what it shows would differ.
Not allowed to know: how a part looks.
"""

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from fieldnote.flow.handover import Handover
from fieldnote.flow.points import counted, target_of
from fieldnote.records import Point
from fieldnote.review.desk import Sight
from fieldnote.review.page.timeline import Track
from fieldnote.review.queue import Card

GROUPS = (
    ("decide", "For the engineer to decide", ("question", "contradiction", "unlikely", "procedure-unsaid")),
    ("tell", "To tell the responsible person", ("tell",)),
    ("unsaid", "Still unsaid", ("unsaid",)),
    ("hints", "What it may point to", ("symptom",)),
    ("usual", "Usual cautions", ("caution",)),
)
FIRST = 30  # points of a list that are drawn with the page


@dataclass(frozen=True, slots=True)
class Piece:
    """One element of the page: its id, the macro that draws it, what that is given, and the parts that it stands in."""

    id: str
    macro: str
    about: Any
    key: Any
    within: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Chip:
    """A line on the line of time: its card, and whether it is still to be decided."""

    card: Card
    open: bool


@dataclass(frozen=True, slots=True)
class Told:
    """A point in a list, and how a person answered it ("" where nobody has)."""

    point: Point
    answer: str


@dataclass(frozen=True, slots=True)
class Group:
    """Points of some kinds under one title; `more` is how many are not drawn until somebody asks for them."""

    id: str
    title: str
    points: tuple[Told, ...]
    more: int


def pieces(sight: Sight, tracks: Sequence[Track], lists: Sequence[Group], handover: Handover) -> list[Piece]:
    """Every part that a decision may change, but for the card itself, which is drawn each time."""
    shown = chips(sight)
    found = [Piece("time", "time", tracks, [track.id for track in tracks])]
    found += [Piece(track.id, "track", track, _shape(track), ("time",)) for track in tracks]
    found += [
        Piece(f"line-{line.id}", "chip", shown[line.id], _chip_key(shown[line.id]), ("time", track.id))
        for track in tracks
        for moment in track.moments
        for line in moment.lines
    ]
    view, first = sight.view, emergencies(sight)
    found.append(Piece("emergency", "emergency", first, [(point.text, point.steps) for point in first]))
    found.append(Piece("worked", "worked", view.check.results, view.check.results))
    found += [Piece(f"points-{group.id}", "points", group, _told(group)) for group in lists]
    found.append(Piece("order", "order", None, (view.problems, view.waiting)))
    found.append(Piece("handover", "handover", handover, handover))
    return found


def changed(before: Mapping[str, Any], now: Iterable[Piece]) -> list[Piece]:
    """The parts whose key is another than it was, without those that stand in a part which is drawn anew itself."""
    other = {piece.id: piece for piece in now if piece.id not in before or before[piece.id] != piece.key}
    return [piece for piece in other.values() if not any(outer in other for outer in piece.within)]


def emergencies(sight: Sight) -> list[Point]:
    """What stands before everything else."""
    return [point for point in sight.view.check.points if point.kind == "emergency"]


def chips(sight: Sight) -> dict[str, Chip]:
    """Each line as it stands on the line of time, by its id."""
    waiting = {card.target for card in sight.queue}
    return {card.target: Chip(card, card.target in waiting) for card in sight.lines}


def groups(sight: Sight, whole: Container[str] = ()) -> list[Group]:
    """The points that stand in lists, with what people said to them: the first few of each, all of those named in `whole`."""
    among = counted(sight.view)
    told = [(point, sight.answered.get(target_of(point, among))) for point in sight.view.check.points]
    found = []
    for id_, title, kinds in GROUPS:
        points = tuple(Told(point, said.kind if said else "") for point, said in told if point.kind in kinds)
        drawn = points if id_ in whole else points[:FIRST]
        found.append(Group(id_, title, drawn, len(points) - len(drawn)))
    return found


def _shape(track: Track) -> list[Any]:
    return [
        (moment.second, [line.id for line in moment.lines], [photo.id for photo in moment.photos])
        for moment in track.moments
    ]


def _chip_key(chip: Chip) -> tuple[Any, ...]:
    line = chip.card.line
    assert line is not None
    return line.state, line.current, chip.card.rank if chip.open else None


def _told(group: Group) -> list[Any]:
    return [group.more, *((told.point.text, told.point.steps, told.point.source, told.answer) for told in group.points)]
