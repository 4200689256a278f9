"""The phrases of a talk that mean something, each with one kind. In: tokens. Out: `Mention`s in order.

A phrase with several kinds ("right" is a place or opens a statement, "top" a cap or a place) is settled by its neighbours.
Not allowed to know: what was said before in the talk.
"""

import re
from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.draft import Draft
from fieldnote.extract.phrases import (
    asking,
    compounds,
    denying,
    endings,
    fronting,
    habits,
    leaning,
    learners,
    left_alone,
    likening,
    owners,
    placed,
    regional,
    restarting,
    retaking,
)
from fieldnote.extract.phrases.bidding import as_bidden
from fieldnote.extract.phrases.fits_states import is_verdict
from fieldnote.extract.phrases.fits_work import after_had_to, narrated, told_of_then
from fieldnote.extract.phrases.here import a_treat, implied, of_what_is_here, possible, they_fire, warms
from fieldnote.extract.phrases.joining import (
    both_the_ones,
    in_that_one,
    itself,
    join_corner,
    of_its_door,
    off_and_done,
    on_its_plate,
    once,
    one_elsewhere,
    ones_at_a_side,
    ring_of,
    same_told_next,
    that_faulty,
    that_kind,
)
from fieldnote.extract.phrases.longest import all_phrases
from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.phrases.plurals import many
from fieldnote.extract.phrases.since import since_then
from fieldnote.extract.phrases.taking import taken
from fieldnote.extract.words.lexicon import Sense, lexicon
from fieldnote.extract.words.matcher import Hit
from fieldnote.extract.words.tokens import Token

_YEAR = re.compile("(19|20)[0-9][0-9]")
_TEENS = frozenset("ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty".split())
_FEW = frozenset("one two three four 1 2 3 4".split())
_TENS = frozenset("thirty forty fifty sixty seventy eighty ninety hundred".split())
_ONES = frozenset("one two three four five six seven eight nine".split())
_MADE = frozenset(
    "made built manufactured produced dated stamped marked born finish finished expire expires expired ends ended ran up".split()
)
_CROWD = frozenset("pair both them ones two three four lot".split())
_ANSWERS = frozenset({"yes", "no-answer", "none-answer"})
# words behind "she says" that begin no account of hers
_NOT_TOLD = frozenset(
    "since but and so i ive im we weve though although however well anyway because cos "
    "only mostly mainly especially particularly usually twice most".split()
)
_PERCEIVED = frozenset("hear see smell find fault feel notice spot".split())  # "he reckons, I can't hear it"
_TOLD_OF_ME = frozenset("should need needed must can cant could ought have want might had".split())
_RELATING = frozenset(
    "that which what where when while whilst as than if before after until till since because cos how one ones thing all like "
    "once far wherever whenever unless though although".split()
)
_MONTHS = frozenset("january february march april may june july august september october november december".split())
_SEASONS = frozenset("spring summer autumn winter".split()) | _MONTHS
_PAST = frozenset("last ago year years before since christmas stage recently previously".split()) | _MONTHS - {
    "may",
    "march",
}
_BEFORE_US = frozenset("previous last other".split())
_THEM = frozenset(
    "she they customer tenant tenants lady wife husband son daughter landlord owner builder builders plumber kids kid children "
    "child toddler grandson cleaner cleaners movers neighbour decorator decorators painters dog cat".split()
)
_SHE = frozenset("she he they shes hes theyve shed hed theyd somebody someone".split())
_PERSONS = _SHE | frozenset("somebodys someones hes theyre".split())
_WHEN = frozenset("when after since whenever once before until till because cos where time".split())
_ITS_OBJECT = frozenset("it the her his their that them this everything".split())
_ANYBODY = frozenset(
    "firm company outfit "
    "somebody someone somebodys someones fella cowboy clown clowns idiot idiots joker eejit numpty muppet fool genius cretin "
    "plonker wally chancer botcher butcher".split()
)
_MANAGED = frozenset("chance managed got able time".split())
_DENYING = frozenset("no not hadnt didnt havent never without havnt wasnt if".split())
_ONTO = frozenset({"on", "onto", "into"})
_ONE = frozenset({"one", "ones", "un"})
_PREPOSITIONS = frozenset("in on at to by".split())


