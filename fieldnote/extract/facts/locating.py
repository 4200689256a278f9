"""Where a part is. In: a part as it was named, and the talk. Out: its place, burner and appliance; "the one behind it", "the
stiff one", "the rest" become places. Not allowed to know: conditions, work.
"""

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.said import Said
from fieldnote.extract.clauses.target import RELATIVE, SIDE, Target, both
from fieldnote.extract.facts import groups
from fieldnote.extract.facts.places_of_several import (
    FIRST,
    counted_rest,
    first_told,
    is_one,
    last_places,
    likened,
    of_another_size,
    of_them_all,
    side_told,
    the_pair_in_hand,
    the_rest,
    unlike_part,
)
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.phrases.mention import HEATING
from fieldnote.extract.words.hob import FOUR, SIDES
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import AT_BURNER

# parts of the house rather than of an appliance
INSTALLATION = frozenset("pipework emergency-control meter bonding ventilation window co-alarm".split())
# appliances without a row of burners: a side said of a radiant is no place of the thermocouple
_OVENS = frozenset({"oven", "grill"})
ROW_ALONE = (("front",), ("rear",))
NO_BURNERS = frozenset({"fire", "boiler", "water-heater", "installation"})
ROWS = (
    ("front-left", "front-right"),
    ("rear-left", "rear-right"),
    ("front-left", "rear-left"),
    ("front-right", "rear-right"),
)
_BESIDE = (("left",), ("right",))
_ONE = frozenset("one ones".split())
_COUNTED = frozenset("pair pairs both two ones".split())
_IN_A_ROW = ("left", "centre", "right")
_FRETS = frozenset({"fret", "frets"})
_ONE_OF_EACH = frozenset({"boiler", "water-heater"})  # appliances whose parts have no left and right one
_AT_AN_OVEN = frozenset({"door", "door-seal", "thermostat", "fan"})
_OF_ONE_FLAME = frozenset({"cones", "tips"})
_OF_ONE_BURNER = frozenset({"ports", "holes", "slots", "flames"})
_POINTED_AT = frozenset("one ones tap burner knob ring".split())  # behind "on that"
_ROUND = 5  # words behind a part in which "all round" stands
_DOORS = frozenset({"door", "door-seal"})
_OF_THAT_SIDE = frozenset("oven ovens door doors one".split())  # "hinges on the left hand door"
_SAID_BEHIND = 6  # words behind a door in which its side is told
SIDED = frozenset({"radiant", "pan-support", "door", "door-seal", "window", "appliance"})
_ONE_OF_ITS_KIND = frozenset(
    "heat-exchanger circuit-board gas-valve expansion-vessel diverter-valve pump pressure-switch condensate-trap fuel-bed".split()
)
_OF_A_SIDE = frozenset("hand left right".split())
_PLACED = frozenset("front rear back left right top bottom far near lefts rights fronts backs rears".split())
_AT = frozenset("on over above at round for of".split())
_NAMED_SO = 2  # words before a part, its fault among them, in which it is counted: "two mucky electrodes"
_THAT = frozenset({"that", "this"})
LOOSE_PLACES = frozenset({"front", "rear", "all", "others", "centre"})  # "all round", "in the middle": not which one


