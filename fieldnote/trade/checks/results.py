"""The calculations that dictated readings call for. In: a case. Out: results, and points where figures do not go together.

Nothing is guessed: readings are only put together when they were said of one place and one phase, in one run of talk.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal

from fieldnote.records import Point, Reading, Result
from fieldnote.trade.checks.case import FIT, Case, Indexed, Job, attempt, evidence, indexes, place, text_of, undecided
from fieldnote.trade.tables import equipment

FLUELESS = {"hob", "cooker", "oven", "grill"}
SIDES = ("room-length", "room-width", "room-height")
Found = Iterator[Result | Point]


def results(case: Case) -> list[Result | Point]:
    """Everything that the readings of a visit call for, kind by kind."""
    steps: tuple[Callable[[Case], Found], ...] = (
        gas_rates, tightness, combustion, ventilation, pressure_losses, injectors, single_figures,
    )  # fmt: skip
    return [found for step in steps for found in step(case)]


# --- gas rate: two meter readings and a time ---------------------------------------------------------------------------


def gas_rates(case: Case) -> Found:
    """Two meter readings and a time, said in one run: a gas rate."""
    meters: list[Indexed] = []
    times: list[Indexed] = []
    for index, reading in case.readings("meter-reading", "elapsed"):
        if _another_appliance([*meters, *times], reading):
            yield from _left_over(meters, times)
            meters, times = [], []
        (meters if reading.quantity == "meter-reading" else times).append((index, reading))
        if len(meters) >= 2 and times:
            yield from _gas_rate(case, meters, times[-1])
            meters, times = [], []
    yield from _left_over(meters, times)


def _another_appliance(pending: list[Indexed], reading: Reading) -> bool:
    named = {one.appliance for _, one in pending if one.appliance not in (None, "installation")}
    return bool(named) and reading.appliance not in (None, "installation") and reading.appliance not in named


def _left_over(meters: list[Indexed], times: list[Indexed]) -> Found:
    if len(meters) == 2 and not times:
        text = "two meter readings and no time between them: no gas rate"
        yield Point("unsaid", "gas-rate-time", text, readings=indexes(meters), evidence=evidence(meters))


def _gas_rate(case: Case, meters: list[Indexed], time: Indexed) -> Found:
    if len(meters) > 2:
        text = f"{len(meters)} meter readings and one time: which two belong to it?"
        yield Point(
            "contradiction", "gas-rate-readings", text, readings=indexes([*meters, time]), evidence=evidence(meters)
        )
        return
    feet = [reading.cubic_feet is not None for _, reading in meters]
    if any(feet) and not all(feet):
        text = "one meter reading counts cubic feet, the other cubic metres: they belong to different meters"
        yield Point("contradiction", "gas-rate-units", text, readings=indexes(meters), evidence=evidence(meters))
        return
    rated = _rated(case, time[1], meters[-1][1])
    inputs = _meter_inputs(meters) | {"seconds": text_of(time[1].value)} | _plate_inputs(rated)
    appliance = _appliance(case, time[1], *(reading for _, reading in meters))
    if appliance:
        inputs["appliance"] = appliance
    found = attempt(case, Job("gas-rate", inputs, (*meters, time, *rated), appliance))
    yield _meter_known(case, found)


def _meter_inputs(meters: list[Indexed]) -> dict[str, str]:
    """Readings with their unit, and the last digit that was said: never finer than the meter's own."""
    feet = meters[0][1].cubic_feet is not None
    unit = "ft3" if feet else "m3"
    figures = [(one.cubic_feet if feet else one.value) or Decimal(0) for _, one in meters]
    finest = min(int(figure.as_tuple().exponent) for figure in figures)
    digit = max(Decimal(1).scaleb(min(finest, 0)), Decimal(0) if feet else equipment().doubts["meter"].plus_minus)
    first, second = (f"{text_of(figure)} {unit}" for figure in figures)
    return {"first": first, "second": second, "resolution": f"{text_of(digit)} {unit}"}


def _appliance(case: Case, *readings: Reading) -> str | None:
    """The appliance that readings were said of; where none was said, the one that the whole visit is about."""
    said = (one.appliance for one in readings if one.appliance not in (None, "installation"))
    return next(said, case.sole_appliance())


