"""Figures that nothing beside them names. In: the desk and a figure. Out: a reading by what was in talk, by shape or by unit.

Not allowed to know: names of quantities (that is `claiming`).
"""

from bisect import bisect_left
from decimal import Decimal

from fieldnote.extract.figures.desk import (
    COMBUSTION,
    FSD,
    LISTS,
    MIDDLE,
    PRESSURES,
    ROOM,
    SIDES,
    TESTS,
    Bound,
    Desk,
    family_of,
)
from fieldnote.extract.figures.measures import Figure
from fieldnote.extract.figures.reach import JETS
from fieldnote.extract.figures.spoken import HARD, SOFT

REACH = 14
LED = 24
SOON = 6
LEADS = frozenset(("lead-left", "lead-found", "as-left", "as-found"))
SIZES = frozenset(
    "simmer small medium large big wok rapid semi auxiliary front rear back left right oven grill other middle centre".split()
)
THERMOCOUPLES = frozenset("thermocouple thermocouples".split())
FUSES = frozenset("fuse fuses plug spur".split())
FUSE_SIZES = frozenset((3, 5, 7, 10, 13))
LEAST_BORE = Decimal("0.3")  # mm
SWAPPED = frozenset("swapped swap changed change replaced exchanged swopped fitted".split())
CUBIC = frozenset("metres metre meters meter cubed cube cubes cubic m3 feet foot litres".split())
PLATES = frozenset("plate badge nameplate".split())
RATES = frozenset("max maximum min minimum high low full".split())
AT = frozenset(
    "cooker hob meter appliance boiler fire burner heater inlet regulator reg cylinder bottle bottles tank riser".split()
)
WHEN = frozenset("before after afterwards once with when".split())
AT_ENDS = (
    ["at", "the", "end"],
    ["at", "the", "start"],
    ["at", "end"],
    ["at", "start"],
    ["to", "start"],
    ["by", "the", "end"],
)
ROOMS_OF_AIR = frozenset(
    "kitchen hall hallway lounge bedroom bathroom landing room diner utility loft cupboard garage "
    "pantry larder scullery saloon cabin caravan conservatory porch bedsit flat house".split()
)
NEW_ONE = (["new", "one", ","], ["new", "un", ","], ["a", "new", "one"], ["the", "new", "one"])
LIT = frozenset("going running lit firing burning on".split())
OFF = frozenset("off out nothing".split())
LOSSES = frozenset("losing lose loses lost".split())
LOST = frozenset("gone lost missing adrift difference".split())
DECIMALS = 3  # of a meter
ORDINALS = frozenset("first second third fourth other next last".split())  # which of several appliances
_KINDS = frozenset(
    "heat only combination system condensing regular conventional open flued flue room sealed balanced fan wall hung mounted "
    "floor standing back gas lpg natural band b rated radiant convector glass fronted live fuel effect instant instantaneous "
    "twin double single range old new wee little".split()
)  # of an appliance, between its size and its name
_KINDS_BEFORE = 5
APPLIANCES = frozenset("boiler combi fire kettle cooker appliance heater one unit model burner limit".split())
KEPT = frozenset("hold holds held holding stays stayed stay catch catches caught pushed pressed".split())
LET_GO = frozenset("dropped let shut went released tripped closed".split())
TIPS = frozenset("electrode electrodes igniter igniters tip sparker sparkers plug".split())
BONDS = frozenset("bond bonds bonding clamp cable lug clearance screw".split())
BENDING = frozenset(
    "bent bend eased set reset opened closed moved brought pulled pushed adjusted regapped back out".split()
)
CLOCKED = frozenset("clocked does doing making firing calculate calculated worked works reckon measured".split())
FITTED = frozenset(("fuse-rating", "injector-size"))  # what is exchanged for one of another figure
GONE_IN = (
    ["gone", "in"], ["went", "in"], ["is", "in"], ["in", "now"], ["in", "there"], ["in", "it"], ["in", "its"], ["put", "in"],
    ["s", "gone"], ["it", "has"], ["its", "got"], ["it", "got"],
)  # fmt: skip
ALL_ROUND = frozenset("pressure gauge system boiler vessel loop bar combi topped filled needle cold".split())
ALONE = {
    "mV": "thermocouple-output", "V": "supply-voltage", "A": "fuse-rating", "mA": "fuse-rating", "ohm": "earth-continuity",
    "mohm": "earth-continuity", "Mohm": "insulation-resistance", "kohm": "insulation-resistance", "ppm": "co",
    "bar": "system-pressure", "kW": "heat-input", "W": "heat-input", "Btu/h": "heat-input", "m3/h": "gas-rate",
    "ft3/h": "gas-rate", "dm3/h": "gas-rate", "cm2": "vent-area", "mm2": "vent-area",
}  # fmt: skip