def note_places(talk: Talk, said: Said) -> None:
    """The place of the clause is carried on to the next ones."""
    late = _counted_by_work(said)
    for target in said.every:
        if target in late:
            continue
        if target.places == ("all",) and target.names and not any(n.id in AT_BURNER for n in target.names):
            continue  # "sniffed every joint": no place of what comes
        if _side_of_its_door(talk, target):
            of_oven = any(token.norm == "oven" for token in talk.draft.tokens[target.start : target.end])
            talk.state.size = "oven" if of_oven else talk.state.size
            continue  # "door hinge on the right squeaks, burner fine"
        if target.places or target.size:
            if target.size and not target.places and talk.heading[0] == talk.state.clause - 1:
                target = replace(target, places=talk.heading[1])  # "front left, er, medium, flame lifting"
            if target.places or target.size not in talk.sizes.values():
                talk.state.places = target.places
            if target.places and len(target.places) != 1:
                talk.pair = target.places if len(target.places) == 2 else ()
            elif target.places == ("centre",) and "pair" in _words_behind(talk, target):
                talk.pair = ("centre",)  # "middle pair: back one's grand"
            elif row := _row_of(talk, target):
                talk.pair = both((row,))
            # "jet in the middle"
            inside = _with_the_wok(talk) and target.places == ("centre",) and not target.size
            if not inside:
                talk.state.size = "oven" if _the_other_oven(talk, target) else target.size
            at_burner = not target.names or any(name.id in AT_BURNER for name in target.names)
            if target.size and target.places and at_burner:
                talk.sizes.update(dict.fromkeys(target.places, target.size))


def _side_of_its_door(talk: Talk, target: Target) -> bool:
    """Whether a side is that of a door: it is told behind its name, and no oven of that side is."""
    ids = {name.id for name in target.names}
    doors = "door" in ids and ids <= _DOORS | {"lid", "hotplate", "meter"}
    words = [token.norm for token in talk.draft.tokens[target.start : target.end + _SAID_BEHIND]]
    side = next((at for at, word in enumerate(words) if word in ("left", "right")), 0)
    led = side > 0 and words[side - 1] in ("the", "its", "on", "at") and target.places in _BESIDE
    return doors and led and not _OF_THAT_SIDE & set(words[side : side + 3])


def only_one(talk: Talk, clause: Clause, said: Said) -> None:
    """ "All the caps sound, one's chipped": which of them it is nobody says, so that it is at no place."""
    first = next((m for m in clause.mentions if m.kind not in ("and", "but", "det", "mark")), clause.mentions[0])
    one = first.kind == "one" and first.first in ("one", "ones") and first.end - first.start == 1
    if not one or talk.state.places != ("all",) or any(target.places for target in said.every):
        return
    talk.state.places = None
    talk.state.topic = tuple(
        replace(t, places=None, many=False) if t.places in (None, ("all",)) else t for t in talk.state.topic
    )


def _the_other_oven(talk: Talk, target: Target) -> bool:
    """ "Left hand oven door's split, right hand one's fine": one of two ovens, and what follows is said of it."""
    one = any(token.norm in _ONE for token in talk.draft.tokens[target.start : target.end])
    return talk.state.size == "oven" and target.places in _BESIDE and one and not (target.size or target.appliance)


def _counted_by_work(said: Said) -> list[Target]:
    """ "Jet and cap thick with grease, gave all four a scrub": the number is that of the work alone."""
    first = min((statement.head for statement in said.statements), default=0)
    late = [target for job in said.works if job.start > first for target in job.targets] if said.statements else []
    return [t for t in late if t.places == ("all",) and not t.names and t not in said.subject]


def note_work(talk: Talk, said: Said) -> None:
    """What is told behind work on all of them is of no single burner."""
    if _counted_by_work(said):
        talk.state.places, talk.state.size = ("all",), None


def note_rest(talk: Talk, said: Said) -> None:
    """ "The other two won't light, injectors on them were both blocked": the two that were left are the places in talk."""
    if not any(target.group == "rest" for statement in said.statements for target in statement.targets):
        return
    _back_to_the_one(talk)
    told = {fact.position for fact in talk.story.facts[-3:] if fact.clause == talk.state.clause}
    if len(told) == 2 and told <= set(FOUR):
        talk.state.places = talk.pair = tuple(place for place in FOUR if place in told)


