"""Statements of what is no part of the gas installation, or that nobody knows. In: a statement and the talk. Out: yes or no.

Not allowed to know: what follows from a fault.
"""

import bisect
import functools
import itertools
from collections.abc import Sequence

from fieldnote.extract.clauses.said import Statement
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.words.lexicon import FUNCTION, SKIP, lexicon
from fieldnote.extract.words.matcher import spell
from fieldnote.trade.spoken import spoken

_ARTICLES = frozenset("the a an her his their your that".split())
_BESIDE = frozenset("behind under by over above beside below near in on past through round".split())
_LEADING = _BESIDE | frozenset(
    "with to from off at for against onto into along up down across inside on like as than where".split()
)
_IT = frozenset("it its them that this here there".split())
_WHERE, _NEAR = 4, 9  # words that say where a thing is; words over which "it" is the thing named last
_LED_TO_A_BOX = frozenset({"ventilation", "bonding", "hose", "emergency-control"})
_ROUND_IT = frozenset("bracket shelf housing cupboard cage stand".split())
_DOES_NOTHING = frozenset({"noisy", "dirty", "discoloured"})  # what is wrong with a thing and harms no other
_IN_A_BOX = frozenset("dirty blocked partly-blocked wet damaged broken cracked".split())
_PIECES = frozenset("button switch door handle hinge lid glass knob flap cover light plug lead cable flex".split())
_PLUMBED, _WATERED = (
    frozenset("trap pipe tap hose valve waste".split()),
    frozenset("sink radiator shower toilet dishwasher urn".split()),
)
_THERE = frozenset("and there theres no none".split())
_ANOTHER_JOB = frozenset("job house sheet here".split())  # last words of a remark that it is none of this visit
_NOT_OF_GAS = frozenset({"appliance", "door", "lid", "knob"})  # what a runner, a lamp, a shelf is taken for
_OF_A_BOX = frozenset("door lid hinge lock key cover latch".split())
_NAME = 4  # words of a name that nobody knows
_IN = frozenset("in on off across through along".split())
_RELATING = frozenset("that which thats".split())
_BEING = frozenset("is was are were has been being just all still".split())


def of_something_else(talk: Talk, statement: Statement) -> bool:
    """Whether the thing right before a condition is none of the gas installation's ("can't test, the extractor's broken"), or
    one that "it" stands for."""
    if _in_something_else(talk, statement):
        return True
    if _it_is_something_else(talk, statement) or _piece_of_a_stranger(talk, statement):
        return True
    if talk.draft.tokens[statement.head].norm in _THERE or _names_its_part(talk, statement):
        return False  # "been round all four walls and there isn't one", "plinth chain's hooked up"
    at = statement.head - 1
    while at >= 0 and talk.draft.tokens[at].norm in _BEING and at > statement.head - 4:
        at -= 1
    if at > 0 and not statement.targets and talk.draft.tokens[at].norm in _PIECES | _PLUMBED:
        # "the sink trap leaks"
        at -= not talk.draft.tokens[at - 1].pause and _is_foreign(talk.draft.tokens[at - 1].norm)
    told, at = at, _without_where(talk, at)
    if at < 0 or talk.draft.tokens[at].pause or not _is_foreign(talk.draft.tokens[at].norm):
        return False
    before = [target for target in statement.targets if target.end and target.start <= at]
    if talk.draft.tokens[at].norm == "lights" and any(target.end == at for target in before):
        return False  # "the rear left lights then pops out": a verb
    if any(target.end > at for target in before) or _where_it_is(talk, before, at):
        return False  # "the wok in the centre", "pipework in the hall cupboard is rusty"
    talk.stranger = at
    led = at - 1 - (talk.draft.tokens[at - 1].norm in _ARTICLES)
    named = any(target.names for target in statement.targets)
    if named and led >= 0 and talk.draft.tokens[led].norm in _LEADING:
        return False  # "the pipe behind the fridge is rusted"
    does = not statement.condition_ids & _DOES_NOTHING
    done_to = [
        t for t in statement.targets if does and t.end > statement.head and t.names
    ]  # "the telly's covered the vent"
    return not done_to and (told > at or not any(at < t.end <= statement.head for t in statement.targets))


