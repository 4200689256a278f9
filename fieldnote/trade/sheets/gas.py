"""Sheets on gas rate, heat input and injectors. Comes in: a job. Goes out: an outcome. Knows no limit's figure."""

from decimal import Decimal

from fieldnote.errors import UsageProblem
from fieldnote.trade import tables
from fieldnote.trade.doubt import Measured, carry, shown
from fieldnote.trade.formulas import gas_rate as rates
from fieldnote.trade.formulas import injector as orifice
from fieldnote.trade.formulas import standard_conditions as standard
from fieldnote.trade.judge import no_verdict
from fieldnote.trade.sheets.job import NO_LIMIT, Job, Outcome, doubtful, gas_unknown
from fieldnote.trade.tables import Reference

ONE = Decimal(1)
LONGER = "time it for ten minutes: the longer the run, the less the last digit counts"
NEVER_WIDEN = "never open an injector up: clean it, or fit the maker's own of the marked size"
MAKER_FIRST = "the maker's figure comes before any general one"


def gas_rate(job: Job) -> Outcome:
    """Two readings of a metric meter and a time."""
    out = Outcome(notes=["only this appliance may be on during the run, pilots included"])
    first, second = job.needed("first"), job.needed("second")
    if second < first:
        raise UsageProblem(
            "FN-201", what="gas-rate", reason=f"second {second} is lower than first {first}: read it again"
        )
    _refuse_mixed_meters(job)
    metered = Measured(second - first, _resolution(job))
    factor = _correction(job, out)
    rate = carry(
        lambda used, seconds: rates.metric_rate(Decimal(0), used, seconds) * factor,
        metered,
        job.measured("seconds", "seconds"),
    )
    out.add("gas-rate", rate, "m3/h")
    _heat_of_metered(job, out, rate)
    return out


def _refuse_mixed_meters(job: Job) -> None:
    """A meter counts cubic feet or cubic metres, never both; of one that counts feet nobody knows the last digit."""
    units = [job.written.get(name, "m3") for name in ("first", "second")]
    if units[0] != units[1]:
        raise UsageProblem(
            "FN-201", what="gas-rate", reason=f"first is in {units[0]}, second in {units[1]}: one meter has one unit"
        )
    if units[0] == "ft3" and job.number("resolution") is None:
        raise UsageProblem("FN-203", name="gas-rate in cubic feet", missing="resolution, for example 1ft3")


def _resolution(job: Job) -> Decimal:
    return job.number("resolution") or tables.equipment().doubts["meter"].plus_minus


def _correction(job: Job, out: Outcome) -> Decimal:
    names = ("pressure-baro", "pressure-gauge", "temperature")
    missing = [name for name in names if job.number(name) is None]
    if len(missing) == len(names):
        out.notes.append("not corrected to standard conditions")
        return ONE
    if missing:
        raise UsageProblem("FN-203", name="gas-rate corrected to standard conditions", missing=", ".join(missing))
    factor = standard.factor(*(job.needed(name) for name in names))
    out.notes.append(f"corrected to standard conditions by {shown(factor)}")
    return factor


def gas_rate_dial(job: Job) -> Outcome:
    """One turn of the test dial of a cubic-feet meter."""
    out = Outcome(notes=["only this appliance may be on during the run, pilots included"])
    turn = job.measured("seconds", "seconds")
    imperial = carry(lambda seconds: rates.dial_rate(job.needed("dial"), seconds), turn)
    rate = out.add("gas-rate", carry(rates.cubic_metres, imperial), "m3/h")
    out.add("gas-rate-imperial", imperial, "ft3/h")
    _heat_of_metered(job, out, rate)
    return out


def _heat_of_metered(job: Job, out: Outcome, rate: Measured) -> None:
    """Heat input from a metered rate, and how it lies against the data plate."""
    gas = job.gas
    if gas is None:
        out.ruling = gas_unknown("heat input")
        return
    value = job.number("cv") or gas.cv_gross
    if job.number("cv") is None:
        out.use(
            f"calorific value of {gas.title} {shown(value)} MJ/m3 gross; yours is on the bill", gas.source, gas.grade
        )
    out.use(f"gross/net {shown(gas.gross_to_net)}", gas.source, gas.grade)
    gross = out.add("heat-input-gross", carry(lambda q: rates.heat_input(q, value), rate), "kW")
    net = out.add("heat-input-net", carry(lambda kw: rates.net(kw, gas.gross_to_net), gross), "kW")
    _against_plate(job, out, {"gross": gross, "net": net})


