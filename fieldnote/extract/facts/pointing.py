"""Which part and place the words of a clause point at, where they say it by what stands around. In: the talk, a clause. Out: its
targets with names and places settled.

"That one", "both" behind two parts, a piece for its part. Not allowed to know: what is said of a part.
"""

from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.said import Job, Said, Statement
from fieldnote.extract.clauses.target import RELATIVE, SIDE, Target, both
from fieldnote.extract.clauses.wholes import KIN, piece_word
from fieldnote.extract.facts.locating import NO_BURNERS, ROW_ALONE, ROWS, SIDED
from fieldnote.extract.facts.story import OPEN
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.hob import FOUR
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import AT_BURNER

_GONE_DEAD = frozenset({"not-lighting", "no-spark"})  # what a dead burner does
_PAIRED = frozenset("both two pair couple three".split())
_SHOWN_ALONE = frozenset("not-lighting no-spark not-holding weak-spark yellow-tipping lifting noisy weak".split())
_AT_FLAME = frozenset({"electrode", "burner", "flame"})
_FAR = "far"
_ONE_IS = frozenset("one un burner ring".split())  # first words of "the one in front of"
# pieces that are called like parts of an appliance
_PIECES_OF = {
    "co-alarm": frozenset("button light display screen battery".split()),
    "meter": frozenset("dial display screen window glass face index".split()),
    "regulator": frozenset("vent hole breather".split()),
    "window": frozenset("catch stay latch handle hinge hinges".split()),
    "pilot": frozenset("nozzle hole holes airhole aeration orifice shutter airway".split()),
}
_WITHIN = 14  # words between an alarm or a window and a piece of it
_HEADED = 7  # words from a side to the first of its places
_NEAR = 6  # words between a part and a piece of it
_OTHER = frozenset({"other", "tother"})
_A_SIDE = tuple((side,) for side in SIDE)
_DOORS = frozenset({"door", "door-seal"})
_ROW = (("front",), ("rear",))
_OF_A_SIDE = frozenset({"pan-support", "hotplate", "lid"})
_OF_TWO = {"former": 0, "latter": -1}
_THEY = frozenset("they theyre them".split())
_RUBBER = frozenset("rubber boot gaiter grommet collar gasket".split())
_BEHIND_A_KNOB = frozenset({"ignition-switch", "tap-seal", "spark-generator", "ht-lead", "tap-spindle"})

_ROWS = frozenset({"front", "rear", "back"})
_AT_THE_WALL = frozenset("hose bayonet regulator meter pipework".split())


