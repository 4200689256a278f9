"""Which of its meanings a phrase has here. In: a phrase with its neighbours. Out: the kind it is taken as, or None.

"Right" is a place or opens a statement, "top" a cap or a place, "clean" work or a state: the words beside it decide. Not
allowed to know: what was said before in the talk.
"""

import itertools
from collections.abc import Callable

from fieldnote.extract.phrases.beside import row_instead
from fieldnote.extract.phrases.exchanging import exchanged_to_try
from fieldnote.extract.phrases.fits_places import along_its_ports, beside_it, is_place, says_how
from fieldnote.extract.phrases.fits_remarks import (
    cured,
    general,
    hedge,
    hedge_after,
    neither,
    outcome,
    past,
    report,
    same,
    still,
    supposes,
)
from fieldnote.extract.phrases.fits_sizes import (
    all_counts_on,
    counts_unknown,
    is_group,
    is_size,
    is_which,
    of_the_ovens,
    shows_a_figure,
)
from fieldnote.extract.phrases.fits_small import (
    carried_out,
    corrects,
    denies_here,
    denies_what,
    interrupted,
    leaves_out,
    needed,
    next_alone,
    only_but,
    other_half,
    own_look,
    past_its_work,
    stands_for,
    that_corner,
    turns,
)
from fieldnote.extract.phrases.fits_states import COPULAS, is_condition
from fieldnote.extract.phrases.fits_work import came_of_work, goes_on_new, is_work
from fieldnote.extract.phrases.left_alone import wanted_by_nobody
from fieldnote.extract.phrases.no_state import let_fall
from fieldnote.extract.phrases.own_things import not_with_me, of_a_tool
from fieldnote.extract.phrases.spot import Spot
from fieldnote.extract.words.symptoms import AT_BURNER
from fieldnote.trade.spoken import STRANGER

# the first kind of a phrase that fits its neighbours is taken, in this order
ORDER = (
    "when size component place group appliance next-burner next-appliance back-to close take-back correct idle recap report "
    "normal confirm deny but own if general does earlier in-order swap past past-by today cured carried-out outcome still "
    "decline hedge hedge-after no not-that not no-after work condition need same also them pronoun one now mark except and "
    "or prep be det design ask answer nothing"
).split()
_RANK = {kind: rank for rank, kind in enumerate(ORDER)}
_CUTTING = frozenset("to had and i ive we".split())
_HAVING_TO = frozenset("has have must needs need got".split())
_ABOUT_TO = frozenset("to and ill i will didnt".split())
_METERED = frozenset("put stuck swung clipped with used using hooked across".split())  # before "a meter"
_TROUBLE = frozenset("bother trouble problem problems issue issues wrong happy matter".split())
_NAMING = frozenset("thats is as its it was made called".split())  # before a class said by its letters
_OWNERS = frozenset("theyve shes hes youve".split())
_THIS = frozenset("this that it its thats which".split())
_LATELY = 12  # phrases within which a fault that is taken back was told
_SHOWN = frozenset("but so and because cos see there here no".split())  # behind "look"
_PUT_ON = frozenset("put switched turned with having had".split())
_LOOKED_AT = frozenset(
    "done tested checked touched inspected looked seen serviced included mine tried accessible".split()
)
_OPENED = frozenset("opened open opens shut shuts closed lifted lift lifts raised".split())
_ARTICLES = frozenset("the a an her his their my our your that this one".split())
_OF_IT = frozenset("on at from of".split())
_WHERE_IT_IS = _OF_IT | frozenset(
    "behind under by over above beside below near in past through round to with off for against onto into along up down across "
    "inside outside like as than where between feeding serving opposite".split()
)
_USED = frozenset(
    "run ran running runs open opened opens opening turn turned turning use used using move moved moving".split()
)
_STOPS = {("hang", "on"), ("hold", "on"), ("hang", "about"), ("hold", "up"), ("wait",), ("hang", "fire")}
_TO_SOMEBODY = frozenset(
    "let lets love pal mate duck pet hen darling lads madam missus while whilst till until".split()
)
_WHERE = frozenset("in near on at over under touching sitting reaching close far where".split())
_THINGS = frozenset({"place", "group", "size", "component", "appliance"})
# kinds that are taken without a look at the neighbours when nothing else is possible
_NOT_WANTED = frozenset("dont doesnt didnt want wants".split())
_NEAR = 2  # words from "works" to "until" ("works fine until it gets hot")
_ALARM = frozenset({"co-alarm"})
_TRIED = 12  # words between an alarm's sound and who tried it
_SOUNDING = frozenset(
    "went goes going gone off rang rings ringing sounded sounds sounding shouted screamed yelled shrieked blared".split()
)
_PRESSED = frozenset(
    "press presses pressed pressing button test tests tested testing push pushed pushing prod prodded poke poked hit held hold "
    "dunt proved".split()
)
_NOTHING_NEEDED = frozenset("nothing nowt nought required needed wanted necessary doing done".split())
_BUT = frozenset("but except bar beyond".split())
_UNTIL = frozenset("until till til once if unless".split())
_SOMEBODY_DOES = frozenset("you youre youve i it its she he they we the somebody someone anybody her his".split())
_NEVER_ALONE = frozenset({"correct", "need"})