def _rated(case: Case, *near: Reading) -> list[Indexed]:
    """The one data plate figure of the same appliance, or none."""
    appliance = _appliance(case, *near)
    found = [(i, one) for i, one in case.readings("rated-input") if _appliance(case, one) == appliance]
    return found if len(found) == 1 and appliance is not None else []


def _plate_inputs(rated: list[Indexed]) -> dict[str, str]:
    if not rated:
        return {}
    reading = rated[0][1]
    return {"rated": text_of(reading.value), **({"basis": reading.basis} if reading.basis else {})}


def _meter_known(case: Case, found: Result | Point) -> Result | Point:
    """Without a named meter nobody knows what its digits count."""
    if isinstance(found, Point) or case.meter is not None:
        return found
    return undecided(found, "missing-input", "say which meter it is", "the meter is not known")


# --- tightness ---------------------------------------------------------------------------------------------------------


def tightness(case: Case) -> Found:
    """Each drop with the test's own duration; each let-by test."""
    times = case.readings("test-duration")
    for index, drop in case.readings("tightness-drop"):
        time = _nearest(times, index, drop)
        inputs = _drop_inputs(drop) | ({"seconds": text_of(time[0][1].value)} if time else {}) | _known_of_test(case)
        yield attempt(case, Job("tightness", inputs, ((index, drop), *time), "installation"))
    for index, rise in case.readings("let-by-rise"):
        yield attempt(case, Job("tightness", {"let-by-rise": text_of(rise.value)}, ((index, rise),), "installation"))


def _nearest(readings: list[Indexed], index: int, to: Reading) -> list[Indexed]:
    same = [one for one in readings if one[1].phase == to.phase]
    return sorted(same, key=lambda one: abs(one[0] - index))[:1]


def _drop_inputs(drop: Reading) -> dict[str, str]:
    if drop.start_value is None:
        return {"drop": text_of(drop.value)}
    return {"start": text_of(drop.start_value), "end": text_of(drop.start_value - drop.value)}


def _known_of_test(case: Case) -> dict[str, str]:
    """What is known besides: a meter, a smell of gas or that there is none, whether appliances were connected: each only when
    it was said. "No smell" is never taken for granted, and a smell said anywhere counts before it."""
    meters = {name.casefold(): name for name in equipment().meters}
    meter = meters.get((case.meter or "").casefold())
    smell = "yes" if case.said.smell_of_gas else "no" if case.said.no_smell else None
    known = {"meter": meter, "smell": smell, "appliances": case.said.appliances_connected}
    return {name: value for name, value in known.items() if value}


# --- combustion ----------------------------------------------------------------------------------------------------------


def combustion(case: Case) -> Found:
    """CO and CO2 of one place and one phase, in the order said: a ratio each."""
    groups: dict[object, dict[str, list[Indexed]]] = defaultdict(lambda: defaultdict(list))
    for index, reading in case.readings("co", "co2"):
        groups[(*place(reading), reading.phase)][reading.quantity].append((index, reading))
    for group in groups.values():
        yield from _ratios(case, group["co"], group["co2"])


def _ratios(case: Case, parts: list[Indexed], percents: list[Indexed]) -> Found:
    if percents and parts and len(parts) != len(percents):
        both = [*parts, *percents]
        text = f"{len(parts)} CO and {len(percents)} CO2 figures of one phase: which belong together?"
        yield Point("contradiction", "combustion-pairs", text, readings=indexes(both), evidence=evidence(both))
        return
    for number, co in enumerate(parts):
        with_it = [percents[number]] if percents else []
        inputs = {one.quantity: text_of(one.value) for _, one in (co, *with_it)}
        appliance = _appliance(case, co[1])
        if appliance is not None:
            inputs["appliance"] = appliance
        yield attempt(case, Job("combustion", inputs, (co, *with_it), appliance))


# --- ventilation of a room with a flueless cooking appliance ---------------------------------------------------------------


def ventilation(case: Case) -> Found:
    """Room sizes (or a volume) and a vent, where a flueless cooking appliance is in the visit."""
    if not FLUELESS & case.all_appliances():
        return
    rooms = list(_rooms(case))
    vents = case.readings("vent-area")
    for sizes, inputs in rooms:
        with_it = vents if len(vents) == 1 and len(rooms) == 1 else []
        fitted = {"fitted": text_of(with_it[0][1].value)} if with_it else {}
        yield attempt(case, Job("ventilation-flueless", inputs | fitted | _window(case), (*sizes, *with_it), None))


