"""Whether words are a remark on what was said, and no statement. In: a phrase with its neighbours. Out: yes or no.

"The same", "no better", "as new", guesses, rules of thumb, what was once. Not allowed to know: what was said before in the talk.
"""

from collections.abc import Sequence

from fieldnote.extract.phrases.fits_places import in_its_row
from fieldnote.extract.phrases.fits_work import PARTICLES, put_off
from fieldnote.extract.phrases.spot import Spot
from fieldnote.extract.words.tokens import Token

_RATED = frozenset("at is was of one are were has in".split())  # behind "neither", which denies what follows
_SAME_ONE = frozenset(
    "old trouble problem fault burner ring hob tap one place corner side appliance boiler cooker fire job".split()
)
_ASKING = frozenset("how if when where till until before as while whether that which once".split())
_IT_IS = frozenset("its thats thatll theyre be".split())
_GOES_ON = frozenset("i ive we so and but well anyway".split())
_SIDED = frozenset("front rear back top bottom near far the hand".split())  # before "left", a place
_DWELLERS = frozenset(
    "tenant tenants lady man woman fella bloke neighbour neighbours family lad lass couple one".split()
)
_FORCED = frozenset("pushed pressed pulled turned held forced lifted hit knocked shaken twisted".split())
_ROUGHLY = frozenset("about around roughly nearly almost".split())
_SPOKEN_OF = 60  # phrases in which a corner may have been spoken of
_WILL = frozenset("itll theyll thatll hell shell".split())
_AGES = frozenset("old years year months weeks mm millimetres mil inch inches".split())
_SUPPOSING = frozenset(
    "say think reckon guess suppose imagine".split()
)  # last words of a guess that may end what was said
_JUDGED = frozenset("that thats it its this theyre".split())
_NO_HELP = frozenset("good use change difference help odds".split())
_ORDERING = frozenset(
    "order ordered ordering need needs needed want wants wanted get getting bring bringing fetch".split()
)
_BEFORE_ME = frozenset("guy lad fella feller man bloke engineer lot fitter chap one".split())
_DATED = frozenset("dated stamped marked made manufactured expired".split())
_FIGURES = frozenset(
    "two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen "
    "twenty thirty forty fifty few couple".split()
)
_MOVING = frozenset("shut shuts close closes open opens run runs turn turns".split())
_TOLD_HERE = 5  # phrases from a corner to what one gets there
_TOLD_BEFORE = 10  # phrases within which the fault was told that another part has as well


def neither(spot: Spot) -> bool:
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


_HOUSE = frozenset(
    "kitchen room house property flat address building customer tenant landlord bungalow street day visit".split()
)
_PUT_DOWN, _OURSELVES = 7, frozenset("i id ive we weve wed".split())  # words from "I put" to "down as"
_TESTS = frozenset({"test", "check", "tests", "checks"})
_WHEN_SOME = frozenset({"maybe", "perhaps", "possibly", "probably", "mebbe"})


def same(spot: Spot) -> bool:
    """ "Same again" says something; "that same ring" only points."""
    if any(sense.id == "no-better" for sense in spot.senses("same")):
        return _no_better(spot)
    if spot.first == "neither" and spot.single:
        return neither(spot)
    if spot.single and not spot.pause and spot.beyond in _HOUSE | _TESTS:
        return False  # "cooker in same kitchen", "did the same test"
    if spot.tokens[spot.hit.end - 1].norm == "same" and not spot.pause and spot.beyond in _HOUSE | _TESTS:
        return False
    if spot.tokens[spot.hit.end - 1].norm in ("as", "the", "like") and not spot.followed_by("place", "group", "size"):
        return False  # "same as the first", "the same as before"
    if spot.first == "so" and not spot.single and spot.followed_by("condition", "not", "work", "cured"):
        return False  # "not at its terminal, so is dead": no "so is the other one"
    if spot.first in ("doing", "does") and spot.tokens[spot.hit.start + 1].norm in ("it", "the"):
        if any(spot.tokens[i].norm in _ORDERING for i in range(max(0, spot.hit.start - 4), spot.hit.start)):
            return False  # "needed the tap doing, it was tight"
        behind = spot.behind()  # "it's the back left doing it", "front left does it too"
        behind = behind.behind() if behind is not None and behind.means("be", "now", "also") else behind
        return behind is not None and behind.means("place", "group", "size", "one", "component")
    pointing = spot.first in ("the", "same", "is") or spot.before in ("the", "that")
    if pointing and spot.tokens[spot.hit.end - 1].norm == "same" and not spot.pause and spot.beyond in _SAME_ONE:
        return False  # "the cap on the same burner"
    return spot.before not in ("that", "this", "them", "those") or not spot.followed_by(
        "component", "size", "place", "one"
    )


