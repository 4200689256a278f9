"""Figures taken back or said twice. In: bound readings in order. Out: those that stand, with what they replaced.

"nineteen and a half, no, I mean twenty and a half" is one reading of 20.5 that superseded 19.5. "That's the standing, sorry"
moves a figure to another quantity. The same figure said again is one reading. Not allowed to know: places, limits.
"""

from bisect import bisect_left

from fieldnote.extract.figures.desk import ENDS, MIDDLE, SIDES, TESTS, Bound
from fieldnote.extract.figures.measures import Said, Talk
from fieldnote.extract.figures.spoken import HARD

TIMES = frozenset(("test-duration", "elapsed"))
NEAR = 8
AGAIN = 60
SUMMED_UP = 14


def settle(talk: Talk, bounds: list[Bound]) -> list[Bound]:
    """The readings that stand, in order."""
    standing: list[Bound] = []
    for bound in bounds:
        last = standing[-1] if standing else None
        cue = _takes_back(talk, last, bound) if last else None
        if last and cue and _replaces(last, bound):
            bound.superseded = f"{last.value}" if last.quantity == bound.quantity else f"{last.quantity} {last.value}"
            bound.phase = bound.phase or last.phase
            standing[-1] = bound
        elif not _said_before(talk, standing, bound):
            standing.append(bound)
    return standing


def _takes_back(talk: Talk, last: Bound, bound: Bound) -> Said | None:
    """The words between two readings that take the first one back."""
    if bound.start - last.end > NEAR or bound.figure is None or last.figure is None:
        return None
    start = last.figure.end
    at = bisect_left(talk.cues, start, key=lambda cue: cue.start)
    between = [cue for cue in talk.cues[at : at + 2 * NEAR + 8] if start <= cue.start and cue.end <= bound.figure.start]
    if any(c.kind in ("lead-left", "as-left", "as-found") for cue in between for c in cue.cues):
        return None
    for cue in between:
        if any(c.kind == "correction" for c in cue.cues) and HARD not in talk.words[start : cue.start][1:]:
            return cue
    return None


def _replaces(last: Bound, bound: Bound) -> bool:
    if bound.quantity == last.quantity:
        return True
    return bound.value == last.value


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
        if bound.quantity in ("pipe-size", "pipe-length", "drop-out-time", "meter-reading"):
            return False
        if bound.rule.startswith(("carried", "row")) and talk.words[earlier.end : bound.start] in ([], ["and"], [","]):
            return False  # "thermocouples seventeen eighteen eighteen and nine"
        if (ENDS | SIDES | MIDDLE) & set(talk.words[earlier.end : bound.start]):
            return False
        if earlier.phase and bound.phase and earlier.phase != bound.phase:
            return False
        earlier.phase = earlier.phase or bound.phase
        return True
    return False