def meter_like(figure: Figure) -> bool:
    """Whether a figure has the shape of an index: four digits or more, or three after the point."""
    if figure.units and not any(unit.id in ("m3", "ft3") for unit in figure.units):
        return False
    decimals = figure.numeral.decimals or figure.numeral.whole.partition(".")[2]
    whole = figure.numeral.whole.partition(".")[0]
    imperial = any(unit.id == "ft3" for unit in figure.units) and len(whole) >= 3
    return len(whole) >= 4 or (len(decimals) == 3 and whole.strip("0") != "") or imperial


def meter_string(figure: Figure) -> bool:
    """Whether a figure can only be an index: five digits or more before a point."""
    return figure.numeral.decimals is not None and len(figure.numeral.whole) >= 5


def bare_one(figure: Figure) -> bool:
    """Whether a figure is the mere word "one", which is mostly no number."""
    return not figure.units and figure.numeral.end - figure.numeral.start == 1 and figure.numeral.whole == "1"


def carried(desk: Desk, figure: Figure) -> Bound | None:
    """The quantity of the last reading, where a phase, a correction, a place, a list or the unit carries it on."""
    last = desk.last
    if last is None or last.figure is None or figure.start - last.end > LED:
        return None
    if PLATES & set(desk.words[figure.start - 3 : figure.start]):
        return None
    if bare_one(figure) or (figure.numeral.needs_unit and not figure.units):
        return None
    if (
        desk.words[figure.start - 2 : figure.start] in (["to", "you"], ["to", "them"], ["to", "us"])
        and not figure.units
    ):
        return None  # "that's up to you two"
    if last.quantity in PRESSURES and not LOSSES.isdisjoint(desk.words[max(0, figure.start - 3) : figure.start]):
        return None  # "19.4 at the meter and 18.2 at the hob, so I'm losing over a millibar"
    if last.quantity in PRESSURES and desk.after(figure.end) in LOST:
        return None  # "that's near a millibar gone in the pipe"
    quantity = desk.quantities[last.quantity]
    if figure.units and not any(quantity.takes(unit.id) for unit in figure.units):
        return None
    if _under_load(desk, last, figure):
        return desk.likely(desk.take("working-pressure", figure, None, "carried, under load"))
    if (continued := _continued(desk, last, figure)) is not None:
        return continued
    how = "carried" if _of_the_air(desk, last, figure) else _how(desk, last, figure)
    bound = desk.take(last.quantity, figure, None, how) if how else None
    return bound if figure.units or (how and "meter" in how) else desk.likely(bound)


