"""As found and as left. In: bound readings and the cues around them. Out: the phase of each reading, None where none was said.

A phase said behind figures that follow one another belongs to all of them; said before figures it holds until the sentence,
the row of readings or the phase ends; "found at" and "set to" hold for the next figure only. "left" is mostly a place: only
the wordings of the data file count. Not allowed to know: what the readings mean.
"""

import itertools
from bisect import bisect_left

from fieldnote.extract.figures.desk import COMBUSTION, ENDS, MIDDLE, SIDES, Bound
from fieldnote.extract.figures.measures import Said, Talk
from fieldnote.extract.figures.spoken import HARD, SOFT

PHASE = {"as-found": "as-found", "lead-found": "as-found", "as-left": "as-left", "lead-left": "as-left"}
UNPHASED = frozenset(("meter-reading", "elapsed", "test-duration", "tightness-drop", "let-by-rise", "rated-input"))
OF_A_PART = frozenset(("drop-out-time", "hold-in-time"))
NEW = frozenset("new another changed replaced swapped renewed".split())
MOVES = frozenset("drops drop dropped falls fell fall goes went sags climbs rises rose".split())
OUTRIGHT = {(a, b) for a in ("found", "left") for b in ("at", "it", "on", "reading")} | {
    ("as", "found"),
    ("as", "left"),
}
AFTER_WORK = frozenset("once after when since".split())
ROW = 10
_IT_WAS = frozenset({"it", "was", "is", "its", "at", "reads", "read", SOFT})  # between "before" and its figure
AT_ONCE = 5
_FIGURES = frozenset("figures figure readings reading numbers results analyser printout these those".split())
DOER = frozenset("i id ive".split())  # "after I'd ..." says what was done to what was just read
WORKED = 30
_ALIKE = {"rear": "back"}


def set_phases(talk: Talk, bound: list[Bound]) -> None:
    """Give each reading its phase."""
    cues = [cue for cue in talk.cues if any(c.kind in PHASE for c in cue.cues)]
    for cue in _outermost(cues):
        for c in cue.cues:
            if c.kind in ("as-found", "as-left") and not _heading(talk, cue):
                _block(talk, bound, cue, PHASE[c.kind])
    _pairs(talk, bound)
    _leads(talk, bound, _outermost(cues))
    _works(talk, bound)
    _before_work(talk, bound)
    _untold(talk, bound)


def _untold(talk: Talk, bound: list[Bound]) -> None:
    """A test or a meter reading has a phase only where "found" or "left" itself is said: "retest, two minutes" has none."""
    for reading in bound:
        around = talk.words[max(0, reading.start - ROW) : reading.end + ROW]
        if reading.quantity in UNPHASED and not any(pair in OUTRIGHT for pair in itertools.pairwise(around)):
            reading.phase = None


def _before_work(talk: Talk, bound: list[Bound]) -> None:
    """ "Working eighteen, after I changed the hose twenty": what was read before the work that is told is as found."""
    works = [cue.start for cue in talk.cues if any(c.kind == "work" for c in cue.cues)]
    for index, reading in enumerate(bound):
        if reading.phase != "as-left" or reading.figure is None:
            continue
        earlier = next((b for b in reversed(bound[max(0, index - 6) : index]) if b.quantity == reading.quantity), None)
        if earlier is None or earlier.phase or reading.start - earlier.end > WORKED:
            continue
        since = bisect_left(works, earlier.end)
        if since < len(works) and works[since] < reading.figure.start and not _moved(talk, earlier.end, reading):
            earlier.phase = "as-found"


def _heading(talk: Talk, cue: Said) -> bool:
    """Whether both phases are named at once: "as found / as left: working 17 / 20"."""
    return "/" in talk.words[max(0, cue.start - 1) : cue.start] + talk.words[cue.end : cue.end + 1]


