"""Which of its meanings a phrase has here. In: a phrase with its neighbours. Out: the kind it is taken as, or None.

"Right" is a place or opens a statement, "top" a cap or a place, "clean" work or a state: the words beside it decide. Not
allowed to know: what was said before in the talk.
"""

from collections.abc import Callable, Sequence

from fieldnote.extract.phrases.exchanging import exchanged_to_try
from fieldnote.extract.phrases.fits_places import (
    all_counts_on,
    counts_unknown,
    in_its_row,
    is_group,
    is_place,
    is_size,
    is_which,
    only_those,
    says_how,
    shows_a_figure,
)
from fieldnote.extract.phrases.fits_states import COPULAS, is_condition
from fieldnote.extract.phrases.fits_work import PARTICLES, goes_on_new, is_work, put_off
from fieldnote.extract.phrases.spot import Spot
from fieldnote.extract.words.lexicon import SKIP
from fieldnote.extract.words.tokens import Token

# the first kind of a phrase that fits its neighbours is taken, in this order
ORDER = (
    "when size component place group appliance next-burner next-appliance back-to close take-back correct idle recap report "
    "normal confirm deny but own if general does earlier in-order swap past past-by today cured carried-out outcome still "
    "decline hedge hedge-after no not-that not no-after work condition need same also them pronoun one now mark except and "
    "or prep be det design ask answer nothing"
).split()
_RANK = {kind: rank for rank, kind in enumerate(ORDER)}
_CUTTING = frozenset("to had and i ive we".split())
_EMPHATIC = frozenset("look seem feel appear need want sound smell".split())
_HAVING_TO = frozenset("has have must needs need got".split())
_RATED = frozenset("at is was of one are were has in".split())  # behind "neither", which denies what follows
_DENYING = frozenset("not isnt wasnt arent werent never no".split())
_SAME_ONE = frozenset(
    "old trouble problem fault burner ring hob tap one place corner side appliance boiler cooker fire job".split()
)
_ABOUT_TO = frozenset("to and ill i will didnt".split())
_ASKING = frozenset("how if when where till until before as while whether that which once".split())
_IT_IS = frozenset("its thats thatll theyre be".split())
_GOES_ON = frozenset("i ive we so and but well anyway".split())
_SIDED = frozenset("front rear back top bottom near far the hand".split())  # before "left", a place
_DWELLERS = frozenset(
    "tenant tenants lady man woman fella bloke neighbour neighbours family lad lass couple one".split()
)
_FORCED = frozenset("pushed pressed pulled turned held forced lifted hit knocked shaken twisted".split())
_NEXT = frozenset("so and but i ive its then next now anyway right ok okay".split())
_JUDGED = frozenset("that thats it its this theyre".split())
_NO_HELP = frozenset("good use change difference help odds".split())
_ORDERING = frozenset(
    "order ordered ordering need needs needed want wants wanted get getting bring bringing fetch".split()
)
_METERED = frozenset("put stuck swung clipped with used using hooked across".split())  # before "a meter"
_TROUBLE = frozenset("bother trouble problem problems issue issues wrong happy matter".split())
_NAMING = frozenset("thats is as its it was made called".split())  # before a class said by its letters
_BEFORE_ME = frozenset("guy lad fella feller man bloke engineer lot fitter chap one".split())
_DATED = frozenset("dated stamped marked made manufactured expired".split())
_FIGURES = frozenset(
    "two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen "
    "twenty thirty forty fifty few couple".split()
)
_WOUND = frozenset("wound screwed turned let raised packed lifted".split())
_LIMBS = frozenset("foot leg corner side end".split())
_MOVING = frozenset("shut shuts close closes open opens run runs turn turns".split())
_THAT = frozenset({"that", "thats"})
_TAKING_BACK = frozenset(
    "i im ive i'm its it not sorry wait hang hold thats the that actually rather make um er erm uh".split()
)
_WHOSE = frozenset("her his their my our your its".split())
_TOLD_BEFORE = 10  # phrases within which the fault was told that another part has as well
_TRIES = frozenset("time times go turn click press push try attempt strike spark".split())
# kinds that are taken without a look at the neighbours when nothing else is possible
_NEVER_ALONE = frozenset({"correct", "need"})


