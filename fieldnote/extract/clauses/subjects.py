"""Noun phrases: which parts, at which places. In: the mentions before or behind what is said. Out: `Target`s.

"Front left and rear right caps", "electrode on the rear left", "the other three electrodes", "cap and ring". Not allowed to
know: what was said before; a place that was not said stays open.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.clauses import wholes
from fieldnote.extract.clauses.target import OPEN_GROUPS, RELATIVE, SIDE, Target, both
from fieldnote.extract.clauses.wholes import KIN, belongs, kindred, loosely_named, of, one_name, piece_of, two_of_many
from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.words.hob import SIDES
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import AT_BURNER

_CORNER = 3  # words of a corner ("front right hand")
_FROM = frozenset("behind front to beside from of opposite alongside".split())  # "the one behind" leads to its place
_SINGLE = frozenset({"fire", "boiler", "water-heater"})  # appliances that stand side by side as wholes
_UNDER = {  # what is found behind or under a part
    "knob": ("ignition-switch", "tap-seal", "tap-spindle", "gas-tap", "spark-generator"),
    "burner-cap": ("burner-ring", "burner-head", "injector", "electrode"),
    "burner-ring": ("burner-head", "injector"),
    "hotplate": ("ht-lead", "pipework", "gas-tap", "spark-generator"),
}
_COOKING_SIZES = {"oven": "oven", "grill": "grill"}


_JOINTS = frozenset("joint joints union unions".split())
_JOINED = frozenset({"meter", "regulator", "pipework"})  # what has joints of its own


class _Builder:
    """Collects one noun phrase, left to right."""

    def __init__(self) -> None:
        self.done: list[Target] = []
        self.parts: list[Mention] = []
        self.places: list[str] = []
        self.size: str | None = None
        self.group: str | None = None
        self.appliance: str | None = None
        self.which: frozenset[str] = frozenset()
        self.leads: bool | None = None
        self.joint = ""
        self.led = False
        self.reached = False
        self.parted = False
        self.between = False
        self.article = False
        self.acted = (
            False  # whether a word that nobody knows stands right before the article: "they shut the back door"
        )
        self.span = (0, 0)
        self.joins = False
        self.headless = False
        self.leading = False
        self.shared: str | None = None  # the oven in "oven and grill burners"
        self.whole = 0
        self.placed = 0  # up to where a place with its preposition stands
        self.counting = False  # whether "and a" stands before
        self.anded = False  # whether "and" stands before, a preposition and an article passed over
        self.behind = False  # whether what comes stands behind what is named first
        self.behind_it = 0  # where a corner ends behind which a part is
        self.within = False  # whether "with" stands before
        self.two = False  # whether "the two" stood before a size: "the two little ones at the front"
        # the part whose name is left out behind "and": "the front left cap and back right"
        self.elided: list[Mention] = []

    def add(self, mention: Mention) -> None:
        if mention.kind == "component":
            self._component(mention)
        elif mention.kind in ("place", "group"):
            self._place(mention)
        elif mention.kind == "size":
            self._size(mention)
        elif mention.kind == "which":
            self.which = frozenset(sense.id for sense in mention.senses if sense.kind == "condition")
        elif mention.kind == "appliance" and self.counting and self.appliance in ("cooker", "hob"):
            return  # "a cooker with four rings and an oven", "a hob with a grill under it": what it consists of
        elif mention.kind == "appliance":
            if (
                mention.id in _SINGLE
                and not (self.parts or mention.gap or mention.pause)
                and set(self.places) <= SIDE.keys()
            ):
                self.places = []  # "right hand fire": which of them, and no place of its parts
            if self.places == ["all"] and mention.id in _COOKING_SIZES and not (self.parts or self.size or mention.gap):
                self._flush()  # "lights on all four, grill and oven"
            self._with_the_other(mention)
            self.appliance = mention.id
            self.size = _COOKING_SIZES.get(mention.id, self.size)
            if mention.id == "hob" and self.size in _COOKING_SIZES.values():
                self.size = self.shared = None  # "grill and oven below, hob first"
        elif mention.id == "item" and self.parts:
            self._flush()  # "cracked: front left cap, rear right crown": each has its own place
            self.leads, self.joint = None, ""
            return
        else:
            if mention.kind == "prep" and (self.parts or mention.first == "between"):
                self.between = mention.first == "between"
            if mention.kind == "prep" and mention.gap and self.joint == "prep" and mention.first == "of":
                self.headless = True  # "along half of it, the other half of the burner"
            self.anded = mention.kind == "and" or (self.anded and mention.kind in ("prep", "det"))
            self.behind = mention.last == "behind" if mention.kind == "prep" else self.behind and mention.kind == "det"
            self.within = mention.cause and mention.first == "with" if mention.kind == "prep" else self.within
            self.article = mention.kind == "det" and mention.first == "the"
            counts = mention.kind == "det" and mention.first in ("a", "an")
            self.counting = counts and (self.anded or (self.within and self.appliance == "hob"))
            self.acted = self.acted or (self.article and mention.gap > 0 and not self.parts)
            if mention.kind == "det" and mention.last == "new" and self.parts:
                self.joint = "and"  # "new electrode new lead": two parts
                return
            if mention.kind != "det":
                off = (
                    self.joint == "prep" and not self.reached and self.placed != self.span[1]
                )  # not "to the rear left"
                self.parted = mention.kind == "and" and off
            if mention.kind != "det":
                self.joint = mention.kind
            elif self.reached or (self.joint == "prep" and mention.gap):
                self.joint = ""  # "the ring on the hob, the injector"
            self.reached = False
            return
        self.placed = mention.end if mention.kind == "place" and mention.led else self.placed
        self.span = (self.span[0] or mention.start + 1, mention.end)
        self.reached = self.joint == "prep" and mention.kind != "component"
        if self.joint != "prep" or mention.kind == "component":
            self.joint = ""
        if mention.led and mention.first in ("to", "of", "for") and self.parts:
            self.joint = "prep"  # "lead to the rear right electrode"

    def _component(self, mention: Mention) -> None:
        if self.behind_it and self.article and mention.start == self.behind_it + 1 and mention.id in AT_BURNER:
            self.places[-1] = RELATIVE["behind"].get(self.places[-1], self.places[-1])
        self.behind_it = 0  # "behind the front left the cap is lost", not "behind the front left knob"
        if self.parts and self.between and self.joint == "and":
            self.between = False
            return  # "the seal between the door and the exchanger"
        if self.headless and self.joint == "prep":
            self.parts.clear()
        self.headless = False
        if self.reached and self.joint == "prep" and self._at_a_burner(mention):
            self.joint = ""  # "left burner on this hob cap is rusty"
        if self._beside_a_corner(mention):
            self.parts.clear()  # "and it's the ignition front right lead was cooked"
        if self.parts and mention.led:
            self.parts[-1] = of(self.parts[-1], mention)
            return  # "pushed the lead back on the generator"
        at_hand = self.parts and 0 < self.placed <= mention.start <= self.placed + 1
        if at_hand and belongs(self.parts[-1], mention):
            self.parts[-1] = of(self.parts[-1], mention)
            return  # "the seal on the right hand door"
        if at_hand and self._leaf_of(mention):
            self.parts[-1] = mention
            return  # "the hinges on the left hand door"
        if self.whole == mention.start and self.parts and not (mention.pause or mention.clitic):
            self.whole = mention.end
            return  # "the joints on the meter pipework": two names of one whole
        close = bool(self.parts) and mention.start == self.parts[-1].end and not (mention.pause or self.joint)
        if close and len(self.parts) == 1 and piece_of(mention, self.parts[0]):
            return  # "the meter window"
        if self.parts and self.joint == "prep":
            apart = bool(mention.pause) and bool(self.size)  # "small burner beside it, electrode dirty"
            if (mention.gap == 0 and not apart) or (mention.gap == 1 and mention.id == "burner" and not mention.pause):
                self.parts[-1] = of(self.parts[-1], mention)
                self.whole = mention.end
                return  # "the lead to the electrode": the head noun counts
            if mention.gap == 1 and not mention.pause and belongs(self.parts[-1], mention):
                self.parts[-1] = of(self.parts[-1], mention)
                return  # "the seal on the bottom door"
            loose = not mention.strong or mention.id == "appliance"
            if loose and not mention.pause and mention.gap <= 2 and self.parts[-1].strong:
                return  # "the grille in the cupboard door", "the plate's behind the bottom drawer"
            self.parts.clear()  # "the meter in the hall cupboard, emergency control": a new head
        vague = len(self.parts) == 1 and not self.parts[0].strong and len({s.id for s in self.parts[0].senses}) > 2
        if vague and mention.strong and not (self.joint or mention.gap or mention.pause):
            self.parts.clear()  # "after I release the control thermocouple is okay"
        if self.parts and mention.clitic and mention.pause and not self.joint:
            self.parts.clear()  # "flue, terminal outside, guard's gone"
        object_ = (
            self.acted and len(self.parts) == 1 and not self.parts[0].clitic and not one_name(self.parts[0], mention)
        )
        if (
            object_
            and mention.clitic
            and mention.strong
            and not (self.joint or mention.gap or mention.pause or self.joins)
        ):
            self.parts.clear()  # "every time they shut the back door flue terminal's too near"
        anew = self.article and mention.clitic and mention.strong and not self.joint and not self.places
        led, self.article = self.article, False
        if self.parts and anew and not self.joins:
            self.parts.clear()  # "sooting the heat exchanger, the venturi's blocked"
        jointed = any(sense.id == "joint" for sense in mention.senses)
        if self.parts and self.parts[-1].id == "flue" and jointed and self.joint != "and":
            return  # "the flue, the joint at the first elbow": a joint of the flue
        if (
            close
            and jointed
            and mention.last in _JOINTS
            and self.parts
            and self.parts[-1].id in _JOINED
            and not self.parts[-1].clitic
        ):
            self.parts[-1] = replace(mention, senses=tuple(s for s in mention.senses if s.id == "joint"))
            return  # "meter joints all tested"
        if self.parts and self.parted and mention.strong and _takes_off(self.parts[-1]):
            self.parts.clear()  # "case off and the gasket's gone": what was only taken off
        elif self.parts and mention.last == "test":
            self.parts.clear()  # "sprayed every joint, tightness test passed"
        elif self.parts and self.joint not in ("and", "or") and self._unsaid(mention):
            self.parts.clear()
        elif len(self.parts) == 1 and self.parts[0].id == "meter" and mention.pause == "," and not self.joins:
            self.parts.clear()  # "meter: emergency control handle missing"
        elif self.parts and (
            mention.start - (self.span[1] if self.joint == "and" and self.places else self.parts[-1].end) > 4
            or (
                self.led
                and not (self.joint or mention.pause or two_of_many(self.parts[-1], mention))
                and (mention.strong or (led and _kin_of(mention, self.parts[-1])))
            )
        ):
            # "opened the case and the first thing I saw was the electrode", "at the tap gas valve was",
            # "behind the knob the switch is wet"
            self.parts.clear()
        # "electrode, fan, trap all good"
        listed = len(self.parts) > 1 and len(mention.senses) == 1 and not (self.parts[-1].gap or self.parts[-1].pause)
        if (
            self.parts
            and loosely_named(mention)
            and not (mention.pause or mention.gap or listed)
            and self.joint != "and"
        ):
            if (self.joins and mention.start > self.parts[-1].end) or two_of_many(self.parts[-1], mention):
                mention = kindred(mention, self.parts[-1])  # "the electrode the lead and the cap"
            if loosely_named(mention):
                self._compound(mention)
                return  # "emergency control handle": part of what was just named
        if self.parts and self.parts[-1].id == mention.id and not self.joint and mention.gap == 0:
            self.parts.pop()  # "the fuse, fuse had blown"
        listed = self.joins and bool(mention.pause)  # "burner, flame and thermostat no faults"
        modifies = self.joint not in ("and", "or") and not listed
        if self.parts and modifies and all(one_name(part, mention) for part in self.parts):
            self.parts.clear()
        elif self.parts and self.places and self.leads is False:
            self._flush()
        if self.parts and not mention.strong and self.joint == "and":
            mention = kindred(mention, self.parts[-1])
        self.led = not self.parts and self.joint == "prep"
        self.leads = False if self.leads is None else self.leads
        self.size = _COOKING_SIZES.get(mention.first, self.size) if mention.first != mention.last else self.size
        self.parts.append(mention)

    def _leaf_of(self, door: Mention) -> bool:
        """Whether the name before is that of a piece which this door has ("hinges", "handle")."""
        return door.id == "door" and not door.pause and any(sense.id == "door" for sense in self.parts[-1].senses)

    def _at_a_burner(self, mention: Mention) -> bool:
        """Whether the burner named with its place only says whose part this is."""
        burner = len(self.parts) == 1 and self.parts[0].id == "burner" and bool(self.places or self.size)
        return burner and mention.id in AT_BURNER and mention.id != "burner"

    def _beside_a_corner(self, mention: Mention) -> bool:
        """Whether what is named before the corner sits at no burner, and this part does."""
        alone = len(self.parts) == 1 and len(self.places) == 1 and "-" in self.places[0] and not self.joint
        beside = alone and 0 < mention.start - self.parts[0].end <= _CORNER and not (mention.gap or mention.pause)
        return beside and self.parts[0].id == "spark-generator" and mention.id in AT_BURNER

    def _compound(self, mention: Mention) -> None:
        """ "Oven door" and "seal" are the seal of the door."""
        whole = self.parts[-1].id
        for kin in KIN.get(whole, ()):
            for sense in mention.senses:
                if sense.id == kin != whole:
                    self.parts[-1] = replace(mention, senses=(sense._replace(note="strong"),))
                    return

    def _unsaid(self, mention: Mention) -> bool:
        """Whether words that nobody knows were said of the part before ("pump's making a racket, fan's fine")."""
        return mention.gap >= 2 or (mention.gap == 1 and self.parts[-1].clitic)

    def _place(self, mention: Mention) -> None:
        if mention.id == "last-two" and len(self.places) == 1 and self.places[0] in SIDES and not mention.pause:
            self.places = list(SIDES[self.places[0]])  # "rear burners both"
            return
        if mention.id == "last-two" and self.group == "rest" and not self.parts:
            return  # "the other two I lit, both good": these two
        if mention.id == "last-two" and not self.parts and not self.places and not self.size:
            self.group = mention.id
            return  # "both electrodes at the rear"
        anew = self.parts and not self.places and self.joint == "and" and self.leads is not True
        if anew and not mention.gap and mention.id in ("all", "last-two"):
            self._flush()  # "hose, bayonet and all four taps": the place of what follows
            self.leads = True
        if self.led and not (self.places or self.joint) and wholes.only_beside(self.parts, mention):
            self.parts.clear()  # "the one under the window rear pair of taps"
            self.leads = None
        self.leads = not self.parts if self.leads is None else self.leads
        if mention.id == "last-two" and self.places and self.parts and all(part.id == "burner" for part in self.parts):
            self.parts = []  # "front burners, both the injectors"
            return
        if self.parts and self.leads:
            at_burner = self.parts[-1:] if self.joint == "and" and not mention.gap and "-" in mention.id else []
            self.elided = [part for part in at_burner if part.id in AT_BURNER and not part.clitic]
            self._flush()
            self.leads = True
        if mention.kind == "group" and self.places and (place := RELATIVE.get(mention.id, {}).get(self.places[-1])):
            self.places.append(place)  # "front left and the one behind it"
            return
        from_here = RELATIVE.get(self.group or "", {}).get(mention.id) if self.leading and not mention.pause else None
        if from_here and not mention.gap and mention.kind == "place":
            self.places, self.group = [*self.places, from_here], None  # "the one behind the front left"
            return
        self.leading = mention.kind == "group" and mention.last in _FROM
        if mention.kind == "group" and mention.id in OPEN_GROUPS:
            if self.size and self.joint == "and" and not self.parts:
                self._flush()  # "the big one and the two mediums"
            self.group = mention.id
            return
        if self.size in ("oven", "grill") and mention.gap and mention.first in ("along", "across"):
            return  # "grill burner: half the ports along the back were furred over": where on it
        if self.size in ("oven", "grill") and ("-" in mention.id or mention.gap):
            self.size = None  # "two ovens and a grill, starting at the top left", "and grill in a static, left ring"
        if self.places == ["all"] and "-" in mention.id and not self.parts and self.joint != "and":
            self.places = []  # "... and the oven twelve, the lot of them, rear left one's weak"
        if self.behind and not self.parts and not mention.pause and mention.id in RELATIVE["behind"]:
            self.behind_it = mention.end
        self._burner_in(mention)
        said = list(both((mention.id,))) if mention.many else mention.id.split()  # "the front burners"
        if self.group == "rest" and len(said) == 2 and not self.places:
            self.group = None  # "of the other four, the two on the left are good"
        row = _row(self.places)
        one = _corner(row, said[0]) if row and len(said) == 1 and self.joint != "and" else None
        if one:
            self.places = [one]  # "the back row left", "right hand pair, the back tap won't turn"
        elif len(said) == 1 and self.places and self.joint != "and" and (whole := _corner(self.places[-1], said[0])):
            self.places[-1] = whole
        else:
            self.places += [place for place in said if place not in self.places]

    def _with_the_other(self, mention: Mention) -> None:
        """ "Oven and grill knobs both loose": the name that follows is said of both."""
        bare = self.size in _COOKING_SIZES and not (self.parts or self.places)
        if bare and self.joint == "and" and mention.id in _COOKING_SIZES and not (mention.gap or mention.pause):
            self.shared = self.size

    def _size(self, mention: Mention) -> None:
        self._with_the_other(mention)
        if self.shared:
            self.size = None
        told = bool(self.places) and bool(self.parts) and all(part.id == "burner" for part in self.parts)
        how_big = mention.id == "wok" and self.size in ("rapid", "semi-rapid") and not mention.gap  # "the big wok"
        if told and not ((self.size and not how_big) or self.anded):
            self.size = mention.id  # "the middle burner, that's the wok one"
            return
        if self.parts and self.leads is not False:
            self._flush()
        if self.size and self.size != mention.id and self.anded:
            parts, self.anded = self.parts, False
            self._flush()  # "the big one and the two mediums", "flame lifting on the wok and on the rapid"
            self.parts = parts
        self.size = mention.id
        self.two = self.two or self.group == "last-two"
        self.group = None if self.group == "last-two" else self.group  # "the two mediums"
        self._burner_in(mention)

    def _burner_in(self, mention: Mention) -> None:
        """ "Wok burner", "front ring": the name of the place holds the burner; a part named next takes over."""
        if any("+burner" in sense.note for sense in mention.senses) and not self.parts:
            burner = Sense("component", "burner", None, "strongs" if mention.last.endswith("s") else "strong")
            self.parts.append(Mention("component", mention.start, mention.end, (burner,)))

    def _flush(self) -> None:
        if self.group == "last-two" and len(self.places) == 1 and self.places[0] in SIDES:
            self.places, self.group = list(SIDES[self.places[0]]), None  # "both taps on the right"
        elif self.group == "last-two" and len(self.parts) > 1:
            self.group = None  # "crown and injector both fine"
        elif self.two and self.size not in _COOKING_SIZES:
            self.places = list(both(tuple(self.places)))
        shared = Target(
            (),
            tuple(self.places) or None,
            self.size,
            self.group,
            self.appliance,
            max(self.span[0] - 1, 0),
            self.span[1],
            which=self.which,
        )
        listed = self.leads is False and bool(self.places)  # "electrodes: front left cracked, front right fine"
        listed = listed or (len(self.parts) > 1 and all(part.plural and not part.clitic for part in self.parts))
        before = bool(shared.places) and (self.leads is True or self.joint == "prep" or self.placed == self.span[1])
        self.done += [
            replace(
                shared,
                names=part.senses,
                many=part.many or (listed and part.plural and not part.clitic),
                places=both(shared.places or ()) if before and _a_row_of(part) else self._spanned(part, shared.places),
            )
            for part in self.parts
        ] or [shared]
        if self.shared and not (self.parts or self.places) and self.appliance in _COOKING_SIZES:
            last = replace(self.done.pop(), group=None)  # "grill and oven both light"
            self.done += [replace(last, size=self.shared, appliance=self.shared), last]
        if self.shared and self.parts and all(part.plural and not part.clitic for part in self.parts):
            those = [replace(target, group=None) for target in self.done[-len(self.parts) :]]
            self.done[-len(self.parts) :] = [*(replace(target, size=self.shared) for target in those), *those]
        self.shared = None
        self.parts, self.places, self.size, self.group, self.which = [], [], None, None, frozenset()
        self.two = False
        self.span = (0, 0)

    def _spanned(self, part: Mention, places: tuple[str, ...] | None) -> tuple[str, ...] | None:
        """ "The grid over the two right hand rings rocks": one grid, at the side of both."""
        one = part.id == "pan-support" and self.leads is False and not (part.plural or part.many)
        side = next((side for side, two in SIDES.items() if set(two) == set(places or ())), None)
        return (side,) if one and side and places and len(places) > 1 else places

    def finish(self) -> list[Target]:
        if self.parts or self.places or self.size or self.group or self.which or self.appliance:
            if not (self.parts or self.places or self.size or self.group or self.which) and self.done:
                return self.done
            if self.elided and self.group in (None, "last-two") and not (self.parts or self.size or self.appliance):
                self.parts, self.group = self.elided, None
            self._flush()
        return self.done


def _a_row_of(part: Mention) -> bool:
    """ "Rear taps": a plural of what sits at burners is at both corners of a side."""
    return part.plural and not part.clitic and part.last.endswith("s") and part.id in AT_BURNER and part.id != "fsd"


def _kin_of(mention: Mention, whole: Mention) -> bool:
    """Whether a loose name can be a part that belongs to one named before."""
    kin = {*KIN.get(whole.id, ()), *_UNDER.get(whole.id, ())} - {whole.id}
    return any(sense.id in kin for sense in mention.senses)


def _takes_off(part: Mention) -> bool:
    """Whether a name is one that is taken off whole ("case off and ..."), and none that leaves open what it is."""
    return part.strong or part.id == "appliance" or part.last in ("cover", "case", "front", "panel", "lid")


def _row(places: Sequence[str]) -> str:
    """The row or side of which two places are both ends."""
    ends = [set(place.split("-")) for place in places if "-" in place]
    return "".join(ends[0] & ends[1]) if len(places) == len(ends) == 2 else ""


def _corner(first: str, second: str) -> str | None:
    pair = {first, second}
    for front in ("front", "rear"):
        for side in ("left", "right"):
            if pair == {front, side}:
                return f"{front}-{side}"
    return None


def targets(mentions: Sequence[Mention]) -> list[Target]:
    """The parts and places that a run of mentions names, in order."""
    builder = _Builder()
    builder.joins = any(mention.kind == "and" for mention in mentions)
    for mention in mentions:
        builder.add(mention)
    return builder.finish()
