"""Which figure belongs to which quantity. In: a talk laid out. Out: `Bound` readings in the order in which they were said.

A figure takes a name beside it (before it, or after it: "nineteen eight on the working"), else the quantity in talk, else the
only quantity that its unit can mean. What nothing decides is left out. Not allowed to know: appliances, places, limits.
"""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from decimal import Decimal

from fieldnote.extract.measures import Figure, Said, Talk, in_seconds, parts, value_of
from fieldnote.extract.quantities import Quantity, knowledge
from fieldnote.extract.reach import no_readings
from fieldnote.extract.spoken import HARD, SOFT

REACH = 14
BARE_REACH = 8
CONNECTORS = frozenset("on at of the for in through her his its it a dead there that thats with".split())
TIED = frozenset("on at of for in".split())
SOFT_WORDS = frozenset(
    "is was at of a an the about around now as found left reading reads read came in out with to it its on dead bang just only "
    "up down giving gives got get say near enough measured sat sitting running coming then and so that thats max min front "
    "rear back right hand centre middle set currently ive im were be been , showing shows after before comes for by went "
    "pressure test time there here all roughly nearly over under than greater more less better exactly i have has had gone one "
    "both same still again good full".split()
)
PLACES = frozenset(
    "front rear back left right hand centre middle top bottom and , then one the ring burner wok at is on".split()
)
ALONE = {
    "mV": "thermocouple-output", "V": "supply-voltage", "A": "fuse-rating", "mA": "fuse-rating", "ohm": "earth-continuity",
    "mohm": "earth-continuity", "Mohm": "insulation-resistance", "ppm": "co", "bar": "system-pressure", "kW": "heat-input",
    "W": "heat-input", "Btu/h": "heat-input", "kohm": "insulation-resistance",
    "m3/h": "gas-rate", "ft3/h": "gas-rate", "dm3/h": "gas-rate", "cm2": "vent-area", "mm2": "vent-area",
}  # fmt: skip
APPLIANCES = frozenset("boiler combi fire kettle cooker appliance heater one unit model burner limit".split())
FAMILIES = {
    "tightness-drop": "tightness", "let-by-rise": "let-by", "test-duration": "tightness", "meter-reading": "meter",
    "gas-rate": "meter", "elapsed": "meter", "drop-out-time": "drop-out", "hold-in-time": "hold-in",
}  # fmt: skip
FAMILY_REACH = 60
TIMES = frozenset(("test-duration", "elapsed"))
TESTS = {"tightness": "tightness-drop", "let-by": "let-by-rise"}
LEADS = frozenset(("lead-left", "lead-found", "as-left", "as-found"))


@dataclass(slots=True)
class Bound:
    """One figure with its quantity. `name` is the name that decided, `rule` how; indices are words of the talk laid out."""

    quantity: str
    value: Decimal
    start: int
    end: int
    figure: Figure | None
    name: Said | None = None
    rule: str = "name"
    doubt: bool = False
    start_value: Decimal | None = None
    cubic_feet: bool = False
    phase: str | None = None
    superseded: str | None = None


@dataclass(frozen=True, slots=True)
class Claim:
    """A name that can take a figure: `gap` counts the words between that say something of their own."""

    index: int
    quantity: str
    strength: str
    gap: int
    tied: bool = False
    free: bool = True


def bind(talk: Talk) -> list[Bound]:
    """All readings of a talk, in order."""
    return Binder(talk).run()


