"""Whether a name opens a clause after something was said. In: the name where it stands, the clause so far. Out: yes or no.

Not allowed to know: what the words are names of.
"""

from collections.abc import Callable, Sequence

from fieldnote.extract.clauses.ahead import (
    ITSELF,
    LEADING,
    closes,
    followed_by_predicate,
    is_tail,
    name_behind,
    of_several,
    pair_told,
    passive,
    spoken_of_next,
    told_next,
)
from fieldnote.extract.clauses.attributes import a_faulty, attributive, worked_on
from fieldnote.extract.clauses.clause import Clause, at_no_burner, is_fronted, is_placed, pending_before, placed_fault
from fieldnote.extract.clauses.headings import headed, introduced, labelled, taken_up
from fieldnote.extract.clauses.objects import (
    STANDING,
    acted_on,
    apposed,
    bar_one,
    done_to,
    figure_told,
    from_what,
    gets,
    had_by_them,
    in_its_slot,
    in_parallel,
    is_compound,
    is_object,
    lists_objects,
    object_run,
    onto_what,
    reached,
    test_taken,
    to_what,
    two_places_behind,
)
from fieldnote.extract.clauses.placing import another_next, leads_from_a_fault, tells_which_it_is
from fieldnote.extract.clauses.side_by_side import side_by_side
from fieldnote.extract.clauses.turning import one_of_several
from fieldnote.extract.phrases.mention import NOMINAL, Mention

_A_NEW = frozenset("another one".split())
_WANTING = frozenset("needs need wants want requires".split())
_LIKE = frozenset("so sos as nor neither".split())  # first words of a likeness whose subject stands behind it
_NOTHING = frozenset("nothing nowt".split())
_IT_DOES = frozenset("it its they theyre".split())
_THE_ONE = ["det", "one"]
_WHERE_IT_IS = frozenset("behind under against beside beneath".split())
_OF_IT = frozenset("it him them".split())  # what a preposition leads to: "not a bubble on it, rear left's ..."
_OF_THEM = frozenset("them two those these pair".split())  # last words of the one of several
_HAVING = frozenset("got has had".split())
_ACTING = frozenset("blocking covering choking".split())  # what something does to the part that follows


