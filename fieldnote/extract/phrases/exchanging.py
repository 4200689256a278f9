"""Two parts that change places to find a fault: "swapped the leads over to see", "swapped it with the front left, the fault went
with it". In: words. Out: whether a word tells of that, so that nothing was renewed.

Not allowed to know: what any part is.
"""

from collections.abc import Sequence
from itertools import pairwise

from fieldnote.extract.words.tokens import Token

_EXCHANGE = frozenset("swap swapped swopped swapping switched exchanged changed traded crossed".split())
_ABOUT = frozenset("over round around about across places".split())
_FINDING = frozenset("see prove check find compare confirm test try rule".split())
_RENEWED = frozenset("new spare another fresh".split())
_FOLLOWS = frozenset("followed follows moved moves went goes travelled travels stayed stays".split())
_BY_FAULT = frozenset("it fault problem spark trouble same".split())
_NOTHING_CHANGED = frozenset(
    {
        ("no", "different"),
        ("no", "difference"),
        ("no", "better"),
        ("the", "same"),
        ("same", "again"),
        ("same", "thing"),
        ("no", "change"),
    }
)
_IN_VAIN = 11  # words from the exchange to what came of it
_REACH, _FOLLOWED = 8, 22  # words in which the exchange is told, and in which the fault follows


def exchanged_to_try(tokens: Sequence[Token], at: int) -> bool:
    """Whether the verb at a token tells of parts that changed places for a trial."""
    if tokens[at].norm not in _EXCHANGE:
        return False
    told = _one_sentence(tokens, at + 1, _REACH)
    if _RENEWED & set(told):
        return False
    about = next((i for i, word in enumerate(told) if word in _ABOUT), None)
    purpose = [word for word in told[about + 1 : about + 5] if word not in ("just", "and", "tried")] if about else []
    if purpose[:1] == ["to"] and len(purpose) > 1 and purpose[1] in _FINDING:
        return True
    later = [token.norm for token in tokens[at + 1 : at + 1 + _FOLLOWED]]
    if about is not None and _in_vain(later):
        return True  # "swapped the lead over and it was no different"
    return (about is not None or "with" in told) and _followed(later)


def _in_vain(words: Sequence[str]) -> bool:
    """Whether what comes next is that it changed nothing."""
    return any(pair in _NOTHING_CHANGED for pair in pairwise(words[:_IN_VAIN]))


def _followed(words: Sequence[str]) -> bool:
    """ "The fault went with it", "it followed the lead"."""
    for at, word in enumerate(words):
        if word in _FOLLOWS and words[max(0, at - 1) : at] and words[at - 1] in _BY_FAULT:
            after = words[at + 1 : at + 3]
            return word.startswith("follow") or bool({"with", "where", "put", "to", "across", "over"} & set(after))
    return False


def _one_sentence(tokens: Sequence[Token], start: int, most: int) -> list[str]:
    out: list[str] = []
    for token in tokens[start : start + most]:
        out.append(token.norm)
        if token.pause == ".":
            break
    return out
