"""Names beside a figure that can take it. In: the desk and a figure. Out: `Claim`, the nearest name before it or right behind it.

Not allowed to know: which of two names takes the figure, and what takes it where no name does (that is `binding`), limits.
"""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass

from fieldnote.extract.figures.carrying import AT, bare_one, meter_like, meter_string
from fieldnote.extract.figures.desk import COMBUSTION, ENDS, PRESSURES, SIDES, TESTS, Desk
from fieldnote.extract.figures.loose import weak_fits
from fieldnote.extract.figures.measures import Figure, Said, in_seconds
from fieldnote.extract.figures.spoken import HARD, SOFT

REACH = 14
BARE_REACH = 8
REACH_ON = 9  # words from "drop out on" to its time
IN_TALK = 4
CONNECTORS = frozenset(
    "off on at of so the for in through her his its it a dead there that thats with meter cooker hob appliance boiler "
    "fire".split()
)
TIED = frozenset("on at of for in with off".split())
DANGLING = frozenset("after at for to of".split())  # a name that ends so has its figure behind it
SOFT_WORDS = frozenset(
    "is was at of a an the about around now as found left reading reads read came in out with to it its on dead bang just only "
    "up down giving gives got get say near enough measured sat sitting running coming then and so that thats max min front "
    "rear back right hand centre middle set currently ive im were be been , showing shows after before comes for by went "
    "pressure test time there here all roughly nearly over under than greater more less better exactly i have has had gone one "
    "both same still again good full stayed held holding steady dropped dropping fell rose never got above below weak low high "
    "fine ok okay alright lovely poor strong healthy today far small large big medium little minimum maximum respectively gave "
    "bit touch shade tad drops falls well me made manages managed reached hit wok grill oven ring burner simmer top bottom "
    "which slow quick doing making putting kicking chucking throwing managing pushing".split()
)
_WAIT = (
    ["let", "me"], ["hang", "on"], ["bear", "with"], ["hold", "on"], ["wait", "a"], ["just", "a"], ["give", "me"],
    ["one", "second"], ["one", "sec"], ["one", "moment"], ["just", "getting"], ["just", "let"], ["wait", "for"], ["im", "just"],
    ["ill", "just"],
)  # fmt: skip
_PLATES = frozenset("plate plates badge badges".split())
_CAN = frozenset("can could wont cant wouldnt never doesnt dont".split())
_LIT = frozenset("on lit going running firing burning off out".split())
_SLOWEST = 200  # seconds: what lets go later was burning until then
_PARTS = frozenset({"flue-temperature", "vent-area"})  # quantities that are called by a part
TIMES_OF_A_PART = frozenset(("drop-out-time", "hold-in-time"))


@dataclass(frozen=True, slots=True)
class Claim:
    """A name that can take a figure: `gap` counts the words between that say something of their own."""

    index: int
    quantity: str
    strength: str
    gap: int
    tied: bool = False
    free: bool = True


def name_before(desk: Desk, figure: Figure) -> Claim | None:
    """The nearest name before a figure that can take it."""
    index = bisect_right(desk.name_ends, figure.start) - 1
    while index >= 0 and figure.start - desk.talk.names[index].end <= REACH + 6:
        name = desk.talk.names[index]
        if index in desk.used:
            return None
        index -= 1
        if not _in_reach(desk, name, figure) or _dated(desk, name, figure):
            continue
        gap, distance = _gap(desk, name.end, figure.start)
        if heads_list(desk, name, figure):
            gap, distance = 0, 0
        if (
            desk.words[name.start] in ("with", "at", "on")
            and index >= 0
            and (own := _taken_with(desk, index + 1, figure))
        ):
            return own
        if named := _fitting(desk, name, figure, gap, distance):
            return Claim(index + 1, named[0], named[1], gap)
    return None


def _dated(desk: Desk, name: Said, figure: Figure) -> bool:
    """ "Regulator's stamped 2013, so changed it: 37 dead standing": what is stamped was a year."""
    years = desk.figures_ending(name.end, figure.start) if name.names[0].quantity == "injector-size" else []
    return any(year.start - name.end <= 1 and year.numeral.is_year for year in years)


def _taken_with(desk: Desk, index: int, figure: Figure) -> Claim | None:
    """ "Burner pressure with everything lit, 18.8", "CO2 at max is 9.2": what is named, and how it was taken."""
    name = desk.talk.names[index - 1]
    beside = name.end == desk.talk.names[index].start and index - 1 not in desk.used
    named = _fitting(desk, name, figure, 0, 0) if beside and name.names[0].quantity in PRESSURES | COMBUSTION else None
    return Claim(index - 1, named[0], named[1], 0) if named and named[1] == "name" else None


def heads_list(desk: Desk, name: Said, figure: Figure) -> bool:
    """Whether a name in the plural heads a list by places: "thermocouples on this one: front left 21"."""
    placed = desk.place_between(max(name.end, figure.start - 4), figure.start) or desk.words[figure.start - 1] in SIDES
    return desk.words[name.end - 1].endswith("s") and placed


