"""Whether a phrase says here what state a part is in. In: a phrase with its neighbours. Out: yes or no.

Not allowed to know: what was said before in the talk.
"""

import functools
import itertools
from collections.abc import Callable, Sequence

from fieldnote.extract.phrases.beside import row_beside
from fieldnote.extract.phrases.fits_places import WANTED, wrong_before
from fieldnote.extract.phrases.fits_sizes import small_anyhow
from fieldnote.extract.phrases.no_state import no_state
from fieldnote.extract.phrases.off import is_off
from fieldnote.extract.phrases.several import several_before, several_burners, several_places
from fieldnote.extract.phrases.spot import Spot
from fieldnote.extract.words.matcher import spell
from fieldnote.extract.words.tokens import Token
from fieldnote.trade.spoken import spoken

COPULAS = frozenset("is was are were been all its bit got".split())
_LIT = frozenset({"burner", "burner-ring", "oven", "grill"})  # what lights
_COLOURS = frozenset("brown black white green yellow grey red orange".split())
_NEITHER = frozenset("neither none nor not".split())
_LEADERS = frozenset("at of in on to from off into onto by with behind round under".split())
OURS = frozenset("i ive we weve ill".split())
_SOMEBODY = frozenset("somebodys someones somebody someone theyve hes shes they he she".split())
_ACTS = frozenset("blew broke bent burnt split".split())
_COMING = frozenset("came come comes coming".split())
_AWAY = frozenset("off out away apart".split())
_TILL = frozenset("till until til".split())
BECOMING = frozenset("is are was were has had have been all".split())
_APART = frozenset("out off apart in on up down open to from running going since for fixed serviced".split())
_IT_IS = frozenset("its thats theyre".split())
_LED = frozenset("a the that this its her his another".split())
_SLIGHT = frozenset("wee small little tiny".split())
_WHEN = frozenset("before after since".split())
_HOW_SMALL = frozenset(
    "that so too very awful awfy gey quite rather pretty bit fairly looks looking burns burning comes coming".split()
)
_ON = frozenset(["", *"and but so the now though for at".split()])  # words that may go on behind "it's okay"
_PEOPLE = frozenset(
    "customer customers tenant tenants landlord landlady lady gentleman she he they i we you im ive weve shes hes theyre "
    "told somebody someone nobody left no not needs".split()
)
_TESTED = frozenset(
    "minutes minute mins min secs seconds s test retest nil tightness spillage flow zero by drop".split()
)
_COVERING = frozenset("taped sealed covered blocked boxed boarded plugged".split())
_TIMES_OVER = frozenset({("every", "time"), ("each", "time")})
_OPENS = frozenset("open opens opened shut shuts closed closes".split())
_ONES = frozenset("one un yin".split())
_BESIDE = frozenset("with beside against alongside to".split())


_BEING_LOW = frozenset("is was are were too so very well looks looked still running burning just".split())
_LOW_WHAT = frozenset("rate fire flame pressure setting settings light heat end voltage enough carbon down".split())


@functools.cache
def _matter() -> frozenset[str]:
    return frozenset(itertools.chain(*map(spell, spoken().classes["matter"].says)))


_TOLD_NEXT = frozenset(
    "so and but she he they i ive weve theyve somebody someone needs wants altogether completely".split()
)
_VALVES = frozenset({"gas-valve", "gas-tap", "isolation-valve", "emergency-control"})


def _of_the_unknown(spot: Spot) -> bool:
    """Whether a word of size stands before a noun that nobody knows: it is that which is small."""
    of = [token.norm for token in spot.tokens[spot.hit.end + 1 : spot.hit.end + 2]] == [
        "of"
    ]  # "a wee mouse of a flame"
    return bool(spot.beyond) and not spot.pause and spot.follower() is None and spot.beyond not in _ON and not of


def _to_compare_with(spot: Spot) -> bool:
    """ "Photo of that, with a good one next to it": what it is shown beside, and no verdict on anything here."""
    end = spot.hit.end
    last = spot.tokens[end - 1]
    one = last.norm in _ONES or (end < len(spot.tokens) and not last.pause and spot.tokens[end].norm in _ONES)
    led = [token.norm for token in spot.tokens[max(0, spot.hit.start - 2) : spot.hit.start]]
    return one and led[-1:] == ["a"] and led[0] in _BESIDE and any(s.id == "ok" for s in spot.senses("condition"))


