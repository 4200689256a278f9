"""What is open and when, over all visits. In: views, what was settled at handovers, what was closed. Out: rows, oldest due first.

Nothing is closed, sent or erased here. A later visit closes an earlier follow-up only when a person says so.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from fieldnote.export import wording
from fieldnote.export.tables import PARTS, due, standing
from fieldnote.records import Declared, Finding, FollowUp, ProcedureStep, VisitView


@dataclass(frozen=True, slots=True)
class Row:
    """One thing that is open: `kind` is follow-up, part, inspection or retention; `day` is None where no time was said."""

    kind: str
    day: date | None
    visit: str
    text: str
    id: str


def rows(
    views: Sequence[VisitView], next_due: Mapping[str, date], closed: frozenset[str], keep_days: int | None
) -> list[Row]:
    """Everything open. `next_due` is by visit id; `closed` holds ids of lines that a person closed; `keep_days` is how long
    a visit is kept before somebody should look at it again."""
    found: list[Row] = []
    for view in views:
        found += [row for row in (*_followups(view), *_parts(view)) if row.id not in closed]
        if day := next_due.get(view.visit.id):
            found.append(Row("inspection", day, view.visit.ref, "Next visit due", view.visit.id))
        if keep_days is not None:
            end = wording.day(view) + timedelta(days=keep_days)
            found.append(
                Row("retention", end, view.visit.ref, "Kept until then; erase it or keep it, by hand", view.visit.id)
            )
    return sorted(found, key=lambda row: (row.day is None, row.day or date.min, row.visit, row.id))


def _followups(view: VisitView) -> Iterable[Row]:
    for line in standing(view):
        if isinstance(line.current, FollowUp):
            yield Row("follow-up", due(line.current, view), view.visit.ref, wording.followup(line.current), line.id)


def _parts(view: VisitView) -> Iterable[Row]:
    """Parts that are not in yet: needed, to order, or on order."""
    for line in standing(view):
        if isinstance(line.current, Finding):
            states = [PARTS.get((action.kind, action.state)) for action in line.current.actions]
            if open_ := dict.fromkeys(state for state in states if state and state != "used"):
                text = f"{wording.whose_part(line.current)}: {', '.join(open_)}"
                yield Row("part", None, view.visit.ref, text, line.id)


@dataclass(frozen=True, slots=True)
class Month:
    """A month's end: visits made, parts used, and situations that somebody has to consider for a report by law."""

    month: str
    visits: tuple[str, ...]
    parts: tuple[str, ...]
    situations: tuple[str, ...]


def month(views: Sequence[VisitView], of: str) -> Month:
    """One month, "2026-11". Whether a situation has to be reported is for the people whose duty it is; none is left out here."""
    made = [view for view in views if f"{wording.day(view):%Y-%m}" == of]
    return Month(
        month=of,
        visits=tuple(_visit(view) for view in made),
        parts=tuple(part for view in made for part in _used(view)),
        situations=tuple(text for view in made for text in _situations(view)),
    )


def _visit(view: VisitView) -> str:
    access = "no access" if view.visit.no_access else ""
    return "  ".join(p for p in (f"{wording.day(view):%Y-%m-%d}", view.visit.ref, view.visit.work or "", access) if p)


def _used(view: VisitView) -> Iterable[str]:
    for line in standing(view):
        said = line.current
        if not isinstance(said, Finding) or said.status == "historical":
            continue
        if any(PARTS.get((action.kind, action.state)) == "used" for action in said.actions):
            yield f"{view.visit.ref}: {wording.whose_part(said)}"


def _situations(view: VisitView) -> Iterable[str]:
    """Declared classes of danger, steps that call a service, and follow-ups that are reports."""
    day = f"{wording.day(view):%Y-%m-%d}  {view.visit.ref}: "
    for line in standing(view):
        said = line.current
        if isinstance(said, Declared) and said.class_ == "immediately-dangerous":
            whose = wording.label(said.appliance) or "appliance not named"
            yield f"{day}{whose}, declared {wording.label(said.class_).lower()}"
        elif isinstance(said, ProcedureStep) and said.step in ("emergency-service-called", "supplier-called"):
            yield f"{day}{wording.step(said)}"
        elif isinstance(said, FollowUp) and said.kind == "report":
            yield f"{day}{wording.followup(said)}"
