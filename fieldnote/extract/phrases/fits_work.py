"""Whether a phrase tells of work here. In: a phrase with its neighbours. Out: yes or no.

Not allowed to know: what was said before in the talk.
"""

from collections.abc import Sequence
from itertools import pairwise

from fieldnote.extract.phrases.beside import row_beside
from fieldnote.extract.phrases.bidding import bidden
from fieldnote.extract.phrases.fits_states import BECOMING, OURS
from fieldnote.extract.phrases.no_act import dried_on, gets_dirt_off, runs_so, to_get_it_done
from fieldnote.extract.phrases.spot import Spot
from fieldnote.extract.phrases.trying_out import turned_to_try
from fieldnote.extract.words.lexicon import lexicon
from fieldnote.extract.words.tokens import Token

_NEW = frozenset("new fresh brand replacement spare decent proper right".split())
_PUT = frozenset("put stuck popped fitted".split())
_WANTING = frozenset("needs need wants want with due gave given give a had do good".split())
PARTICLES = frozenset(
    "out off on up down yellow back into to by like only over until till for at red low high hot cold".split()
)
_UNTIL = frozenset("until till til unless".split())
_IT_WAS = frozenset("was wasnt is isnt wont wouldnt doesnt didnt needs wants keeps cant couldnt".split())
_BENT_BACK = frozenset("back in out up down straight round away to over into it them".split())
_LISTING = frozenset("and or been is gets be".split())  # between work and work that something waits for
_UNDER_WAY = frozenset("been being is was were are keeps kept beyond past stop stops stopped from".split())
_TO_DO = frozenset("shut cut put set let".split())
_MOMENTS = frozenset("when whenever while once if".split())
_WONDERING = frozenset("can could should shall would might did do if".split())
_OTHERS = frozenset(
    "customer tenant landlord owner she he they theyre shes hes lady husband wife builder council".split()
)
_MEN = frozenset("engineer man fella bloke lad plumber colleague fitter guy friend company".split())
_OBJECTS = frozenset("the it this that her his".split())
_THEN = frozenset("last ago before previous yesterday year month summer winter spring autumn".split())
_SCREWED = frozenset("gland nut nuts union joint screw screws olive bolt bolts connection clamp fitting".split())
_SUFFERED = frozenset("nipped popped".split())
_LEADS_ON = frozenset("a the with for on is was its needs need want wants order ordered and put in of any no".split())
_IT = frozenset("it them that him her this em".split())
_PUT = frozenset("put stuck popped whacked bunged slung".split())
_CLOSES = frozenset("it her him there and so that now".split())
_THERE = frozenset("there thats lovely sorted done better perfect grand good champion smashing tidy".split())
_ASKED_OF = frozenset(
    "you to always never should can could would will must dont not they if please ill then just".split()
)
_LATER = frozenset("next tomorrow later".split())
_SOON = 8  # words
_TURNS = frozenset("you they he she get got have has had ive youve theyve its it when been".split())
_AND_IT = frozenset("it its away hes shes he she they theyre no not off thats lights sparks holds turns".split())
# how, and for whom, work is done while it is told
_SO_DOING = frozenset(
    "home over round back tight then careful carefully gently gentle easy steady for me us boy lad son mate kid our please "
    "well".split()
)
_WHEN = frozenset(  # between "back" and "with a new one"
    "tomorrow today later soon monday tuesday wednesday thursday friday saturday sunday next week month fortnight the on in a "
    "this first thing morning afternoon evening after dinner then shortly time days two couple of here".split()
)
# what puts a fault right: "a tweak sorted it"
_IT_IS = frozenset("its it shes hes thats theyre theyve".split())
_CAME_RIGHT = frozenset(
    "blue fine good lovely grand perfect steady free right clear sweet champion mint quiet strong holding sparking lighting "
    "burning sorted tidy smashing belting spotless better bostin".split()
)
_TO_SAY_SO = 3  # words from "it's" to how it is
_MENDED = frozenset("cured fixed sorted mended did done settled stopped solved quietened cures fixes sorts".split())
_OWNERS = frozenset("i we ive weve you they she he".split())
_NAMED_BEFORE = 4  # words from a part to "packed with grease"
_LATELY = 20  # words between a setting and "opened it up"
_SETTINGS = frozenset(
    "screw bypass low rate simmer regulator shutter gap set aeration aerator vent vents grille airbrick ventilation".split()
)
_ONES = frozenset("one ones un uns".split())
_NOT_YET = frozenset(
    "coming tomorrow next due when later monday tuesday wednesday thursday friday saturday sunday on to for will ill booked "
    "arriving soon from wants needs should please required needed wanted".split()
)
_FAULT_TOLD = 6  # phrases from a fault back to its part
_ARTICLES = frozenset("the a his her that this".split())
_PUT_IT_ON = 3  # words of it
_ORDERS = frozenset("replace renew order monitor regrease repair change".split())
# verbs of taking off that tell as well how a thing comes off
_COMING = frozenset("pulled popped slid slipped drew prised levered".split())


