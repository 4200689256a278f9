"""Tests of pressure: tightness and let-by. In: the desk, a figure or a cue. Out: the drop or rise from the start to the end.

The pressure that a test starts at is no reading; it is kept with the drop. "No drop" and "didn't move" are 0.
Not allowed to know: what drop is allowed.
"""

from bisect import bisect_left
from decimal import Decimal

from fieldnote.extract.figures.desk import TESTS, Bound, Desk, kinds_of
from fieldnote.extract.figures.measures import Figure, Said, in_seconds
from fieldnote.extract.figures.spoken import HARD, SOFT

ZERO_KINDS = frozenset(("zero-drop", "zero-rise", "zero-either", "zero-beside"))
NO_ZERO = frozenset("out at in on point temperature allowed permitted vent vents hole holes".split())
GAUGES = frozenset(
    "gauge gauges needle dial manometer meter glass tube screen display water column let letby tightness test retest whole house "
    "flat installation lot system pipework carcass property job".split()
)
VALVES = frozenset("ecv emergency main cock lever control".split())
BESIDE = frozenset((SOFT, "it", "was", "is", "and", "test", "on"))
_PRAISED = BESIDE | frozenset("good fine sound ok okay grand tight spot dead right champion lovely with".split())
FALLS = frozenset(
    "down dropped dropping drops fell falling falls went going came gone coming sank sinking slipped slipping slid sliding crept "
    "creeping drifted drifting".split()
)
LOWEST, HIGHEST = 4, 60
OF_A_VALVE = "of a valve"  # the rule of what is no reading
# a measured drop is called little, not none: "nothing perceptible", "no drop to speak of", "no drop you could call a leak"
_BELITTLING = frozenset(
    "perceptible noticeable discernible measurable significant speak worth worry call mention".split()
)
_AS_SOMEBODY_SAW_IT = frozenset("you youd i id we worth".split())  # "nothing you could call a leak" is no figure
_HELD = frozenset("magnet magnets fsd ffd device valve lid door tap flame thermocouple".split())
_OVER = frozenset((SOFT, "and", "then", "over", "in", "after", "about", "the"))  # words between a pressure and its time
_ANEW = frozenset(
    "final last fresh again second third retest retested repeat repeated".split()
)  # the test is made once more
PUMPED = 15  # mbar: no let-by test starts so high
WITHIN = 20
BEHIND = 3
AHEAD = 5
AGAIN = 25


def end_of_test(desk: Desk, figure: Figure) -> Bound | None:
    """ "down to nineteen eight", "rose to eight and a half": the drop or rise from the start pressure."""
    if bound := _put_right(desk, figure):
        return bound
    kinds, value = desk.kinds_before(figure.start), _pressure(desk, figure)
    if desk.start is None or value is None or value < LOWEST or _falls_next(desk, figure) or not kinds & {"down", "up"}:
        return None
    return _difference(desk, figure, value, kinds)


def _put_right(desk: Desk, figure: Figure) -> Bound | None:
    """ "20 to 19.5, sorry, 19.4": the pressure at the end of a test is said anew."""
    last, value = desk.last, _pressure(desk, figure)
    if last is None or value is None or last.start_value is None or not last.rule.startswith("from start"):
        return None
    near = figure.start - last.end <= AHEAD and value >= LOWEST and not desk.topics_between(last.end, figure.start)
    if not near or "correction" not in desk.kinds_between(last.end, figure.start):
        return None
    change = value - last.start_value if last.quantity == "let-by-rise" else last.start_value - value
    if not 0 <= change <= desk.quantities[last.quantity].possible[1]:
        return None
    return Bound(
        last.quantity, change, figure.start, figure.end, figure, None, "from start to end", start_value=last.start_value
    )


