"""Which figures are no readings. In: a talk laid out. Out: for each such figure the cue that says so.

A target, a limit, another year, somebody else's word, a general remark, a part number, money, a clock. Each cue has a reach:
where it starts to count and what ends it. Not allowed to know: which quantity a figure belongs to.
"""

import itertools
from bisect import bisect_left, bisect_right

from fieldnote.extract.figures.measures import Figure, Said, Talk
from fieldnote.extract.figures.spoken import HARD, SOFT

NEAR = 6
CLOSE = 3
FAR = 12
RETURNS = frozenset("now today but currently its giving reading got get getting".split())
WISHES = frozenset("needs wants want need you we".split())
PERHAPS = frozenset("could might may be".split())
LIMITS = frozenset("limit limits figure maximum minimum range allowed".split())
WITHIN = frozenset("under over below above inside within".split())
OLD = frozenset("years previous previously old sheet cert bill engineer man lad bloke record benchmark".split())
INDEX = (4, 3)  # digits of a meter's index before and after the point, at least
HANDLED = frozenset("changed left put set got had swapped replaced filled topped pumped turned gave on in to".split())
JETS = frozenset("jet jets injector injectors nozzle nozzles".split())
EXTREMES = frozenset("minimum maximum max min".split())
COUNTED_THINGS = frozenset(
    "burners burner rings ring taps caps screws electrodes injectors jets thermocouples people kids dogs of".split()
)
PLACED = frozenset("left right front rear back centre middle".split())
PLATES = frozenset("plate badge nameplate".split())
CHAINS = frozenset("to and or dash - , point plus minus half a between then double slash oh".split())
LINKS = frozenset("the a an to be at is of about around reading getting have it".split())
WORKED = frozenset(
    "changed replaced fitted renewed serviced swapped done installed moved cleaned regreased repaired".split()
)
SKIP_LINKS = frozenset("is was are the of a on number no , - dash slash its reads says and in at x hash code".split())
_MINUTES_TO = frozenset({5, 10, 20, 25})
_AT_THE_HOUR = frozenset("at by till until since about nearly gone".split())
_FALLING = frozenset("from fell falls drops dropped dropping dips dipped went goes sank sinks down moved crept".split())


def no_readings(talk: Talk) -> dict[int, Said]:
    """Index of a figure to the cue that takes it out."""
    found: dict[int, Said] = {}
    starts = [figure.numeral.pieces[0].start if figure.numeral.pieces else figure.start for figure in talk.figures]
    starts = [start + (talk.words[start] in ("a", "an")) for start in starts]
    inside = {at for name in talk.names if name.names[0].strength == "name" for at in range(name.start, name.end)}
    for cue in talk.cues:
        if cue.start in inside and cue.end - 1 in inside:
            continue
        for kind in {c.kind for c in cue.cues}:
            reach = _REACHES.get(kind)
            for index in reach(talk, cue, starts) if reach else ():
                found.setdefault(index, cue)
    for index, figure in enumerate(talk.figures):
        if figure.numeral.is_year and not figure.units and _dated(talk, figure):
            found.setdefault(index, Said(figure.start, figure.end))
        if _told_by_the_clock(talk, index):
            clock = Said(figure.start, talk.figures[index + 1].end)
            found.setdefault(index, clock)
            found.setdefault(index + 1, clock)
    return found


def _told_by_the_clock(talk: Talk, index: int) -> bool:
    """ "Still standing at ten to four", not "fell from twenty to ten": minutes to the hour."""
    figure, hour = talk.figures[index], talk.figures[index + 1 : index + 2]
    if not hour or figure.units or hour[0].units or talk.words[figure.end : hour[0].start] != ["to"]:
        return False
    minutes, hours = figure.numeral.options[0].value, hour[0].numeral.options[0].value
    at_it = figure.start > 0 and talk.words[figure.start - 1] in _AT_THE_HOUR
    return (
        minutes in _MINUTES_TO
        and 1 <= hours <= 12
        and at_it
        and _FALLING.isdisjoint(talk.words[max(0, figure.start - 6) : figure.start])
    )