def _of_a_setting(spot: Spot) -> bool:
    """ "Low rate screw was set too low, opened it up": whether a thing that is set was named lately, or is the object."""
    start = spot.hit.start
    named = {token.norm for token in spot.tokens[max(0, start - _LATELY) : spot.hit.end]}
    return bool(named & _SETTINGS) or spot.beyond in ("a", "half", "to")


def _in_a_hole(spot: Spot) -> bool:
    """Whether what is packed is what gas or air goes through, and no spindle."""
    lately = [hit for hit in spot.hits[max(0, spot.at - 3) : spot.at] if spot.hit.start - hit.end <= _NAMED_BEFORE]
    holes = {"injector", "burner", "burner-ring", "burner-head", "mixing-tube", "pilot", "ventilation"}
    return any(sense.kind == "component" and sense.id in holes for hit in lately for sense in hit.values)


def _put_in_it(spot: Spot) -> bool:
    """Whether the words are "put a ... in it"."""
    if spot.hit.slot is None or spot.hit.slot[0] != spot.hit.start + 2 or spot.first not in _PUT:
        return False
    ends = spot.tokens[spot.hit.end - 1].norm in ("it", "there")
    return ends and spot.tokens[spot.hit.start + 1].norm in ("a", "an")


_ANSWERS = frozenset("no nae yes".split())
_GOING_ON = frozenset("and but so i it its that thats".split())
_PRICED = 6  # words
_MONEY = frozenset("pound pounds quid price cost bill".split())


def helped(tokens: Sequence[Token], start: int, reach: int = 5) -> bool:
    """ "Cured it", "of the tip did the trick": whether it is said, a few words from here, that the fault is put right."""
    for at in range(start, min(start + reach + 1, len(tokens) - 1)):
        if tokens[at].norm in _MENDED:
            behind = [token.norm for token in tokens[at + 1 : at + 3]]
            return behind[0] in _IT | {"that"} or behind in (["the", "trick"], ["the", "job"])
        if tokens[at].norm == "and" and tokens[at + 1].norm in _IT_IS and reach:
            # "a quick clean at the air port and it's come blue"
            return any(token.norm in _CAME_RIGHT for token in tokens[at + 2 : at + 2 + _TO_SAY_SO])
        if tokens[at].norm in _OWNERS or tokens[at].pause:
            return False
    return False


def came_of_work(spot: Spot) -> bool:
    """ "A new lead sorted it", "a clean of the tip fixed that": no more work, but what it came to."""
    if spot.first not in _MENDED or not helped(spot.tokens, spot.hit.start, 0):
        return False
    part = spot.behind(1)
    led = part.behind(1) if part is not None and part.means("component") else part
    while led is not None and led.means("det", "component"):
        led = led.behind()
    return led is not None and led.means("work") and not led.tokens[led.hit.end - 1].pause


