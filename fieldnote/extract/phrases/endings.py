"""Endings that were swallowed: "hose scuff to the braid" is scuffed, "I've clean it" has cleaned; and words written for what
sounds like them: "knob's lose" is loose. In: tokens. Out: the same as they were said, where nothing else can be meant. Not
allowed to know: what was said before in the talk.
"""

import functools
from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.phrases.misheard import heard
from fieldnote.extract.words.dialect import misheard_states
from fieldnote.extract.words.forms import past
from fieldnote.extract.words.lexicon import Sense, lexicon
from fieldnote.extract.words.tokens import Token
from fieldnote.trade.spoken import spoken

LONGEST = 3  # words of a part's name
_BEING = frozenset(
    "is are was were been theyre isnt arent wasnt werent half part partly fully all badly completely".split()
)
_THERE = frozenset("theres heres wheres whats".split())  # behind these stands a name
_DOING = frozenset("ive weve".split())
_JUST = frozenset("just also now already since then".split())
_OTHERWISE = frozenset(  # other words than the verb
    "blue brown dull yellow severe secure separate part pass waste tire sing says root shade brick cock groove smoke score "
    "rust soot fluff muck silt sludge froth foam stain coke crust ridge ripple track steam bubble powder plug fold "
    "corkscrew banana carbon".split()
)
# what stands behind a fault of a part
_BEHIND = frozenset(
    "to through across at on in along right all and by with from off down under out up over again so but around round behind "
    "underneath where near already now because must need needs no inside also too last two three four five six only".split()
)
_ARTICLES = frozenset("a an got left right".split())
_TELLING = _BEING - {"all"} | frozenset(
    "a bit very really quite gone well totally too looks just went now has have got also slightly".split()
)
_WANTING = frozenset("needs need wants want so which".split())
_CORNER = 3  # words of a corner's name
_MINE = frozenset("i we ive weve its thats rear back front um er erm".split())
# what stands behind work that was done
_DONE_TO = frozenset(
    "the it them that this those these both all out up off down on in a an her his my its each every".split()
)


def whole(tokens: list[Token]) -> None:
    """Give back the ending to a fault behind its part or behind "is", and to work behind "I've"."""
    faults, works, states = _faults(), _works(), misheard_states()
    for at in range(1, len(tokens)):
        word, before = tokens[at].norm, tokens[at - 1]
        if word in states and not before.pause and _a_state(tokens, at):
            tokens[at] = replace(tokens[at], norm=states[word])
            continue
        if before.pause or (word not in faults and word not in works):
            continue
        if word in works and works[word] != word and _mine(tokens, at):
            tokens[at] = replace(tokens[at], norm=works[word])
        elif (
            word in faults
            and _bare(tokens, at)
            and (_is(before) or _of_a_part(tokens, at) or _before_a_part(tokens, at))
        ):
            tokens[at] = replace(tokens[at], norm=faults[word])


def _mine(tokens: Sequence[Token], at: int) -> bool:
    """Whether work stands behind "I've" and before what it is done to."""
    who = tokens[at - 1 - (at > 1 and tokens[at - 1].norm in _JUST)]
    behind = tokens[at].pause or (at + 1 < len(tokens) and tokens[at + 1].norm in _DONE_TO)
    return bool(behind) and who.norm in _DOING and not who.pause


def _bare(tokens: Sequence[Token], at: int) -> bool:
    """Whether a word says no fault as it stands."""
    hit = lexicon().at(tokens, at)
    return hit is None or all(s.kind != "condition" or s.note == "bare" for s in hit.values)


def _is(word: Token) -> bool:
    return (word.clitic and word.norm not in _THERE) or word.norm in _BEING


def _of_a_part(tokens: Sequence[Token], at: int) -> bool:
    """Whether the name of a part ends right before a word, and the word is no part of it."""
    name = tokens[at - 1]
    if (name.norm.endswith("s") and not name.clitic) or not (tokens[at].pause or _goes_on(tokens, at + 1)):
        return False  # "hoses perish": they always do
    names = _named(tokens, at) or _named(tokens, _placed(tokens, at))
    return any(s.kind == "component" and not s.note.startswith("weak") for s in names)