def _how(desk: Desk, last: Bound, figure: Figure) -> str | None:
    """By what the quantity of the last reading is carried on to a figure."""
    if last.figure is None:
        return None
    between = desk.words[last.end : figure.start]
    if last.quantity == "meter-reading" and meter_like(figure):
        return "carried, meter"
    led = LEADS & (desk.kinds_before(figure.start) | desk.kinds_between(figure.end, figure.end + 3))
    if led and between.count(HARD) <= 3 and not _named_between(desk, last.end, figure.start):
        return "carried"
    named = _named_between(desk, last.end, figure.start)
    worked = "work" in desk.kinds_between(last.end, figure.start)
    renewed = last.quantity == "thermocouple-output" and desk.words[last.end : figure.start][-3:] in NEW_ONE
    if between == ["/"] or ((worked or renewed) and not named):
        return "carried"
    if between.count(HARD) > 1 or len(between) > REACH:
        return None
    rate = desk.words[figure.end : figure.end + 2]
    if (
        desk.words[figure.start - 1] in RATES
        and last.quantity in COMBUSTION | PRESSURES
        and len(between) <= SOON
        and not named
    ):
        return "at a rate"
    at_rate = len(rate) == 2 and rate[0] in ("on", "at") and rate[1] in RATES
    if at_rate and last.quantity in COMBUSTION | PRESSURES and len(between) <= SOON and not named:
        return "at a rate"
    if figure.units and of_a_bond(desk, figure):
        return None
    if figure.units or "correction" in desk.kinds_between(last.figure.end, figure.start):
        return "carried"
    if desk.words[figure.end : figure.end + 3] in (["to", "be", "exact"], ["to", "be", "precise"]) and not named:
        return "carried"
    if desk.place_between(last.end, figure.start) and not _named_between(desk, last.end, figure.start):
        return "carried"
    if last.quantity in FITTED and not named and desk.words[figure.end : figure.end + 2] in GONE_IN:
        return "carried"
    if between in (*LISTS, []) and last.rule.startswith("carried") and not figure.units:
        return "carried"
    if between in (*LISTS, []) and last.name and desk.words[last.name.end - 1].endswith("s") and not figure.units:
        return "carried"
    if (
        desk.words[figure.start - 1] in SIDES
        and desk.words[last.figure.start - 1] in SIDES | MIDDLE
        and len(between) <= 2
    ):
        return "carried"  # "left twenty four, centre thirty one, right twenty eight"
    at = desk.words[figure.end : figure.end + 3]
    if len(at) == 3 and at[0] in ("on", "for") and at[1] in ("the", "each") and at[2] in SIZES:
        return "carried"
    if last.quantity in PRESSURES and len(between) <= SOON and not named and _led_by_where(desk, figure):
        return "carried"
    soon = last.quantity in PRESSURES and len(between) <= SOON and not named
    if soon and at[:2] == ["on", "the"] and not ORDINALS.isdisjoint(at[2:]):
        return "carried"  # "20.6 on the first, 20.5 on the second"
    near = last.quantity in PRESSURES and len(between) <= REACH and at[:2] == ["at", "the"]
    return "carried" if near and at[2:3] and at[2] in AT else None


def _under_load(desk: Desk, last: Bound, figure: Figure) -> bool:
    """ "Standing was twenty three and with the boiler going it's nineteen point four": the pressure with something lit."""
    between = desk.words[last.end : figure.start]
    if last.quantity != "standing-pressure" or len(between) > REACH or HARD in between or "with" not in between:
        return False
    value = desk.value("working-pressure", figure)
    lit = not LIT.isdisjoint(between[between.index("with") :]) and OFF.isdisjoint(between)
    return lit and value is not None and value.value <= last.value and not _named_between(desk, last.end, figure.start)


def _of_the_air(desk: Desk, last: Bound, figure: Figure) -> bool:
    """ "Room CO 3 at the start and 4 once it had run", "hall eighteen parts, kitchen thirty four": air of a room read again."""
    reach = REACH if desk.words[figure.start - 2 : figure.start] == ["went", "to"] else SOON
    if last.quantity != "ambient-co" or figure.start - last.end > reach or _named_between(desk, last.end, figure.start):
        return False
    behind = desk.words[figure.end : figure.end + 3]
    behind = behind[1:] if behind[:1] == [","] else behind
    when = (behind[:1] != [HARD] and not WHEN.isdisjoint(behind[:1])) or behind[:3] in AT_ENDS or behind[:2] in AT_ENDS
    led = (
        desk.words[figure.start - 1] in ROOMS_OF_AIR
        or _in_some_room(desk, figure)
        or desk.words[figure.start - 2 : figure.start]
        in (
            ["went", "to"],
            ["down", "to"],
            ["dropped", "to"],
            ["back", "to"],
        )
    )
    led = led or desk.words[figure.start - 2 : figure.start] == [
        "falling",
        "to",
    ]
    return when or led


