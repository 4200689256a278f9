"""What the steps of binding share while they walk over one talk. In: a talk laid out. Out: `Desk`, `Bound`.

Looks things up by place (cues between, names around, what is being measured) and makes a `Bound` of a figure and a quantity.
Decides nothing by itself. Not allowed to know: appliances, limits.
"""

import itertools
from bisect import bisect_left, bisect_right, insort
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from fieldnote.extract.figures.measures import Figure, Said, Talk, Value, value_of
from fieldnote.extract.figures.quantities import Quantity, knowledge
from fieldnote.extract.figures.reach import no_readings
from fieldnote.extract.figures.spoken import HARD

FAMILY_REACH = 60
ASIDE = 4  # words from "last year's" or "should be" to the figure that it takes out
TIMES = frozenset(("test-duration", "elapsed"))
FAMILIES = {
    "tightness-drop": "tightness", "let-by-rise": "let-by", "test-duration": "tightness", "meter-reading": "meter",
    "gas-rate": "meter", "elapsed": "meter", "drop-out-time": "drop-out", "hold-in-time": "hold-in",
}  # fmt: skip
TESTS = {"tightness": "tightness-drop", "let-by": "let-by-rise"}
PRESSURES = frozenset(("standing-pressure", "working-pressure", "burner-pressure"))
COMBUSTION = frozenset(("co", "co2", "co-ratio", "flue-temperature"))
ROOM = ("room-length", "room-width", "room-height")
_PUT_IN = frozenset("went put fitted installed built bought made gone".split())
_OLDEST = 70  # a year of two digits; no part holds so long
_EMPTY = frozenset(
    "nothing nowt daylight air space gap play slack movement water soot fluff dust muck scale room".split()
)
_THINGS = frozenset("hose hoses flexi flex lead leads cable wire chain tail bracket".split())
SIDES = frozenset("left right write lefts rights".split())  # "the front left's a fifty"
ENDS = frozenset("front rear back near far top bottom fronts rears backs".split())
FSD = frozenset("fsd fsds ffd ffds failure failures device devices".split())
OVENS = frozenset(("oven", "grill"))
OF_SIDES = frozenset("oven one un hand ring burner".split())
SHORT = frozenset("fl fr rl rr bl br".split())  # corners as they are noted
MIDDLE = frozenset("centre middle wok walk behind opposite beside".split())
LISTS = ([","], ["and"], [",", "and"], ["/"])


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
    place: str | None = None  # where the words say it of several places


