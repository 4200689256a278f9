"""Whether a little word ("but", "no", "need", "so") means here what it means elsewhere. In: a phrase with its neighbours.
Out: yes or no. Not allowed to know: what was said before in the talk.
"""

from itertools import pairwise

from fieldnote.extract.phrases.fits_sizes import (
    only_those,
)
from fieldnote.extract.phrases.spot import Spot
from fieldnote.extract.words.lexicon import SKIP

_NEAR = 4  # words behind "done" within which what was put in its place is told
_ASKED = 8  # words of a question before its other half


def past_its_work(spot: Spot) -> bool:
    """ "The thermocouple was done, put a new one in": the part was, and what was put in its place is told next."""
    be = spot.behind()
    named = be is not None and be.means("be") and (be.behind() or be).means("component")
    named = named or (
        be is not None and be.means("component") and be.tokens[be.hit.end - 1].clitic
    )  # "magnet's done so ..."
    if not (named or spot.owned):
        return False
    near = [hit for hit in spot.hits[spot.at + 1 : spot.at + 4] if hit.start - spot.hit.end < _NEAR]
    return any(sense.kind == "work" and sense.id == "replace" for hit in near for sense in hit.values)


_EMPHATIC = frozenset("look seem feel appear need want sound smell".split())
_DENYING = frozenset("not isnt wasnt arent werent never no".split())
_NEXT = frozenset("so and but i ive its then next now anyway right ok okay".split())
_THAT = frozenset({"that", "thats"})
_TAKING_BACK = frozenset(
    "i im ive i'm its it not sorry wait hang hold thats the that actually rather make um er erm uh".split()
)


_STOPPING = {("hang", "on"), ("hold", "on"), ("one", "sec"), ("one", "second"), ("one", "minute"), ("just", "there")}
_THANKING = frozenset("thanks thank ta cheers please love pal mate duck hen pet missus lads lad son".split())
_ASIDE = 8  # words to somebody else in the room


def other_half(spot: Spot) -> bool:
    """ "Is it the board or is it the fan": the other half of a question puts nothing right."""
    before = [token.norm for token in spot.tokens[max(0, spot.hit.start - _ASKED) : spot.hit.start]]
    return spot.first == "or" and ("is", "it") in pairwise(before)


def corrects(spot: Spot) -> bool:
    if not spot.means("no"):
        return True
    if _no_what(spot):
        return False
    if only_those(spot.follower()):
        return True
    return spot.follower() is None or spot.followed_by("place", "group", "pronoun", "det", "mark")


def interrupted(spot: Spot) -> bool:
    """ "Hang on, yeah, in the kitchen, thanks, sorry, front right": somebody else was spoken to, and the talk goes on."""
    start, end = spot.hit.start, spot.hit.end
    first = max(0, start - _ASIDE)
    words = [token.norm for token in spot.tokens[first : end + _ASIDE]]
    if tuple(words[start - first : end - first]) in _STOPPING:
        return bool(_THANKING & set(words[end - first :]))
    if spot.first != "sorry" or not spot.single:
        return False
    before = words[: start - first]
    stop = next((at for at in range(len(before) - 1) if tuple(before[at : at + 2]) in _STOPPING), None)
    return stop is not None and bool(_THANKING & set(before[stop:]))


def only_but(spot: Spot) -> bool:
    """ "The wok though doesn't get enough gas": behind a name it sets nothing against anything."""
    if spot.first == "just" and spot.single and spot.beyond in ("needs", "needed", "wants", "wanted", "need", "want"):
        return False  # "the one behind it just needed a clean"
    if spot.first not in ("though", "however") or not spot.single:
        return True
    behind = spot.behind()
    named = behind is not None and behind.means("component", "place", "size", "group", "appliance", "one")
    taken_up = spot.beyond in _THAT and spot.followed_by("pronoun")  # "the seal though, that's gone hard"
    return not (named and (taken_up or spot.followed_by("be", "not", "condition", "need")))


def leaves_out(spot: Spot) -> bool:
    """ "All clear but the front right and that's half gunked up": what is left out of praise."""
    if spot.first != "but" or spot.tokens[spot.hit.end - 1].norm == "for":
        return True
    behind, place = spot.behind(), spot.follower()
    praised = behind is not None and any(sense.id == "ok" for sense in behind.senses("condition")) and not behind.pause
    if not praised or place is None or not place.means("place") or spot.tokens[place.hit.end - 1].clitic:
        return False
    after = place.follower()
    return bool(place.pause) or after is None or after.means("and", "pronoun", "work", "mark")