def _dated(talk: Talk, figure: Figure) -> bool:
    """Whether a figure of a year's shape is a year: nothing names a quantity beside it."""
    first = bisect_left(talk.names, figure.start - 2, key=lambda name: name.end)
    beside = talk.names[first : first + 3]
    names = [name.names[0] for name in beside if 0 <= figure.start - name.end <= 2]
    return not any(name.strength == "name" and name.quantity != "injector-size" for name in names)


def _target_before(talk: Talk, cue: Said, starts: list[int]) -> list[int]:
    if cue.start and talk.words[cue.start - 1] in ("on", "at") and cue.end - cue.start == 1:
        return []
    if talk.words[cue.start] == "between" and talk.words[cue.end : cue.end + 1] in (["those"], ["them"], ["these"]):
        return []  # "between those two, call it nineteen"
    if "what" in talk.words[max(0, cue.start - 2) : cue.start]:
        return []  # "thirty seven's what the book wants, jets front left's a fifty"
    if talk.words[cue.start] in ("wanted", "needed") and "no" in talk.words[max(0, cue.start - 3) : cue.start]:
        return []  # "no vent wanted"
    if talk.words[cue.end : cue.end + 1] == [SOFT] and talk.words[cue.start] in EXTREMES:
        return []
    index = bisect_left(starts, cue.end)
    reach = _target_reach(talk, cue)
    if index >= len(starts) or starts[index] - cue.end > reach or _closed(talk, cue.end, starts[index]):
        return []
    if _another_named(talk, cue.end, starts[index]):
        return []  # "needs a new hose working thirty six"
    kilowatts = {unit.id for unit in talk.figures[index].units} & {"kW", "W", "Btu/h"}
    if kilowatts and PLATES & set(talk.words[cue.end : starts[index]]):
        return []  # "against a plate of 26.3 kW": what it is rated at
    behind = talk.words[talk.figures[index].end : talk.figures[index].end + 4]
    if behind[:2] in (["on", "the"], ["off", "the"]) and PLATES & set(behind):
        return []
    return _chain(talk, index, starts)


def _target_reach(talk: Talk, cue: Said) -> int:
    """How many words may stand between a target's words and its figure: hardly any after what is said of other things, too
    ("needs ...", "may be failing: 9 mV", "under the sink", "did not shut inside the limit, 85 seconds")."""
    words, behind = set(talk.words[cue.start : cue.end]), talk.words[cue.end : cue.end + 2]
    if words <= WISHES:
        return 0
    if words <= PERHAPS:
        return 1
    if talk.words[cue.end : cue.end + 1] == [SOFT] and talk.words[cue.start - 1] in WITHIN:
        return 0
    if len(words) == 2 and words & WITHIN and (LIMITS.isdisjoint(behind) or SOFT in behind):
        return 1
    return NEAR


def _another_named(talk: Talk, start: int, end: int) -> bool:
    """Whether a quantity is named right before a figure, behind words of something else."""
    at = bisect_left(talk.names, start, key=lambda name: name.start)
    named = at < len(talk.names) and end - 2 <= talk.names[at].end <= end
    between = set(talk.words[start : talk.names[at].start]) - LINKS if named else set()
    # "a size up from what the book gives, stamped 95"; not "needs a new thermocouple"
    return len(between) > 1 or SOFT in between


def _chain(talk: Talk, index: int, starts: list[int]) -> list[int]:
    """A range or list after a cue: "nineteen to twenty three", "twenty plus or minus one"."""
    out = [index]
    while index + 1 < len(starts):
        between = talk.words[talk.figures[index].end : starts[index + 1]]
        if not between or len(between) > 3 or not set(between) <= CHAINS or between == [SOFT] or HARD in between:
            break
        index += 1
        out.append(index)
    return out