def _led_by_where(desk: Desk, figure: Figure) -> bool:
    """ "Working at the meter 20.6, at the boiler 19.9": only where it was read stands before the figure."""
    before = [word for word in desk.words[figure.start - 4 : figure.start] if word not in ("the", SOFT)]
    return len(before) > 1 and before[-2] == "at" and before[-1] in AT


def of_a_bond(desk: Desk, figure: Figure) -> bool:
    """ "Main bond's ten mil": how thick something is."""
    return not BONDS.isdisjoint(desk.words[max(0, figure.start - 3) : figure.start])


def _named_between(desk: Desk, start: int, end: int) -> bool:
    first, last = bisect_left(desk.name_starts, start), bisect_left(desk.name_starts, end)
    return any(
        name.names[0].strength == "name"
        # "took it up to" heads a test, but is said of a system, too
        or (name.names[0].strength == "topic" and family_of(name) in TESTS and desk.words[name.end - 1] != "to")
        for name in desk.talk.names[first:last]
    )


def _continued(desk: Desk, last: Bound, figure: Figure) -> Bound | None:
    """ "... point six two oh, no sorry, point six oh two": new decimals to the whole number said before."""
    digits, decimals = figure.numeral.pieces, figure.numeral.decimals
    if last.quantity == "meter-reading" and decimals is None and len(figure.numeral.whole) == DECIMALS:
        # "... point five oh nine, sorry, five two oh"
        digits, decimals = (), figure.numeral.whole
    if digits or decimals is None or figure.units or last.figure is None or last.value < 1:
        return None
    if "correction" not in desk.kinds_between(last.figure.end, figure.start):
        return None
    value = Decimal(int(last.value)) + Decimal(f"0.{decimals}")
    return Bound(last.quantity, value, figure.start, figure.end, figure, None, "carried, decimals corrected")


def alone(desk: Desk, figure: Figure) -> Bound | None:
    """A figure that nothing names: by the shape of an index or a ratio, or by the only quantity its unit can mean."""
    if meter_string(figure) or (desk.family(figure.start) == "meter" and meter_like(figure)):
        return desk.take("meter-reading", figure, None, "shape")
    if not figure.units:
        return _alone_bare(desk, figure)
    if any(unit.id == "mm" for unit in figure.units) and _bent_to(desk, figure):
        return desk.likely(desk.take("spark-gap", figure, None, "unit"))
    if len({unit.id for unit in figure.units}) > 1:
        return None
    return desk.likely(_by_unit(desk, figure, figure.units[0].id))


def _by_unit(desk: Desk, figure: Figure, unit: str) -> Bound | None:
    if unit == "m3":
        return desk.take("room-volume", figure, None, "unit") if desk.recent(ROOM, figure.start) else None
    if unit == "%":
        return desk.take("co2", figure, None, "unit") if desk.recent(("co", "co-ratio"), figure.start) else None
    if unit == "m":
        return desk.take("pipe-length", figure, None, "unit") if desk.recent(["pipe-size"], figure.start, 12) else None
    if desk.words[figure.end - 2 : figure.end] == ["an", "hour"] and desk.words[figure.end - 3] not in CUBIC:
        metered = desk.family(figure.start) == "meter" or "meter" in desk.words[figure.start - 3 : figure.start]
        return desk.take("gas-rate", figure, None, "unit") if metered else None
    if unit == "bar" and (_counted_bars(desk, figure) or _a_bar(desk, figure)):
        return None
    if unit not in ALONE or _how_large(desk, figure):
        return None
    if unit == "ppm" and (in_the_room(desk, figure.start) or _in_some_room(desk, figure)):
        return desk.take("ambient-co", figure, None, "unit")
    if unit == "ppm" and (desk.after(figure.end) == "of" or desk.words[figure.start - 1 : figure.start] == ["in"]):
        return None  # "broken in two parts", "two parts of the cap"
    if unit == "V" and "insulation" in desk.words[max(0, figure.start - 8) : figure.end + 3]:
        return None
    return desk.take(ALONE[unit], figure, None, "unit")


