"""Sheets on combustion and flame supervision. Comes in: a job. Goes out: an outcome. Knows no limit's figure."""

from decimal import Decimal

from fieldnote.errors import UsageProblem
from fieldnote.trade import tables
from fieldnote.trade.doubt import Measured, carry, shown
from fieldnote.trade.formulas import combustion as flue
from fieldnote.trade.formulas import flame_supervision as supervision
from fieldnote.trade.judge import NO_VERDICT, Ruling, no_verdict, together
from fieldnote.trade.sheets.job import Job, Outcome, doubtful, gas_unknown

NEVER_OVERRIDES = "a good ratio never overrides spillage, damage or a high CO by itself; the maker's figure comes first"
SMALL_SHARE = Decimal(25)  # % of the open reading; less is worth a look (common practice)


def combustion(job: Job) -> Outcome:
    """CO/CO2 ratio and air-free CO, against the action levels of the appliance."""
    out = Outcome(notes=[NEVER_OVERRIDES])
    co = job.measured("co", "co")
    rulings = _carbon_monoxide(job, co)
    co2 = _co2(job, out)
    if co2 is None:
        ruling = out.ruling if out.ruling.reason == "missing-input" else _no_co2()
        out.ruling = together(*rulings, ruling)
        return out
    _refuse_fresh_air(co2)
    ratio = out.add("co-ratio", carry(flue.ratio, co, co2), "1")
    if job.gas is not None:
        most = job.gas.co2_max
        out.add("air-free-co", carry(lambda ppm, percent: flue.air_free_co(ppm, percent, most), co, co2), "ppm")
    settle = "let the reading settle and take it again"
    out.ruling = together(job.judge("co-ratio", ratio, settle, appliance=job.word("appliance")), *rulings)
    return out


def _no_co2() -> Ruling:
    return no_verdict("missing-input", "measure CO2 (or O2) at the same time", "without CO2 there is no ratio")


def _carbon_monoxide(job: Job, co: Measured) -> list[Ruling]:
    """CO by itself counts only where a limit is held for this appliance."""
    appliance = job.word("appliance")
    if appliance is None:
        return []
    ruling = job.judge("co", co, appliance=appliance)
    return [] if ruling.verdict == NO_VERDICT and ruling.limit is None else [ruling]


def _co2(job: Job, out: Outcome) -> Measured | None:
    """CO2 as measured, else worked out from O2 when the gas is known."""
    said, oxygen = job.number("co2"), job.number("o2")
    worked = None
    if oxygen is not None:
        if job.gas is None:
            out.ruling = gas_unknown("CO2 from O2")
        else:
            worked = _from_oxygen(job, out, oxygen)
    if said is None:
        return out.add("co2", worked, "%") if worked else None
    measured = doubtful(said, "co2")
    if worked and abs(worked.value - said) > worked.doubt + measured.doubt:
        out.notes.append(f"CO2 {shown(said)} % and O2 {oxygen} % do not agree: O2 gives {shown(worked.value)} %")
    if job.gas is not None and said > job.gas.co2_max:
        out.notes.append(f"unlikely: CO2 above {job.gas.co2_max} %, the most that {job.gas.title} gives")
    return out.add("co2", measured, "%")


def _from_oxygen(job: Job, out: Outcome, oxygen: Decimal) -> Measured:
    assert job.gas is not None
    most = job.gas.co2_max
    out.use(f"largest CO2 of {job.gas.title} {shown(most)} %", "calculated", "K")
    out.notes.append("CO2 worked out from O2 holds in a flue, not for room air")
    return carry(lambda percent: flue.co2_from_oxygen(percent, most), doubtful(oxygen, "oxygen"))


def _refuse_fresh_air(co2: Measured) -> None:
    least = tables.equipment().constants["least-co2"].value
    if co2.value < least:
        reason = f"below {shown(least)} % it is fresh air, and a ratio says nothing"
        raise UsageProblem("FN-201", what=f"a ratio with co2 {shown(co2.value)} %", reason=reason)


def flame_supervision(job: Job) -> Outcome:
    """Times and thermocouple output, as measured, with what is known about them."""
    out = Outcome()
    rulings: list[Ruling] = []
    for name, quantity in (("drop-out", "drop-out-time"), ("hold-in", "hold-in-time")):
        if job.number(name) is not None:
            time = out.add(name, job.measured(name, "seconds"), "s")
            rulings.append(job.judge(quantity, time))
    for name in ("open", "closed"):
        if job.number(f"{name}-circuit") is not None:
            output = out.add(f"{name}-circuit", job.measured(f"{name}-circuit", "millivolts"), "mV")
            rulings.append(job.judge("thermocouple-output", output, circuit=name))
    if not rulings:
        raise UsageProblem(
            "FN-203", name="flame-supervision", missing="drop-out, hold-in, open-circuit or closed-circuit"
        )
    out.ruling = together(*rulings)
    out.notes += _thoughts(job)
    return out


def _thoughts(job: Job) -> list[str]:
    notes = []
    drop_out = job.number("drop-out")
    if drop_out is not None and drop_out > 90:
        notes.append("above 90 s: repair before it is used (90 s from memory of EN 30-1-1)")
    opened, closed = job.number("open-circuit"), job.number("closed-circuit")
    if opened and closed is not None:
        share = supervision.loaded_share(opened, closed)
        notes.append(
            f"on the valve {shown(share)} % of the open reading is left; about half is usual (common practice)"
        )
        if share < SMALL_SHARE:
            notes.append("so little points at a bad joint or a shorted magnet coil (common practice)")
    return notes