def disowned(talk: Talk, by: Mention) -> None:
    """ "The lamp glass is cracked but that's nothing to do with the gas": what was just told is of no part of it; "her sister
    says her boiler bangs, but I'm not on that job": what somebody told of another house."""
    elsewhere = by.last in _ANOTHER_JOB
    for fact in talk.state.focus:
        late = fact.clause >= talk.state.clause - (2 if elsewhere else 1) and fact.status in ("present", "reported")
        other = fact.component in _NOT_OF_GAS or (elsewhere and fact.status == "reported")
        if late and other and not fact.actions and fact.condition != "ok":
            talk.story.drop(fact)
    talk.state.focus = ()


def _names_its_part(talk: Talk, statement: Statement) -> bool:
    """Whether a wording begins with a part of its own: "chain's hooked up", "spill test fine"."""
    hit = lexicon().at(talk.draft.tokens, statement.head, statement.head + 1)
    return hit is not None and any(sense.kind == "component" for sense in hit.values)


def _in_something_else(talk: Talk, statement: Statement) -> bool:
    """ "There's a crack in the tile behind", "a crack in her grill pan": a fault and the thing that it is in."""
    tokens, at = talk.draft.tokens, statement.head + statement.words
    if any(target.names for target in statement.targets) or not statement.condition_ids.isdisjoint({"ok", "passed"}):
        return False
    if at + 2 >= len(tokens) or tokens[at - 1].pause or tokens[at].pause or tokens[at].norm not in _IN:
        return False
    at += 1 + (tokens[at + 1].norm in _ARTICLES)
    thing = lexicon().at(tokens, at)  # the name of several words of what is no part
    none = thing is not None and thing.end > at + 1 and all(sense.kind == "nothing" for sense in thing.values)
    return (none and not statement.targets) or (tokens[at - 1].norm in _ARTICLES and _is_foreign(tokens[at].norm))


def _piece_of_a_stranger(talk: Talk, statement: Statement) -> bool:
    """ "Oven light button stuck", "the fridge door's broken": a button or door of what is no part of the installation."""
    named = [target for target in statement.targets if 0 < target.start < target.end <= statement.head]
    if not named:
        return False
    at = named[-1].start - 1
    near = statement.head - named[-1].end <= 2 and not talk.draft.tokens[at].pause
    piece, owner = talk.draft.tokens[named[-1].end - 1].norm.removesuffix("s"), talk.draft.tokens[at].norm
    pieces = piece in _PIECES or (piece in _PLUMBED and owner.removesuffix("s") in _WATERED)
    return near and pieces and named[-1].end - named[-1].start == 1 and _is_foreign(talk.draft.tokens[at].norm)


def _where_it_is(talk: Talk, before: Sequence[Target], at: int) -> bool:
    """Whether a thing only says where the part before it is."""
    last = max((target.end for target in before), default=at)
    between = talk.draft.tokens[last:at]
    return at - last <= _WHERE and any(token.norm in _LEADING for token in between)


def _without_where(talk: Talk, at: int) -> int:
    """Before the words that say where a thing is: "the shelf above it has gone yellow", "worktop by the hob's scorched"."""
    tokens = talk.draft.tokens
    for lead in range(at, max(at - _WHERE, 0), -1):
        if tokens[lead - 1].pause:
            break
        beside = tokens[lead].norm in _BESIDE and _is_foreign(tokens[lead - 1].norm)
        if beside and lead < at and tokens[lead + 1].norm in ("and", "but", "so"):
            break  # "she had a pan on and it was going lovely"
        if beside and (lead == at or tokens[lead + 1].norm not in _IT or lead + 1 == at):
            return lead - 1
    return at


def _is_foreign(word: str) -> bool:
    return word in _foreign() or word.removesuffix("s") in _foreign()


def _it_is_something_else(talk: Talk, statement: Statement) -> bool:
    """ "She asked was the splashback all right, it's cracked": a fault of the thing that was named last."""
    if not statement.pronoun or statement.condition_ids & {"ok", "passed"} or any(t.names for t in statement.targets):
        return False
    tokens, last = talk.draft.tokens, max(talk.spoken_at, statement.head - _NEAR)
    at = next((at for at in range(statement.head - 1, last - 1, -1) if _is_foreign(tokens[at].norm)), 0)
    led = at > 0 and tokens[at - 1].norm in _ARTICLES and not (at > 1 and tokens[at - 2].norm in _LEADING)
    return led or (talk.stranger >= last - 1 > 0)