class Binder:
    """Walks over the figures of one talk once; keeps which names are used up and what was bound last."""

    def __init__(self, talk: Talk) -> None:
        self.talk = talk
        self.quantities = knowledge().quantities
        self.blocked = no_readings(talk)
        self.used: set[int] = set()
        self.bound: list[Bound] = []
        self.start: Bound | None = None
        self._name_ends = [name.end for name in talk.names]
        self._name_starts = [name.start for name in talk.names]
        self._cue_starts = [cue.start for cue in talk.cues]
        self._topics = [(n.end, f) for n in talk.names if (f := _family(n))]

    def run(self) -> list[Bound]:
        """Bind figures and what is said without a figure ("no drop") in the order in which they stand."""
        figures = [(figure.start, index) for index, figure in enumerate(self.talk.figures)]
        zeros = [(cue.start, -1 - i) for i, cue in enumerate(self.talk.cues) if _kinds(cue) & ZERO_KINDS]
        done = -1
        for at, index in sorted(figures + zeros):
            if at < done:
                continue
            if index < 0:
                done = self._zero(self.talk.cues[-1 - index]) or done
            elif index not in self.blocked:
                done = self._figure(index) or done
        return self.bound

    # figures

    def _figure(self, index: int) -> int | None:
        """Bind the figure, or the shape of several figures that starts with it; returns where it ends if it was a shape."""
        figure = self.talk.figures[index]
        shape = self._room(index) or self._pipe(index)
        if shape:
            self.bound += shape
            return shape[-1].end
        for part in [figure] if self._is_string(figure) else parts(figure):
            self._single(part)
        return None

    def _single(self, figure: Figure) -> None:
        if in_seconds(figure) is not None:
            bound = self._time(figure)
        else:
            bound = self._end_of_test(figure) or self._by_name(figure) or self._test_pressure(figure)
            bound = bound or self._alone(figure)
        if bound and bound.rule != "start":
            self.bound.append(bound)

    def take(self, quantity: str, figure: Figure, name: Said | None, rule: str) -> Bound | None:
        """Bind a figure to a quantity, if it can be a value of it."""
        found = value_of(figure, self.quantities[quantity])
        if found is None:
            return None
        start = min(figure.start, name.start) if name else figure.start
        end = max(figure.end, name.end) if name else figure.end
        bound = Bound(quantity, found.value, start, end, figure, name, f"{rule}, {found.rule}", found.doubt)
        bound.cubic_feet = quantity == "meter-reading" and any(unit.id == "ft3" for unit in figure.units)
        return bound

    def _by_name(self, figure: Figure) -> Bound | None:
        before, after = self._before(figure), self._after(figure)
        carried = self._carried(figure)
        if before and before.gap == 0 and before.strength == "name":
            return self._claim(before, figure)
        if after and after.tied and (after.free or not before):
            return self._claim(after, figure)
        if before:
            return self._claim(before, figure)
        if after and after.free:
            return self._claim(after, figure)
        return carried or (self._claim(after, figure) if after else None)

    def _claim(self, claim: Claim, figure: Figure) -> Bound | None:
        self.used.add(claim.index)
        return self.take(claim.quantity, figure, self.talk.names[claim.index], "name")

    def _before(self, figure: Figure) -> Claim | None:
        """The nearest name before a figure that can take it."""
        index = bisect_right(self._name_ends, figure.start) - 1
        while index >= 0 and figure.start - self.talk.names[index].end <= REACH:
            name = self.talk.names[index]
            between = self.talk.words[name.end : figure.start]
            if HARD in between and between != [HARD]:
                return None
            if index in self.used:
                return None
            if quantity := self._fitting(name, figure, self._gap(between), len(between)):
                strength = next(n.strength for n in name.names if n.quantity == quantity)
                return Claim(index, quantity, strength, self._gap(between))
            index -= 1
        return None

    def _after(self, figure: Figure) -> Claim | None:
        """The name that stands right after a figure: "nineteen working", "nineteen eight on the working"."""
        index = bisect_left(self._name_starts, figure.end)
        if index >= len(self.talk.names) or index in self.used:
            return None
        name = self.talk.names[index]
        between = self.talk.words[figure.end : name.start]
        if len(between) > 3 or not set(between) <= CONNECTORS:
            return None
        quantity = self._fitting(name, figure, 0, len(between))
        if quantity is None:
            return None
        strength = next(n.strength for n in name.names if n.quantity == quantity)
        follows = bisect_left(self._starts(), name.end)
        nearest = self.talk.figures[follows].start if follows < len(self.talk.figures) else 10**9
        gap = self.talk.words[name.end : nearest] if nearest - name.end <= 3 else [HARD]
        free = HARD in gap or SOFT in gap
        return Claim(index, quantity, strength, 0, bool(TIED & set(between)), free)

    def _starts(self) -> list[int]:
        return [figure.start for figure in self.talk.figures]

    def _gap(self, between: list[str]) -> int:
        return sum(word not in SOFT_WORDS and word != HARD for word in between)

    def _fitting(self, name: Said, figure: Figure, gap: int, distance: int) -> str | None:
        """Which of the quantities that a name can name takes the figure."""
        for named in name.names:
            quantity = self.quantities[named.quantity]
            found = value_of(figure, quantity)
            if named.strength == "topic" or found is None:
                continue
            if named.strength == "weak" and not self._weak_fits(name, figure, quantity, found.value):
                continue
            if _bare_one(figure) and (named.strength == "weak" or distance > 2):
                continue
            if named.quantity == "meter-reading" and not self._meter_like(figure):
                continue
            if named.quantity != "meter-reading" and self._meter_string(figure):
                continue
            if figure.units or (gap == 0 and distance <= BARE_REACH):
                return named.quantity
            if named.strength == "name" and distance <= BARE_REACH and not figure.numeral.needs_unit:
                return named.quantity
        return None

    def _weak_fits(self, name: Said, figure: Figure, quantity: Quantity, value: Decimal) -> bool:
        """Whether a loose name may take a figure: a likely value, a room's size only of a room, no count of things."""
        if not quantity.likely[0] <= value <= quantity.likely[1]:
            return False
        last = self.talk.words[name.end - 1]
        if not figure.units and name.start == figure.end and last.endswith("s") and name.end - name.start == 1:
            return last in ("volts", "parts")
        if quantity.id == "room-volume" and last not in ("volume", "volumes"):
            return bool(figure.units)
        if quantity.id in ROOM and last in ("long", "wide", "high", "across", "end", "tall", "side"):
            around = set(self.talk.words[max(0, figure.start - 12) : figure.end + 3])
            return bool(around & ROOMS) or any(b.quantity in ROOM for b in self.bound[-3:])
        return True

    def _meter_like(self, figure: Figure) -> bool:
        """Whether a figure has the shape of an index: four digits or more, or three after the point."""
        if figure.units and not any(unit.id in ("m3", "ft3") for unit in figure.units):
            return False
        decimals = figure.numeral.decimals or figure.numeral.whole.partition(".")[2]
        whole = figure.numeral.whole.partition(".")[0]
        return len(whole) >= 4 or (len(decimals) == 3 and whole.strip("0") != "") or self._imperial(figure)

    def _is_string(self, figure: Figure) -> bool:
        """Whether a run is one string of digits: said digit by digit, or in pairs where a meter is in talk."""
        pairs = sum(piece.kind == "pair" for piece in figure.numeral.pieces)
        return self._meter_like(figure) and (pairs < 2 or self._family(figure.start) == "meter")

    def _imperial(self, figure: Figure) -> bool:
        return any(unit.id == "ft3" for unit in figure.units) and len(figure.numeral.whole) >= 3

    def _meter_string(self, figure: Figure) -> bool:
        return figure.numeral.decimals is not None and len(figure.numeral.whole) >= 5

    # what was in talk

    def _carried(self, figure: Figure) -> Bound | None:
        """The quantity of the last reading, where a phase, a correction, a place or the unit carries it on."""
        last = self.bound[-1] if self.bound else None
        if last is None or last.figure is None or figure.start - last.end > REACH or figure.numeral.needs_unit:
            return None
        quantity = self.quantities[last.quantity]
        between = self.talk.words[last.end : figure.start]
        hard = between.count(HARD)
        fits = any(quantity.takes(unit.id) for unit in figure.units)
        if figure.units and not fits:
            return None
        kinds = self._kinds_between(last.end, figure.start)
        after = self._kinds_between(figure.end, figure.end + 1)
        led = bool(LEADS & (self._kinds_before(figure.start) | after)) and hard <= 1
        places = set(between) - {HARD} <= PLACES and bool(between) and hard <= 1
        corrected = "correction" in kinds and hard <= 1
        meter = last.quantity == "meter-reading" and self._meter_like(figure)
        if not (led or corrected or meter or (fits and hard <= 1) or (places and not hard)):
            return None
        bound = self.take(last.quantity, figure, None, "carried")
        low, high = quantity.likely
        return bound if bound and (figure.units or meter or low <= bound.value <= high) else None

    def _kinds_between(self, start: int, end: int) -> set[str]:
        at, kinds = bisect_left(self._cue_starts, start), set()
        while at < len(self.talk.cues) and self.talk.cues[at].start < end:
            kinds |= _kinds(self.talk.cues[at])
            at += 1
        return kinds

    def _kinds_before(self, at: int) -> set[str]:
        """Kinds of the cues that end at most two words before."""
        index = bisect_left(self._cue_starts, at - 8)
        kinds: set[str] = set()
        while index < len(self.talk.cues) and self.talk.cues[index].start < at:
            if at - 2 <= self.talk.cues[index].end <= at:
                kinds |= _kinds(self.talk.cues[index])
            index += 1
        return kinds

    def _family(self, at: int) -> str | None:
        """What the talk is measuring at a word: the last family named before it."""
        index = bisect_right(self._topics, (at, "￿")) - 1
        named = self._topics[index] if index >= 0 and at - self._topics[index][0] <= FAMILY_REACH else (-1, None)
        last = next((b for b in reversed(self.bound) if b.quantity not in TIMES), None)
        if last and last.end > named[0] and at - last.end <= FAMILY_REACH:
            return FAMILIES.get(last.quantity, "other")
        return named[1]

    def _alone(self, figure: Figure) -> Bound | None:
        """A figure that nothing names: by the shape of an index or a ratio, or by the only quantity its unit can mean."""
        if self._meter_string(figure) or (self._family(figure.start) == "meter" and self._meter_like(figure)):
            return self.take("meter-reading", figure, None, "shape")
        if not figure.units:
            return self._alone_bare(figure)
        if len({unit.id for unit in figure.units}) > 1:
            return None
        after = self.talk.words[figure.end] if figure.end < len(self.talk.words) else ""
        unit, recent = figure.units[0].id, {b.quantity for b in self.bound[-3:]}
        if unit == "m3":
            return self.take("room-volume", figure, None, "unit") if recent & {*ROOM} else None
        if unit == "%":
            return self.take("co2", figure, None, "unit") if recent & {"co", "co-ratio"} else None
        quantity = ALONE.get(unit)
        bound = self.take(quantity, figure, None, "unit") if quantity and after not in APPLIANCES else None
        low, high = self.quantities[quantity].likely if quantity else (Decimal(0), Decimal(0))
        if bound and unit == "V" and "insulation" in self.talk.words[max(0, figure.start - 8) : figure.end + 3]:
            return None
        return bound if bound and low <= bound.value <= high else None

    def _alone_bare(self, figure: Figure) -> Bound | None:
        """A bare figure: nought with three decimals or more is a ratio; one with "gross" or "net" is an input."""
        decimals = figure.numeral.decimals or figure.numeral.whole.partition(".")[2]
        value = figure.numeral.options[0].value
        if len(decimals) >= 3 and Decimal(0) < value < Decimal("0.03") and not figure.numeral.needs_unit:
            return self.take("co-ratio", figure, None, "shape")
        after = self.talk.words[figure.end] if figure.end < len(self.talk.words) else ""
        if after in ("gross", "net") and self._family(figure.start) in ("meter", "other"):
            return self.take("heat-input", figure, None, "basis")
        return None

    # times

    def _time(self, figure: Figure) -> Bound | None:
        before, after = self._before(figure), self._after(figure)
        if before and (before.gap <= 2 or before.strength == "name"):
            return self._claim(before, figure)
        if after and (after.free or after.tied):
            return self._claim(after, figure)
        family = self._family(figure.start) or self._coming(figure)
        if family in TESTS:
            return self.take("test-duration", figure, None, "test in talk")
        if family == "meter":
            return self.take("elapsed", figure, None, "meter in talk")
        return self._carried(figure)

    def _coming(self, figure: Figure) -> str | None:
        """What is named right after a time: "a two minute tightness test", "over two minutes no drop"."""
        words = self.talk.words[figure.end : figure.end + REACH]
        reach = figure.end + (words.index(HARD) if HARD in words else len(words))
        index = bisect_left(self._topics, (figure.end, ""))
        if index < len(self._topics) and self._topics[index][0] <= min(reach, figure.end + 6):
            return self._topics[index][1]
        kinds = self._kinds_between(figure.end, min(reach, figure.end + 4))
        return "tightness" if "zero-drop" in kinds else "let-by" if "zero-rise" in kinds else None

    # tests of pressure

    def _pressure(self, figure: Figure) -> Decimal | None:
        found = value_of(figure, self.quantities["standing-pressure"])
        return found.value if found else None

    def _end_of_test(self, figure: Figure) -> Bound | None:
        """ "down to nineteen eight", "rose to eight and a half": the drop or rise from the start pressure."""
        kinds = self._kinds_before(figure.start)
        value = self._pressure(figure)
        if self.start is None or value is None or not kinds & {"down", "up"}:
            return None
        if (before := self._before(figure)) and before.quantity not in TESTS.values() and before.gap == 0:
            return None
        return self._difference(figure, value, kinds)

    def _difference(self, figure: Figure, value: Decimal, kinds: set[str]) -> Bound | None:
        start, self.start = self.start, None
        if start is None:
            return None
        family = self._family(figure.start)
        rising = family == "let-by" or (family is None and "up" in kinds)
        change = value - start.value if rising else start.value - value
        quantity = "let-by-rise" if rising else "tightness-drop"
        if not 0 <= change <= self.quantities[quantity].possible[1]:
            return None
        self.used |= {i for i, name in enumerate(self.talk.names) if start.start <= name.start < figure.start}
        return Bound(
            quantity, change, start.start, figure.end, figure, None, "from start to end", start_value=start.value
        )

    def _test_pressure(self, figure: Figure) -> Bound | None:
        """The pressure that a test starts at, or a second one that ends it; a start is no reading."""
        value, family = self._pressure(figure), self._family(figure.start)
        if value is None or not (family in TESTS or self._falls_next(figure)) or value < 4 or value > 60:
            return None
        if self.start and family in TESTS and figure.start - self.start.end <= 20:
            return self._difference(figure, value, set())
        self.start = Bound("", value, figure.start, figure.end, figure, None, "start")
        return self.start

    def _falls_next(self, figure: Figure) -> bool:
        index = bisect_left(self._cue_starts, figure.end)
        if index >= len(self.talk.cues) or self.talk.cues[index].start > figure.end:
            return False
        words = self.talk.words[self.talk.cues[index].start : self.talk.cues[index].end]
        return "down" in _kinds(self.talk.cues[index]) and words[0] in ("down", "dropped", "dropping", "fell", "went")

    def _zero(self, cue: Said) -> int | None:
        """ "no drop", "didn't move": a reading of nothing, where a test is in talk."""
        quantity = self._zero_of(cue)
        after = self.talk.words[cue.end] if cue.end < len(self.talk.words) else ""
        if quantity is None or after in NO_ZERO or self._doubtful(cue):
            return None
        if self._said_zero(quantity, cue):
            return cue.end
        start = self.start.value if self.start else None
        self.start = None
        self.bound.append(Bound(quantity, Decimal(0), cue.start, cue.end, None, None, "none said", start_value=start))
        return cue.end

    def _zero_of(self, cue: Said) -> str | None:
        kinds, test = _kinds(cue), TESTS.get(self._family(cue.start) or "")
        if "zero-either" in kinds and test:
            return test
        if "zero-drop" in kinds or "zero-rise" in kinds:
            return "tightness-drop" if "zero-drop" in kinds else "let-by-rise"
        return test if "zero-beside" in kinds and self._beside_test(cue) else None

    def _beside_test(self, cue: Said) -> bool:
        """Whether the test's name or its time ends right before."""
        words, at = self.talk.words, cue.start
        while at and words[at - 1] in BESIDE:
            at -= 1
        ends = {name.end for name in self.talk.names if _family(name) in TESTS}
        ends |= {figure.end for figure in self.talk.figures if in_seconds(figure) is not None}
        follows = words[cue.end] if cue.end < len(words) else HARD
        return (at in ends or cue.start in ends) and follows not in NO_ZERO

    def _said_zero(self, quantity: str, cue: Said) -> bool:
        """Whether the same nothing was just said of the same test."""
        last = next((b for b in reversed(self.bound) if b.quantity == quantity), None)
        if last is None or cue.start - last.end > 25:
            return False
        between = (name for name in self.talk.names if last.end <= name.start < cue.start)
        return last.value == 0 and not any(name.names[0].strength == "topic" for name in between)

    def _doubtful(self, cue: Said) -> bool:
        near = {k for c in self.talk.cues if cue.start - 5 <= c.start < cue.start for k in _kinds(c)}
        between = self.talk.words[max(0, cue.start - 5) : cue.start]
        return bool(near & {"target-before", "general", "past", "reported"} - {"closes"}) and HARD not in between

    # shapes of several figures

    def _room(self, index: int) -> list[Bound] | None:
        """ "four by three by two point four": length, width, height."""
        figures = [self.talk.figures[index]]
        while len(figures) < 3 and index + len(figures) < len(self.talk.figures):
            nearest = self.talk.figures[index + len(figures)]
            if self.talk.words[figures[-1].end : nearest.start] not in BY:
                break
            figures.append(nearest)
        around = set(self.talk.words[max(0, figures[0].start - 8) : figures[0].start])
        if len(figures) < 2 or (len(figures) == 2 and not around & ROOMS):
            return None
        bounds = [self._metres(q, f) for q, f in zip(ROOM, figures, strict=False)]
        if any(bound is None for bound in bounds):
            return None
        return [bound for bound in bounds if bound]

    def _metres(self, quantity: str, figure: Figure) -> Bound | None:
        return self.take(quantity, figure, None, "by")

    def _pipe(self, index: int) -> list[Bound] | None:
        """ "six metres of twenty two": a length and a size."""
        figure = self.talk.figures[index]
        if not any(unit.id in ("m", "ft") for unit in figure.units) or index + 1 >= len(self.talk.figures):
            return None
        size = self.talk.figures[index + 1]
        between = self.talk.words[figure.end : size.start]
        if between not in (["of"], ["in"], ["run", "in"], ["run", "of"], ["of", "copper"]) and between[:1] != ["of"]:
            return None
        if len(between) > 2 or index + 1 in self.blocked:
            return None
        found = [self.take("pipe-length", figure, None, "of"), self.take("pipe-size", size, None, "of")]
        return [b for b in found if b] if all(found) else None


BY = (["by"], ["x"], ["buy"], ["times"], ["long", "by"], ["wide", "by"], ["bye"])
ROOM = ("room-length", "room-width", "room-height")
ROOMS = frozenset(
    "room kitchen lounge hall bedroom utility measures size rooms kitchens its area floor space bathroom".split()
)
NO_ZERO = frozenset("out at in on point temperature allowed permitted".split())
BESIDE = frozenset((SOFT, "it", "was", "is", "and", "test", "on"))
ZERO_KINDS = frozenset(("zero-drop", "zero-rise", "zero-either", "zero-beside"))


def _bare_one(figure: Figure) -> bool:
    return not figure.units and figure.numeral.end - figure.numeral.start == 1 and figure.numeral.whole == "1"


def _kinds(cue: Said) -> set[str]:
    return {c.kind for c in cue.cues}


def _family(name: Said) -> str | None:
    """What a name says is being measured: its family, "other" for another quantity, None where it says nothing."""
    first = name.names[0]
    if first.strength == "weak" and first.quantity not in TESTS.values():
        return None
    return FAMILIES.get(first.quantity, "other")
