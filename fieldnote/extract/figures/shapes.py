"""Shapes of several figures that are read together. In: the desk and the index of a figure. Out: their readings, or None.

"four by three by two four" (a room), "three metres square", "six metres of twenty two" and "in twenty two for six metres"
(a pipe), "standing and working were 22 and 20.5" (two names, two figures), "24, 22 and 9.5 mV" (one unit for a row).
Not allowed to know: single figures (that is `binding`).
"""

from bisect import bisect_left, bisect_right
from dataclasses import replace

from fieldnote.extract.figures.carrying import bare_one
from fieldnote.extract.figures.desk import LISTS, ROOM, Bound, Desk
from fieldnote.extract.figures.measures import Figure, Said, in_seconds
from fieldnote.extract.figures.spoken import HARD

BY = (["by"], ["x"], ["buy"], ["times"], ["long", "by"], ["wide", "by"], ["bye"], ["into"])
ROOMS = frozenset(
    "room rooms kitchen kitchens lounge hall bedroom utility measures size its area floor space bathroom diner galley".split()
)
LINKS_UP = (["and"], [","], [",", "and"], ["and", "it", "is"], ["and", "its"])
HIGH = frozenset("up high tall height".split())
LINKS = (["and"], ["then"], ["/"], ["and", "then"], [","])
BORES = frozenset((6, 8, 10, 12, 15, 22, 28, 35, 42, 54))
OF = (["of"], ["in"], ["run", "in"], ["run", "of"], ["of", "the"])
FOR = (["for"], ["about"], ["for", "about"], [","], [",", "about"], ["of", "about"], ["roughly"])
PIPES = frozenset("pipe pipework gas riser fed feed run copper carcass tee supply comes meter tail off".split())
PAIR_REACH = 40
COMBUSTION_REACH = 10
FALLS = frozenset("down dropped dropping fell drop falling went".split())
LOWEST, HIGHEST = 4, 60


def shape_at(desk: Desk, index: int) -> list[Bound] | None:
    """The readings of the shape that starts at a figure."""
    return (
        _fall(desk, index)
        or _combustion(desk, index)
        or _pair(desk, index)
        or _room(desk, index)
        or _square(desk, index)
        or _pipe(desk, index)
        or _row(desk, index)
    )


def _fall(desk: Desk, index: int) -> list[Bound] | None:
    """ "Went down from twenty to seventeen in two minutes": a drop between two pressures, where a test or a time is in talk."""
    first, rest = desk.talk.figures[index], desk.talk.figures[index + 1 : index + 3]
    before = desk.words[max(0, first.start - 5) : first.start]
    if not rest or before[-1:] != ["from"] or not FALLS & set(before):
        return None
    if desk.words[first.end : rest[0].start] not in (["to"], ["down", "to"]):
        return None
    timed = len(rest) > 1 and rest[1].start - rest[0].end <= 6 and in_seconds(rest[1]) is not None
    if desk.family(first.start) != "tightness" and not timed:
        return None
    start, end = desk.value("standing-pressure", first), desk.value("standing-pressure", rest[0])
    if not start or not end or not LOWEST <= end.value < start.value <= HIGHEST:
        return None
    drop = start.value - end.value
    return [
        Bound(
            "tightness-drop",
            drop,
            first.start,
            rest[0].end,
            rest[0],
            None,
            "from start to end",
            start_value=start.value,
        )
    ]


def _combustion(desk: Desk, index: int) -> list[Bound] | None:
    """ "Combustion thirty one over nine point three", "eight point eight and fifty three parts"."""
    figures = _figures_from(desk, index, (["over"], ["and"]), 2)
    about = desk.words[max(0, figures[0].start - COMBUSTION_REACH) : figures[0].start]
    if len(figures) < 2 or not {"combustion", "analyser", "fga"} & set(about):
        return None
    units = [{unit.id for unit in figure.units} for figure in figures]
    over = desk.words[figures[0].end : figures[1].start] == ["over"]
    first, second = ("co", "co2") if over and units[0] <= {"ppm"} else ("co2", "co")
    if not over and "ppm" not in units[1]:
        return None
    return _all([desk.take(first, figures[0], None, "combustion"), desk.take(second, figures[1], None, "combustion")])


def _figures_from(desk: Desk, index: int, links: tuple[list[str], ...], most: int) -> list[Figure]:
    """The figure and those that follow it over one of the links."""
    figures = [desk.talk.figures[index]]
    while len(figures) < most and index + len(figures) < len(desk.talk.figures):
        nearest = desk.talk.figures[index + len(figures)]
        if desk.words[figures[-1].end : nearest.start] not in links or index + len(figures) in desk.blocked:
            break
        figures.append(nearest)
    return figures


def _all(bounds: list[Bound | None]) -> list[Bound] | None:
    found = [bound for bound in bounds if bound]
    return found if len(found) == len(bounds) else None


def _room(desk: Desk, index: int) -> list[Bound] | None:
    figures = _figures_from(desk, index, BY, 3)
    if len(figures) == 2 and (up := _height(desk, index + 2, figures[1].end)):
        figures.append(up)
    around = set(desk.words[max(0, figures[0].start - 8) : figures[0].start])
    around |= {"room"} if "ceiling" in desk.words[figures[-1].end : figures[-1].end + 6] else set()
    if len(figures) < 2 or (len(figures) == 2 and not around & ROOMS):
        return None
    return _all([desk.take(q, f, None, "by") for q, f in zip(ROOM, figures, strict=False)])


