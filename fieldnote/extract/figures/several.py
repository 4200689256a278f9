"""One figure that counts for more than one place. In: the desk, the reading of a figure, or the word "same". Out: what it is read
as beside.

"Gaps: both rears 4 mm" and "1.75 on each of the front two" are two readings; "rear left twenty six, rear right the same" reads
the figure again. Not allowed to know: whose figure it is (that is `binding`), limits.
"""

from dataclasses import replace

from fieldnote.extract.figures.desk import ENDS, MIDDLE, SHORT, SIDES, Bound, Desk
from fieldnote.extract.figures.spoken import HARD, SOFT

SAME_AGAIN = "the same again"
BY_PLACE = frozenset(
    ("thermocouple-output", "drop-out-time", "hold-in-time", "injector-size", "spark-gap", "heat-input", "gas-rate")
)
_FILL = frozenset("is was are were at about just only a gives give reads read giving , on in to of".split())
_PARTS = frozenset("ones uns yins burners rings jets injectors electrodes thermocouples taps gaps hand".split())
_PAIR = frozenset("both two pair each".split())
_CORNERS = {
    "front": ("front-left", "front-right"),
    "rear": ("rear-left", "rear-right"),
    "back": ("rear-left", "rear-right"),
    "left": ("front-left", "rear-left"),
    "right": ("front-right", "rear-right"),
}
_BEFORE = 7
_LED = frozenset("the about is was much just exactly and then reads read at it its pretty bang".split())
_BURNER = frozenset("one un yin ring burner hand".split())
_BEHIND = frozenset("and so thats which but then now again too as the all while oven grill both with".split())
_PLACED = 3  # words between a figure and the place of which the same is said


def also(desk: Desk, bound: Bound) -> list[Bound]:
    """The reading with its place, and the one of the other place, where its figure is said of a pair; else the reading."""
    corners = _corners(desk, bound) if bound.figure and bound.quantity in BY_PLACE else None
    return [replace(bound, place=corner) for corner in corners] if corners else [bound]


def _corners(desk: Desk, bound: Bound) -> tuple[str, str] | None:
    """ "Both rears 4 mm", "the front two 1.75", "1.75 on both of the left", "twenty two on each of the rear ones"."""
    if bound.figure is None:
        return None
    before = desk.words[max(0, bound.figure.start - _BEFORE) : bound.figure.start]
    while before and before[-1] in _FILL:
        before.pop()
    behind = desk.words[bound.figure.end : bound.figure.end + _BEFORE]
    led = behind[:1] in (["on"], ["in"], ["for"], ["at"])
    return _pair(behind[1:], at_end=False) if led else _pair(before[-4:], at_end=True)


def _pair(words: list[str], *, at_end: bool) -> tuple[str, str] | None:
    """The two corners of "both rears", "the front two", "each of the rear ones", where they end or begin the words."""
    words = [word for word in words if word not in _PARTS and word not in ("the", "of")]
    two = words[-2:] if at_end else words[:2]
    sides = [word.removesuffix("s") for word in two if word.removesuffix("s") in _CORNERS]
    apart = len(words) > 2 and words[-3 if at_end else 2].removesuffix("s") in _CORNERS
    return _CORNERS[sides[0]] if len(sides) == 1 and not _PAIR.isdisjoint(two) and not apart else None


def same_again(desk: Desk, at: int) -> Bound | None:
    """ "Rear left twenty six, rear right the same": the reading before it, at the place that stands before "same"."""
    last, first = desk.last, at
    if last is None or last.figure is None or last.quantity not in BY_PLACE:
        return None
    while first and desk.words[first - 1] in _LED | _BURNER:
        first -= 1
    place = first - 1
    if place < last.end or desk.words[place] not in SIDES | ENDS | MIDDLE | SHORT:
        return None
    first = place - (desk.words[place - 1] in SIDES | ENDS)
    between = [word for word in desk.words[last.end : first] if word not in (SOFT, HARD)]
    behind = desk.after(at + 1)
    ends = behind in _BEHIND | SIDES | ENDS | MIDDLE | SHORT | {HARD, SOFT}
    if len(between) > _PLACED or not set(between) <= {"and", "the", "then", "so", "seconds"} or not ends:
        return None
    return replace(last, start=first, end=at + 1, figure=None, name=None, rule=SAME_AGAIN, phase=None, place=None)