def test_pressure(desk: Desk, figure: Figure) -> Bound | None:
    """A second pressure of a test as its drop or rise; a first one is remembered as its start and is no reading."""
    if bound := _mere_drop(desk, figure):
        return bound
    value, tested = _pressure(desk, figure), desk.family(figure.start) in TESTS
    if value is None or not (tested or _falls_next(desk, figure)) or not LOWEST <= value <= HIGHEST:
        return None
    if desk.family(figure.start) == "let-by" and value >= PUMPED:
        # "let-by at 8.5, no rise. Raised to 20.3": the tightness test has begun
        desk.begin(figure.end, "tightness")
        desk.start = Bound("", value, figure.start, figure.end, figure)
        return None
    if not tested and _falls_in_its_time(desk, figure):
        desk.begin(figure.end, "tightness")
    begun = desk.start is not None and not desk.topics_between(desk.start.end, figure.start)
    if desk.start and begun and tested and not _falls_next(desk, figure) and figure.start - desk.start.end <= WITHIN:
        return _difference(desk, figure, value, set())
    desk.start = Bound("", value, figure.start, figure.end, figure)
    return None


def _mere_drop(desk: Desk, figure: Figure) -> Bound | None:
    """ "Tightness, two minutes, 0.4 mbar": right behind the time of a test so little can only be the drop or the rise."""
    quantity = TESTS.get(desk.family(figure.start) or "")
    last = desk.last
    if quantity is None or last is None or last.quantity != "test-duration" or figure.start - last.end > BEHIND:
        return None
    found = desk.value(quantity, figure) if any(unit.id == "mbar" for unit in figure.units) else None
    return desk.take(quantity, figure, None, "behind the time") if found and found.value < LOWEST else None


def _pressure(desk: Desk, figure: Figure) -> Decimal | None:
    found = desk.value("standing-pressure", figure)
    return found.value if found else None


def _difference(desk: Desk, figure: Figure, value: Decimal, kinds: set[str]) -> Bound | None:
    start, desk.start = desk.start, None
    if start is None:
        return None
    family = desk.family(figure.start)
    rising = family == "let-by" or (family is None and "up" in kinds)
    change = value - start.value if rising else start.value - value
    quantity = "let-by-rise" if rising else "tightness-drop"
    if not 0 <= change <= desk.quantities[quantity].possible[1]:
        return None
    desk.used.update(desk.names_between(start.start, figure.start))
    return Bound(quantity, change, start.start, figure.end, figure, None, "from start to end", start_value=start.value)


def _falls_next(desk: Desk, figure: Figure) -> bool:
    cue = desk.cue_at(figure.end)
    falls = cue is not None and "down" in kinds_of([cue]) and desk.words[cue.start] in FALLS
    return falls or _falls_in_its_time(desk, figure)


def _falls_in_its_time(desk: Desk, figure: Figure) -> bool:
    """ "Set it at twenty one and over two minutes it went to sixteen": a test of pressure, though nobody names it."""
    at = bisect_left(desk.figure_starts, figure.end)
    time = desk.talk.figures[at] if at < len(desk.figure_starts) else figure
    if time.start - figure.end > AHEAD or time is figure or in_seconds(time) is None:
        return False
    behind = desk.words[time.end : time.end + 3]
    behind = behind[1:] if behind[:1] in (["it"], ["its"], [SOFT]) else behind
    over = set(desk.words[figure.end : time.start])
    return over <= _OVER and bool(over & {"over", "in", "after"}) and bool(behind) and behind[0] in FALLS


def zero(desk: Desk, cue: Said) -> int | None:
    """Bind "no drop", "didn't move" as a reading of nothing, where a test is in talk; returns where it ends."""
    quantity = _zero_of(desk, cue)
    timed = _time_behind(desk, cue.end)
    seen = desk.words[cue.end : cue.end + 2] == ["on", "the"] and not (GAUGES | VALVES).isdisjoint(
        desk.words[cue.end + 2 : cue.end + 4]
    )
    bounded = desk.after(cue.end) in NO_ZERO and not (timed or seen)  # "no drop in temperature"
    if desk.words[cue.start - 1] in _HELD and cue.start:
        return None  # "the magnet hasn't dropped at all"
    if quantity is None or bounded or _doubtful(desk, cue):
        return None
    if _said_zero(desk, quantity, cue):
        return cue.end
    if _of_a_valve(desk, cue):
        desk.bound.append(Bound(quantity, Decimal(0), cue.start, cue.end, None, None, OF_A_VALVE))
        return cue.end
    start, desk.start = desk.start, None
    value = start.value if start else None
    desk.bound.append(Bound(quantity, Decimal(0), cue.start, cue.end, None, None, "none said", start_value=value))
    return cue.end


