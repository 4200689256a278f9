"""Sheets on pipework: tightness, volume, pressure loss, size. Comes in: a job. Goes out: an outcome. Knows no limit's figure."""

from decimal import Decimal
from typing import Any

from fieldnote.errors import UsageProblem
from fieldnote.trade import tables
from fieldnote.trade.doubt import Measured, carry, shown
from fieldnote.trade.formulas import pipework
from fieldnote.trade.formulas import tightness as test
from fieldnote.trade.judge import OUTSIDE, Ruling, no_verdict, together
from fieldnote.trade.knowledge import cautions
from fieldnote.trade.sheets.job import Job, Outcome, doubtful, gas_unknown

ZERO = Decimal(0)
SIZES = ("15", "22", "28")
ROSE = "the pressure rose: let it settle, look for let-by and warmth, test again"
SMALL_METERS = ("U6", "G4", "E6")


def tightness(job: Job) -> Outcome:
    """A tightness test: the drop against the rules in force on its day, and the leak it means."""
    emergency = cautions().emergency
    out = Outcome(notes=[emergency.text, *emergency.lines()] if job.word("smell") == "yes" else [])
    rulings = [_let_by(job, out)] if job.number("let-by-rise") is not None else []
    drop = _drop(job)
    if drop is None and not rulings and out.notes:
        rulings.append(no_verdict("missing-input", "people first; the test comes later"))
    if drop is None and not rulings:
        raise UsageProblem("FN-203", name="tightness", missing="start and end, or drop")
    if drop is not None:
        out.add("tightness-drop", drop, "mbar")
        _leak(job, out, drop)
        rulings.append(_ruling(job, drop))
    out.ruling = together(*rulings)
    return out


def _let_by(job: Job, out: Outcome) -> Ruling:
    rise = out.add("let-by-rise", Measured(job.needed("let-by-rise"), _gauge(job)), "mbar")
    ruling = job.judge("let-by-rise", rise)
    if ruling.verdict == OUTSIDE:
        out.notes.append("the emergency control valve lets by: stop, it must be dealt with before any test")
    return ruling


def _gauge(job: Job) -> Decimal:
    """The gauge's doubt; of an unnamed gauge the larger one."""
    doubts = tables.equipment().doubts
    return doubts[f"gauge-{job.word('gauge') or 'water'}"].plus_minus


def _drop(job: Job) -> Measured | None:
    start, end, said = job.number("start"), job.number("end"), job.number("drop")
    if (start is None) != (end is None):
        raise UsageProblem("FN-203", name="tightness", missing="end" if end is None else "start")
    worked = test.drop(start, end) if start is not None and end is not None else None
    if worked is not None and said is not None and worked != said:
        reason = f"start and end give a drop of {shown(worked)}, drop says {shown(said)}"
        raise UsageProblem("FN-201", what="tightness", reason=reason)
    value = said if worked is None else worked
    return None if value is None else Measured(value, _gauge(job))


def _leak(job: Job, out: Outcome, drop: Measured) -> None:
    volume, seconds = job.number("volume"), job.number("seconds")
    if volume is None or seconds is None:
        return
    clock = doubtful(seconds, "seconds")
    if clock.low > 0:
        out.add("leak-rate", carry(lambda fall, time: test.leak_rate(volume, fall, time), drop, clock), "dm3/h")


def _ruling(job: Job, drop: Measured) -> Ruling:
    if job.gas is None:
        return gas_unknown("tightness")
    if drop.value < 0:
        return no_verdict("doubt", ROSE)
    return job.judge(
        "tightness-drop",
        drop,
        gas=job.gas_name,
        meter=job.word("meter"),
        largest_pipe=job.number("largest-pipe"),
        appliances=job.word("appliances"),
        smell=job.word("smell"),
        seconds=job.number("seconds"),
        volume=job.number("volume"),
    )


def installation_volume(job: Job) -> Outcome:
    """What the installation holds, and how much gas to purge."""
    out = Outcome()
    equipment = tables.equipment()
    name = job.word("meter") or "none"
    meter = equipment.meters[name]
    pipes = [(metres, _pipe(size).volume) for size, metres in _pieces(job)]
    volume = pipework.installation_volume(meter.volume, pipes, out.constant("fittings-share"))
    out.use(f"meter {name} {shown(meter.volume)} m3", meter.source, meter.grade)
    out.add("volume", Measured(volume), "m3")
    _purge(out, name, volume)
    out.ruling = job.judge("installation-volume", Measured(volume))
    return out