def _told_an_answer(spot: Spot) -> bool:
    """Whether somebody is told what it costs, or that it is not so."""
    if not {"told", "telt", "tell"} & {token.norm for token in spot.tokens[spot.hit.start : spot.hit.end]}:
        return False
    behind = [token.norm for token in spot.tokens[spot.hit.end : spot.hit.end + _PRICED]]
    if behind[:1] and behind[0] in ("you", "ye", "ee", "thee"):
        return True  # "I tell ee, the oven's the trouble"
    at = spot.hit.end + (behind[:1] in (["him"], ["her"], ["them"]))
    row = spot.tokens[at : at + 2]
    flat = bool(row) and (
        row[0].pause or len(row) == 1 or row[1].norm in _GOING_ON
    )  # not "told them no oven till then"
    return bool(_MONEY & set(behind)) or (flat and row[0].norm in _ANSWERS)


def _a_part(spot: Spot) -> bool:
    """ "Put a thermocouple in it", not "put a pin in it": whether a part and nothing else stands in the gap."""
    first, end = spot.hit.slot or (0, 0)
    while first < end - 1 and spot.tokens[first].norm in _NEW:
        first += 1
    name = lexicon().at(spot.tokens, first, end)
    whole = name is not None and name.end == end
    return (
        whole and name is not None and any(s.kind == "component" and not s.note.startswith("weak") for s in name.values)
    )


def _runs_on(spot: Spot) -> bool:
    """ "The electrode's bent it wasn't in the flame": no "bent ... in", where a sentence of its own stands between."""
    first, end = spot.hit.slot or (0, 0)
    words = [token.norm for token in spot.tokens[first:end]]
    return any(one in _IT and verb in _IT_WAS for one, verb in pairwise(words))


def _came_off(spot: Spot) -> bool:
    """ "The knob pulled off in my hand", "the spindle had slid out": nothing is named that was taken off."""
    off = spot.tokens[spot.hit.end - 1].norm in ("off", "out")
    bare = spot.hit.end - spot.hit.start == len(("pulled", "off")) and spot.first in _COMING
    return off and bare and any(sense.id == "remove" for sense in spot.senses("work"))


