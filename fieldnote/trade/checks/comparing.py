"""What does not add up. Comes in: a case and its results. Goes out: points; nothing is corrected and nothing preferred."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import combinations

from fieldnote.records import Finding, Point, Quantity, Reading, Result
from fieldnote.trade import tables
from fieldnote.trade.checks.case import FIT, Case, Indexed, indexes, named, place, spoken
from fieldnote.trade.doubt import shown
from fieldnote.trade.knowledge import Remark, readings
from fieldnote.trade.vocabulary import vocabulary

# a reading that says what a calculation also gives: quantity -> ids of results
SAID = {
    "gas-rate": ("gas-rate",),
    "heat-input": ("heat-input-gross", "heat-input-net"),
    "co-ratio": ("co-ratio",),
    "room-volume": ("volume",),
}


def said_against_worked(case: Case, results: Sequence[Result]) -> Iterator[Point]:
    """A value that was said and can also be worked out: both are kept, a difference beyond the doubt is shown."""
    for index, reading in case.readings(*SAID):
        for result in results:
            if _same_matter(case, index, reading, result):
                yield from _difference(index, reading, result)


def _same_matter(case: Case, index: int, reading: Reading, result: Result) -> bool:
    """Whether a result is about what a reading says: same appliance, place and phase where both name one."""
    if index in result.from_readings:
        return False
    used = [case.said.readings[i] for i in result.from_readings]
    phases = {one.phase for one in used if one.phase}
    same_appliance = None in (reading.appliance, result.appliance) or reading.appliance == result.appliance
    places = {place(one)[1:] for one in used} if reading.position or reading.burner else {place(reading)[1:]}
    return same_appliance and (not phases or reading.phase in (None, *phases)) and place(reading)[1:] in places


def _difference(index: int, reading: Reading, result: Result) -> Iterator[Point]:
    ids = [id_ for id_ in SAID[reading.quantity] if id_ in result.results]
    if reading.basis:
        ids = [id_ for id_ in ids if id_.endswith(reading.basis)]
    worked = [result.results[id_] for id_ in ids]
    if worked and not any(agrees(reading, one) for one in worked):
        label = vocabulary().label(reading.quantity)
        found = " or ".join(f"{one.value} ± {one.plus_minus or 0} {_unit(one.unit)}".rstrip() for one in worked)
        text = f"{label}: {shown(reading.value)} was said, {found} is worked out from {spoken(result)}"
        used = (index, *result.from_readings)
        yield Point("contradiction", f"said-{reading.quantity}", text, readings=used, evidence=reading.evidence)


def agrees(reading: Reading, worked: Quantity) -> bool:
    """Whether a said value lies within the doubt of the worked one, half of its own last digit added."""
    half_digit = Decimal(5).scaleb(int(reading.value.as_tuple().exponent) - 1)
    return abs(reading.value - worked.value) <= half_digit + (worked.plus_minus or 0)


def _unit(unit: str) -> str:
    return "" if unit == "1" else unit


def unlikely(case: Case) -> Iterator[Point]:
    """Readings outside of what is likely: heard wrong, or something is wrong."""
    for index, reading in enumerate(case.said.readings):
        span = _span(case, reading)
        if span is not None and not span[0] <= reading.value <= span[1]:
            label = vocabulary().label(reading.quantity)
            usual = f"usually {shown(span[0])} to {shown(span[1])}"
            text = (
                f"{label} {shown(reading.value)} {_unit(reading.unit)}".rstrip()
                + f" is unlikely ({usual}): heard right?"
            )
            yield Point("unlikely", f"unlikely-{reading.quantity}", text, readings=(index,), evidence=reading.evidence)


def _span(case: Case, reading: Reading) -> tuple[Decimal, Decimal] | None:
    row = readings().likely.get(reading.quantity)
    if row is None:
        return None
    if row.by_gas and case.gas in tables.gases():
        low, high = tables.gases()[str(case.gas)].working
        return low, high
    return row.likely[0], row.likely[1]


def differing_readings(case: Case) -> Iterator[Point]:
    """Two different values of what should have one, for one place and phase."""
    groups: dict[object, list[Indexed]] = defaultdict(list)
    for index, reading in enumerate(case.said.readings):
        row = readings().likely.get(reading.quantity)
        if row is not None and row.once:
            groups[(reading.quantity, *place(reading), reading.phase, reading.basis)].append((index, reading))
    for group in groups.values():
        values = list(dict.fromkeys(shown(one.value) for _, one in group))
        if len(values) > 1:
            quantity, last = group[0][1].quantity, group[-1][1]
            text = (
                f"{vocabulary().label(quantity)}: {' and '.join(str(value) for value in values)} were said of one place"
            )
            yield Point("contradiction", f"differ-{quantity}", text, readings=indexes(group), evidence=last.evidence)


def fit_and_faulty(case: Case) -> Iterator[Point]:
    """One part at one place called satisfactory and faulty at once."""
    parts: dict[tuple[str | None, ...], list[tuple[int, Finding]]] = defaultdict(list)
    for index, finding in case.findings("present"):
        if finding.component and finding.condition is not None:
            parts[_part(finding)].append((index, finding))
    pairs = [pair for part in parts.values() for pair in combinations(part, 2)]
    for (i, one), (j, other) in sorted(pairs, key=lambda pair: (pair[0][0], pair[1][0])):
        if (one.condition in FIT) != (other.condition in FIT):
            words = vocabulary()
            text = f"{named(one)}: {words.label(one.condition)} and {words.label(other.condition)} were both said"
            yield Point("contradiction", "fit-and-faulty", text, findings=(i, j), evidence=other.evidence)


def _part(finding: Finding) -> tuple[str | None, ...]:
    return finding.appliance, finding.unit, finding.component, finding.position, finding.burner


def fit_against_result(case: Case, results: Sequence[Result]) -> Iterator[Point]:
    """A part called satisfactory although a result that speaks of it lies outside its limit."""
    for result in results:
        if result.verdict != "outside":
            continue
        parts = readings().speaks_of.get(result.name, [])
        for index, finding in case.findings("present"):
            same = None in (finding.appliance, result.appliance) or finding.appliance == result.appliance
            if finding.component in parts and finding.condition in FIT and same:
                text = f"{named(finding)} was called satisfactory, but {spoken(result)} lies outside its limit"
                yield Point(
                    "contradiction", f"fit-but-{result.name}", text, findings=(index,), readings=result.from_readings,
                    evidence=finding.evidence,
                )  # fmt: skip


def named_twice(case: Case, gas: str | None, meter: str | None) -> Iterator[Point]:
    """Gas or meter set on the visit and said otherwise."""
    for what, set_, said in (("gas", gas, case.said.gas), ("meter", meter, case.said.meter)):
        if set_ and said and set_.casefold() != said.casefold():
            yield Point("contradiction", f"{what}-differs", f"the visit says {what} {set_}, {said} was said")


def remarks(case: Case) -> Iterator[Point]:
    """What single values bring up, the strongest remark of each reading."""
    for index, reading in enumerate(case.said.readings):
        found = [row for row in readings().remark if _fits(row, reading, case.gas)]
        for row in found[:1]:
            yield Point(
                row.kind, row.id, row.text, row.cited(), tuple(row.next), readings=(index,), evidence=reading.evidence
            )


def _fits(row: Remark, reading: Reading, gas: str | None) -> bool:
    if row.quantity != reading.quantity or (row.gas and gas not in row.gas):
        return False
    over = row.above is not None and reading.value > row.above
    under = row.below is not None and reading.value < row.below
    return over or under
