"""Clauses that open behind what was told: by others, of what is not there, in whole tellings. In: a mention, the row, the clause
so far. Out: whether a clause opens, None where the rule has nothing to say.

Not allowed to know: facts.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.ahead import at_a_part, followed_by_predicate, name_behind, part_told, the_one, work_next
from fieldnote.extract.clauses.clause import (
    Clause,
    belies,
    but_not,
    had_none,
    nothing_there,
    past_told,
    right_behind,
    stands_for_verb,
    tells,
)
from fieldnote.extract.clauses.turning import (
    named_anew,
    never_had,
    place_told_anew,
)
from fieldnote.extract.phrases.mention import NOMINAL, Mention

_CLAIMS = frozenset({"report", "if", "general"})
_NOTED = frozenset("down logged booked reported recorded entered".split())  # a report told behind its part
_THERE = frozenset("theres there".split())
_DONT = frozenset("dont not cant couldnt but".split())  # first words of a doubt about what was told before
_MINE = frozenset("i id ive im my".split())  # first words of a guess of the engineer's own
_DEFINITE = frozenset("the that those them".split())
_LACKING = frozenset({"no", "not", "never"})
_LED = frozenset("in on at from to of off out".split())  # last words of a wording that lead to what it is said of
_THOUGH = frozenset({"though", "however"})
_ACROSS = {"left": "right", "right": "left", "front": "rear", "rear": "front"}
_SIDES = frozenset(_ACROSS)
_THAT_IS = frozenset({"thats", "its"})
GOES = frozenset("it its they theyre".split())
_BY_THE_WAY = frozenset("apparently supposedly allegedly".split())
_THEY = frozenset("it he she they".split())
_TAKEN_BACK = frozenset("correct not be no no-after need pronoun prep".split())
_MENDED_WITHIN = 18  # mentions back to the fault that work on its part is done for
_NOT_DONE = frozenset("didnt havent hadnt hasnt never not".split())
_FLATLY = frozenset("isnt arent wasnt werent dont doesnt havent hasnt".split())


_HAD, _THEN = frozenset("had has got".split()), frozenset("was were had then".split())


def lacking_behind_work(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Front left jet blocked, pricked that out, no spark at the back left": what is lacking elsewhere, behind work."""
    last = clause.mentions[-1]
    worked = clause.said and any(m.done for m in clause.mentions) and last.kind in ("pronoun", "them", "work")
    if mention.kind != "condition" or mention.first not in _LACKING or mention.fit or mention.gap > 1 or not worked:
        return None
    noun = next((m for m in mentions[at + 1 : at + 3] if m.kind != "det"), None)
    named = noun is not None and noun.kind == "component" and mention.last in _LED and not (noun.gap or mention.pause)
    place = mentions[at + 1] if at + 1 < len(mentions) and not mention.pause else None
    placed = place is not None and place.kind == "place" and place.led and not place.gap
    return True if named or placed or at_a_part(at, mentions) else None