def _target_after(talk: Talk, cue: Said, starts: list[int]) -> list[int]:
    if any(c.kind == "target-before" for c in cue.cues) and _target_before(talk, cue, starts):
        return []
    if cue.start and talk.words[cue.start - 1] in ("on", "at"):
        return []
    index = bisect_left(starts, cue.start) - 1
    if index >= 0 and talk.words[cue.start] in EXTREMES and _of_the_burner(talk, talk.figures[index], cue):
        return []
    if index < 0 or not 0 <= cue.start - talk.figures[index].end <= 2:
        return []
    if talk.words[cue.start - 1] == "and" and talk.words[cue.start : cue.end] == ["it", "should", "be"]:
        return []  # "it's a three and it should be"
    follows = bisect_left(starts, cue.end - 1)
    if follows < len(starts) and cue.end - 1 <= starts[follows] <= cue.end + 2:
        between = talk.words[cue.end : starts[follows]]
        if HARD not in between and SOFT not in between:
            return []
    return [] if HARD in talk.words[talk.figures[index].end : cue.start] else [index]


def _of_the_burner(talk: Talk, figure: Figure, cue: Said) -> bool:
    """ "The burner pressure's twelve point one max and ...": the rate that it was read at."""
    at = bisect_left(talk.names, figure.start - 1, key=lambda name: name.end)
    named = at < len(talk.names) and talk.names[at].end <= figure.start and figure.end == cue.start
    behind = talk.words[cue.end : cue.end + 1]
    ends = not behind or behind[0] in (HARD, SOFT, "and", "then", "so")
    return named and ends and talk.names[at].names[0].quantity == "burner-pressure"


def _both_ways(talk: Talk, cue: Said, starts: list[int]) -> list[int]:
    """The clause around: what stands right before the cue, else what follows it, else back to the clause's beginning."""
    if cue.start and talk.words[cue.start - 1] in WORKED:
        return []  # "nine four four oh, regulator was changed last March"
    nearest = bisect_left(starts, cue.start) - 1
    close = nearest >= 0 and cue.start - talk.figures[nearest].end <= CLOSE
    if not close and not _leads_on(talk, cue) and _names_soon(talk, cue.end):
        return []
    if not close and (ahead := _forward(talk, cue, starts, kind="returns")):
        return ahead
    before: list[int] = []
    index = bisect_left(starts, cue.start) - 1
    while index >= 0 and cue.start - talk.figures[index].end <= FAR:
        if _closed(talk, talk.figures[index].end, cue.start, soft=True, kind="returns"):
            break
        if _work_told(talk.words[talk.figures[index].end : cue.start]):
            break  # "co two nine point two, fan was fitted last year"
        before.append(index)
        index -= 1
    return before


def _work_told(words: list[str]) -> bool:
    """Whether words tell of work on something: "fan was fitted", not "when it was fitted"."""
    return not WORKED.isdisjoint(words) and not {"was", "were", "been"}.isdisjoint(words) and "when" not in words


def _leads_on(talk: Talk, cue: Said) -> bool:
    """Whether a past cue begins its clause or belongs to what follows: "last year's sheet", "Last time the pressure was"."""
    before = talk.words[cue.start - 1] if cue.start else HARD
    return before in (HARD, SOFT, "and", "but") or not OLD.isdisjoint(talk.words[cue.start : cue.end])


def _names_soon(talk: Talk, at: int) -> bool:
    """Whether a quantity is named right after: then a new statement begins."""
    index = bisect_left(talk.names, at, key=lambda name: name.start)
    return (
        index < len(talk.names)
        and talk.names[index].start - at <= NEAR
        and talk.names[index].names[0].strength == "name"
    )


def _forward(talk: Talk, cue: Said, starts: list[int], *, kind: str = "closes") -> list[int]:
    out = []
    index = bisect_left(starts, cue.end)
    while index < len(starts) and starts[index] - cue.end <= FAR:
        if _closed(talk, _after_if(talk, cue), starts[index], kind=kind) or _named_late(talk, cue.end, starts[index]):
            break
        out.append(index)
        index += 1
    return out


