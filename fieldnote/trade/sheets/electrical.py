"""Sheets on electrical figures. Comes in: a job. Goes out: an outcome. Knows no limit's figure."""

from dataclasses import replace
from decimal import Decimal

from fieldnote.errors import UsageProblem
from fieldnote.trade import tables
from fieldnote.trade.doubt import Measured, shown
from fieldnote.trade.formulas import electrical
from fieldnote.trade.judge import OUTSIDE, Ruling, no_verdict, rule, select, together
from fieldnote.trade.limits import TRUSTED
from fieldnote.trade.sheets.job import Job, Outcome

DEAD_FIRST = "unplug or lock off, prove the tester, prove dead, prove the tester again"
ASK_FLEX = "give length and conductor of the flex: its resistance may be added"


def earth_continuity(job: Job) -> Outcome:
    """Earth continuity of a class I appliance, with its flex when that is known."""
    out = Outcome(notes=[DEAD_FIRST])
    reading = out.add("earth-continuity", job.measured("ohm", "ohm"), "ohm")
    chosen = select(job.where, "earth-continuity", {})
    if chosen.failed or not chosen.applying or chosen.applying[0].high is None:
        out.ruling = chosen.failed or rule(job.where, chosen, reading)
        return out
    base = chosen.applying[0].high
    added, grade = _flex(job, out)
    limit = electrical.earth_limit(base, job.number("flex-length") or Decimal(0), added or Decimal(0))
    out.add("limit", Measured(limit), "ohm")
    row = chosen.applying[0]
    if added is not None:
        text = f"{row.text}: {shown(limit)} ohm"
        row = row.model_copy(update={"high": limit, "text": text, "grade": _weaker(row.grade, grade)})
    out.ruling = rule(job.where, replace(chosen, applying=(row,)), reading)
    if added is None and out.ruling.verdict == OUTSIDE:
        out.ruling = no_verdict("missing-input", ASK_FLEX, limit=out.ruling.limit)
    return out


def _weaker(base: str, flex: str) -> str:
    """How far a limit is trusted that rests on two figures: no further than the weaker one."""
    if base not in TRUSTED or flex in TRUSTED:
        return base
    return flex


def _flex(job: Job, out: Outcome) -> tuple[Decimal | None, str]:
    """Ohm a metre of the flex's earth conductor and how far that is trusted; None when the flex is not known."""
    length, area = job.number("flex-length"), job.word("flex-area")
    if length is None and area is None:
        return None, ""
    if length is None or area is None:
        raise UsageProblem("FN-203", name="earth-continuity", missing="flex-area" if area is None else "flex-length")
    flex = tables.equipment().flexes[area]
    out.use(f"flex of {area} mm2, {shown(flex.ohm_per_metre)} ohm a metre", flex.source, flex.grade)
    return flex.ohm_per_metre, flex.grade


def insulation_resistance(job: Job) -> Outcome:
    """Insulation resistance by class of the appliance."""
    out = Outcome(notes=[DEAD_FIRST])
    reading = out.add("insulation-resistance", job.measured("mohm", "mohm"), "Mohm")
    out.ruling = job.judge("insulation-resistance", reading, class_=job.word("class"))
    return out


def supply_voltage(job: Job) -> Outcome:
    """Supply voltage."""
    out = Outcome()
    reading = out.add("supply-voltage", job.measured("volts", "volts"), "V")
    out.ruling = job.judge("supply-voltage", reading)
    return out


def fuse(job: Job) -> Outcome:
    """The fuse that is fitted against the load it protects."""
    out = Outcome(notes=["a gas hob whose only electrics are the ignition usually takes 3 A (common practice)"])
    rating = out.add("fuse-rating", Measured(job.needed("rating")), "A")
    watts = job.number("watts")
    ruling = job.judge("fuse-rating", rating, watts=watts)
    if watts is not None:
        load = electrical.load_current(watts, out.constant("usual-voltage"))
        out.add("load-current", Measured(load), "A")
        ruling = together(ruling, *_overloaded(rating.value, load))
    out.ruling = ruling
    return out


def _overloaded(rating: Decimal, load: Decimal) -> list[Ruling]:
    if rating >= load:
        return []
    text = f"the load draws {shown(load)} A, more than the fuse carries"
    return [no_verdict("missing-input", "check load and fuse", text)]
