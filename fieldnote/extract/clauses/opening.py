"""Whether a mention opens a clause. In: the mention where it stands, the clause so far. Out: yes or no.

Not allowed to know: what the words are names of.
"""

from collections.abc import Callable, Sequence

from fieldnote.extract.clauses import running_on
from fieldnote.extract.clauses.ahead import (
    followed_by_predicate,
    is_tail,
    name_behind,
    new_object,
    one_of_them,
    the_one,
    turns_to_an_oven,
    work_next,
)
from fieldnote.extract.clauses.clause import (
    Clause,
    figure_of_rule,
    is_aside,
    is_over,
    likened,
    nobodys,
    nothing_there,
    own_work,
    past_told,
)
from fieldnote.extract.clauses.conditions import another_condition, behind_an_answer, denied_anew, fronted
from fieldnote.extract.clauses.denials import denies_a_part, denies_ahead
from fieldnote.extract.clauses.headings import first_headed
from fieldnote.extract.clauses.idle import IT_IS, behind_idle, in_a_remark
from fieldnote.extract.clauses.naming import opens_nominal
from fieldnote.extract.clauses.objects import is_object
from fieldnote.extract.clauses.placing import (
    behind_a_new_one_on,
    i_tell_of_it_next,
    is_new_one_on,
    it_is_another_part,
    the_other_after_work,
)
from fieldnote.extract.clauses.telling import (
    GOES,
    behind_a_bare_verb,
    behind_a_whole_telling,
    behind_still,
    behind_what_is_not_there,
    behind_what_was_not_done,
    behind_words_unknown,
    belied_flatly,
    but_again,
    denied_flatly,
    lacking_behind_work,
    mended_at_its_corner,
    new_since_then,
    on_all_of_them,
    the_faulty_part_next,
    there_is_behind_a_verdict,
    today_behind_the_past,
    told_behind_a_guess,
    told_by_others,
    what_it_was_for,
)
from fieldnote.extract.clauses.turning import (
    behind_a_remark,
    cleft,
    comes_anew,
    counted_before,
    diagnosed,
    guess_ended,
    guess_untold,
    guessed_before,
    has_it,
    is_the_part,
    it_was_the_part,
    left_over,
    names_what,
    or_a_faulty,
    so_done,
    stand_where,
    stands_apart,
    stands_there,
    symptom_behind_guesses,
    told_unknown,
    turns_to_another,
    wanted_in_it,
    wanted_there,
)
from fieldnote.extract.phrases.mention import NOMINAL, Mention

_OPENERS = frozenset(
    {"next-burner", "next-appliance", "back-to", "close", "correct", "take-back", "swap", "idle", "ask", "recap"}
)
_ANSWERS = frozenset({"yes", "no-answer", "none-answer"})
_BEHIND = frozenset("behind under underneath beneath against between".split())
_MEN = frozenset("engineer man bloke lad fella fitter plumber chap".split())
_MINE = frozenset("i ive we weve".split())
_OBJECTS = frozenset("it that them this".split())
_SURE_ENOUGH = frozenset("yep yup yes yeah enough".split())
_BEGINNING = frozenset("i begin beginning start starting".split())
_MEANING_TO = frozenset("ill i well we".split())
_THAT = frozenset("the that this those these them a an her his their".split())
# last words of a verdict that asks for what it is said of
_ASKS_FOR_IT = frozenset(
    "with about against of on at in for fault knock criticise ailing ails touch touching disturb that them those this".split()
)
_SOMEBODYS = 2  # words between work and work that can name who did it