def _until(spot: Spot) -> bool:
    """Whether a part is said to be fit no longer than until something is done, or only once it is, not until a date."""
    if not any(sense.id == "ok" for sense in spot.senses("condition")):
        return False
    for at in range(spot.hit.end, min(spot.hit.end + _NEAR, len(spot.tokens) - 1)):
        if spot.tokens[at - 1].pause:
            return False
        if spot.tokens[at].norm in _UNTIL:
            return spot.tokens[at + 1].norm in _SOMEBODY_DOES
    return False


def _nothing_but(spot: Spot) -> bool:
    """Whether what is needed besides nothing is still to come: "nothing required except a new seal"."""
    ends = spot.tokens[spot.hit.end - 1].norm in _NOTHING_NEEDED and not spot.pause
    return ends and spot.beyond in _BUT and any(sense.id == "ok" for sense in spot.senses("condition"))


def _nobody_pressed(spot: Spot) -> bool:
    """Whether an alarm only sounds: without a word of somebody who tries it, that is no test that it passed."""
    if not all(sense.id == "passed" and sense.of == _ALARM for sense in spot.senses("condition")):
        return False
    around = spot.tokens[max(0, spot.hit.start - _TRIED) : spot.hit.end + _TRIED]
    words = {token.norm for token in around}
    sounding = {token.norm for token in spot.tokens[spot.hit.start : spot.hit.end]} & _SOUNDING
    return bool(sounding) and words.isdisjoint(_PRESSED)