def of_a_housing(talk: Talk, statement: Statement) -> bool:
    """ "Meter box door's off its hinges", "meter bracket rotted away": what stands round a meter, not the meter."""
    at = statement.head - 1
    while at >= 0 and talk.draft.tokens[at].norm in _BEING and at > statement.head - 4:
        at -= 1
    row = [token.norm.removesuffix("s") for token in talk.draft.tokens[max(0, at - 2) : at + 1]]
    if len(row) < 2 or talk.draft.tokens[at].pause:
        return False
    if any(t.component in _LED_TO_A_BOX and t.end > 0 and t.start < at - 2 for t in statement.targets):
        return False  # "vent holes in the meter box door are painted over"
    if row[-2:] in (["meter", "box"], ["meter", "cupboard"]) and statement.condition_ids & _IN_A_BOX:
        return True  # "meter box full of spiders"
    box = row[-2] == "box" or row[-3:-1] == ["meter", "cupboard"]
    return (row[-1] in _ROUND_IT and row[-2] == "meter") or (row[-1] in _OF_A_BOX and box)


def of_an_unknown(talk: Talk, statement: Statement) -> bool:
    """Whether a sentence begins with one word that nobody knows and what is wrong with it ("Pump noisy. Filter clogged.")."""
    tokens, at = talk.draft.tokens, statement.head - 1
    if at >= 1 and not statement.targets and (_names_what(talk, statement) or _that_was(talk, statement)):
        return True
    if at < 1 or statement.targets or tokens[at].pause or tokens[at - 1].pause != ".":
        return False
    word = tokens[at].norm
    known = lexicon().at(tokens, at) is not None or word in FUNCTION | SKIP or word.endswith(("ly", "ed", "ing", "s"))
    return not known and word.isalpha()


def _that_was(talk: Talk, statement: Statement) -> bool:
    """ "Put the baffle that was lying in the tray back on": what stands behind a name that nobody knows is told of that."""
    tokens, at = talk.draft.tokens, statement.head - 1
    at -= tokens[at].norm in _BEING and not tokens[at].clitic
    if at < 2 or tokens[at].norm not in _RELATING or tokens[at - 1].pause:
        return False
    word, lead = tokens[at - 1].norm, {token.norm for token in tokens[max(0, at - _NAME) : at - 1]}
    known = lexicon().at(tokens, at - 1) is not None or word in FUNCTION | SKIP
    return not known and word.isalpha() and bool(lead & _ARTICLES) and not _mentions(talk, at - 2, at)


def _names_what(talk: Talk, statement: Statement) -> bool:
    """ "Grill pan handle's broke": a sentence opens with a name of several words that nobody knows, and "is"."""
    tokens, end = talk.draft.tokens, statement.head
    while end > 1 and tokens[end - 1].norm in _BEING and not tokens[end - 1].pause:
        end -= 1
    start = end
    while start > 0 and not tokens[start - 1].pause and end - start <= _NAME:
        start -= 1
    row = [token.norm.removesuffix("s") for token in tokens[start:end]]
    opens = start > 0 and tokens[start - 1].pause == "." and 1 < len(row) <= _NAME
    is_so = opens and (tokens[end - 1].clitic or end < statement.head)
    return (
        is_so and row[-1].isalpha() and not any(m.start >= start and m.end <= end for m in _mentions(talk, start, end))
    )


def _mentions(talk: Talk, start: int, end: int) -> list[Mention]:
    """What is known of the words from one token to another."""
    at = bisect.bisect_left(talk.draft.mentions, start, key=lambda mention: mention.start)
    return [m for m in talk.draft.mentions[at : at + _NAME + 1] if m.start < end and m.kind != "det"]


@functools.cache
def _foreign() -> frozenset[str]:
    found = spoken().classes["foreign"]
    return frozenset(itertools.chain(*map(spell, found.says)))
