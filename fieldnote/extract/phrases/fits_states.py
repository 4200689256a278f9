"""Whether a phrase says here what state a part is in. In: a phrase with its neighbours. Out: yes or no.

Not allowed to know: what was said before in the talk.
"""

import functools
import itertools
from collections.abc import Sequence

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
_COLOURS = frozenset("brown black white green yellow grey red orange".split())
_NEITHER = frozenset("neither none nor not".split())
_TIMES = frozenset("week weeks day days minute minutes hour hours second seconds month months year years".split())
_LEADERS = frozenset("at of in on to from off into onto by with behind round under".split())
OURS = frozenset("i ive we weve ill".split())
_SOMEBODY = frozenset("somebodys someones somebody someone theyve hes shes they he she".split())
_DONE_TO = frozenset("knocked slackened loosened twisted flattened lifted moved shifted turned".split())
_ACTS = frozenset("blew broke bent burnt split".split())
_TIMED = frozenset("at after inside within".split())
# words that make something else of the next: how a telly is on, "canny" for cannot
_TURNED = {"on": ("loud",), "up": ("loud",)} | dict.fromkeys("he she it they we i you ye".split(), ("canny",))
_COMING = frozenset("came come comes coming".split())
_AWAY = frozenset("off out away apart".split())
_TILL = frozenset("till until til".split())
BECOMING = frozenset("is are was were has had have been all".split())
_APART = frozenset("out off apart in on up down open to from running going since for fixed serviced".split())
_BADLY = frozenset(
    "badly poorly terribly awfully weakly roughly erratically weird strange funny odd wrong rough dirty hot slow slowly "
    "short".split()
)
_AFTER_STRAIGHT = frozenset(["", *"and so now but again all as with enough".split()])
_PERSONS = frozenset("shes hes theyre im".split())
_OF_A_TEST = frozenset("the its a both all every each test retest spillage smoke tightness button".split())
_GIVING = frozenset("chucking kicking knocking putting pushing churning".split())
_FIGURES = frozenset(
    "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen "
    "nineteen twenty thirty forty fifty".split()
)
_WHOLLY = frozenset("completely totally altogether entirely fully right all".split())
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
_SPARKING = frozenset("now away like lovely well together".split())
_SLACK = frozenset("some of much more no any bit the has got had little excessive a its with slight that".split())
_TESTED = frozenset(
    "minutes minute mins min secs seconds s test retest nil tightness spillage flow zero by drop".split()
)
_COVERING = frozenset("taped sealed covered blocked boxed boarded plugged".split())
_SPEAKERS = frozenset("that it he she they do does this them".split())
_SOUNDING = frozenset("a like rough bad ropey poorly wrong funny odd horrible terrible awful worse loud noisy".split())
_TIMES_OVER = frozenset({("every", "time"), ("each", "time")})
_OPENS = frozenset("open opens opened shut shuts closed closes".split())
_CLEAR_OF = frozenset("off through away out in across over".split())  # behind "clean": how far something goes
_HEARTY = frozenset("good decent nice proper right fair".split())
_ONES = frozenset("one un yin".split())
_BESIDE = frozenset("with beside against alongside to".split())
_MOVES = frozenset("twist bend strain buckle".split())


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
    if spot.single and spot.first in _SLIGHT and (spot.followed_by("appliance") or spot.before in ("the", "this")):
        return False  # "wee cooker in the flat", "the wee cafe"
    if no_state(spot):
        return False
    if spot.single and spot.first in _SLIGHT and spot.before not in COPULAS | _HOW_SMALL and _of_the_unknown(spot):
        return False  # "oven in a wee bedsit", "a small shop on the corner", "next the wee spring clip"
    if spot.single and spot.first in ("tip", "tips") and spot.owned:
        return False  # "the electrode's tip is gone"
    round_ = spot.first == "going" and spot.tokens[spot.hit.end - 1].norm == "round"
    if round_ and spot.followed_by("place") and not spot.owned:
        return False  # "five burners going round front left's fine": how they are told
    with_a = [token.norm for token in spot.tokens[spot.hit.end : spot.hit.end + 2]] in (["with", "a"], ["with", "an"])
    if spot.single and spot.first in ("burned", "burnt") and with_a and not spot.pause:
        return False  # "the small one burned with a lazy tip": how its flame was
    if spot.single and spot.first == "flows" and spot.tokens[spot.hit.start].clitic:
        return False  # "the flow's set to sixty five"
    opens = spot.hit.start == 0 or spot.tokens[spot.hit.start - 1].pause == "."
    if spot.first in ("bracket", "brackets") and opens and not spot.single:
        return False  # "cooker next. bracket's missing.": the part itself, not what a pipe lacks
    if spot.single and spot.first in _COLOURS and not spot.pause and spot.beyond in _matter():
        return False  # "full of the same brown muck"
    if spot.first in ("bin", "skip", "tip") and spot.single and spot.before in ("the", "a"):
        return False  # "so that's in the bin"
    slight = spot.single and spot.first in _SLIGHT and spot.followed_by("component")
    if slight and (small_anyhow(spot) or (spot.first == "wee" and spot.before in _LED)):
        return False  # "the small screw for the low flame": no small flame, nor "a wee valve"
    if spot.first == "enough" and spot.before in ("near", "fair", "sure", "right"):
        return False  # "twenty three cube near enough"
    if spot.single and spot.before == "to" and any(sense.note == "bare" for sense in spot.senses("condition")):
        return False  # "stiff to twist": what it is stiff to do
    if all(sense.note == "bare" for sense in spot.senses("condition")):
        return spot.before in COPULAS | {"does", "did"} and not _belongs(spot)  # "it does lift a bit"
    if all(sense.note in ("plural", "bare") for sense in spot.senses("condition")):
        return several_before(spot) or (spot.first in ("pass", "fail") and _verdict(spot))
    if spot.first == "sticks" and spot.single and spot.before in ("the", "some", "of", "few", "dry", "dead", "with"):
        return False  # "pulled the sticks out"
    if spot.first in _OPENS and spot.single and _every_time(spot):
        return False  # "blew out every time the back door opened"
    if spot.first == "sound" and spot.single and spot.before in _SPEAKERS and spot.beyond in _SOUNDING:
        return False  # "that sound a bit rough to me": what it sounds like follows
    if spot.first in ("going", "goes") and spot.before[:1].isdigit():
        return False  # "2.9 bar when I came and 1.3 going out": when it was read
    if spot.first == "gone" and spot.single and spot.beyond in ("a", "an", "all", "to", "into") and not spot.pause:
        return False  # "gone a funny brown", "gone to jelly"
    person = spot.before in _PERSONS or (spot.before == "is" and spot.tokens[spot.hit.start - 2].norm in ("he", "she"))
    if person and spot.beyond in ("with", "about") and not spot.pause:
        return not all(sense.id == "ok" for sense in spot.senses("condition"))  # "she's all right with that"
    if spot.first in ("holds", "held") and spot.single and spot.before in ("that", "which") and spot.followed_by("det"):
        return False  # "the clip that holds the phial": what it is for
    if spot.first in ("running", "runs") and spot.single and spot.beyond == "with" and not spot.pause:
        return False  # "running with rust"
    if spot.first == "passed" and spot.tokens[spot.hit.end - 1].norm == "on" and spot.beyond in _OF_A_TEST:
        return False  # "the alarm passed on the button": not that it is no more
    if spot.first == "gone" and spot.tokens[spot.hit.end - 1].norm in _WHOLLY and spot.followed_by("condition"):
        return False  # "gone completely illegible"
    if spot.first == "never" and spot.beyond in ("it", "them") and not spot.pause:
        return False  # "customer never shuts it"
    if spot.first == "gone" and spot.single and spot.beyond == "for" and spot.before in OURS:
        return False  # "I've gone for the thermocouple"
    if spot.first == "dead" and spot.single and spot.followed_by("condition") and not spot.pause:
        return False  # "dead soft"
    if spot.tokens[spot.hit.end - 1].norm == "gone" and spot.beyond not in ("", "has", "have") and not spot.pause:
        if spot.beyond in _PEOPLE:
            return True  # "hinges gone, customer never shuts it"
        return spot.follower() is not None and not spot.followed_by("condition")  # "gone rusty" says what it is
    if _to_compare_with(spot):
        return False
    if spot.first in _MOVES and spot.single and spot.before == "to":
        return False  # "stiff to twist", "you've to bend it"
    gives = spot.first in _GIVING and spot.tokens[spot.hit.end - 1].norm == "out"
    if gives and (spot.beyond in _FIGURES or spot.beyond.isdigit()):
        return False  # "now she's chucking out twenty five": its figure
    if _opens_with_the_right_one(spot):
        return False  # "The right one had a stiff tap"
    if spot.first in _TURNED.get(spot.before, ()) and spot.single:
        return False  # "the telly's on loud", "he canny use it"
    if spot.first in ("held", "holds") and spot.tokens[spot.hit.end - 1].norm == "in" and spot.beyond in _TIMED:
        return False  # "held in at four seconds": a time, no verdict
    comes = bool({spot.first, spot.before} & _COMING) and spot.tokens[spot.hit.end - 1].norm in _AWAY
    if comes and _only_then(spot):
        return False  # "couldn't see it till the plinth came off"
    if spot.first == "off" and spot.single:
        return is_off(spot)
    if spot.first == "not" and spot.before == "but" and spot.tokens[spot.hit.end - 1].norm == "on":
        return not spot.followed_by("place", "det")  # "but not on the back one"
    if spot.tokens[spot.hit.end - 1].norm == "off" and spot.hit.end - spot.hit.start == 2 and spot.first in BECOMING:
        behind = spot.behind(1)  # "the cap was off", not "smells when it is off"
        return behind is not None and behind.means("component") and not behind.means("appliance")
    if spot.first == "right" and spot.beyond in WANTED and wrong_before(spot):
        return False  # "the wrong jet, right one needs ordering"
    if spot.first in ("would", "will") and all(sense.id == "ok" for sense in spot.senses("condition")):
        return any(spot.tokens[i].norm in _NEITHER for i in range(max(0, spot.hit.start - 7), spot.hit.start))
    if spot.first == "held" and spot.single and spot.beyond in ("with", "by", "together", "on") and not spot.pause:
        return False  # "it's held with three clips": no test
    if spot.first == "seals" and not spot.single and spot.tokens[spot.hit.start].clitic:
        return False  # "the seal's ok": not "it seals ok"
    if spot.first == "lights" and spot.tokens[spot.hit.start].clitic:
        return False  # "the oven light's blown"
    if spot.first == "straight" and spot.single and spot.beyond not in _AFTER_STRAIGHT and not spot.pause:
        return False  # "straight in", "straight to max"
    if spot.first in ("hard", "tight") and spot.single and spot.before in ("so", "that") and _worked_so(spot):
        return False  # "tightened the gland nut so hard it leaks"
    if spot.first == "crack" and spot.single and several_before(spot) and spot.beyond in _SPARKING:
        return False  # "all four crack now": sparks
    if spot.first == "play" and spot.single and spot.before not in _SLACK:
        return False  # "kids play there"
    if spot.first in ("working", "works", "lit") and _wondered(spot):
        return False  # "how it was working I don't know"
    if spot.first in ("burn", "burned", "burnt") and spot.single and _well_next(spot):
        return False  # "the mediums burn lovely"
    if spot.first == "burn" and spot.single and several_before(spot):
        return False  # "all three rings burn"
    if spot.before in ("a", "another") and spot.followed_by("work") and spot.first in _HEARTY:
        return False  # "wants a good soak"
    if spot.beyond in _TIMES and spot.tokens[spot.hit.end - 1].norm in ("two", "half"):
        return False  # "back in two weeks"
    if spot.single and spot.before in ("for", "to") and all(s.id == "wrong-part" for s in spot.senses("condition")):
        return False  # "changed all four injectors for lpg"
    if spot.first == "had" and spot.tokens[spot.hit.end - 1].norm == "it" and spot.hit.end - spot.hit.start == 2:
        return (spot.owned or spot.before in ("has", "have")) and (bool(spot.pause) or spot.beyond not in _APART)
    if spot.first in _SOMEBODY and spot.tokens[spot.hit.end - 1].norm == "it" and not spot.pause:
        return not (spot.beyond.endswith("ed") or spot.beyond in _APART)  # "somebody's had it opened out"
    if spot.first == "clean" and spot.single and spot.beyond in ("off", "away", "across") and not spot.pause:
        return spot.before in COPULAS  # "lifting its flame clean off"
    if spot.first == "held" and spot.single and spot.before == "i":
        return False  # "I held it in a full minute"
    if spot.first == "low" and spot.single:
        # "turned down low"
        return (spot.before in _BEING_LOW or _of_what_can(spot)) and (bool(spot.pause) or spot.beyond not in _LOW_WHAT)
    if spot.first in ("week", "weeks") and spot.single:
        behind = spot.behind(1)  # "the thermocouple's week", as a recogniser writes it
        return spot.owned and behind is not None and behind.means("component")
    if spot.first == "fair" and spot.single and not spot.pause and spot.followed_by("condition"):
        faults = [hit for hit in spot.hits[spot.at + 1 : spot.at + 2] if hit.start == spot.hit.end]
        return not any(s.kind == "condition" and s.id != "ok" for hit in faults for s in hit.values)  # "fair riddled"
    if spot.first == "away" and spot.single:
        behind = spot.behind()  # "the ignition box is away", not "straight away"
        part = behind is not None and (behind.means("component") or spot.before in ("is", "was"))
        ends = bool(spot.pause) or not spot.beyond or spot.beyond in _TOLD_NEXT
        return part and (spot.owned or spot.before in ("is", "was")) and ends
    if spot.first == "wrong" and spot.single:
        return spot.followed_by("component")
    if spot.before in ("it", "she", "he") and spot.hit.start > 1 and spot.tokens[spot.hit.start - 2].norm == "when":
        return not all(sense.id == "ok" for sense in spot.senses("condition"))  # "buzzes when it pulls in"
    if spot.first == "pass" and spot.single:
        leaks = any(sense.id != "passed" for sense in spot.senses("condition")) and several_before(spot)
        return is_verdict(spot.tokens, spot.hit.start) or leaks or _lets_none_by(spot)  # "none of the taps pass"
    if (
        spot.first in ("clean", "dry", "free", "open")
        and spot.single
        and spot.beyond in ("it", "them")
        and not spot.pause
    ):
        return spot.before not in ("", "to", "just", "please")  # "I said, clean it"
    if spot.first == "clean" and spot.single and spot.beyond in _CLEAR_OF and not spot.pause:
        return False  # "jumping clean off the head", "snapped clean in two"
    if (
        spot.first == "clean"
        and spot.single
        and (spot.before in _WHEN or (spot.before in ("the", "a") and _since(spot)))
    ):
        return False  # "a hundred and twelve before the clean", "after clean fifty"
    if spot.first == "stuck" and spot.single and spot.beyond in ("it", "one", "them") and not spot.pause:
        return False  # "stuck it on the shelf"
    if spot.first in _COVERING and spot.before not in _SOMEBODY | BECOMING and _takes_it(spot):
        return False  # "a hole in the worktop, taped that over": an act
    if spot.first == "stuck" and spot.single and spot.beyond in ("a", "an", "my") and spot.before not in BECOMING:
        return False  # "stuck a warning on it"
    if spot.first == "stuck" and spot.before in _SOMEBODY and spot.tokens[spot.hit.end - 1].norm in ("on", "in"):
        return False  # "somebody's stuck on a universal one"
    if spot.first in _DONE_TO and spot.beyond in ("it", "them") and spot.before not in BECOMING and not spot.pause:
        return False  # "slackened it off": an act, too
    if (spot.first.endswith("ed") or spot.first in _ACTS) and (spot.before in OURS or _i_have(spot)):
        return False  # "I've lifted the cap", "I have wedged it": an act, no fault
    owned = spot.beyond in ("her", "his", "their", "my", "our") and not spot.pause and not spot.followed_by("component")
    if owned and spot.single and spot.first in ("burnt", "burned", "broke", "cracked", "damaged", "blocked"):
        return False  # "burned her roast"
    if spot.single and spot.first in ("light", "spark"):
        behind = spot.behind()
        return behind is not None and (
            behind.means("group")
            or several_burners(behind)
            or several_places(behind)
            or any(sense.note.endswith("s") for sense in behind.senses("component"))
        )
    if spot.single and spot.beyond in _BADLY and not spot.pause and all(s.id == "ok" for s in spot.senses("condition")):
        return False  # "pulling badly", "running rough"
    if not spot.means("mark"):
        return True
    # "ok", "okay": a finding when something is spoken of right before
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