def is_condition(spot: Spot) -> bool:
    """Whether the words say what state something is in, and are no act, time or remark."""
    if row_beside(spot, "condition") is not None or no_state(spot):
        return False
    for rule in (_by_its_form, _BY_FIRST_WORD.get(spot.first), _by_its_end, _by_what_leads):
        said = rule(spot) if rule is not None else None
        if said is not None:
            return said
    return not spot.means("mark") or _ok_said(spot)


def _by_its_form(spot: Spot) -> bool | None:
    """Plurals and base forms say how something is only beside what they can belong to; None for all others."""
    notes = {sense.note for sense in spot.senses("condition")}
    if "bare" in notes and spot.single and spot.before == "to":
        return False  # "stiff to twist": what it is stiff to do
    if notes == {"bare"}:
        return spot.before in COPULAS | {"does", "did"} and not _belongs(spot)  # "it does lift a bit"
    if notes and notes <= {"plural", "bare"}:
        return several_before(spot) or (spot.first in ("pass", "fail") and _verdict(spot))
    return None


def _by_its_end(spot: Spot) -> bool | None:
    """What the last word of a wording asks of what stands around; None where it asks nothing."""
    last = spot.tokens[spot.hit.end - 1].norm
    if last == "gone" and spot.beyond not in ("", "has", "have") and not spot.pause:
        if spot.beyond in _PEOPLE:
            return True  # "hinges gone, customer never shuts it"
        return spot.follower() is not None and not spot.followed_by("condition")  # "gone rusty" says what it is
    if {spot.first, spot.before} & _COMING and last in _AWAY and _only_then(spot):
        return False  # "couldn't see it till the plinth came off"
    if last == "off" and spot.hit.end - spot.hit.start == 2 and spot.first in BECOMING:
        behind = spot.behind(1)  # "the cap was off", not "smells when it is off"
        return behind is not None and behind.means("component") and not behind.means("appliance")
    if last == "it" and spot.first in _SOMEBODY and not spot.pause:
        return not (spot.beyond.endswith("ed") or spot.beyond in _APART)  # "somebody's had it opened out"
    return None


def _by_what_leads(spot: Spot) -> bool | None:
    """What stands before a wording whatever it is: what it is only compared with, who did it, when; None where nothing does."""
    if _to_compare_with(spot) or _opens_with_the_right_one(spot):
        return False  # "The right one had a stiff tap"
    if spot.before in ("it", "she", "he") and spot.hit.start > 1 and spot.tokens[spot.hit.start - 2].norm == "when":
        return not _all_well(spot)  # "buzzes when it pulls in"
    if (spot.first.endswith("ed") or spot.first in _ACTS) and (spot.before in OURS or _i_have(spot)):
        return False  # "I've lifted the cap", "I have wedged it": an act, no fault
    return None


def _all_well(spot: Spot) -> bool:
    return all(sense.id == "ok" for sense in spot.senses("condition"))


def _slight(spot: Spot) -> bool | None:
    if spot.single and spot.before not in COPULAS | _HOW_SMALL and _of_the_unknown(spot):
        return False  # "oven in a wee bedsit", "a small shop on the corner", "next the wee spring clip"
    part = spot.single and spot.followed_by("component")
    if part and (small_anyhow(spot) or (spot.first == "wee" and spot.before in _LED)):
        return False  # "the small screw for the low flame": no small flame, nor "a wee valve"
    return None


def _bracket(spot: Spot) -> bool | None:
    opens = spot.hit.start == 0 or spot.tokens[spot.hit.start - 1].pause == "."
    return False if opens and not spot.single else None  # "cooker next. bracket's missing.": the part, no pipe lacks it


def _colour(spot: Spot) -> bool | None:
    of_muck = spot.single and not spot.pause and spot.beyond in _matter()
    return False if of_muck else None  # "full of the same brown muck"


def _open_or_shut(spot: Spot) -> bool | None:
    return False if spot.single and _every_time(spot) else None  # "blew out every time the back door opened"


