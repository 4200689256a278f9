"""Which of its meanings a phrase has here. In: a phrase with its neighbours. Out: the kind it is taken as, or None.

"Right" is a place or opens a statement, "top" a cap or a place, "clean" work or a state: the words beside it decide. Not
allowed to know: what was said before in the talk.
"""

import functools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from fieldnote.extract.lexicon import SKIP, Sense, lexicon, mishearings
from fieldnote.extract.matcher import Hit, spell
from fieldnote.extract.story import AT_BURNER
from fieldnote.extract.tokens import Token
from fieldnote.trade.spoken import spoken

# the first kind of a phrase that fits its neighbours is taken, in this order
ORDER = (
    "when size component place group appliance next-burner next-appliance back-to close take-back correct idle report normal "
    "confirm deny but own if general does earlier in-order swap past past-by today cured carried-out outcome still decline hedge "
    "hedge-after no not no-after work condition need same also them pronoun one now mark except and or prep be det ask "
    "answer nothing"
).split()
_RANK = {kind: rank for rank, kind in enumerate(ORDER)}
_HEIGHTS = frozenset("top bottom upper lower near far behind hind fore".split())
_COPULAS = frozenset("is was are were been all its bit got".split())
_WANTING = frozenset("needs need wants want with due gave given give a had do good".split())
_LINKS = frozenset(
    "is was are were had has have got a the been its looks half partly fully well all right bit very really too that "
    "completely totally badly slightly just quite".split()
)
_DENYING = frozenset("not isnt wasnt arent werent never no".split())
_SAME_ONE = frozenset("burner ring hob tap one place corner side appliance boiler cooker fire job".split())
_WANTED = frozenset("needs need wants to on ordered is coming".split())
_NEITHER = frozenset("neither none nor not".split())
_REFUSALS = frozenset("wont wouldnt doesnt didnt isnt keeps kept".split())
_PARTICLES = frozenset(
    "out off on up down yellow back into to by like only over until till for at red low high hot cold".split()
)
_ASKING = frozenset("how if when where till until before as while whether that which once".split())
_TIMES = frozenset("week weeks day days minute minutes hour hours second seconds month months year years".split())
_UNTIL = frozenset("until till til unless".split())
_LISTING = frozenset("and or been is gets be".split())  # between work and work that something waits for
_GOES_ON = frozenset("i ive we so and but well anyway".split())
_UNDER_WAY = frozenset("been being is was were are keeps kept beyond past stop stops stopped from".split())
_NO_PART = frozenset("student council rented empty terraced this her his their whole".split())
_LEADERS = frozenset("at of in on to from off into onto by with behind round under".split())
_TO_DO = frozenset("shut cut put set let".split())
_NEXT = frozenset("so and but i ive its then next now anyway right ok okay".split())
_RINGS = frozenset({"burner", "ring", "one"})
_MOMENTS = frozenset("when whenever while once if".split())
_WONDERING = frozenset("can could should shall would might did do if".split())
_OTHERS = frozenset(
    "customer tenant landlord owner she he they theyre shes hes lady husband wife builder council".split()
)
_OURS = frozenset("i ive we weve ill".split())
_SOMEBODY = frozenset("somebodys someones somebody someone theyve hes shes they he she".split())
_SUFFERED = frozenset("nipped popped".split())
_LEADS_ON = frozenset("a the with for on is was its needs need want wants order ordered and put in of any no".split())
_DONE_TO = frozenset("knocked slackened loosened twisted flattened lifted moved shifted turned".split())
_SMALLNESS = frozenset("little small big large wee".split())
_ACTS = frozenset("blew broke bent burnt split".split())
_NAMING = frozenset("thats is as its it was made called".split())  # before a class said by its letters
_TAKING_BACK = frozenset(
    "i im ive i'm its it not sorry wait hang hold thats the that actually rather make um er erm uh".split()
)
_STARTERS = frozenset("right ok okay so next now and the then".split())
_IT = frozenset("it them that him her this".split())
_THERE = frozenset("there thats lovely sorted done better perfect grand".split())
_ORDERS = frozenset("replace renew order monitor regrease repair change".split())
_BECOMING = frozenset("is are was were has had have been all".split())
_APART = frozenset("out off apart in on up down open to from running going since for fixed serviced".split())
_HEARTY = frozenset("good decent nice proper right fair".split())
_BEING = frozenset("is was are were has isnt wasnt wont looks seems needs ones one".split())