def _height(desk: Desk, index: int, end: int) -> Figure | None:
    """ "3.2 by 2.9 and two and a quarter up", "four by three, 2.4 to the ceiling": the height behind the sides."""
    if index >= len(desk.talk.figures) or index in desk.blocked:
        return None
    figure = desk.talk.figures[index]
    behind = desk.words[figure.end : figure.end + 3]
    high = behind[:1] and (behind[0] in HIGH or behind[:3] == ["to", "the", "ceiling"])
    return figure if high and desk.words[end : figure.start] in LINKS_UP else None


def of_a_pair(desk: Desk, index: int) -> bool:
    """Whether a figure is one side of something else than a room, or an end of a range: "nine by nine", "three or four"."""
    links = (*BY, ["or"])
    figures = desk.talk.figures
    linked = [
        pair for pair in (figures[index - 1 : index + 1] if index else [], figures[index : index + 2]) if len(pair) == 2
    ]
    return any(desk.words[one.end : two.start] in links for one, two in linked)


def _square(desk: Desk, index: int) -> list[Bound] | None:
    figure = desk.talk.figures[index]
    if desk.after(figure.end) != "square" or not any(unit.id in ("m", "ft") for unit in figure.units):
        return None
    return _all([desk.take(q, figure, None, "square") for q in ROOM[:2]])


def _pipe(desk: Desk, index: int) -> list[Bound] | None:
    figures = desk.talk.figures[index : index + 2]
    if len(figures) < 2 or index + 1 in desk.blocked:
        return None
    first, second = figures
    between = desk.words[first.end : second.start]
    going_on = (
        not first.units and not bare_one(first) and between == ["of"] and desk.recent(["pipe-size"], first.start, 8)
    )
    if between in OF and (_is_length(first) or going_on) and _is_bore(second):
        size = desk.take("pipe-size", second, None, "of")
        return _all([desk.take("pipe-length", first, None, "of"), size])
    piped = PIPES & set(desk.words[max(0, first.start - 10) : first.start]) or desk.recent(["pipe-size"], first.start)
    # "to the hob fifteen millimetre two metres"
    sized = between == [] and any(u.id == "mm" for u in first.units) and any(u.id == "m" for u in second.units)
    if sized and _is_bore(first):
        return _all([desk.take("pipe-size", first, None, "for"), desk.take("pipe-length", second, None, "for")])
    sure = bool(piped) or (bool(first.units) and _is_length(second))
    if between in FOR and _is_bore(first) and sure and (_is_length(second) or not second.units):
        return _all([desk.take("pipe-size", first, None, "for"), desk.take("pipe-length", second, None, "for")])
    return None


def _is_length(figure: Figure) -> bool:
    value = figure.numeral.options[0].value
    return any(unit.id in ("m", "ft") or (unit.id == "mm" and value >= 100) for unit in figure.units)


def _is_bore(figure: Figure) -> bool:
    fits = not figure.units or any(unit.id in ("mm", "in") for unit in figure.units)
    return fits and (int(figure.numeral.options[0].value) in BORES or any(u.id == "in" for u in figure.units))


def _pair(desk: Desk, index: int) -> list[Bound] | None:
    """Two names that were linked, two figures that are linked: each takes its own."""
    figures = _figures_from(desk, index, LINKS, 2)
    if len(figures) < 2 or figures[0].numeral.needs_unit:
        return None
    names = _linked_names(desk, figures[0].start)
    if names is None:
        return None
    units = figures[0].units or figures[1].units
    if not any(unit.id in ("s", "min", "h") for unit in units):
        figures = [f if f.units else replace(f, units=units) for f in figures]
    (first, one), (second, two) = names
    return _all([desk.take(one, figures[0], first, "pair"), desk.take(two, figures[1], second, "pair")])


def _linked_names(desk: Desk, at: int) -> tuple[tuple[Said, str], tuple[Said, str]] | None:
    """The last two names before a word if they are linked by "and" or "then" and name different quantities."""
    index = bisect_right(desk.name_ends, at) - 1
    while index >= 1 and desk.talk.names[index].names[0].strength == "weak" and not _links(desk, index):
        index -= 1
    if index < 1 or not _links(desk, index):
        return None
    told = max((bound.end for bound in desk.bound[-4:] if bound.rule.startswith("pair")), default=0)
    if at - max(desk.talk.names[index].end, told) > PAIR_REACH:
        return None
    first, second = desk.talk.names[index - 1], desk.talk.names[index]
    one, two = first.names[0].quantity, second.names[0].quantity
    if one == two or "topic" in (first.names[0].strength, second.names[0].strength):
        return None
    return (first, one), (second, two)


def _links(desk: Desk, index: int) -> bool:
    return desk.words[desk.talk.names[index - 1].end : desk.talk.names[index].start] in (
        ["and"],
        ["then"],
        ["/"],
        ["and", "then"],
    )


def _row(desk: Desk, index: int) -> list[Bound] | None:
    """ "24, 22, 19 and 9.5 mV" behind a name in the plural: the last unit is everybody's."""
    figures = _figures_from(desk, index, LISTS, 12)
    at = bisect_left(desk.name_ends, figures[0].start + 1) - 1
    if len(figures) < 2 or at < 0 or not figures[-1].units or any(figure.units for figure in figures[:-1]):
        return None
    name = desk.talk.names[at]
    between = desk.words[name.end : figures[0].start]
    if not desk.words[name.end - 1].endswith("s") or len(between) > 12 or HARD in between:
        return None
    rows = [replace(figure, units=figures[-1].units) for figure in figures]
    for named in name.names:
        if found := _all([desk.take(named.quantity, row, name if row is rows[0] else None, "row") for row in rows]):
            desk.used.add(at)
            return found
    return None
