"""The calculations on offer and how their inputs are read. Comes in: words. Goes out: figures within what is possible.

Reads `data/calculations.toml`. Not allowed to know: limits, or how anything is worked out.
"""

import functools
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated

from pydantic import Field

from fieldnote.errors import UsageProblem
from fieldnote.trade import tables, units
from fieldnote.trade.doubt import shown
from fieldnote.trade.tables import Number, Row

Pair = Annotated[list[Number], Field(min_length=2, max_length=2)]
Value = Decimal | str | tuple[tuple[str, Decimal], ...]

_FIGURE = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?)\s*((?:[^\s\d.,]\S*)?)\s*", re.ASCII)
DIGITS = 40


class Input(Row):
    """One input of a calculation. Without a unit and with choices it is a word; `repeat` takes SIZE:METRES several times."""

    text: str
    unit: str | None = None
    needed: bool = False
    possible: Pair | None = None
    likely: Pair | None = None
    choices: list[str] = Field(default=[])
    repeat: bool = False
    by_hand: str | None = None


class Calculation(Row):
    """One calculation as people read it."""

    title: str
    formula: str
    sources: list[str]
    results: dict[str, str]
    inputs: dict[str, Input]


@dataclass(frozen=True, slots=True)
class Given:
    """The inputs of one calculation, read: values by name in their own units, notes on what is unlikely, units as written."""

    values: Mapping[str, Value]
    notes: tuple[str, ...]
    written: Mapping[str, str]


@functools.cache
def calculations() -> Mapping[str, Calculation]:
    """Every calculation by name, in the order of the file."""
    path = tables.folder() / "calculations.toml"
    return tables.fit(dict[str, Calculation], tables.read(path), path)  # type: ignore[no-any-return]


def find(name: str) -> Calculation:
    """One calculation. Raises UsageProblem FN-202 when there is none of that name."""
    if name not in calculations():
        raise UsageProblem("FN-202", name=name)
    return calculations()[name]


def read(name: str, inputs: Mapping[str, str]) -> Given:
    """The inputs of a calculation as figures in their own units.

    Raises UsageProblem: FN-203 when a needed one is missing, FN-201 when one is unknown, no figure, of another kind of
    unit, or outside what is physically possible.
    """
    spec = find(name)
    for unknown in inputs.keys() - spec.inputs.keys():
        raise UsageProblem("FN-201", what=f"{name} with {unknown}", reason="it has no such input")
    missing = [key for key, row in spec.inputs.items() if row.needed and not str(inputs.get(key, "")).strip()]
    if missing:
        raise UsageProblem("FN-203", name=name, missing=", ".join(missing))
    values: dict[str, Value] = {}
    notes: list[str] = []
    for key, text in inputs.items():
        values[key] = _value(key, spec.inputs[key], text)
        notes += _unlikely(key, spec.inputs[key], values[key])
    return Given(values, tuple(notes), {key: unit for key, text in inputs.items() if (unit := _unit_written(text))})


def _unit_written(text: str) -> str | None:
    found = _FIGURE.fullmatch(text)
    return found[2] if found else None


def _value(key: str, row: Input, text: str) -> Value:
    if row.repeat:
        return tuple(_piece(key, row, piece) for piece in text.split())
    if row.choices:
        return _choice(key, row.choices, text)
    value = figure(key, text, row.unit or "1")
    _check_possible(key, row, value)
    return value


def _choice(key: str, choices: list[str], text: str) -> str:
    wanted = {choice.casefold(): choice for choice in choices}
    word = text.strip().casefold()
    if word not in wanted and (found := _FIGURE.fullmatch(word)):
        word = str(shown(Decimal(found[1])))  # 1.0 is 1
    if word not in wanted:
        raise UsageProblem("FN-201", what=f"{key} {text.strip()!r}", reason=f"it is one of {', '.join(choices)}")
    return wanted[word]


def _piece(key: str, row: Input, text: str) -> tuple[str, Decimal]:
    size, colon, metres = text.rpartition(":")
    if not colon or not size:
        raise UsageProblem("FN-201", what=f"{key} {text!r}", reason="it is written SIZE:METRES, for example 22:6")
    value = figure(key, metres, "m")
    _check_possible(key, row, value)
    return size, value


def figure(key: str, text: str, unit: str) -> Decimal:
    """A figure with or without a unit ("20", "20 mbar", "8 inwg") in `unit`. Raises UsageProblem FN-201 when it is none."""
    found = _FIGURE.fullmatch(text)
    if not found or len(found[1]) > DIGITS:
        reason = "a decimal point is needed, not a comma" if "," in text else "it is no figure"
        raise UsageProblem("FN-201", what=f"{key} {text[:DIGITS].strip()!r}", reason=reason)
    return units.convert(Decimal(found[1]), found[2] or unit, unit)


def _check_possible(key: str, row: Input, value: Decimal) -> None:
    if row.possible and not row.possible[0] <= value <= row.possible[1]:
        least, most = (shown(end) for end in row.possible)
        reason = f"physically it lies between {least} and {most} {row.unit or 'm'}"
        raise UsageProblem("FN-201", what=f"{key} {value}", reason=reason)


def _unlikely(key: str, row: Input, value: Value) -> list[str]:
    if row.likely is None or isinstance(value, str):
        return []
    figures = [value] if isinstance(value, Decimal) else [metres for _, metres in value]
    return [
        f"unlikely: {key} {shown(one)} {row.unit or 'm'} (usually {shown(row.likely[0])} to {shown(row.likely[1])})"
        for one in figures
        if not row.likely[0] <= one <= row.likely[1]
    ]
