"""Words of a state that tell of none: what somebody does, what is looked for in vain, what fell on a part.

In: a phrase with its neighbours. Out: yes or no. Not allowed to know: what was said before in the talk.
"""

from fieldnote.extract.phrases.spot import Spot

_TO_BE_SEEN = ["to", "be", "seen"]
_IN_THE_FLAME = ["in", "the", "flame"]
_LOOKED_FOR = 4  # words from "no" to what is not to be seen


def no_state(spot: Spot) -> bool:
    """Whether the words of a condition say nothing of how something is."""
    if spot.before == "im" and spot.tokens[spot.hit.end - 1].norm.endswith("ing"):
        return True  # "I'm lifting the trivets off": somebody does it
    start = spot.hit.start
    before = [token.norm for token in spot.tokens[max(0, start - _LOOKED_FOR) : start]]
    words = [token.norm for token in spot.tokens[start : spot.hit.end]]
    if words == _IN_THE_FLAME and not spot.owned and spot.followed_by("be", "need", "work"):
        return True  # "the probe in the flame was crusted": which one it is
    return words == _TO_BE_SEEN and "no" in before  # "no main bond to be seen"


def let_fall(spot: Spot) -> bool:
    """ "Cracked from a dropped pan": what fell on it, and nothing that dropped of it."""
    if spot.first not in ("dropped", "falling", "fallen") or not spot.single or spot.before not in ("a", "the", "some"):
        return False
    led = spot.tokens[spot.hit.start - 2].norm if spot.hit.start > 1 else ""
    return led in ("from", "by", "with") and not spot.pause and not spot.followed_by("component")
