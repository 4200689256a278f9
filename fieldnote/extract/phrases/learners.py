"""English of those who learnt it as adults, as plain words: "door not close" doesn't close, "boiler no start" doesn't start,
"the tap left behind" stands at the back left. In: tokens. Out: the same in plain words.

Not allowed to know: what is said of what.
"""

import functools
import itertools
from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.words.forms import past, plural
from fieldnote.extract.words.lexicon import Sense, lexicon
from fieldnote.extract.words.tokens import Token
from fieldnote.trade.spoken import spoken

_REFUSING = frozenset("won't doesn't can't wouldn't don't didn't".split())
# behind which "not" denies a verb that is whole already: "might not hold", "so as not to", "why not clean it"
_WHOLE = frozenset(
    "may might would could should shall must will can do does did to or if why better rather is was are were be been had has "
    "have whether certainly id ill ought need dare itll thatll shell hell theyll youll well".split()
)
_MINE = frozenset("i we".split())
_SUBJECTS = frozenset("he she it they that this which who".split())
_NOUNS = frozenset("light start work turn hold run".split())  # "no light on the board", "no work needed"
_CLEAR = frozenset(  # behind "no" these are no nouns, or seldom: "no crack", "no heat", "no hang on"
    "start work light hold turn close open stay keep come touch reach sit shut spin ignite stop run make give press push "
    "return respond switch boil rotate move".split()
)
_DENYING = frozenset("not no doesnt wont dont didnt cant isnt".split())
_HOW = frozenset("even so always quite for back part re self".split())  # "not even a click"
_NEEDED = frozenset("needed done required to at on in from out of yet".split())  # behind a noun: "no work needed"
_SIDES = frozenset("left right".split())
_CORNERS = _SIDES | {"front", "back", "rear"}
_STANDING = frozenset("one burner ring place side of the at in on".split())  # before a side at the back
_OUTCOMES = frozenset(
    "work light hold start burn turn close stop run shut spark".split()
)  # what is told when it is mended
_ACTING = _OUTCOMES | frozenset("stay click make leak move come go smell lift drip jump stick catch drop".split())
_WELL = frozenset(
    "now good well fine ok okay again normal normally perfect perfectly easy easily already nice nicely".split()
)
_NAMES = frozenset({"component", "place", "appliance", "size", "group"})
_OPEN = frozenset("open clear level free empty set".split())  # how things are, and what they do
_ENDED = frozenset("month year week summer winter ago".split())
_DEGREED = frozenset("one is are was only left right also".split())
_LIT = frozenset({"burner", "burner-ring"})
_FREE = frozenset(
    {"", "and", "but", "now", "so", "because", "cos", "when", "before", "after", "already", "still", "sometimes"}
)
_PLURALS = frozenset({"strongs", "weaks"})
_COLOURS = frozenset("yellow orange blue".split())
_BURNING = _COLOURS | frozenset(
    "small low weak big high lazy short tall uneven jumping dancing lifting good strong nice ok okay fine".split()
)
_LONGEST = 8  # words of a wording
_BEYOND_IT = frozenset(
    "it the them this that these those her him us a an his by in on to with from my your its".split()
)


def plainly(tokens: list[Token]) -> None:
    """Put the plain words for what a learner says otherwise, where its neighbours make sure of it."""
    for at in range(len(tokens) - 1, 1, -1):
        denied, verb = tokens[at - 2 : at]
        kept = verb.norm in ("hold", "keep") and denied.norm in _DENYING and tokens[at].norm in ("flame", "fire")
        if kept and not (denied.pause or verb.pause or tokens[at].pause):
            del tokens[at]  # "not hold flame": what is not held in
    for at, token in enumerate(tokens):
        if token.norm == "already" and at > 1 and _done_already(tokens, at - 1):
            tokens[at - 1] = replace(tokens[at - 1], norm=past(tokens[at - 1].norm, spoken().irregular))
        rule = _RULES.get(token.norm)
        word = rule(tokens, at) if rule else ""
        if word:
            tokens[at] = replace(tokens[at], norm=word)


def _beyond(tokens: Sequence[Token], at: int) -> str:
    return tokens[at + 1].norm if at + 1 < len(tokens) and not tokens[at].pause else ""


def _before(tokens: Sequence[Token], at: int) -> str:
    return tokens[at - 1].norm if at and not tokens[at - 1].pause else ""