def is_work(spot: Spot) -> bool:
    """Whether the words tell of work, and not of a state, a habit or somebody else's doing."""
    if row_beside(spot, "work") is not None or _fallen(spot) or _came_off(spot):
        return False
    if runs_so(spot) or dried_on(spot) or to_get_it_done(spot):
        return False
    if not gets_dirt_off(spot):
        return False  # "the knob was stuck, got it off"
    if spot.before == "been" and "where" in {t.norm for t in spot.tokens[max(0, spot.hit.start - 4) : spot.hit.start]}:
        return False  # "kinked where it's been shoved back"
    if all(sense.note == "cure" for sense in spot.senses("work")):
        return helped(spot.tokens, spot.hit.end)
    if _runs_on(spot) or turned_to_try(spot):
        return False
    if spot.tokens[spot.hit.end - 1].norm in _ONES and spot.followed_by("be") and spot.first not in ("was", "were"):
        side = spot.tokens[spot.hit.end - 2].norm in ("right", "left")
        if side and not spot.parted:
            return False  # "so I've ordered that, the right one is fine"
    if _put_in_it(spot):
        return _a_part(spot) and not spot.parted
    if spot.first == "packed" and _in_a_hole(spot):
        return False  # "the jet was packed with grease"
    if spot.first == "opened" and spot.tokens[spot.hit.end - 1].norm in ("up", "out") and not _of_a_setting(spot):
        return False  # "opened it up to have a look"
    named = spot.behind()
    unknown = named is None or not named.means(
        "component", "place", "size", "group", "pronoun", "them", "appliance", "det"
    )
    if spot.owned and unknown and _set_to(spot):
        return False  # "flow's set to sixty five": of what is no part
    if spot.first == "fitted" and spot.single:
        return _fitted(spot)
    put_on = spot.first == "put" and spot.tokens[spot.hit.end - 1].norm == "on"
    if put_on and spot.hit.end - spot.hit.start == _PUT_IT_ON and spot.tokens[spot.hit.start + 1].norm in _IT:
        return bool(spot.pause) or spot.beyond in ("and", "so", "now", "")  # not "put it on the side"
    if spot.first == "bent" and spot.means("condition") and spot.before not in OURS:
        over = spot.tokens[spot.hit.end - 1].norm == "over" and _of_a_part(spot)
        if over or _then_worked_on(spot):
            return False  # "rear right bent over, put it straight", "fins bent over"
    suffered = spot.before in BECOMING or (spot.hit.start > 0 and spot.tokens[spot.hit.start - 1].clitic)
    if spot.first == "bent" and spot.single and suffered and spot.beyond not in _BENT_BACK:
        return False  # "the electrode was bent as well": how it was
    led = spot.hit.start > 1 and spot.tokens[spot.hit.start - 2].norm in ("in", "on", "of", "from")
    if spot.single and spot.first == "cleared" and spot.before in ("it", "that", "which") and not led:
        return False  # "it cleared when the window was open"
    if spot.first == "swapped" and spot.means("condition") and (spot.before in BECOMING or _of_a_part(spot)):
        return False  # "both got the caps swapped over"
    if spot.first == "left" and spot.before and spot.before not in OURS and spot.means("condition"):
        return False  # "somebody had left the seal off"
    if _told_an_answer(spot):
        return False  # "told her fifty eight pound ninety", "I told him no"
    if spot.first in _PUT and spot.hit.end - spot.hit.start == 2 and spot.tokens[spot.hit.end - 1].norm in ("a", "an"):
        return _put_in(spot)
    if spot.first == "fitted" and spot.tokens[spot.hit.end - 1].norm in ("a", "an"):
        noun = next((hit for hit in spot.hits[spot.at + 1 : spot.at + 2] if hit.start - spot.hit.end <= 1), None)
        return noun is not None and any(sense.kind == "component" for sense in noun.values)  # "fitted a longer hose"
    if spot.single and spot.first in _SUFFERED and spot.means("condition") and spot.before and _of_a_part(spot):
        return False  # "the seal nipped so it wasn't sealing", "flue seal popped out"
    offered = spot.behind()
    asked_for = offered is not None and offered.means("need") and not offered.single  # "offered to set it"
    if spot.first in _TO_DO and spot.before == "to" and not spot.means("need") and not asked_for:
        managed = spot.tokens[spot.hit.start - 2].norm if spot.hit.start > 1 else ""
        if managed not in ("had", "able", "managed", "have", "went", "got"):
            return False  # "takes too long to shut off"
    its_own = (
        spot.hit.end > spot.hit.start + 1 and spot.tokens[spot.hit.start + 1].norm in _IT and spot.before not in _TURNS
    )
    if spot.first in ("turned", "set") and _told_when(spot) and not its_own:
        return False  # "blows out when they've got it turned down", but "when you open the door turned it up"
    if all(sense.note == "bare" for sense in spot.senses("work")):
        return _bare_new(spot)
    if all(sense.note == "ing" for sense in spot.senses("work")) and (
        spot.before in _UNDER_WAY | _OTHERS or spot.owned
    ):
        return False  # "it's been rubbing on the back", "beyond mending"
    if _new_one_alone(spot):
        return True
    if put_off(spot) or _brought(spot):
        return False  # "at risk until it's replaced", "I'm back tomorrow with a new one"
    if any(sense.note != "base" or sense.id == "monitor" for sense in spot.senses("work")):
        return True
    if spot.first in _ORDERS and (spot.beyond == "next" or (not spot.before and spot.hit.start)):
        return True  # "cap corroded, replace next time", "Replace thermocouple."
    had_to = spot.before == "to" and spot.hit.start > 1 and spot.tokens[spot.hit.start - 2].norm == "had"
    # "all I did was clean it"
    had_to = had_to or (spot.before == "was" and spot.tokens[spot.hit.start - 2].norm == "did")
    had_to = had_to or after_had_to(spot.tokens, spot.hit.start)
    asking = spot.hit.start > 1 and spot.tokens[spot.hit.start - 2].norm in _WONDERING
    if (
        (spot.before in ("i", "we", "ive", "weve") and not asking)
        or had_to
        or narrated(spot.tokens, spot.hit.start, spot.hit.end)
    ):
        return True
    if told_of_then(spot.tokens, spot.hit.start, spot.hit.end) or bidden(spot):
        return True
    behind = spot.behind(1)
    if behind is None:
        return False
    wanted = spot.before in ("a", "good", "quick") and spot.tokens[spot.hit.start - 2].norm in _WANTING
    asked = behind.behind(1) if behind.means("det") else behind
    return wanted or (asked is not None and asked.means("need", "decline", "not", "hedge"))