def _rooms(case: Case) -> Iterator[tuple[list[Indexed], dict[str, str]]]:
    sides = [case.readings(side) for side in SIDES]
    if all(sides) and len({len(side) for side in sides}) == 1:
        for room in zip(*sides, strict=True):
            yield list(room), {one.quantity.removeprefix("room-"): text_of(one.value) for _, one in room}
    elif not any(sides):
        for volume in case.readings("room-volume"):
            yield [volume], {"volume": text_of(volume[1].value)}


def _window(case: Case) -> dict[str, str]:
    """Whether a window was said to be there or missing; nothing when it was not spoken of."""
    for _, finding in case.findings("present", "resolved"):
        if finding.component == "window" and finding.condition in FIT:
            return {"openable-window": "yes"}
        if (
            finding.component == "window"
            and finding.condition in ("missing", "not-fitted")
            and finding.status == "present"
        ):
            return {"openable-window": "no"}
    return {}


# --- pressures and injectors -----------------------------------------------------------------------------------------------


def pressure_losses(case: Case) -> Found:
    """Working pressure at the meter and at an appliance in one phase: the loss between them."""
    groups: dict[str | None, list[Indexed]] = defaultdict(list)
    for index, reading in case.readings("working-pressure"):
        groups[reading.phase].append((index, reading))
    for readings in groups.values():
        meters = [one for one in readings if one[1].appliance == "installation"]
        if len(meters) != 1:
            continue
        for inlet in readings:
            if inlet[1].appliance not in (None, "installation"):
                inputs = {"meter-pressure": text_of(meters[0][1].value), "appliance-pressure": text_of(inlet[1].value)}
                yield attempt(case, Job("pressure-loss", inputs, (meters[0], inlet), inlet[1].appliance))


def injectors(case: Case) -> Found:
    """An injector and the burner pressure of the same burner: what it lets through."""
    pressures = case.readings("burner-pressure")
    for index, bore in case.readings("injector-size"):
        same = [one for one in pressures if place(one[1]) == place(bore)]
        if len(same) == 1:
            inputs = {"bore": text_of(bore.value), "pressure": text_of(same[0][1].value)}
            yield attempt(case, Job("injector", inputs, ((index, bore), same[0]), bore.appliance))


# --- figures that stand for themselves ---------------------------------------------------------------------------------------

SINGLE = {
    "drop-out-time": ("flame-supervision", "drop-out"),
    "hold-in-time": ("flame-supervision", "hold-in"),
    "earth-continuity": ("earth-continuity", "ohm"),
    "insulation-resistance": ("insulation-resistance", "mohm"),
    "supply-voltage": ("supply-voltage", "volts"),
    "fuse-rating": ("fuse", "rating"),
}


def single_figures(case: Case) -> Found:
    """Flame supervision and electrical figures, one by one."""
    for index, reading in case.readings(*SINGLE):
        name, key = SINGLE[reading.quantity]
        yield attempt(case, Job(name, {key: text_of(reading.value)}, ((index, reading),), reading.appliance))
    for index, reading in case.readings("thermocouple-output"):
        yield _thermocouple(case, (index, reading))


def _thermocouple(case: Case, reading: Indexed) -> Result | Point:
    """A thermocouple figure: nobody said open or on the valve, so a verdict only where both would give "outside"."""
    value = text_of(reading[1].value)
    both = [
        attempt(case, Job("flame-supervision", {key: value}, (reading,), reading[1].appliance)) for key in _CIRCUITS
    ]
    results_ = [one for one in both if isinstance(one, Result)]
    if len(results_) < len(both):
        return both[0]
    if all(one.verdict == "outside" for one in results_):
        return results_[-1]
    note = "it was not said whether this is open circuit or on the valve"
    bare = replace(results_[0], inputs={"thermocouple-output": value}, limit=None)
    return undecided(bare, "missing-input", "say open circuit or on the valve", note)


_CIRCUITS = ("open-circuit", "closed-circuit")
