"""What a report says of the engineer and the instruments. In: `engineer.toml`, written by the engineer. Out: `Particulars`.

Nothing here is ever made up: what the file does not say is a blank line on the report, to be filled in by hand.
"""

import tomllib
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from fieldnote.errors import InputProblem

EXAMPLE = """\
# What reports say of you. Leave out what you do not want printed; it becomes a line to fill in by hand.
name = "A. Person"
employer = "Example Heating"
licence = "000000"
licence_ends = 2027-03-31

[[instruments]]
name = "Pressure gauge"
serial = "PG-0001"
calibrated = 2026-02-10
next_calibration = 2027-02-10
"""


@dataclass(frozen=True, slots=True)
class Instrument:
    """One measuring instrument with its calibration."""

    name: str
    serial: str = ""
    calibrated: date | None = None
    next_calibration: date | None = None


@dataclass(frozen=True, slots=True)
class Particulars:
    """The engineer's own facts, and what was settled when the visit was handed over.

    `signature` is "signed", "refused", "nobody there" or "" (a line to sign on); `next_due` is the date on which the next
    visit is due, None when nobody said.
    """

    name: str = ""
    employer: str = ""
    licence: str = ""
    licence_ends: date | None = None
    instruments: tuple[Instrument, ...] = ()
    next_due: date | None = None
    signature: str = ""


def load(path: Path) -> Particulars:
    """The particulars in a file; all blank when there is none. Raises InputProblem FN-304, naming every fault at once."""
    if not path.is_file():
        return Particulars()
    from pydantic import ValidationError

    try:
        return _model().validate_python(tomllib.loads(path.read_text("utf-8")))  # type: ignore[no-any-return]
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as problem:
        raise InputProblem("FN-304", path=path, reason=problem) from None
    except ValidationError as problem:
        faults = "; ".join(f"{'.'.join(map(str, e['loc']))}: {e['msg']}" for e in problem.errors())
        raise InputProblem("FN-304", path=path, reason=faults) from None


def _model() -> Any:
    from pydantic import ConfigDict, TypeAdapter, with_config

    strict = with_config(ConfigDict(extra="forbid"))
    strict(Instrument)
    return TypeAdapter(strict(Particulars))
