"""Visits as tables. In: views. Out: named tables of plain cells, and CSV text that no spreadsheet will run.

A cell is text, a number (Decimal) or empty. The guard of CSV is one apostrophe before text that a spreadsheet could take for a
formula, or that begins with an apostrophe itself, so that taking one apostrophe off always gives back the words.
"""

import csv
import io
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from fieldnote.export import wording
from fieldnote.export.masking import OPEN, Mask
from fieldnote.records import Finding, FollowUp, Line, Reading, VisitView

Cell = str | Decimal | int | float | date | None
Masks = Callable[[VisitView], Mask]
LIVE = tuple("=+-@|%'\t\r\n\v\f\uff1d\uff0b\uff0d\uff20")


@dataclass(frozen=True, slots=True)
class Table:
    """One table: its name, its columns, its rows."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def tables(views: Sequence[VisitView], mask: Masks = lambda _: OPEN) -> tuple[Table, ...]:
    """Every table that a visit gives."""
    return tuple(_masked(Table(name, columns, ()), views, rows, mask) for name, (columns, rows) in KINDS.items())


def table(name: str, views: Sequence[VisitView], mask: Masks = lambda _: OPEN) -> Table:
    """One table by its name."""
    columns, rows = KINDS[name]
    return _masked(Table(name, columns, ()), views, rows, mask)


def csv_text(one: Table) -> str:
    """A table as CSV (RFC 4180) with guarded text cells."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(one.columns)
    writer.writerows([_csv_cell(cell) for cell in row] for row in one.rows)
    return out.getvalue()


def guarded(text: str) -> str:
    """Text that no spreadsheet takes for a formula; taking off one leading apostrophe gives the text back."""
    return f"'{text}" if text.lstrip(" \u00a0").startswith(LIVE) or text.startswith(LIVE) else text


def _csv_cell(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, Decimal):
        return wording.number(cell)
    return guarded(cell) if isinstance(cell, str) else str(cell)


def _masked(empty: Table, views: Sequence[VisitView], rows: "Rows", mask: Masks) -> Table:
    cells: list[tuple[Cell, ...]] = []
    for view in views:
        hide = mask(view)
        for row in rows(view):
            cells.append((_text(view.visit.ref, hide), *(_text(cell, hide) for cell in row)))
    return Table(empty.name, ("visit", *empty.columns), tuple(cells))


def _text(cell: Cell, hide: Mask) -> Cell:
    if not isinstance(cell, str):
        return cell
    return hide(cell.encode("utf-8", "backslashreplace").decode("utf-8"))


def standing(view: VisitView) -> list[Line]:
    """The lines of a visit that hold now."""
    return [line for line in view.lines if line.current is not None and line.state != "rejected"]


def _lines(view: VisitView) -> Iterable[tuple[Cell, ...]]:
    for line in standing(view):
        said = line.current
        what, value, unit = _what(said)
        yield (
            line.id, line.kind, getattr(said, "appliance", None), what, getattr(said, "position", None),
            getattr(said, "burner", None), getattr(said, "condition", None), getattr(said, "status", None), value, unit,
            getattr(said, "phase", None), wording.actions(said) if isinstance(said, Finding) else None,
            wording.STATES[line.state], _confidence(line), wording.said_words(line), wording.trace(line.trace, view),
            ", ".join(line.photos), wording.titled(said) if said else None,
        )  # fmt: skip


def _what(said: object) -> tuple[str, Cell, Cell]:
    if isinstance(said, Reading):
        return said.quantity, said.value, said.unit
    for name in ("component", "class_", "kind", "step"):
        if hasattr(said, name):
            return getattr(said, name) or "", getattr(said, "due_days", None), None
    return "", None, None


def _confidence(line: Line) -> Cell:
    return getattr(line.current, "confidence", None)


def _results(view: VisitView) -> Iterable[tuple[Cell, ...]]:
    for result in view.check.results:
        limit = f"{result.limit.text} [{result.limit.source}]" if result.limit else None
        inputs = "; ".join(f"{key} {value}" for key, value in result.inputs.items())
        common = (inputs, result.formula, limit, result.verdict, result.reason, "; ".join(result.sources))
        for key, value in result.results.items() or [("", None)]:
            figures = (value.value, value.plus_minus, value.unit) if value else (None, None, None)
            yield (result.name, result.appliance, key, *figures, *common)


def _points(view: VisitView) -> Iterable[tuple[Cell, ...]]:
    return ((point.kind, point.id, point.text, point.source) for point in view.check.points)


def parts(view: VisitView) -> Iterable[tuple[Cell, ...]]:
    """Parts: what is to be replaced or ordered, what is on order, what was replaced."""
    for line in standing(view):
        if isinstance(line.current, Finding):
            for action in line.current.actions:
                if (action.kind, action.state) in PARTS:
                    said = line.current
                    where = wording.place(said)
                    yield (
                        wording.label(said.component),
                        where,
                        wording.label(said.appliance),
                        PARTS[action.kind, action.state],
                        line.id,
                    )


PARTS = {
    ("replace", "needed"): "needed",
    ("order", "needed"): "to order",
    ("order", "done"): "on order",
    ("replace", "done"): "used",
}


def _followups(view: VisitView) -> Iterable[tuple[Cell, ...]]:
    for line in standing(view):
        if isinstance(line.current, FollowUp):
            yield wording.label_followup(line.current), due(line.current, view), wording.said_words(line), line.id


def due(said: FollowUp, view: VisitView) -> date | None:
    """The day a follow-up is due; None when no time was said."""
    return said.due(wording.day(view))


def _photos(view: VisitView) -> Iterable[tuple[Cell, ...]]:
    placed = {placement.photo: placement for placement in view.placements}
    at_line = {photo: line.id for line in view.lines for photo in line.photos}
    for item in view.items:
        if item.kind == "photo":
            second = placed[item.id].second if item.id in placed else None
            yield (
                item.id,
                item.name,
                item.at.isoformat() if item.at else None,
                second,
                at_line.get(item.id),
                item.sha256,
            )


def _visits(view: VisitView) -> Iterable[tuple[Cell, ...]]:
    visit = view.visit
    yield (
        visit.id,
        wording.day(view),
        visit.opened_at.isoformat(),
        visit.work,
        ", ".join(visit.appliances),
        visit.gas or view.check.facts.get("gas"),
        visit.meter or view.check.facts.get("meter"),
        "yes" if visit.no_access else "no",
    )


Rows = Callable[[VisitView], Iterable[tuple[Cell, ...]]]
KINDS: dict[str, tuple[tuple[str, ...], Rows]] = {
    "visits": (("id", "day", "opened", "work", "appliances", "gas", "meter", "no_access"), _visits),
    "lines": (
        tuple(
            "line kind appliance what position burner condition status value unit phase actions standing confidence words "
            "source photos text".split()
        ),
        _lines,
    ),
    "results": (
        tuple("calculation appliance result value plus_minus unit inputs formula limit verdict reason sources".split()),
        _results,
    ),
    "points": (("kind", "id", "text", "source"), _points),
    "parts": (("part", "place", "appliance", "state", "line"), parts),
    "followups": (("what", "due", "words", "line"), _followups),
    "photos": (("photo", "name", "taken", "second", "line", "sha256"), _photos),
}