def _time_behind(desk: Desk, end: int) -> bool:
    """ "Nil in the minute", "didn't move in the two minutes", "no drop in two minutes"."""
    starts = [end + 1, *([end + 2] if desk.after(end + 1) == "the" else [])]
    return desk.after(end) == "in" and any(
        index < len(desk.figure_starts) and desk.figure_starts[index] == at
        for at in starts
        for index in [bisect_left(desk.figure_starts, at)]
    )


def _of_a_valve(desk: Desk, cue: Said) -> bool:
    """ "Gas valve: no let-by", "gas valve's good, no let-by": what a valve was found to do, no test of the installation."""
    before = [word for word in desk.words[max(0, cue.start - 5) : cue.start] if word not in _PRAISED]
    of = before[-2:-1] == ["gas"] and before[-1] in ("valve", "valves", "tap", "taps")
    return desk.words[cue.start : cue.start + 2] == ["no", "let"] and of


def _zero_of(desk: Desk, cue: Said) -> str | None:
    kinds, test = kinds_of([cue]), TESTS.get(desk.family(cue.start) or test_ahead(desk, cue.end) or "")
    if "zero-either" in kinds and test:
        return test
    if "zero-drop" in kinds or "zero-rise" in kinds:
        return "tightness-drop" if "zero-drop" in kinds else "let-by-rise"
    return test if "zero-beside" in kinds and _beside_test(desk, cue) else None


def test_ahead(desk: Desk, end: int) -> str | None:
    """ "Gauge never moved on the tightness", "lost 0.2 on the let-by": the test named right after, in the same sentence."""
    words = desk.words[end : end + AHEAD]
    reach = words.index(HARD) if HARD in words else AHEAD
    ahead = desk.topics_between(end, end + reach)
    return ahead[0][1] if ahead and desk.after(end) in ("on", "in", "for", "during") else None


def _beside_test(desk: Desk, cue: Said) -> bool:
    """Whether the test's name or its time ends right before."""
    at = cue.start
    while at and desk.words[at - 1] in BESIDE:
        at -= 1
    ends = {desk.start.end} if desk.start else set()
    ends |= {end for end, family in desk.topics_between(at, cue.start) if family in TESTS}
    ends |= {figure.end for figure in desk.figures_ending(at, cue.start) if in_seconds(figure) is not None}
    spoilt = desk.after(cue.end) in NO_ZERO | _AS_SOMEBODY_SAW_IT and not _time_behind(desk, cue.end)
    return bool(ends & {at, cue.start}) and not spoilt


def _said_zero(desk: Desk, quantity: str, cue: Said) -> bool:
    """Whether the same nothing, or the little that it is called ("0.2 lost, nothing perceptible"), was just said of the same
    test."""
    last = next((b for b in reversed(desk.bound) if b.quantity == quantity), None)
    if last is None or cue.start - last.end > AGAIN:
        return False
    timed = any(in_seconds(figure) is not None for figure in desk.figures_ending(last.end, cue.start))
    if timed and not _ANEW.isdisjoint(desk.words[last.end : cue.start]):
        return False  # "final test, 2 minutes, no movement"
    between = desk.names_between(last.end, cue.start)
    same = HARD not in desk.words[last.end : cue.start]
    belittled = same and bool(_BELITTLING & set(desk.words[cue.start : cue.end + BEHIND]))
    topics = [i for i in between if desk.talk.names[i].names[0].strength == "topic"]
    # "0.2 lost on tightness" names the one it is of
    another = any(desk.name_starts[i] > last.end + BEHIND for i in topics)
    return (last.value == 0 and not topics) or (belittled and not another)


def _doubtful(desk: Desk, cue: Said) -> bool:
    """Whether the nothing is a target, a condition or somebody else's."""
    near = desk.kinds_between(cue.start - 5, cue.start)
    between = desk.words[max(0, cue.start - 5) : cue.start]
    return bool(near & {"target-before", "general", "past", "reported"}) and HARD not in between