def _as_new(spot: Spot) -> bool:
    """ "The knob's like new": no outcome where neither a fault nor work was told before."""
    last = spot.tokens[spot.hit.end - 1].norm
    where = spot.behind()
    if last == "new" and where is not None and any("-" in sense.id for sense in where.senses("place")):
        return (
            spot.means("condition") and spot.tokens[spot.hit.start - 1].clitic
        )  # "wiped it off, back right's like new"
    before = (sense.kind for hit in spot.hits[max(0, spot.at - 8) : spot.at] for sense in hit.values)
    if last != "new" or not spot.means("condition"):
        return False
    return not {"condition", "work"} & set(before) or _at_another_corner(spot)


def _at_another_corner(spot: Spot) -> bool:
    """ "Front right hardly used rear left like new": of a corner that was not spoken of before it is praise."""
    corner = spot.behind()
    here = {sense.id for sense in corner.senses("place") if "-" in sense.id} if corner is not None else set()
    earlier = spot.hits[max(0, spot.at - _SPOKEN_OF) : max(0, spot.at - 1)]
    return bool(here) and not any(sense.kind == "place" and sense.id in here for hit in earlier for sense in hit.values)


def cured(spot: Spot) -> bool:
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
    named = spot.behind() if spot.first == "stopped" and spot.means("condition") else None
    if named is not None and named.means("place", "component"):
        return False  # "front right stopped sparking again": a fault
    if spot.first == "stopped" and spot.single and spot.pause and spot.tokens[spot.hit.start - 1].pause == ".":
        return True  # "dried it off. Stopped."
    if spot.first == "stopped" and spot.single:
        fault = spot.follower()
        return fault is not None and any(sense.id != "ok" for sense in fault.senses("condition"))
    behind = spot.behind(1)
    if behind is not None and behind.means("pronoun", "them"):
        behind = behind.behind(1)
    return not (spot.means("work") and behind is not None and behind.means("decline", "need", "not"))


def hedge(spot: Spot) -> bool:
    """ "It's set too high I think, I turned it down": the guess is about what was said, not about what comes."""
    if spot.tokens[spot.hit.end - 1].norm == "be" and spot.first == "must" and _is_figure(spot.beyond):
        return False  # "must be sixteen": how much it has to be
    if spot.first == "must" and spot.beyond in _FORCED:
        return False  # "the tap must be pushed very hard": how it is, no guess
    if spot.first in ("thatll", "that") and spot.beyond in ("because", "cos"):
        return False  # "and that'll be because the vessel's flat": the reason is known
    if spot.first in ("to", "in", "if") and not spot.pause and spot.beyond in _JUDGED and spot.means("hedge-after"):
        return False  # "parted by a finger, and to my mind that is dangerous": a judgement, no guess
    if _of_a_day(spot):
        return False  # "changed the door maybe two years ago": only the day is guessed
    led = spot.tokens[spot.hit.start - 2].norm if spot.hit.start > 1 else ""
    if spot.first == "i" and spot.tokens[spot.hit.end - 1].norm == "it" and spot.beyond in PARTICLES:
        return False  # "somebody put carpet on it, I take it off"
    if spot.first == "feels" and spot.before in ("it", "she", "he") and led in ("when", "whenever"):
        return False  # "it lets go whenever it feels like it"
    if spot.tokens[spot.hit.end - 1].norm == "chance" and spot.beyond == "to":
        return False  # "never had a chance to clean it"
    if _of_a_size(spot) or _praise_next(spot):
        return False
    if spot.means("hedge-after") and _it_is(spot) and spot.tokens[spot.hit.end - 1].norm != "be":
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


def _of_a_size(spot: Spot) -> bool:
    """ "A chip out of it I'd say about a fingernail", "ten year old I'd say": how much is guessed at, not whether it is so."""
    return not spot.pause and (spot.beyond in _ROUGHLY or spot.before in _AGES or _how_long_yet(spot))


def _how_long_yet(spot: Spot) -> bool:
    """ "Worn thin I'd say it'll last another year": how long it will go on, not whether it is so."""
    ahead = [token.norm for token in spot.tokens[spot.hit.end : spot.hit.end + 2]]
    return len(ahead) > 1 and ahead[0] in _WILL and ahead[1] in ("last", "do", "see", "go", "manage")


def _praise_next(spot: Spot) -> bool:
    """ "Used twice I should think front left lovely", "it's the bearing I'd guess small oven's fine": nobody guesses that a part
    named without its article is fine; it ends what was said before."""
    words = [token.norm for token in spot.tokens[spot.hit.start : spot.hit.end]]
    if words[-1] not in _SUPPOSING or words == ["i", "think"] or not spot.before:
        return False
    named, told = 0, spot.follower()
    while told is not None and named < len(("front left", "burner", "cap")):
        if not told.means("place", "size", "appliance", "component") or any(
            s.id == "ok" for s in told.senses("condition")
        ):
            break
        named, told = named + 1, told.follower()
    if told is not None and told.means("be") and told.single:
        told = told.follower()
    return named > 0 and told is not None and any(sense.id == "ok" for sense in told.senses("condition"))


def _of_a_day(spot: Spot) -> bool:
    """ "Maybe two years ago": a number may stand before the day."""
    near = [hit for hit in spot.hits[spot.at + 1 : spot.at + 3] if hit.start - spot.hit.end < 2]
    dated = any(sense.kind == "past" for hit in near for sense in hit.values)
    return spot.first in _WHEN_SOME and dated and not spot.pause