def _not(tokens: Sequence[Token], at: int) -> str:
    """ "Door not close", "it not light": doesn't; "I not change it": didn't."""
    before = _before(tokens, at)
    if before in _WHOLE or before.endswith("nt"):
        return ""
    if before in _MINE:
        return "didnt" if _works(tokens, at + 1) else ""
    return "doesnt" if _says_more(tokens, at) else ""


def _isnt(tokens: Sequence[Token], at: int) -> str:
    """ "Ring isn't lie flat", "it is not stay on": doesn't."""
    said = lexicon().at(tokens, at)
    told = said is not None and any(sense.kind == "condition" for sense in said.values)
    return "" if told or _beyond(tokens, at) in _OPEN else "doesnt" if _says_more(tokens, at) else ""


def _no(tokens: Sequence[Token], at: int) -> str:
    """ "Boiler no start", "spindle no turn with it"; a noun may stand behind "no" as well ("tap no play")."""
    before, verb = _before(tokens, at), _beyond(tokens, at)
    if before in _MINE and _works(tokens, at + 1):
        return "didnt"
    if verb in ("ok", "okay", "working", "lighting", "holding"):
        return "not"
    if verb not in _CLEAR or (verb == "hold" and _beyond(tokens, at + 1) == "on") or not _says_more(tokens, at):
        return ""
    named = _named(tokens, at)
    if verb in _NOUNS:
        further = _beyond(tokens, at + 1)
        of_it = {sense.id for sense in named if sense.kind == "component"} & {"burner", "pilot", "appliance", "boiler"}
        acting = verb not in ("light", "start", "work") or of_it or any(s.kind == "appliance" for s in named)
        acting = acting or (verb == "work" and bool(named))
        return "doesnt" if acting and further not in _NEEDED and (named or before in _SUBJECTS) else ""
    return "doesnt" if named or before in _SUBJECTS or before in ("but", "and") else ""


def _little(tokens: Sequence[Token], at: int) -> str:
    """ "Back one little dirty", "flame is little yellow": a bit, and no small burner."""
    hit = lexicon().at(tokens, at + 1) if at + 1 < len(tokens) and not tokens[at].pause else None
    fault = hit is not None and any(s.kind == "condition" and s.id != "ok" for s in hit.values)
    fault = fault and hit is not None and not any(s.kind in _NAMES for s in hit.values)
    return "bit" if fault and _before(tokens, at) in _DEGREED and not _parts_next(tokens, hit.end if hit else 0) else ""


def _parts_next(tokens: Sequence[Token], at: int) -> bool:
    return at < len(tokens) and not tokens[at - 1].pause and _parts(tokens, at)


def _says_more(tokens: Sequence[Token], at: int) -> bool:
    """Whether "doesn't" and the verb behind are a wording, and one no shorter than the words as they stand."""
    if _beyond(tokens, at) not in _verbs():
        return False
    row = tokens[at : at + _LONGEST]
    said, meant = lexicon().at(row, 0), lexicon().at([replace(row[0], norm="doesnt"), *row[1:]], 0)
    return meant is not None and meant.end > 1 and (said is None or meant.end >= said.end)


def _done_already(tokens: Sequence[Token], at: int) -> bool:
    """ "Jet block, clean already": the work was done; what "is clean already" was found so."""
    faulty = tokens[at - 1].norm not in _WHOLE | _MINE and not tokens[at].pause and not tokens[at - 1].clitic
    hit = lexicon().at(tokens, at)
    worn = hit is not None and any(s.kind == "condition" and s.id != "ok" for s in hit.values)  # "wire burn already"
    return faulty and _works(tokens, at) and not worn


def _works(tokens: Sequence[Token], at: int) -> bool:
    hit = lexicon().at(tokens, at) if at < len(tokens) else None
    return hit is not None and any(sense.kind == "work" and sense.note == "base" for sense in hit.values)


def _named(tokens: Sequence[Token], at: int) -> tuple[Sense, ...]:
    """What the longest name of a part, place or appliance stands for that ends right before a word."""
    names: tuple[Sense, ...] = ()
    for start in range(at - 1, max(at - 4, -1), -1):
        hit = lexicon().at(tokens, start)
        if hit is not None and hit.end == at:
            found = tuple(s for s in hit.values if s.kind in _NAMES)
            names = found or names
        if start and tokens[start - 1].pause:
            break
    return names if at and not tokens[at - 1].pause else ()