class Desk:
    """One talk, what was bound so far, which names are used up, and the start pressure of a test under way."""

    def __init__(self, talk: Talk) -> None:
        self.talk = talk
        self.words = talk.words
        self.quantities: dict[str, Quantity] = knowledge().quantities
        self.blocked = no_readings(talk)
        self.used: set[int] = set()
        self.bound: list[Bound] = []
        self.start: Bound | None = None
        self.name_ends = [name.end for name in talk.names]
        self.name_starts = [name.start for name in talk.names]
        self.figure_starts = [figure.start for figure in talk.figures]
        self._cue_starts = [cue.start for cue in talk.cues]
        self.topics = [
            (name.end, family)
            for index, name in enumerate(talk.names)
            if (family := family_of(name)) and not (_again(talk, name) and not _tested(talk, index))
        ]
        self.quiet = {at for i in self.blocked for at in range(talk.figures[i].start, talk.figures[i].end)}
        self.quiet |= {
            at
            for i, cue in self.blocked.items()
            if 0 <= talk.figures[i].start - cue.end <= ASIDE and kinds_of([cue]) & {"past", "target-before"}
            for at in range(cue.start, talk.figures[i].end)
        }
        self.quiet |= {
            at for c in talk.cues if kinds_of([c]) & {"target-before", "work"} for at in range(c.start, c.end)
        }

    @property
    def last(self) -> Bound | None:
        """What was bound last."""
        return self.bound[-1] if self.bound else None

    def value(self, quantity: str, figure: Figure) -> Value | None:
        """What a figure says of a quantity."""
        return value_of(figure, self.quantities[quantity])

    def take(self, quantity: str, figure: Figure, name: Said | None, rule: str) -> Bound | None:
        """Bind a figure to a quantity, if it can be a value of it."""
        found = self.value(quantity, figure)
        if found is None:
            return None
        start = min(figure.start, name.start) if name else figure.start
        end = max(figure.end, name.end) if name else figure.end
        bound = Bound(quantity, found.value, start, end, figure, name, f"{rule}, {found.rule}", found.doubt)
        bound.cubic_feet = quantity == "meter-reading" and any(unit.id == "ft3" for unit in figure.units)
        return bound

    def likely(self, bound: Bound | None) -> Bound | None:
        """The same when its value is a likely one of its quantity, else None."""
        if bound is None:
            return None
        low, high = self.quantities[bound.quantity].likely
        return bound if low <= bound.value <= high else None

    def kinds_between(self, start: int, end: int) -> set[str]:
        """Kinds of all cues that start between two words."""
        first, last = bisect_left(self._cue_starts, start), bisect_left(self._cue_starts, end)
        return kinds_of(self.talk.cues[first:last])

    def kinds_before(self, at: int) -> set[str]:
        """Kinds of the cues that end at most two words before."""
        first, last = bisect_left(self._cue_starts, at - 8), bisect_left(self._cue_starts, at)
        return kinds_of(cue for cue in self.talk.cues[first:last] if at - 2 <= cue.end <= at)

    def names_between(self, start: int, end: int) -> range:
        """Indices of the names that start between two words."""
        return range(bisect_left(self.name_starts, start), bisect_left(self.name_starts, end))

    def topics_between(self, start: int, end: int) -> list[tuple[int, str]]:
        """What is named as being measured, by the end of the name, from one word to another (both included)."""
        return self.topics[bisect_left(self.topics, (start, "")) : bisect_left(self.topics, (end + 1, ""))]

    def begin(self, at: int, family: str) -> None:
        """What follows a word is a test that its figures tell of, not its name."""
        insort(self.topics, (at, family))

    def figures_ending(self, start: int, end: int) -> list[Figure]:
        """Figures that end from one word to another (both included)."""
        first = bisect_left(self.talk.figures, start, key=lambda figure: figure.end)
        last = bisect_left(self.talk.figures, end + 1, key=lambda figure: figure.end)
        return self.talk.figures[first:last]

    def cue_at(self, at: int) -> Said | None:
        """The cue that starts at a word."""
        index = bisect_left(self._cue_starts, at)
        found = index < len(self.talk.cues) and self.talk.cues[index].start == at
        return self.talk.cues[index] if found else None

    def family(self, at: int) -> str | None:
        """What the talk is measuring at a word: the last family named or bound before it."""
        index = bisect_right(self.topics, (at, "￿")) - 1
        named = self.topics[index] if index >= 0 and at - self.topics[index][0] <= FAMILY_REACH else (-1, None)
        last = next((b for b in reversed(self.bound[-6:]) if b.quantity not in TIMES), None)
        if last and last.end > named[0] and at - last.end <= FAMILY_REACH:
            return FAMILIES.get(last.quantity, "other")
        return named[1]

    def recent(self, quantities: Iterable[str], at: int, reach: int = 40) -> bool:
        """Whether one of these quantities was bound not long before a word."""
        return any(b.quantity in set(quantities) and at - b.end <= reach for b in self.bound[-4:])

    def place_between(self, start: int, end: int) -> bool:
        """Whether a place at a burner is said between two words: "front left", "the far right one", "centre"."""
        words = self.words[start:end]
        if any(word in MIDDLE or word in SHORT for word in words) or words[-1:] in (["grill"], ["oven"]):
            return True
        pairs = itertools.pairwise(words)
        return any(
            ({a, b} & SIDES and {a, b} & ENDS) or (a in SIDES and b in OF_SIDES) or (a in OVENS and b == "one")
            for a, b in pairs
        )

    def after(self, end: int) -> str:
        """The word at a place; the end of the sentence behind the last one."""
        return self.words[end] if end < len(self.words) else HARD


def is_of_a_thing(desk: Desk, figure: Figure) -> bool:
    """ "Hob hose is 1 metre long": how long a thing is, neither a room nor a run of pipe."""
    units = {unit.id for unit in figure.units}
    behind = desk.words[figure.end : figure.end + 3]
    if units in ({"mm"}, {"in"}) and behind[:1] == ["of"] and not _EMPTY.isdisjoint(behind):
        return True  # "half an inch of nothing between the two bits": how far apart they are
    before = desk.words[max(0, figure.start - 3) : figure.start]
    if not units and before[-1:] == ["in"] and not _PUT_IN.isdisjoint(before):
        return Decimal(_OLDEST) <= figure.numeral.options[0].value <= Decimal(99)  # "it went in in ninety six"
    metres = units == {"m"}
    return metres and not _THINGS.isdisjoint(desk.words[max(0, figure.start - 3) : figure.start])


def _again(talk: Talk, name: Said) -> bool:
    """ "Did it again", "second go": a test only where one was told of before."""
    words = set(talk.words[name.start : name.end])
    return (
        name.names[0].strength == "topic" and "test" not in words and bool(words & {"again", "go", "attempt", "round"})
    )


def _tested(talk: Talk, index: int) -> bool:
    """Whether a test of pressure was told of before a name, or a pressure was read."""
    named = (name.names[0] for name in talk.names[max(0, index - 40) : index])
    return any(name.quantity in (*TESTS.values(), *PRESSURES, "test-duration") for name in named)


def kinds_of(cues: Iterable[Said]) -> set[str]:
    """The kinds of some cues."""
    return {c.kind for cue in cues for c in cue.cues}


def family_of(name: Said) -> str | None:
    """What a name says is being measured: its family, "other" for another quantity, None where it says nothing."""
    first = name.names[0]
    if first.strength == "weak":
        return None
    return FAMILIES.get(first.quantity, "other")