def settled(talk: Talk, said: Said) -> Said:
    """Places that are said from the place in talk ("the one behind it", "that cap I mentioned") become places."""
    here = talk.one_place() or (talk.passed[1] if talk.passed[0] == talk.state.clause else "") or ""
    here_said = ""  # the one corner that this clause has named so far

    def settle(target: Target) -> Target:
        nonlocal here, here_said
        if target.group == "rest" and len(target.places or ()) == 1 and (target.places or ("",))[0] in FOUR:
            target = replace(target, group=None)  # "the other one, front right, won't hold"
        other = {token.norm for token in talk.draft.tokens[target.start : target.end]}
        if target.group == "beside" and target.places in _ROW and "side" in other:
            target = replace(target, places=_across(talk, target.places[0], here), group=None)
        beside = any(name.id in AT_BURNER for name in target.names) and not talk.state.places
        size = target.size or (talk.state.size if beside else None)  # "no spark at the grill, lead was off the back"
        half = [token.norm for token in talk.draft.tokens[target.end : target.end + 2]] == ["half", "of"]
        if half and target.end and size in ("oven", "grill") and set(target.places or ()) <= SIDE.keys():
            target = replace(target, places=None)  # "left half of the grill doesn't light"
        middle = target.places == ("centre",) and bool(other & _ROWS)  # "the rear centre cap" is one of a hob's
        if (
            target.places
            and size in ("oven", "grill")
            and set(target.places) <= {"front", "rear", "centre"}
            and not middle
        ):
            target = replace(target, places=None)  # "the grill tap leaks at the back", "bowed in the middle"
        row = (target.places or ("",))[0]
        if not target.names and row in SIDE and len(target.places or ()) == 1 and row in here_said.split("-"):
            return replace(target, places=(here_said,))  # "rear right tap stiff greased the rear one"
        target = _at_its_end(talk, target)
        target = _on_the_side_in_hand(said, target)
        target = _of_the_pair(talk, _its_piece(talk, _by_its_last_word(talk, target)))
        if not target.places and here in FOUR and _on_that_side(talk, target):
            return replace(target, places=(here.split("-")[1],), group=None)
        if target.places and (told := _told_again(talk, target)):
            target = replace(target, places=told)
        if target.places and (_two_of_a_side(talk, target, said) or _like_the_pair_across(talk, target, said)):
            target = replace(target, places=both(target.places))
        target = _down_its_side(talk, target)
        if pair := _pair_beyond(talk, target):
            target = replace(target, places=pair, group=None)
        target = _rubber_behind_it(talk, target)
        if target.group == "behind" and (hidden := tuple(n for n in target.names if n.id in _BEHIND_A_KNOB)):
            # "the push switch behind it", "the rubber behind it's fine"
            target = replace(target, names=hidden, group=None)
        target = _beyond(talk, _under_its_knob(talk, target), here)
        if target.which and not target.places:
            return _told_by(talk, target)
        if target.group in _OF_TWO:
            return _of_two(talk, target)
        target = _from_a_size(talk, target)
        place = RELATIVE.get(target.group or "", {}).get(here)
        if target.places and place and len(target.places) == 1 and target.places[0] in place.split("-"):
            return replace(target, places=(place,), group=None)  # "next to it on the right"
        if target.places:
            here = target.places[-1]
            here_said = here if here in FOUR and len(target.places) == 1 else ""
            return target
        if said.earlier and not target.group:
            place = _said_before(talk, target) or place
        return replace(target, places=(place,), group=None) if place else target

    said.subject = [_without_its_row(talk, settle(target)) for target in said.subject]
    parts: list[Statement | Job] = [*said.statements, *said.works]
    for part in parts:
        part.targets = [_without_its_row(talk, settle(target)) for target in part.targets]
    return said


def _on_that_side(talk: Talk, target: Target) -> bool:
    """ "Front left cap sits level. Pan support on that side rocks": of what sits at no burner, the one of the side in talk."""
    words = [token.norm for token in talk.draft.tokens[target.end : target.end + 3]]
    sided = bool(target.names) and {name.id for name in target.names} <= _OF_A_SIDE
    return sided and words[words[:1] == ["on"] :][:2] in (["that", "side"], ["this", "side"])


def _of_two(talk: Talk, target: Target) -> Target:
    """ "The rear would not light, the front would not hold; the former had its jet blocked": of two told one behind the other."""
    told = [fact for fact in talk.story.facts[-8:] if fact.clause >= talk.state.clause - 6]
    named = target.names or [fact.component for fact in told[-1:]] == ["burner"]
    row = list(
        dict.fromkeys(
            fact.position for fact in told if fact.position in FOUR and fact.condition not in ("ok", "passed")
        )
    )
    if named and len(row) < 2:
        return replace(target, group=None)
    if len(row) > 1:
        pair = talk.two if set(talk.two) <= set(row) and talk.two else tuple(row[-2:])
        talk.two = pair
        return replace(target, group=None, places=(pair[_OF_TWO[target.group or ""]],))
    parts = list(dict.fromkeys(fact.component for fact in told if fact.component))[-2:]
    part = parts[_OF_TWO[target.group or ""]] if len(parts) == 2 else None
    return replace(target, group=None, names=(Sense("component", part, None, "strong"),)) if part else target