def _back_to_the_one(talk: Talk) -> None:
    """ "Front left won't hold, the other three are fine, it's the thermocouple": praise of the rest is an aside."""
    now = talk.state.clause
    praised = {fact.position for fact in talk.story.facts[-3:] if fact.clause == now and fact.condition == "ok"}
    left = [place for place in FOUR if place not in praised]
    faults = [
        f for f in talk.story.facts[-6:] if now - 2 <= f.clause < now and f.condition not in (None, "ok", "passed")
    ]
    if len(praised) == 3 and len(left) == 1 and faults and faults[-1].position == left[0]:
        name = Sense("component", faults[-1].component or "", None, "strong")
        talk.state.places, talk.state.focus = (left[0],), (faults[-1],)
        talk.state.topic = (Target((name,), (left[0],)),)


def note_heading(talk: Talk, said: Said) -> None:
    """A place that was named alone may head what the next clause says."""
    told = said.statements or said.works or said.reading or said.cured or said.outcome
    bare = [t for t in said.subject if t.places and not t.names] if not told else []
    place = bare[0].places[0] if len(bare) == 1 and bare[0].places and len(bare[0].places) == 1 else ""
    if "-" in place or place == "centre":
        talk.heading = (talk.state.clause, bare[0].places)


def taken_next(talk: Talk, clause: Clause) -> bool:
    """ "In the middle now, the wok": the place just before was named as the next."""
    first = clause.mentions[0]
    at = first.start - first.gap - 1
    return at > 0 and talk.draft.tokens[at].norm in ("now", "next")


def _words_behind(talk: Talk, target: Target) -> list[str]:
    """The words in which a target was named and the one behind it."""
    return [token.norm for token in talk.draft.tokens[target.start : target.end + 1]]


def _row_of(talk: Talk, target: Target) -> str:
    """ "Along the front row, left one's fine", "right hand side front, back one's fine": the row or side that later places
    belong to."""
    said = [token.norm for token in talk.draft.tokens[max(0, target.start - 6) : target.end]]
    if target.names and not _PLACED & {token.norm for token in talk.draft.tokens[target.start : target.end]}:
        return ""  # "of the left hand pair the front has a cracked cap": the cap is where it was said before
    corner = target.places[0].split("-") if target.places and "-" in target.places[0] else []
    led = talk.draft.tokens[target.start].norm == "the"  # "of the left hand pair"
    first = talk.draft.tokens[target.start + led].norm
    if corner and ("side" in said or ("pair" in said and first in ("left", "right"))) and first == corner[1]:
        return corner[1]
    sides = any(word == "pair" and before in _OF_A_SIDE for before, word in pairwise(said))
    row = {"row", "along", "pair"} & set(said) and not sides  # not "right hand pair: caps fine, the front one's ring"
    return corner[0] if corner and row else ""


def _words_of(talk: Talk, target: Target) -> set[str]:
    return {token.norm for token in talk.draft.tokens[target.start : target.end]}


def _other_radiants(talk: Talk, target: Target) -> tuple[str, ...]:
    """The radiants left of a row of three, where as many are spoken of."""
    told = {fact.position for fact in talk.story.facts[-6:] if fact.component == "radiant"}
    rest = tuple(place for place in _IN_A_ROW if place not in told)
    counted = 2 if _words_of(talk, target) & {"two", "pair"} else 1
    return rest if told and told <= set(_IN_A_ROW) and len(rest) == counted else ()