@dataclass(frozen=True, slots=True)
class Spot:
    """A phrase where it stands: the `at`-th of `hits`."""

    hit: Hit[Sense]
    at: int
    hits: Sequence[Hit[Sense]]
    tokens: Sequence[Token]

    @property
    def first(self) -> str:
        """Its first word."""
        return self.tokens[self.hit.start].norm

    @property
    def single(self) -> bool:
        """Whether it is one word."""
        return self.hit.end - self.hit.start == 1

    @property
    def pause(self) -> str:
        """The pause behind it."""
        return self.tokens[self.hit.end - 1].pause

    @property
    def before(self) -> str:
        """The word before it; empty where a pause parts them."""
        start = self.hit.start
        return self.tokens[start - 1].norm if start and not self.tokens[start - 1].pause else ""

    @property
    def beyond(self) -> str:
        """The word behind it."""
        return self.tokens[self.hit.end].norm if self.hit.end < len(self.tokens) else ""

    @property
    def owned(self) -> bool:
        """Whether the word before it ends in apostrophe and s ("the fan's rubbing")."""
        return bool(self.before) and self.tokens[self.hit.start - 1].clitic

    def senses(self, kind: str) -> list[Sense]:
        """Its meanings of one kind."""
        return [sense for sense in self.hit.values if sense.kind == kind]

    def means(self, *kinds: str) -> bool:
        """Whether it can be of one of these kinds."""
        return any(sense.kind in kinds for sense in self.hit.values)

    def follower(self) -> "Spot | None":
        """The phrase that stands right behind it, no pause between."""
        at = self.at + 1
        if at >= len(self.hits) or self.hits[at].start != self.hit.end or self.pause:
            return None
        return Spot(self.hits[at], at, self.hits, self.tokens)

    def followed_by(self, *kinds: str) -> bool:
        """Whether a phrase of one of these kinds stands right behind it."""
        after = self.follower()
        return after is not None and after.means(*kinds)

    def behind(self, reach: int = 0) -> "Spot | None":
        """The phrase before it, with at most `reach` words between."""
        if not self.at or self.hit.start - self.hits[self.at - 1].end > reach:
            return None
        return Spot(self.hits[self.at - 1], self.at - 1, self.hits, self.tokens)


def kind_of(spot: Spot) -> str | None:
    """The kind that a phrase is taken as; None when it means nothing here."""
    kinds = {sense.kind for sense in spot.hit.values}
    if "condition" in kinds and _which(spot):
        return "which"
    if kinds == {"correct"} and spot.before == "so":
        return None  # "the jet's for lpg, so that's wrong": a verdict
    if spot.first == "id" and spot.single and (spot.before in _NAMING or spot.beyond == "d"):
        return None  # "that's id, I've capped it": the class, not "I'd"
    for kind in sorted(kinds, key=_RANK.__getitem__):
        if kind == "nothing":
            return None
        if kind not in _FITS or _FITS[kind](spot) or (kind in _NEVER_ALONE and len(kinds - {"nothing"}) == 1):
            return kind
    return None


def heard(tokens: Sequence[Token], at: int) -> Hit[Sense] | None:
    """The mis-hearing that starts at a token, when what must stand around it is there."""
    hit = mishearings().at(tokens, at)
    if hit is None:
        return None
    odd = lexicon().at(tokens, at) is None and _faulty(hit, tokens) and not _beast(tokens[at].norm)
    values = tuple(sense._replace(note="strong") for sense in hit.values if odd or _around(sense.note, hit, tokens))
    return replace(hit, values=values) if values else None


def _beast(word: str) -> bool:
    """ "The dog's chewed the hose": an animal is no part misheard."""
    beasts = spoken().classes["animal"].says
    return word in beasts or word.removesuffix("s") in beasts