def opens(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """Whether a mention opens a clause: what the first rule says that knows."""
    for rule in RULES:
        verdict = rule(mention, at, mentions, clause)
        if verdict is not None:
            return verdict
    return False


def _by_its_kind(mention: Mention, at: int, row: Sequence[Mention], clause: Clause) -> bool | None:
    """Full stops, "next burner", "I mean", "so" behind what somebody told."""
    if mention.id in _ANSWERS:
        return False  # "is it leaking? no."
    if mention.pause == "." or mention.kind in _OPENERS or (mention.first == "so" and mention.id == "passed"):
        return True  # "no smell, so that's passed"
    if mention.kind == "mark" and mention.first in _BEGINNING and mention.last in ("with", "at", "from", "on"):
        return True  # "five burner with the wok in the middle, starting with the front left"
    if mention.kind == "own":
        if (mention.first, mention.last) in (("it", "is"), ("and", "is")) and past_told(clause):
            return True  # "changed last year by another firm and now it is loose"
        if (mention.first, mention.last) == ("i", "found") and any(m.kind == "if" for m in clause.mentions):
            return True  # "if they ever want another they'll want a bigger vent, only thing I found was the knob loose"
        tested = mention.last == "test" and clause.mentions[-1].kind in ("pronoun", "them", "work")
        if tested and any(m.done for m in clause.mentions[-2:]) and clause.named:
            return True  # "nipped it up, did the test again, no drop"
        found = mention.last == "out" and clause.said  # "flame floats off, turned out the wrong jet was in"
        return found or any(m.kind == "report" for m in clause.mentions)
    put_right = clause.mentions[0].kind == "correct" and clause.mentions[-1].kind == "place" and not clause.said
    if put_right and mention.kind == "mark" and mention.first == "so" and followed_by_predicate(at + 1, row):
        return True  # "I mean all that is front left, so the back right's grand"
    if mention.kind == "mark" and mention.first == "so" and figure_of_rule(clause) and not clause.said:
        return True  # "the book says seventy two so I've changed it"
    figure = (
        clause.mentions[-1].kind == "report" and clause.mentions[-1].last in ("says", "wants", "say") and mention.gap
    )
    if mention.kind == "mark" and mention.first == "so" and figure:
        return True  # "the sheet says ninety five so I'll not pass that"
    after = row[at + 1] if at + 1 < len(row) and not row[at + 1].pause else None
    sure = mention.kind == "mark" and mention.last in _SURE_ENOUGH and any(m.kind == "hedge" for m in clause.mentions)
    if sure and after is not None and after.kind in NOMINAL | {"det"} and clause.named:
        return True  # "it'll be the wire, and yep, wire's come off"
    found = mention.kind == "mark" and mention.first == "so" and any(m.kind == "own" for m in clause.mentions)
    if found and clause.named and not clause.said and after is not None and after.kind == "place" and "-" in after.id:
        return True  # "found a thermocouple in the van so back left's sorted"
    if mention.kind == "mark" and mention.first == "so" and any(m.kind == "report" for m in clause.mentions):
        told = any(m.kind in NOMINAL or m.kind == "pronoun" for m in clause.mentions)
        return told or (
            after is not None and after.mine
        )  # "she says it clicks, so I ...", "he says nowt so I went up and ..."
    return None


def what_it_is_behind(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Hose was caught behind the oven and squashed": where it is, no turn to the oven."""
    row = [m for m in mentions[max(0, at - 2) : at + 2] if m.kind in ("condition", "det", "appliance")]
    told = [m.kind for m in row] == ["condition", "det", "appliance"] and not any(m.gap or m.pause for m in row[1:])
    if not told or row[0] not in clause.mentions or mention.kind not in ("det", "appliance"):
        return None
    return False if row[0].last in _BEHIND and row[0].end - row[0].start > 1 else None


def of_what_is_praised(mention: Mention, at: int, row: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Couldn't fault that back left", "nothing ailing the grill": what a verdict that asks for an object is said of."""
    led = at - 1
    while led > 0 and row[led].kind in NOMINAL | {"det", "pronoun", "them"}:
        led -= 1
    verdict = row[led] if at else None
    if verdict is None or verdict not in clause.mentions or not verdict.fit or verdict.last not in _ASKS_FOR_IT:
        return None
    if any(m.gap or m.pause for m in row[led + 1 : at + 1]):
        return None
    if any(m.kind in NOMINAL for m in clause.mentions[: clause.mentions.index(verdict)]):
        return None  # "back right there's nothing to moan about gas hose is split": said of what stands before it
    if any(m.kind in ("pronoun", "them") and m.first not in _THAT for m in row[led + 1 : at]):
        return None
    named = mention.kind in NOMINAL and not followed_by_predicate(at, row)
    article = mention.kind in ("det", "pronoun", "them") and mention.first in _THAT
    behind = row[at + 1] if at + 1 < len(row) else None
    article = article and behind is not None and behind.kind in NOMINAL and not followed_by_predicate(at + 1, row)
    return False if named or article else None


def behind_what_is_done(mention: Mention, _at: int, _row: Sequence[Mention], clause: Clause) -> bool | None:
    """ "That's the jets done electrodes no complaints": parts that are over, and the next ones."""
    row = clause.mentions
    over = [m.kind for m in row[-2:]] == ["close", "component"] and not row[-1].gap
    return True if over and mention.kind == "component" and mention.gap == 1 else None


def _aside(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "A weep where the fella had changed the meter last month": what was done on another day, in the midst of a fault."""
    if mention.first != "where" or not clause.said or clause.mentions[-1].kind == "past":
        return None
    row = mentions[at + 1 : at + 8]
    done = next((i for i, m in enumerate(row) if m.done), len(row))
    past = any(m.kind == "past" and not m.pause for m in row[done:])
    return True if past and not any(m.pause == "." for m in row[: done + 1]) else None


def _account_over(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """What was told, asked, guessed, or said of the past has come to its end."""
    if mention.kind in ("confirm", "deny", "normal") or is_over(clause):
        return True
    row = [m for m in clause.mentions if m.kind not in ("prep", "design", "and", "det")]
    on_this_model = any(m.kind == "design" for m in clause.mentions)  # "hasn't got one on this model and the seal"
    denied = row[-1] if row and on_this_model else clause.mentions[-1]
    if mention.kind == "component" and denied.kind == "deny" and denied.last == "one":
        return True  # "data plate I couldn't find one, co alarm there isn't one"
    last = clause.mentions[-1]
    if mention.kind == "condition" and last.kind == "past" and last.clitic and clause.named and not mention.gap:
        return True  # "the fan I fitted in the spring's noisy": it is, since then
    behind_work = clause.mentions[-1].done and not mention.pause  # "chain is there, the hose he changed in the spring"
    if (
        mention.kind == "past"
        and clause.said
        and not behind_work
        and {"is", "are"} & {m.first for m in clause.mentions}
    ):
        return True  # "relief is dry, last year he changed the fan"
    if mention.id == "notes-before" and mention.first != "according" and clause.said:
        return True  # "so I've changed it today, last year's sheet says the vent was blocked"
    if mention.kind == "past" and mention.last in _MEN and mention.first != "by" and clause.said and not mention.gap:
        return work_next(at, mentions)  # "no fault found, last engineer changed that thermocouple"
    if mention.pause and clause.mentions[-1].kind == "report" and clause.mentions[-1].first in ("so", "or"):
        return True  # "she's never been right, so I'm told; the head's bent"
    told_and_said = mention.mine and clause.said and any(m.kind == "report" for m in clause.mentions)
    if told_and_said and mention.kind == "be" and mention.first in ("had", "got"):
        return True  # "she reckons they're slow to light, I had all four going first time"
    if (
        mention.mine
        and clause.said
        and (mention.kind in NOMINAL | {"prep", "det"} or any(m.kind == "report" for m in clause.mentions[:-1]))
    ):
        return True  # "he reckons it's been pulling badly, I put a match to it and it's drawing fine"
    anew = mention.fit and mention.gap == 1 and clause.mentions[-1].kind == "and" and past_told(clause)
    if anew and any(m.kind == "now" and not (m.gap or m.pause) for m in mentions[at + 1 : at + 2]):
        return True  # "replaced two years ago and there's no trouble with it today"
    behind = [m.kind for m in mentions[at + 1 : at + 3]]
    then = behind == ["pronoun", "past"] or (
        behind[:1] == ["past"] and mention.last in _OBJECTS
    )  # "I fitted it in May"
    then = then and last.kind in ("condition", "now")
    mine = mention.owned or mention.first in _MINE
    if mention.done and mine and then and (last.fit or clause.said) and mention.pause != ".":
        return True  # "the stat is fine, I replaced that last month", "electrode's cracked I changed that in March"
    if mention.done and last.kind == "past" and _did_then(clause) and not (mention.gap or mention.pause):
        return True  # "I only did that in the spring greased it again"
    told = mention.owned or clause.mentions[-1].kind == "condition"
    their = any(m.kind == "past" for m in mentions[at + 1 : at + 6]) and any(m.done for m in clause.mentions)
    if mention.done and their and mention.gap > _SOMEBODYS and not any(m.pause for m in mentions[at + 1 : at + 6]):
        return True  # "gave it a wipe, the gasman before me put a new lead on it in March"
    told = told and not is_new_one_on(mention)
    if mention.done and told and clause.said and not mention.pause and new_object(at, mentions, clause):
        return True  # "snapped in half, i hoovered the catchment"
    if mention.kind == "component" and nobodys(mention, clause) and followed_by_predicate(at, mentions):
        return True
    if mention.kind == "still" and mention.first == "still" and past_told(clause):
        return True  # "was noisy last time, still is"
    if mention.kind == "be" and mention.first in ("is", "are") and past_told(clause):
        return True  # "the tap that leaked last time is dry today", "it was replaced in March and is fine"
    if mention.done and is_aside(clause) and clause.mentions[-1].kind == "past":
        return True  # "where the fella had changed the meter last month nipped it up"
    now = mention.first in (GOES | {"and", "but"} if mention.kind == "outcome" else IT_IS)
    if mention.kind in ("pronoun", "outcome") and now and past_told(clause):
        return True  # "replaced last year and it's running well", "and it shuts fine"
    if mention.first == "so" and mention.kind == "mark" and so_done(at, mentions, clause):
        return True
    if mention.first == "so" and mention.done and clause.said:
        return True  # "it wants a three, so a three amp in it"
    if mention.kind == "work" and mention.done and (figure_of_rule(clause) or own_work(mention, clause)):
        return True
    return True if mention.kind == "own" and any(m.kind == "hedge" for m in clause.mentions) else None


def _did_then(clause: Clause) -> bool:
    """ "I changed that in March", "I only did that last year": all that a clause tells, of another day."""
    row = [m for m in clause.mentions if m.kind not in ("and", "but", "mark")]
    kinds = [m.kind for m in row]
    return kinds == ["work", "pronoun", "past"] or (kinds == ["pronoun", "past"] and row[0].mine)


def _whatever_was_said(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """Openers that need nothing said before them."""
    kinds = clause.kinds()
    if mention.kind == "no" and denies_a_part(at, mentions) and "component" in kinds:
        return True
    told_next = mention.first == "theres" or (mention.kind == "component" and followed_by_predicate(at, mentions))
    if told_next and stands_there(at, mentions, clause):
        return True  # "meter's under the sink, lever turns fine", "meter's in the porch, there's a smell"
    if mention.pause and [m.kind for m in clause.mentions] in (["pronoun", "does"], ["pronoun", "not"]):
        return clause.mentions[0].first == "it"  # "she says it won't light, it won't, the lead was off"
    if mention.first == "its" and [m.kind for m in clause.mentions] == ["take-back", "det", "place"]:
        return [m.kind for m in mentions[at + 1 : at + 3]] == [
            "det",
            "place",
        ]  # "scrap that about the rear left, it's the ..."
    if (
        mention.kind == "which"
        and clause.said
        and any(m.kind == "one" and m.closing for m in mentions[at + 1 : at + 2])
    ):
        return True  # "the caps are back on, the chipped one I left"
    if mention.kind in NOMINAL and (wanted_in_it(clause) or wanted_there(mention, clause)):
        return True
    if mention.kind == "be" and mention.first == "theres" and nothing_there(clause):
        return True  # "no vent in the kitchen, there's a window that opens"
    if mention.kind == "be" and mention.first == "theres" and [m.kind for m in clause.mentions] == ["pronoun"]:
        return mention.gap == 0 and clause.mentions[0].gap > 0  # "not to use it, there's rust on the hotplate"
    led = mention.kind == "be" and mention.first == "theres" and clause.mentions[-1].kind == "and"
    if led and kinds & {"pronoun", "them"} and not (clause.named or clause.said):
        return True  # "that small you'd hardly see it and there's soot on the fins"
    unknown = mention.kind == "place" and (mention.gap or mentions[at - 1].gap)
    if unknown and not clause.said and {"group", "still"} <= kinds and followed_by_predicate(at, mentions):
        return True  # "both still usable, the front one's electrode was bent"
    named = mention.kind == "which" and mentions[at - 1].kind == "det"
    if named and "which" in kinds and mentions[at - 2].kind != "prep":
        return True  # "the stiff one's the front left and the seized one the rear left"
    if mention.kind == "be" and mention.first == "found" and clause.mentions[-1].kind == "and" and clause.named:
        # "sprayed the lot and found the tap passing"
        return [m.kind for m in mentions[at + 1 : at + 2]] in (["det"], ["component"])
    if mention.kind in ("appliance", "component") and mention.strong and comes_anew(mention, at, mentions, clause):
        return True
    if mention.mine and not clause.said and turns_to_another(at, mentions, clause):
        return True
    told = clause.mentions[-1] if clause.mentions else mention
    if mention.kind == "place" and told.kind == "condition" and told.id == "passed" and told.first in ("so", "thats"):
        return True  # "tried it again, forty seconds, so that's passed, right one eighteen"
    after = mentions[at + 1] if mention.kind == "appliance" and at + 1 < len(mentions) else None
    if (
        after is not None
        and after.first == after.last == "next"
        and not after.gap
        and clause.kinds() & {"work", "condition"}
    ):
        return True  # "shut it off at the cock, water heater next"
    apart = mention.gap or (mentions[at - 1].kind == "det" and mentions[at - 1].gap)
    one = mention.kind == "place" and mention.last in ("one", "ones", "un") and apart and not clause.said
    if one and kinds & {"place", "group"} and followed_by_predicate(at, mentions):
        return True  # "back burners need attention, left one's stiff"
    if not clause.said and told_unknown(at, mentions, clause) and followed_by_predicate(at, mentions):
        return True
    asked = mention.kind == "place" and "-" in mention.id and mention.gap > 1 and not clause.said
    if asked and "group" in kinds and "component" not in kinds:
        return True  # "two at the front are the ones I was asked about, front left he says"
    if (mention.kind in ("group", "place") and is_the_part(clause) and not mention.led) or it_was_the_part(
        mention, clause
    ):
        return followed_by_predicate(at, mentions)  # "I reckon it's the magnet, front two both lovely"
    if mention.kind == "condition" and mention.first in ("no", "without") and nothing_there(clause):
        return True  # "no chain and no eye in the wall for one"
    if mention.kind == "condition" and or_a_faulty(at, mentions, clause):
        return True
    if mention.kind == "group" and counted_before(at, mentions, clause):
        return True
    denied = clause.mentions[-1].kind == "not" and bool(kinds & {"place", "group"}) and not clause.said
    if mention.kind == "one" and mention.clitic and denied:
        return True  # "the back two are fine, the front two aren't: one's got no spark"
    left = mentions[at + 1] if at + 1 < len(mentions) else None
    later = left is not None and left.kind == "need" and left.first in _MEANING_TO and not (left.gap or left.pause)
    if mention.kind in ("group", "place") and later and any(m.done for m in clause.mentions):
        return True  # "wiped the front two, back two I'll do next time"
    if mention.kind == "component" and likened(mention, clause) and followed_by_predicate(at, mentions):
        return True
    if mention.kind in NOMINAL and guess_ended(clause) and followed_by_predicate(at, mentions):
        return True  # "so it's the magnet I'd say, tap's stiff"
    if (mention.kind == "component" and guess_untold(at, mentions, clause)) or symptom_behind_guesses(
        at, mentions, clause
    ):
        return True
    corner = mention.kind == "place" and "-" in mention.id and mention.clitic
    if (mention.kind == "component" or corner) and guessed_before(at, mentions, clause):
        return True  # "might be the stat, I haven't a probe on me, seal on the oven lets the heat out"
    if mention.kind == "component" and diagnosed(mention, clause) and followed_by_predicate(at, mentions):
        return True
    return True if not clause.said and behind_a_remark(at, mentions, clause) else None


def _behind_what_was_said(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """Once something was said: "there's", "so", "but", a name, one of those spoken of."""
    if not clause.said:
        told = clause.named or clause.mentions[-1].kind == "reading"
        untold = mention.first == "so" and mention.gap > 1 and told  # "every ring's got its own idea, so front left"
        untold = untold or (mention.first == "so" and (left_over(at, mentions, clause) or nothing_there(clause)))
        return mention.kind == "mark" and (mention.id != "mark" or untold)
    if mention.kind == "be" and mention.first in ("theres", "there"):
        return True
    if mention.kind == "prep" and turns_to_an_oven(at, mentions):
        return True
    if mention.kind in ("mark", "but", "same"):
        return True
    if mention.kind in NOMINAL:
        return opens_nominal(mention, at, mentions, clause)
    if mention.kind == "one" and (the_one(at, mentions) or one_of_them(at, mentions)):
        return True
    if mention.kind in ("no", "not"):
        return denies_ahead(at, mentions) and any(m.kind in ("component", "pronoun", "them") for m in clause.mentions)
    return None


def _pronoun(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "It's", "they're": opens unless work or a preposition leads to it."""
    if mention.kind not in ("pronoun", "them") or clause.kinds() <= {"and", "but", "now"}:
        return None  # "but now it isn't"
    if (
        names_what(at, mentions, clause)
        or cleft(mention, clause)
        or (at + 1 < len(mentions) and is_tail(at + 1, mentions))
    ):
        return False
    behind = name_behind(at, mentions)
    if behind is not None and behind.first == "to" and mention.gap == 1 and at > 1 and mentions[at - 2].id == "advise":
        return False  # "told the landlord to get it renewed"
    if mention.id == "old-one" and at + 1 < len(mentions) and mentions[at + 1].kind in ("be", "condition"):
        return True  # "put a new knob on the old one had snapped"
    led = (
        behind is not None
        and not (mention.gap or mention.pause)
        and (behind.kind in ("prep", "decline", "need", "except") or has_it(behind))
    )
    return not is_object(at, mentions) and not led


RULES: tuple[Callable[[Mention, int, Sequence[Mention], Clause], bool | None], ...] = (
    what_it_is_behind,
    of_what_is_praised,
    today_behind_the_past,
    new_since_then,
    what_it_was_for,
    belied_flatly,
    mended_at_its_corner,
    _by_its_kind,
    on_all_of_them,
    in_a_remark,
    denied_flatly,
    stand_where,
    fronted,
    first_headed,
    running_on.a_pair_next,
    behind_idle,
    i_tell_of_it_next,
    behind_a_new_one_on,
    it_is_another_part,
    the_other_after_work,
    behind_what_is_done,
    _aside,
    denied_anew,
    behind_an_answer,
    _account_over,
    told_behind_a_guess,
    behind_a_whole_telling,
    but_again,
    behind_what_was_not_done,
    behind_words_unknown,
    lacking_behind_work,
    the_faulty_part_next,
    behind_what_is_not_there,
    behind_still,
    told_by_others,
    there_is_behind_a_verdict,
    behind_a_bare_verb,
    running_on.opens,
    stands_apart,
    _whatever_was_said,
    _behind_what_was_said,
    another_condition,
    _pronoun,
)
