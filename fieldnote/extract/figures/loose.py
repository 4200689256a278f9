"""Whether a loose name ("working", "plug", "going") may take a figure. In: the desk, a name, a figure, its value. Out: yes or no.

Not allowed to know: which name is nearest (that is `claiming`), limits.
"""

from bisect import bisect_left
from decimal import Decimal
from itertools import pairwise

from fieldnote.extract.figures.carrying import AT, BENDING, TIPS
from fieldnote.extract.figures.desk import COMBUSTION, FSD, PRESSURES, ROOM, TESTS, Desk
from fieldnote.extract.figures.measures import Figure, Said
from fieldnote.extract.figures.quantities import Quantity, knowledge
from fieldnote.extract.figures.shapes import ROOMS
from fieldnote.extract.figures.spoken import HARD, SOFT
from fieldnote.extract.figures.trials import FALLS, test_ahead

REACH = 14
SOON = 5
BARE_REACH = 8
_TIMED = frozenset("timed slow sluggish slower quick quicker took takes".split())
_KEPT_IN = frozenset("hold holds held holding stays stayed stay catch catches caught lit in".split())
_PUSHED = frozenset("pushed push pressed held hold holding kept keep keeping".split())
_STAYS = frozenset("stay stays stayed holds held hold lit catches caught before took takes".split())
_SHUT = frozenset("turned blew shut off stayed held tested test magnet thermocouple".split())
_QUICKEST = 6  # seconds: nobody notes a quicker end as the time in which a flame failure device let go
_BORES = frozenset({8, 10, 12, 15, 22, 28, 35, 42})
_MOST_BY = 5  # mbar: a figure above is where the gauge stood
_WATCHES = frozenset(("stopwatch", "watch"))
_OF_THE_AIR = frozenset(
    "co monoxide ppm parts ambient alarm alarms analyser analyzer sniffer background sample".split()
)
_CO = frozenset({("see", "oh"), ("c", "o"), ("sea", "oh")})
_AIR_REACH = 16
_COMPANY_REACH = 30
_ROOM_ENDS = frozenset("long wide high across end tall side".split())


def weak_fits(desk: Desk, name: Said, figure: Figure, quantity: Quantity, value: Decimal) -> bool:
    """Whether a loose name may take a figure: a likely value, a room's size only of a room, no count of things."""
    if not quantity.likely[0] <= value <= quantity.likely[1]:
        return False
    first, last = desk.words[name.start], desk.words[name.end - 1]
    if not figure.units and _everyday(desk, name, figure, value):
        return False
    if not figure.units and name.start == figure.end and last.endswith("s") and name.end - name.start == 1:
        return last in ("volts", "parts")
    if quantity.id == "ambient-co" and first in ("room", "kitchen", "rooms", "kitchens"):
        # "CO2 9, ratio 0.0004. Room nought"
        beside = name.end == figure.start and value == 0 and desk.after(figure.end) in (HARD, SOFT)
        again = desk.words[name.end : figure.start] in (["back", "to"], ["down", "to"]) and any(
            bound.quantity == "ambient-co" for bound in desk.bound
        )
        return bool(figure.units) or again or (beside and desk.recent(COMBUSTION, figure.start, 12))
    if quantity.id == "ambient-co" and not figure.units:
        return _air_in_talk(desk, name, figure)
    if quantity.id == "room-volume" and last not in ("volume", "volumes"):
        return bool(figure.units)
    if quantity.id in ROOM and last in _ROOM_ENDS:
        around = set(desk.words[max(0, figure.start - 12) : figure.end + 3])
        return bool(around & ROOMS) or desk.recent(ROOM, figure.start)
    if last in ("burner", "burners") and first == last and len({unit.id for unit in figure.units}) != 1:
        return desk.recent(PRESSURES, figure.start, 8)
    if quantity.id in ROOM and desk.recent(["pipe-size"], figure.start, SOON):
        return False  # "15 mm and 6.5 m long"
    if quantity.id == "rated-input" and desk.after(figure.end) in ("net", "gross"):
        return True
    if quantity.id == "rated-input" and not figure.units and name.end <= figure.start:
        input_said = desk.last is not None and desk.last.quantity in ("heat-input", "gas-rate")
        return input_said or not desk.recent(PRESSURES, figure.start, 12)
    if last in FSD:
        around = set(desk.words[max(0, name.start - 8) : figure.end + 4])
        named = last in ("failure", "failures") and value >= _QUICKEST  # "flame failure, 17 seconds, fine": the test
        return bool(_TIMED & around) or (named and not _KEPT_IN & around)
    if quantity.id == "drop-out-time" and last == "after":
        return bool((_SHUT | FSD) & set(desk.words[max(0, name.start - 12) : name.start]))
    if quantity.id == "hold-in-time" and first in _PUSHED and last in ("in", "down", "for") and first != "hold":
        return bool(_STAYS & set(desk.words[figure.end : figure.end + 6]))
    if quantity.id == "spark-gap" and last == "distance":
        near = set(desk.words[max(0, name.start - 12) : figure.end + 4])
        return bool((TIPS | BENDING) & near)
    if quantity.id == "pipe-length" and {"runs", "lost"} & set(desk.words[max(0, figure.start - 2) : figure.start]):
        return False  # "it runs at nineteen and a half", "lost one and a half on the run"
    if (
        quantity.id == "pipe-length"
        and not figure.units
        and (value in _BORES or first in ("pipe", "pipes", "pipework"))
    ):
        return False  # "the fifteen run", "then twenty two back to the meter", "pipework: two brackets adrift"
    if last == "going" and not figure.units:
        return desk.recent(PRESSURES, figure.start, 20)
    if first == "running" and desk.last is not None and desk.last.quantity == "burner-pressure":
        return False  # "burner pressure set at fifteen four, it was running at eleven eight"
    if first == "running" and not figure.units:
        # "pressure at the meter, lot running: 19.1"
        headed = name.end <= figure.start and "pressure" in desk.words[max(0, name.start - SOON - 2) : name.start]
        return headed or desk.recent(PRESSURES, figure.start, 20)
    if last == "plug" and desk.words[name.start - 2 : name.start] == ["on", "the"]:
        return False  # "the gap on the plug"
    if first in ("letting", "lets") and last == "by":
        return value <= _MOST_BY
    if last in _WATCHES and FSD & set(desk.words[max(0, name.start - REACH) : name.start]):
        return False
    if quantity.id == "tightness-drop" and _in_minutes(desk, figure):
        return True
    if (
        quantity.id == "tightness-drop"
        and last in ("gone", "lost")
        and desk.recent(["working-pressure"], figure.start, REACH)
    ):
        return desk.family(figure.start) in TESTS  # "that's a millibar gone in the pipe"
    if quantity.id in TESTS.values() and {unit.id for unit in figure.units} != {"mbar"}:
        return desk.family(figure.start) in TESTS or test_ahead(desk, max(name.end, figure.end)) in TESTS
    if quantity.id == "system-pressure" and any(unit.id == "mbar" for unit in figure.units):
        return value >= Decimal("0.3")
    if quantity.id == "burner-pressure" and last in ("rate", "max", "min") and name.start > 2:
        # "working at the meter, boiler at full rate, 20.7"
        fired = desk.words[name.start - 1] in ("at", "on") and desk.words[name.start - 2] in AT
        return not (fired and "working" in desk.words[max(0, name.start - BARE_REACH) : name.start])
    if quantity.id == "working-pressure" and last == "to" and (first == "it" or first in FALLS):
        return desk.recent(["standing-pressure"], figure.start, 20)
    return True


