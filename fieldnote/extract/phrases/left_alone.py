"""What somebody wants left, and a part that he says he leaves as it is ("cleared the injector, the cap I'm leaving").

In: mentions and tokens of a talk. Out: the same mentions, those parts marked as over.

Not allowed to know: what was said of them.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.phrases.spot import Spot
from fieldnote.extract.words.tokens import Token

_I = frozenset("i ive im ill we weve were well".split())
_PERSONS = frozenset(
    "he she they customer customers tenant tenants landlord landlady lady gentleman owner owners client occupier agent i we "
    "who husband wife daughter son".split()
)
_LEAVE = frozenset("left leaving leave".split())
# what is left behind these words is something else, or is left in a certain way
_HOW = frozenset(
    "it them that those him her me off on out in open shut closed isolated disconnected capped turned with to at by running "
    "soaking behind down up loose switched for because cos where".split()
)


def marked(found: Sequence[Mention], tokens: Sequence[Token]) -> list[Mention]:
    """The mentions; a part before "I'm leaving" is `closing`."""
    return [replace(m, closing=True) if _named(m) and _left(m.end, tokens) else m for m in found]


def _named(mention: Mention) -> bool:
    return mention.kind == "one" or (mention.kind == "component" and not mention.clitic)


def _left(at: int, tokens: Sequence[Token]) -> bool:
    """Whether "I left" stands at a token and nothing behind it that would be left."""
    if at == 0 or tokens[at - 1].pause or at + 1 >= len(tokens) or tokens[at].norm not in _I or tokens[at].pause:
        return False
    be = at + 1 + (tokens[at + 1].norm in ("be", "have", "just", "am"))
    if be >= len(tokens) or tokens[be].norm not in _LEAVE:
        return False
    return bool(tokens[be].pause) or be + 1 == len(tokens) or tokens[be + 1].norm not in _HOW


def wanted_by_nobody(spot: Spot) -> bool:
    """ "She doesn't want anything doing": a person refuses; "the rear two don't want anything doing" are fit."""
    words = {token.norm for token in spot.tokens[spot.hit.start : spot.hit.end]}
    return "doing" in words and spot.before in _PERSONS
