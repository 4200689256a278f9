"""Statements of what is no part of the gas installation, or that nobody knows. In: a statement and the talk. Out: yes or no.

Not allowed to know: what follows from a fault.
"""

import functools
import itertools

from fieldnote.extract.clauses.said import Statement
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.lexicon import FUNCTION, SKIP, lexicon
from fieldnote.extract.words.matcher import spell
from fieldnote.trade.spoken import spoken

_ARTICLES = frozenset("the a an her his their your that".split())
_BESIDE = frozenset("behind under by over above beside below near in on past through round".split())
_ROUND_IT = frozenset("bracket shelf housing cupboard cage stand".split())
_OF_A_BOX = frozenset("door lid hinge lock key cover latch".split())
_BEING = frozenset("is was are were has been being just all still".split())


def of_something_else(talk: Talk, statement: Statement) -> bool:
    """Whether the thing right before a condition is none of the gas installation's ("can't test, the extractor's broken")."""
    at = statement.head - 1
    while at >= 0 and talk.draft.tokens[at].norm in _BEING and at > statement.head - 4:
        at -= 1
    if at < 0 or talk.draft.tokens[at].pause or talk.draft.tokens[at].norm.removesuffix("s") not in _foreign():
        return False
    led = at - 1 - (talk.draft.tokens[at - 1].norm in _ARTICLES)
    named = any(target.names for target in statement.targets)
    if named and led >= 0 and talk.draft.tokens[led].norm in _BESIDE:
        return False  # "the pipe behind the fridge is rusted"
    return not any(target.end > at for target in statement.targets)


def of_a_housing(talk: Talk, statement: Statement) -> bool:
    """ "Meter box door's off its hinges", "meter bracket rotted away": what stands round a meter, not the meter."""
    at = statement.head - 1
    while at >= 0 and talk.draft.tokens[at].norm in _BEING and at > statement.head - 4:
        at -= 1
    row = [token.norm.removesuffix("s") for token in talk.draft.tokens[max(0, at - 2) : at + 1]]
    if len(row) < 2 or talk.draft.tokens[at].pause:
        return False
    box = row[-2] == "box" or row[-3:-1] == ["meter", "cupboard"]
    return (row[-1] in _ROUND_IT and row[-2] == "meter") or (row[-1] in _OF_A_BOX and box)


def of_an_unknown(talk: Talk, statement: Statement) -> bool:
    """Whether a sentence begins with one word that nobody knows and what is wrong with it ("Pump noisy. Filter clogged.")."""
    tokens, at = talk.draft.tokens, statement.head - 1
    if at < 1 or statement.targets or tokens[at].pause or tokens[at - 1].pause != ".":
        return False
    word = tokens[at].norm
    known = lexicon().at(tokens, at) is not None or word in FUNCTION | SKIP or word.endswith(("ly", "ed", "ing", "s"))
    return not known and word.isalpha()


@functools.cache
def _foreign() -> frozenset[str]:
    found = spoken().classes["foreign"]
    return frozenset(itertools.chain(*map(spell, found.says)))
