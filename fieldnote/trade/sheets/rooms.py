"""Sheets on rooms and their vents. Comes in: a job. Goes out: an outcome. Knows no limit's figure."""

from decimal import Decimal

from fieldnote.errors import UsageProblem
from fieldnote.trade.doubt import Measured, carry
from fieldnote.trade.formulas import gas_rate as rates
from fieldnote.trade.formulas import ventilation
from fieldnote.trade.judge import NO_VERDICT, Fact, Ruling, Selection, no_verdict, rule, select, together
from fieldnote.trade.limits import LimitRow
from fieldnote.trade.sheets.job import Job, Outcome, gas_unknown

SIDES = ("length", "width", "height")
OTHER_RULES = (
    "a bathroom, a bed-sitting room, a cellar, an inside kitchen, or another appliance in the room has rules of its own"
)


def flueless(job: Job) -> Outcome:
    """A room with a flueless cooking appliance: its volume, the free area it needs, the window it must have."""
    out = Outcome(notes=[OTHER_RULES])
    volume = out.add("volume", _volume(job), "m3")
    facts: dict[str, Fact] = {"volume": volume, "outside-door": job.word("outside-door")}
    out.ruling = together(_window(job), _vent(job, out, facts))
    return out


def _volume(job: Job) -> Measured:
    sides = [job.number(name) for name in SIDES]
    given = job.number("volume")
    if all(side is not None for side in sides):
        worked = carry(ventilation.room_volume, *(job.measured(name, "tape") for name in SIDES))
        if given is not None and abs(given - worked.value) > worked.doubt:
            raise UsageProblem(
                "FN-201", what="ventilation-flueless", reason="the sides give another volume than volume says"
            )
        return worked
    if given is not None:
        return Measured(given)
    missing = [name for name in SIDES if job.number(name) is None]
    raise UsageProblem("FN-203", name="ventilation-flueless", missing=f"{', '.join(missing)} (or volume)")


def _window(job: Job) -> Ruling:
    window = job.word("openable-window")
    if window is None:
        return no_verdict("missing-input", "say whether there is an openable window or the like, direct to outside")
    return job.judge("openable-window", Measured(Decimal(window == "yes")))


def _vent(job: Job, out: Outcome, facts: dict[str, Fact]) -> Ruling:
    """The free area by the region's table, and the fitted one against it."""
    chosen = select(job.where, "vent-area-flueless", facts)
    if chosen.failed:
        return chosen.failed
    rows = [*chosen.applying, *_as_read(chosen.possible, facts)]
    if len(rows) == 1 and rows[0].low is not None:
        out.add("vent-area", Measured(rows[0].low), "cm2")
    fitted = job.number("fitted")
    ruling = rule(
        job.where, chosen, Measured(fitted or Decimal(0)), "measure the room again: it lies at the edge of a band"
    )
    if fitted is None and ruling.verdict != "within":
        return ruling if ruling.verdict == NO_VERDICT else _fitted_missing(ruling)
    return ruling


def _as_read(rows: tuple[LimitRow, ...], facts: dict[str, Fact]) -> list[LimitRow]:
    """Of limits that are open because the volume is doubtful, the one in whose band the volume as read lies."""
    volume = facts["volume"]
    if not isinstance(volume, Measured) or any(facts.get(name) is None for row in rows for name in row.when):
        return []
    return [row for row in rows if _holds(row, volume.value)]


def _holds(row: LimitRow, volume: Decimal) -> bool:
    band = row.when.get("volume")
    return band is not None and not isinstance(band, list) and band.holds(volume)


def _fitted_missing(ruling: Ruling) -> Ruling:
    return no_verdict("missing-input", "give the free area that is fitted", *ruling.notes, limit=ruling.limit)


def open_flue(job: Job) -> Outcome:
    """The free area for an open-flued appliance, by its net heat input."""
    out = Outcome(notes=["vents must stay open; the free area counts, not the size of the grille"])
    net = _net_input(job, out)
    row = job.where.limits.rate("vent-area-open-flue", job.where.region, job.where.on)
    if net is None or row is None:
        out.ruling = out.ruling if net is None else job.judge("vent-area-open-flue", Measured(Decimal(0)))
        return out
    area = ventilation.open_flue_area(net, row.per_kw, row.first_kw)
    out.add("vent-area", Measured(area), "cm2")
    requirement = LimitRow.model_validate(
        {"id": row.id, "quantity": row.quantity, "text": row.text, "unit": row.unit, "low": area, "from": row.from_,
         "to": row.to, "dated": row.dated, "source": row.source, "grade": row.grade}
    )  # fmt: skip
    out.ruling = _fitted(job, requirement)
    return out


def _net_input(job: Job, out: Outcome) -> Decimal | None:
    rated, basis = job.needed("rated"), job.word("basis")
    if basis is None:
        out.ruling = no_verdict(
            "missing-input", "say whether the data plate is gross or net: the two differ by a tenth"
        )
        return None
    if basis == "gross":
        if job.gas is None:
            out.ruling = gas_unknown("net heat input")
            return None
        out.use(f"gross/net {job.gas.gross_to_net}", job.gas.source, job.gas.grade)
        rated = rates.net(rated, job.gas.gross_to_net)
    out.add("net-input", Measured(rated), "kW")
    return rated


def _fitted(job: Job, row: LimitRow) -> Ruling:
    fitted = job.number("fitted")
    if fitted is None and row.low:
        return no_verdict("missing-input", "give the free area that is fitted", limit=job.where.limits.record(row))
    return rule(job.where, Selection(applying=(row,)), Measured(fitted or Decimal(0)))