def run(draft: Draft) -> None:
    """The step of the pipeline: fills `mentions`."""
    tokens = draft.tokens
    regional.plainly(tokens)
    learners.plainly(tokens)
    denying.regional(tokens)
    leaning.plainly(tokens)
    endings.whole(tokens)
    asking.named_then_done(tokens)
    asked = asking.questions(tokens)
    for question in asked:
        asking.as_told(tokens, question)
    found: list[Mention] = []
    later: list[Mention] = []  # a date behind a slot, in which a name may stand ("a new | gas valve | in March")
    for hit, kind in taken(list(all_phrases(tokens, asked)), draft):
        if later and hit.start >= later[0].start:
            found.append(later.pop())
        if kind and not (found and hit.start < found[-1].end):  # "new in may": no guess
            _readings_between(found, hit.start, draft)
            found.append(_mention(kind, hit, _told_up_to(found, hit.start, tokens), draft))
            _led_by_work(found, tokens)
            join_corner(found)
            ones_at_a_side(found)
            one_elsewhere(found, tokens)
            both_the_ones(found)
            once(found)
            itself(found)
            of_its_door(found)
            as_bidden(found, tokens)
            that_kind(found)
            that_faulty(found)
            in_that_one(found)
            ring_of(found)
            they_fire(found)
            a_treat(found)
            off_and_done(found)
            on_its_plate(found)
            if dated := _dated(kind, found[-1], hit, tokens):
                later.append(dated)
    found += later
    _readings_between(found, len(tokens), draft)
    fronting.told_in_order(found)
    found = compounds.parted(compounds.one_name(found), tokens)
    found = placed.behind_their_parts(placed.on_that_side(placed.along_one(found, tokens), tokens))
    found = likening.without_strangers(likening.without_images(found, tokens), tokens)
    found = left_alone.marked(since_then(same_told_next(found), tokens), tokens)
    found = habits.marked(retaking.plainly(restarting.plainly(found), tokens), tokens)
    draft.appliance = draft.appliance or implied(found)
    here = draft.appliance or ("boiler" if warms(tokens, found) else None)
    draft.mentions = fronting.marked(owners.with_their_part(possible(of_what_is_here(found, here))))


def _told_up_to(found: Sequence[Mention], start: int, tokens: Sequence[Token]) -> int:
    """Where what was said before a word ends; what it was to be behind a slot is no gap ("offered the lady a new | hose")."""
    last = max((m.around for m in found[-4:] if m.kind == "work" and m.around <= start), default=0)
    return max(last if last and tokens[last - 1].norm == "new" else 0, found[-1].end if found else 0)


def _readings_between(found: list[Mention], end: int, draft: Draft) -> None:
    """Figures are said of what was named before them, as conditions are: each run of them is a mention."""
    at = found[-1].end if found else 0
    while at < end:
        if at not in draft.measured:
            at += 1
            continue
        stop = at
        while stop < end and stop in draft.measured:
            stop += 1
        last = found[-1].end if found else 0
        pause = max((draft.tokens[i].pause for i in range(max(last - 1, 0), at)), key=" ,.".find, default="")
        sense, ends = (Sense("reading", "reading"),), draft.tokens[stop - 1].norm
        found.append(Mention("reading", at, stop, sense, (), pause if at else "", at - last, last=ends))
        at = stop


def _led_by_work(found: list[Mention], tokens: Sequence[Token]) -> None:
    """ "Pushed the lead back on the generator": a preposition that ends the wording of work leads to the name."""
    if found[-1].kind != "component" or len(found) < 3 or tokens[found[-1].start - 1].norm != "the":
        return
    at = found[-1].start - 2
    if tokens[at].norm in _ONTO and not tokens[at].pause and not any(m.start <= at < m.end for m in found[-3:]):
        found[-1] = replace(found[-1], led=True)


def _dated(kind: str, mention: Mention, hit: Hit[Sense], tokens: Sequence[Token]) -> Mention | None:
    """The month or year that dates what was said right before it: "board renewed June", "had a new pump in 2022"."""
    if mention.done and tokens[hit.end - 1].pause == "" and _month(tokens, hit.end):
        return Mention("past", hit.end, hit.end + 1, (Sense("past", "month"),), first=tokens[hit.end].norm)
    new_in = mention.done and tokens[hit.end - 1].norm == "in" and hit.end - hit.start > 1
    if new_in and hit.end < len(tokens) and tokens[hit.end].norm in _MONTHS:
        return Mention("past", hit.end, hit.end + 1, (Sense("past", "month"),), first=tokens[hit.end].norm)
    led = kind in ("prep", "be") or (mention.done and tokens[hit.end - 1].norm == "in")
    if led and (past := _year(tokens, hit.end)):
        return Mention("past", hit.end - 1, past, (Sense("past", "year"),), first=tokens[hit.end - 1].norm)
    return None


def _month(tokens: Sequence[Token], at: int) -> bool:
    """Whether work is dated by a month alone: "board renewed June, ok"."""
    return at < len(tokens) and tokens[at].norm in _MONTHS and (bool(tokens[at].pause) or at + 1 == len(tokens))