def _pieces(job: Job) -> tuple[tuple[str, Decimal], ...]:
    value = job.given.get("pipe", ())
    return value if isinstance(value, tuple) else ()


def _pipe(size: str) -> tables.Pipe:
    pipes = tables.equipment().pipes
    name = size.removesuffix("mm")
    if name not in pipes:
        raise UsageProblem("FN-201", what=f"pipe {size}", reason=f"it is one of {', '.join(pipes)}")
    return pipes[name]


def _purge(out: Outcome, meter: str, volume: Decimal) -> None:
    """The larger of the two published figures: a multiple of the volume, and the flat one for small meters."""
    purge = out.constant("purge-multiple") * volume
    if meter in SMALL_METERS:
        purge = max(purge, out.constant("small-purge"))
    out.add("purge-volume", Measured(purge), "m3")
    out.notes.append("the purge figures are those of Edition 3; Edition 4's were not seen")
    if volume > Decimal("0.02"):
        out.notes.append("above 0.02 m3: keep trying to light at an open burner at the purge point")


def pressure_loss(job: Job) -> Outcome:
    """The loss between meter and appliance at full flow."""
    out = Outcome(notes=["only at full flow: the largest appliance at full rate, the others on"])
    loss = carry(test.drop, job.measured("meter-pressure", "pressure"), job.measured("appliance-pressure", "pressure"))
    out.add("loss", loss, "mbar")
    if job.gas is None:
        out.ruling = gas_unknown("pressure loss")
    elif loss.value < 0:
        out.ruling = no_verdict("doubt", "read both again: the appliance cannot have more than the meter gives")
    else:
        out.ruling = job.judge("pressure-loss", loss, gas=job.gas_name)
    return out


def pipe_size(job: Job) -> Outcome:
    """The loss of each copper size, and the smallest that keeps the allowed loss."""
    out = Outcome()
    length = pipework.effective_length(job.needed("length"), _fittings(job, out))
    out.add("effective-length", Measured(length), "m")
    if job.gas is None:
        out.ruling = gas_unknown("pipe size")
        return out
    allowed = job.number("allowed-loss") or out.constant("allowed-loss")
    losses = _losses(job, out, length)
    fitting = [size for size, loss in losses.items() if loss <= allowed]
    if fitting:
        out.add("pipe-size", Measured(Decimal(fitting[0])), "mm")
        out.notes += _older_table(job, length, fitting[0], allowed)
    else:
        out.notes.append(f"none of {', '.join(SIZES)} mm keeps the loss within {shown(allowed)} mbar")
    return out


def _fittings(job: Job, out: Outcome) -> list[tuple[Decimal, Decimal]]:
    counted = []
    for name, row in tables.equipment().fittings.items():
        number = job.number(f"{name}s")
        if number:
            counted.append((number, row.metres))
            out.use(f"{name} counts as {shown(row.metres)} m", row.source, row.grade)
    return counted


def _losses(job: Job, out: Outcome, length: Decimal) -> dict[str, Decimal]:
    gas = job.gas
    assert gas is not None
    density = gas.pipe_density * out.constant("air-density")
    out.use(f"{gas.title}: density {shown(gas.pipe_density)} of air", gas.source, gas.grade)
    losses = {}
    for size in SIZES:
        bore = _pipe(size).bore or ZERO
        losses[size] = pipework.friction_loss(job.needed("gas-rate"), length, bore, density, gas.viscosity)
        out.add(f"loss-{size}", Measured(losses[size]), "mbar")
    return losses


def _older_table(job: Job, length: Decimal, size: str, allowed: Decimal) -> list[str]:
    """What the older printed table says, as a note where it asks for more. It is for 1 mbar and natural gas only."""
    table: dict[str, Any] = tables.equipment().discharge
    column = next((index for index, most in enumerate(table["lengths"]) if length <= most), None)
    if column is None or allowed != 1 or job.gas_name != "natural":
        return []
    carried = table[size][column]
    if carried >= job.needed("gas-rate"):
        return []
    return [f"the older printed table gives {size} mm only {carried} m3/h over {table['lengths'][column]} m"]