def _across(talk: Talk, row: str, here: str) -> tuple[str, ...]:
    """ "Front left: loose. Behind it: the same. Other side front: good. Other side back: good": the corner of that row on the
    side across from where the talk came."""
    _, _, side = here.partition("-")
    if side and talk.across != side:
        talk.across = SIDE[side]
    return (f"{row}-{talk.across}",) if side and talk.across else (row,)


def _from_a_size(talk: Talk, target: Target) -> Target:
    """ "The one in front of the little one": seen from where the little one is, and itself of a size that nobody said."""
    way = RELATIVE.get(target.group or "")
    if way is None or target.places or not target.size or talk.draft.tokens[target.start].norm not in _ONE_IS:
        return target
    there = next((place for place, size in talk.sizes.items() if size == target.size), "")
    return replace(target, places=(way[there],), group=None, size=None) if there in way else target


def _without_its_row(talk: Talk, target: Target) -> Target:
    """ "Front ones, front right is fine": the row only heads its corners, and what is said is said of the burner there."""
    row, *corners = target.places or ("",)
    if row not in SIDE or not corners or not all("-" in place and row in place.split("-") for place in corners):
        return target
    ones = any(token.norm in ("ones", "uns", "row") for token in talk.draft.tokens[target.start : target.end])
    burner = (Sense("component", "burner", None, "strong"),) if ones else ()
    return replace(target, places=tuple(corners), names=target.names or burner)


def _at_its_end(talk: Talk, target: Target) -> Target:
    """ "Far left one's cracked": of a fire, whose radiants stand in one row, its end and no back corner."""
    far = [token.norm for token in talk.draft.tokens[target.start : target.end]]
    at_end = talk.state.appliance in NO_BURNERS and _FAR in far and len(target.places or ()) == 1
    side = (target.places or ("",))[0].removeprefix("rear-")
    return replace(target, places=(side,)) if at_end and side in ("left", "right") else target


def _under_its_knob(talk: Talk, target: Target) -> Target:
    """ "Knob's cracked, the tap behind it is fine": not that of the burner behind."""
    topic = talk.state.topic[-1] if talk.state.topic else None
    tap = target.group == "behind" and not target.names and talk.draft.tokens[target.start].norm == "tap"
    if not tap or topic is None:
        return target
    if (
        topic.component in _AT_THE_WALL and not talk.state.places
    ):  # "hose had a kink in it, and the tap behind it is stiff"
        return replace(target, names=(Sense("component", "isolation-valve", None, "strong"),), group=None)
    if topic.component != "knob":
        return target
    return replace(target, names=(Sense("component", "gas-tap", None, "strong"),), group=None, places=talk.state.places)


def _rubber_behind_it(talk: Talk, target: Target) -> Target:
    """ "There's no grip in the knob, and the rubber boot behind it's in ribbons": the seal of the knob, not of a lead."""
    topic = talk.state.topic[-1] if talk.state.topic else None
    said = {token.norm for token in talk.draft.tokens[target.start : target.end]}
    if topic is None or topic.component != "knob" or target.group != "behind" or not said & _RUBBER:
        return target
    return replace(
        target, names=(Sense("component", "tap-seal", None, "strong"),), group=None, places=talk.state.places
    )


def _beyond(talk: Talk, target: Target, here: str) -> Target:
    """ "Same on the other side": the burner beside, where the talk is at one; of a door or a valve it is no burner."""
    if target.group != "beside" or "side" not in {t.norm for t in talk.draft.tokens[target.start : target.end]}:
        return target
    elsewhere = bool(target.names) and not any(name.id in AT_BURNER for name in target.names)
    several = not elsewhere and any(name.note.endswith("s") for name in target.names)
    told = [fact.position for fact in talk.story.facts[-3:] if fact.position and "-" in fact.position]
    side = {place.split("-")[1] for place in told}
    if several and len(set(told)) > 1 and len(side) == 1:  # "both chipped, on the other side the caps"
        return replace(target, places=both((SIDE[side.pop()],)), group=None)
    return replace(target, group=None) if elsewhere or here not in RELATIVE["beside"] else target