def places_of(talk: Talk, target: Target, component: str) -> list[str | None]:
    """The places at which a part is spoken of: said, carried, or the rest; `None` for a part that has none."""
    if target.group in RELATIVE and not (target.places or target.size) and talk.one_place() is None:
        return []  # "the one behind it", and nobody said behind what
    if component == "door" and target.places in _BESIDE and _side_of_its_door(talk, target):
        return [None]  # "its hinge on the left is bent"
    if component == "radiant" and set(target.places or ()) == set(FOUR):
        return ["left", "right"]  # "the middle one's cracked, the two outer ones fine"
    if component == "radiant" and len(target.places or ()) == 2 and "-" in (target.places or ("",))[0]:
        sides = {place.split("-")[1] for place in target.places or ()}
        return [sides.pop()] if len(sides) == 1 else list(target.places or ())  # "the ones on the right" of a fire
    if component in AT_BURNER and target.places in ROW_ALONE and _two_counted(talk, target):
        return list(both(target.places))  # "two electrodes at the back are dirty"
    if component in AT_BURNER - {"flame"} and target.places in (*ROW_ALONE, *_BESIDE) and _several_there(talk, target):
        return list(both(target.places))  # "caps on the left are chipped"
    if component == "radiant" and target.places == ("front",):
        return [None]  # "the clay bits in front": where they are in any fire
    if component == "flue" or (talk.state.appliance in _ONE_OF_EACH and _begins_with_right(talk, target)):
        return [None]  # "spilling at the right hand side" says where it spills
    in_it = component == "burner" and talk.state.appliance in ("oven", "grill")
    in_it = in_it and _COUNTED.isdisjoint(_words_behind(talk, target))  # "rear pair": of the hob
    if in_it and (side := next((side for side, two in SIDES.items() if set(two) == set(target.places or ())), None)):
        return [side]  # "oven: slots along the front are blocked"
    if target.size in ("oven", "grill") and set(target.places or ()) & set(FOUR):
        return [None]  # "rear right's a bit slow, grill burner fret burnt"
    others = target.group == "rest" or target.places == ("others",)
    if others and component == "burner" and (rest := counted_rest(talk, target)):
        return list(rest)
    if others and component in AT_BURNER and (corner := groups.other_of_its_row(talk, target)):
        return [corner]  # "near left electrode cracked ... the other one at the front had a blocked jet"
    if others and component in AT_BURNER and is_one(talk, target) and (side := side_told(talk)):
        return [SIDE[side]]  # "left hand one won't stay in ... the other one's no trouble"
    if others and component == "radiant" and (along := _other_radiants(talk, target)):
        return list(along)  # "left one's chipped, the other two are perfect"
    if others and component == "fuel-bed":
        return [None]  # "two coals cracked, the rest were laid wrong"
    if target.group == "rest" and component in _ONE_OF_ITS_KIND:
        return [None]  # "aye, the other one, right, the heat exchanger's leaking"
    if target.group == "rest" and is_one(talk, target) and likened(talk, target):
        return []  # "that cap's cracked, same as the other one": of which it was told
    if target.group == "rest":
        return list(the_rest(talk, unlike_part(talk, component)))
    if target.group in FIRST and not target.places:
        return first_told(talk, target) if component in AT_BURNER else [None]
    if target.group in ("last-two", "listed") and not target.places:
        if target.size and len(unlike := of_another_size(talk, target.size)):
            left = [place for place in FOUR if place not in unlike]
            # "front right the small one, rear right the big one, mediums both good"
            return [*left] if len(left) == 2 else [None]
        return last_places(talk, component, target.start)
    if target.places and component not in AT_BURNER | SIDED and set(target.places) <= LOOSE_PLACES:
        return [None]
    if target.places == ("all",) and (component == "appliance" or _goes_round(talk, target, component)):
        return [None]  # "sniffed all round", "seal's fine all round"
    if target.places == ("all",) and _words_of(talk, target) & _FRETS:
        return [None]  # "the frets are all burnt away"
    if target.places in ROWS and component not in AT_BURNER | SIDED:
        return [None]  # "run across the back of the oven"
    if component in _DOORS and set(target.places or ()) & {"front", "rear"}:
        return [None]  # "top hinge loose bottom one's fine"
    if target.places == ("others",) and component not in AT_BURNER | {"radiant", "pan-support"}:
        return [None]  # "at the back" says where a hose is, not which one
    if (
        target.places == ("others",)
        and component in AT_BURNER
        and "others" not in (rest := [*the_rest(talk, component)])
    ):
        return list(rest)
    if target.places == ("others",) and talk.one_place() in SIDE and not target.many:
        return [SIDE[talk.one_place() or ""]]  # "the other one" of two
    words = [token.norm for token in talk.draft.tokens[target.start : target.end]]
    hinge = next((at for at, word in enumerate(words) if word in ("hinge", "hinges")), 0)
    if target.places and component == "door" and hinge:
        return [None]  # "left hinge of the door's gone slack", not "hinges on the left hand door"
    if target.places and component in ("door", "door-seal") and all("-" in place for place in target.places):
        return [None]  # "split at the bottom left corner"
    if target.places:
        return list(target.places)
    if target.size and component in AT_BURNER and (sized := [p for p, s in talk.sizes.items() if s == target.size]):
        return list(sized[:1]) if len(sized) == 1 else [None]
    if component in _AT_AN_OVEN and talk.state.size == "oven" and talk.state.places in _BESIDE:
        return list(talk.state.places)  # "left oven: door sound, thermostat fine"
    if component not in AT_BURNER and (place := _just_said(talk, component) or _on_that_one(talk, target)):
        return [place]
    if talk.state.appliance in NO_BURNERS:
        return [None]
    if target.size in ("oven", "grill") and talk.state.places == ("all",):
        return [None]  # "all four rings burning, grill tap's solid"
    if component in AT_BURNER and target.appliance in _HOBS and target.names and _on_this(talk, target):
        return [None]  # "no flame failure on this hob": not of the burner in hand
    one = not target.many or (component == "flame" and talk.draft.tokens[target.end - 1].norm in _OF_ONE_FLAME)
    if component in AT_BURNER and one and talk.state.places and len(talk.state.places) == 1:
        return list(talk.state.places)
    if (
        component in AT_BURNER
        and (target.many or not target.names)
        and len(talk.state.places or ()) == 2
        and _just_faulty(talk)
        and not _two_counted(talk, target, _NAMED_SO)
    ):
        return list(talk.state.places or ())  # "the left two were popping, the caps hadn't been pushed home"
    if component in AT_BURNER and target.names and (pair := the_pair_in_hand(talk, target)):
        return list(pair)
    return ["all"] if component == "flame" and of_them_all(talk, target) else [None]