def _behind(tokens: Sequence[Token], at: int) -> str:
    """ "Tap left behind is hard", "the burner right behind": at the back; "was left behind", "right behind it" are nothing so."""
    before, after = _before(tokens, at), _beyond(tokens, at)
    if after in _SIDES:
        part = at + 2 < len(tokens) and not tokens[at + 1].pause and _parts(tokens, at + 2)
        return "" if part or before in ("from", "run", "runs", "goes") else "back"
    if before not in _SIDES or after in _BEYOND_IT or at < 2 or tokens[at - 2].pause:
        return ""
    led = tokens[at - 2].norm
    named = led not in ("place", "places") and any(s.kind in ("component", "size") for s in _named(tokens, at - 1))
    return "back" if named or led in _STANDING else ""


def _parts(tokens: Sequence[Token], at: int) -> bool:
    hit = lexicon().at(tokens, at)
    return hit is not None and any(sense.kind == "component" for sense in hit.values)


@functools.cache
def _verbs() -> frozenset[str]:
    """The verbs that something is said not to do, by the trade's wordings of what is wrong."""
    said = itertools.chain.from_iterable(
        (*one.says, *itertools.chain.from_iterable(limit.says for limit in one.limits))
        for one in spoken().conditions.values()
    )
    split = (wording.split() for wording in said)
    return (
        frozenset(words[1] for words in split if len(words) > 1 and words[0] in _REFUSING and words[1].isalpha()) - _HOW
    )


def _is(tokens: Sequence[Token], at: int) -> str:
    """ "The electrodes is cracked": are; "it is having a dirty jet": has got one."""
    if _beyond(tokens, at) == "having":
        return "has" if tokens[at].norm == "is" else "have"
    if tokens[at].norm == "are":
        return ""
    before = _before(tokens, at)
    if (
        before in _ENDED
        and at > 1
        and tokens[at - 2].norm in ("last", "years", "months", "weeks", "year", "month", "week")
    ):
        return "its"  # "changed the hose last month is good"
    name = before.endswith("s") and not tokens[at - 1].clitic and _named(tokens, at)
    several = bool(name) and any(s.kind == "component" and s.note in _PLURALS for s in name or ())
    return "are" if several else ""


def _having(tokens: Sequence[Token], at: int) -> str:
    return "got" if _before(tokens, at) in ("has", "have") else ""


def _fire(tokens: Sequence[Token], at: int) -> str:
    """ "Right front fire too small", "the fire is yellow": the flame."""
    row = [token.norm for token in tokens[at + 1 : at + 4]] if not tokens[at].pause else []
    told = next((word for word in row if word not in ("is", "very", "too", "little", "bit", "a", "so", "now")), "")
    if row[:2] in (["not", "come"], ["no", "come"], ["doesnt", "come"]):
        return "flame"
    if row[:1] and row[0] in _CORNERS and _before(tokens, at) == "no":
        return "flame"  # "back two no fire front two ok": no fire front
    if told not in _BURNING:
        return ""
    cornered = any(s.kind == "group" or (s.kind == "place" and "-" in s.id) for s in _named(tokens, at))
    return "flame" if cornered or told in _COLOURS or "too" in row[:2] else ""


def _goes(tokens: Sequence[Token], at: int) -> str:
    """ "Now boiler work", "the burner light now", "switch wet and it click": works, lights, clicks."""
    verb, before, after = tokens[at].norm, _before(tokens, at), _beyond(tokens, at)
    if before == "it":
        lead = _before(tokens, at - 1)
        free = lead in _FREE or (at > 1 and not tokens[at - 2].pause and bool(_named(tokens, at - 1)))
        return plural(verb) if free else ""
    if verb not in _OUTCOMES or (after and after not in _WELL):
        return ""
    names = _named(tokens, at)
    ids = {s.id for s in names if s.kind in ("component", "appliance")}
    if not ids or before.endswith("s") or (verb in ("light", "burn") and not ids <= _LIT):
        return ""
    start = at - 1
    while start and not tokens[start - 1].pause and tokens[start].norm != "now" and start > at - 4:
        start -= 1
    now = "now" in (after, tokens[start].norm) or after in ("again", "already")
    return plural(verb) if now else ""


_RULES = {
    **dict.fromkeys(_ACTING, _goes),
    "is": _is, "are": _is, "little": _little, "isnt": _isnt, "arent": _isnt, "wasnt": _isnt, "having": _having, "fire": _fire,
    "not": _not, "no": _no, "behind": _behind,
}  # fmt: skip
