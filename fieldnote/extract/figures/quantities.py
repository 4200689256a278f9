"""What the extractor knows of quantities, units and the words around figures. In: `cues/quantities.toml`, `cues/measures.toml`.
Out: `Knowledge`, checked. Not allowed to know: limits (the ranges here only decide between two readings of the same words).
"""

import functools
import tomllib
from dataclasses import dataclass, field
from decimal import Decimal
from importlib import resources
from typing import Any, Literal

from fieldnote.extract.figures.spoken import SOFT
from fieldnote.extract.words.matcher import Phrases, built
from fieldnote.trade.units import KINDS
from fieldnote.trade.vocabulary import vocabulary

MARK = "mark"
_KIND = {unit: kind for kind, units in KINDS.items() for unit in units}


@dataclass(frozen=True, slots=True)
class Quantity:
    """How one quantity is said. Ranges are in its own unit; `bare` is the unit of a number without one."""

    id: str
    unit: str
    likely: tuple[Decimal, Decimal]
    possible: tuple[Decimal, Decimal]
    bare: str | None
    style: str

    def takes(self, unit: str) -> bool:
        """Whether a value in `unit` can be of this quantity."""
        return _KIND[unit] == _KIND[self.unit] or (unit == "ft3" and self.unit == "m3")


@dataclass(frozen=True, slots=True)
class Name:
    """A name of a quantity. `strength`: name, weak, topic, or none: a name of something else that looks like one."""

    quantity: str
    strength: str


@dataclass(frozen=True, slots=True)
class Unit:
    """A spoken unit: (value + `offset`) x `factor` is in the table's unit `id`. `joined`: only written against the number."""

    id: str
    factor: Decimal
    joined: bool = False
    offset: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class Cue:
    """Words around a figure: what they do to it (`kind`), and with which value."""

    id: str
    kind: str
    value: str | None = None


@dataclass(frozen=True, slots=True)
class Knowledge:
    """Everything the steps of readings look words up in."""

    quantities: dict[str, Quantity]
    names: Phrases[Name]
    units: Phrases[Unit]
    cues: Phrases[Cue]
    everyday: frozenset[str]
    company: frozenset[str]
    examples: tuple[tuple[str, tuple[str, str], str], ...] = field(default=())


@functools.cache
def knowledge() -> Knowledge:
    """The knowledge that ships with the program. Raises ValueError (pydantic) when a file does not have its form."""
    said, around = _checked("quantities.toml"), _checked("measures.toml")
    quantities = {}
    names, units, cues = Phrases[Name]((SOFT,)), Phrases[Unit](), Phrases[Cue]((SOFT,))
    for id_, row in said["quantities"].items():
        quantities[id_] = _quantity(id_, row)
        for strength in ("names", "weak", "topic"):
            for phrase in [*row[strength], *built(row[f"built_{strength}"])]:
                names.add(phrase, Name(id_, "name" if strength == "names" else strength))
                names.add(phrase + "s", Name(id_, "name" if strength == "names" else strength))
    for phrase in said["others"]["names"]:
        names.add(phrase, Name("", "none"))
    for row in said["units"]:
        for phrase in (*row["forms"], *row["joined"], *built(row["built"])):
            units.add(
                phrase, Unit(row["unit"], Decimal(row["factor"]), phrase in row["joined"], Decimal(row["offset"]))
            )
    for row in around["cue"]:
        for phrase in [*row["forms"], *built(row["built"])]:
            cues.add(phrase, Cue(row["id"], row["kind"], row["value"]))
    everyday = said["everyday"]
    rows = [
        ("everyday", everyday["yes"], everyday["no"]),
        *((row["id"], row["yes"], row["no"]) for row in around["cue"]),
    ]
    examples = tuple((id_, tuple(yes), no) for id_, yes, no in rows)
    anybodys, company = frozenset(everyday["words"]), frozenset(everyday["company"])
    return Knowledge(quantities, names, units, cues, anybodys, company, examples)


def _quantity(id_: str, row: dict[str, Any]) -> Quantity:
    low, high = row["likely"]
    least, most = row["possible"]
    return Quantity(id_, vocabulary().quantities[id_][1], (low, high), (least, most), row["bare"], row["style"])


def _checked(name: str) -> dict[str, Any]:
    raw = tomllib.loads(
        resources.files("fieldnote.extract").joinpath(f"cues/{name}").read_text("utf-8"), parse_float=Decimal
    )
    model = _models()[name]
    return dict(model.model_validate(raw).model_dump())


@functools.cache
def _models() -> dict[str, Any]:
    """The forms of the files; pydantic is loaded here, not when the module is."""
    from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator

    class Strict(BaseModel):
        model_config = ConfigDict(extra="forbid", frozen=True)

    class QuantityRow(Strict):
        names: list[str]
        weak: list[str] = Field(default=[])
        topic: list[str] = Field(default=[])
        built_names: list[list[list[str]]] = Field(default=[])
        built_weak: list[list[list[str]]] = Field(default=[])
        built_topic: list[list[list[str]]] = Field(default=[])
        likely: tuple[Decimal, Decimal]
        possible: tuple[Decimal, Decimal]
        bare: str | None = None
        style: Literal["whole", "tenths", "string"]

        @model_validator(mode="after")
        def ordered(self) -> "QuantityRow":
            if not self.possible[0] <= self.likely[0] < self.likely[1] <= self.possible[1]:
                raise ValueError("likely must lie inside possible")
            if self.bare not in (None, MARK) and self.bare not in _KIND:
                raise ValueError(f"{self.bare} is not in the table of units")
            return self

    class UnitRow(Strict):
        unit: str
        forms: list[str]
        factor: str = "1"
        offset: str = "0"
        joined: list[str] = Field(default=[])
        built: list[list[list[str]]] = Field(default=[])

        @field_validator("unit")
        @classmethod
        def known(cls, unit: str) -> str:
            if unit not in _KIND:
                raise ValueError(f"{unit} is not in the table of units")
            return unit

    class CueRow(Strict):
        id: str
        kind: str
        forms: list[str]
        built: list[list[list[str]]] = Field(default=[])
        value: str | None = None
        yes: tuple[str, str]
        no: str

    class OtherRow(Strict):
        names: list[str]

    class EverydayRow(Strict):
        words: list[str]
        company: list[str]
        yes: tuple[str, str]
        no: str

    class Said(Strict):
        others: OtherRow
        everyday: EverydayRow
        quantities: dict[str, QuantityRow]
        units: list[UnitRow]

        @field_validator("quantities")
        @classmethod
        def all_of_them(cls, rows: dict[str, QuantityRow]) -> dict[str, QuantityRow]:
            if rows.keys() != vocabulary().quantities.keys():
                raise ValueError(f"not the vocabulary's quantities: {rows.keys() ^ vocabulary().quantities.keys()}")
            return rows

    class Around(Strict):
        cue: list[CueRow]

    return {"quantities.toml": Said, "measures.toml": Around}