def _goes_round(talk: Talk, target: Target, component: str) -> bool:
    """ "Seal's fine all round": along the whole of it, of no burners."""
    words = [token.norm for token in talk.draft.tokens[target.start : target.end + _ROUND]]
    return component not in AT_BURNER and any(pair in (("all", "round"), ("all", "around")) for pair in pairwise(words))


def _two_counted(talk: Talk, target: Target, before: int = 1) -> bool:
    """Whether a part at a row is counted to be two."""
    first = max(0, target.start - before)
    words = [token.norm for token in talk.draft.tokens[first : target.start + 1]]
    return bool(target.names) and bool({"two", "2"} & set(words)) and talk.state.appliance not in NO_BURNERS


def _several_there(talk: Talk, target: Target) -> bool:
    """Whether the parts at a row of a hob of four are told of in the plural."""
    words = [token.norm for token in talk.draft.tokens[target.start : target.end + 1]]
    plural = any(f"{word}s" in words for word in _HAVING_TWO)
    return (
        plural
        and not (_ONE | {"un", "uns"}) & set(words)
        and target.many
        and not target.size
        and talk.state.appliance in (None, *_HOBS)
        and not talk.on_small_hob(target.start)
    )


def _just_faulty(talk: Talk) -> bool:
    """Whether a fault was told in the clause before at the places in talk."""
    last = talk.story.facts[-1] if talk.story.facts else None
    fault = last is not None and last.condition not in (None, "ok", "passed") and last.status in ("present", "reported")
    return (
        fault
        and last is not None
        and last.clause >= talk.state.clause - 1
        and last.position in (talk.state.places or ())
    )


def _with_the_wok(talk: Talk) -> bool:
    """Whether the talk is at the wok, and that at no corner."""
    return talk.state.size == "wok" and all(size != "wok" or place == "centre" for place, size in talk.sizes.items())