def _faulty(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether a fault or refusal is said right behind ("horse had a split"): then a part is meant, whatever the word."""
    household = tokens[hit.start].norm == "house" and hit.start and tokens[hit.start - 1].norm == "the"
    if hit.start and (tokens[hit.start - 1].norm in _NO_PART or household):
        return False  # "it's a student house, soaked them all"
    for i in range(hit.end, min(hit.end + 4, len(tokens))):
        if tokens[i - 1].pause:
            return False
        if tokens[i].norm in _contexts()["fault"] or (i == hit.end and tokens[i].norm in _REFUSALS):
            return True
        if tokens[i].norm not in _LINKS:
            return False
    return False


def _around(wanted: str, hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the neighbourhood that a mis-hearing needs is there: alternatives by |, all of it by +."""
    return any(
        all(_one_around(part.split(), hit, tokens) for part in alternative.split("+"))
        for alternative in wanted.split("|")
    )


def _one_around(part: Sequence[str], hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    where, words = part[0], _words(tuple(part[1:]))
    free = hit.start == 0 or bool(tokens[hit.start - 1].pause)
    if where == "start":
        return free or tokens[hit.start - 1].norm in _STARTERS
    if where == "end":
        return bool(tokens[hit.end - 1].pause)
    if where == "prev":
        return not free and tokens[hit.start - 1].norm in words
    if where == "next":
        return hit.end < len(tokens) and not tokens[hit.end - 1].pause and tokens[hit.end].norm in words
    if where == "near":
        return any(tokens[i].norm in words for i in _near(hit, tokens))
    return where == "with"  # the appliance in hand: a cooker or hob in nearly every talk


def _near(hit: Hit[Sense], tokens: Sequence[Token]) -> Iterator[int]:
    """The six words on either side within the sentence."""
    for i in range(hit.start - 1, max(hit.start - 7, -1), -1):
        if tokens[i].pause == ".":
            break
        yield i
    for i in range(hit.end, min(hit.end + 6, len(tokens))):
        if tokens[i - 1].pause == ".":
            break
        yield i


@functools.cache
def _contexts() -> dict[str, frozenset[str]]:
    own = {name: frozenset(spell(" ".join(words))) for name, words in spoken().contexts.items()}
    single = {id_: {p for p in c.says if " " not in p} for id_, c in spoken().conditions.items()}
    fit = single.pop("ok")
    return own | {"fault": own["fault"].union(*single.values()), "fit": own["fit"] | fit}


@functools.cache
def _words(names: tuple[str, ...]) -> frozenset[str]:
    plain = frozenset(
        part for name in names if not name.startswith("@") for part in (name.replace("'", ""), name.split("_")[-1])
    )
    return plain.union(*(_contexts()[name[1:]] for name in names if name.startswith("@")))


def _place(spot: Spot) -> bool:
    if spot.first == "right" and spot.beyond in _WANTED and _wrong_before(spot):
        return False  # "somebody's fitted the wrong jet, right one needs ordering"
    if spot.first in ("top", "bottom", "upper", "lower") and _of_ovens(spot):
        return False  # "double oven: top one's fine"
    if any(sense.note.startswith("strong") for sense in spot.senses("place")):
        return True
    if spot.first == "behind" and spot.single and spot.followed_by("place", "component", "det", "size"):
        return False  # "the switch behind the front right knob"
    if spot.first in _HEIGHTS and spot.single and _on_no_burner(spot):
        return False  # "the bottom hinge has dropped"
    if _opens_talk(spot):
        return False
    after = spot.follower()
    if any(sense.id in ("others", "all") for sense in spot.senses("place")):
        each = spot.first in ("every", "each")
        if spot.first == "all" and _of_several_at_burners(spot):
            return True
        return after is not None and any(each or sense.note.endswith("s") for sense in after.senses("component"))
    if after and after.means("component", "size", "one", "place") and (spot.before != "a" or after.means("component")):
        return not after.means("mark")
    if _completes(spot):
        return True
    return spot.first not in _HEIGHTS and _led(spot) and _place_ends(spot)


def _wrong_before(spot: Spot) -> bool:
    return any(spot.tokens[i].norm == "wrong" for i in range(max(0, spot.hit.start - 8), spot.hit.start))


def _of_several_at_burners(spot: Spot) -> bool:
    """Whether "all" goes with a plural right before it and a verdict right behind ("caps all fine", "taps are all stiff")."""
    behind = spot.behind()
    if behind is not None and behind.means("be"):
        behind = behind.behind()
    plural = behind is not None and any(
        sense.note.endswith("s") and sense.id in AT_BURNER for sense in behind.senses("component")
    )
    if behind is not None and spot.tokens[behind.hit.end - 1].clitic:
        return False  # "burner's all clean": one, and all of it
    return plural and spot.followed_by("condition")


def _on_no_burner(spot: Spot) -> bool:
    """Whether the part behind is none that sits at a burner: its top and bottom are no places on a hob."""
    after = spot.follower()
    names = after.senses("component") if after else []
    return bool(names) and not any(name.id in AT_BURNER or name.id == "pan-support" for name in names)


def _of_ovens(spot: Spot) -> bool:
    """Whether "the top one" is one of two ovens: an oven was the last appliance named, and no corner since."""
    if any("-" in sense.id for sense in spot.senses("place")):
        return False
    for at in range(spot.at - 1, max(spot.at - 12, -1), -1):
        values = spot.hits[at].values
        if any(sense.kind == "place" and "-" in sense.id for sense in values):
            return False
        if any(sense.kind == "appliance" or (sense.kind == "size" and sense.id == "oven") for sense in values):
            return any(sense.id in ("oven", "grill") for sense in values)
    return False


def _led(spot: Spot) -> bool:
    behind = spot.behind(1)
    return spot.before in ("the", "on", "at", "both", "other") or (
        behind is not None and behind.means("place", "group")
    )


def _place_ends(spot: Spot) -> bool:
    return spot.beyond in _BEING or spot.followed_by("condition", "be", "and", "work") or spot.pause != ""


def _completes(spot: Spot) -> bool:
    """Whether "front" or "rear" stands right before, so that "left" completes it."""
    behind = spot.behind()
    return behind is not None and any(sense.id in ("front", "rear") for sense in behind.senses("place"))


def _opens_talk(spot: Spot) -> bool:
    """Whether "right" opens a statement ("right vessel's weak"): no place or article before it, no full stop either."""
    if spot.first != "right" or not spot.single or spot.followed_by("one"):
        return False
    start = spot.hit.start
    if start == 0 or spot.tokens[start - 1].pause == ".":
        return not any(token.pause for token in spot.tokens[start : start + 30])
    behind = spot.behind()
    if spot.followed_by("component") and any(
        _bare_left(hit, spot) for hit in spot.hits[max(0, spot.at - 40) : spot.at]
    ):
        after = spot.follower()
        return after is None or not any(
            sense.id == "burner" for sense in after.senses("component")
        )  # "right ring's fine"
    return behind is None or not behind.means("det", "place", "prep", "group", "and", "or", "size")


def _bare_left(hit: Hit[Sense], spot: Spot) -> bool:
    return hit.end - hit.start == 1 and spot.tokens[hit.start].norm == "left" and spot.tokens[hit.end].norm in _RINGS


def _size(spot: Spot) -> bool:
    if any(sense.note.startswith("strong") for sense in spot.senses("size")):
        return True
    if spot.single and spot.first in ("mediums", "smalls", "bigs", "larges", "simmers"):
        return True
    if spot.means("appliance"):
        return False  # oven and grill are appliances first; the reader takes the burner from there
    if spot.first in _SMALLNESS and _on_no_burner(spot):
        return False  # "the little trap": no size of a burner
    if spot.followed_by("component", "one", "place"):
        return True
    behind = spot.behind()
    if behind is not None and behind.means("place") and (spot.pause or spot.followed_by("condition", "be", "and")):
        return True  # "front right medium ok"
    after = spot.follower()
    fault = after is not None and after.means("condition") and not any(s.id == "ok" for s in after.senses("condition"))
    return spot.before == "other" or (spot.before == "the" and not fault)


def _component(spot: Spot) -> bool:
    if spot.first == "bar" and spot.single and spot.means("except") and spot.followed_by("det", "place", "component"):
        return False  # "fine bar a stiff tap"
    said = spot.followed_by("condition", "be", "work", "need")
    names = spot.senses("component")
    stated = any(sense.note not in ("bare", "plural") for sense in spot.senses("condition"))
    if any(not name.note.startswith("weak") for name in names):
        return said or not stated or spot.followed_by("prep")  # "flexible off the bottle"
    if stated and spot.before in _COPULAS and not said:
        return False  # "the display is blank"
    if all(name.note.startswith("weak-the") for name in names) and spot.before != "the":
        return False
    return not spot.means("appliance") and (said or not spot.means("place", "size"))


def _correct(spot: Spot) -> bool:
    if not spot.means("no"):
        return True
    if _no_what(spot):
        return False
    return spot.follower() is None or spot.followed_by("place", "group", "pronoun", "det", "mark")


def _condition(spot: Spot) -> bool:
    if all(sense.note == "bare" for sense in spot.senses("condition")):
        return spot.before in _COPULAS and not _belongs(spot)
    if all(sense.note in ("plural", "bare") for sense in spot.senses("condition")):
        return _several_before(spot)
    if spot.tokens[spot.hit.end - 1].norm == "gone" and spot.beyond and not spot.pause:
        return spot.follower() is not None and not spot.followed_by("condition")  # "gone rusty" says what it is
    if spot.tokens[spot.hit.end - 1].norm == "off" and spot.hit.end - spot.hit.start == 2 and spot.first in _BECOMING:
        behind = spot.behind(1)  # "the cap was off", not "smells when it is off"
        return behind is not None and behind.means("component") and not behind.means("appliance")
    if spot.first == "right" and spot.beyond in _WANTED and _wrong_before(spot):
        return False  # "the wrong jet, right one needs ordering"
    if spot.first in ("would", "will") and all(sense.id == "ok" for sense in spot.senses("condition")):
        return any(spot.tokens[i].norm in _NEITHER for i in range(max(0, spot.hit.start - 7), spot.hit.start))
    if spot.first == "burn" and spot.single and spot.followed_by("condition"):
        return False  # "the mediums burn lovely"
    if spot.before in ("a", "another") and spot.followed_by("work") and spot.first in _HEARTY:
        return False  # "wants a good soak"
    if spot.beyond in _TIMES and spot.tokens[spot.hit.end - 1].norm in ("two", "half"):
        return False  # "back in two weeks"
    if spot.single and spot.before in ("for", "to") and all(s.id == "wrong-part" for s in spot.senses("condition")):
        return False  # "changed all four injectors for lpg"
    if spot.first == "had" and spot.tokens[spot.hit.end - 1].norm == "it" and spot.hit.end - spot.hit.start == 2:
        return (spot.owned or spot.before in ("has", "have")) and (bool(spot.pause) or spot.beyond not in _APART)
    if spot.first == "wrong" and spot.single:
        return spot.followed_by("component")
    if spot.before in ("it", "she", "he") and spot.hit.start > 1 and spot.tokens[spot.hit.start - 2].norm == "when":
        return not all(sense.id == "ok" for sense in spot.senses("condition"))  # "buzzes when it pulls in"
    if spot.first == "stuck" and spot.single and spot.beyond in ("it", "one", "them") and not spot.pause:
        return False  # "stuck it on the shelf"
    if spot.first == "stuck" and spot.before in _SOMEBODY and spot.tokens[spot.hit.end - 1].norm in ("on", "in"):
        return False  # "somebody's stuck on a universal one"
    if spot.first in _DONE_TO and spot.beyond in ("it", "them") and spot.before not in _BECOMING and not spot.pause:
        return False  # "slackened it off": an act, too
    if (spot.first.endswith("ed") or spot.first in _ACTS) and spot.before in _OURS:
        return False  # "I've lifted the cap": an act, no fault
    if spot.single and spot.first in ("light", "spark"):
        behind = spot.behind()
        return behind is not None and (
            behind.means("group")
            or _several_burners(behind)
            or any(sense.note.endswith("s") for sense in behind.senses("component"))
        )
    if not spot.means("mark"):
        return True
    # "ok", "okay": a finding when something is spoken of right before
    behind = spot.behind()
    nouns = ("component", "place", "be", "size", "one", "them", "group", "appliance")
    if behind is not None and behind.means("pronoun"):
        owner = behind.behind()
        return owner is not None and owner.means("prep")  # "lead to it okay"
    return behind is not None and behind.pause != "." and behind.means(*nouns)


def _belongs(spot: Spot) -> bool:
    """Whether "its" or "all" before a word belongs to a preposition: "out of its crimp", "at all"."""
    led = spot.hit.start > 1 and spot.tokens[spot.hit.start - 2].norm in _LEADERS
    return led and spot.before in ("its", "all", "the")


def _several_before(spot: Spot) -> bool:
    """Whether several are spoken of right before: "the pan supports wobble", "both light", "the back two stick"."""
    behind = spot.behind()
    if behind is None:
        return False
    many = any(sense.note.endswith("s") for sense in behind.senses("component"))
    they = behind.means("them") and behind.first.startswith(("they", "both", "all", "each"))
    return many or they or behind.means("group") or _several_burners(behind)


def _several_burners(spot: Spot) -> bool:
    """ "All of them", "the front burners": a place that several burners are at."""
    last = spot.tokens[spot.hit.end - 1].norm
    rows = last in ("burners", "rings", "ones")
    return spot.means("place") and (rows or any(sense.id == "all" for sense in spot.senses("place")))


def _work(spot: Spot) -> bool:
    if _fallen(spot) or (spot.first == "moved" and spot.before in _OTHERS | {"they", "we"}):
        return False  # "when the tenant moved in"
    led = spot.hit.start > 1 and spot.tokens[spot.hit.start - 2].norm in ("in", "on", "of", "from")
    if spot.single and spot.first == "cleared" and spot.before in ("it", "that", "which") and not led:
        return False  # "it cleared when the window was open"
    if spot.first == "left" and spot.before and spot.before not in _OURS and spot.means("condition"):
        return False  # "somebody had left the seal off"
    if spot.first == "told" and spot.single and spot.beyond in ("me", "us"):
        return False  # "told me about her hip"
    if spot.first == "fitted" and spot.tokens[spot.hit.end - 1].norm in ("a", "an"):
        noun = next((hit for hit in spot.hits[spot.at + 1 : spot.at + 2] if hit.start - spot.hit.end <= 1), None)
        return noun is not None and any(sense.kind == "component" for sense in noun.values)  # "fitted a longer hose"
    if spot.single and spot.first in _SUFFERED and spot.means("condition") and spot.before and _of_a_part(spot):
        return False  # "the seal nipped so it wasn't sealing", "flue seal popped out"
    if spot.first == "blown" and spot.before and spot.before not in _OURS:
        return False  # "with the pilot blown out"
    if spot.before in ("i", "we") and spot.hit.start > 1 and spot.tokens[spot.hit.start - 2].norm in ("when", "while"):
        return False  # "when I took the front off"
    offered = spot.behind()
    asked_for = offered is not None and offered.means("need") and not offered.single  # "offered to set it"
    if spot.first in _TO_DO and spot.before == "to" and not spot.means("need") and not asked_for:
        managed = spot.tokens[spot.hit.start - 2].norm if spot.hit.start > 1 else ""
        if managed not in ("had", "able", "managed", "have", "went", "got"):
            return False  # "takes too long to shut off"
    if spot.first in ("turned", "set") and _told_when(spot):
        return False  # "blows out when they've got it turned down"
    if all(sense.note == "bare" for sense in spot.senses("work")):
        after = spot.follower()
        ends = after is not None and (after.pause != "" or after.hit.end == len(spot.tokens))
        return spot.before not in _LEADS_ON and after is not None and after.means("component") and ends
    if all(sense.note == "ing" for sense in spot.senses("work")) and (
        spot.before in _UNDER_WAY | _OTHERS or spot.owned
    ):
        return False  # "it's been rubbing on the back", "beyond mending"
    if _put_off(spot):
        return False  # "at risk until it's replaced"
    if any(sense.note != "base" or sense.id == "monitor" for sense in spot.senses("work")):
        return True
    if spot.first in _ORDERS and (spot.beyond == "next" or (not spot.before and spot.hit.start)):
        return True  # "cap corroded, replace next time", "Replace thermocouple."
    had_to = spot.before == "to" and spot.hit.start > 1 and spot.tokens[spot.hit.start - 2].norm == "had"
    asking = spot.hit.start > 1 and spot.tokens[spot.hit.start - 2].norm in _WONDERING
    if (spot.before in ("i", "we", "ive") and not asking) or had_to or narrated(spot.tokens, spot.hit.end):
        return True
    behind = spot.behind(1)
    if behind is None:
        return False
    wanted = spot.before in ("a", "good", "quick") and spot.tokens[spot.hit.start - 2].norm in _WANTING
    asked = behind.behind(1) if behind.means("det") else behind
    return wanted or (asked is not None and asked.means("need", "decline", "not", "hedge"))


def _told_when(spot: Spot) -> bool:
    """Whether the words before a participle open a circumstance in which it is so, not an act."""
    words = []
    for i in range(spot.hit.start - 1, max(spot.hit.start - 6, -1), -1):
        if spot.tokens[i].pause:
            break
        words.append(spot.tokens[i].norm)
    return bool(_MOMENTS & set(words)) and not _OURS & set(words)


def narrated(tokens: Sequence[Token], end: int) -> bool:
    """ "Push it on, there we are", "nip it up that's it": work told while it is done, by the base form of its verb."""
    if end >= len(tokens) or tokens[end].norm not in _IT:
        return False
    end += 1
    while end < len(tokens) and tokens[end].norm in _PARTICLES | {"home", "over", "round", "back", "tight"}:
        end += 1
    return end < len(tokens) and tokens[end].norm in _THERE


def _of_a_part(spot: Spot) -> bool:
    """Whether a name of a part stands right before and nothing is worked on behind."""
    behind = spot.behind()
    return behind is not None and behind.means("component") and not spot.followed_by("pronoun", "det", "them")


def _put_off(spot: Spot) -> bool:
    """Whether work is what something waits for: "off till it's stripped and cleaned"."""
    for at in range(spot.hit.start - 1, max(-1, spot.hit.start - 7), -1):
        word = spot.tokens[at]
        if word.pause == "." or word.norm in ("i", "we", "ive", "so", "but"):
            return False
        if word.norm in _UNTIL:
            return spot.before not in ("i", "we")
        if at < spot.hit.start - 2 and spot.before not in _LISTING:
            return False
    return False


def _fallen(spot: Spot) -> bool:
    """ "The grease has dried out", "it's soaked": what became of a part, no work on it."""
    became = spot.before in _BECOMING or spot.owned
    fault = any(sense.id != "ok" for sense in spot.senses("condition"))
    return became and fault and any(sense.note == "done" for sense in spot.senses("work"))


def _but(spot: Spot) -> bool:
    """ "The wok though doesn't get enough gas": behind a name it sets nothing against anything."""
    if spot.first not in ("though", "however") or not spot.single:
        return True
    behind = spot.behind()
    named = behind is not None and behind.means("component", "place", "size", "group", "appliance", "one")
    return not (named and spot.followed_by("be", "not", "condition", "need"))


def _need(spot: Spot) -> bool:
    if spot.first == "to" and spot.before == "had":
        return False  # "had to swap it": it is done
    return not spot.means("prep", "pronoun", "det", "mark") or spot.followed_by("work")


def _deny(spot: Spot) -> bool:
    """ "But it isn't" answers what was said; "but it isn't burnt" says something itself."""
    said = spot.pause or not spot.beyond or spot.beyond in _NEXT or spot.follower() is not None
    return bool(said) and not spot.followed_by("condition", "work", "component", "det")


def _group(spot: Spot) -> bool:
    """ "The one behind it", "the knob behind it": a place; "the spring behind it" is none."""
    if spot.first != "behind" or not spot.hit.start or spot.tokens[spot.hit.start - 1].pause:
        return True
    behind = spot.behind()
    return behind is not None and behind.means("component", "one", "and", "det", "size", "be", "place", "same", "mark")


def _does(spot: Spot) -> bool:
    """ "The right hand two do, so it's the module": "do" stands for what was said where several stand right before it."""
    if spot.first != "do" or not spot.single:
        return True
    behind = spot.behind()
    many = behind is not None and behind.means("group", "place", "them")
    return many and (bool(spot.pause) or not spot.beyond or spot.beyond in _NEXT or spot.followed_by("place", "group"))


def _no_what(spot: Spot) -> bool:
    """ "No gas at the jet": a denial of something that is no finding; it takes nothing back and denies nothing else."""
    unknown = spot.follower() is None and bool(spot.beyond) and not spot.pause
    return spot.single and unknown and spot.beyond not in _TAKING_BACK | SKIP


def _no(spot: Spot) -> bool:
    """ "Nor any cracks" denies; "nor any of the taps" only goes on with the list."""
    if _no_what(spot) and spot.first == "no":
        return False
    if not spot.means("or"):
        return True
    nouns = (Spot(hit, 0, (), spot.tokens) for hit in spot.hits[spot.at + 1 : spot.at + 4])
    noun = next((noun for noun in nouns if not noun.means("det", "prep")), None)
    return noun is None or not noun.means("component")


def _which(spot: Spot) -> bool:
    """ "The stiff one", "them two dirty ones" say which part is meant, unless that is what is said ("that's the stiff one")."""
    if spot.before not in ("the", "that", "them", "those", "two", "three") or not spot.followed_by("one"):
        return False
    if spot.before in ("two", "three") and spot.beyond == "one":
        return False  # "two bent, one with no feet"
    named = any(
        token.clitic for token in spot.tokens[spot.hit.start : spot.hit.end]
    )  # "the door's hanging off one hinge"
    if named or all(sense.id == "ok" for sense in spot.senses("condition")):
        return False
    article = spot.hit.start - 1 - (spot.before in ("two", "three"))
    told = spot.tokens[article - 1] if article else None
    return told is None or bool(told.pause) or not (told.norm in _BEING or told.clitic)


def _same(spot: Spot) -> bool:
    """ "Same again" says something; "that same ring" only points."""
    if spot.first in ("doing", "does") and spot.tokens[spot.hit.start + 1].norm in ("it", "the"):
        behind = spot.behind()  # "it's the back left doing it", "front left does it too"
        behind = behind.behind() if behind is not None and behind.means("be", "now", "also") else behind
        return behind is not None and behind.means("place", "group", "size", "one", "component")
    pointing = spot.first == "the" or spot.before in ("the", "that")
    if pointing and spot.tokens[spot.hit.end - 1].norm == "same" and not spot.pause and spot.beyond in _SAME_ONE:
        return False  # "the cap on the same burner"
    return spot.before not in ("that", "this", "them", "those") or not spot.followed_by(
        "component", "size", "place", "one"
    )


def _cured(spot: Spot) -> bool:
    """ "Mended" is an outcome, "won't have it mended" is work that nobody wants, "till it's dealt with" is still to come."""
    if _put_off(spot):
        return False
    behind = spot.behind(1)
    if behind is not None and behind.means("pronoun", "them"):
        behind = behind.behind(1)
    return not (spot.means("work") and behind is not None and behind.means("decline", "need", "not"))


def _hedge(spot: Spot) -> bool:
    """ "It's set too high I think, I turned it down": the guess is about what was said, not about what comes."""
    behind = spot.behind(2)
    said = behind is not None and behind.means("condition") and spot.means("hedge-after")
    return not (said and (spot.pause or spot.beyond in _GOES_ON))


def _general(spot: Spot) -> bool:
    """ "Works nine times out of ten so ..." is said of this one, "nine times out of ten it's the magnet" of all."""
    if spot.first not in ("nine", "most", "more"):
        return True
    behind = spot.behind()
    return not (behind is not None and behind.means("condition") and (spot.pause or spot.beyond in _GOES_ON))


def _if(spot: Spot) -> bool:
    """ "If it leaks" is a condition, "four millivolts, if that" is none."""
    after = spot.tokens[spot.hit.end] if spot.hit.end < len(spot.tokens) else None
    return not (spot.beyond == "that" and after is not None and (after.pause or _joins(spot.tokens, spot.hit.end + 1)))


def _joins(tokens: Sequence[Token], at: int) -> bool:
    return at >= len(tokens) or tokens[at].norm in ("so", "and", "but")


def _outcome(spot: Spot) -> bool:
    """ "It turns now" is an outcome, "it turns off", "it goes out", "see how it goes" are none."""
    if spot.before in _ASKING:
        return False
    return bool(spot.pause) or (spot.beyond not in _PARTICLES and not spot.followed_by("condition"))


def _mark(spot: Spot) -> bool:
    """ "Not so good": a degree, no turn of the talk."""
    return not (spot.first == "so" and spot.single and spot.before in _DENYING)


_FITS: dict[str, Callable[[Spot], bool]] = {
    "place": _place,
    "size": _size,
    "component": _component,
    "correct": _correct,
    "condition": _condition,
    "work": _work,
    "but": _but,
    "need": _need,
    "same": _same,
    "if": _if,
    "general": _general,
    "hedge": _hedge,
    "cured": _cured,
    # not "I did that last year", "it's always done that"
    "carried-out": lambda spot: not spot.followed_by("past") and spot.before not in ("always", "never", "ever"),
    "outcome": _outcome,
    "no": _no,
    "deny": _deny,
    "group": _group,
    "does": _does,
    "mark": _mark,
}
# kinds that are taken without a look at the neighbours when nothing else is possible
_NEVER_ALONE = frozenset({"correct", "need"})
