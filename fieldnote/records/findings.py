"""What was said of the appliances: findings, readings, declared classes, follow-ups, and why they were read so.

Ids (components, conditions, positions, ...) are those of the findings contract, kept in `trade/data/vocabulary.toml`.
Offsets are characters into the text that was read, end exclusive.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Evidence:
    """The words that something came from."""

    text: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Why:
    """Which words and which rule decided one field: `--explain` shows these, and the record keeps them."""

    field: str
    value: str | None
    rule: str
    evidence: Evidence | None = None


@dataclass(frozen=True, slots=True)
class Action:
    """What was done or is to be done: `kind` by the vocabulary, `state` done, needed or declined."""

    kind: str
    state: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One component, at one position, in one condition. A field that was not said is None."""

    appliance: str | None
    component: str | None
    position: str | None
    burner: str | None
    condition: str | None
    status: str
    actions: tuple[Action, ...]
    confidence: float
    evidence: Evidence
    unit: str | None = None
    superseded: str | None = None
    why: tuple[Why, ...] = ()


@dataclass(frozen=True, slots=True)
class Reading:
    """One measured value in the quantity's own unit. `said` keeps the words, leading zeros included.

    `start_value` is the start pressure of a tightness test in mbar, kept for the calculation only.
    `cubic_feet` holds the figure where a meter counts cubic feet; such a reading is never filed as m3.
    """

    quantity: str
    value: Decimal
    unit: str
    appliance: str | None
    position: str | None
    burner: str | None
    phase: str | None
    confidence: float
    evidence: Evidence
    basis: str | None = None
    comparator: str | None = None
    said: str | None = None
    cubic_feet: Decimal | None = None
    start_value: Decimal | None = None
    superseded: str | None = None
    why: tuple[Why, ...] = ()


@dataclass(frozen=True, slots=True)
class Declared:
    """A danger class that the engineer said out loud. `class_` is an id of the vocabulary's classes."""

    class_: str
    appliance: str | None
    evidence: Evidence
    why: tuple[Why, ...] = ()


def days_on(day: date, days: int | None) -> date | None:
    """So many days after a day; None when no number was said, or one that no calendar has."""
    try:
        return None if days is None else day + timedelta(days=days)
    except OverflowError:
        return None


@dataclass(frozen=True, slots=True)
class FollowUp:
    """Something to do after the visit; `due_days` only when a time was said."""

    kind: str
    due_days: int | None
    evidence: Evidence
    why: tuple[Why, ...] = ()

    def due(self, day: date) -> date | None:
        """The day it is due, counted from the day of the work; None when no time was said, or one that no calendar has."""
        return days_on(day, self.due_days)


@dataclass(frozen=True, slots=True)
class ProcedureStep:
    """One step of the record of an unsafe situation, as it was said.

    `step`: responsible-person-told, permission-given, permission-refused, isolated, disconnected, label-attached,
    notice-left, notice-signed, notice-refused, emergency-service-called, supplier-called.
    """

    step: str
    reference: str | None
    evidence: Evidence


@dataclass(frozen=True, slots=True)
class Extraction:
    """Everything that was read out of one text, in the order in which it was said.

    `smell_of_gas` holds the words where a smell of gas is said to be there now: the emergency steps come first.
    `work` is the kind of work when it was said; `gas` and `meter` likewise (natural, propane, butane; U6, G4, ...).
    `no_smell` holds the words where none is said beside a tightness test, `appliances_connected` ("yes", "no") what was said
    there. `doubted` holds findings that are wrong more often than right where such signs are: not filed, but asked about.
    """

    findings: tuple[Finding, ...] = ()
    readings: tuple[Reading, ...] = ()
    declared: tuple[Declared, ...] = ()
    followups: tuple[FollowUp, ...] = ()
    procedure: tuple[ProcedureStep, ...] = ()
    smell_of_gas: Evidence | None = None
    gas: str | None = None
    meter: str | None = None
    no_smell: Evidence | None = None
    appliances_connected: str | None = None
    doubted: tuple[Finding, ...] = ()