def kind_of(spot: Spot) -> str | None:
    """The kind that a phrase is taken as; None when it means nothing here."""
    kinds = {sense.kind for sense in spot.hit.values}
    if "condition" in kinds and is_which(spot):
        return "which"
    if kinds == {"one"} and spot.first == "one" and spot.single and spot.beyond in _LIMBS and spot.before in _WOUND:
        return None  # "wound one foot down"
    if kinds == {"next-burner"} and spot.first == "last" and spot.before == "that":
        return None  # "small oven four, so that last one's weak": what was just told of
    had = spot.beyond.endswith("ed") or spot.beyond in ("a", "one", "another", "no")
    if kinds == {"need"} and spot.first == "id" and spot.single and had:
        return None  # "I'd cleaned the caps", "I'd a new one": I had
    if kinds == {"correct"} and spot.tokens[spot.hit.end - 1].norm == "be" and spot.followed_by("work"):
        return "need"  # "that should be swapped"
    if kinds == {"hedge"} and spot.tokens[spot.hit.end - 1].norm == "be" and _ought(spot) and spot.followed_by("work"):
        return "need"  # "it weeps all night, it has to be changed"
    if "condition" in kinds and spot.tokens[spot.hit.end - 1].norm == "be" and spot.beyond[:1].isdigit():
        return None  # "gap 3.5 mm, where it should be 4": a figure, no verdict
    if (
        kinds == {"no"}
        and spot.first in ("nothing", "nowt")
        and spot.single
        and spot.beyond == "but"
        and not spot.pause
    ):
        return None  # "nothing but a wee drop of a flame": that is all there is
    if kinds == {"no"} and spot.parted and spot.tokens[spot.hit.end - 1].norm == "the":
        return None  # "there's a spark, so it's not that, the injector was full"
    if kinds & {"work", "condition"} and exchanged_to_try(spot.tokens, spot.hit.start):
        return "mark"  # "no spark swapped the leads over to see": a turn of the talk
    if counts_unknown(spot) or _cut_away(spot) or _fires_up(spot):
        return None
    if [t.norm for t in spot.tokens[spot.hit.start : spot.hit.end]] == ["no", "no"] and spot.before in ("a", "big"):
        return "det"  # "cracked right across, so it's a no no"
    if spot.first in ("showing", "shows") and spot.single and spot.followed_by("condition"):
        return "be"  # "it's showing cracks": what it shows is said behind
    if (spot.first == "new" and spot.single and goes_on_new(spot)) or says_how(spot):
        return "det"  # no more than an article
    if kinds == {"correct"} and spot.first == "meant" and spot.beyond == "to" and spot.before not in ("i", "we", ""):
        return None  # "it only ticks when it's meant to"
    if "decline" in kinds and spot.first == "not" and spot.before in ("im", "am"):
        return None  # "only small, but I'm not having it": the engineer himself
    if kinds == {"pronoun"} and all_counts_on(spot):
        return None
    if "mark" in kinds and spot.first == "last" and spot.single and spot.before in _WHOSE:
        return None  # "replaced by her last landlord": no list ends
    if "mark" in kinds and spot.first == "first" and spot.single and spot.beyond in _TRIES:
        return None  # "sparks first time now": no list begins
    if "mark" in kinds and spot.first in ("let", "see") and spot.beyond in ("you", "him", "them", "anybody", "anyone"):
        return None  # "don't let me see you put a bayonet on bottled gas"
    if kinds == {"correct"} and spot.before == "so":
        return None  # "the jet's for lpg, so that's wrong": a verdict
    if (
        kinds == {"correct"}
        and spot.first == "wait"
        and spot.single
        and (spot.before in ("to", "i", "we") or spot.beyond == "for")
    ):
        return None  # "you have to wait for it"
    if spot.first == "id" and spot.single and (spot.before in _NAMING or spot.beyond == "d"):
        return None  # "that's id, I've capped it": the class, not "I'd"
    if kinds == {"need"} and spot.first == "to" and spot.before == "had":
        return "be"  # "had to be refitted": it is done
    for kind in sorted(kinds, key=_RANK.__getitem__):
        if kind == "nothing":
            return None
        if kind not in _FITS or _FITS[kind](spot) or (kind in _NEVER_ALONE and len(kinds - {"nothing"}) == 1):
            return kind
    return None


def _ought(spot: Spot) -> bool:
    """Whether it is said what has to be ("has got to be", "must be"), not what may be."""
    return bool(_HAVING_TO & {token.norm for token in spot.tokens[spot.hit.start : spot.hit.end]})