def kind_of(spot: Spot) -> str | None:
    """The kind that a phrase is taken as; None when it means nothing here."""
    kinds = {sense.kind for sense in spot.hit.values}
    if "condition" in kinds and is_which(spot):
        return "which"
    if kinds == {"back-to"} and spot.first == "again" and (same := spot.behind(2)) and same.means("same"):
        return "prep"  # "same two jobs again on the rear right"
    if "report" in kinds and spot.tokens[spot.hit.end - 1].norm == "be" and spot.beyond[:1].isdigit():
        return "mark"  # "stamped 65 and it's meant to be 72": a rule, and nobody tells it
    if "appliance" in kinds and beside_it(spot):
        return "det"  # "lead was burnt through on the grill side, swapped"
    if "size" in kinds and of_the_ovens(spot):
        return "det"  # "two ovens on this, the big one's thermostat"
    row = row_instead(spot, next(iter(kinds))) if len(kinds) == 1 else None
    if row is not None:
        return row.taken
    if "mark" in kinds and spot.first in ("let", "see") and spot.beyond in ("you", "him", "them", "anybody", "anyone"):
        return None  # "don't let me see you put a bayonet on bottled gas"
    had = spot.beyond.endswith("ed") or spot.beyond in ("a", "one", "another", "no")
    if kinds == {"need"} and spot.first == "id" and spot.single and had:
        return None  # "I'd cleaned the caps", "I'd a new one": I had
    if kinds == {"hedge"} and spot.tokens[spot.hit.end - 1].norm == "be" and _ought(spot) and spot.followed_by("work"):
        return "need"  # "it weeps all night, it has to be changed"
    if "condition" in kinds and spot.tokens[spot.hit.end - 1].norm == "be" and spot.beyond[:1].isdigit():
        return None  # "gap 3.5 mm, where it should be 4": a figure, no verdict
    if kinds == {"no"} and spot.parted and spot.tokens[spot.hit.end - 1].norm == "the":
        return None  # "there's a spark, so it's not that, the injector was full"
    if kinds & {"work", "condition"} and exchanged_to_try(spot.tokens, spot.hit.start):
        return "mark"  # "no spark swapped the leads over to see": a turn of the talk
    if "condition" in kinds and spot.first in _NOT_WANTED and wanted_by_nobody(spot):
        return None  # "he doesn't want anything doing to it": no verdict of the engineer's
    if "condition" in kinds and spot.first == "like" and spot.tokens[spot.hit.start].pause and not spot.single:
        return None  # "round the hob, like: wok burner's fine": no image
    if (
        "condition" in kinds
        and kinds & {"deny", "decline"}
        and (named := spot.behind(2))
        and named.means(*_THINGS)
        and named.pause != "."
    ):
        return "condition"  # "oven I couldn't see anything wrong with it": nobody is answered
    if kinds == {"condition"} and _nobody_pressed(spot):
        return None  # "the alarm went off every time I lit the fire": no test
    if "condition" in kinds and (_until(spot) or _nothing_but(spot)):
        return None  # "burns nice until you put a pan on it", "needs nothing but a new seal"
    if "condition" in kinds and (of_a_tool(spot) or not_with_me(spot) or let_fall(spot)):
        return None
    if "group" in kinds and along_its_ports(spot):
        return None  # "rusted along the back row of ports"
    if "work" in kinds and came_of_work(spot):
        return "cured"
    if "component" in kinds and _then_catches(spot):
        return "cured"
    if counts_unknown(spot) or _cut_away(spot) or _fires_up(spot):
        return None
    if [t.norm for t in spot.tokens[spot.hit.start : spot.hit.end]] == ["no", "no"] and spot.before in ("a", "big"):
        return "det"  # "cracked right across, so it's a no no"
    if spot.first in ("showing", "shows") and spot.single and spot.followed_by("condition"):
        return "be"  # "it's showing cracks": what it shows is said behind
    if (spot.first == "new" and spot.single and goes_on_new(spot)) or says_how(spot):
        return "det"  # no more than an article
    if (
        "condition" in kinds
        and "work" in kinds
        and spot.first == "soaked"
        and spot.before in ("was", "is", "were", "are")
    ):
        return "condition"  # "the switch was soaked in gravy"
    if (
        "no-after" in kinds
        and spot.first in ("none", "nothing")
        and spot.beyond == "of"
        and spot.single
        and not spot.pause
    ):
        of_what = spot.tokens[spot.hit.end + 1].norm if spot.hit.end + 1 < len(spot.tokens) else ""
        if of_what in _THIS:
            return None  # "sounded when I pressed it, none of this is at risk"
    if kinds & {"them", "pronoun"} and _that_they_have(spot):
        return None
    if kinds == {"same"} and spot.first == "as" and spot.followed_by("condition") and spot.behind() is not None:
        return "be"  # "it's the cover as is loose": that is
    if kinds == {"be"} and spot.first == "look" and spot.single and _look_here(spot):
        return None
    if kinds == {"correct"} and _only_denies(spot):
        return "not"
    if kinds == {"correct"} and other_half(spot):
        return None
    if "decline" in kinds and spot.beyond == spot.tokens[spot.hit.end - 1].norm == "no":
        return None  # "cracked right across, so that's a no no"
    if "decline" in kinds and spot.first == "no" and spot.beyond in ("thats", "its") and not spot.pause:
        return "correct"  # "no, he says, that's the crown"
    if "decline" in kinds and _no_refusal(spot):
        return None
    if "decline" in kinds and _will_not(spot):
        return "condition"
    if kinds == {"pronoun"} and all_counts_on(spot):
        return None
    if kinds == {"correct"} and (spot.before == "so" or _breaks_off(spot) or interrupted(spot) or _how_much(spot)):
        return None  # "the jet's for lpg, so that's wrong": a verdict
    if spot.first == "id" and spot.single and (spot.before in _NAMING or spot.beyond == "d"):
        return None  # "that's id, I've capped it": the class, not "I'd"
    if kinds <= {"correct", "deny"} and _tells_where(spot):
        return None
    for kind in sorted(kinds, key=_RANK.__getitem__):
        if kind == "nothing":
            return None
        if kind not in _FITS or _FITS[kind](spot) or (kind in _NEVER_ALONE and len(kinds - {"nothing"}) == 1):
            return kind
    return None


_BURNS = frozenset("is was burn burns jump jumps sit sits go goes come comes stay stays".split())


def _no_refusal(spot: Spot) -> bool:
    """ "Only small, but I'm not having it", "I refused": the engineer himself; "tried it with grips and it won't have it", "the
    fluid says no bubbles": no person."""
    last = spot.tokens[spot.hit.end - 1].norm
    himself = (spot.first == "not" and spot.before in ("im", "am")) or (spot.single and spot.before in ("i", "we"))
    thing = spot.first in ("wont", "wouldnt") and spot.before == "it"
    return himself or thing or (last == "no" and not spot.pause and spot.followed_by("condition"))