def _off(spot: Spot) -> bool | None:
    return is_off(spot) if spot.single else None


def _not_on(spot: Spot) -> bool | None:
    if spot.before == "but" and spot.tokens[spot.hit.end - 1].norm == "on":
        return not spot.followed_by("place", "det")  # "but not on the back one"
    return None


def _the_right_one(spot: Spot) -> bool | None:
    return False if spot.beyond in WANTED and wrong_before(spot) else None  # "the wrong jet, right one needs ordering"


def _would(spot: Spot) -> bool | None:
    if not _all_well(spot):
        return None
    return any(spot.tokens[i].norm in _NEITHER for i in range(max(0, spot.hit.start - 7), spot.hit.start))


def _so_hard(spot: Spot) -> bool | None:
    so = spot.single and spot.before in ("so", "that") and _worked_so(spot)
    return False if so else None  # "tightened the gland nut so hard it leaks"


def _how_it_works(spot: Spot) -> bool | None:
    return False if _wondered(spot) else None  # "how it was working I don't know"


def _lit(spot: Spot) -> bool | None:
    """ "Oven burner lit rear left ring lit", "pilot lit" are verdicts; "with the grill lit", "lit with a match", "I lit it" are
    none."""
    if _wondered(spot):
        return False  # "how it lit I don't know"
    if not spot.single:
        return None
    behind = spot.behind()
    if behind is None or behind.pause or not behind.means("component", "place", "size", "group", "appliance"):
        return False
    named = {sense.id for sense in behind.hit.values if sense.kind in ("component", "appliance")}
    if "pilot" in named or spot.owned:
        return "pilot" in named
    if named and not named & _LIT:
        return False
    lead = [token.norm for token in spot.tokens[max(0, behind.hit.start - 2) : behind.hit.start]]
    if "with" in lead or (lead[-1:] == ["the"] and behind.means("place")):
        return False  # "straight away the front left lit"
    after = spot.follower()
    next_ = after is not None and after.means("place", "appliance", "size", "group", "component")
    return spot.pause == "." or not spot.beyond or next_


def _burns(spot: Spot) -> bool | None:
    return False if spot.single and _well_next(spot) else None  # "the mediums burn lovely"


def _had_it(spot: Spot) -> bool | None:
    if spot.tokens[spot.hit.end - 1].norm == "it" and spot.hit.end - spot.hit.start == 2:
        return (spot.owned or spot.before in ("has", "have")) and (bool(spot.pause) or spot.beyond not in _APART)
    return None


def _low(spot: Spot) -> bool | None:
    if not spot.single:
        return None  # alone: not "turned down low"
    return (spot.before in _BEING_LOW or _of_what_can(spot)) and (bool(spot.pause) or spot.beyond not in _LOW_WHAT)


def _week(spot: Spot) -> bool | None:
    if not spot.single:
        return None
    behind = spot.behind(1)  # "the thermocouple's week", as a recogniser writes it
    return spot.owned and behind is not None and behind.means("component")


def _fair(spot: Spot) -> bool | None:
    if not spot.single or spot.pause or not spot.followed_by("condition"):
        return None
    faults = [hit for hit in spot.hits[spot.at + 1 : spot.at + 2] if hit.start == spot.hit.end]
    return not any(s.kind == "condition" and s.id != "ok" for hit in faults for s in hit.values)  # "fair riddled"


def _gone_away(spot: Spot) -> bool | None:
    if not spot.single:
        return None
    behind = spot.behind()  # "the ignition box is away", not "straight away"
    part = behind is not None and (behind.means("component") or spot.before in ("is", "was"))
    ends = bool(spot.pause) or not spot.beyond or spot.beyond in _TOLD_NEXT
    return part and (spot.owned or spot.before in ("is", "was")) and ends


def _pass(spot: Spot) -> bool | None:
    if not spot.single:
        return None
    leaks = any(sense.id != "passed" for sense in spot.senses("condition")) and several_before(spot)
    return is_verdict(spot.tokens, spot.hit.start) or leaks or _lets_none_by(spot)  # "none of the taps pass"


def _the_clean(spot: Spot) -> bool | None:
    then = spot.before in _WHEN or (spot.before in ("the", "a") and _since(spot))
    return False if spot.single and then else None  # "a hundred and twelve before the clean", "after clean fifty"