def _how_large(desk: Desk, figure: Figure) -> bool:
    """ "A 24 kW boiler", "27 kW heat-only boiler": how large the appliance is that is named behind it, nothing measured."""
    behind = (word for word in desk.words[figure.end : figure.end + _KINDS_BEFORE] if word not in _KINDS)
    return next(behind, "") in APPLIANCES


def in_the_room(desk: Desk, at: int) -> bool:
    """Whether the sentence is of the air in the room so far: "air in the room with the fire on full, CO nought"."""
    first = bisect_left(desk.name_ends, at - REACH)
    for index in range(first, bisect_left(desk.name_ends, at + 1)):
        name = desk.talk.names[index]
        ambient = any(n.quantity == "ambient-co" and n.strength == "name" for n in name.names)
        if ambient and index not in desk.used and HARD not in desk.words[name.end : at]:
            return True
    return False


def _in_some_room(desk: Desk, figure: Figure) -> bool:
    """ "Shut the windows and it's thirty eight parts in the cupboard": where the air was that held so much."""
    behind = desk.words[figure.end : figure.end + 4]
    return behind[:1] == ["in"] and not ROOMS_OF_AIR.isdisjoint(behind[1:])


def _bent_to(desk: Desk, figure: Figure) -> bool:
    """ "Electrode tip touching, eased it out to four mil", "electrode's seven mil from the cap": the gap of a tip."""
    before = desk.words[max(0, figure.start - LED, desk.last.end if desk.last else 0) : figure.start]
    if desk.words[figure.end : figure.end + 2] in (["from", "the"], ["off", "the"]):
        return bool(TIPS & set(before[-5:]))
    before = before[before.index(HARD) :] if HARD in before else before
    return before[-1:] == ["to"] and bool(TIPS & set(before)) and bool(BENDING & set(before))


def _a_bar(desk: Desk, figure: Figure) -> bool:
    """ "I'll not put a bar on it": a bar of steel where nothing around tells of a pressure."""
    around = desk.words[max(0, figure.start - LED) : figure.start] + desk.words[figure.end : figure.end + SOON]
    return desk.words[figure.start] in ("a", "an") and ALL_ROUND.isdisjoint(around)


def _counted_bars(desk: Desk, figure: Figure) -> bool:
    """ "It's got three bars", "one bar of three": bars of a burner or a fire, no pressure."""
    whole = figure.numeral.decimals is None and "." not in figure.numeral.whole
    return whole and (desk.words[figure.end - 1] == "bars" or desk.after(figure.end) == "of")


def _alone_bare(desk: Desk, figure: Figure) -> Bound | None:
    """A bare figure: nought with three decimals or more is a ratio; one with "gross" or "net" is an input."""
    decimals = figure.numeral.decimals or figure.numeral.whole.partition(".")[2]
    value, last = figure.numeral.options[0].value, desk.last
    if value == 0 and last and last.quantity == "test-duration" and figure.start - last.end <= 3:
        return desk.take("tightness-drop", figure, None, "behind the time")
    if len(decimals) >= 3 and Decimal(0) < value < Decimal("0.03") and not figure.numeral.needs_unit:
        return desk.take("co-ratio", figure, None, "shape")
    if _exchanged(desk, figure):
        return desk.likely(desk.take(_exchanged(desk, figure) or "", figure, None, "exchanged"))
    if _off_the_tip(desk, figure):
        return desk.likely(desk.take("thermocouple-output", figure, None, "off the tip"))
    if desk.words[figure.end : figure.end + 2] == ["on", "it"] and _on_a_jet(desk, figure):
        return desk.likely(desk.take("injector-size", figure, None, "behind the jet"))
    if last and last.quantity == "rated-input" and not CLOCKED.isdisjoint(desk.words[last.end : figure.start][-4:]):
        # "rated six point eight, it's doing six point five"
        return desk.likely(desk.take("heat-input", figure, None, "clocked"))
    if desk.after(figure.end) in ("gross", "net") and desk.family(figure.start) in ("meter", "other"):
        return desk.take("heat-input", figure, None, "basis")
    return None


