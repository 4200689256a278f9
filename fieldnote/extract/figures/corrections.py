"""Figures taken back or said twice. In: bound readings in order. Out: those that stand, with what they replaced.

"nineteen and a half, no, I mean twenty and a half" is one reading of 20.5 that superseded 19.5. "That's the standing, sorry"
moves a figure to another quantity. The same figure said again is one reading. Not allowed to know: places, limits.
"""

from bisect import bisect_left
from itertools import pairwise

from fieldnote.extract.figures.desk import ENDS, MIDDLE, SIDES, TESTS, Bound
from fieldnote.extract.figures.measures import Said, Talk
from fieldnote.extract.figures.several import SAME_AGAIN
from fieldnote.extract.figures.spoken import HARD
from fieldnote.extract.figures.trials import OF_A_VALVE

TIMES = frozenset(("test-duration", "elapsed"))
NEAR = 8
ASIDE = 6  # words that tell what a figure was that is taken back
AGAIN = 60
SUMMED_UP = 14
AT_ONCE = 4
_AT_THE_END = frozenset("end after afterwards".split())
_OWNED_UP = frozenset("misread wrong mistake".split())
_IN_ROOM = frozenset("kitchen hall lounge bedroom bathroom landing diner utility loft garage hallway cupboard".split())
ODD = frozenset("odd bit ish".split())


def settle(talk: Talk, bounds: list[Bound]) -> list[Bound]:
    """The readings that stand, in order."""
    standing: list[Bound] = []
    for bound in (bound for bound in bounds if bound.rule != OF_A_VALVE):
        last = standing[-1] if standing else None
        cue = _takes_back(talk, last, bound) if last else None
        if last and cue and _replaces(last, bound):
            bound.superseded = f"{last.value}" if last.quantity == bound.quantity else f"{last.quantity} {last.value}"
            bound.phase = bound.phase or last.phase
            standing[-1] = bound
        elif last and (_told_exactly(talk, last, bound) or _said_anew(last, bound)):
            bound.superseded = bound.superseded or last.superseded or f"{last.value}"
            bound.phase = (
                None if last.phase and bound.phase and last.phase != bound.phase else last.phase or bound.phase
            )
            standing[-1] = bound
        elif not _said_before(talk, standing, bound):
            standing.append(bound)
    return standing


def _told_exactly(talk: Talk, last: Bound, bound: Bound) -> bool:
    """ "Just shy of two minutes to drop out, a hundred and fifteen seconds", "ninety odd, ninety four to be exact": a round
    figure, and the same again as it was read."""
    if last.quantity != bound.quantity or last.figure is None or bound.figure is None or last.value == bound.value:
        return False
    between = talk.words[last.figure.end : bound.figure.start]
    if len(between) > NEAR or HARD in between or not set(between).isdisjoint(ENDS | SIDES | MIDDLE):
        return False
    first = bisect_left(talk.cues, last.figure.start - 4, key=lambda cue: cue.start)
    round_ = any(
        cue.end == last.figure.start and any(c.kind == "comparator" and c.value == "about" for c in cue.cues)
        for cue in talk.cues[first : first + 8]
    )
    odd = not ODD.isdisjoint(talk.words[last.figure.start : last.figure.end + 3])
    exact = talk.words[bound.figure.end : bound.figure.end + 3] in (["to", "be", "exact"], ["to", "be", "precise"])
    return (round_ or odd or exact) and abs(last.value - bound.value) * 10 <= last.value


def _said_anew(last: Bound, bound: Bound) -> bool:
    """ "Rear left fifty, no, fifteen, rear left fifteen", "no, six, it's settled at six": what was put right, said once more."""
    same = last.quantity == bound.quantity and last.value == bound.value
    return same and last.superseded is not None and bound.start - last.end <= AT_ONCE


def _takes_back(talk: Talk, last: Bound, bound: Bound) -> Said | None:
    """The words between two readings that take the first one back."""
    if bound.start - last.end > NEAR + ASIDE or bound.figure is None or last.figure is None:
        return None
    start, far = last.figure.end, bound.start - last.end > NEAR
    if far and bound.quantity != last.quantity:
        return None
    same = bound.quantity == last.quantity  # "two and a half high. No, two point three high"
    at = bisect_left(talk.cues, start, key=lambda cue: cue.start)
    between = [cue for cue in talk.cues[at : at + 2 * NEAR + 8] if start <= cue.start and cue.end <= bound.figure.start]
    if any(c.kind in ("lead-left", "as-left", "as-found") for cue in between for c in cue.cues):
        return None
    for cue in between:
        if far and cue.start - start > 1:
            return None  # "41.2, no, that's off her telephone bill, 2.4": only what is taken back at once
        if same and not (ENDS | SIDES).isdisjoint(talk.words[start : cue.start]):
            continue  # "back left twenty six, back right between those two, call it nineteen": of another place
        if last.superseded is not None and not _OWNED_UP.isdisjoint(talk.words[cue.start : cue.end]):
            continue  # "6, sorry, 16, misread it": said of the one before
        if any(c.kind == "correction" for c in cue.cues) and HARD not in talk.words[start : cue.start][1 + same :]:
            return cue
    return None


def _replaces(last: Bound, bound: Bound) -> bool:
    if bound.quantity == last.quantity:
        return True
    return bound.value == last.value


def _places_between(talk: Talk, start: int, end: int) -> list[str]:
    """The words between two figures without the "left" of "as left", which is no side."""
    row = talk.words[max(0, start - 1) : end]
    words = [word for led, word in pairwise(["", *row]) if (led, word) != ("as", "left")]
    return words[start > 0 :]


def _another_room(talk: Talk, earlier: Bound, bound: Bound) -> bool:
    """ "Nought in the kitchen, nought in the hall": the air of another room."""
    rooms = [_IN_ROOM & set(talk.words[one.end : one.end + 4]) for one in (earlier, bound)]
    return all(rooms) and rooms[0] != rooms[1]


def _said_before(talk: Talk, standing: list[Bound], bound: Bound) -> bool:
    for earlier in reversed(standing):
        if bound.start - earlier.end > AGAIN:
            return False
        if earlier.quantity != bound.quantity:
            continue
        if bound.quantity in TESTS.values():
            return earlier.value == bound.value != 0 and bound.start - earlier.end <= SUMMED_UP
        if earlier.value != bound.value or bound.quantity in TIMES:
            return False
        if (bound.place and bound.place != earlier.place) or bound.rule == SAME_AGAIN:
            return False  # "both rears 4 mm"
        if bound.quantity in ("pipe-size", "pipe-length", "drop-out-time", "meter-reading"):
            return False
        if bound.rule.startswith(("carried", "row")) and talk.words[earlier.end : bound.start] in ([], ["and"], [","]):
            return False  # "thermocouples seventeen eighteen eighteen and nine"
        if (ENDS | SIDES | MIDDLE) & set(_places_between(talk, earlier.end, bound.start)):
            return False
        if bound.quantity == "ambient-co" and _another_room(talk, earlier, bound):
            return False
        if bound.quantity == "ambient-co" and not _AT_THE_END.isdisjoint(talk.words[bound.end : bound.end + 3]):
            return False  # "room CO nought at the start, nought at the end"
        if earlier.phase and bound.phase and earlier.phase != bound.phase:
            return False
        earlier.phase = earlier.phase or bound.phase
        return True
    return False