def _by_its_last_word(talk: Talk, target: Target) -> Target:
    """ "The pressure sensor reads four bar, changed the sensor": a loose name that ends the name just said."""
    topic = talk.state.topic[-1] if talk.state.topic else None
    if topic is None or not target.names or target.end <= 0 or topic.end <= 0 or topic.end > target.start:
        return target
    loose = all(name.note.startswith("weak") for name in target.names)
    strong = tuple(name for name in topic.names if not name.note.startswith("weak"))
    alike = talk.draft.tokens[topic.end - 1].norm == talk.draft.tokens[target.end - 1].norm
    return replace(target, names=strong) if loose and strong and alike else target


# parts beside which a screw is that of the low rate
_BYPASSED = frozenset("gas-tap tap-spindle flame burner low-rate-screw gas-valve fsd regulator thermostat".split())
_SCREWS = frozenset({"screw", "screws"})


def _its_piece(talk: Talk, target: Target) -> Target:
    """ "Not a bubble on the meter, its dial's cracked": a piece that is called like a part stands for what it belongs to."""
    topic = talk.state.topic[-1] if talk.state.topic else None
    whole = topic.component if topic is not None else None
    if whole is None or topic is None or not target.names or target.start < 1 or target.places or target.end < 1:
        return target
    its, piece = talk.draft.tokens[target.start - 1], talk.draft.tokens[target.end - 1].norm
    word = piece.removesuffix("s") if talk.draft.tokens[target.end - 1].clitic else piece
    near = topic.end <= target.start <= topic.end + _NEAR
    if word in _PIECES_OF.get(whole, ()) and its.norm in ("its", "the"):
        return replace(target, names=topic.names) if target.start <= topic.end + _WITHIN else target
    if word == "gland" and whole in {name.id for name in target.names} and near:
        return replace(target, names=topic.names)  # "tap's leaking, gland nipped up, still a whiff"
    beside = its.norm in ("the", "its") or (
        target.start == topic.end and bool(its.pause)
    )  # "ECV: handle's snapped off"
    if beside and whole in ("emergency-control", "isolation-valve") and word in ("lever", "handle"):
        return replace(target, names=topic.names)  # "it's sheared, the lever's come away"
    if (
        its.norm in ("the", "its")
        and (whole == "knob" or near)
        and whole not in _BYPASSED
        and target.end - target.start == 1
        and word in _SCREWS
    ):
        return replace(target, names=topic.names)  # "the knob's loose, the screw's stripped": its own, of no bypass
    if its.norm != "its" or not near or target.end - target.start > 1 or not piece_word(word, whole):
        return target
    kin = tuple(name for name in target.names if name.id in KIN.get(whole, ()) and name.id != whole)
    return target if kin else replace(target, names=topic.names)


def _on_the_side_in_hand(said: Said, target: Target) -> Target:
    """ "On the right I had to poke the front one through": the front one of the side that opens the clause."""
    head = said.subject[0] if len(said.subject) == 1 else target
    row, side = target.places or (), head.places or ()
    if head is target or head.names or len(side) != 1 or side[0] not in ("left", "right"):
        return target
    return replace(target, places=(f"{row[0]}-{side[0]}",)) if row in ROW_ALONE else target