def _cut_away(spot: Spot) -> bool:
    """ "Had to cut out the old tee": nothing went out, and no device did."""
    if spot.first != "cut" or spot.tokens[spot.hit.end - 1].norm != "out" or spot.before not in _CUTTING:
        return False
    return spot.beyond in ("the", "a", "that", "it", "and")


def _fires_up(spot: Spot) -> bool:
    """ "The boiler bangs when it fires up": no gas fire."""
    if spot.first not in ("fires", "fire") or not spot.single:
        return False
    return spot.beyond == "up" or spot.before in ("it", "she", "he", "boiler", "doesnt", "wont", "didnt")


def _component(spot: Spot) -> bool:
    if shows_a_figure(spot):
        return False
    if spot.first == "flex" and spot.single and spot.beyond in ("it", "them", "her", "him"):
        return False  # "splits when you flex it"
    if spot.first == "fitting" and spot.single and spot.beyond in ("it", "them", "that") and not spot.pause:
        return False  # "I'm not fitting it for free"
    if (
        spot.first == "bar"
        and spot.single
        and spot.means("except")
        and spot.followed_by("det", "place", "component", "pronoun", "group", "one")
    ):
        return False  # "fine bar a stiff tap", "bar this one"
    said = spot.followed_by("condition", "be", "work", "need")
    if spot.first == "meter" and spot.single and _to_measure_with(spot):
        return False
    if spot.first == "bend" and spot.single and spot.before in ("is", "was", "are", "were", "got"):
        return False  # "the electrode is bend"
    names = spot.senses("component")
    stated = any(sense.note not in ("bare", "plural") for sense in spot.senses("condition"))
    if any(not name.note.startswith("weak") for name in names):
        if spot.before == "the" and spot.tokens[spot.hit.end - 1].clitic:
            return True  # "the grate's after losing a prong": it is no verb
        return said or not stated or spot.followed_by("prep")  # "flexible off the bottle"
    if stated and spot.before in COPULAS and not said:
        return False  # "the display is blank"
    if all(name.note.startswith("weak-the") for name in names) and spot.before != "the":
        return False
    return not spot.means("appliance") and (said or not spot.means("place", "size"))


def _to_measure_with(spot: Spot) -> bool:
    """ "Couldn't get my meter on it", "put a meter across the couple": an instrument."""
    lead = [token.norm for token in spot.tokens[max(0, spot.hit.start - 2) : spot.hit.start]]
    if lead[-1:] and lead[-1] in _ABOUT_TO and spot.beyond in ("it", "them", "that"):
        return True  # "not had time to meter it"
    if spot.hit.start > 2 and spot.tokens[spot.hit.start - 3].norm in _TROUBLE:
        return False  # "no bother with the meter"
    return lead[-1:] in (["my"], ["me"], ["multi"]) or (
        len(lead) > 1 and lead[1] in ("a", "the") and lead[0] in _METERED
    )


def _correct(spot: Spot) -> bool:
    if not spot.means("no"):
        return True
    if _no_what(spot):
        return False
    if only_those(spot.follower()):
        return True
    return spot.follower() is None or spot.followed_by("place", "group", "pronoun", "det", "mark")


def _but(spot: Spot) -> bool:
    """ "The wok though doesn't get enough gas": behind a name it sets nothing against anything."""
    if spot.first == "just" and spot.single and spot.beyond in ("needs", "needed", "wants", "wanted", "need", "want"):
        return False  # "the one behind it just needed a clean"
    if spot.first not in ("though", "however") or not spot.single:
        return True
    behind = spot.behind()
    named = behind is not None and behind.means("component", "place", "size", "group", "appliance", "one")
    taken_up = spot.beyond in _THAT and spot.followed_by("pronoun")  # "the seal though, that's gone hard"
    return not (named and (taken_up or spot.followed_by("be", "not", "condition", "need")))


def _except(spot: Spot) -> bool:
    """ "All clear but the front right and that's half gunked up": what is left out of praise."""
    if spot.first != "but" or spot.tokens[spot.hit.end - 1].norm == "for":
        return True
    behind, place = spot.behind(), spot.follower()
    praised = behind is not None and any(sense.id == "ok" for sense in behind.senses("condition")) and not behind.pause
    if not praised or place is None or not place.means("place") or spot.tokens[place.hit.end - 1].clitic:
        return False
    after = place.follower()
    return bool(place.pause) or after is None or after.means("and", "pronoun", "work", "mark")


