"""A place between a fault and its part: "the cracked front left cap" is the cracked cap on the front left; a place along one
part, which tells of no corner.

In: mentions of a talk. Out: the same, the place behind its part as if a preposition led to it, or without that along it.

Not allowed to know: what was said before in the talk.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.words.tokens import Token

_ARTICLES = frozenset("a an the that this another one".split())
# behind what a fault can stand that is said of nothing before it
_BEFORE = frozenset("work condition cured outcome and but mark appliance no correct".split())
_SAID_OF_IT = frozenset({"be", "not", "condition", "need"})
_ALONG = frozenset("along down up across round".split())
_HAVING_ONE = frozenset("oven grill fire boiler water-heater".split())  # what has one burner, whose ends are no corners
_LONG = frozenset("burner burner-ring burner-head flame door-seal case-seal radiant fuel-bed".split())
_SIDES = frozenset("front rear left right".split())
_AT = frozenset("on in at".split())
_CORNER = frozenset("side corner end".split())
_PLACED_IF_SAID = frozenset({"pan-support", "hotplate"})
_BACK_TO_IT = 5  # mentions back to the part along which it is


def along_one(found: Sequence[Mention], tokens: Sequence[Token]) -> list[Mention]:
    """The mentions without the side along which an oven's or a grill's one burner, its flame or a seal is at fault: "ports
    furred along the left"."""
    out: list[Mention] = []
    here = None
    for mention in found:
        one = mention.kind == "appliance" or mention.id in ("oven", "grill")
        here = mention.id if one else here
        if not (_a_side(mention) and _led_along(mention, tokens) and _of_one(out[-_BACK_TO_IT:], here)):
            out.append(mention)
    return out


def on_that_side(found: Sequence[Mention], tokens: Sequence[Token]) -> list[Mention]:
    """ "Right ring: jet choked. Pan support's loose on that side": the side or corner told last, said again of another part."""
    out: list[Mention] = []
    last: Mention | None = None
    for mention in found:
        if mention.kind == "appliance":
            last = None
        if mention.kind == "place" and (mention.id in _SIDES or "-" in mention.id):
            last = mention
        if out and out[-1].kind == "place" and mention.start < out[-1].end:
            continue  # the word "side" itself
        told = last is not None and _says_that_side(mention, tokens) and _wants_its_place(out)
        out.append(
            replace(
                last, start=mention.start, end=mention.end + 1, led=True, gap=0, pause="", clitic=False, first="that"
            )
            if told and last is not None
            else mention
        )
    return out


def _says_that_side(mention: Mention, tokens: Sequence[Token]) -> bool:
    words = [token.norm for token in tokens[max(0, mention.start - 1) : mention.end + 1]]
    that = mention.kind in ("pronoun", "det") and mention.end - mention.start == 1 and not mention.pause
    return that and len(words) == 3 and words[0] in _AT and words[1] in ("that", "this") and words[2] in _CORNER


def _wants_its_place(before: Sequence[Mention]) -> bool:
    """Whether the part last named takes a place only where it is said."""
    part = next((m for m in reversed(before[-_BACK_TO_IT:]) if m.kind == "component"), None)
    return part is not None and part.id in _PLACED_IF_SAID


def _a_side(mention: Mention) -> bool:
    return (
        mention.kind in ("place", "group")
        and set(mention.id.replace(" ", "-").split("-")) <= _SIDES
        and not mention.pause
    )


def _led_along(mention: Mention, tokens: Sequence[Token]) -> bool:
    """ "Along the left", "down the right hand side", with its article or not where it is "along"."""
    row = [token.norm for token in tokens[max(0, mention.start - 2) : mention.start + 2]]
    return any(one in _ALONG and (then == "the" or one == "along") for one, then in pairwise(row))


def _of_one(before: Sequence[Mention], here: str | None) -> bool:
    """Whether the part last named is one that has no corners; not where a corner was told of it already."""
    last = next((m for m in reversed(before) if m.kind in ("component", "size")), None)
    if last is None or any(m.pause == "." for m in before if m.start > last.start):
        return False
    if last.kind == "size":
        return last.id in ("oven", "grill")
    return last.id.endswith("seal") or (here in _HAVING_ONE and last.id in _LONG)


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