def _everyday(desk: Desk, name: Said, figure: Figure, value: Decimal) -> bool:
    """ "Tea for them all works out at twenty four", not "boiler's on the meter, it works out at twenty four": anybody's words
    with a bare whole number, and nothing around that is measured."""
    known = knowledge()
    if (
        not value
        or value % 1
        or figure.numeral.decimals
        or " ".join(desk.words[name.start : name.end]) not in known.everyday
    ):
        return False
    start, end = min(name.start, figure.start), max(name.end, figure.end)
    around = desk.words[max(0, start - _COMPANY_REACH) : start] + desk.words[end : end + _COMPANY_REACH]
    if not known.company.isdisjoint(around):
        return False
    others = (*desk.names_between(start - _COMPANY_REACH, start), *desk.names_between(end, end + _COMPANY_REACH))
    return all(desk.talk.names[at].names[0].strength in ("weak", "none") for at in others)


def _air_in_talk(desk: Desk, name: Said, figure: Figure) -> bool:
    """ "CO after ten minutes, twelve in the kitchen", not "dinner's at twelve in the kitchen": no bare figure is carbon
    monoxide where nobody speaks of it."""
    around = desk.words[max(0, min(name.start, figure.start) - _AIR_REACH) : max(name.end, figure.end) + _AIR_REACH]
    said = not _OF_THE_AIR.isdisjoint(around) or any(pair in _CO for pair in pairwise(around))
    return said or desk.recent(COMBUSTION | {"ambient-co"}, figure.start)


def _in_minutes(desk: Desk, figure: Figure) -> bool:
    """ "Lost three mil in two minutes", "two minute test lost one mil": a drop of a test that nothing else names."""
    if not any(unit.id == "mbar" for unit in figure.units):
        return False
    timed = desk.last is not None and desk.last.quantity == "test-duration" and figure.start - desk.last.end <= SOON
    at = bisect_left(desk.figure_starts, figure.end)
    follows = desk.talk.figures[at] if at < len(desk.talk.figures) else None
    led = follows is not None and desk.words[figure.end : follows.start] in (
        ["in"],
        ["over"],
        ["in", "the"],
        ["over", "the"],
    )
    return timed or (led and follows is not None and any(unit.id == "min" for unit in follows.units))