def _own(spot: Spot) -> bool:
    """ "It is": the engineer's own word, unless it takes up a name ("the valve it is hard")."""
    behind = spot.behind()
    if spot.means("condition") and spot.beyond in ("on", "with", "at") and spot.followed_by("prep"):
        return False  # "no fault found on the boiler"
    if spot.means("condition") and behind is not None and behind.pause != ".":
        return not behind.means(
            "component", "place", "size", "group", "appliance", "be"
        )  # "front right: can't fault it"
    return spot.first != "it" or behind is None or bool(behind.pause) or not behind.means("component")


def _need(spot: Spot) -> bool:
    if spot.first == "to" and spot.before in ("had", "managed"):
        return False  # "had to swap it", "managed to free it": it is done
    return not spot.means("prep", "pronoun", "det", "mark") or spot.followed_by("work")


def _deny(spot: Spot) -> bool:
    """ "But it isn't" answers what was said; "but it isn't burnt" says something itself."""
    said = spot.pause or not spot.beyond or spot.beyond in _NEXT or spot.follower() is not None
    return bool(said) and not spot.followed_by("condition", "work", "component", "det")


def _does(spot: Spot) -> bool:
    """ "The right hand two do, so it's the module": "do" stands for what was said where several stand right before it."""
    if spot.single and spot.first in ("does", "do", "did") and spot.beyond in _EMPHATIC:
        return False  # "electrode on it does look dirty"
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
    if (_no_what(spot) and spot.first == "no") or (spot.first in ("nothing", "nowt") and spot.before == "to"):
        return False  # "worn down to nothing, new ones fitted"
    if not spot.means("or"):
        return True
    nouns = (Spot(hit, 0, (), spot.tokens) for hit in spot.hits[spot.at + 1 : spot.at + 4])
    noun = next((noun for noun in nouns if not noun.means("det", "prep")), None)
    return noun is None or not noun.means("component")


def _neither(spot: Spot) -> bool:
    """ "Oven's no bother at all, grill neither": the same is said of what stands right before it."""
    behind = spot.behind()
    if spot.first != "neither" or not spot.single or behind is None or behind.pause == ".":
        return False
    led = behind.behind()
    led = led.behind() if led is not None and led.means("det") else led
    named = behind.means("component", "place", "group", "size", "appliance", "one")
    led_to = led is not None and led.means("prep", "no")
    goes_on = not spot.pause and (spot.followed_by("condition", "det") or spot.beyond in _RATED)
    return named and not (led_to or goes_on or spot.tokens[spot.hit.start - 1].pause)


def _no_better(spot: Spot) -> bool:
    """ "Front left's stiff, rear left's no better": a fault that was told, of what stands right before; behind work on it
    "no better" says that it did not help."""
    behind = spot.behind()
    if behind is not None and behind.means("be"):
        behind = behind.behind()
    if behind is None or behind.pause or not behind.means("component", "place", "size", "group", "one", "appliance"):
        return False
    for at in range(behind.at - 1, max(-1, behind.at - _TOLD_BEFORE), -1):
        before = Spot(spot.hits[at], at, spot.hits, spot.tokens)
        if before.means("condition"):
            return any(sense.id != "ok" for sense in before.senses("condition"))
        if before.means("work"):
            return False
    return False


def _same(spot: Spot) -> bool:
    """ "Same again" says something; "that same ring" only points."""
    if any(sense.id == "no-better" for sense in spot.senses("same")):
        return _no_better(spot)
    if spot.first == "neither" and spot.single:
        return _neither(spot)
    if spot.tokens[spot.hit.end - 1].norm in ("as", "the") and not spot.followed_by("place", "group", "size"):
        return False  # "same as the first", "the same as before"
    if spot.first == "so" and not spot.single and spot.followed_by("condition", "not", "work", "cured"):
        return False  # "not at its terminal, so is dead": no "so is the other one"
    if spot.first in ("doing", "does") and spot.tokens[spot.hit.start + 1].norm in ("it", "the"):
        if any(spot.tokens[i].norm in _ORDERING for i in range(max(0, spot.hit.start - 4), spot.hit.start)):
            return False  # "needed the tap doing, it was tight"
        behind = spot.behind()  # "it's the back left doing it", "front left does it too"
        behind = behind.behind() if behind is not None and behind.means("be", "now", "also") else behind
        return behind is not None and behind.means("place", "group", "size", "one", "component")
    pointing = spot.first in ("the", "same") or spot.before in ("the", "that")
    if pointing and spot.tokens[spot.hit.end - 1].norm == "same" and not spot.pause and spot.beyond in _SAME_ONE:
        return False  # "the cap on the same burner"
    return spot.before not in ("that", "this", "them", "those") or not spot.followed_by(
        "component", "size", "place", "one"
    )


