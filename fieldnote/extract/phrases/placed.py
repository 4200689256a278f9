"""A place between a fault and its part: "the cracked front left cap" is the cracked cap on the front left.

In: mentions of a talk. Out: the same, the place behind its part as if a preposition led to it.

Not allowed to know: what was said before in the talk.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.phrases.mention import Mention

_ARTICLES = frozenset("a an the that this another one".split())
# behind what a fault can stand that is said of nothing before it
_BEFORE = frozenset("work condition cured outcome and but mark appliance no correct".split())
_SAID_OF_IT = frozenset({"be", "not", "condition", "need"})


def behind_their_parts(found: Sequence[Mention]) -> list[Mention]:
    """The mentions; a place that stands between a fault and the part that has it comes behind the part."""
    out = list(found)
    for at in range(1, len(out) - 1):
        if _between(at, out):
            place, part = out[at], out[at + 1]
            out[at] = replace(part, gap=0, pause="")
            out[at + 1] = replace(place, end=part.end, led=True, gap=0, pause="")
    return out


def _between(at: int, row: Sequence[Mention]) -> bool:
    fault, place, part = row[at - 1 : at + 2]
    if place.kind != "place" or place.led or fault.kind != "condition" or fault.fit or part.kind != "component":
        return False
    if place.gap or place.pause or part.gap or part.pause or place.clitic or not part.strong:
        return False
    article, after = row[at - 2] if at > 1 else None, row[at + 2] if at + 2 < len(row) else None
    close = after is not None and not (after.gap or after.pause)
    if article is not None and article.kind == "det" and not (fault.gap or fault.pause):
        # "the corner's caved in, back left knob slips": something else is wrong with it
        return article.first in _ARTICLES and not (close and after is not None and after.kind == "condition")
    opens = article is None or bool(fault.pause) or article.kind in _BEFORE
    return opens and not (part.clitic or (close and after is not None and after.kind in _SAID_OF_IT))