def belied_flatly(_mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "He told me the seal had been done, it hasn't, it's split": the engineer's own word against what he was told."""
    return True if "report" in clause.kinds() and clause.said and belies(mentions[at : at + 5]) else None


def mended_at_its_corner(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Rear left tap's stiff and its knob's cracked, greased the tap | front right it won't light": the work is on what was
    told of one corner, and the corner behind it opens what comes."""
    place = at if mention.kind == "place" else at + 1
    part = mentions[place - 1] if place and place < len(mentions) and clause.said else None
    if part is None or part.kind != "component" or part.clitic or mentions[place].kind != "place":
        return None
    corner, after = mentions[place], mentions[place + 1] if place + 1 < len(mentions) else None
    bare = "-" in corner.id and not (corner.led or corner.gap or corner.pause or part.pause)
    if not bare or after is None or after.kind in ("and", "or", "place") or after.pause == ".":
        return None
    led = mentions[place - 2] if place > 1 else part
    work = mentions[place - 3] if led.kind == "det" and place > 2 else led
    if not work.done or not work.takes_object or part.gap or led.pause or (led.kind == "det" and led.gap):
        return None
    before = mentions[max(0, place - _MENDED_WITHIN) : place - 2]
    here = max((i for i, m in enumerate(before) if m.kind == "place" and "-" in m.id), default=None)
    if here is None or any(m.kind == "place" and m.id == corner.id for m in before):
        return None
    named = [i for i, m in enumerate(before) if i > here and m.kind == "component" and m.id == part.id]
    told = any(m.kind == "condition" and not m.fit for m in before[named[0] : named[0] + 3]) if named else False
    return mention is corner if told else None


def the_faulty_part_next(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "The stiff tap's greased and that cracked cap I'll order": a part that is told by its fault, and what is done to it."""
    row = mentions[at - 2 : at + 3] if at > 1 else []
    kinds = [m.kind for m in row]
    if (
        not clause.said
        or kinds[:1] + kinds[2:4] != ["and", "condition", "component"]
        or mention.fit
        or kinds[1] != "det"
    ):
        return None
    worked = kinds[4:] in (["work"], ["need"])
    close = not any(m.gap or m.pause for m in row[2:4]) and not row[1].gap and row[3].strong
    return True if row[1].first in _DEFINITE and close and worked else None


def today_behind_the_past(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Years ago somebody changed the gas valve and gas valve today is good", "renewed in spring; I measured 24": today."""
    if mention.kind == "now" and mention.first == "today" and mention.pause and any(m.done for m in clause.mentions):
        told = mentions[at + 1] if at + 1 < len(mentions) else None
        if (
            told is not None
            and told.kind in ("outcome", "condition")
            and clause.mentions[-1].kind in NOMINAL
            and not told.gap
        ):
            return True  # "last year | they changed the magnet, today it's holding fine"
    theirs = clause.mentions[0].kind == "them" and clause.mentions[-1].kind in NOMINAL and not clause.mentions[-1].gap
    if theirs and [m.kind for m in clause.mentions if m.kind not in ("det", *NOMINAL)] == ["them", "work"]:
        now = mentions[at + 1] if at + 1 < len(mentions) else None
        fit_now = mention.kind == "condition" and now is not None and now.kind == "now" and not now.gap
        if fit_now or (mention.kind == "now" and now is not None and now.kind in ("pronoun", "outcome")):
            return True  # "last year they changed the tap fine today", "now it's dirty"
    if not any(m.kind == "past" for m in clause.mentions) or not any(m.done for m in clause.mentions):
        return None
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    if (
        mention.kind == "now"
        and mention.pause
        and after is not None
        and after.kind == "condition"
        and past_told(clause)
    ):
        return True  # "replaced by another firm in April, now leaking"
    again = mention.kind == "component" and clause.mentions[-1].kind == "and" and not (mention.gap or mention.pause)
    if again and after is not None and any(m.id == mention.id for m in clause.mentions):
        return (after.kind in ("now", "be") and not after.gap) or None
    mine = mention.kind == "own" and mention.first in ("i", "ive") and clause.mentions[-1].kind in ("past", "and")
    return True if mine else None


def new_since_then(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Rear left had a new thermocouple last year and it's holding in fine": what was put in then, and how it is today."""
    row = clause.mentions[-4:]
    had = [m.kind for m in row] == ["be", "det", "component", "past"] and row[0].first in _HAD
    if not had or row[1].first not in ("a", "an", "another") or not row[2].strong or any(m.gap > 1 for m in row[2:]):
        return None
    told = mentions[at + 1 : at + 3] if mention.kind in ("and", "but") else mentions[at : at + 2]
    now = bool(told) and told[0].kind in ("outcome", "still", "condition", "pronoun")
    then = any(m.first in _THEN or m.kind == "past" for m in told)
    return True if now and not then else None


def what_it_was_for(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Put at risk last year for a blocked flue": what was wrong then is told behind its day."""
    row = [m for m in clause.mentions if m.kind != "det"]
    lead = bool(row) and row[-1].kind in ("prep", "past") and row[-1].last in ("for", "over")
    then = lead and any(m.kind == "past" for m in row) and not any(m.kind in ("condition", "component") for m in row)
    close = then and not (row[-1].pause or mention.pause) and mentions[at - 1].kind in ("det", "prep")
    return False if close and mention.kind in ("condition", "component") and mention.gap <= 1 else None


def told_behind_a_guess(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "I reckon it's the thermocouple, the magnet's fine": of the one that is guessed at nothing more is said."""
    if mention.kind == "group" and mention.id == "rest" and not (clause.said or mention.gap):
        # "might be the magnet the other three's fine"
        last = [m.kind for m in clause.mentions if m.kind != "det"][-2:]
        return True if last == ["hedge", "component"] and followed_by_predicate(at, mentions) else None
    part = next((m for m in mentions[at + 1 : at + 3] if m.kind != "det"), None)
    if mention.id == "all" and part is not None and part.kind == "component" and not (clause.said or mention.gap):
        # "could be the bearings all the hoses are in date"
        last = [m.kind for m in clause.mentions if m.kind != "det"][-2:]
        told = last == ["hedge", "component"] and part.id != clause.mentions[-1].id and not part.gap
        return True if told and followed_by_predicate(mentions.index(part), mentions) else None
    if (
        mention.kind != "component"
        or clause.said
        or mention.gap
        or not (mention.pause or mentions[at - 1].kind == "det")
    ):
        return None
    row = [m for m in clause.mentions if m.kind != "det"]
    guess = [m.kind for m in row[-2:]] == ["hedge", "component"] and not row[-1].gap and row[-1].id != mention.id
    return True if guess and not row[-1].clitic and followed_by_predicate(at, mentions) else None


def behind_what_was_not_done(mention: Mention, _at: int, _row: Sequence[Mention], clause: Clause) -> bool | None:
    """ "No, I didn't, I fitted a new one", "no wait, I had none, so I've ordered one": what was done instead."""
    row = [m for m in clause.mentions if m.kind not in ("and", "mark", "det")]
    if not row or row[0].kind != "correct" or not {m.kind for m in row} <= _TAKEN_BACK:
        return None
    undone = row[-1].kind == "not" and row[-1].last in _NOT_DONE
    mine = mention.owned or mention.first in ("i", "ive", "we", "weve")
    if had_none(clause) and mention.kind in ("one", "pronoun", "work", "need"):
        return True  # "no, I'd none left, one's on order"
    if mention.kind == "mark" and mention.first == "so":
        return True if undone or had_none(clause) else None
    return True if undone and mention.done and mine else None


def behind_words_unknown(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Mains lead had been lying against the oven and the insulation's melted": of the first part something is told in words
    that nobody knows, and a piece of it has its own news, or the next corner has ("the others are original, rear left cap's
    cracked")."""
    if mention.kind == "place" and mention.gap and _others_told(clause) and "-" in mention.id:
        return True if followed_by_predicate(at, mentions) else None
    row = [m for m in clause.mentions if m.kind not in ("and", "mark", "det")]
    if mention.kind != "component" or mention.strong or clause.said or not row or row[0].kind != "component":
        return None
    joined = [m.kind for m in mentions[max(0, at - 2) : at]] == ["and", "det"] and not (mention.gap or mention.pause)
    told = len(row) > 1 and row[1].kind == "be" and any(m.gap for m in row[1:])
    own = {sense.id for sense in mention.senses} & {sense.id for sense in row[0].senses}
    return True if joined and told and own and followed_by_predicate(at, mentions) else None


def _others_told(clause: Clause) -> bool:
    """Whether "the others are" is all that was understood."""
    row = [m for m in clause.mentions if m.kind != "det"]
    return [m.kind for m in row] in (["place", "be"], ["group", "be"]) and row[1].first in ("are", "were")


def but_again(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "But" behind what was not seen, and behind a part where another follows."""
    if mention.kind != "but":
        return None
    doubt = mentions[at + 1] if at + 1 < len(mentions) else None
    if doubt is not None and doubt.kind == "hedge-after" and doubt.gap < 2 and mention.first == "but":
        return False  # "the valve's sticking but I couldn't prove it"
    kinds = clause.kinds()
    if kinds & {"if", "general", "need", "idle"} or (clause.named and kinds & {"hedge", "report"}):
        return True
    if kinds <= {"pronoun", "them", "det"}:
        return True
    # "left the flue as it was but the terminal's been knocked"
    return True if "component" in kinds and part_told(at, mentions) else None


def behind_what_is_not_there(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """A corrected place, a part that is missing: what comes is said of something else."""
    if mention.kind == "place" and place_told_anew(at, mentions, clause):
        return True
    if mention.kind in ("component", "place", "group") and named_anew(at, mentions, clause):
        return True
    if mention.kind == "one" and nothing_there(clause) and the_one(at, mentions):
        return True  # "no cap on the front left and the one on the back left's cracked"
    if mention.done and nothing_there(clause):
        return True  # "the hose has got no chain on it, put one on": work on what was not there
    if mention.kind == "pronoun" and nothing_there(clause) and clause.mentions[-1].kind in ("appliance", "pronoun"):
        return True  # "no flame failure on this hob, it's that old, nothing wrong with it"
    lacking = nothing_there(clause) and not any(m.kind == "no" for m in clause.mentions)
    if mention.kind == "pronoun" and lacking and mention.first != "this" and clause.mentions[-1].kind == "component":
        return True  # "the cooker's not got a chain, it tips"
    if mention.kind == "pronoun" and nothing_there(clause) and clause.mentions[-1].kind == "and" and not mention.gap:
        return True  # "cooker's got no chain and it rocks"
    behind = name_behind(at, mentions)
    if mention.kind == "appliance" and nothing_there(clause) and never_had(at, mentions):
        return False
    led = behind is not None and behind.kind == "prep" and mention.kind == "place" and not mention.gap
    if led and mentions[at - 1 - (mentions[at - 1].kind == "det")] is behind and not behind.gap:
        return None  # "no cap on the front right, injector's full of crud"
    return True if mention.kind in NOMINAL and nothing_there(clause) and followed_by_predicate(at, mentions) else None


def behind_still(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "And it's still at it, the hose itself is fine": a part of which something is told, behind what goes on."""
    last = clause.mentions[-1] if clause.mentions[-1].kind != "det" else clause.mentions[-2:][0]
    over = last.kind == "still" and last.end - last.start > 1 and not clause.named
    named = mention.kind in NOMINAL and (mention.strong or mention.kind != "component")
    return True if over and named and followed_by_predicate(at, mentions) else None


def told_by_others(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "She says", "apparently", "might be"."""
    last = clause.mentions[-1]
    told = last.fit and any(m.kind == "report" for m in clause.mentions) and not clause.named
    if told and mention.kind == "component" and mention.clitic and followed_by_predicate(at, mentions):
        return True  # "she said no hot water but the heating's alright diverter's stuck so new one fitted"
    doubted = last.kind == "hedge-after" and last.first in _DONT and mention.kind in NOMINAL and not clause.said
    if doubted and followed_by_predicate(at, mentions):
        return True  # "but I couldn't see so don't hold me to it, grill burner's fine"
    if mention.kind == "report" and mention.first in _BY_THE_WAY and work_next(at, mentions):
        return False  # "it already had a crack apparently, took it off"
    if mention.done and last.kind == "report" and last.first in _BY_THE_WAY:
        return clause.said
    if mention.kind == "report" and last.done and not (mention.gap or mention.pause) and _when_told(at, mentions):
        return False  # "the thermocouple's been changed he says two year ago"
    if mention.kind == "report" and mention.first in _NOTED and mention.last == "as" and right_behind(mention, clause):
        return False  # "their note has the ignition down as dead"
    if mention.kind == "hedge" and mention.first == "i" and any(m.kind == "general" for m in clause.mentions[:-1]):
        return True  # "you've got to wait for it to catch, I think the jet's blocked"
    if mention.kind == "hedge" and mention.first in _MINE and last.kind == "pronoun" and mention.gap:
        return True  # "I can't make it fault, I'd have my suspicions of the valve"
    again = [m for m in clause.mentions if m.kind == "hedge"] if mention.kind == "hedge" else []
    if any(m.first == mention.first or m.last == mention.last == "be" for m in again):
        return clause.named  # "might be the vessel, might be a leak", "could be the box might be the lead"
    if mention.kind == "hedge" and mention.first in _MINE and any(m.kind == "report" for m in clause.mentions[:-1]):
        return True  # "he says it drops its pressure every night, I reckon the exchanger might be leaking"
    if mention.kind in _CLAIMS or (mention.kind == "hedge" and clause.said):
        return (clause.said or clause.named) and not (mention.closing and tells(clause, mention))
    return None


def _when_told(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether "he says" stands between work and its time, with nothing between."""
    time = mentions[at + 1] if at + 1 < len(mentions) else None
    return time is not None and time.kind == "past" and not (time.gap or time.pause)


def behind_a_bare_verb(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "The others do", "the rear left doesn't": all has been said of them."""
    close = mention.kind == "group" and not (mention.gap or mention.pause)
    if close and clause.mentions[-1].kind == "be" and at + 1 < len(mentions) and mentions[at + 1].kind == "condition":
        return False  # "but the injectors are both full of grease"
    if mention.kind == "mark" and mention.gap == 1 and clause.mentions[-1].kind == "does" and stands_for_verb(clause):
        return True  # "rear right does click, so it's the leads"
    if mention.gap and stands_for_verb(clause):
        clause.cut = True  # "flame doesn't carry all the way": a verb that nobody knows
    elif mention.kind == "outcome" and mention.first in GOES and stands_for_verb(clause):
        return True  # "the grill tap isn't, it turns fine"
    elif mention.first == mention.last == "both" and _said_of_both(at, mentions):
        return False  # "the caps are fine but the injectors are both blocked"
    elif mention.kind in ("place", "group", "component") and but_not(clause) and followed_by_predicate(at, mentions):
        return mentions[at - 1].kind != "place"  # "but not the crown and the lid is loose"
    elif mention.kind in ("place", "group", "size", "component") and stands_for_verb(clause):
        return mention.kind != "component" or followed_by_predicate(at, mentions)
    if (
        mention.kind in ("mark", "but", "same")
        and mention.first not in _THOUGH
        and not clause.cut
        and stands_for_verb(clause)
    ):
        return True  # "the right hand two do, so it's the module"
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    cause = mention.kind == "and" and after is not None and after.first in _THAT_IS and not after.gap
    # "rear left won't, and that's the cap"
    return True if cause and not clause.cut and stands_for_verb(clause) else None


def _said_of_both(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether "both" stands between "are" or "aren't" and what is said of the part before."""
    told = mentions[at + 1] if at + 1 < len(mentions) else None
    between = mentions[at - 1].kind in ("be", "not") and not (mentions[at].gap or mentions[at].pause)
    return between and told is not None and told.kind in ("condition", "not", "need") and not (told.gap or told.pause)


def behind_a_whole_telling(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "And rear right too front right cap's cracked", "hasn't got a cap at all both jets I've cleaned": what was said of the
    one place is complete, and another is named."""
    last, noun = clause.mentions[-1], mentions[at + 1] if at + 1 < len(mentions) else None
    whole = clause.mentions[0].kind == "appliance" and clause.mentions[0].id in ("oven", "grill") and last.fit
    if whole and mention.kind == "place" and "-" in mention.id and not (mention.led or mention.gap):
        return True if not any(m.kind in ("component", "place") for m in clause.mentions) else None
    if last.kind == "also" and mention.kind == "place" and "-" in mention.id and not clause.said:
        others = {m.id for m in clause.mentions if m.kind == "place"}
        return True if others and mention.id not in others and not mentions[at].gap else None
    if (
        mention.kind == "place"
        and mention.led
        and mention.id in _SIDES
        and clause.said
        and last.done
        and noun is not None
    ):
        both = at + 1 + (noun.kind == "one")
        told = [m.kind for m in mentions[both : both + 2]] in (["group", "be"], ["group", "condition"])
        return True if told and not noun.pause else None  # "put it straight, on the right side both are good"
    if mention.led and _turns_to_the_other_side(mention, clause) and noun is not None:
        return True  # "jets on the left are fine, on the right the front one's blocked"
    across = mention.kind == "group" and (mention.id, mention.last) == ("beside", "side") and clause.said
    part = mentions[at + 2] if across and noun is not None and noun.kind == "det" and at + 2 < len(mentions) else noun
    if across and part is not None and part.kind == "component" and not (part.gap or part.pause):
        return True  # "chipped and all, over on the other side the caps are good"
    if mention.kind != "group" or mention.pause or noun is None or noun.kind != "component" or noun.gap:
        return None
    told = [m.kind for m in clause.mentions[-2:]] == ["no", "component"] and last.id != noun.id
    return True if told and noun.strong else None


def on_all_of_them(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "No spark on any of them damp in the box": where the fault right before is, and no new subject."""
    led = mention.kind in ("group", "place") and mention.id == "all" and mention.first == "on"
    first = next((i for i, m in enumerate(clause.mentions) if m.kind in ("condition", "work")), len(clause.mentions))
    led = led and not any(m.kind == "component" for m in clause.mentions[:first])
    return False if led and mentions[at - 1].kind == "condition" and not (mention.gap or mention.pause) else None


def there_is_behind_a_verdict(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "That's failed spillage there's a nest in the terminal": what is there is told anew."""
    there = (
        mention.kind == "be" and mention.first in _THERE and not mention.gap and clause.mentions[-1].kind == "component"
    )
    tested = any(m.kind == "condition" and {"failed", "passed"} & {s.id for s in m.senses} for m in clause.mentions)
    return True if there and tested and any(m.kind == "condition" for m in mentions[at + 1 : at + 3]) else None


def _turns_to_the_other_side(mention: Mention, clause: Clause) -> bool:
    """Whether something has been said of what stands on one side, and the talk goes on to the other."""
    last = clause.mentions[-1]
    sides = [m.id for m in clause.mentions if m.kind == "place" and m.id in _SIDES]
    fits = mention.kind == "place" and last.kind == "condition" and sides == [_ACROSS.get(mention.id)]
    told = [m for m in clause.mentions if m.kind == "condition"]
    return fits and len(told) == 1 and clause.mentions[-2:-1] != [] and clause.mentions[-2].kind != "and"


def denied_flatly(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "I'd say if they were cracked but they ain't, all four are sound": the denial is whole."""
    flat = clause.mentions[-1].kind == "not" and clause.mentions[-1].first in _FLATLY and len(clause.mentions) > 1
    they = flat and clause.mentions[-2].kind in ("them", "pronoun") and not clause.said
    if they and mention.kind in ("condition", "outcome") and mention.first in _THEY and not mention.gap:
        return True  # "it holds in, no it doesn't, it goes out"
    if not they or mention.kind not in ("group", "place") or mention.gap:
        return None
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    return True if after is not None and after.kind == "be" and after.first in ("are", "is") and not after.gap else None
