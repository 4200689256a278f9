"""Endings that were swallowed: "hose scuff to the braid" is scuffed, "I've clean it" has cleaned. In: tokens. Out: the same with
the ending, where nothing else can be meant. Not allowed to know: what was said before in the talk.
"""

import functools
from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.words.forms import past
from fieldnote.extract.words.lexicon import lexicon
from fieldnote.extract.words.tokens import Token
from fieldnote.trade.spoken import spoken

LONGEST = 3  # words of a part's name
_BEING = frozenset("is are was were been theyre isnt arent wasnt werent half partly fully all badly completely".split())
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
    "to through across at on in along right all and by with from off down under out up over again so but around round".split()
)
# what stands behind work that was done
_DONE_TO = frozenset(
    "the it them that this those these both all out up off down on in a an her his my its each every".split()
)


def whole(tokens: list[Token]) -> None:
    """Give back the ending to a fault behind its part or behind "is", and to work behind "I've"."""
    faults, works = _faults(), _works()
    for at in range(1, len(tokens)):
        word, before = tokens[at].norm, tokens[at - 1]
        if before.pause or (word not in faults and word not in works):
            continue
        if word in works and works[word] != word and _mine(tokens, at):
            tokens[at] = replace(tokens[at], norm=works[word])
        elif word in faults and _bare(tokens, at) and (_is(before) or _of_a_part(tokens, at)):
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
    if (name.norm.endswith("s") and not name.clitic) or not (tokens[at].pause or tokens[at + 1].norm in _BEHIND):
        return False  # "hoses perish": they always do
    for start in range(at - 1, max(at - 1 - LONGEST, -1), -1):
        hit = lexicon().at(tokens, start)
        if hit is not None and hit.end > at:
            return False
        if hit is not None and hit.end == at:
            return any(s.kind == "component" and not s.note.startswith("weak") for s in hit.values)
    return False


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
