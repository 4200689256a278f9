"""Reading the data files, strictly. Comes in: the name of a file. Goes out: its rows as checked, frozen models.

Decimals stay exact, dates are dates, an unknown key is refused, and everything that is wrong with a file is said at once.
Not allowed to know: what the figures are used for.
"""

import functools
import hashlib
import tomllib
from collections.abc import Mapping
from decimal import Decimal
from importlib import resources
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, TypeAdapter, ValidationError

from fieldnote.errors import InputProblem

Grade = Literal["P", "K", "M", "M-low", "C", "user"]
SPOKEN = "spoken"  # the folder of spoken forms: how things are said decides no verdict


MOST_BYTES = 1_000_000
MOST_DIGITS = 15  # a figure with more digits before or after its point is no figure of the trade


def _exact(value: Any) -> Any:
    number = Decimal(value) if type(value) is int else value
    if isinstance(number, Decimal) and number.is_finite() and abs(number.adjusted()) > MOST_DIGITS:
        raise ValueError("it is far outside of anything that can be measured")
    return number


Number = Annotated[Decimal, BeforeValidator(_exact)]


class Row(BaseModel):
    """One row of a data file: frozen, strict, no unknown keys; `some_name` here is `some-name` in the file."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, strict=True, alias_generator=lambda name: name.rstrip("_").replace("_", "-")
    )


class Source(Row):
    """Where a figure comes from and how it was seen."""

    title: str
    seen: Literal["excerpt", "whole", "listing", "calculated", "memory", "practice"]

    def line(self) -> str:
        """The source as people read it."""
        return (
            self.title if self.seen in ("calculated", "memory", "practice") else f"{self.title} (seen as {self.seen})"
        )


class Reference(Row):
    """The test gas that stands for a gas at an injector."""

    name: str
    cv_gross: Number
    cv_net: Number
    relative_density: Number
    source: str
    grade: Grade


class Gas(Row):
    """A gas: MJ/m3, mbar, density relative to air, Pa s, %."""

    title: str
    cv_gross: Number
    gross_to_net: Number
    pressure: Number
    working: Annotated[list[Number], Field(min_length=2, max_length=2)]
    pipe_density: Number
    viscosity: Number
    co2_max: Number
    source: str
    grade: Grade
    reference: Reference


class Constant(Row):
    """A single figure that belongs to no region."""

    value: Number
    unit: str
    text: str
    source: str
    grade: Grade


class Meter(Row):
    """What a meter holds, m3."""

    volume: Number
    source: str
    grade: Grade


class Pipe(Row):
    """A pipe: m3 a metre, size and bore in mm."""

    text: str
    size: Number
    volume: Number
    bore: Number | None = None
    source: str
    grade: Grade


class Fitting(Row):
    """What a fitting counts for, in m of pipe."""

    metres: Number
    source: str
    grade: Grade


class Flex(Row):
    """The earth conductor of a flex, ohm a metre."""

    ohm_per_metre: Number
    source: str
    grade: Grade


class Doubt(Row):
    """How far a reading may be off: so much, or a share (%) of the reading from a value on, whichever is larger."""

    plus_minus: Number
    share: Number = Decimal(0)
    from_: Number = Decimal(0)
    text: str
    source: str
    grade: Grade

    def of(self, value: Decimal) -> Decimal:
        """The doubt of one reading."""
        share = abs(value) * self.share / 100 if abs(value) > self.from_ else Decimal(0)
        return max(self.plus_minus, share)


class Equipment(Row):
    """Everything of equipment.toml. `discharge` holds the older copper table as it is written."""

    constants: dict[str, Constant]
    meters: dict[str, Meter]
    pipes: dict[str, Pipe]
    fittings: dict[str, Fitting]
    discharge: dict[str, Any]
    flexes: dict[str, Flex]
    doubts: dict[str, Doubt]


def folder() -> Path:
    """Where the data files are."""
    return Path(str(resources.files("fieldnote.trade"))) / "data"


def read(path: Path) -> dict[str, Any]:
    """A TOML file as plain values with exact decimals. Raises InputProblem FN-304 when it is none or cannot be read."""
    try:
        if path.exists() and not path.is_file():
            raise OSError("it is no plain file")
        if path.stat().st_size > MOST_BYTES:
            raise OSError(f"it is larger than {MOST_BYTES} bytes")
        return tomllib.loads(path.read_text("utf-8"), parse_float=Decimal)
    except (OSError, ValueError, ArithmeticError, RecursionError) as problem:
        raise InputProblem("FN-304", path=path, reason=problem) from None


def fit(kind: Any, values: Any, path: Path) -> Any:
    """Values as models of `kind`. Raises InputProblem FN-304 that names everything which does not fit."""
    try:
        return TypeAdapter(kind).validate_python(values)
    except ValidationError as problem:
        raise InputProblem("FN-304", path=path, reason="; ".join(complaints(problem))) from None


def complaints(problem: ValidationError) -> list[str]:
    """Every error of a validation as "where: what"."""
    return [f"{'.'.join(str(part) for part in error['loc'])}: {error['msg']}" for error in problem.errors()]


@functools.cache
def sources() -> Mapping[str, Source]:
    """The sources, by id."""
    return _table(dict[str, Source], "sources.toml")  # type: ignore[no-any-return]


@functools.cache
def gases() -> Mapping[str, Gas]:
    """The gases: natural, propane, butane."""
    return _table(dict[str, Gas], "gases.toml")  # type: ignore[no-any-return]


@functools.cache
def equipment() -> Equipment:
    """Meters, pipes, fittings, flexes, doubts of instruments, and constants."""
    return _table(Equipment, "equipment.toml")  # type: ignore[no-any-return]


def _table(kind: Any, name: str) -> Any:
    path = folder() / name
    return fit(kind, read(path), path)


def decisive() -> list[Path]:
    """The data files that verdicts and points rest on: all but the spoken forms, sorted."""
    return sorted(path for path in folder().rglob("*.toml") if SPOKEN not in path.relative_to(folder()).parts)


@functools.cache
def version() -> str:
    """The name of the trade data: a digest over the decisive files, so that a verdict can be walked back to them."""
    digest = hashlib.sha256()
    for path in decisive():
        digest.update(path.relative_to(folder()).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return f"trade-{digest.hexdigest()[:12]}"