def _as_new(spot: Spot) -> bool:
    """ "The knob's like new": no outcome where neither a fault nor work was told before."""
    last = spot.tokens[spot.hit.end - 1].norm
    before = (sense.kind for hit in spot.hits[max(0, spot.at - 8) : spot.at] for sense in hit.values)
    return last == "new" and spot.means("condition") and not {"condition", "work"} & set(before)


def _cured(spot: Spot) -> bool:
    """ "Mended" is an outcome, "won't have it mended" is work that nobody wants, "till it's dealt with" is still to come."""
    if put_off(spot) or _as_new(spot) or (spot.first == "left" and (spot.before in _SIDED or in_its_row(spot))):
        return False  # "front left fine": a place
    if (
        spot.first == "fixed"
        and spot.single
        and not spot.pause
        and (spot.before == "a" or spot.followed_by("component"))
    ):
        return False  # "no bayonet, it's a fixed connection": made so
    if spot.means("work") and spot.beyond in ("the", "that", "its") and not spot.pause:
        return False  # "I've fixed the lead", "made good the leaking joint": work
    if spot.first == "stopped" and spot.single and spot.pause and spot.tokens[spot.hit.start - 1].pause == ".":
        return True  # "dried it off. Stopped."
    if spot.first == "stopped" and spot.single:
        fault = spot.follower()
        return fault is not None and any(sense.id != "ok" for sense in fault.senses("condition"))
    behind = spot.behind(1)
    if behind is not None and behind.means("pronoun", "them"):
        behind = behind.behind(1)
    return not (spot.means("work") and behind is not None and behind.means("decline", "need", "not"))


def _carried_out(spot: Spot) -> bool:
    """ "Three millivolts, so it's done": the thermocouple is, not the work."""
    if spot.means("condition") and spot.before in ("millivolts", "millivolt", "mv"):
        return False
    return not spot.followed_by("past") and spot.before not in ("always", "never", "ever")


def _hedge(spot: Spot) -> bool:
    """ "It's set too high I think, I turned it down": the guess is about what was said, not about what comes."""
    if spot.tokens[spot.hit.end - 1].norm == "be" and spot.first == "must" and _is_figure(spot.beyond):
        return False  # "must be sixteen": how much it has to be
    if spot.first == "must" and spot.beyond in _FORCED:
        return False  # "the tap must be pushed very hard": how it is, no guess
    if spot.first in ("thatll", "that") and spot.beyond in ("because", "cos"):
        return False  # "and that'll be because the vessel's flat": the reason is known
    if spot.first in ("to", "in", "if") and not spot.pause and spot.beyond in _JUDGED and spot.means("hedge-after"):
        return False  # "parted by a finger, and to my mind that is dangerous": a judgement, no guess
    led = spot.tokens[spot.hit.start - 2].norm if spot.hit.start > 1 else ""
    if spot.first == "i" and spot.tokens[spot.hit.end - 1].norm == "it" and spot.beyond in PARTICLES:
        return False  # "somebody put carpet on it, I take it off"
    if spot.first == "feels" and spot.before in ("it", "she", "he") and led in ("when", "whenever"):
        return False  # "it lets go whenever it feels like it"
    if spot.tokens[spot.hit.end - 1].norm == "chance" and spot.beyond == "to":
        return False  # "never had a chance to clean it"
    if spot.means("hedge-after") and _it_is(spot):
        return False  # "so it's the magnet I'd say, tap's stiff"
    behind = spot.behind(2)
    said = behind is not None and behind.means("condition") and spot.means("hedge-after")
    return not (said and (spot.pause or spot.beyond in _GOES_ON))