def opens_nominal(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """Whether a name opens a clause: what the first rule says that knows; a new name does where no rule speaks."""
    behind = name_behind(at, mentions)
    if behind is None:
        return True
    answered = behind.kind == "no-after" and behind.first == "none" and mention.kind == "component"
    if answered and mentions[at - 1] is behind and (mention.clitic or followed_by_predicate(at, mentions)):
        return True  # "checked for soot none, thermocouple's weak"
    if mention.closing and mention.kind == "component" and clause.said and not (mention.led or behind.kind == "prep"):
        return True  # "cleared the injector, the cap I'm leaving"
    if (
        clause.said
        and mention.kind == "place"
        and mention.clitic
        and [m.kind for m in mentions[at + 1 : at + 3]] == _THE_ONE
    ):
        return True  # "not a bubble on it, rear left's the one with bubbles"
    if clause.said and (side := side_by_side(mention, behind, at, mentions, clause)) is not None:
        return side
    if behind.last in ITSELF and mention.kind in NOMINAL and followed_by_predicate(at, mentions):
        return True  # "nothing found on the cooker itself, alarm passed"
    led = behind.kind == "condition" and behind.last in _WHERE_IT_IS and mention.kind == "appliance"
    if led and not (behind.fit or mention.gap or mention.pause or mention.clitic):
        return False  # "the hose is trapped behind the oven and it's kinked"
    if is_tail(at, mentions) and any(m.kind in ("pronoun", "them") for m in clause.mentions):
        return False
    back = mentions[at + 1] if at + 1 < len(mentions) else None
    if (
        clause.said
        and back is not None
        and back.kind == "earlier"
        and not (back.gap or behind.kind in ("prep", "work"))
    ):
        return True  # "poked it through, and that big one I started with, the shaft's bent"
    if clause.said and taken_up(behind, at, mentions):
        return True
    if clause.said and mention.kind in ("place", "group") and back is not None and back.theirs:
        return True  # "the cap's fine, front pair somebody's swapped the caps over"
    if clause.said and figure_told(at, mentions) and not (behind.kind in ("prep", "work") or mention.led):
        return True  # "won't stay lit, thermocouple reading three millivolts"
    if clause.said and introduced(at, mentions) and (is_placed(clause) or not clause.named):
        return True
    for rule in RULES:
        verdict = rule(mention, behind, at, mentions, clause)
        if verdict is not None:
            return verdict
    return True


def _led_to(mention: Mention, behind: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """A preposition, "when the" or "couldn't get the" leads to the name, or "new" in a list of new parts."""
    if mentions[at - 1].kind == "det" and mentions[at - 1].last == "new":
        return False
    row = mentions[max(0, at - 3) : at]
    has_it = (
        [m.kind for m in row] == ["prep", "det", "condition"] and row[0].first == "with" and mention.kind == "component"
    )
    # not "fixed it with a bit of mortar, guard's rusted"
    has_it = has_it and any(m.kind in NOMINAL or m.kind == "one" for m in clause.mentions[:-3])
    has_it = has_it and not any(m.done for m in clause.mentions)
    if has_it and not any(m.gap or m.pause for m in (*row[1:], mention)):
        return False  # "rear left's the one with the cracked cap"
    if mention.kind == "component" and behind.kind in ("place", "size") and not (mention.gap or mention.pause):
        before = name_behind(mentions.index(behind, max(0, at - 3), at), mentions)
        if before is not None and before.kind == "except":
            return False  # "nothing wrong apart from the front left knob"
        if before is not None and leads_from_a_fault(before, behind, mentions) and not told_next(at, mentions):
            return False  # "a crack in the front left cap hose fine"
    if mention.kind == "component" and behind.kind == "appliance" and mentions[at - 1] is behind and not behind.clitic:
        led = name_behind(mentions.index(behind, max(0, at - 3), at), mentions)
        if led is not None and led.kind == "prep" and not (mention.gap or mention.pause or behind.gap):
            return False  # "a rattle off the boiler fan, I'm not here for that"
    wanted = behind.kind == "need" and behind.first in _WANTING and mention.kind == "component"
    off = behind.kind == "condition" and behind.first == behind.last == "off" and not (mention.gap or mention.pause)
    if off and not any(m.kind in ("place", "size") for m in clause.mentions) and not mentions[at - 1].pause:
        return False  # "lead off the rear left electrode, so no spark"
    if wanted and not (mention.gap or mention.pause):
        return told_next(at, mentions)  # "door drops, needs hinges"
    if behind.kind == "when" and mention.start - behind.end <= 2 and mention.kind == "component" and not mention.pause:
        if behind.last == "the" and clause.said:
            return False  # "drops out when the oven door slams"
        return followed_by_predicate(at, mentions)  # "bayonet when you pull the hose out it hisses"
    joined = behind.kind in ("prep", "except") and mention.start - behind.end <= 2
    joined = joined and not (
        mentions[at - 1].kind == "pronoun" and mentions[at - 1].last in _OF_IT and mention.kind == "place"
    )
    wrong_with = behind.cause and any(m.fit for m in clause.mentions)
    sure = mention.strong or mention.gap == 1  # "perished at the bottom, hinges ok"
    if joined and not wrong_with and mention.kind == "component" and sure and told_next(at, mentions):
        joined = reached(at, mentions)  # "order one for her, heat exchanger's sooted"
    counted = (
        behind.first == "of" and behind.gap == 1 and clause.said and mentions[at - 1].last in ("the", "them", "these")
    )
    if joined and counted and mention.kind == "component" and followed_by_predicate(at, mentions):
        return True  # "it's standing up straight now, two of the clays are in bits"
    if joined and behind is mentions[at - 1] and mention.gap and mention.strong:
        joined = False  # "isn't making in time, fan wants changing"
    if joined and behind is mentions[at - 1] and mention.gap and mention.clitic and told_next(at, mentions):
        joined = False  # "rattles like a tin of nails, seal's squashed"
    if joined and mentions[at - 1].kind == "det" and mention.gap and mention.clitic and mention.strong:
        joined = False  # "both got wet in the flood, fan's dried out"
    if joined and mentions[at - 1].kind == "det" and mention.gap and mention.strong and behind is mentions[at - 2]:
        # "sealed at the wall, vessel had no air"
        joined = not (mentions[at - 1].gap == 0 and followed_by_predicate(at, mentions))
    filled = (
        mentions[at - 1].kind == "det" and mentions[at - 1].gap and behind.kind == "prep" and behind is mentions[at - 2]
    )
    strange = mention.kind == "place" and "-" in mention.id and mentions[at - 1].kind == "det" and mention.gap > 0
    if joined and (filled or strange) and followed_by_predicate(at, mentions):
        joined = False  # "half blocked with grease, the back right one was clear", "from the van, right front is fine"
    it = at > 1 and mentions[at - 2].kind in ("pronoun", "them")
    if mention.led and it and not joined and followed_by_predicate(at, mentions):
        return True  # "taped that back on, the space behind was packed with sticks"
    if (joined or mention.led) and not mention.pause:
        return _heads_the_next(mention, at, mentions, clause)
    by_it = behind.kind == "condition" and behind.last == "with" and mentions[at - 1].kind == "det"
    if by_it and mentions[at - 1].gap + mention.gap < 2 and not mention.pause and not behind.fit:
        return False  # "the flame was yellow with the old jet"
    if mention.gap or mention.pause:
        return None
    if behind.kind == "same" and behind.first == behind.last == "neither" and followed_by_predicate(at, mentions):
        return True  # "lid I didn't look at, hinges neither, knobs all fine"
    if behind.kind == "same" and (
        behind.last in LEADING or behind.last in ("with", "for", "as") or behind.first in _LIKE
    ):
        return False  # "same on the rear left", "so is the pump"
    if behind.kind == "condition" and behind.first in _NOTHING and behind.last in ("in", "on", "behind"):
        return followed_by_predicate(at, mentions)  # "nothing in the catchment"
    if behind.kind == "condition" and behind.last == "the" and mentions[at - 1] is behind:
        return False  # "yellow on the", "rubbing on the"
    # "goes out when the door shuts", "couldn't get the tap to turn"
    return False if (behind.last == "the" and behind.kind == "when") or gets(behind) else None


def _heads_the_next(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "Front tap's stiff, on the left side back the cap is broken": the clause has its place, and a part follows at another."""
    part = at + 2 if mentions[at + 1 : at + 2] and mentions[at + 1].kind == "det" else at + 1
    corner = mention.kind in ("place", "group") and "-" in mention.id
    if not corner or part >= len(mentions) or mentions[part].kind != "component":
        return False
    told = bool(clause.kinds() & {"place", "cured", "outcome", "now"}) or at_no_burner(clause)
    near = not any(m.gap or m.pause for m in mentions[at + 1 : part + 1])
    return told and near and followed_by_predicate(part, mentions)


def _beside_work(
    mention: Mention, behind: Mention, at: int, mentions: Sequence[Mention], clause: Clause
) -> bool | None:
    """Work stands around the name: what it was done on is no new subject, a row of parts each with its work is."""
    them = mentions[at - 1].kind == "them" and at > 1 and mentions[at - 2].kind == "work"
    if them and mention.first == mention.last == "both" and not (mention.gap or mention.pause):
        return False  # "greased them both, the back two turn no bother"
    if _elsewhere(mention, at, mentions, clause) or (
        mention.kind == "place" and mention.last in _OF_THEM and any(m.done for m in clause.mentions)
    ):
        return True  # "greased them two and the right hand one of them wants a new knob"
    if mentions[at - 1].kind == "component" and pair_told(at, mentions) and not (mention.led or mention.gap):
        return True  # "so new knob, back left and back right both fine"
    counted = behind.kind == "group" and mentions[at - 1] is behind and at > 1 and mentions[at - 2].done
    counted = counted and behind.last not in STANDING and not followed_by_predicate(at, mentions)
    if counted and mention.kind == "component" and not (mention.gap or mention.pause or behind.gap or behind.pause):
        return False  # "cleaned both rear injectors, rear left's blue now"
    if _row_of_work(at, mentions, clause) or _worked_on_apart(behind, at, mentions):
        return True
    named = any(m.kind == "component" for m in clause.mentions)
    led = mentions[at - 1].kind == "det" and mentions[at - 1].first in ("the", "her", "his", "their")
    worked = behind.kind == "work" and behind.done and behind.takes_object and not (mention.pause or mention.gap)
    then = any(m.kind == "past" for m in clause.mentions)
    if worked and then and led and mention.kind == "component" and not named and not mentions[at - 1].gap:
        return False  # "last year colleague changed the thermocouple it is fine today"
    apart = mention.pause or (mention.strong and behind.strong and not mention.gap and mentions[at - 1] is behind)
    if mention.kind == "component" and apart and passive(at, mentions) and behind.kind == "component":
        return True  # "tightened the hinge screws, seal on order", "needs a new tap hose tested"
    if had_by_them(at, mentions) and not told_next(at, mentions) and not named:
        return False  # "the right hand pair both have stiff taps"
    if _needed_before(behind, mention, clause) and (mention.clitic or followed_by_predicate(at, mentions)):
        return True
    when = mentions[at + 1] if at + 1 < len(mentions) else mention
    if _needed_before(behind, mention, clause) and when.kind == "when" and not when.gap:
        return True  # "it's rotted, wants another, front right when you let it go it sticks"
    corner = mention.kind == "place" and at > 1 and mentions[at - 1].kind == "component" and not mention.gap
    if corner and two_places_behind(at - 1, mentions) and is_object(at - 1, mentions):
        return False
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    it = after is not None and after.kind in ("pronoun", "outcome") and after.first in _IT_DOES and not after.gap
    it = it and not any(m.kind == "be" for m in mentions[at + 2 : at + 3])  # not "put grease, the flame it is yellow"
    if (
        worked
        and it
        and mention.kind == "component"
        and mention.strong
        and not named
        and mentions[at - 1].kind == "det"
    ):
        return False  # "cleaned the thermocouple it holds in now"
    if is_object(at, mentions) or test_taken(at, mentions) or is_compound(at, mentions):
        return False
    if behind.kind == "place" and not (mention.gap or mention.pause) and in_its_slot(at, mentions):
        return False  # "a new front left tap has been fitted"
    if behind.kind in ("group", "place") and behind.last in STANDING:
        return True  # "swapped the pair of them, pipe's fine": whose number was said is named no more
    if behind.kind in NOMINAL and not mention.pause and object_run(at, mentions):
        return False
    return False if behind.kind in ("and", "or") and lists_objects(at, mentions) else None


def _acted_on(mention: Mention, behind: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """A fault told as an act of what is done to the part behind it ("nothing blocking the vent")."""
    acting = behind.kind == "condition" and behind.last in _ACTING
    if acting and mentions[at - 1].kind == "det" and not mention.gap and not mention.pause:
        return False
    acted = acted_on(behind, mentions[at - 1 : at + 1]) or _done_to(at, mentions, clause)
    return False if acted and not followed_by_predicate(at, mentions) else None


def _behind_outcome(
    mention: Mention, behind: Mention, at: int, mentions: Sequence[Mention], clause: Clause
) -> bool | None:
    """After "lights every time now" or "heat exchanger vacuumed" the next name is another."""
    if "outcome" in clause.kinds():
        return True
    chained = behind is mentions[at - 1] and behind.kind == "work" and passive(at - 2, mentions)
    if mention.kind == "component" and chained and passive(at, mentions) and not mention.gap:
        return True  # "heat exchanger vacuumed trap flushed"
    return None


def _loose_name(mention: Mention, behind: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """A name that says little by itself, or is part of what was said ("yellow flame", "dropped off the electrode")."""
    ruled_out = behind.kind == "not" and behind.first == "not" and mention.start - behind.end <= 1 and not behind.pause
    next_ = mentions[at + 1] if at + 1 < len(mentions) else mention
    # "knob, not spindle, hose is fine": of the next one that is said
    another = next_.kind == "component" and next_.strong and not (next_.gap or mention.clitic)
    told = followed_by_predicate(at, mentions) and not another
    if ruled_out and mention.kind == "component" and not mention.gap and not told:
        return False  # "it's the lead that's loose, not the electrode, push it on"
    coloured = behind.kind == "condition" and any(
        sense.id in ("yellow-tipping", "lifting", "weak") for sense in behind.senses
    )
    right_behind = mentions[at - 1] is behind and not (mention.gap or mention.pause)
    if mention.id == "flame" and coloured and not behind.fit and right_behind and not told_next(at, mentions):
        return False  # "front left yellow flame, mixing tube full of fluff"
    if behind.fit and passive(at, mentions) and not mention.pause:
        return True  # "no faults, electrodes renewed", "both fine, trap emptied"
    if mention.kind == "component" and clause.said and behind.kind != "prep" and _leads_to_a_part(at, mentions):
        return True  # "that's fine, the lead to the back right electrode's been chewed"
    if mention.kind == "component" and not mention.strong and not followed_by_predicate(at, mentions):
        worked = clause.said and behind.kind in ("work", "pronoun", "them") and mentions[at - 1] is behind
        # "pinched them up chain hooked on and taut"
        return spoken_of_next(at, mentions) or (worked and passive(at, mentions) and not mention.led)
    if mention.kind == "component" and from_what(at, mentions) and not told_next(at, mentions):
        return False
    if mention.kind == "component" and mention.id == "appliance" and behind.kind == "condition":
        return mention.clitic or followed_by_predicate(at, mentions)  # "knob rubs the fascia, straightened it"
    when = mentions[at + 1] if at + 1 < len(mentions) else None
    if behind.fit and mention.strong and when is not None and when.kind == "when" and not (when.gap or when.pause):
        return True  # "now it's solid, bayonet when you pull the hose out it hisses"
    fronted = is_fronted(clause) and not (followed_by_predicate(at, mentions) or pair_told(at, mentions))
    return False if fronted else None


def _leads_to_a_part(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a part is named by the part that it goes to, and something is said of it."""
    row = mentions[at + 1 : at + 3]
    to = [m.kind for m in row] == ["place", "component"] and row[0].led and row[0].first == "to"
    return to and not any(m.gap or m.pause for m in (mentions[at], *row)) and told_next(at + 2, mentions)


def _place(mention: Mention, behind: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """Places and numbers: they close what was said, or head what comes."""
    if behind.kind == "place" and behind.led and to_what(at, mentions):
        return False  # "the lead to the rear left electrode was frayed"
    if mention.kind == "place" and at > 1 and mentions[at - 1].kind == "and" and of_several(at - 2, at + 1, mentions):
        return False  # "caps chipped front left and rear left the knob is melted"
    after = mentions[at + 1] if at + 1 < len(mentions) else mention
    if clause.said and _stands_apart(at, mentions):
        return True
    one = mention.last in ("one", "un") or (after.kind == "one" and not (after.gap or after.pause))
    ordered = one and mentions[at - 1].kind == "them" and clause.mentions[-2:][0].kind == "prep"
    if mention.kind == "place" and ordered and not mention.led and followed_by_predicate(at, mentions):
        return True  # "I need to order one of them, front left one was changed last year"
    if mention.kind == "place" and at > 1 and bar_one(at, mentions):
        return False  # "all ok bar one, the front left"
    if mention.kind == "place" and one_of_several(mention, at, mentions, clause):
        return False  # "one of the knobs is cracked, the front left one, the others are all right"
    if mention.kind == "place" and apposed(at, mentions):
        return False  # "cracked on two of them, back left, front right"
    if mention.kind == "place" and tells_which_it_is(behind, clause) and not told_next(at, mentions):
        return False  # "the knob that's loose is the front left one and the cap is fine"
    if (
        mention.id == "all"
        and mention.first in ("on", "at")
        and mentions[at - 1].kind == "condition"
        and not mention.gap
    ):
        return False  # "lifting on all four the governor's stuck"
    led = mentions[at - 1].kind == "det" and mentions[at - 1].first == "the" and not mentions[at - 1].gap
    if (
        mention.kind == "place"
        and behind.kind in ("place", "group")
        and mention.clitic
        and led
        and told_next(at, mentions)
    ):
        return True  # "broken right hand and centre, the left's okay", "the two on the outside the middle one's fine"
    if mention.kind == "group" and not is_placed(clause) and another_next(at, mentions):
        return False  # "two are broken the two on the outside the middle one's fine"
    if _counts_those(mention, at, mentions, clause):
        return False  # "they're rusty, all four of them, spark plugs dirty"
    if mention.last == "round" and behind.fit and not mention.gap:
        return False  # "flame good all round, no leaks"
    group = at - 1 if mentions[at - 1].kind == "group" and not (mention.gap or mention.pause) else at
    if mentions[group].kind == "group" and from_what(group, mentions) and not followed_by_predicate(at, mentions):
        return False  # "stuffed cling film over both air bricks"
    if mention.kind == "place" and onto_what(at, mentions) and not any(m.kind == "component" for m in clause.mentions):
        return False  # "hob, gravy on the front left electrode"
    if mention.kind == "component" and behind.kind == "place" and onto_what(at - 1, mentions) and not mention.pause:
        return False
    if mention.kind == "place" and onto_what(at, mentions) and behind.last == "off" and after.id == "electrode":
        leads = (m for m in clause.mentions if any(sense.id == "ht-lead" for sense in m.senses))
        return next(leads, None) is None  # "the lead's come off the front right electrode"
    if mention.kind == "place" and not is_placed(clause) and in_parallel(at, mentions):
        return False  # "cap cracked front left, cap cracked rear left"
    if mention.kind in ("place", "group") and "-" in mention.id and not mention.led and at_no_burner(clause):
        return True  # "hose fine rear left, cap cracked"
    return is_placed(clause) or not closes(at, mentions) if mention.kind in ("place", "group", "size") else None


def _stands_apart(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Three light fine, the fourth, back left, won't spark", "..., the other one, front right, won't hold"."""
    row = mentions[at + (mentions[at].id == "rest") : at + 3]
    named = (
        row and row[0].kind == "place" and "-" in row[0].id and row[0].pause == "," and mentions[at - 1].kind != "and"
    )
    told = len(row) > 1 and row[1].kind in ("condition", "not") and row[1].pause == "," and not row[1].gap
    return bool(named and told) and (mentions[at].id == "rest" or mentions[at - 1].kind == "det")


def _counts_those(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """Whether "all four of them" counts the several parts of which something was just said, and another part follows."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    counted = mention.kind in ("group", "place") and mention.last in STANDING and mention.first != mention.last
    if not counted or mention.gap or mentions[at - 1].kind != "condition" or is_placed(clause):
        return False
    several = any(m.kind == "them" or (m.kind == "component" and m.plural and not m.clitic) for m in clause.mentions)
    return several and after is not None and after.kind == "component" and not after.gap


def _its_condition(
    mention: Mention, behind: Mention, at: int, mentions: Sequence[Mention], clause: Clause
) -> bool | None:
    """A condition right before its own part ("front left's got a split knob", "front left a cracked cap")."""
    if behind.kind == "condition" and worked_on(at - 1, mentions):
        return False
    if behind.kind == "condition" and behind.first in _HAVING and not mention.gap and mention.strong:
        return any(m.kind == "component" for m in clause.mentions)
    faulty = mention.kind == "component" and a_faulty(at, mentions)
    if behind.kind == "condition" and (faulty or attributive(at - 1, mentions)) and _had(behind, mentions[:at]):
        return False  # "both front burners have dirty injectors", "the burner's got a cracked cap"
    if faulty:
        return any(m.kind == "component" for m in clause.mentions[:-1])
    more = mentions[at + 1] if at + 1 < len(mentions) and not mention.gap else None
    told_more = more is not None and more.kind == "condition" and more.pause != ""
    if behind.kind == "condition" and told_more and placed_fault(behind, mention, clause):
        return False  # "rear right knackered tap, stiff, greased"
    if behind.kind == "condition" and attributive(at - 1, mentions):
        led = any(m is behind for m in clause.mentions[:1]) or placed_fault(behind, mention, clause)
        return not led and pending_before(behind, clause)
    return None


RULES: tuple[Callable[[Mention, Mention, int, Sequence[Mention], Clause], bool | None], ...] = (
    headed,
    labelled,
    _led_to,
    _beside_work,
    _acted_on,
    _behind_outcome,
    _loose_name,
    _place,
    _its_condition,
)


def _worked_on_apart(behind: Mention, at: int, mentions: Sequence[Mention]) -> bool:
    """ "The oven one I tightened, the grill one I changed": what was worked on is told before the work."""
    one, work = mentions[at], mentions[at + 1] if at + 1 < len(mentions) else None
    led = mentions[at - 1].kind == "det" and mentions[at - 1].first in ("the", "that") and behind.kind != "prep"
    mine = work is not None and work.done and work.owned and work.gap == 1 and not work.pause
    after = mentions[at + 2] if at + 2 < len(mentions) else None
    alone = after is None or after.pause or after.kind not in ("pronoun", "them", "det", "component")
    # "the electrode I've got one ordered, the ring ..."
    alone = alone or (work is not None and work.id == "order" and work.end - work.start > len(("got", "ordered")))
    named = one.last in ("one", "ones", "un") or (one.kind == "component" and alone and not (one.gap or one.clitic))
    return led and mine and named and not one.led  # "fan's noisy, the trap I emptied"


def _had(fault: Mention, row: Sequence[Mention]) -> bool:
    """Whether a burner named before has the faulty part that follows."""
    before = [m for m in row[-5:-1] if m.kind != "det"]
    have = before[-1] if before else None
    if have is None or have.first not in _HAVING | {"have"} or have.kind != "be" or len(before) < 2:
        return False
    burner = before[-2].id == "burner" or any("+burner" in sense.note for sense in before[-2].senses)
    return burner and not (fault.gap or fault.pause or have.gap)


def _elsewhere(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "Front right lead's loose, pushed that on, back right I'm not happy with": what was worked on had its own corner."""
    corner = next((m for m in clause.mentions if m.kind in NOMINAL), None)
    if mention.kind != "place" or "-" not in mention.id or mention.led or corner is None or corner.kind != "place":
        return False
    it = mentions[at - 1].kind == "pronoun" and mentions[at - 1].end - mentions[at - 1].start == 1
    worked = it and at > 1 and mentions[at - 2].done and mention.gap < 2 and not mention.pause
    return worked and "-" in corner.id and corner.id != mention.id


def _needed_before(behind: Mention | None, mention: Mention, clause: Clause) -> bool:
    """ "The cap's cracked, needs replacing, the right hand pair are stiff": what needs it stands before it."""
    if behind is None or behind.kind != "work" or not clause.named or mention.kind not in ("place", "group"):
        return False
    if behind.senses[0].note == "needed":
        return behind.last.endswith("ing") or behind.last in _A_NEW
    needs = clause.mentions[-2] if len(clause.mentions) > 1 else behind  # "cracked needs replaced front right's dirty"
    wanted = needs.kind == "need" and needs.first in _WANTING and not (behind.gap or behind.pause)
    return wanted and behind.done and clause.said and any(m.kind == "place" for m in clause.mentions)


def _done_to(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "He's put a telly up and covered the vent": a fault told as an act, of the part behind it, where no part stands before."""
    return at > 1 and done_to(mentions[at - 2 : at + 1]) and not clause.named


def _row_of_work(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "Burner brushed, pilot jet pricked": each part stands before what was done to it."""
    end = at
    while end < len(mentions) and mentions[end].kind == "component" and not (end > at and mentions[end].gap):
        end += 1
    if end == at or end == len(mentions) or not mentions[end].done or mentions[end].gap or mentions[end].pause:
        return False
    said = [m for m in clause.mentions if m.kind != "and"]
    works = [m for m in said if m.done]
    return (
        len(said) > len(works) > 0
        and said[-len(works) :] == works
        and all(m.kind in ("component", "place") for m in said[: -len(works)])
    )
