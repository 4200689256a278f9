"""Something done only to see what a burner does, which is no work on it. In: a phrase with its neighbours. Out: yes or no.

Not allowed to know: what was said before in the talk.
"""

from fieldnote.extract.phrases.spot import Spot

_OURS = frozenset("i ive we weve ill".split())
_IT_DID = frozenset("it she he they".split())
_DID = frozenset(
    "stayed kept held burned burnt went didnt never sat was wouldnt".split()
)  # what it did when it was tried


def turned_to_try(spot: Spot) -> bool:
    """ "She says it goes out on low, I turned it down and it stayed lit": a burner turned down to see what it does."""
    last = spot.tokens[spot.hit.end - 1].norm
    if spot.first != "turned" or last not in ("down", "low", "up") or spot.before not in _OURS or spot.pause:
        return False
    words = [token.norm for token in spot.tokens[spot.hit.end : spot.hit.end + 4]]
    words = words[1:] if words[:1] in (["low"], ["right"], ["full"], ["again"]) else words
    return words[:1] == ["and"] and words[1:2] != [] and words[1] in _IT_DID and words[2:3] != [] and words[2] in _DID