def _pairs(talk: Talk, bound: list[Bound]) -> None:
    """Two figures of one quantity with a stroke between, or "from" one "to" the other, are as found and as left."""
    for one, two in itertools.pairwise(bound):
        between = talk.words[one.end : two.figure.start] if two.figure else []
        led = talk.words[max(0, one.figure.start - 2) : one.figure.start] if one.figure else []
        # "from sixteen to twenty once it was changed"
        since = not AFTER_WORK.isdisjoint(talk.words[two.end : two.end + 2])
        changed = (
            between == ["to"] and led[-1:] == ["from"] and (led[0] not in MOVES or (since and two.value > one.value))
        )
        paired = between == ["/"] or (changed and one.quantity not in UNPHASED)
        if one.quantity == two.quantity and paired and not one.phase and not two.phase:
            one.phase, two.phase = "as-found", "as-left"


def _works(talk: Talk, bound: list[Bound]) -> None:
    """What is read again after work was done is as left, and what was read before it as found."""
    works = [cue.end for cue in talk.cues if any(c.kind == "work" for c in cue.cues)]
    for index, reading in enumerate(bound):
        if reading.phase or reading.quantity in UNPHASED or reading.figure is None:
            continue
        earlier = next((b for b in reversed(bound[max(0, index - 12) : index]) if b.quantity == reading.quantity), None)
        if earlier is None or earlier.phase or reading.start - earlier.end > WORKED:
            continue
        since = bisect_left(works, earlier.end)
        told = since < len(works) and works[since] <= reading.figure.start and not _moved(talk, earlier.end, reading)
        if told and not _another_part(talk, earlier, reading):
            earlier.phase, reading.phase = "as-found", "as-left"


def _another_part(talk: Talk, earlier: Bound, reading: Bound) -> bool:
    """Whether two tests were of two parts: it dropped out late, the magnet was changed, the new one passed."""
    end = reading.figure.start if reading.figure else reading.start
    return reading.quantity in OF_A_PART and not NEW.isdisjoint(talk.words[earlier.end : end])


def _moved(talk: Talk, start: int, reading: Bound) -> bool:
    """Whether a place is said anew after the work: then the reading is of another burner."""
    figure = reading.figure
    return figure is None or bool((SIDES | ENDS | MIDDLE) & set(talk.words[start : figure.start]))


def _outermost(cues: list[Said]) -> list[Said]:
    """Cues that do not lie inside a longer one."""
    kept: list[Said] = []
    reached = 0
    for cue in cues:
        if cue.end > reached:
            kept.append(cue)
        reached = max(reached, cue.end)
    return kept


def _block(talk: Talk, bound: list[Bound], cue: Said, phase: str) -> None:
    index = bisect_left(bound, cue.start, key=lambda b: b.start)
    if _inside(bound, index, cue):
        bound[index - 1].phase = bound[index - 1].phase or phase
        return
    before = bound[index - 1] if index else None
    alone = cue.end - cue.start == 1 and talk.words[cue.start] in ("after", "before")
    if alone and not _trails(talk, cue) and not _second_of_two(bound, index, cue, phase):
        if (of := _fronted(talk, bound, index, cue)) is not None:
            of.phase = of.phase or phase
        return
    if talk.words[cue.end - 1] in DOER and not (before and _touches(talk, before, cue)):
        return
    if before and phase == "as-left" and index < len(bound) and _parts_two(talk, before, cue, bound[index]):
        before.phase = before.phase or "as-found"
        _forwards(talk, bound, index, cue, phase)
    elif before and _touches(talk, before, cue) and not _leading(talk, bound, index, cue):
        _backwards(talk, bound, index - 1, phase, whole=talk.words[cue.start - 1] == SOFT)
    elif index < len(bound):
        _forwards(talk, bound, index, cue, phase)


def _parts_two(talk: Talk, before: Bound, cue: Said, follows: Bound) -> bool:
    """ "Eighteen two, after adjusting nineteen five": the words stand between two figures of one quantity at one place."""
    alike = before.quantity == follows.quantity and before.quantity not in UNPHASED and before.phase is None
    near = cue.start - before.end <= 2 and follows.start - cue.end <= 2
    leads = talk.words[cue.start] in ("after", "once") and HARD not in talk.words[before.end : follows.start]
    return alike and near and leads and not _moved(talk, before.end, follows)