def _against_plate(job: Job, out: Outcome, heat: dict[str, Measured]) -> None:
    rated, basis = job.number("rated"), job.word("basis")
    if rated is None:
        out.ruling = no_verdict("missing-input", "give the data plate's heat input with its basis")
    elif basis is None:
        out.ruling = no_verdict(
            "missing-input", "say whether the data plate is gross or net: the two differ by a tenth"
        )
    else:
        share = out.add("against-rated", carry(lambda kw: rates.against_rated(kw, rated), heat[basis]), "%")
        out.ruling = job.judge("against-rated", share, LONGER, appliance=job.word("appliance"))
        out.notes.append(MAKER_FIRST)


def injector(job: Job) -> Outcome:
    """Gas rate and heat input of a bore at a pressure."""
    out = Outcome(notes=[NEVER_WIDEN, MAKER_FIRST])
    if job.gas is None:
        out.ruling = gas_unknown("injector")
        return out
    test_gas = job.gas.reference
    density = _density(test_gas, out)
    discharge = _discharge(job, out)
    rate = carry(
        lambda bore, pressure: orifice.orifice_rate(bore, pressure, density, discharge),
        job.measured("bore", "bore"),
        job.measured("pressure", "pressure"),
    )
    out.add("gas-rate", rate, "m3/h")
    gross_value, net_value = _values(job, out, test_gas)
    out.add("heat-input-gross", carry(lambda q: rates.heat_input(q, gross_value), rate), "kW")
    out.add("heat-input-net", carry(lambda q: rates.heat_input(q, net_value), rate), "kW")
    return out


def _density(gas: Reference, out: Outcome) -> Decimal:
    out.use(f"{gas.name}, density {shown(gas.relative_density)} of air", gas.source, gas.grade)
    return gas.relative_density * out.constant("air-density")


def _discharge(job: Job, out: Outcome) -> Decimal:
    return job.number("discharge") or out.constant("discharge")


def _values(job: Job, out: Outcome, gas: Reference) -> tuple[Decimal, Decimal]:
    """Gross and net calorific value: the test gas's, or the one given with the test gas's own ratio."""
    given = job.number("cv")
    if given is not None:
        return given, given * gas.cv_net / gas.cv_gross
    out.use(f"{gas.name}, {shown(gas.cv_gross)} gross and {shown(gas.cv_net)} net MJ/m3", gas.source, gas.grade)
    return gas.cv_gross, gas.cv_net


def injector_bore(job: Job) -> Outcome:
    """The bore for a heat input."""
    out = Outcome(notes=[NEVER_WIDEN, "use the maker's injector table for any real decision"])
    if job.gas is None:
        out.ruling = gas_unknown("injector")
        return out
    test_gas = job.gas.reference
    density = _density(test_gas, out)
    discharge = _discharge(job, out)
    gross_value, _ = _values(job, out, test_gas)
    rate = job.needed("heat-input") * rates.MJ_A_KWH / gross_value
    bore = carry(
        lambda pressure: orifice.bore_for(rate, pressure, density, discharge), job.measured("pressure", "pressure")
    )
    out.add("injector-size", bore, "mm")
    return out


def injector_change(job: Job) -> Outcome:
    """By how much the heat input changes."""
    out = Outcome(notes=[NEVER_WIDEN])
    bores, pressures = _pair(job, "bore"), _pair(job, "pressure")
    if bores is None and pressures is None and job.word("gas-to") is None:
        raise UsageProblem("FN-203", name="injector-change", missing="bore-from and bore-to")
    plain = (Measured(ONE), Measured(ONE))
    swap = _gas_factor(job, out)
    factor = carry(lambda *four: orifice.change_factor(*four) * swap, *(bores or plain), *(pressures or plain))
    out.add("factor", factor, "1")
    return out


def _pair(job: Job, name: str) -> tuple[Measured, Measured] | None:
    before, after = job.number(f"{name}-from"), job.number(f"{name}-to")
    if before is None and after is None:
        return None
    return doubtful(job.needed(f"{name}-from"), name), doubtful(job.needed(f"{name}-to"), name)


def _gas_factor(job: Job, out: Outcome) -> Decimal:
    before, after = job.word("gas-from"), job.word("gas-to")
    if before is None and after is None:
        return ONE
    if before is None or after is None:
        raise UsageProblem("FN-203", name="injector-change", missing="gas-from" if before is None else "gas-to")
    indexes = []
    for name in (before, after):
        gas = tables.gases()[name].reference
        indexes.append(orifice.wobbe(gas.cv_gross, gas.relative_density))
        out.use(f"{gas.name}, Wobbe index {shown(indexes[-1])} MJ/m3 gross", gas.source, gas.grade)
    return orifice.gas_factor(*indexes)


def standard_conditions(job: Job) -> Outcome:
    """The correction to standard conditions by itself."""
    out = Outcome(NO_LIMIT)
    names = ("pressure-baro", "pressure-gauge", "temperature")
    out.add("factor", Measured(standard.factor(*(job.needed(name) for name in names))), "1")
    out.notes.append("ordinary gas bills use 1.02264 instead; trade gas rates use no correction")
    return out