def _begins_with_right(talk: Talk, target: Target) -> bool:
    """ "Let me shift these, right, fan's lovely": the word that opens a sentence, where there is no side it could mean."""
    said = {token.norm for token in talk.draft.tokens[target.start : target.end]}
    return target.places == ("right",) and not said & {"hand", "side"}


def _on_that_one(talk: Talk, target: Target) -> str | None:
    """ "Pan support on that one rocks", "switch on that tap": what is said of the burner or oven in talk."""
    if not any(name.id in SIDED | {"thermostat", "ignition-switch"} for name in target.names):
        return None
    row = [token.norm for token in talk.draft.tokens[target.start : target.end + 3]]
    pointed = target.names and any(
        lead in _AT and that in _THAT and what in _POINTED_AT
        for lead, that, what in zip(row, row[1:], row[2:], strict=False)
    )
    return talk.one_place() if pointed and talk.one_place() in (*FOUR, "centre", *SIDE) else None


# parts of which each burner has one
_HAVING_TWO = frozenset(
    "cap crown ring burner tap knob jet injector electrode igniter thermocouple magnet spindle lead head venturi".split()
)
_HOBS = frozenset({"hob", "cooker"})


def _on_this(talk: Talk, target: Target) -> bool:
    """Whether a part is told of as one of the whole hob: "on this hob"."""
    row = [token.norm for token in talk.draft.tokens[target.start : target.end]]
    return ("on", "this") in pairwise(row)


def _just_said(talk: Talk, component: str) -> str | None:
    """The place at which the same breath has told of a part already ("rocks at the front right, worn on its feet")."""
    last = talk.story.facts[-1] if talk.story.facts else None
    same = last is not None and last.component == component and last.clause == talk.state.clause and last.explicit
    return last.position if same and last is not None else None


def burner_of(talk: Talk, component: str, target: Target, place: str | None) -> str | None:
    """The size of the burner at which a part sits, said or carried."""
    if component == "pan-support" and place and target.places:
        return target.size  # "the wok one in the middle, the trivet was rocking": size and place are said together
    if component not in AT_BURNER and component != "thermostat":
        return None
    if target.size:
        return target.size
    if target.appliance in _OVENS and talk.state.size in _OVENS and target.appliance != talk.state.size:
        return target.appliance  # "grill flame's fine ... oven underneath, flame's lovely"
    if component == "burner" and talk.state.appliance == "grill" and not (target.group or place):
        return "grill"  # "grill flame's a touch yellow, frets are rotten"
    if place and place in talk.sizes:
        return talk.sizes[place]
    if place == "centre" and _with_the_wok(talk):
        return "wok"
    if (
        component == "burner"
        and place in SIDES
        and talk.state.appliance == "oven"
        and talk.state.size in ("oven", None)
    ):
        return "oven"  # "oven: slots along the front are blocked"
    one_of_two = talk.state.size == "oven" and target.places in _BESIDE  # "right one won't light"
    ports = component == "burner" and talk.draft.tokens[target.end - 1].norm in _OF_ONE_BURNER and target.names
    if one_of_two or not (target.places or target.group or (target.many and not ports)):
        return talk.state.size
    return None


def appliance_of(talk: Talk, component: str, target: Target) -> str | None:
    """The appliance to which a part belongs; parts of the house belong to the installation."""
    if component in INSTALLATION:
        return "installation"
    return talk.state.appliance or target.appliance


def of_one_burner(facts: Iterable[Fact]) -> None:
    """ "Vacuumed the lot" of a fire's burner: it has one, and "all" is no place of it; "radiant bottom left" is the left one."""
    for fact in facts:
        if fact.component in ("radiant", "fuel-bed", "closure-plate") and fact.position in FOUR:
            fact.position = fact.position.partition("-")[2]
        if fact.component == "burner" and fact.position == "all" and fact.appliance in HEATING:
            fact.position = None