_LOOKING = frozenset(["", *"i ive we weve and then so also just good fine ok right alright clean sound".split()])


def own_look(spot: Spot) -> bool:
    """ "It is": the engineer's own word, unless it takes up a name ("the valve it is hard")."""
    behind = spot.behind()
    if spot.first == "looked" and spot.before not in _LOOKING:
        return False  # "the last chap looked at the valve"
    if spot.means("condition") and spot.beyond in ("on", "with", "at") and spot.followed_by("prep"):
        return False  # "no fault found on the boiler"
    if spot.means("condition") and behind is not None and behind.pause != ".":
        # "front right: can't fault it"
        return not behind.means("component", "place", "size", "group", "appliance", "be")
    return spot.first != "it" or behind is None or bool(behind.pause) or not behind.means("component")


def needed(spot: Spot) -> bool:
    if spot.first == "to" and spot.before in ("had", "managed"):
        return False  # "had to swap it", "managed to free it": it is done
    return not spot.means("prep", "pronoun", "det", "mark") or spot.followed_by("work")


def denies_what(spot: Spot) -> bool:
    """ "But it isn't" answers what was said; "but it isn't burnt" says something itself."""
    said = spot.pause or not spot.beyond or spot.beyond in _NEXT or spot.follower() is not None
    return bool(said) and not spot.followed_by("condition", "work", "component", "det")


def stands_for(spot: Spot) -> bool:
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


def denies_here(spot: Spot) -> bool:
    """ "Nor any cracks" denies; "nor any of the taps" only goes on with the list."""
    if (_no_what(spot) and spot.first == "no") or (spot.first in ("nothing", "nowt") and spot.before == "to"):
        return False  # "worn down to nothing, new ones fitted"
    if not spot.means("or"):
        return True
    nouns = (Spot(hit, 0, (), spot.tokens) for hit in spot.hits[spot.at + 1 : spot.at + 4])
    noun = next((noun for noun in nouns if not noun.means("det", "prep")), None)
    return noun is None or not noun.means("component")


def carried_out(spot: Spot) -> bool:
    """ "Three millivolts, so it's done": the thermocouple is, not the work."""
    if spot.means("condition") and spot.before in ("millivolts", "millivolt", "mv"):
        return False
    if spot.means("condition") and spot.single and past_its_work(spot):
        return False
    if spot.tokens[spot.hit.end - 1].norm == "have" and spot.followed_by("work"):
        return False  # "out of date, so I have advised a new one": the verb follows
    return not spot.followed_by("past") and spot.before not in ("always", "never", "ever")


def next_alone(spot: Spot) -> bool:
    """ "Going round: chipped cap. Next, fine. Next, tap stiff": the next burner, of which no part is named."""
    after = spot.hits[spot.at + 1] if spot.at + 1 < len(spot.hits) else None
    told = after is not None and any(s.kind == "condition" and s.id == "ok" for s in after.values)
    alone = after is not None and after.start == spot.hit.end and bool(spot.tokens[after.end - 1].pause)
    return bool(spot.pause) and not spot.before and spot.hit.start > 0 and told and alone


def that_corner(spot: Spot) -> bool:
    """ "I've cleared that rear left jet": "that" only points at the part whose corner follows."""
    corner, behind = spot.follower(), spot.behind()
    part = corner.follower() if corner is not None else None
    if spot.first != "that" or not spot.single or behind is None or not behind.means("work") or corner is None:
        return False
    named = part is not None and part.means("component") and not part.followed_by("condition", "be", "not")
    named = (
        named and part is not None and not spot.tokens[part.hit.end - 1].clitic
    )  # "cleared that, front right magnet's gone"
    return named and any("-" in sense.id for sense in corner.senses("place"))


def turns(spot: Spot) -> bool:
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
    if spot.first in ("ok", "okay", "alright") and spot.single and spot.before == "is":
        return False  # "my probe says 176, so is okay"
    if spot.first == "well" and spot.single and spot.before and not spot.pause and spot.followed_by("condition"):
        told = spot.tokens[spot.hit.start - 1]
        return not (told.clitic or told.norm in ("is", "was", "are", "were", "thats"))  # "that one's well heavy"
    named = spot.behind()
    if spot.first == "well" and spot.single and spot.beyond in _THAT and named is not None and named.means("place"):
        return False  # "and the back right well that's fine"
    if spot.first == "since" and spot.single and spot.pause:
        return False  # "it's gone yellow since."
    return not (spot.first == "so" and spot.single and spot.before in _DENYING and not goes_on)