def _set_to(spot: Spot) -> bool:
    """Whether work is told as how something stands: set, turned, left at a figure."""
    return spot.first in ("set", "turned", "left") and spot.tokens[spot.hit.end - 1].norm in ("to", "at", "on", "set")


def _then_worked_on(spot: Spot) -> bool:
    """Whether a place or part stands right before, and work on it behind a pause."""
    behind = spot.behind()
    after = Spot(spot.hits[spot.at + 1], spot.at + 1, spot.hits, spot.tokens) if spot.at + 1 < len(spot.hits) else None
    named = behind is not None and not behind.pause and behind.means("place", "component")
    return named and bool(spot.pause) and after is not None and after.hit.start == spot.hit.end and after.means("work")


def _put_in(spot: Spot) -> bool:
    """ "Put a magnet unit in her and she holds": a part, and no match or meter, put where one of its kind goes."""
    row = spot.hits[spot.at + 1 : spot.at + 3]
    if len(row) != 2 or row[0].start != spot.hit.end or row[1].start != row[0].end or spot.pause:
        return False
    named = any(sense.kind == "component" and not sense.note.startswith("weak") for sense in row[0].values)
    into, end = spot.tokens[row[1].start], row[1].start + 1
    there = into.norm in ("in", "on") and not spot.tokens[row[0].end - 1].pause
    closes = end >= len(spot.tokens) or bool(into.pause) or spot.tokens[end].norm in _CLOSES
    return named and there and (closes or _a_place_at(end, spot))


def _a_place_at(at: int, spot: Spot) -> bool:
    """ "Put a magnet in the rear left", "stuck a knob on the front one": where the part is that was put there."""
    at += spot.tokens[at].norm == "the"
    where = lexicon().at(spot.tokens, at) if at < len(spot.tokens) else None
    return where is not None and any(sense.kind in ("place", "size") for sense in where.values)


def told_of_then(tokens: Sequence[Token], start: int, end: int) -> bool:
    """ "Last year the other engineer change the fan": the base form of a verb, of what somebody did at another time."""
    words = [token.norm for token in tokens[max(0, start - 8) : start]]
    done_by = words[-1:] and words[-1] in _MEN and not {"to", "let", "have"} & set(words[-4:])
    return bool(done_by) and end < len(tokens) and tokens[end].norm in _OBJECTS and bool(_THEN & set(words))


def _fitted(spot: Spot) -> bool:
    """ "Got one in the van. Fitted.", "flue clip missing fitted"."""
    gone = spot.behind()
    missing = gone is not None and any(s.id in ("missing", "not-fitted") for s in gone.senses("condition"))
    alone = not spot.before and bool(spot.pause)
    return alone or (missing and spot.beyond not in ("by", "on", "to", "in", "with"))


