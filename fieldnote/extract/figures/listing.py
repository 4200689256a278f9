"""Figures listed by place or one after another. In: the desk and a figure. Out: readings of the quantity that the list is of.

"Thermocouples ... Front left 24. All in millivolts. Left oven 20", "the right one's only nine", "jets stamped seventy seven
seventy seven ninety seven". Not allowed to know: single figures beside a name (that is `binding`), limits.
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.figures.carrying import bare_one
from fieldnote.extract.figures.desk import ENDS, LISTS, MIDDLE, SHORT, SIDES, Bound, Desk
from fieldnote.extract.figures.measures import Figure, Said
from fieldnote.extract.figures.numbers import Numeral, Piece
from fieldnote.extract.figures.spoken import HARD, SOFT

LISTED = frozenset(("thermocouple-output", "drop-out-time", "hold-in-time", "injector-size", "spark-gap"))
FAR = 45  # words between two places of one list: work on one burner is told in between
HEADED = 30  # words from the heading of a list to its first place
FEWEST = 3  # figures of a run without places
_BEFORE = 7
# between a place and its figure
_FILL = frozenset(
    "is its a at about just only was says marked reads gives giving gave got at now stamped , on to and".split()
)
_OF_A_PLACE = frozenset(
    "one ones two un uns yin yins ring rings burner burners hand side row pair jet jets injector thermocouple oven grill".split()
)
_UP_TO = frozenset("the both each of them big small little other one ones".split())  # "in both of the left"
_SIZES = frozenset("simmer small medium large big wok rapid auxiliary".split())
_GOES_ON = frozenset(
    "and so thats that which but now each weak fine good ok okay then the other others seconds again all while where with "
    "apiece just poor low dead is hes shes its i ive".split()
)


def listed(desk: Desk, figure: Figure) -> Bound | None:
    """A bare figure led by a place, in a list of which something was read or whose heading was said."""
    if figure.units or figure.numeral.needs_unit or bare_one(figure):
        return None
    if not (_led_by_place(desk, figure) and _ends(desk, figure)) and not _at_a_place(desk, figure):
        return None
    quantity, heading = _of_the_list(desk, figure)
    return desk.likely(desk.take(quantity, figure, heading, "carried, listed")) if quantity else None


def _led_by_place(desk: Desk, figure: Figure) -> bool:
    """ "front left's a fifty", "the right one's only nine", "back row, 13.5"."""
    before = desk.words[max(0, figure.start - _BEFORE) : figure.start]
    while before and before[-1] in _FILL:
        before.pop()
    while before and before[-1] in _OF_A_PLACE:
        if before.pop() == "oven" and before[-1:] and before[-1] not in SIDES | ENDS:
            return False
    near = desk.last is not None and desk.last.quantity in LISTED and figure.start - desk.last.end <= _BEFORE
    if near and desk.words[figure.start - 2 : figure.start] in (
        ["grill", "at"],
        ["oven", "at"],
        ["grill", "in"],
        ["oven", "in"],
    ):
        return True  # "the oven dropped out at forty and the grill at thirty seven"
    sized = desk.last is not None and desk.last.quantity == "heat-input" and figure.start - desk.last.end <= _BEFORE
    return bool(before) and before[-1] in SIDES | ENDS | MIDDLE | SHORT | (_SIZES if sized else frozenset())


def _at_a_place(desk: Desk, figure: Figure) -> bool:
    """ "115 in the big one front right, 97 in both of the left": the place stands behind each figure of the list."""
    behind = desk.words[figure.end : figure.end + _BEFORE]
    last = desk.last
    near = last is not None and last.quantity in LISTED and figure.start - last.end <= _BEFORE
    led = behind[:1] in (["in"], ["on"], ["at"], ["for"]) and near
    while led and len(behind) > 1 and behind[1] in _UP_TO:
        behind.pop(1)
    return led and len(behind) > 1 and behind[1] in SIDES | ENDS | MIDDLE | SHORT


def _ends(desk: Desk, figure: Figure) -> bool:
    """Whether the clause ends behind a figure or another place follows: no "front left two screws"."""
    return desk.after(figure.end) in _GOES_ON | SIDES | ENDS | MIDDLE | SHORT | {HARD, SOFT}


def _of_the_list(desk: Desk, figure: Figure) -> tuple[str | None, Said | None]:
    """The quantity last read, or the one of a heading in the plural, if nothing else was named since."""
    last, index = desk.last, bisect_left(desk.name_starts, figure.start) - 1
    since = last.end if last else 0
    while index >= 0 and desk.name_starts[index] >= max(since, figure.start - HEADED):
        name = desk.talk.names[index]
        if name.names[0].quantity in LISTED and _plural(desk, name) and index not in desk.used:
            return name.names[0].quantity, name
        if name.names[0].strength != "weak" and not (last and name.names[0].quantity == last.quantity):
            return None, None
        index -= 1
    near = last is not None and last.quantity in LISTED | {"heat-input"} and figure.start - last.end <= FAR
    return (last.quantity, None) if last and near else (None, None)


def run_at(desk: Desk, index: int) -> list[Bound] | None:
    """ "Thermocouples eighteen seventeen twenty", "gaps three four four and three": a run behind a name in the plural."""
    first = desk.talk.figures[index]
    heading = _heading(desk, first)
    if heading is None or first.units:
        return None
    quantity = desk.talk.names[heading].names[0].quantity
    items: list[Figure] = []
    for figure in _row_from(desk, index):
        cut = _items(figure, quantity)
        if cut is None:
            return None
        items += cut
    found = [desk.likely(desk.take(quantity, item, None, "carried, listed")) for item in items]
    if len(items) < FEWEST or not all(found):
        return None
    desk.used.add(heading)
    return [bound for bound in found if bound]


def _heading(desk: Desk, figure: Figure) -> int | None:
    """Index of the plural name right before a figure, with no other name and no figure between."""
    index = bisect_left(desk.name_starts, figure.start) - 1
    marked = index > 0 and desk.talk.names[index].names[0].quantity == "injector-size"
    if marked and not _plural(desk, desk.talk.names[index]):
        index -= 1  # "jets are stamped ..."
    if index < 0 or index in desk.used or desk.figures_ending(desk.talk.names[index].end, figure.start):
        return None
    name = desk.talk.names[index]
    between = desk.words[name.end : figure.start]
    headed = _plural(desk, name) and name.names[0].quantity in LISTED
    return index if headed and len(between) <= _BEFORE and between.count(HARD) <= 1 else None


def _plural(desk: Desk, name: Said) -> bool:
    """ "thermocouples", "jets on this one"."""
    return (
        desk.words[name.end - 1].endswith("s")
        or desk.words[name.end - 1] == "mv"
        or (name.end - name.start > 2 and desk.words[name.start].endswith("s"))
    )


def _row_from(desk: Desk, index: int) -> list[Figure]:
    figures = [desk.talk.figures[index]]
    for at in range(index + 1, len(desk.talk.figures)):
        nearest = desk.talk.figures[at]
        if desk.words[figures[-1].end : nearest.start] not in LISTS or at in desk.blocked or nearest.units:
            break
        figures.append(nearest)
    return figures


def _items(figure: Figure, quantity: str) -> list[Figure] | None:
    """One figure for each thing that a run of number words tells of; what was added or has decimals is the last one's."""
    cut: list[Sequence[Piece]] = []
    pieces, at = figure.numeral.pieces, 0
    while at < len(pieces):
        length = _length(pieces[at:], quantity)
        cut.append(pieces[at : at + length])
        at += length
    if not cut or figure.numeral.negative or figure.numeral.needs_unit:
        return None
    rows = [Numeral(part[0].start, part[-1].end, tuple(part)) for part in cut]
    last = figure.numeral
    rows[-1] = replace(rows[-1], end=last.end, decimals=last.decimals, added=last.added)
    return [replace(figure, start=row.start, end=row.end, numeral=row) for row in rows]


def _length(pieces: Sequence[Piece], quantity: str) -> int:
    """How many pieces the next thing has: three digits or a digit and a pair for a jet ("one two eight"), else one."""
    kinds = [piece.kind for piece in pieces[:3]]
    if quantity == "injector-size" and kinds[:1] == ["digit"]:
        return 2 if kinds[1:2] == ["pair"] else min(3, len(kinds))
    return 1
