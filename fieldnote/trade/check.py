"""What the trade makes of one visit. Comes in: what was said, and what is known of the visit. Goes out: a `Check`.

Results with their verdicts, and points for a person, most urgent first. It never decides: a danger class is a question, a
missing limit is no verdict. Not allowed to know: language, storage, who will read it.
"""

from collections.abc import Iterator, Sequence
from datetime import date

from fieldnote.records import Check, Extraction, Point, Result
from fieldnote.trade import tables
from fieldnote.trade.checks import comparing, diagnosis, lists
from fieldnote.trade.checks.case import Case
from fieldnote.trade.checks.doubted import doubted
from fieldnote.trade.checks.results import results
from fieldnote.trade.limits import Limits, load

URGENCY = (
    "emergency", "question", "procedure-unsaid", "contradiction", "tell", "unlikely", "symptom", "unsaid", "caution",
)  # fmt: skip


def check(
    extraction: Extraction,
    *,
    work: str | None,
    appliances: Sequence[str],
    gas: str | None,
    meter: str | None,
    region: str | None,
    edition: str | None,
    on: date,
    limits: Limits | None = None,
    emergency_number: str | None = None,
) -> Check:
    """Work out what the readings call for and show what a person should look at.

    Gas and meter hold when they were set on the visit or said; region is never assumed. `emergency_number` is the number
    that the user confirmed for the place, if any. Never raises for what was said: an impossible figure becomes a point.
    """
    held = load() if limits is None else limits
    gas, region = (name and name.casefold() for name in (gas, region))
    said_gas = extraction.gas if extraction.gas in tables.gases() else None
    known_gas = gas if gas in tables.gases() else None
    case = Case(
        said=extraction,
        work=work,
        appliances=tuple(appliances),
        gas=_agreed(known_gas, said_gas),
        meter=_agreed(meter, extraction.meter),
        region=region,
        edition=edition if edition and (region is None or held.named(edition, region)) else None,
        on=on,
        limits=held,
        emergency_number=emergency_number,
    )
    found = results(case)
    done = [one for one in found if isinstance(one, Result)]
    points = [one for one in found if isinstance(one, Point)]
    points += [*_points(case, done), *comparing.named_twice(case, gas, meter), *_unknown_names(case, gas, edition)]
    points.sort(key=lambda point: URGENCY.index(point.kind))
    return Check(tuple(done), tuple(points), held.version, lists.facts(case))


def _agreed(set_: str | None, said: str | None) -> str | None:
    """What visit and talk name, unless they name two different things: then nobody knows."""
    if set_ and said and set_.casefold() != said.casefold():
        return None
    return set_ or said


def _points(case: Case, done: list[Result]) -> Iterator[Point]:
    yield from diagnosis.emergency(case)
    yield from diagnosis.questions(case, done)
    yield from lists.procedure(case)
    yield from comparing.said_against_worked(case, done)
    yield from comparing.differing_readings(case)
    yield from comparing.fit_and_faulty(case)
    yield from comparing.fit_against_result(case, done)
    yield from diagnosis.to_tell(case, done)
    yield from comparing.unlikely(case)
    yield from comparing.remarks(case)
    yield from diagnosis.pointers(case)
    yield from doubted(case)
    yield from lists.unsaid(case)
    yield from diagnosis.usual_cautions(case)


def _unknown_names(case: Case, gas: str | None, edition: str | None) -> Iterator[Point]:
    """Names on the visit that nothing is known as, and a region that nobody named."""
    if edition and case.edition is None:
        yield Point(
            "contradiction", "edition", f"the visit names the edition {edition!r}, which no limit of its region knows"
        )
    if gas and gas not in tables.gases():
        yield Point("contradiction", "gas", f"the visit names the gas {gas!r}; known are {', '.join(tables.gases())}")
    if case.region is None:
        yield Point(
            "unsaid", "region", "no region was named on the visit or in the settings: regional limits give no verdict"
        )
    elif case.region not in case.limits.regions:
        yield Point(
            "contradiction", "region", f"the visit names the region {case.region!r}, for which no limits are held"
        )