def _it_is(spot: Spot) -> bool:
    """Whether "it's the" and a part stand before a guess, and another name behind it."""
    part = spot.behind()
    if part is None or not part.means("component") or part.pause or part.hit.start < len(("its", "the")):
        return False
    its, article = (token.norm for token in spot.tokens[part.hit.start - 2 : part.hit.start])
    after = spot.follower()
    led = after is not None and after.means("det") and after.followed_by("component", "place")
    return (
        its in _IT_IS and article in ("the", "a") and after is not None and (led or after.means("component", "place"))
    )


def _hedge_after(spot: Spot) -> bool:
    """ "Stiff, not sure why": what is not known is not whether it is so; "fine to start with" is no guess."""
    said = spot.behind()
    if spot.first == "to" and said is not None and any(sense.id == "ok" for sense in said.senses("condition")):
        return False
    return spot.beyond not in _ASKING | {"why", "what", "who"}


def _general(spot: Spot) -> bool:
    """ "Works nine times out of ten so ..." is said of this one, "nine times out of ten it's the magnet" of all."""
    if spot.first == "mind" and spot.before:
        behind = spot.behind()
        return behind is None or not behind.means("condition", "place")  # "grand mind, and the door hangs true"
    if spot.first in ("upstairs", "downstairs") and spot.single and spot.before in _DWELLERS:
        return False  # "the tenant upstairs stopped me": who says it
    behind = spot.behind()
    if spot.first == "next" and spot.pause and behind is not None and behind.means("appliance"):
        return False  # "second, the fire next door: pilot's dirty"
    if spot.first in ("upstairs", "downstairs") and spot.single and _which_one(spot):
        return False  # "next is the cooker upstairs", "upstairs hob first"
    told = spot.follower()
    old = spot.tokens[spot.hit.end - 1]
    if old.norm == "ones" and old.clitic and told is not None and told.means("condition"):
        return False  # "ordered a new electrode, the old one's cracked"
    yours = spot.first in ("you", "youve", "youd", "ye")
    if yours and told is not None and {"not-lighting", "not-holding"} & {s.id for s in told.senses("condition")}:
        return False  # "you've got to light it with a match"
    if spot.first not in ("nine", "most", "more"):
        return True
    behind = spot.behind()
    return not (behind is not None and behind.means("condition") and (spot.pause or spot.beyond in _GOES_ON))


def _which_one(spot: Spot) -> bool:
    """Whether a floor says which appliance of the house is meant."""
    before, after = spot.behind(), spot.follower()
    return (before is not None and before.means("appliance") and not before.owned) or (
        after is not None and after.means("appliance") and spot.before not in ("from", "the")
    )


def _if(spot: Spot) -> bool:
    """ "If it leaks" is a condition, "four millivolts, if that" is none."""
    after = spot.tokens[spot.hit.end] if spot.hit.end < len(spot.tokens) else None
    if spot.tokens[spot.hit.end - 1].norm == "have" and spot.beyond == "to":
        return False  # "you'd have to squint to see it": how it is
    return not (spot.beyond == "that" and after is not None and (after.pause or _joins(spot.tokens, spot.hit.end + 1)))


def _joins(tokens: Sequence[Token], at: int) -> bool:
    return at >= len(tokens) or tokens[at].norm in ("so", "and", "but")


def _is_figure(word: str) -> bool:
    return word[:1].isdigit() or word in _FIGURES


def _outcome(spot: Spot) -> bool:
    """ "It turns now" is an outcome, "it turns off", "it goes out", "see how it goes" are none."""
    if spot.before in _ASKING or spot.beyond == "then":
        return False  # "it lights then it goes out"
    if spot.parted and spot.tokens[spot.hit.end - 1].clitic:
        return False  # "as you stand at it, spark's fine"
    if spot.beyond == "well" and not spot.pause and spot.first in ("its", "it", "theyre"):
        return False  # "it's running well": a verdict
    verb = spot.tokens[spot.hit.end - 1].norm
    if verb in _MOVING and not spot.pause and spot.beyond in ("the", "a", "her", "his", "their", "your"):
        return False  # "blows out every time they shut the back door"
    after = spot.follower()
    praised = after is not None and any(sense.id == "ok" for sense in after.senses("condition"))  # "it stops in lovely"
    praised = praised and after is not None and after.first not in ("like", "true")
    return bool(spot.pause) or praised or (spot.beyond not in PARTICLES and not spot.followed_by("condition"))