def _inside(bound: list[Bound], index: int, cue: Said) -> bool:
    """Whether the cue stands between a reading's name and its figure: "pressure when I arrived sixteen"."""
    figure = bound[index - 1].figure if index else None
    if figure is None or bound[index - 1].quantity in UNPHASED or cue.end - cue.start < 2:
        return False
    name = bound[index - 1].name
    return (name.end if name else bound[index - 1].start) <= cue.start and cue.end <= figure.start


def _trails(talk: Talk, cue: Said) -> bool:
    """Whether "before" or "after" ends what was said: "twelve before, fourteen after"."""
    after = talk.words[cue.end] if cue.end < len(talk.words) else HARD
    return after in (HARD, ",", "and", "then")


def _fronted(talk: Talk, bound: list[Bound], index: int, cue: Said) -> Bound | None:
    """ "Working pressure before eighteen, after twenty": the reading whose figure stands right behind "before", where "after" is
    said of another."""
    near = talk.words[max(0, cue.start - ROW) : cue.start] + talk.words[cue.end : cue.end + ROW]
    opposite = "after" if talk.words[cue.start] == "before" else "before"
    if opposite not in near:
        return None
    for of in bound[max(0, index - 1) : index + 1]:
        start = of.figure.start if of.figure else -1
        if 0 <= start - cue.end <= 2 and set(talk.words[cue.end : start]) <= _IT_WAS and of.quantity not in UNPHASED:
            return of
    return None


def _second_of_two(bound: list[Bound], index: int, cue: Said, phase: str) -> bool:
    """ "Twelve before I cleaned it and nineteen after it was all soot": the same was told as found right before."""
    if index < 2 or phase != "as-left" or bound[index - 1].end != cue.start:
        return False
    first, second = bound[index - 2], bound[index - 1]
    return first.quantity == second.quantity and first.phase == "as-found" and second.start - first.end <= ROW * 2


def _touches(talk: Talk, before: Bound, cue: Said) -> bool:
    between = talk.words[before.end : cue.start]
    if "then" in between and talk.words[cue.start] in ("after", "once"):
        return False  # "working eighteen, then after I changed the hose twenty"
    return len(between) <= 2 and HARD not in between and before.end <= cue.start


def _leading(talk: Talk, bound: list[Bound], index: int, cue: Said) -> bool:
    """Whether phases stand before their figures in this row: the figure before already has one said before it."""
    follows = bound[index] if index < len(bound) else None
    close = follows is not None and follows.start - cue.end <= 2 and HARD not in talk.words[cue.end : follows.start]
    return close and bound[index - 1].phase is not None


def _backwards(talk: Talk, bound: list[Bound], index: int, phase: str, *, whole: bool) -> None:
    """A phase behind a row: of all of it after a pause or in combustion figures, else of the last figure."""
    end = None
    while index >= 0 and bound[index].phase is None:
        together = whole or {bound[index].quantity, bound[min(index + 1, len(bound) - 1)].quantity} <= COMBUSTION
        if end is not None and not (together and _one_row(talk, bound[index].end, end)):
            return
        bound[index].phase = phase
        end = bound[index].start
        index -= 1


def _announces(talk: Talk, cue: Said) -> bool:
    """ "I'm giving you the figures as found. CO2 8.9": a sentence that only says when the figures behind it were taken."""
    before = talk.words[max(0, cue.start - ROW) : cue.start]
    before = before[len(before) - before[::-1].index(HARD) :] if HARD in before else before
    return talk.words[cue.end : cue.end + 1] == [HARD] and not _FIGURES.isdisjoint(before)


def _forwards(talk: Talk, bound: list[Bound], index: int, cue: Said, phase: str) -> None:
    at = cue.end + _announces(talk, cue)
    while index < len(bound) and bound[index].phase is None:
        if HARD in talk.words[at : bound[index].start] or bound[index].start - at > (
            AT_ONCE if at <= cue.end + 1 else ROW
        ):
            return
        if at > cue.end + 1 and _turns(talk, phase, at, bound[index]):
            return  # "as found it sat on 0.2, left it on 1.4"
        bound[index].phase = phase
        at = bound[index].end
        index += 1