def _of_the_pair(talk: Talk, target: Target) -> Target:
    """ "Both left hand burners light but the front one lifts": the front one of the two."""
    pair, said = talk.state.places or (), target.places or ()
    if talk.on_small_hob(target.start) or (talk.pair == ("centre",) == pair) or whole_side(talk, target):
        return target
    if other := _the_other(talk, target):
        return replace(target, places=(other,))
    if len(pair) == 1 and (pair[0] in talk.pair or pair[0] == "centre"):
        pair = talk.pair  # "on the front one ... on the back one"
    if not target.appliance and len(said) == 1 and said[0] in SIDE and len(pair) < 2:
        pair = _told_lately(talk, {name.id for name in target.names})
    here = talk.one_place()
    another = target.size is not None and talk.state.size is not None and target.size != talk.state.size
    if another:
        return target  # "big burner at the back right ... little one at the front": not the one before it
    if here in FOUR and len(said) == 1 and said[0] in SIDE and len(pair) < 2 and talk.state.appliance not in NO_BURNERS:
        pair = _with_its_neighbour(here, said[0])
    if (
        len(said) == 1
        and here in ("front", "rear")
        and said[0] in ("left", "right")
        and talk.state.appliance not in NO_BURNERS
    ):
        talk.pair = pair = both((here,))  # "back burners need attention, left one has a cracked cap"
    if here in ("left", "right") and said and said[0] in ("front", "rear") and talk.pair == both((here,)):
        pair = talk.pair  # "on the right side then ... the back one's split"
    if here in ("left", "right") and said in (("front",), ("rear",)) and _heads_a_side(talk, target, here):
        talk.pair = pair = both((here,))  # "left hand side then, front one's fine, back one's stiff"
    elsewhere = bool(target.names) and not any(name.id in AT_BURNER for name in target.names)
    if len(pair) != 2 or len(said) != 1 or said[0] not in SIDE or elsewhere or target.size in ("oven", "grill"):
        return target
    meant = tuple(place for place in pair if said[0] in place.split("-") and "-" in place)
    return replace(target, places=meant) if len(meant) == 1 else target


def whole_side(talk: Talk, target: Target) -> bool:
    """ "Left side is all good", on a hob of four: both burners there, whatever corner is in talk."""
    words = {token.norm for token in talk.draft.tokens[target.start : target.end + 1]}
    on_a_hob = talk.state.appliance in (None, "hob", "cooker") and not talk.on_small_hob(target.start)
    alone = target.places in (("left",), ("right",)) and not (target.names or target.size or target.appliance)
    return alone and on_a_hob and "side" in words and not words & {"one", "ones", "un"}


def _heads_a_side(talk: Talk, target: Target, side: str) -> bool:
    """Whether a side of the hob was named by itself right before, as what the next places belong to."""
    if talk.state.appliance in NO_BURNERS:
        return False
    words = [token.norm for token in talk.draft.tokens[max(0, target.start - _HEADED) : target.start]]
    at = next((i for i in range(len(words) - 1, 0, -1) if words[i] == "side"), 0)
    led = any(words[i - 2 : i + 1] == ["on", "the", side] for i in range(2, len(words)))
    return led or side in words[max(0, at - 2) : at]  # "on the right I had to poke the front one through"


def _the_other(talk: Talk, target: Target) -> str | None:
    """ "Front right tap stiff, the other front one is seized": the corner of a row at which the talk is not."""
    here, said = talk.one_place(), target.places or ()
    led = talk.draft.tokens[target.start - 1].norm if target.start else ""
    if here not in FOUR or len(said) != 1 or said[0] not in here.split("-") or led not in _OTHER:
        return None
    row, side = here.split("-")
    return f"{row}-{SIDE[side]}" if said[0] == row else f"{SIDE[row]}-{side}"


def _told_again(talk: Talk, target: Target) -> tuple[str, ...]:
    """ "Front side both electrodes cracked, left and right both": the two places in talk, and no others."""
    pair, said = talk.state.places or (), set(target.places or ())
    if len(pair) != 2 or said not in ({"left", "right"}, {"front", "rear"}) or not all("-" in place for place in pair):
        return ()
    return pair if said == {side for place in pair for side in place.split("-")} & said else ()


def _two_of_a_side(talk: Talk, target: Target, said: Said) -> bool:
    """ "Both back taps stiff, greased the back ones": the two of a side, where a part was told of at two of a row before."""
    words = talk.draft.tokens[target.start : target.end]
    several = any(token.norm in ("ones", "uns") and not token.clitic for token in words)
    told = [fact.position for fact in talk.story.facts[-6:]]
    here = [one.places for one in said.every]
    return several and target.places in _A_SIDE and any(row in ROWS for row in [*pairwise(told), *here])


