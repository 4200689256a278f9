"""What the readings mean: quantities with doubt, limits with their source, verdicts, and what is still unsaid.

A verdict is "within", "outside" or "no-verdict"; there is no other, and none of them says that an appliance is fit for use.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from fieldnote.records.findings import Evidence


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value with its unit and its doubt (plus or minus, same unit; None where the doubt is not known)."""

    value: Decimal
    unit: str
    plus_minus: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit as dated, sourced data. `grade` is how far its source is trusted: P, K, M, C or user."""

    id: str
    text: str
    source: str
    grade: str
    edition: str | None = None
    from_date: date | None = None
    to_date: date | None = None
    low: Decimal | None = None
    high: Decimal | None = None
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class Result:
    """One calculation, done: its inputs, results with doubt, formula, limit, verdict, sources and notes.

    `reason` belongs to "no-verdict": missing-input, missing-limit, doubt, edition or unsourced.
    `settle` says what would settle a doubt. `from_readings` are indexes into the extraction's readings.
    `trade_version` names the trade data that produced it.
    """

    name: str
    inputs: Mapping[str, str]
    results: Mapping[str, Quantity]
    formula: str
    limit: Limit | None
    verdict: str
    reason: str | None = None
    settle: str | None = None
    sources: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    from_readings: tuple[int, ...] = ()
    appliance: str | None = None
    trade_version: str = ""


@dataclass(frozen=True, slots=True)
class Point:
    """Something a person should look at.

    `kind`: unsaid (a checklist point), contradiction, unlikely, tell (the responsible person), symptom (what it points
    to, what to check next), question (a danger class to consider, with its reason), caution, emergency, procedure-unsaid.
    `findings` and `readings` are indexes into the extraction.
    """

    kind: str
    id: str
    text: str
    source: str = ""
    steps: tuple[str, ...] = ()
    findings: tuple[int, ...] = ()
    readings: tuple[int, ...] = ()
    evidence: Evidence | None = None


@dataclass(frozen=True, slots=True)
class Check:
    """What the trade makes of one visit: results of calculations and points to look at, most urgent first."""

    results: tuple[Result, ...] = ()
    points: tuple[Point, ...] = ()
    trade_version: str = ""
    facts: Mapping[str, str] = field(default_factory=dict)
