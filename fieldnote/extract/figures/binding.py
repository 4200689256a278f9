"""Which figure belongs to which quantity. In: a talk laid out. Out: `Bound` readings in the order in which they were said.

A figure takes a name beside it (before it, or after it: "nineteen eight on the working"), else the quantity in talk, else the
only quantity that its unit can mean. What nothing decides is left out. Not allowed to know: appliances, places, limits.
"""

from bisect import bisect_left
from dataclasses import replace

from fieldnote.extract.figures.carrying import RATES, alone, carried, in_the_room, meter_like, of_a_bond, test_time
from fieldnote.extract.figures.claiming import Claim, heads_list, leads_figure, name_after, name_before
from fieldnote.extract.figures.desk import COMBUSTION, PRESSURES, TESTS, Bound, Desk, is_of_a_thing, kinds_of
from fieldnote.extract.figures.listing import LISTED, listed, run_at
from fieldnote.extract.figures.measures import Figure, Talk, in_seconds, parts
from fieldnote.extract.figures.several import also, same_again
from fieldnote.extract.figures.shapes import of_a_pair, shape_at
from fieldnote.extract.figures.spoken import HARD
from fieldnote.extract.figures.trials import ZERO_KINDS, end_of_test, test_pressure, zero

_SAME = -(10**9)  # the word, among figures and cues
SOON = 5
IN_ANOTHER_UNIT = 8
_MARKED = frozenset("marked stamped rated labelled labeled badged".split())
_MIXTURE = COMBUSTION - {"flue-temperature"}


def bind(talk: Talk) -> list[Bound]:
    """All readings of a talk, in order: figures, and what is said without a figure ("no drop")."""
    desk = Desk(talk)
    figures = [(figure.start, index) for index, figure in enumerate(talk.figures)]
    zeros = [(cue.start, -1 - i) for i, cue in enumerate(talk.cues) if kinds_of([cue]) & ZERO_KINDS]
    sames = [(at, _SAME) for at, word in enumerate(talk.words) if word == "same"]
    done = -1
    for at, index in sorted(figures + zeros + sames):
        if at < done:
            continue
        if index == _SAME:
            desk.bound += [again] if (again := same_again(desk, at)) else []
        elif index < 0:
            done = zero(desk, talk.cues[-1 - index]) or done
        elif index not in desk.blocked:
            done = _figure(desk, index) or done
    return desk.bound


def _figure(desk: Desk, index: int) -> int | None:
    """Bind the figure, or the shape of several figures that starts with it; returns where it ends if it was a shape."""
    figure = desk.talk.figures[index]
    if found := shape_at(desk, index) or run_at(desk, index):
        desk.bound += found
        return max(bound.end for bound in found)
    marked = figure.start > 0 and desk.words[figure.start - 1] in _MARKED
    if marked and any(unit.id == "mbar" for unit in figure.units):
        return None  # "regulator marked thirty seven millibar": what it is made for
    if figure.units and of_a_bond(desk, figure):
        return None  # "the bond's ten mil"
    if of_a_pair(desk, index) or is_of_a_thing(desk, figure):
        return None
    if _in_another_unit(desk, figure):
        return None
    for part in [figure] if _is_string(desk, figure) else parts(figure):
        bound = _time(desk, part) if in_seconds(part) is not None else _value(desk, part)
        if bound:
            desk.bound += also(desk, bound)
    return None


def _in_another_unit(desk: Desk, figure: Figure) -> bool:
    """ "Two point one kilopascals, so that's twenty one millibar": the reading before, said again in another unit."""
    last = desk.last
    if last is None or last.figure is None or not figure.units or not last.figure.units:
        return False
    if figure.start - last.end > IN_ANOTHER_UNIT or HARD in desk.words[last.end : figure.start]:
        return False
    if {(u.id, u.factor) for u in figure.units} & {(u.id, u.factor) for u in last.figure.units}:
        return False
    again = desk.value(last.quantity, figure)
    if again is None or not last.value or abs(again.value - last.value) * 100 > last.value:
        return False
    last.end = figure.end
    return True


def _is_string(desk: Desk, figure: Figure) -> bool:
    """Whether a run is one string of digits: said digit by digit, or in pairs where a meter is in talk."""
    pairs = sum(piece.kind == "pair" for piece in figure.numeral.pieces)
    return meter_like(figure) and (pairs < 2 or desk.family(figure.start) == "meter")


def _mixture_again(desk: Desk, figure: Figure) -> Bound | None:
    """ "High fire CO2 9.2 CO 91, low fire 8.7 CO 32": at another rate the row of figures begins anew with the CO2."""
    last, before = desk.last, desk.words[max(0, figure.start - 2) : figure.start]
    told = last is not None and last.quantity in ("co", "co-ratio") and figure.start - last.end <= SOON
    if not told or figure.units or RATES.isdisjoint(before) or not desk.recent(["co2"], figure.start):
        return None
    tenths = figure.numeral.decimals is not None or "." in figure.numeral.whole
    return desk.likely(desk.take("co2", figure, None, "at a rate")) if tenths else None


def _value(desk: Desk, figure: Figure) -> Bound | None:
    if bound := _mixture_again(desk, figure):
        return bound
    before = name_before(desk, figure)
    own = before is not None and before.quantity not in TESTS.values() and before.gap == 0
    if not own and (bound := end_of_test(desk, figure)):
        return bound
    if bound := _changed_to(desk, figure) or _by_name(desk, figure, before) or listed(desk, figure):
        return bound
    return test_pressure(desk, figure) or alone(desk, figure)