def _like_the_pair_across(talk: Talk, target: Target, said: Said) -> bool:
    """ "Both caps on the left are chipped, same on the right", "on the right they're good": as many of the other side, or row, as
    were told of the one."""
    one = target.places if target.places in _A_SIDE and not target.names else None
    told = [fact for fact in talk.story.facts[-2:] if fact.clause == talk.state.clause - 1]
    they = {token.norm for token in talk.draft.tokens[target.end : target.end + 1]} & _THEY
    if one is None or len(told) != 2 or not (they or any(statement.same for statement in said.statements)):
        return False
    alike = len({(fact.component, fact.condition) for fact in told}) == 1
    return alike and {fact.position for fact in told} == set(both((SIDE[one[0]],)))


def _down_its_side(talk: Talk, target: Target) -> Target:
    """ "The oven door's okay, seal's got a tear in it down the left": a side of the seal, and no row of burners."""
    topic = talk.state.topic[-1].component if talk.state.topic else None
    words = [token.norm for token in talk.draft.tokens[target.start : target.end + _NEAR + 2]]
    side = next((s for s in ("left", "right") if target.places == both((s,))), None)
    down = side is not None and ["down", "the", side] in [words[at : at + 3] for at in range(len(words))]
    at_a_door = topic in _DOORS or talk.state.appliance in ("oven", "grill") or talk.state.size in ("oven", "grill")
    if side is None or not (down and at_a_door) or not any(name.id == "door-seal" for name in target.names):
        return target
    return replace(target, names=tuple(n for n in target.names if n.id == "door-seal"), places=(side,), group=None)


def _pair_beyond(talk: Talk, target: Target) -> tuple[str, ...]:
    """ "The two front caps are rusty, the two behind are fine": the pair that stands behind the pair in talk."""
    pair, way = talk.state.places or (), RELATIVE.get(target.group or "", {})
    words = {token.norm for token in talk.draft.tokens[target.start : target.end]}
    if target.places or len(pair) != 2 or not words & _PAIRED:
        return ()
    beyond = tuple(way.get(place, "") for place in pair)
    return beyond if all(beyond) else ()


def _with_its_neighbour(here: str, side: str) -> tuple[str, ...]:
    """ "Front right thermocouple loose, the back one the same": the one behind it; "same on the right": the one beside it."""
    row, flank = here.split("-")
    other = f"{side}-{flank}" if side in ("front", "rear") else f"{row}-{side}"
    return (here, other) if other != here else (here, f"{SIDE[row]}-{SIDE[flank]}")


def _told_lately(talk: Talk, names: set[str]) -> tuple[str, ...]:
    """The two corners at which a part was told of last ("rear left seized, front left seized, freed the front one")."""
    last = [fact for fact in talk.story.facts[-4:] if fact.clause >= talk.state.clause - 4 and fact.position in FOUR]
    alike = [fact for fact in last if fact.component == last[-1].component and fact.condition == last[-1].condition]
    corners = tuple(dict.fromkeys(fact.position for fact in alike if fact.position))
    meant = not names or bool(last and last[-1].component in names)
    return corners if len(corners) == 2 and meant else ()


def _told_by(talk: Talk, target: Target) -> Target:
    """ "The stiff one": the part of which that was said."""
    which = set(target.which) | (_GONE_DEAD if "dead" in target.which else set())
    told = [fact for fact in talk.story.facts[-16:] if fact.condition in which and fact.status in OPEN]
    told = [fact for fact in told if fact.component == told[-1].component]
    if not told:
        return target
    places = tuple(dict.fromkeys(fact.position for fact in told if fact.position))
    names = target.names or (Sense("component", told[-1].component or "", None, "strong"),)
    return replace(target, names=names, places=places or None)


def _said_before(talk: Talk, target: Target) -> str | None:
    """The place at which a part, or a burner of this size, was spoken of last."""
    if target.size and not target.names:
        return next((place for place, size in talk.sizes.items() if size == target.size), None)
    return next((fact.position for fact in talk.story.named(target.component)), None)


