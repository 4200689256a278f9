"""What findings point to: symptoms, questions about danger, what to tell, cautions, emergency steps. In: a case. Out: points.

A danger class is only ever asked about, with its reason. It is the engineer who declares it.
"""

from collections.abc import Iterator, Sequence

from fieldnote.records import Evidence, Finding, Point, Result
from fieldnote.trade.checks.case import FIT, LIVE, Case, named, spoken
from fieldnote.trade.knowledge import Symptom, cautions, situations, symptoms
from fieldnote.trade.tables import sources
from fieldnote.trade.vocabulary import vocabulary

ALL_AT = 4  # so many places with one symptom are "all burners"
Matches = list[tuple[int, Finding]]


def emergency(case: Case) -> Iterator[Point]:
    """A smell of gas that was said: the emergency steps, with the number that the user confirmed."""
    if case.said.smell_of_gas is None:
        return
    row = cautions().emergency
    steps = row.lines(_number(case))
    cited = sources()[row.source].line()
    yield Point("emergency", "smell-of-gas", row.text, cited, steps, evidence=case.said.smell_of_gas)


def _number(case: Case) -> str:
    if case.emergency_number:
        return f"{case.emergency_number}, as you confirmed it"
    published = ", ".join(case.limits.emergency.get(case.region or "", ()))
    known = f"; published are {published}" if published else ""
    return f"none is confirmed by you{known}; be sure it is the one for where you are"


def pointers(case: Case) -> Iterator[Point]:
    """What the findings point to and what to look at next."""
    for row in symptoms():
        found = _matching(case, row.component, row.condition)
        found = [one for one in found if not row.appliance or one[1].appliance in (None, *row.appliance)]
        for group in _by_appliance(found):
            if _spread_fits(row, group):
                indexes = tuple(index for index, _ in group)
                text = f"{row.title}: {'; '.join(row.points_to)}"
                yield Point(
                    "symptom", row.id, text, row.cited(), tuple(row.next), indexes, evidence=group[-1][1].evidence
                )


def _matching(case: Case, component: list[str], condition: list[str]) -> Matches:
    return [one for one in case.findings(*LIVE) if one[1].component in component and one[1].condition in condition]


def _by_appliance(found: Matches) -> list[Matches]:
    appliances = list(dict.fromkeys((finding.appliance, finding.unit) for _, finding in found))
    return [[one for one in found if (one[1].appliance, one[1].unit) == appliance] for appliance in appliances]


def _spread_fits(row: Symptom, group: Matches) -> bool:
    """One burner or all: all when it was said of all, of every place, or of a part that serves them all."""
    if row.spread == "any":
        return True
    places = {finding.position for _, finding in group if finding.position}
    common = any(finding.component in ("spark-generator", "ignition-switch") for _, finding in group)
    everywhere = "all" in places or len(places) >= ALL_AT or common
    return everywhere == (row.spread == "all")


def questions(case: Case, results: Sequence[Result]) -> Iterator[Point]:
    """Danger classes to consider, each with its reason, unless the engineer declared one for that appliance."""
    declared = {row.appliance for row in case.said.declared}
    book = situations()
    for row in book.question:
        for index, finding in _matching(case, row.component, row.condition):
            if not _declared_for(finding.appliance, declared):
                text = _asked(case, row.asks, f"{named(finding)}: {row.reason}")
                yield Point("question", row.id, text, row.cited(), findings=(index,), evidence=finding.evidence)
    for asked in book.result_question:
        for result in results:
            if (
                result.name == asked.calculation
                and result.verdict == "outside"
                and not _declared_for(result.appliance, declared)
            ):
                text = _asked(case, asked.asks, f"{spoken(result)}: {asked.reason}")
                yield Point("question", asked.id, text, asked.cited(), readings=result.from_readings)


def _declared_for(appliance: str | None, declared: set[str | None]) -> bool:
    return bool(declared) and (appliance in declared or None in declared)


def _asked(case: Case, class_: str, reason: str) -> str:
    if case.region == situations().region:
        return f"is this {vocabulary().classes[class_].lower()}? {reason}. You decide."
    return f"is this dangerous by the rules of where you are? {reason}. You decide."


def to_tell(case: Case, results: Sequence[Result]) -> Iterator[Point]:
    """What the responsible person must hear: faults left, work declined, limits missed, classes declared."""
    words = vocabulary()
    for index, finding in case.findings("present", "possible"):
        declined = [action.kind for action in finding.actions if action.state == "declined"]
        if finding.condition not in (*FIT, None, "not-fitted") or declined:
            what = f"{named(finding)}: {words.label(finding.condition)}".removesuffix(": ")
            what += f"; {words.label('possible').lower()}" if finding.status == "possible" else ""
            more = f"; declined: {', '.join(words.label(kind).lower() for kind in declined)}" if declined else ""
            yield _tell(case, f"{what}{more}", findings=(index,), evidence=finding.evidence)
    for result in results:
        if result.verdict == "outside" and result.limit is not None:
            yield _tell(
                case, f"{spoken(result)} lies outside its limit: {result.limit.text}", readings=result.from_readings
            )
    for row in case.said.declared:
        whose = f"{words.label(row.appliance)}, " if row.appliance else ""
        what = f"{whose}declared by the engineer: {words.classes[row.class_].lower()}"
        yield _tell(case, what, evidence=row.evidence)


def _tell(
    case: Case,
    what: str,
    findings: tuple[int, ...] = (),
    readings: tuple[int, ...] = (),
    evidence: Evidence | None = None,
) -> Point:
    law = sources()["gsiur-1998"].line() if case.region == situations().region else ""
    text = f"tell the responsible person: {what}"
    return Point("tell", "tell", text, law, findings=findings, readings=readings, evidence=evidence)


def usual_cautions(case: Case) -> Iterator[Point]:
    """The usual cautions where they belong."""
    components = {finding.component for finding in case.said.findings}
    quantities = {reading.quantity for reading in case.said.readings}
    actions = {action.kind for finding in case.said.findings for action in finding.actions}
    for row in cautions().caution:
        called = components & {*row.component} or quantities & {*row.quantity} or actions & {*row.action}
        if row.always or called:
            yield Point("caution", row.id, row.text, row.cited())