def _bare_new(spot: Spot) -> bool:
    """ "Seal tore, new seal", "new hose new bayonet": a new part and nothing said of it, or a list of new parts."""
    after = spot.follower()
    if after is not None and spot.before == "a" and spot.tokens[max(spot.hit.start - 2, 0)].norm == "and":
        also = [
            token.norm for token in spot.tokens[after.hit.end : after.hit.end + 2]
        ]  # "new hose on and a new tap as well"
        return after.means("component") and (also in (["as", "well"], ["an", "all"]) or also[:1] in (["too"], ["also"]))
    if after is not None and after.means("component") and helped(spot.tokens, after.hit.end, 0):
        return True  # "a new lead sorted it"
    if spot.before in _LEADS_ON or after is None or not after.means("component"):
        return False
    if _for_the_faulty(spot, after):
        return True
    ends = after.pause != "" or after.hit.end == len(spot.tokens)
    beyond = [token.norm for token in spot.tokens[after.hit.end : after.hit.end + 3]]
    placed = after.followed_by("place") or beyond[:1] in (["thats"], ["so"])
    return ends or placed or beyond[:1] in (["new"], ["and"])


def _ends_there(spot: Spot) -> bool:
    """ "Thermocouple weak, new one. / new one, 22 mV": nothing more is said of the new part but what it reads."""
    read = spot.hit.end < len(spot.tokens) and spot.tokens[spot.hit.end].norm[:1].isdigit()
    return spot.pause == "." or (spot.pause == "," and read)


def _for_the_faulty(spot: Spot, after: Spot) -> bool:
    """ "Thermocouple weak new thermocouple pilot's fine": a new one of what was just told to be faulty, and the talk goes on."""
    if (
        spot.before in _ARTICLES
        or after.tokens[after.hit.end - 1].clitic
        or after.followed_by("be", "condition", "need", "not", "work")
    ):
        return False
    if after.beyond in _NOT_YET:
        return False  # "new hose tomorrow", "new thermocouple coming"
    part = {sense.id for sense in after.senses("component")}
    fault = False
    for hit in reversed(spot.hits[max(0, spot.at - _FAULT_TOLD) : spot.at]):
        if any(sense.kind == "component" for sense in hit.values):
            return fault and bool(part & {sense.id for sense in hit.values if sense.kind == "component"})
        if any(sense.kind in ("work", "need") for sense in hit.values):
            return False
        fault = fault or any(sense.kind == "condition" and sense.id not in ("ok", "passed") for sense in hit.values)
    return False


def _new_one_alone(spot: Spot) -> bool:
    """ "Ring goosed, new one.": in notes, a fault and what was done for it."""
    words = [token.norm for token in spot.tokens[spot.hit.start : spot.hit.end]]
    fault = spot.behind()
    while fault is not None and fault.means("prep") and fault.single:
        fault = fault.behind()  # "weak at 7 mV, new one, 22 mV"
    wrong = fault is not None and any(sense.id != "ok" for sense in fault.senses("condition"))
    apart = spot.hit.start > 0 and spot.tokens[spot.hit.start - 1].pause == ","
    return words in (["new", "one"], ["new", "ones"], ["new", "un"]) and wrong and apart and _ends_there(spot)


def goes_on_new(spot: Spot) -> bool:
    """ "New hose, new bayonet and a new chain": "new" in a list of new parts is no more than an article."""
    behind = spot.behind()
    while behind is not None and behind.means("det", "and") and behind.single:
        behind = behind.behind()
    if behind is None or not behind.means("component") or not spot.followed_by("component"):
        return False
    before = spot.tokens[behind.hit.start - 1].norm if behind.hit.start else ""
    return before == "new"


def _told_when(spot: Spot) -> bool:
    """Whether the words before a participle open a circumstance in which it is so, not an act."""
    words = []
    for i in range(spot.hit.start - 1, max(spot.hit.start - 6, -1), -1):
        if spot.tokens[i].pause:
            break
        words.append(spot.tokens[i].norm)
    return bool(_MOMENTS & set(words)) and not OURS & set(words)