def told_where(talk: Talk, clause: Clause, said: Said) -> None:
    """ "One cap was cracked, that's the rear left": the place of what was just told."""
    if _both_where(talk, clause, said):
        return
    first, subject = (
        next((m for m in clause.mentions if m.kind not in ("det", "and", "mark")), clause.mentions[0]),
        said.subject,
    )
    if first.kind == "pronoun":
        _which_one(talk, clause)
    if first.kind not in ("pronoun", "which") or len(subject) != 1 or said.led or subject[0].names:
        return
    if said.statements and not _place_then_more(clause):
        return
    place = subject[0].places[0] if subject[0].places and len(subject[0].places) == 1 else None
    told = list(talk.state.focus) if first.first in ("thats", "that", "its", "it", "which") else []
    if subject[0].which:  # "that missing one is the front left"
        told = [fact for fact in talk.story.facts[-6:] if fact.condition in subject[0].which]
    for fact in told[-1:] if place else ():
        if fact.position is None and fact.component in AT_BURNER | SIDED and fact.clause >= talk.state.clause - 4:
            fact.position, fact.explicit = place, True


def _which_one(talk: Talk, clause: Clause) -> None:
    """ "One won't spark, the others are fine, it's the rear right, electrode's cracked": which one it was that was counted."""
    row = [m for m in clause.mentions if m.kind not in ("det", "and", "mark")][:3]
    if [m.kind for m in row] != ["pronoun", "place", "component"] or row[0].first not in ("its", "thats"):
        return
    if "-" not in row[1].id or any(m.gap for m in row[1:]):
        return
    just = row[0].first == "thats" and talk.story.facts[-1:] and talk.story.facts[-1].component == "burner"
    if row[0].pause == "." and not just:
        return
    for fact in talk.story.facts[-1:] if just else talk.story.facts[-3:]:
        words = {token.norm for token in talk.draft.tokens[max(0, fact.start - 2) : fact.end]}
        one, open_ = just or "one" in words, fact.position is None or (fact.position == "others" and "other" in words)
        shown = fact.condition in _SHOWN_ALONE and fact.component in _AT_FLAME and open_
        if one and shown and fact.status == "present" and fact.clause >= talk.state.clause - 3:
            fact.position, fact.explicit = row[1].id, True


def _place_then_more(clause: Clause) -> bool:
    """ "That's back left and it rocks": the place of what was told before, then more of it."""
    row = [m.kind for m in clause.mentions[:4]]
    return row == ["pronoun", "place", "and", "pronoun"] and not any(m.gap for m in clause.mentions[1:3])


def told_of_work(talk: Talk, clause: Clause) -> None:
    """ "Greased it, the back left that is": the place of what was just worked on."""
    last = clause.mentions[-1]
    words = [token.norm for token in talk.draft.tokens[last.start : last.end]]
    if last.kind != "place" or words[-2:] != ["that", "is"] or not any(m.done for m in clause.mentions):
        return
    worked = [
        fact for fact in talk.state.focus if fact.worked and fact.position is None and fact.component in AT_BURNER
    ]
    for fact in worked[-1:]:
        fact.position, fact.explicit = last.id, True


def _both_where(talk: Talk, clause: Clause, said: Said) -> bool:
    """ "Both burners good, left and right": where the two are that were just told of."""
    places = [place for target in said.subject for place in target.places or ()]
    bare = clause.kinds() <= {"place", "group", "and", "det", "prep"} and clause.joint == ","
    if not bare or len(set(places)) < 2 or said.statements or said.works:
        return False
    told = [fact for fact in talk.state.focus if fact.clause == talk.state.clause - 1]
    words = {token.norm for fact in told for token in talk.draft.tokens[max(0, fact.start - 2) : fact.end]}
    alike = [fact for fact in told if fact.position is None and fact.component in AT_BURNER | SIDED]
    for fact in alike if words & _PAIRED else ():
        fact.position, fact.explicit = places[0], True
        for place in places[1:]:
            talk.story.add(replace(fact, position=place, actions=list(fact.actions), cues=[*fact.cues]))
    return bool(alike and words & _PAIRED)