def _covered(spot: Spot) -> bool | None:
    act = spot.before not in _SOMEBODY | BECOMING and _takes_it(spot)
    return False if act else None  # "a hole in the worktop, taped that over"


def _they_light(spot: Spot) -> bool | None:
    """ "Both light", "the rears spark": only of several that are spoken of right before."""
    behind = spot.behind()
    if not spot.single or behind is None:
        return False if spot.single else None
    plural = any(sense.note.endswith("s") for sense in behind.senses("component"))
    return behind.means("group") or several_burners(behind) or several_places(behind) or plural


def _ok_said(spot: Spot) -> bool:
    """Whether "ok", "okay" is a verdict on what is spoken of right before, and no word of talk."""
    behind = spot.behind()
    if _ok_on(spot):
        return True
    nouns = ("component", "place", "be", "size", "one", "them", "group", "appliance")
    if behind is not None and behind.single and behind.first == "still" and (spot.pause or spot.beyond in _ON):
        return True  # "old ones still okay"
    if behind is not None and behind.means("pronoun"):
        owner = behind.behind()
        if owner is not None and owner.means("prep"):
            return True  # "lead to it okay"
        onward = bool(spot.pause) or spot.beyond in _ON or spot.followed_by("general", "next-burner", "place")
        return behind.first in _IT_IS and _named_before(behind) and onward
    return behind is not None and behind.pause != "." and behind.means(*nouns)


# what a wording that begins with one of these words must stand like; None: nothing speaks against it
_BY_FIRST_WORD: dict[str, Callable[[Spot], bool | None]] = {
    **dict.fromkeys(_SLIGHT, _slight),
    **dict.fromkeys(("bracket", "brackets"), _bracket),
    **dict.fromkeys(_COLOURS, _colour),
    **dict.fromkeys(_OPENS, _open_or_shut),
    **dict.fromkeys(("would", "will"), _would),
    **dict.fromkeys(("hard", "tight"), _so_hard),
    **dict.fromkeys(("working", "works"), _how_it_works),
    "lit": _lit,
    **dict.fromkeys(("burn", "burned", "burnt"), _burns),
    **dict.fromkeys(("week", "weeks"), _week),
    **dict.fromkeys(_COVERING, _covered),
    **dict.fromkeys(("light", "spark"), _they_light),
    "off": _off,
    "not": _not_on,
    "right": _the_right_one,
    "had": _had_it,
    "low": _low,
    "fair": _fair,
    "away": _gone_away,
    "pass": _pass,
    "clean": _the_clean,
}


def _every_time(spot: Spot) -> bool:
    """Whether the moment at which something else happens is told: "whenever the door opened"."""
    row = [token.norm for token in spot.tokens[max(0, spot.hit.start - 6) : spot.hit.start]]
    paused = any(token.pause for token in spot.tokens[max(0, spot.hit.start - 4) : spot.hit.start])
    return not paused and ("whenever" in row or any(pair in _TIMES_OVER for pair in itertools.pairwise(row)))


def _ok_on(spot: Spot) -> bool:
    """ "Ok on the hose, the fan and the door": a verdict, and what it is said of; "ok on the front left" turns to a place."""
    lead = spot.follower()
    row = [] if lead is None or lead.first not in ("on", "with", "for") or not lead.single else [lead]
    while row and (after := row[-1].follower()) is not None and len(row) < 4:
        row.append(after)
    names = [one for one in row if not one.means("det")][1:]
    if not names or not names[0].means("component"):
        return False
    return bool(names[0].pause) or not names[0].beyond or (len(names) > 1 and names[1].means("and"))


def _named_before(spot: Spot) -> bool:
    """Whether a part or place was named shortly before: "checked the hose, it's okay"."""
    return any(
        sense.kind in ("component", "place")
        for hit in spot.hits[max(0, spot.at - 6) : spot.at]
        if spot.hit.start - hit.end < 8
        for sense in hit.values
    )


def _worked_so(spot: Spot) -> bool:
    """Whether work told right before was done so hard."""
    return any(
        sense.kind == "work" for hit in spot.hits[max(0, spot.at - 8) : spot.at] for sense in hit.values
    ) and not any(token.pause for token in spot.tokens[max(0, spot.hit.start - 8) : spot.hit.start])