def _exchanged(desk: Desk, figure: Figure) -> str | None:
    """ "Somebody had drilled the jet. Swapped it for a 0.97", "wrong fuse, it's a three": the thing last named tells of what."""
    before = desk.words[max(0, figure.start - LED) : figure.start]
    led = before[-2:] in (["for", "a"], ["for", "an"], ["one", "of"], ["a", "new"], ["its", "a"], ["is", "a"])
    swapped = not SWAPPED.isdisjoint(before[-5:])
    named = next((word for word in reversed(before) if word in JETS | FUSES), None)
    value = figure.numeral.options[0].value
    if named in FUSES and led and value in FUSE_SIZES and (swapped or "fuse" in before[-10:]):
        return "fuse-rating"
    return "injector-size" if named in JETS and led and swapped and value >= LEAST_BORE else None


def _off_the_tip(desk: Desk, figure: Figure) -> bool:
    """ "Thermocouple ... I'm getting twenty one off it", "had the thermocouple out and it's reading twenty seven"."""
    before = desk.words[max(0, figure.start - LED) : figure.start]
    after = desk.words[figure.end : figure.end + 2]
    read = before[-2:] in (["its", "reading"], ["it", "reads"], ["its", "giving"], ["it", "gives"], ["its", "making"])
    off = before[-1:] in (["getting"], ["reading"], ["giving"], ["got"], ["gives"]) and after[1:] == ["it"]
    told = not THERMOCOUPLES.isdisjoint(before) and figure.numeral.options[0].value >= 1
    return told and (read or (off and after[0] in ("off", "across", "from")))


def _on_a_jet(desk: Desk, figure: Figure) -> bool:
    """ "The front left jet's off another hob, it's got sixty eight on it": what is stamped on a jet."""
    before = desk.words[max(0, figure.start - REACH) : figure.start]
    return not JETS.isdisjoint(before) and not {"got", "has", "says", "reads"}.isdisjoint(before[-2:])


def test_time(desk: Desk, figure: Figure) -> Bound | None:
    """A time by what is being measured: of a tightness or let-by test, or between two meter readings."""
    if _of_supervision(desk, figure):
        return desk.take("drop-out-time", figure, None, "flame failure in talk")
    family = desk.family(figure.start)
    tested = "test" in (desk.words[figure.start - 1], desk.after(figure.end))
    if tested and family in (None, "other"):
        family = "tightness"
    if family in (None, "other"):
        family = _coming(desk, figure)
    if family in TESTS:
        return desk.take("test-duration", figure, None, "test in talk")
    return desk.take("elapsed", figure, None, "meter in talk") if family == "meter" else None


def _of_supervision(desk: Desk, figure: Figure) -> bool:
    """ "Flame failures, gone round with a stopwatch: left oven nineteen seconds", "flame failure did not shut, 85 seconds"."""
    before = desk.words[max(0, figure.start - LED) : figure.start]
    before = before[len(before) - before[::-1].index(HARD) :] if HARD in before else before
    seconds = any(unit.id == "s" for unit in figure.units)
    # "flame failure held nineteen seconds then dropped"
    ended = desk.after(figure.end) in ("then", "before", "and") and not LET_GO.isdisjoint(
        desk.words[figure.end + 1 : figure.end + 3]
    )
    return seconds and not FSD.isdisjoint(before) and (ended or KEPT.isdisjoint(before))


def _coming(desk: Desk, figure: Figure) -> str | None:
    """What is named right after a time: "a two minute tightness test", "over two minutes no drop"."""
    words = desk.words[figure.end : figure.end + REACH]
    reach = figure.end + (words.index(HARD) if HARD in words else len(words))
    index = bisect_left(desk.topics, (figure.end, ""))
    if index < len(desk.topics) and desk.topics[index][0] <= min(reach, figure.end + SOON):
        return desk.topics[index][1]
    kinds = desk.kinds_between(figure.end, min(reach, figure.end + 4))
    return "tightness" if "zero-drop" in kinds else "let-by" if "zero-rise" in kinds else None