def _reported(talk: Talk, cue: Said, starts: list[int]) -> list[int]:
    """What somebody says; a quantity named two words on or later is the engineer's own statement."""
    at = bisect_left(talk.names, cue.end + 3, key=lambda name: name.start)
    named = talk.names[at].start if at < len(talk.names) else 10**9
    # a whole index of a meter is read out, no hearsay: "he says start two two nine oh one point six double five"
    return [i for i in _forward(talk, cue, starts) if starts[i] < named and not _is_index(talk.figures[i])]


def _is_index(figure: Figure) -> bool:
    return len(figure.numeral.decimals or "") >= INDEX[1] and len(figure.numeral.whole) >= INDEX[0]


def _after_if(talk: Talk, cue: Said) -> int:
    """Where what "if it was" says begins: "reading under five" belongs to it, too."""
    led = talk.words[cue.start] == "if" and talk.words[cue.end : cue.end + 1] in (["reading"], ["getting"], ["giving"])
    return cue.end + led


def _closed(talk: Talk, start: int, end: int, *, soft: bool = False, kind: str = "closes") -> bool:
    """Whether a sentence ends, or a word like "but" or "I got" stands, between two places."""
    if HARD in talk.words[start:end] or (soft and SOFT in talk.words[start:end]):
        return True
    if kind == "returns":
        return not RETURNS.isdisjoint(talk.words[start:end])
    at = bisect_left(talk.cues, start, key=lambda cue: cue.start)
    while at < len(talk.cues) and talk.cues[at].start < end:
        if talk.cues[at].end <= end and any(c.kind == kind for c in talk.cues[at].cues):
            return True
        at += 1
    return False


def _named_late(talk: Talk, start: int, end: int) -> bool:
    """Whether a quantity is named anew, well after the cue: a new statement has begun."""
    at = bisect_left(talk.names, start + 6, key=lambda name: name.start)
    return at < len(talk.names) and talk.names[at].end <= end and talk.names[at].names[0].strength == "name"


def _skip_after(talk: Talk, cue: Said, starts: list[int]) -> list[int]:
    index = bisect_left(starts, cue.end)
    if index >= len(starts) or not set(talk.words[cue.end : starts[index]]) <= SKIP_LINKS:
        return []
    if starts[index] - cue.end > 3 or talk.figures[index].units:
        return []
    if talk.words[cue.start : cue.end] == ["en"] and not HANDLED.isdisjoint(
        talk.words[max(0, cue.start - 1) : cue.start]
    ):
        return []  # "changed 'en, twenty three now"
    behind = talk.words[talk.figures[index].end : talk.figures[index].end + 1]
    beside = {*behind, *talk.words[max(0, cue.start - 1) : cue.start]}
    if talk.words[cue.start : cue.end] == ["number"] and JETS & beside:
        return []  # "number seventy two jet"
    out = [index]
    while index + 1 < len(starts) and starts[index + 1] - talk.figures[index].end <= 2:
        between = talk.words[talk.figures[index].end : starts[index + 1]]
        if talk.figures[index + 1].units or not all(w in ("-", "dash", "slash", "oh") or len(w) == 1 for w in between):
            break
        if HARD in between or SOFT in between:
            break
        index += 1
        out.append(index)
    return out