def _will_not(spot: Spot) -> bool:
    """ "Front left won't have it", "tap's not having it": a thing that does not do what it should, where no work was told that
    somebody could refuse."""
    if not spot.means("condition") or (subject := spot.behind()) is None or not subject.means(*_THINGS):
        return False
    told = (hit for hit in reversed(spot.hits[: spot.at]) if spot.hit.start - hit.start < _LATELY)
    stops = itertools.takewhile(lambda hit: hit.end == spot.hit.start or spot.tokens[hit.end - 1].pause != ".", told)
    return not any(sense.kind in ("work", "need") for hit in stops for sense in hit.values)


def _breaks_off(spot: Spot) -> bool:
    """ "Hang on, let me have the tray out", "hold on love, there's somebody at your door": a stop, and nothing taken back."""
    words = [token.norm for token in spot.tokens[spot.hit.start : spot.hit.end]]
    return tuple(words[-2:]) in _STOPS and spot.beyond in _TO_SOMEBODY


def _how_much(spot: Spot) -> bool:
    """ "Pump, rather noisy", not "stiff, or rather seized"."""
    behind = spot.behind()
    told = behind is not None and behind.means("condition")
    return spot.first == "rather" and spot.single and spot.followed_by("condition") and not told


def _ought(spot: Spot) -> bool:
    """Whether it is said what has to be ("has got to be", "must be"), not what may be."""
    return bool(_HAVING_TO & {token.norm for token in spot.tokens[spot.hit.start : spot.hit.end]})


def _then_catches(spot: Spot) -> bool:
    """ "Thick with soot; cleaned; catches.": what the burner does after the work, and no catch of a door."""
    before = spot.hits[spot.at - 1] if spot.at else None
    alone = spot.first == "catches" and spot.single and not spot.before and bool(spot.pause)
    worked = before is not None and before.end == spot.hit.start and any(s.kind == "work" for s in before.values)
    return alone and worked


def _cut_away(spot: Spot) -> bool:
    """ "Had to cut out the old tee": nothing went out, and no device did."""
    if spot.first != "cut" or spot.tokens[spot.hit.end - 1].norm != "out" or spot.before not in _CUTTING:
        return False
    return spot.beyond in ("the", "a", "that", "it", "and")


def _fires_up(spot: Spot) -> bool:
    """ "The boiler bangs when it fires up", "left front: fire is jumping": no gas fire."""
    if spot.first not in ("fires", "fire") or not spot.single:
        return False
    at = spot.behind()
    corner = at is not None and (at.first == "now" or any("-" in sense.id for sense in at.senses("place")))
    if spot.first == "fire" and corner and spot.beyond in _BURNS:
        return True
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
    if all(name.id == STRANGER for name in names) and _only_where(spot):
        return False
    if spot.first in ("fan", "fans") and spot.single and _put_on_to_try(spot):
        return False
    if spot.before == "the" and all(name.id in ("window", "lid") for name in names) and _only_opened(spot):
        return False
    stated = any(sense.note not in ("bare", "plural") for sense in spot.senses("condition"))
    if any(not name.note.startswith("weak") for name in names):
        if spot.before == "the" and spot.tokens[spot.hit.end - 1].clitic:
            return True  # "the grate's after losing a prong": it is no verb
        return said or not stated or spot.followed_by("prep")  # "flexible off the bottle"
    if stated and spot.before in COPULAS and not said:
        return False  # "the display is blank"
    owner = spot.behind()
    told = spot.tokens[spot.hit.end - 1].clitic and spot.followed_by("condition")
    told = told and any(name.id in AT_BURNER for name in names)
    told = told and not (owner is not None and owner.means("component", "appliance"))
    if all(name.note.startswith("weak-the") for name in names) and spot.before != "the" and not told:
        return False  # but "won't spark, tip's filthy"
    return not spot.means("appliance") and (said or not spot.means("place", "size"))


def _put_on_to_try(spot: Spot) -> bool:
    """ "Smoke went up, then put all the fans on and it came back": what was run in the room to try the flue."""
    lead = {token.norm for token in spot.tokens[max(0, spot.hit.start - 4) : spot.hit.start]}
    return spot.beyond in ("on", "running", "going") and not spot.pause and bool(lead & _PUT_ON) and "back" not in lead


def _left_out(spot: Spot) -> bool:
    """ "Hob not done, no access": an appliance that nobody looked at is denied nothing."""
    named = spot.behind()
    return named is not None and named.means("appliance") and spot.single and spot.beyond in _LOOKED_AT


