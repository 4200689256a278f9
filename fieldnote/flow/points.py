"""What decisions about points, and about photos at no line, are filed under. In: a point and its view. Out: a target.

A point is named by its kind, its id and the lines it speaks of: when other lines give rise to it, it is a new question.
"""

from collections.abc import Mapping, Sequence

from fieldnote.notebook import Notebook
from fieldnote.records import Decision, Line, Point, VisitView

Counted = Mapping[str, Sequence[Line]]


def counted(view: VisitView) -> Counted:
    """The findings and readings that stand, as points count them: made once for a view, since points are many."""
    stands = [line for line in view.lines if line.current is not None and line.state != "rejected"]
    return {kind: [line for line in stands if line.kind == kind] for kind in ("finding", "reading")}


def lines_of(point: Point, among: Counted) -> list[Line]:
    """The lines that a point speaks of."""
    kinds = (("finding", point.findings), ("reading", point.readings))
    return [among[kind][index] for kind, indexes in kinds for index in indexes if index < len(among[kind])]


def target_of(point: Point, among: Counted) -> str:
    """What decisions about this point name."""
    return ":".join(("point", point.kind, point.id, *(line.id for line in lines_of(point, among))))


def target_of_photo(photo: str) -> str:
    """What decisions about a photo that stands at no line name."""
    return f"point:photo:{photo}"


def answered(decisions: list[Decision]) -> dict[str, Decision]:
    """The last decision that stands about each point or photo, by target."""
    taken_back = {d.target for d in decisions if d.kind == "undo"}
    standing = [d for d in decisions if d.id not in taken_back and d.target and d.target.startswith("point:")]
    return {d.target: d for d in standing if d.target}


def of_visit(notebook: Notebook, visit: str) -> dict[str, Decision]:
    """`answered` for one visit of a notebook."""
    from fieldnote.flow.view import decisions

    return answered(decisions(notebook, visit))