def _in_reach(desk: Desk, name: Said, figure: Figure) -> bool:
    """Whether a name still counts: in the same sentence, or as the heading of a list by places."""
    between = desk.words[name.end : figure.start]
    if _meanwhile(desk, name.end, figure.start):
        return len(between) <= REACH
    if HARD not in between or between == [HARD]:
        return len(between) <= REACH or desk.place_between(name.end, figure.start)
    heading = desk.words[name.end - 1].endswith("s") and between.count(HARD) == 1
    return heading and desk.place_between(name.end + between.index(HARD), figure.start)


def _meanwhile(desk: Desk, start: int, end: int) -> bool:
    """ "Working pressure, let me get the gauge on... 19.7": only what is done until the figure can be read stands between."""
    words = [word for word in desk.words[start:end] if word != SOFT]
    words = words[:-1] if words[-1:] == [HARD] else words
    return HARD not in words and words[:2] in _WAIT


def _gap(desk: Desk, start: int, end: int) -> tuple[int, int]:
    """Words between that say something of their own, and all words; targets and their figures count for nothing."""
    if _meanwhile(desk, start, end):
        return 0, 0
    aside = _how_taken(desk, start, end)
    between = [at for at in range(start, end) if at not in desk.quiet and at not in aside]
    own = (
        desk.words[at] not in SOFT_WORDS and desk.words[at] != HARD and not _at_appliance(desk, at) for at in between
    )
    fallen = desk.words[end - 2 : end] in (["drops", "from"], ["falls", "from"], ["dropped", "from"], ["fell", "from"])
    return sum(own) - fallen, len(between)


def _how_taken(desk: Desk, start: int, end: int) -> range:
    """ "Working, with the boiler and the hob on, 19.4": what was lit is no word of its own between a name and its figure."""
    words = desk.words[start:end]
    if "with" not in words:
        return range(0)
    first = words.index("with")
    last = next((at for at in range(first, len(words)) if words[at] in _LIT), None)
    return range(start + first, start + last + 1) if last is not None and last - first <= REACH_ON + 2 else range(0)


def _at_appliance(desk: Desk, at: int) -> bool:
    """Whether a word is where something was read: "working at the hob nineteen eight"."""
    led = desk.words[at - 2 : at] in (["at", "the"], ["on", "the"], ["to", "the"]) or desk.words[at - 1] == "at"
    return desk.words[at] in AT and led


def name_after(desk: Desk, figure: Figure) -> Claim | None:
    """The name that stands right after a figure: "nineteen working", "nineteen eight on the working"."""
    first = bisect_left(desk.name_starts, figure.end)
    for index in range(first, min(first + 2, len(desk.talk.names))):
        between = _without_place(desk.words[figure.end : desk.talk.names[index].start])
        if index in desk.used or len(between) > 3 or not set(between) <= CONNECTORS:
            return None
        if _dangling(desk, desk.talk.names[index]):
            return None
        if named := _fitting(desk, desk.talk.names[index], figure, 0, len(between)):
            if named[0] in _PARTS and not figure.units and _of_the_next(desk, desk.talk.names[index], between):
                return None
            if named[0] in PRESSURES and _PLATES & set(desk.words[figure.start - 3 : figure.start]):
                return None  # "plate says thirteen, standing twenty one": what it should be
            return _claim_after(desk, index, named, between, sure=bool(figure.units) and not between)
    return None


def _of_the_next(desk: Desk, name: Said, between: list[str]) -> bool:
    """ "A fresh one in and it's twenty four flue liner's good": a part that the next statement begins with, no quantity."""
    row = [token for token in desk.words[name.end : name.end + 1] if token not in (HARD, SOFT, "temp", "temperature")]
    figure = bisect_left(desk.figure_starts, name.end)
    told = figure < len(desk.figure_starts) and desk.figure_starts[figure] == name.end
    return bool(row) and not told and TIED.isdisjoint(between) and not row[0].startswith("degree")


def _without_place(between: list[str]) -> list[str]:
    """The words up to a name without the place at the end: "seventy seven in the front left jet"."""
    if len(between) > 2 and {between[-1]} <= SIDES and {between[-2]} <= ENDS:
        return between[:-2]
    return between


def _dangling(desk: Desk, name: Said) -> bool:
    """Whether a name must have its figure behind it: "went in", "held on for" with a figure there."""
    led = leads_figure(desk, name)
    at = bisect_left(desk.figure_starts, name.end)
    told = at < len(desk.figure_starts) and desk.figure_starts[at] - name.end <= 1
    if desk.words[name.start] == "in" and desk.words[name.end - 1] in ("co", "o") and told:
        return True  # "in the room CO is nought"
    return desk.words[name.start] == "went" or (led and desk.words[name.end - 1] in DANGLING)


