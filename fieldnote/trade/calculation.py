"""One calculation from inputs to result. Comes in: a name, inputs as words, where and when. Goes out: a `Result`.

The door that the command line and the check both use. Not allowed to know: language, storage.
"""

from collections.abc import Mapping
from datetime import date

from fieldnote.errors import UsageProblem
from fieldnote.records import Quantity, Result
from fieldnote.trade import catalogue, tables
from fieldnote.trade.doubt import Measured, shown, shown_doubt
from fieldnote.trade.judge import Circumstances
from fieldnote.trade.limits import Limits, load
from fieldnote.trade.sheets import SHEETS
from fieldnote.trade.sheets.job import Job, Outcome


def calculate(
    name: str,
    inputs: Mapping[str, str],
    *,
    on: date,
    edition: str | None = None,
    region: str | None = None,
    gas: str | None = None,
    limits: Limits | None = None,
) -> Result:
    """Work one calculation out: results with doubt, limit, verdict, sources, notes.

    Nothing is assumed: without a gas there is no heat input, without a region no regional limit. Raises UsageProblem FN-201,
    FN-202 or FN-203 for inputs that are unknown, impossible or missing, and for a gas or an edition nobody knows.
    """
    held = load() if limits is None else limits
    gas, region = (name and name.casefold() for name in (gas, region))
    _check_names(held, gas, region, edition)
    given = catalogue.read(name, inputs)
    where = Circumstances(held, on, region, edition)
    outcome = SHEETS[name](Job(name, given.values, where, gas, given.written))
    return _result(name, inputs, gas, given, outcome, where)


def _check_names(limits: Limits, gas: str | None, region: str | None, edition: str | None) -> None:
    if gas is not None and gas not in tables.gases():
        raise UsageProblem("FN-201", what=f"the gas {gas!r}", reason=f"it is one of {', '.join(tables.gases())}")
    if edition is not None and region is not None and limits.named(edition, region) is None:
        titles = [row.title for id_, row in limits.editions.items() if limits.edition_region[id_] in ("any", region)]
        raise UsageProblem(
            "FN-201", what=f"the edition {edition!r}", reason=f"known are: {', '.join(titles) or 'none'}"
        )


def _result(
    name: str,
    inputs: Mapping[str, str],
    gas: str | None,
    given: catalogue.Given,
    outcome: Outcome,
    where: Circumstances,
) -> Result:
    spec = catalogue.find(name)
    ruling = outcome.ruling
    lines = [where.limits.sources[id_].line() for id_ in (*spec.sources, *outcome.sources)]
    lines += [ruling.limit.source] if ruling.limit else []
    return Result(
        name=name,
        inputs={**inputs, **({"gas": gas} if gas else {}), **({"region": where.region} if where.region else {})},
        results={id_: _quantity(value, unit) for id_, (value, unit) in outcome.results.items()},
        formula=spec.formula,
        limit=ruling.limit,
        verdict=ruling.verdict,
        reason=ruling.reason,
        settle=ruling.settle,
        sources=tuple(dict.fromkeys(lines)),
        notes=(*given.notes, *outcome.notes, *ruling.notes, *outcome.used),
        trade_version=where.limits.version,
    )


def _quantity(value: Measured, unit: str) -> Quantity:
    return Quantity(shown(value.value), unit, shown_doubt(value.doubt))