def _year(tokens: Sequence[Token], at: int) -> int | None:
    """Where a year ends that starts at a token ("2019", "twenty nineteen"), behind "in": the statement is of the past."""
    if at >= len(tokens) or tokens[at - 1].norm not in ("in", "since", "from"):
        return None
    if at > 1 and tokens[at - 2].norm in _MADE:
        return None  # "it was made in 2009, changed it": how old it is
    if at > 1 and tokens[at - 1].norm == "from" and tokens[at - 2].norm in ("is", "was", "its", "are", "were"):
        return None  # "the hose is from 2009"
    if _YEAR.fullmatch(tokens[at].norm):
        return at + 1
    words = [token.norm for token in tokens[at : at + 4]]
    if words[:2] == ["two", "thousand"]:
        rest = 2 + (words[2:3] == ["and"])
        told = words[rest : rest + 1] != [] and words[rest] in _TEENS | _ONES
        return at + rest + 1 if told else at + 2  # "in two thousand and nineteen"
    if words[0] == "twenty" and words[1:2] in (["oh"], ["o"], ["nought"]) and set(words[2:3]) & _ONES:
        return at + 3  # "in twenty oh nine"
    if words[0] == "nineteen" and set(words[1:2]) & {"seventy", "eighty", "ninety"}:
        return at + 2 + bool(set(words[2:3]) & _ONES)
    if words[0] == "twenty" and set(words[1:2]) & _TEENS:
        return at + 2 + (words[1] == "twenty" and bool(set(words[2:3]) & _ONES))
    return None


