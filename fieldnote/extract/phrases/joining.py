"""Mentions of one talk that are taken together: a corner in two words, a part and the plate it is read from, the same said twice.

In: what was found so far. Out: the same, joined. Not allowed to know: clauses.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.phrases.mention import NOMINAL, Mention
from fieldnote.extract.words.hob import SIDES
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.tokens import Token

_CORNERS = {(row, side): f"{row}-{side}" for row in ("front", "rear") for side in ("left", "right")} | {
    (side, row): f"{row}-{side}" for row in ("front", "rear") for side in ("left", "right")
}
_CORNERS |= {pair: "centre" for row in ("front", "rear") for pair in ((row, "centre"), ("centre", row))}
_ROW_PAIRS = frozenset({"front-left front-right", "rear-left rear-right"})
_DONE_OFF = frozenset({"clean", "replace", "dry", "regrease", "repair"})
_POINTING = frozenset("that those them this these".split())
_WITHIN = frozenset("in of at round under inside behind".split())
_DOORS = frozenset("door door-seal case-seal lid".split())
_IN_ROOMS = frozenset("co-alarm ventilation window".split())  # what a house has several of
_ROOMS = frozenset(
    "kitchen lounge bedroom hall hallway landing loft attic bathroom upstairs downstairs cellar basement annexe garage utility "
    "porch study parlour front back other room spare dining conservatory passage office".split()
)
_WHERE = frozenset("in on by at near upstairs downstairs outside under over above next through out".split())
_LATELY = 10  # mentions back to what there is another of
_DET = Sense("det", "det")


def join_corner(found: list[Mention]) -> None:
    """ "At the rear" and "left" are one place; "back row: left and right" are that row."""
    pair = len(found) > 1 and found[-1].kind == found[-2].kind == "group" and not found[-1].gap
    if pair and found[-1].id == "left right" and found[-2].id in _ROW_PAIRS:
        found[-2] = replace(found[-2], end=found[-1].end)
        found.pop()
        return
    if len(found) < 2 or found[-1].kind != "place" or found[-2].kind != "place" or found[-1].pause or found[-1].gap:
        return
    corner = _CORNERS.get((found[-2].id, found[-1].id))
    if corner:
        first, second = found[-2], found.pop()
        sense = Sense("place", corner, None, "strong" + ("+burner" if "+burner" in second.senses[0].note else ""))
        found[-1] = replace(first, end=second.end, senses=(sense,))


def ones_at_a_side(found: list[Mention]) -> None:
    """ "The ones at the back are fine": the two of that side, as "the back ones" are."""
    if len(found) < 2 or found[-1].kind != "place" or found[-1].id not in SIDES or not found[-1].led:
        return
    ones = found[-2]
    if (
        ones.kind == "one"
        and ones.first == ones.last == "ones"
        and not ones.clitic
        and not (found[-1].gap or found[-1].pause)
    ):
        place = found.pop()
        found[-1] = replace(
            place, start=ones.start, first="ones", last="ones", led=False, pause=ones.pause, gap=ones.gap
        )


def one_elsewhere(found: list[Mention], tokens: Sequence[Token]) -> None:
    """ "The alarm in the loft has expired, the one in the hall is fine", "the lounge one's dead": another of the same."""
    one = found[-1]
    if one.kind != "one" or len(found) < 2 or found[-2].kind != "det" or one.start - found[-2].end != one.gap:
        return
    in_room = one.gap == 1 and tokens[one.start - 1].norm in _ROOMS
    where = not one.gap and not one.clitic and one.end < len(tokens) and tokens[one.end].norm in _WHERE
    names = [mention for mention in found[-_LATELY:] if mention.kind == "component"]
    if (in_room or where) and names and names[-1].id in _IN_ROOMS:
        found[-1] = replace(one, kind="component", senses=names[-1].senses, other=())


def both_the_ones(found: list[Mention]) -> None:
    """ "On both the front ones": the two corners of that side."""
    if len(found) < 3 or found[-1].kind != "place" or found[-1].last not in ("ones", "uns"):
        return
    both, article, side = found[-3:]
    corners = " ".join(SIDES.get(side.id, ()))
    pair = both.kind == "group" and both.first == both.last == "both" and article.kind == "det" and " " in corners
    if pair and not any(m.gap or m.pause for m in (article, side)):
        found[-3:] = [replace(both, end=side.end, last=side.last, senses=(Sense("group", corners),))]


def once(found: list[Mention]) -> None:
    """ "Rear left, um, rear left": a place that is only said again is said once."""
    if len(found) < 3 or found[-1].kind != "place" or found[-2].kind != "mark" or found[-2].id != "pause":
        return
    if found[-3].kind == "place" and found[-3].id == found[-1].id and not found[-1].gap and not found[-2].gap:
        del found[-2:]


def itself(found: list[Mention]) -> None:
    """ "The seal itself is fine": the word belongs to the name."""
    if (
        len(found) > 1
        and found[-1].first in ("itself", "themselves")
        and found[-2].kind in NOMINAL
        and not found[-1].gap
    ):
        end = found.pop().end
        found[-1] = replace(found[-1], end=end)


def on_its_plate(found: list[Mention]) -> None:
    """ "Twelve kilowatts on the badge": where a figure was read, and nothing is said of it."""
    if len(found) < 2 or found[-1].id != "data-plate" or found[-1].gap or found[-1].pause:
        return
    figure = found[-2].end - found[-2].start > len(("on", "the"))  # not "rated input on the badge 30.6"
    if found[-2].kind == "reading" and found[-2].last == "the" and figure:
        end = found.pop().end
        found[-1] = replace(found[-1], end=end)


def in_that_one(found: list[Mention]) -> None:
    """ "The crack in that cap": "that" between a preposition and a part is an article."""
    row = found[-3:]
    if [m.kind for m in row] != ["prep", "pronoun", "component"] or row[1].first not in _POINTING:
        return
    if row[0].last not in _WITHIN:
        return  # "its flame lifts on that, screw wants setting"
    if row[1].first == row[1].last and not any(m.gap or m.pause for m in row[1:]):
        found[-2] = replace(row[1], kind="det", senses=(_DET,), other=())


def that_kind(found: list[Mention]) -> None:
    """ "Greased that stiff one", "cleaned both those jets": the pronoun is an article."""
    which = found[-1]
    if len(found) < 2 or which.gap or which.pause:
        return
    several = len(found) > 2 and found[-3].kind == "group" and not found[-2].gap and not found[-2].pause
    if several and which.kind == "component" and found[-2].kind == "them" and found[-2].first in ("those", "these"):
        found[-2] = replace(found[-2], kind="det")
    if which.kind != "which":
        return
    if found[-2].kind == "pronoun" and found[-2].first in _POINTING and found[-2].end - found[-2].start == 1:
        found[-2] = replace(found[-2], kind="det")


def that_faulty(found: list[Mention]) -> None:
    """ "That cracked cap's been changed": the pronoun is the article of a part that is told by its fault."""
    at = len(found) - 4 - (len(found) > 4 and found[-2].kind == "be")
    kinds = [m.kind for m in found[at : at + 3]] if at >= 0 and found[-1].kind in ("need", "work") else []
    if kinds[1:] != ["condition", "component"] or kinds[0] not in ("pronoun", "them"):
        return
    that, fault, part = found[at : at + 3]
    close = not any(m.gap or m.pause for m in (fault, part)) and part.strong and not fault.fit
    if close and that.first == that.last and that.first in _POINTING:
        found[at] = replace(that, kind="det", senses=(_DET,), other=())


def off_and_done(found: list[Mention]) -> None:
    """ "Burner off cleaned", "caps off scrubbed back on": that a part was off for its work says nothing of its own."""
    part, off, work = found[-3:] if len(found) > len(("part", "off")) else (None, None, None)
    if part is None or off is None or work is None or part.kind != "component" or not part.strong or off.first != "off":
        return
    near = not any(m.gap or m.pause for m in (off, work)) and off.kind == "prep" and off.end - off.start == 1
    if near and work.done and work.id in _DONE_OFF and not work.owned:
        del found[-2]


def ring_of(found: list[Mention]) -> None:
    """ "The wok burner ring", "big burner front right, the ring is cracked": the ring of a burner that was named right before
    is no burner."""
    ring = found[-1] if len(found) > 1 else None
    if ring is None or ring.kind != "component" or ring.last not in ("ring", "rings") or ring.gap or ring.pause:
        return
    at = len(found) - 2
    anew = found[at].kind == "det"  # "rear left burner, the ring"
    while anew and at and found[at].kind in ("det", "place") and found[at].pause in ("", ",") and not found[at].gap:
        at -= 1
    burner = found[at]
    sized = burner.kind == "size" or (anew and burner.kind == "component" and burner.id == "burner")
    crown = tuple(sense for sense in ring.senses if sense.id == "burner-ring")
    if sized and burner.last in ("burner", "burners") and crown and ring.end - ring.start == 1:
        found[-1] = replace(ring, senses=tuple(sense._replace(note="strong") for sense in crown))


def same_told_next(found: list[Mention]) -> list[Mention]:
    """ "The two at the back, both the same, thermocouples slack": what is the same of both is told next."""
    out: list[Mention] = []
    for at, mention in enumerate(found):
        if mention.kind != "same":
            out.append(mention)
            continue
        behind = [m for m in found[at + 1 : at + 4] if m.kind != "det"]
        part, fault = [*behind, None, None][:2]
        listed = part is not None and part.kind == "component" and part.pause == "," and not part.gap
        told = listed and fault is not None and fault.kind == "condition" and not (fault.pause or fault.fit)
        near = max(0, len(out) - 5)
        start = next((i for i in range(len(out) - 1, near - 1, -1) if out[i].pause == "."), near)
        before = [m.kind for m in out[start:]]
        if told and "group" in before and set(before) <= {"group", "place", "det"} and mention.last == "same":
            continue
        out.append(mention)
    return out


def of_its_door(found: list[Mention]) -> None:
    """ "Bottom of the oven door's rusted": the foot of a door, and no oven."""
    if (
        len(found) < 2
        or found[-1].kind != "component"
        or found[-1].id not in _DOORS
        or found[-1].gap
        or found[-1].pause
    ):
        return
    whole = found[-2]
    if whole.kind == "component" and whole.id == "appliance" and whole.last in ("oven", "grill", "cooker", "boiler"):
        found[-1] = replace(found[-1], start=whole.start, gap=whole.gap, pause=whole.pause, first=whole.first)
        del found[-2]