def _turns(talk: Talk, phase: str, at: int, reading: Bound) -> bool:
    """Whether the other phase is said before a reading's figure."""
    end = reading.figure.start if reading.figure else reading.start
    first = bisect_left(talk.cues, at, key=lambda cue: cue.start)
    near = itertools.takewhile(lambda cue: cue.start < end, talk.cues[first:])
    told = {PHASE[c.kind] for cue in near for c in cue.cues if c.kind in PHASE and "left" in c.kind}
    return phase == "as-found" and "as-left" in told


def _one_row(talk: Talk, start: int, end: int) -> bool:
    """Whether nothing but names and small words stands between two readings."""
    between = talk.words[start:end]
    return HARD not in between and len(between) <= 3


def _leads(talk: Talk, bound: list[Bound], cues: list[Said]) -> None:
    """ "was six, set it to four": the phase of the very next figure; "was" counts only where a "left" follows."""
    for index, reading in enumerate(bound):
        if reading.figure is None or reading.phase is not None:
            continue
        start = reading.figure.start
        first = bisect_left(cues, min(start - 12, reading.start - 4), key=lambda cue: cue.start)
        last = bisect_left(cues, reading.end + 2, key=lambda cue: cue.start)
        around = cues[first:last]
        near = [cue for cue in around if start - 3 <= cue.end <= start and cue.start >= reading.start - 4]
        near = [cue for cue in near if HARD not in talk.words[cue.end : start]]
        near = [cue for cue in near if not (index and _of_the_one_before(talk, bound[index - 1], cue, start))]
        behind = [cue for cue in around if reading.end <= cue.start and talk.words[cue.start] == "now"]
        near += behind
        kinds = {c.kind for cue in near for c in cue.cues}
        now = all(
            _needs_earlier(talk.words[cue.start : cue.end])
            for cue in near
            if any(c.kind == "lead-left" for c in cue.cues)
        )
        if "lead-left" in kinds and reading.quantity not in UNPHASED and (not now or _had(bound, index)):
            reading.phase = "as-left"
            _earlier(talk, bound, index)
        elif "lead-found" in kinds and (_said_found(talk, near) or (index and _set_before(bound[index - 1], reading))):
            reading.phase = "as-found"


def _of_the_one_before(talk: Talk, earlier: Bound, cue: Said, start: int) -> bool:
    """ "Twenty five now, back left eighteen": "now" closes the figure before, a place is between."""
    return earlier.end == cue.start and not (SIDES | ENDS).isdisjoint(talk.words[cue.end : start])


def _needs_earlier(words: list[str]) -> bool:
    """Whether a wording tells of a change only where the quantity was read before: "now", "drifting up to"."""
    return "now" in words or (len(words) == 2 and words[1] == "to" and words[0] in ("up", "down", "back"))


def _said_found(talk: Talk, near: list[Said]) -> bool:
    """Whether the word "found" itself was said: "found at six"."""
    return any("found" in talk.words[cue.start : cue.end] for cue in near)


def _set_before(earlier: Bound, reading: Bound) -> bool:
    """ "set it to twelve, it was nine": what it was before is said after what it was set to."""
    near = reading.start - earlier.end <= 4
    return near and earlier.quantity == reading.quantity and earlier.phase == "as-left"


def _had(bound: list[Bound], index: int) -> bool:
    return any(earlier.quantity == bound[index].quantity for earlier in bound[max(0, index - 6) : index])


def _earlier(talk: Talk, bound: list[Bound], index: int) -> None:
    """What the same quantity read before it was set is as found; of several that were listed, the one at the same place."""
    row = [b for b in bound[max(0, index - 12) : index] if b.quantity == bound[index].quantity]
    if not row:
        return
    told = _places(talk, row[-1].end, bound[index])
    if told and len(row) > 1:
        starts = [max(0, row[0].start - 3), *(b.end for b in row)]
        row = [b for b, start in zip(row, starts, strict=False) if _places(talk, start, b) == told]
    if row and row[-1].phase is None:
        row[-1].phase = "as-found"


def _places(talk: Talk, start: int, reading: Bound) -> frozenset[str]:
    """The words for places between a word and the figure of a reading."""
    end = reading.figure.start if reading.figure else reading.start
    return frozenset(_ALIKE.get(word, word) for word in talk.words[start:end] if word in SIDES | ENDS | MIDDLE)
