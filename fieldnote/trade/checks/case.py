"""One visit as the check sees it. Comes in: what was said and what is known of the visit. Goes out: easy questions to it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from fieldnote.errors import UsageProblem
from fieldnote.records import Evidence, Extraction, Finding, Point, Reading, Result
from fieldnote.trade.calculation import calculate
from fieldnote.trade.doubt import MOST_DIGITS
from fieldnote.trade.limits import Limits
from fieldnote.trade.vocabulary import vocabulary

LIVE = ("present", "possible", "reported")
FIT = ("ok", "passed")
Place = tuple[str | None, str | None, str | None]
Indexed = tuple[int, Reading]


@dataclass(frozen=True)
class Case:
    """What was said (`said`), and what is known of the visit. `gas` and `meter` are None when nobody named them."""

    said: Extraction
    work: str | None
    appliances: tuple[str, ...]
    gas: str | None
    meter: str | None
    region: str | None
    edition: str | None
    on: date
    limits: Limits
    emergency_number: str | None = None

    def readings(self, *quantities: str) -> list[Indexed]:
        """The readings of some quantities with their index, in the order in which they were said."""
        return [(i, reading) for i, reading in enumerate(self.said.readings) if reading.quantity in quantities]

    def findings(self, *statuses: str) -> Iterator[tuple[int, Finding]]:
        """The findings of some statuses with their index."""
        return ((i, finding) for i, finding in enumerate(self.said.findings) if finding.status in statuses)

    def all_appliances(self) -> set[str]:
        """Every appliance that the visit names or that was spoken of."""
        findings = {finding.appliance for finding in self.said.findings if finding.appliance}
        return {
            *self.appliances,
            *findings,
            *(reading.appliance for reading in self.said.readings if reading.appliance),
        }

    def sole_appliance(self) -> str | None:
        """The appliance, when the whole visit is about one only; None otherwise."""
        named = self.all_appliances() - {"installation"}
        return next(iter(named)) if len(named) == 1 else None


@dataclass(frozen=True, slots=True)
class Job:
    """A calculation that readings call for."""

    name: str
    inputs: Mapping[str, str]
    readings: tuple[Indexed, ...]
    appliance: str | None = None


def place(reading: Reading) -> Place:
    """Where a reading was taken: appliance, position, burner."""
    return reading.appliance, reading.position, reading.burner


def named(finding: Finding) -> str:
    """A part as people name it: "Hob, Spark electrode (front left)"."""
    whose, part = (vocabulary().label(id_).partition(" (")[0] for id_ in (finding.appliance, finding.component))
    whose += f" ({finding.unit})" if finding.unit else ""
    where = ", ".join(name.replace("-", " ") for name in (finding.position, finding.burner) if name)
    return ", ".join(name for name in (whose, part + (f" ({where})" if where else "")) if name)


def spoken(result: Result) -> str:
    """A calculation as people name it, with its appliance: "Hob, flame supervision"."""
    name = result.name.replace("-", " ")
    return f"{vocabulary().label(result.appliance)}, {name}" if result.appliance else name


def text_of(value: Decimal) -> str:
    """A figure as calculations take it; what is far outside of anything measurable keeps its exponent."""
    return format(value, "f") if abs(value.adjusted()) <= MOST_DIGITS else str(value)


def attempt(case: Case, job: Job) -> Result | Point:
    """Work a job out. A figure that is physically impossible becomes a point for a person instead."""
    try:
        result = calculate(
            job.name, job.inputs, on=case.on, edition=case.edition, region=case.region, gas=case.gas, limits=case.limits
        )
    except UsageProblem as problem:
        return Point(
            "unlikely",
            f"impossible-{job.name}",
            f"{problem.sentence}; say it again or mend it",
            readings=indexes(job.readings),
            evidence=job.readings[-1][1].evidence if job.readings else None,
        )
    result = replace(result, from_readings=indexes(job.readings), appliance=job.appliance)
    return _compared(result, job.readings)


def _compared(result: Result, used: Sequence[Indexed]) -> Result:
    """A reading said as "more than", "less than" or "about" is no exact figure: no verdict rests on it unless it only helps."""
    vague = [reading for _, reading in used if reading.comparator and not _harmless(result, reading)]
    if not vague or result.verdict == "no-verdict":
        return result
    note = f"said as {vague[0].comparator} {vague[0].value}: no exact figure"
    return undecided(result, "doubt", "say the figure itself", note)


def _harmless(result: Result, reading: Reading) -> bool:
    """ "More than" a least figure that is met, or "less than" a largest one that is met, decides all the more."""
    limit = result.limit
    if limit is None or result.verdict != "within":
        return False
    return (reading.comparator == ">" and limit.high is None) or (reading.comparator == "<" and limit.low is None)


def undecided(result: Result, reason: str, settle: str, note: str) -> Result:
    """The same result without a verdict."""
    return replace(result, verdict="no-verdict", reason=reason, settle=settle, notes=(*result.notes, note))


def indexes(readings: Sequence[Indexed]) -> tuple[int, ...]:
    """The indexes of readings."""
    return tuple(index for index, _ in readings)


def evidence(readings: Sequence[Indexed]) -> Evidence | None:
    """The words of the last of some readings."""
    return readings[-1][1].evidence if readings else None