def _changed_to(desk: Desk, figure: Figure) -> Bound | None:
    """ "Up from one bar to one point four": the second figure is of the quantity of the first."""
    last = desk.bound[-1] if desk.bound else None
    if last is None or last.figure is None or figure.units or desk.words[last.end : figure.start] != ["to"]:
        return None
    if desk.words[last.figure.start - 1] != "from" or last.quantity in TESTS.values():
        return None
    return desk.take(last.quantity, replace(figure, units=last.figure.units), None, "carried")


def _time(desk: Desk, figure: Figure) -> Bound | None:
    before, after = name_before(desk, figure), name_after(desk, figure)
    if before and before.strength == "weak" and before.gap and after and after.strength == "name" and after.free:
        return _claim(desk, after, figure)
    if before and (before.gap <= 2 or before.strength == "name"):
        return _claim(desk, before, figure)
    if after and (after.free or after.tied):
        return _claim(desk, after, figure)
    return test_time(desk, figure) or carried(desk, figure)


def _by_name(desk: Desk, figure: Figure, before: Claim | None) -> Bound | None:
    after, carry = name_after(desk, figure), carried(desk, figure)
    if carry and (carry.rule.startswith("at a rate") or _put_right(desk, figure)):
        return carry
    if carry and carry.rule.startswith("carried, under load"):
        return carry
    if (
        carry
        and carry.quantity == "drop-out-time"
        and desk.words[figure.end : figure.end + 3] == ["on", "the", "retest"]
    ):
        return carry  # "failed at 95 seconds, new thermocouple in, 28 on the retest"
    if carry and not before and carry.quantity in LISTED and _anew(desk, figure):
        return carry
    if before and carry and _turned_in_the_list(desk, figure, before):
        return carry
    if before and after and _of_the_flue(desk, figure, before, after):
        return _claim(desk, after, figure)
    if before and after and after.tied and after.quantity in PRESSURES and _at_the_inlet(desk, before):
        return _claim(desk, after, figure)
    if before and before.gap == 0 and before.strength == "name":
        return _claim(desk, before, figure)
    if after and after.tied and (after.free or not before):
        return _claim(desk, after, figure)
    if before:
        return _claim(desk, before, figure)
    if after and after.free:
        return _claim(desk, after, figure)
    if carry and after and carry.quantity == after.quantity and not leads_figure(desk, desk.talk.names[after.index]):
        desk.used.add(after.index)
    return carry or (_claim(desk, after, figure) if after and _names_behind(desk, figure, after) else None)


def _at_the_inlet(desk: Desk, before: Claim) -> bool:
    """ "Inlet twenty at rest and nineteen working": only where it was read; how is said behind the figure."""
    return desk.words[desk.talk.names[before.index].end - 1] == "inlet"


def _anew(desk: Desk, figure: Figure) -> bool:
    """ "Front right twenty seven, no sorry, thirty seven, thermocouple on the ...": only a correction stands between."""
    last = desk.last.figure if desk.last else None
    near = last is not None and figure.start - last.end <= SOON and not figure.units
    return last is not None and near and "correction" in desk.kinds_between(last.end, figure.start)


def _of_the_flue(desk: Desk, figure: Figure, before: Claim, after: Claim) -> bool:
    """ "Electrode gap's set, now it's eight point eight CO2": what is named right behind a figure, the name before being of
    something else and farther off."""
    beside = desk.name_starts[after.index] == figure.end and after.quantity in _MIXTURE and after.strength == "name"
    other = before.quantity not in COMBUSTION | {"ambient-co"}
    return beside and after.free and other and figure.start - desk.talk.names[before.index].end > 1


def _turned_in_the_list(desk: Desk, figure: Figure, before: Claim) -> bool:
    """ "Gas rates: front left 2.8 kW, rear left 1.7": a list by places whose first figure had the unit of another quantity."""
    last, name = desk.last, desk.talk.names[before.index]
    told = last is not None and last.start >= name.end and last.quantity != before.quantity and not figure.units
    unit = last is not None and last.figure is not None and (last.figure.units or last.rule.startswith("carried"))
    return told and bool(unit) and heads_list(desk, name, figure)


def _put_right(desk: Desk, figure: Figure) -> bool:
    """ "Twenty two and a bit, call it twenty two point four, running ...": a figure that only makes the one before exact."""
    last = desk.last
    led = desk.words[figure.start - 2 : figure.start] in (["call", "it"], ["make", "that"], ["make", "it"])
    return led and last is not None and figure.start - last.end <= SOON


def _names_behind(desk: Desk, figure: Figure, after: Claim) -> bool:
    """Whether names stand behind their figures here: "twenty one standing nineteen working"."""
    end = desk.talk.names[after.index].end
    at = bisect_left(desk.figure_starts, end)
    if at >= len(desk.figure_starts):
        return True
    behind = desk.talk.figures[at].end
    index = bisect_left(desk.name_starts, behind)
    return index < len(desk.name_starts) and desk.name_starts[index] - behind <= 3 and figure.end <= end


def _claim(desk: Desk, claim: Claim, figure: Figure) -> Bound | None:
    desk.used.add(claim.index)
    if claim.quantity == "co" and in_the_room(desk, figure.start):
        return desk.take("ambient-co", figure, desk.talk.names[claim.index], "name")
    return desk.take(claim.quantity, figure, desk.talk.names[claim.index], "name")