def _named(tokens: Sequence[Token], at: int) -> tuple[Sense, ...]:
    """What the longest name stands for that ends right before a word; nothing where the word belongs to it."""
    names: tuple[Sense, ...] = ()
    for start in range(at - 1, max(at - 1 - LONGEST, -1), -1):
        hit = lexicon().at(tokens, start) or heard(tokens, start)
        if hit is not None and hit.end > at:
            return ()
        if hit is not None and hit.end == at and any(s.kind in ("component", "place") for s in hit.values):
            names = hit.values
        if tokens[start - 1].pause:
            break
    return names


def _placed(tokens: Sequence[Token], at: int) -> int:
    """Where the corner begins that stands right before a word ("knob front left melted"); 0 where none does."""
    for start in range(max(at - _CORNER, 0), at):
        hit = lexicon().at(tokens, start)
        if hit is not None and hit.end == at and any(s.kind == "place" and "-" in s.id for s in hit.values):
            return start
    return 0


def _a_state(tokens: Sequence[Token], at: int) -> bool:
    """Whether a part or corner is named before a word ("is a bit" between), and nothing stands behind that it leads to."""
    if not (tokens[at].pause or _goes_on(tokens, at + 1) or _named_next(tokens, at + 1)):
        return False
    start = at
    while start > 1 and tokens[start - 1].norm in _TELLING and not tokens[start - 1].pause:
        start -= 1
    return any(s.kind == "component" or (s.kind == "place" and "-" in s.id) for s in _named(tokens, start))


def _named_next(tokens: Sequence[Token], at: int) -> bool:
    """Whether a part, or what is wanted, is named next."""
    hit = lexicon().at(tokens, at) or heard(tokens, at)
    named = hit is not None and any(s.kind == "component" and not s.note.startswith("weak") for s in hit.values)
    return named or tokens[at].norm in _WANTING


def _before_a_part(tokens: Sequence[Token], at: int) -> bool:
    """ "A block jet rear right", "front left perish seal": whether an article or a corner stands before, and a part behind."""
    led = tokens[at - 1].norm in _ARTICLES
    if tokens[at].pause or not led:
        return False
    hit = lexicon().at(tokens, at + 1) or heard(tokens, at + 1)
    return hit is not None and any(s.kind == "component" and not s.note.startswith("weak") for s in hit.values)


def _goes_on(tokens: Sequence[Token], at: int) -> bool:
    """Whether a word may follow a fault: "to the braid", "cleaned it out", "front right", "i've"."""
    if tokens[at].norm in _BEHIND | _MINE:
        return True
    hit = lexicon().at(tokens, at)
    if hit is not None and hit.end < len(tokens) and tokens[hit.end].norm in ("already", "now"):
        return any(s.kind == "work" and s.note == "base" for s in hit.values)  # "jet block clean already"
    return hit is not None and any(
        s.kind in ("place", "component") or (s.kind == "work" and s.note == "done" and tokens[at].norm.endswith("ed"))
        for s in hit.values
    )


@functools.cache
def _faults() -> dict[str, str]:
    """Verbs without their ending, and with it, as far as that says a fault."""
    said = (word for id_, one in spoken().conditions.items() if id_ != "ok" for word in one.says)
    ended = [word for word in said if " " not in word and word.endswith("ed")]
    pairs = ((base, word) for word in ended for base in (word[:-1], word[:-2], word[:-3]))
    pairs = ((base, word) for base, word in pairs if past(base, {}) == word)
    return {base: word for base, word in pairs if len(base) > 3 and base not in _OTHERWISE}


@functools.cache
def _works() -> dict[str, str]:
    """Work without its ending, and with it."""
    verbs = (verb for work in spoken().actions.values() for verb in work.verbs if " " not in verb)
    return {verb: past(verb, spoken().irregular) for verb in verbs}
