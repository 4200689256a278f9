"""What decisions about points, and about photos at no line, are filed under. In: a point and its view. Out: a target.

A point is named by its kind, its id and the lines it speaks of: when other lines give rise to it, it is a new question.
"""

from fieldnote.notebook import Notebook
from fieldnote.records import Decision, Line, Point, VisitView


def lines_of(point: Point, view: VisitView) -> list[Line]:
    """The lines that a point speaks of."""
    kinds = (("finding", point.findings), ("reading", point.readings))
    found = []
    for kind, indexes in kinds:
        lines = [
            line for line in view.lines if line.kind == kind and line.current is not None and line.state != "rejected"
        ]
        found += [lines[index] for index in indexes if index < len(lines)]
    return found


def target_of(point: Point, view: VisitView) -> str:
    """What decisions about this point name."""
    return ":".join(("point", point.kind, point.id, *(line.id for line in lines_of(point, view))))


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
