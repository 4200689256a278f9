"""Follow-ups as an iCalendar file (RFC 5545). In: views. Out: bytes; ids are stable, so that taking it in again updates.

A follow-up with a day is an event of that whole day; one without is a task without a date, for no date was said.
"""

from collections.abc import Callable, Iterable
from datetime import date
from typing import Any

from fieldnote.errors import MachineLacks
from fieldnote.export import wording
from fieldnote.export.masking import OPEN, Mask
from fieldnote.export.tables import due, standing
from fieldnote.records import FollowUp, Line, VisitView


def calendar(views: Iterable[VisitView], mask: Callable[[VisitView], Mask] = lambda _: OPEN) -> bytes:
    """All follow-ups that hold now. Raises MachineLacks FN-402 when icalendar is not installed."""
    try:
        import icalendar
    except ImportError:
        raise MachineLacks("FN-402", extra="tables") from None
    whole = icalendar.Calendar()
    whole.add("prodid", "-//fieldnote//follow-ups//EN")
    whole.add("version", "2.0")
    for view in views:
        for line in standing(view):
            if isinstance(line.current, FollowUp):
                whole.add_component(_entry(icalendar, line, line.current, view, mask(view)))
    return whole.to_ical()  # type: ignore[no-any-return]


def _entry(icalendar: Any, line: Line, said: FollowUp, view: VisitView, mask: Mask) -> Any:
    day = due(said, view)
    entry = icalendar.Todo() if day is None else icalendar.Event()
    entry.add("uid", f"{line.id}.{view.visit.id}@fieldnote.invalid")
    entry.add("dtstamp", line.decisions[-1].at if line.decisions else view.visit.opened_at)
    entry.add("sequence", len(line.decisions))
    entry.add("summary", _plain(mask(f"{wording.label_followup(said).partition(',')[0]}: visit {view.visit.ref}")))
    entry.add("description", _plain(mask(f"Said as: {wording.said_words(line)} ({wording.trace(line.trace, view)})")))
    if day is not None:
        _whole_day(entry, day)
    return entry


def _whole_day(entry: Any, day: date) -> None:
    entry.add("dtstart", day)
    entry.add("transp", "TRANSPARENT")


def _plain(text: str) -> str:
    """Text without control characters: RFC 5545 allows none but the ones that it escapes."""
    return (
        "".join(c for c in text.replace("\r", " ") if (c >= " " and c != "\x7f") or c in "\n\t")
        .encode("utf-8", "backslashreplace")
        .decode("utf-8")
    )