def _only_opened(spot: Spot) -> bool:
    """ "Opened the window, catchment was rammed": what was opened or shut on the way to a part."""
    verb = spot.tokens[spot.hit.start - 2] if spot.hit.start > 1 else None
    handled = verb is not None and verb.norm in _OPENED and not verb.pause
    return handled and spot.followed_by("component") and not spot.tokens[spot.hit.end - 1].clitic


def _only_where(spot: Spot) -> bool:
    """ "The joint behind the washing machine", "ran the kitchen tap": a thing that says where, or that is only used."""
    at = spot.hit.start - 1
    while at > 0 and spot.tokens[at].norm in _ARTICLES and not spot.tokens[at].pause:
        at -= 1
    if at < 0 or spot.tokens[at].pause:
        return False
    told = spot.behind()
    of_it = spot.tokens[at].norm in _OF_IT and told is not None and told.hit.end == at and told.means("condition")
    return spot.tokens[at].norm in _USED or (spot.tokens[at].norm in _WHERE_IT_IS and not of_it)


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


def _tells_where(spot: Spot) -> bool:
    """ "It's bent, it wasn't near the flame": where it was not, which takes nothing back."""
    return spot.first == "it" and not spot.pause and spot.beyond in _WHERE


def _look_here(spot: Spot) -> bool:
    """ "It's not cracked, the electrode, look, but the lead's off": somebody is shown something."""
    behind = spot.behind()
    if behind is not None and behind.means("not", "no", "need", "does"):
        return False
    return not spot.beyond or spot.beyond in _SHOWN or spot.followed_by("component", "det", "place")


def _that_they_have(spot: Spot) -> bool:
    """ "The alarm they've got goes off when you press it": whose it is, and nothing that is told of it."""
    behind = spot.behind()
    if (
        spot.first not in _OWNERS
        or spot.beyond != "got"
        or spot.pause
        or behind is None
        or not behind.means("component")
    ):
        return False
    after = next((hit for hit in spot.hits[spot.at + 1 :] if hit.start > spot.hit.end), None)
    return (
        not behind.pause
        and after is not None
        and after.start == spot.hit.end + 1
        and any(s.kind == "condition" for s in after.values)
    )


def _only_denies(spot: Spot) -> bool:
    """ "No spark, no it's not cracked, the electrode": a fault that nobody spoke of before is denied, nothing corrected."""
    after = spot.follower()
    if spot.tokens[spot.hit.end - 1].norm != "not" or spot.single or after is None or not after.means("condition"):
        return False
    if spot.beyond in ("its", "thats", "theyre"):
        return False  # "no it's not, it's just a bit of gravy"
    ids = {sense.id for sense in after.senses("condition")}
    lately = spot.hits[max(0, spot.at - _LATELY) : spot.at]
    return not any(sense.kind == "condition" and sense.id in ids for hit in lately for sense in hit.values)


def _condition(spot: Spot) -> bool:
    """ "Done" is the end of a part only where something is put in its place; it mostly tells of work."""
    if spot.first == "done" and spot.single and not past_its_work(spot):
        return spot.before in ("millivolts", "millivolt", "mv") and is_condition(spot)
    if spot.before in ("i", "we") and spot.first in ("did", "didnt", "dont") and _stuck(spot):
        return False  # "the tap's hard to turn, I did not open it": he left it alone
    return is_condition(spot)


def _stuck(spot: Spot) -> bool:
    return all(sense.id in ("seized", "dead") for sense in spot.senses("condition"))


_FITS: dict[str, Callable[[Spot], bool]] = {
    "past": past,
    "report": report,
    "own": own_look,
    "except": leaves_out,
    "place": is_place,
    "size": is_size,
    "component": _component,
    "correct": corrects,
    "condition": _condition,
    "work": is_work,
    "but": only_but,
    "need": needed,
    "not": lambda spot: not (neither(spot) or _left_out(spot)),
    "same": same,
    "if": supposes,
    "general": general,
    "hedge": hedge,
    "in-order": lambda spot: spot.first != "in" or spot.before not in ("is", "are", "was", "were", "be"),
    "hedge-after": hedge_after,
    "cured": cured,
    # not "I did that last year", "it's always done that"
    "carried-out": lambda spot: carried_out(spot),
    "outcome": outcome,
    "no": denies_here,
    "deny": denies_what,
    "next-burner": lambda spot: spot.first != "next" or not spot.single or next_alone(spot),
    "pronoun": lambda spot: not that_corner(spot),
    "group": is_group,
    "does": stands_for,
    "mark": turns,
    "still": still,
}
