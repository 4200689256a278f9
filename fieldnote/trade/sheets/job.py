"""What a sheet is given and what it hands back. Comes in: figures. Goes out: figures. Knows no calculation by name."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from fieldnote.errors import UsageProblem
from fieldnote.trade import tables
from fieldnote.trade.catalogue import Value
from fieldnote.trade.doubt import Measured, shown
from fieldnote.trade.judge import GRADES, Circumstances, Fact, Ruling, judge, no_verdict
from fieldnote.trade.tables import Constant, Gas

NO_LIMIT = no_verdict("missing-limit", None, "there is nothing to hold this against: it is worked out, not judged")


@dataclass(frozen=True, slots=True)
class Job:
    """One calculation to be done: its inputs in their own units, the gas (None when it is not known), where and when.

    `written` holds the units that were written beside figures.
    """

    name: str
    given: Mapping[str, Value]
    where: Circumstances
    gas_name: str | None = None
    written: Mapping[str, str] = field(default_factory=dict)

    @property
    def gas(self) -> Gas | None:
        """The gas, or None."""
        return tables.gases()[self.gas_name] if self.gas_name else None

    def number(self, name: str) -> Decimal | None:
        """An input that is a figure, or None when it was not given."""
        value = self.given.get(name)
        return value if isinstance(value, Decimal) else None

    def needed(self, name: str) -> Decimal:
        """An input without which there is no calculation. Raises UsageProblem FN-203."""
        value = self.number(name)
        if value is None:
            raise UsageProblem("FN-203", name=self.name, missing=name)
        return value

    def word(self, name: str) -> str | None:
        """An input that is a word, or None."""
        value = self.given.get(name)
        return value if isinstance(value, str) else None

    def measured(self, name: str, doubt: str) -> Measured:
        """A needed input with the doubt of the instrument it was read from."""
        return doubtful(self.needed(name), doubt)

    def judge(self, quantity: str, value: Measured, settle: str | None = None, **facts: Fact) -> Ruling:
        """Hold a value against the limits that apply. Facts are named as in the limits, with _ for -."""
        named = {key.rstrip("_").replace("_", "-"): fact for key, fact in facts.items()}
        return judge(self.where, quantity, value, named, settle)


@dataclass(slots=True)
class Outcome:
    """What a sheet hands back: results with their unit, the ruling, notes, and the constants that were used."""

    ruling: Ruling = NO_LIMIT
    results: dict[str, tuple[Measured, str]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    used: list[str] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)

    def add(self, name: str, value: Measured, unit: str) -> Measured:
        """Put one result down, and hand it back for the next step."""
        self.results[name] = (value, unit)
        return value

    def use(self, text: str, source: str, grade: str) -> None:
        """Put down that a constant was used, with its source and how far that is trusted."""
        trust = f" ({GRADES[grade]})" if grade in GRADES else ""
        self.used.append(f"used: {text}{trust}")
        if source not in self.sources:
            self.sources.append(source)

    def constant(self, name: str) -> Decimal:
        """A constant of equipment.toml, put down as used."""
        row: Constant = tables.equipment().constants[name]
        self.use(f"{row.text} {shown(row.value)} {row.unit}".removesuffix(" 1"), row.source, row.grade)
        return row.value


def doubtful(value: Decimal, doubt: str) -> Measured:
    """A value with the doubt of an instrument of equipment.toml."""
    return Measured(value, tables.equipment().doubts[doubt].of(value))


def gas_unknown(name: str) -> Ruling:
    """The ruling when it is not known which gas is burned."""
    return no_verdict(
        "missing-input", "say which gas it is: natural, propane or butane", f"{name}: the gas is not known"
    )
