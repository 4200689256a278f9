"""Visits as JSON values, in the fields of the findings contract and more. In: views. Out: plain values, their schema, text.

The lossless export: figures as numbers and, beside them, exactly as text; every line with its words, clip, second and standing.
"""

import json
from collections.abc import Callable, Iterable
from decimal import Decimal
from importlib import resources
from typing import Any

from fieldnote.export import wording
from fieldnote.export.masking import OPEN, Mask
from fieldnote.records import Declared, Finding, FollowUp, Line, ProcedureStep, Reading, VisitView, to_plain

FORMAT = "fieldnote-visits"
VERSION = 1


def schema() -> dict[str, Any]:
    """The published JSON Schema (2020-12) of `document`."""
    text = resources.files("fieldnote.export").joinpath("visits.schema.json").read_text("utf-8")
    value: dict[str, Any] = json.loads(text)
    return value


def document(views: Iterable[VisitView], mask: Callable[[VisitView], Mask] = lambda _: OPEN) -> dict[str, Any]:
    """All visits as one JSON value."""
    return {"format": FORMAT, "version": VERSION, "visits": [visit(view, mask(view)) for view in views]}


def visit(view: VisitView, mask: Mask = OPEN) -> dict[str, Any]:
    """One visit. Lines that a person struck out are left out of the lists and kept under `struck_out`."""
    kept = [line for line in view.lines if line.current is not None and line.state != "rejected"]
    struck = [line for line in view.lines if line.state == "rejected"]
    value = {
        "id": view.visit.id,
        "ref": view.visit.ref,
        "visit": to_plain(view.visit),
        "findings": [_line(line, view) for line in kept if line.kind == "finding"],
        "readings": [_line(line, view) for line in kept if line.kind == "reading"],
        "declared": [_line(line, view) for line in kept if line.kind == "declared"],
        "followups": [_line(line, view) for line in kept if line.kind == "followup"],
        "procedure": [_line(line, view) for line in kept if line.kind == "procedure"],
        "struck_out": [{"kind": line.kind} | _line(line, view) for line in struck if line.current or line.proposed],
        "results": to_plain(view.check.results),
        "points": to_plain(view.check.points),
        "facts": dict(view.check.facts),
        "trade_version": view.check.trade_version,
        "items": [_item(item) for item in view.items],
        "placements": to_plain(view.placements),
        "waiting": list(view.waiting),
        "problems": list(view.problems),
        "masked": mask.active,
    }
    hidden: dict[str, Any] = _masked(value, mask) if mask.active else value
    return hidden


def text(value: Any) -> str:
    """A value as RFC 8259 text: no NaN, no lone surrogates, ASCII only."""
    return json.dumps(value, ensure_ascii=True, allow_nan=False, indent=1) + "\n"


def lines_text(values: Iterable[Any]) -> str:
    """One value a line."""
    return "".join(json.dumps(value, ensure_ascii=True, allow_nan=False) + "\n" for value in values)


def number(value: Decimal) -> int | float:
    """The nearest JSON number; the exact figure travels beside it as text."""
    return int(value) if value == value.to_integral_value() else float(value)


def _line(line: Line, view: VisitView) -> dict[str, Any]:
    said = line.current or line.proposed
    assert said is not None
    where = line.trace
    evidence = {
        "text": said.evidence.text,
        "start": where.start,
        "end": where.end,
        "item": where.item,
        "name": wording.item_name(view, where.item) if where.item else None,
        "from_second": where.from_second,
        "to_second": where.to_second,
    }
    return _fields(said) | {
        "evidence": evidence,
        "line": line.id,
        "state": line.state,
        "doubtful": line.trace.doubtful,
        "photos": list(line.photos),
        "proposed": to_plain(line.proposed) if line.proposed != line.current else None,
        "decisions": to_plain(line.decisions),
    }


def _fields(said: wording.Said) -> dict[str, Any]:
    if isinstance(said, Finding):
        return {name: to_plain(getattr(said, name)) for name in _FINDING}
    if isinstance(said, Reading):
        return {name: _figure(getattr(said, name)) for name in _READING} | {"exact": wording.number(said.value)}
    if isinstance(said, Declared):
        return {"class": said.class_, "appliance": said.appliance}
    if isinstance(said, FollowUp):
        return {"kind": said.kind, "due_days": said.due_days}
    assert isinstance(said, ProcedureStep)
    return {"step": said.step, "reference": said.reference}


_FINDING = "appliance component position burner condition status actions confidence unit superseded".split()
_READING = (
    "quantity value unit appliance position burner phase confidence basis comparator said cubic_feet start_value superseded"
).split()


def _figure(value: Any) -> Any:
    return number(value) if isinstance(value, Decimal) else value


def _item(item: Any) -> dict[str, Any]:
    """An item without what its file says of place and owner: those stay in the original."""
    fields = ("id", "kind", "sha256", "size", "name", "at", "at_source", "seconds", "flags")
    return {name: _clean(to_plain(getattr(item, name))) for name in fields}


def _clean(value: Any) -> Any:
    """Names of files may hold bytes that are no text; JSON may not."""
    return value.encode("utf-8", "backslashreplace").decode("utf-8") if isinstance(value, str) else value


def _masked(value: Any, mask: Mask, key: str = "") -> Any:
    if isinstance(value, dict):
        return {name: _masked(inner, mask, name) for name, inner in value.items()}
    if isinstance(value, list):
        return [_masked(inner, mask, key) for inner in value]
    return mask(value) if isinstance(value, str) and key not in _IDENTIFIERS else value


_IDENTIFIERS = frozenset(  # and the steps of an emergency, in which nothing was dictated and the number to call stands
    {"id", "sha256", "line", "item", "photo", "recording", "target", "at", "opened_at", "closed_at", "steps"}
)