def _theirs(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Somebody has tightened the gland so hard it won't turn": work that somebody else did, of no known day."""
    lead = [token.norm for token in tokens[max(0, hit.start - 2) : hit.start]]
    before_us = {token.norm for token in tokens[max(0, hit.start - 3) : hit.start]} & _BEFORE_US
    if (_PAST | _SEASONS if before_us else _PAST) & {token.norm for token in tokens[hit.end : hit.end + 9]}:
        return False  # "the previous company put a new board in in the summer": of a known day
    if len(lead) > 1 and lead[0] == "you" and lead[1] in _ANYBODY:
        return False  # "it's upside down, you muppet, put it right way up": who is spoken to
    if {"last", "previous"} & {token.norm for token in tokens[max(0, hit.start - 3) : hit.start]}:
        return False  # "the last fella changed the knob": of the visit before
    if [token.norm for token in tokens[hit.end : hit.end + 2]] == ["by", "others"]:
        return True  # "split, taped by others"
    if not lead:
        return False
    if _householder(hit, tokens):
        return True
    if [token.norm for token in tokens[max(0, hit.start - 4) : hit.start - 1]][:3:2] in (["to", "a"], ["to", "the"]):
        return tokens[hit.start - 3].norm in ("have", "get")  # "told her to have a sparky put one in"
    if "by" in {token.norm for token in tokens[max(0, hit.start - 3) : hit.start]}:
        return False  # "opened up by some clown, fitted the proper one"
    return (
        lead[-1] in _ANYBODY
        or (lead[-1] == "theyve" and tokens[hit.start].norm != "had")
        or (lead[-1] in ("has", "had", "have") and lead[0] in _ANYBODY | _THEM)
    )


def _householder(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "It clicks on its own when she's mopped the top", "stiff since he cleaned it": what the people of the house did to it."""
    at = hit.start - 1 - (tokens[hit.start - 1].norm in ("has", "had", "have", "just", "last"))
    if at < 1 or tokens[at].norm not in _SHE or tokens[at - 1].norm not in _WHEN or tokens[at].pause:
        return False
    inside = tokens[hit.start + 1 : hit.end + 1]
    return any(token.norm in _ITS_OBJECT for token in inside) and not any(token.pause for token in inside[:-1])


def _owned(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    before = [token.norm for token in tokens[max(0, hit.start - 2) : hit.start]]
    if before[-1:] == ["to"] and before[0] in _MANAGED:
        lead = {token.norm for token in tokens[max(0, hit.start - 6) : hit.start - 2]}
        return not lead & _DENYING  # "I've only had chance to clean the back one"
    if told_of_then(tokens, hit.start, hit.end):
        return True
    return before[-1:] in (["i"], ["we"], ["wed"], ["ive"], ["weve"]) or before in (
        ["had", "to"],
        ["with", "a"],
        ["did", "was"],
    )


def _new_one(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Ring goosed, new one.": by itself between two marks it is done."""
    alone = hit.start > 0 and tokens[hit.start - 1].pause == "," and tokens[hit.end - 1].pause == "."
    return alone and tokens[hit.start].norm == "new" and hit.end - hit.start == 2 and tokens[hit.end - 1].norm in _ONE


def _mention(kind: str, hit: Hit[Sense], last: int, draft: Draft) -> Mention:
    tokens = draft.tokens
    said = [
        i for i in range(hit.start, hit.end) if i not in draft.measured
    ]  # "tweaked that, gap's four mil" counts none
    mine = tuple(sense for sense in hit.values if sense.kind == kind) or hit.values
    if kind == "condition" and tokens[hit.start].norm == "pass" and hit.end - hit.start == 1:
        verdict = is_verdict(tokens, hit.start)
        mine = tuple(sense for sense in mine if (sense.id == "passed") == verdict)
    if kind == "work" and hit.slot and mine[0].id in ("refit", "repair") and _a_new(hit.slot[0], tokens):
        mine = tuple(sense._replace(id="replace") for sense in mine)  # "popped a new bayonet on"
    other = tuple(sense for sense in hit.values if sense.kind not in (kind, "nothing"))
    between = range(min(last, hit.start), hit.start)
    pause = max(
        (tokens[i].pause for i in range(max(min(last, hit.start) - 1, 0), hit.start)), key=" ,.".find, default=""
    )
    end = hit.end if not hit.slot else hit.slot[0]
    led = kind in ("place", "group") and tokens[hit.start].norm in _PREPOSITIONS
    return Mention(
        kind,
        hit.start,
        end,
        mine,
        other,
        pause if hit.start else "",
        len(between),
        led,
        tokens[end - 1].norm,
        tokens[hit.start].norm,
        _owned(hit, tokens)
        or (
            kind == "work"
            and (narrated(tokens, hit.start, hit.end) or after_had_to(tokens, hit.start) or _new_one(hit, tokens))
        ),
        kind == "work" and _theirs(hit, tokens),
        kind in ("component", "place") and many(hit, draft),
        tokens[hit.end - 1].clitic and not hit.slot,
        crowd=any(tokens[i].norm in _CROWD and not _counts(i, hit, tokens) for i in said),
        mine=any(_of_mine(i, tokens) for i in between),
        ive=any(tokens[i].norm in ("ive", "weve") for i in between),
        somebody=any(_begins_with_somebody(i, tokens) for i in between),
        around=hit.end if hit.slot else 0,
        figured=_a_figure([tokens[i].norm for i in between]),
        closing=mine[0].id in _ANSWERS or (kind == "report" and _closing(hit.end, tokens)),
    )


def _a_new(at: int, tokens: Sequence[Token]) -> bool:
    """Whether what is put somewhere is new: "a new bayonet", "another seal"."""
    row = [token.norm for token in tokens[at : at + 2]]
    return row[:1] == ["another"] or (row[:1] in (["a"], ["the"]) and row[-1] in ("new", "fresh", "replacement"))


def _told_as_done(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the base form of a verb, or a bare "new one", tells what was done."""
    return narrated(tokens, hit.start, hit.end) or after_had_to(tokens, hit.start) or _new_one(hit, tokens)


def _a_figure(words: Sequence[str]) -> bool:
    """ "Rear left fourteen, caps are sound", not "rear right two caps are cracked"."""
    numbers = bool(words) and all(word[:1].isdigit() or word in _TEENS | _ONES | _TENS for word in words)
    return numbers and (len(words) > 1 or words[0] not in _FEW)


def _of_mine(at: int, tokens: Sequence[Token]) -> bool:
    """ "I put a match to it": what the engineer himself did or saw; "I should look at it" is what he was told."""
    told = at + 1 < len(tokens) and tokens[at + 1].norm in _TOLD_OF_ME
    # "I had all four going first time"
    told = told and [token.norm for token in tokens[at + 1 : at + 3]] not in (["had", "all"], ["had", "them"])
    led = at > 0 and tokens[at - 1].norm in _RELATING and not tokens[at - 1].pause
    return tokens[at].norm in ("i", "ive", "we", "weve") and not (told or led)


def _begins_with_somebody(at: int, tokens: Sequence[Token]) -> bool:
    """ "Somebody's rested a pan on the lid": a person who begins what is told; not "the knob that she dropped"."""
    led = at > 0 and tokens[at - 1].norm in _RELATING and not tokens[at - 1].pause
    return tokens[at].norm in _PERSONS and not led


def _counts(at: int, hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Got both bolts tight": a number of what is named right behind it."""
    after = at + 1
    if hit.slot is None or tokens[at].norm not in ("both", "two", "three", "four") or after >= hit.slot[1]:
        return False
    return lexicon().at(tokens, after) is None


def _closing(end: int, tokens: Sequence[Token]) -> bool:
    """Whether words of telling that end here close what was told: "it clicks she says but I", "it clicks, she says."."""
    if end >= len(tokens) or tokens[end - 1].pause:
        return True
    row = [token.norm for token in tokens[end + 1 : end + 3]]
    of_me = row[:1] != [] and row[0] in _TOLD_OF_ME and row[-1] not in _PERCEIVED
    return tokens[end].norm in _NOT_TOLD and not (tokens[end].norm in ("i", "we") and of_me)