def leads_figure(desk: Desk, name: Said) -> bool:
    """Whether a figure stands right behind a name."""
    at = bisect_left(desk.figure_starts, name.end)
    return at < len(desk.figure_starts) and desk.figure_starts[at] == name.end


def _claim_after(desk: Desk, index: int, named: tuple[str, str], between: list[str], *, sure: bool) -> Claim:
    name = desk.talk.names[index]
    follows = bisect_left(desk.figure_starts, name.end)
    nearest = desk.figure_starts[follows] if follows < len(desk.figure_starts) else 10**9
    if nearest < 10**9 and named[0] in COMBUSTION and desk.value(named[0], desk.talk.figures[follows]) is None:
        nearest = 10**9  # "8.8 CO2 with seventy one parts": the next figure cannot be the name's
    if named[0] in TESTS.values() and nearest < 10**9 and in_seconds(desk.talk.figures[follows]) is not None:
        nearest = 10**9  # "0.3 drop over two minutes": a time is no drop
    another = index + 1 < len(desk.talk.names) and desk.name_starts[index + 1] < nearest
    if (
        named[0] in TIMES_OF_A_PART
        and desk.after(name.end) in ("on", "of", "for", "timed", "took")
        and follows < len(desk.talk.figures)
    ):
        # "back left eighteen, drop out on that new one thirty seven seconds": the time that the name is said of follows
        told = nearest - name.end <= REACH_ON and in_seconds(desk.talk.figures[follows]) is not None and not another
        sure = sure and not told
        nearest = name.end if told else nearest
    sure = sure and not (
        nearest == name.end and named[0] == "rated-input"
    )  # "twenty seven kilowatts, plate's twenty six"
    gap = desk.words[name.end : nearest] if nearest - name.end <= 3 and not another else [HARD]
    tied = bool(TIED & set(between)) or desk.words[name.start] in TIED
    return Claim(index, named[0], named[1], 0, tied, sure or HARD in gap or SOFT in gap)


def _fitting(desk: Desk, name: Said, figure: Figure, gap: int, distance: int) -> tuple[str, str] | None:
    """Which of the quantities that a name can name takes the figure, and how strong the name is for it."""
    for named in name.names:
        found = desk.value(named.quantity, figure) if named.strength != "topic" else None
        if found is None or (named.quantity == "meter-reading") != _for_meter(named.quantity, figure):
            continue
        if named.quantity == "gas-rate" and not figure.units and desk.after(figure.end) in ("gross", "net"):
            continue  # "gas rate works out at 26.5 gross": the input it comes to
        if named.quantity in TIMES_OF_A_PART and _vague(desk, name, figure):
            continue
        if named.quantity == "drop-out-time" and found.value > _SLOWEST:
            continue  # "lets go after five minutes": how long it burns
        weak = named.strength == "weak"
        if weak and not weak_fits(desk, name, figure, desk.quantities[named.quantity], found.value):
            continue
        if bare_one(figure) and (weak or distance > 2 or name.start >= figure.end or _the_one(desk, name)):
            continue
        if figure.units or _bare_fits(desk, figure, named.quantity, weak, gap, distance):
            return named.quantity, named.strength
    return None


def _vague(desk: Desk, name: Said, figure: Figure) -> bool:
    """ "Lets go after a minute or so", "won't hold in more than half a minute": nobody stopped that time."""
    article = figure.numeral.needs_unit and not figure.added and any(unit.id == "min" for unit in figure.units)
    before = desk.words[max(0, name.start - 4) : figure.start]
    return article and (desk.words[figure.end : figure.end + 2] == ["or", "so"] or not _CAN.isdisjoint(before))


def _the_one(desk: Desk, name: Said) -> bool:
    """ "Has he got a CO one": the word stands for a thing."""
    return name.start > 0 and desk.words[name.start - 1] in ("a", "the", "another", "no", "any")


def _for_meter(quantity: str, figure: Figure) -> bool:
    return meter_like(figure) if quantity == "meter-reading" else meter_string(figure)


def _bare_fits(desk: Desk, figure: Figure, quantity: str, weak: bool, gap: int, distance: int) -> bool:
    """Whether a name reaches a figure without a unit: nothing of its own between, or its like is in talk."""
    if distance > (REACH if desk.place_between(figure.start - 4, figure.start) else BARE_REACH):
        return False
    if gap == 0:
        return True
    if weak:
        if quantity == "injector-size" and _should_have_been(desk, figure) and gap <= IN_TALK:
            return True
        like = next((group for group in (PRESSURES, COMBUSTION) if quantity in group), frozenset())
        return gap <= IN_TALK and desk.recent(like, figure.start, 20)
    return not figure.numeral.needs_unit


def _should_have_been(desk: Desk, figure: Figure) -> bool:
    """ "Injector is wrong, somebody put 1.28, should be 0.94": what it ought to be follows."""
    return "target-before" in desk.kinds_between(figure.end, figure.end + 3)
