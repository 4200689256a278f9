"""Whether words tell of the engineer's own things, and of no part: his tools, his stock. In: a phrase with its neighbours.
Out: yes or no. Not allowed to know: what was said before in the talk.
"""

from fieldnote.extract.phrases.spot import Spot

_TOOLS = frozenset(
    "brush brushes toothbrush cloth cloths rag rags pad pads sponge duster wire paper pin mop hoover cleaner tissue hands".split()
)
_ON_ME = frozenset({("on", "me"), ("with", "me"), ("on", "us"), ("with", "us"), ("in", "the"), ("left", "in")})
_STORES = frozenset("van bag box toolbox car".split())


def of_a_tool(spot: Spot) -> bool:
    """ "Took the dust off it with a soft brush", "a damp cloth": how a tool is."""
    return spot.single and spot.beyond in _TOOLS and not spot.pause and spot.before in ("a", "the", "with", "my", "an")


def not_with_me(spot: Spot) -> bool:
    """ "I ain't got no grease on me", "no grease in the van": what one has not got with oneself is no fault."""
    if spot.first not in ("no", "any", "none", "out"):
        return False
    behind = [token.norm for token in spot.tokens[spot.hit.end : spot.hit.end + 3]]
    on_me = tuple(behind[:2]) in _ON_ME
    return on_me and (behind[1] in ("me", "us") or bool(_STORES & set(behind)))