def _i_have(spot: Spot) -> bool:
    """Whether "I have" or "we had" stands right before."""
    led = spot.tokens[spot.hit.start - 2].norm if spot.hit.start > 1 else ""
    return (
        spot.before in ("have", "had")
        and led in OURS
        and not {"ok", "passed"} & {sense.id for sense in spot.hit.values}
    )


def _wondered(spot: Spot) -> bool:
    """Whether "how" stands up to three words before."""
    return any(spot.tokens[i].norm == "how" for i in range(max(0, spot.hit.start - 3), spot.hit.start))


def _well_next(spot: Spot) -> bool:
    """Whether how a flame burns stands right behind ("the mediums burn lovely", "lit and burned blue")."""
    after = spot.follower()
    fit = after is not None and any(sense.id == "ok" for sense in after.senses("condition"))
    return fit or (spot.first == "burn" and spot.followed_by("condition"))


def is_verdict(tokens: Sequence[Token], at: int) -> bool:
    """ "Tightness, two minutes, pass.": the verdict on a test, as notes have it."""
    before = tokens[at - 1] if at else None
    if before is None or tokens[at].norm != "pass":
        return False
    if before.pause:
        return tokens[at].pause != ""
    if before.norm == "a":  # "the stat test's a pass"
        return tokens[at].pause != "" or at + 1 == len(tokens) or tokens[at + 1].norm == "on"
    return before.norm in _TESTED or before.norm.isdigit()


def _opens_with_the_right_one(spot: Spot) -> bool:
    """Whether "the right one" opens what is said: it is the one on the right, of which something follows."""
    words = [token.norm for token in spot.tokens[spot.hit.start : spot.hit.end]]
    opens = spot.hit.start == 0 or spot.tokens[spot.hit.start - 1].pause == "."
    return words[-2:] == ["right", "one"] and len(words) <= len(("the", "right", "one")) and opens and not spot.pause


def _only_then(spot: Spot) -> bool:
    """Whether "till" stands a few words before, with no pause: what came off is told to say when."""
    start = spot.hit.start
    last = next((i for i in range(start - 1, max(0, start - 5) - 1, -1) if spot.tokens[i].norm in _TILL), None)
    return last is not None and not any(spot.tokens[i].pause for i in range(last, start))


def _takes_it(spot: Spot) -> bool:
    """Whether the word behind the verb of a wording stands for what is acted on."""
    return not spot.single and spot.tokens[spot.hit.start + 1].norm in ("it", "that", "them")


def _belongs(spot: Spot) -> bool:
    """Whether "its" or "all" before a word belongs to a preposition: "out of its crimp", "at all"."""
    led = spot.hit.start > 1 and spot.tokens[spot.hit.start - 2].norm in _LEADERS
    return led and spot.before in ("its", "all", "the")


def _of_what_can(spot: Spot) -> bool:
    """ "Vessel low, pumped up": a part that can be low stands right before it."""
    behind = spot.behind()
    near = behind is not None and behind.hit.end == spot.hit.start and not behind.pause
    ids = {sense.id for sense in behind.senses("component")} if near and behind is not None else set()
    return any(sense.of is not None and ids & sense.of for sense in spot.senses("condition"))


def _verdict(spot: Spot) -> bool:
    """ "CO alarm: pass.", "28 seconds, pass.": one word that ends what was tested."""
    parted = spot.hit.start > 0 and spot.tokens[spot.hit.start - 1].pause == ","
    return spot.single and spot.pause == "." and parted


def _lets_none_by(spot: Spot) -> bool:
    """ "The gas valve does not pass": a valve, and no test."""
    denial = spot.behind()
    valve = denial.behind() if denial is not None and denial.means("not") else None
    return valve is not None and bool(_VALVES & {sense.id for sense in valve.senses("component")})


def _since(spot: Spot) -> bool:
    """Whether what was done is only named to say when: "before the clean", "after a clean"."""
    at = spot.hit.start - 2
    return at >= 0 and spot.tokens[at].norm in _WHEN and not spot.tokens[at].pause