def _still(spot: Spot) -> bool:
    """ "Nipped up the gland, no good": work did not help; "the caps are no good" is said of them. "As dirty as ever" tells of no
    change, "left as it was" of none to tell."""
    if any(sense.id == "no-better" for sense in spot.senses("same")) and _no_better(spot):
        return False
    if spot.first == "as" and spot.tokens[spot.hit.start + 1].norm not in ("far", "tight"):  # "as far as it'll go"
        return "as" in {token.norm for token in spot.tokens[max(0, spot.hit.start - 4) : spot.hit.start]}
    if spot.first != "no" or spot.tokens[spot.hit.end - 1].norm not in _NO_HELP:
        return True
    behind = spot.behind(1)
    for _ in range(3):
        if behind is None or behind.means("condition", "be"):
            return False
        if behind.means("work"):
            return True
        behind = behind.behind(1)
    return False


def _mark(spot: Spot) -> bool:
    """ "Not so good": a degree, no turn of the talk."""
    goes_on = spot.beyond in _NEXT | {
        "the",
        "that",
        "thats",
        "it",
        "theres",
    }  # "the main burner isn't, so it's the valve"
    if spot.first == "going" and spot.tokens[spot.hit.end - 1].norm == "round":
        return bool(spot.pause) or spot.followed_by("place")  # "five burners, going round, front left's fine"
    if spot.first == "since" and spot.single and spot.pause:
        return False  # "it's gone yellow since."
    return not (spot.first == "so" and spot.single and spot.before in _DENYING and not goes_on)


def _report(spot: Spot) -> bool:
    """ "Reported", "here for" are told of a call, unless it is the engineer who reports ("I've reported the leak")."""
    if spot.means("past"):
        return False  # "the previous engineer had noted": of another visit
    behind = spot.behind(1)
    if spot.tokens[spot.hit.start].norm in ("per", "as") and behind is not None and behind.means("work"):
        return False  # "laid them out per the card": how it was done
    if not any(sense.id == "called-for" for sense in spot.senses("report")):
        return True
    if spot.first in ("here", "called", "came"):
        return spot.before in ("", "im", "i", "we", "were", "been", "was", "only", "got")
    return spot.first != "reported" or spot.before not in ("i", "ive", "we", "weve", "and", "be", "to", "must")


def _once_before(spot: Spot) -> bool:
    """ "We've had a weak thermocouple on this one before": at the end of what had been so or was had."""
    if not (spot.pause or not spot.beyond or spot.beyond in ("and", "but", "so")):
        return False
    for at in range(spot.hit.start - 1, max(-1, spot.hit.start - 13), -1):
        if spot.tokens[at].pause:
            return False
        if spot.tokens[at].norm in ("had", "been", "seen"):
            return True
    return False


def _past(spot: Spot) -> bool:
    """ "The last guy left the lead off": how somebody left a thing is how it is now."""
    if spot.first == "before" and spot.single:
        return _once_before(spot)
    if spot.first == "before" and spot.tokens[spot.hit.end - 1].norm in ("that", "this") and spot.before:
        return False  # "the flames were lifting before that": before the work
    counted = spot.tokens[spot.hit.start - 1].norm in _FIGURES if spot.hit.start else False
    led = spot.hit.start - 1 - counted
    if led >= 0 and spot.tokens[led].norm in _DATED and not spot.tokens[led].pause:
        return False  # "the hose is dated two years back": how old it is
    somebody = spot.tokens[spot.hit.end - 1].norm in _BEFORE_ME
    return not (somebody and spot.beyond in ("left", "forgot"))


_FITS: dict[str, Callable[[Spot], bool]] = {
    "past": _past,
    "report": _report,
    "own": _own,
    "except": _except,
    "place": is_place,
    "size": is_size,
    "component": _component,
    "correct": _correct,
    "condition": is_condition,
    "work": is_work,
    "but": _but,
    "need": _need,
    "not": lambda spot: not _neither(spot),
    "same": _same,
    "if": _if,
    "general": _general,
    "hedge": _hedge,
    "in-order": lambda spot: spot.first != "in" or spot.before not in ("is", "are", "was", "were", "be"),
    "hedge-after": _hedge_after,
    "cured": _cured,
    # not "I did that last year", "it's always done that"
    "carried-out": lambda spot: _carried_out(spot),
    "outcome": _outcome,
    "no": _no,
    "deny": _deny,
    "group": is_group,
    "does": _does,
    "mark": _mark,
    "still": _still,
}