def _skip_before(talk: Talk, cue: Said, starts: list[int]) -> list[int]:
    index = bisect_right(starts, cue.start) - 1
    if index < 0:
        return []
    figure = talk.figures[index]
    if _is_index(figure):
        return []  # "... six point one five three, time is two minutes"
    touching = figure.end == cue.start and not figure.units
    over_unit = figure.end > cue.start >= figure.numeral.end and cue.end > figure.end
    if not (touching or over_unit):
        return []
    after = talk.words[cue.end] if cue.end < len(talk.words) else ""
    nearest = bisect_left(starts, cue.end)
    parted = figure.numeral.decimals or figure.numeral.added is not None or talk.tokens[cue.start].clitic
    if touching and parted and talk.words[cue.start] in COUNTED_THINGS:
        return []  # "eighteen point two caps all ok", "closed it up to four electrode's fine"
    if touching and talk.words[cue.start] in COUNTED_THINGS and _no_count(talk, figure):
        return []
    if touching and figure.numeral.whole.startswith("00"):
        return []  # "ratio double oh two two, burner was furred"
    if touching and _heads_next(talk, cue):
        return []
    few = talk.words[figure.start - 1] in ("and", "with", "both", "only") and talk.words[cue.start] in COUNTED_THINGS
    if after == "pressure" or (touching and not few and starts[nearest : nearest + 1] == [cue.end]):
        return []
    return [index]


def _no_count(talk: Talk, figure: Figure) -> bool:
    """ "Rear right twenty eight taps are fine", "standing's twenty one four jets then": more than any hob has, or a pressure."""
    pieces = figure.numeral.pieces
    tenths = [piece.kind for piece in pieces] == ["pair", "digit"]
    at = bisect_left(talk.names, figure.start - 1, key=lambda name: name.end)
    named = at < len(talk.names) and talk.names[at].end <= figure.start
    placed = not PLACED.isdisjoint(talk.words[max(0, figure.start - 2) : figure.start])
    placed = placed or talk.words[figure.start - 1] in ("renewed", "replaced", "changed")
    return (tenths and named) or (placed and len(pieces) == 1 and pieces[0].kind == "pair")


def _heads_next(talk: Talk, cue: Said) -> bool:
    """ "Right ring six thermocouples left nine": the thing that seems counted heads the next list by places."""
    before = set(talk.words[max(0, cue.start - 4) : cue.start - 1])
    follows = set(talk.words[cue.end : cue.end + 2])
    plural = talk.words[cue.start] in COUNTED_THINGS and cue.end - cue.start == 1
    return plural and not PLACED.isdisjoint(before) and not PLACED.isdisjoint(follows)


def _settle(talk: Talk, cue: Said, starts: list[int]) -> list[int]:
    near = []
    for index in (bisect_left(starts, cue.start) - 1, bisect_left(starts, cue.end)):
        if 0 <= index < len(starts) and any(u.id in ("s", "min", "h") for u in talk.figures[index].units):
            figure = talk.figures[index]
            gap = cue.start - figure.end if figure.start < cue.start else figure.start - cue.end
            between = talk.words[min(figure.end, cue.end) : max(figure.start, cue.start)]
            if (
                gap <= 4
                and HARD not in between
                and not _test_between(talk, figure, cue)
                and not _told_apart(talk, cue, index)
            ):
                near.append((gap, index))
    return [min(near)[1]] if near else []


def _told_apart(talk: Talk, cue: Said, index: int) -> bool:
    """ "Up to twenty, let it settle, two minutes, nineteen six": the only time after the settling is the test's."""
    figure = talk.figures[index]
    between = talk.words[cue.end : figure.start]
    if figure.start < cue.end or not (between[:1] == [SOFT] or "and" in between) or not figure.units:
        return False
    if not any(unit.id == "min" for unit in figure.units):
        return False
    another = talk.figures[index + 1 : index + 3]
    return not any(
        near.start - figure.end <= NEAR and any(unit.id in ("s", "min") for unit in near.units) for near in another
    )


def _test_between(talk: Talk, figure: Figure, cue: Said) -> bool:
    low, high = sorted((figure.start, cue.start))
    first = bisect_left(talk.names, low + 1, key=lambda name: name.start)
    between = itertools.takewhile(lambda name: name.start < high, talk.names[first : first + FAR])
    return any(name.names[0].strength in ("topic", "name") for name in between)


_REACHES = {
    "target-before": _target_before,
    "target-after": _target_after,
    "past": _both_ways,
    "reported": _reported,
    "general": _forward,
    "skip-after": _skip_after,
    "skip-before": _skip_before,
    "settle": _settle,
}
