"""What the trade makes of a visit. In: the lines that hold now and a checker. Out: a check, kept with what it was based on."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

from fieldnote.flow.lines import standing
from fieldnote.notebook import Notebook
from fieldnote.records import Check, Extraction, Line, Visit, digest, from_plain, to_plain

Checker = Callable[[Extraction, Visit, date], Check]
# what was read and is no line
BESIDES = ("smell_of_gas", "gas", "meter", "no_smell", "appliances_connected", "doubted")


@dataclass(frozen=True, slots=True)
class Checked:
    """A check and whether it speaks of the lines as they are now."""

    check: Check
    fresh: bool


def day_of(notebook: Notebook, visit: Visit) -> date:
    """The day whose limits hold: that of the first recording, where it was made; else the day the visit was opened.

    Sound may reach the notebook days after the work, and editions of a standard change overnight.
    """
    spoken = [item.at for item in notebook.items(visit.id) if item.kind == "recording" and item.at]
    return min(spoken, default=visit.opened_at).date()


def _basis(extraction: Extraction, visit: Visit, day: date) -> str:
    """What a check depends on, as one digest: what holds now and what is known of the visit."""
    return digest([to_plain(extraction), to_plain(replace(visit, closed_at=None)), day.isoformat()])


def check(notebook: Notebook, visit: Visit, lines: list[Line], said: Extraction, checker: Checker) -> Check:
    """Check a visit and keep the result. `said` is what was read: it brings what is not a line (smell of gas, gas, meter)."""
    asked, ids = question(lines, said)
    day = day_of(notebook, visit)
    basis = _basis(asked, visit, day)
    result = checker(asked, visit, day)
    newest = newest_check(notebook, visit.id)
    if newest is None or newest["basis"] != basis or newest["check"]["trade_version"] != result.trade_version:
        notebook.append("check", {"basis": basis, "lines": ids, "check": to_plain(result)}, visit=visit.id)
    return result


def stored(notebook: Notebook, visit: Visit, lines: list[Line], said: Extraction) -> Checked:
    """The newest check that was kept, and whether anything has changed since."""
    newest = newest_check(notebook, visit.id)
    if newest is None:
        return Checked(Check(), False)
    asked, _ = question(lines, said)
    return Checked(from_plain(Check, newest["check"]), newest["basis"] == _basis(asked, visit, day_of(notebook, visit)))


def newest_check(notebook: Notebook, visit: str) -> dict | None:  # type: ignore[type-arg]
    """The payload of the last check of a visit, or None."""
    payloads = [entry.payload for entry in notebook.entries(kind="check", visit=visit) if entry.payload]
    return payloads[-1] if payloads else None


def question(lines: list[Line], said: Extraction) -> tuple[Extraction, dict[str, list[str]]]:
    """What the checker is asked about, and the ids of the lines behind each kind, in order."""
    asked, ids = standing(lines)
    besides = {name: getattr(said, name) for name in BESIDES}
    return replace(asked, **besides), ids