def narrated(tokens: Sequence[Token], start: int, end: int) -> bool:
    """ "Push it on, there we are", "so tighten it down": work told while it is done, by the base form of its verb."""
    if end + 1 >= len(tokens):
        return False
    before = tokens[start - 1].norm if start else ""
    told = before not in _ASKED_OF and tokens[start].norm not in _ORDERS
    part = lexicon().at(tokens, end + 1) if tokens[end].norm in ("the", "that", "its") else None
    if part is not None and any(sense.kind == "component" for sense in part.values):
        end = part.end  # "brush the burner out, better"
    elif tokens[end].norm in _IT:
        end += 1
    else:
        return False
    if told and before == "so":  # "it's fizzing, so tighten it down", not "so grease it next time you're there"
        return not _LATER & {token.norm for token in tokens[end : end + _SOON]}
    while end < len(tokens) and tokens[end].norm in PARTICLES | _SO_DOING:
        end += 1
    if end < len(tokens) and tokens[end].norm in _THERE:
        return True
    row = [token.norm for token in tokens[end : end + 2]]
    return (
        told and row[:1] in (["and"], ["now"]) and row[1:] != [] and row[1] in _AND_IT
    )  # "push it on and away she goes"


_TAKING = frozenset("take strip pull lift get open".split())
_ASKING = frozenset("can could shall should will would do when if before until once must".split())


def after_had_to(tokens: Sequence[Token], start: int) -> bool:
    """ "Had to prise it off and clean round it": the second verb of what had to be done."""
    if not start or tokens[start - 1].norm != "and" or tokens[start - 1].pause:
        return False
    before = tokens[max(0, start - 8) : start - 1]
    words = [token.norm for token in before]
    if not any(t.pause for t in before) and ("had", "to") in pairwise(words):
        return True
    paused = max((at + 1 for at, token in enumerate(before) if token.pause), default=0)
    return _i_did(before[paused:], words[paused:])


def _i_did(before: Sequence[Token], words: Sequence[str]) -> bool:
    """ "I grease the tap and tighten up the handle": the second of two things that somebody did, in the base form of its verb."""
    at = next((at for at in range(len(words) - 1, 0, -1) if words[at - 1] in ("i", "we")), 0)
    asked = set(words[:at]) & _ASKING or "to" in words[at:]
    if not at or asked:
        return False
    hit = lexicon().at(before, at)
    return words[at] in _TAKING or (hit is not None and any((s.kind, s.note) == ("work", "base") for s in hit.values))


def _of_a_part(spot: Spot) -> bool:
    """Whether a name of a part stands right before and nothing is worked on behind."""
    behind = spot.behind()
    if behind is not None and spot.tokens[behind.hit.end - 1].norm in _SCREWED:
        return False  # "gland nipped, cured"
    led = behind.behind() if behind is not None else None
    fault = led.behind() if led is not None and led.means("prep") else None
    if fault is not None and fault.means("condition"):
        return False  # "leak at pump union nipped"
    return behind is not None and behind.means("component") and not spot.followed_by("pronoun", "det", "them")


def put_off(spot: Spot) -> bool:
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


def _brought(spot: Spot) -> bool:
    """Whether a new one is only what somebody comes back with, on another day."""
    if spot.first not in ("new", "another"):
        return False
    at = spot.hit.start - 1
    while at > 0 and spot.tokens[at].norm in ("a", "the", "some"):
        at -= 1
    if at < 1 or spot.tokens[at].norm != "with":
        return False
    at -= 1
    while at > 0 and spot.tokens[at].norm in _WHEN and spot.tokens[at].pause != ".":
        at -= 1
    return spot.tokens[at].norm in ("back", "round", "over")


def _fallen(spot: Spot) -> bool:
    """ "The grease has dried out", "it's soaked": what became of a part, no work on it."""
    mine = spot.before == "have" and spot.hit.start > 1 and spot.tokens[spot.hit.start - 2].norm in OURS
    became = (spot.before in BECOMING and not mine) or spot.owned  # but "I have washed it"
    fault = any(sense.id != "ok" for sense in spot.senses("condition"))
    behind = spot.behind()
    soaked = spot.beyond in ("with", "through") and behind is not None and behind.means("component")
    became = became or soaked  # "switch soaked with cleaning spray"
    return became and fault and any(sense.note == "done" for sense in spot.senses("work"))