def hedge_after(spot: Spot) -> bool:
    """ "Stiff, not sure why": what is not known is not whether it is so; "fine to start with" is no guess."""
    if _of_a_size(spot) or _of_a_day(spot):
        return False
    said = spot.behind()
    if spot.first == "to" and said is not None and any(sense.id == "ok" for sense in said.senses("condition")):
        return False
    return spot.beyond not in _ASKING | {"why", "what", "who"}


def general(spot: Spot) -> bool:
    """ "Works nine times out of ten so ..." is said of this one, "nine times out of ten it's the magnet" of all."""
    if spot.first == "mind" and spot.before:
        behind = spot.behind()
        return behind is None or not behind.means("condition", "place")  # "grand mind, and the door hangs true"
    if spot.first in ("upstairs", "downstairs") and spot.single and spot.before in _DWELLERS:
        return False  # "the tenant upstairs stopped me": who says it
    behind = spot.behind()
    if spot.first == "normally" and spot.single and behind is not None and behind.means("condition", "outcome"):
        return False  # "it sparks normally, so the generator is fine"
    if spot.first == "next" and spot.pause and behind is not None and behind.means("appliance"):
        return False  # "second, the fire next door: pilot's dirty"
    if spot.first in ("upstairs", "downstairs") and spot.single and _which_one(spot):
        return False  # "next is the cooker upstairs", "upstairs hob first"
    if spot.first == "you" and spot.tokens[spot.hit.end - 1].norm == "get" and _at_a_corner(spot):
        return False  # "rear left, when you light it you get a big lift": of that one
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


def _at_a_corner(spot: Spot) -> bool:
    """Whether a corner stands before the remark, with nothing told of it yet."""
    for hit in reversed(spot.hits[max(0, spot.at - _TOLD_HERE) : spot.at]):
        if any(token.pause == "." for token in spot.tokens[hit.end - 1 : hit.end]):
            return False
        kinds = {sense.kind for sense in hit.values}
        if any(sense.kind == "place" and "-" in sense.id for sense in hit.values):
            return True
        if kinds & {"condition", "work", "component"} and not kinds & {"when", "pronoun", "be"}:
            return False
    return False


def _which_one(spot: Spot) -> bool:
    """Whether a floor says which appliance or part of the house is meant: "the alarm upstairs is out of date"."""
    before, after = spot.behind(), spot.follower()
    part = before is not None and before.means("component") and not before.pause
    return (before is not None and (before.means("appliance") or part) and not before.owned) or (
        after is not None and after.means("appliance") and spot.before not in ("from", "the")
    )


def supposes(spot: Spot) -> bool:
    """ "If it leaks" is a condition, "four millivolts, if that" is none."""
    if spot.first == "should":
        return spot.before in ("", "and", "but", "so")  # "should that crack spread", not "as it should that one"
    after = spot.tokens[spot.hit.end] if spot.hit.end < len(spot.tokens) else None
    if spot.tokens[spot.hit.end - 1].norm == "have" and spot.beyond == "to":
        return False  # "you'd have to squint to see it": how it is
    return not (spot.beyond == "that" and after is not None and (after.pause or _joins(spot.tokens, spot.hit.end + 1)))


def _joins(tokens: Sequence[Token], at: int) -> bool:
    return at >= len(tokens) or tokens[at].norm in ("so", "and", "but")


def _is_figure(word: str) -> bool:
    return word[:1].isdigit() or word in _FIGURES


def outcome(spot: Spot) -> bool:
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


def still(spot: Spot) -> bool:
    """ "Nipped up the gland, no good": work did not help; "the caps are no good" is said of them. "As dirty as ever" tells of no
    change, "left as it was" of none to tell."""
    if any(sense.id == "no-better" for sense in spot.senses("same")) and _no_better(spot):
        return False
    if spot.first == "as" and spot.tokens[spot.hit.start + 1].norm not in ("far", "tight"):  # "as far as it'll go"
        return "as" in {token.norm for token in spot.tokens[max(0, spot.hit.start - 4) : spot.hit.start]}
    if spot.first == "down" and spot.before in ("it", "them", "that", "her", "him"):
        return False  # "the tape had lifted, taped it down again"
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


def report(spot: Spot) -> bool:
    """ "Reported", "here for" are told of a call, unless it is the engineer who reports ("I've reported the leak")."""
    if spot.means("past"):
        return False  # "the previous engineer had noted": of another visit
    if spot.first == "down" and spot.before in ("going", "goes", "putting"):
        return False  # "that's going down as at risk": the engineer's own word
    before = {token.norm for token in spot.tokens[max(0, spot.hit.start - _PUT_DOWN) : spot.hit.start]}
    if spot.first == "down" and before & _OURSELVES and before & {"put", "had", "got", "id", "ive"}:
        return False  # "I had the rear left down as stiff": what he noted himself
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


def past(spot: Spot) -> bool:
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
