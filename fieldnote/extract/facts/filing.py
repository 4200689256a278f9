"""Facts are filed, or change one that was filed before. In: part, condition, place, status. Out: the fact. Not allowed to know:
which words said it.
"""

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.said import Job, Said, Statement
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts import causes, locating, verdicts
from fieldnote.extract.facts.faults import borne, is_faulty
from fieldnote.extract.facts.restating import (
    called_dry,
    goes_but,
    going_as_said,
    gone_already,
    no_further,
    only_damaged,
    only_that,
    said_more,
    said_otherwise,
    so_called,
    so_fine,
    told_elsewhere,
    unseen,
    wanted_for,
)
from fieldnote.extract.facts.story import LIKEWISE, OPEN, Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.symptoms import AT_BURNER, SHOWING, SILENT

_NOT = frozenset("not isnt aint no wasnt".split())
_PRAISES = (
    ["good"],
    ["right"],
    ["great"],
    ["well"],
    ["happy"],
    ["clever"],
)  # "not so clever" says that something is wrong
_LIT = frozenset("lights light lit fires lighting catches".split())
# a guess of the one that turns out to be the other ("could be something in it ... a nest was blocking it")
_AS_GOOD_AS = (
    frozenset({"blocked", "partly-blocked", "dirty"}),
    frozenset({"weak", "dead", "failed"}),
    frozenset({"cracked", "broken", "chipped"}),
    frozenset({"loose", "detached", "misaligned"}),
    frozenset({"stiff", "seized", "sticking"}),
)
_NEAR_ITS_RATING = 7  # words
_RATINGS = frozenset("three five ten thirteen 3 5 10 13 amp amps 3a 5a 13a".split())
_LATER = 30  # clauses in which a guess is looked into
_BUT = frozenset("then but though until".split())


def file(
    talk: Talk,
    component: str,
    condition: str | None,
    place: str | None,
    target: Target,
    status: str,
    statement: Statement | Job,
    mode: Mode,
) -> Fact:
    """File a fact, or update the one that it speaks of again."""
    aside = isinstance(statement, Statement) and statement.is_aside
    burner = locating.burner_of(talk, component, target, place)
    if component == "burner-ring" and burner in ("oven", "grill"):
        component = "burner"  # "half the holes were blocked": there these are the burner's own
    appliance = locating.appliance_of(talk, component, target)
    same = talk.story.of(component, place, burner, appliance)
    if target.size and isinstance(statement, Statement) and statement.left_out and status == "present":
        # "none of the taps are stiff except the wok, that one's heavy"
        same = [fact for fact in same if fact.burner or fact.status != "absent"]
    if place == "all" and condition == "ok":  # "no spark at the hob ... all four sparking again"
        same += [fact for fact in talk.story.of(component, None, burner, appliance) if fact.condition in SILENT]
    if place is None and condition == "ok" and component == "flame":  # "yellow all round ... flames are blue"
        same += [fact for fact in talk.story.named(component)[:2] if fact.position == "all"]
    if status == "present" and (told := told_elsewhere(talk, component, condition, place, statement)):
        return told
    burns = component == "burner" and condition == "ok" and status == "present" and statement.now
    if burns and (again := _burns_again(talk, place)):
        return again
    if place == "all" and condition == "ok" and (silent := _silent(talk, component)):
        for fact in silent:
            fact.turn("resolved", "ok-after-work")
        return silent[-1]  # "no spark front left ... swapped the leads back, all four spark"
    if (condition, component, status) == ("failed", "flue", "present"):
        for fact in [one for one in same if one.condition == "passed" and _turned(talk, one, statement)]:
            talk.story.drop(fact)  # "passed with everything off, then failed with the extractor going"
            same.remove(fact)
    if condition == "passed" and status == "present" and _failed_before(talk, same):
        for fact in [one for one in same if one.condition == "ok" and one.clause >= talk.state.clause - 1]:
            talk.story.drop(fact)  # "failed the smoke test, tried again, it pulled nicely so it passed"
            same.remove(fact)
    if status == "possible" and (told := going_as_said(talk, same, condition, statement)):
        return told
    if hidden := unseen(talk, same, condition, statement):
        return hidden
    only = condition not in (None, "ok") and status == "present" and only_that(talk, same, str(condition), statement)
    for fact in same:
        if only and fact.condition == condition and fact.status == "resolved":
            return fact  # "dirty, cleaned it; I thought it was cracked, but it's only fat"
        if status == "present" and said_otherwise(talk, fact, statement, condition):
            return fact
        if status == "present" and condition == "detached" and gone_already(talk, fact):
            return fact  # "cowl gone altogether, it was blown off in the gale"
        if status == "present" and condition == "missing" and _not_put_back(talk, fact, statement):
            return fact
        if status == "present" and condition == "damaged" and _at_fault(talk, fact):
            return fact  # "doesn't cut the gas off, so the shut off's faulty"
        if fact.condition == condition and fact.status != "historical" and status != "historical":
            return _again(talk, fact, status, statement)
    gone = next(
        (f for f in same if f.condition in ("missing", "not-fitted") and f.clause == talk.state.clause - 1), None
    )
    if gone is not None and condition == "worn" and status == "present" and target.start < gone.end:
        return gone  # "there's no data plate, so I can't read the model"
    if condition == "worn" and component == "data-plate" and (hidden := _not_to_be_read(talk, same, statement)):
        return hidden
    if (guess := _guessed_before(talk, same, condition)) and condition is not None and status in ("present", "absent"):
        guess.condition = condition  # "I thought it was the fan, but the fan's fine"
        guess.turn(status, "own-check")
        return guess
    if condition == "passed" and status == "present" and (failed := _failed_before(talk, same)):
        failed.superseded = failed.superseded or "failed, present"
        failed.condition, failed.status, failed.clause = "passed", "present", talk.state.clause
        return failed
    if status == "absent" and condition == "leaking" and same and called_dry(talk, same[0]):
        return same[0]
    if condition == "ok" and status == "present":
        if same and same[0].status == "absent" and so_fine(talk, same[0], statement):
            return same[0]
        for fact in () if _by_itself(talk, target, statement) else same:
            if statement.now and is_faulty(fact) and borne(talk, statement):
                return fact
            if (
                fact.condition not in (None, "ok", "passed")
                and fact.status in OPEN
                and (fact.worked or (statement.now and not aside) or _mended_at(talk, place or fact.position, fact))
            ):
                _all_over(talk, same if statement.now else [], fact)
                return fact
            if LIKEWISE in fact.cues and not statement.now:
                fact.condition, fact.status, fact.actions = "ok", "present", []
                return fact  # "same on the front right, though the cap's fine"
            if fact.condition not in (None, "ok", "passed") and fact.status == "resolved":
                return fact
            if (
                fact.status == "present"
                and fact.condition not in (None, "ok", "passed")
                and (aside or (fact.clause == talk.state.clause and fact.position == place and not target.group))
            ):
                return fact  # "chipped but still sparking", "a bit of rust, nothing to worry about"
            if verdicts.goes_in_spite(talk, fact, statement):
                return fact
    elif condition is not None and status == "present":
        _that_was_it(talk, component, place, condition)
        if told := wanted_for(talk, same, condition, statement):
            return told
        if called := so_called(talk, same, condition, statement):
            return called
        if told := said_more(talk, same, condition, statement):
            return told
        if because := verdicts.for_want_of_a_piece(talk, same, condition):
            return because
        goes_but(talk, same, statement)
        if vague := only_damaged(talk, same, condition):
            vague.condition = condition
            return vague  # "had a knock, there's a corner off it"
        for fact in same[:1]:
            for_that = fact.actions and fact.status in ("present", "resolved")
            # "cleaned the caps, one cap was cracked"
            one = isinstance(statement, Statement) and statement.listing and not statement.pronoun
            if fact.condition is None and for_that and fact.clause >= talk.state.clause - 1 and not one:
                fact.condition = condition  # "screw adjusted, it was set too high": why it was done
                if aside or "since-work" in statement.cues or "no-help" in fact.cues:
                    fact.turn("present", "still")  # "swapped the magnet, still drops out"
                return fact
    renewed = (
        component == "fuse" and isinstance(statement, Job) and statement.kind == "replace" and status == "resolved"
    )
    if renewed and _rated(talk, statement):
        condition = "wrong-part"  # a fuse that is changed for another rating was the wrong one
    if condition == "not-holding" and status in ("present", "resolved"):
        _lit_first(talk, place)
    if condition is not None and status == "present":
        _drop_denied(talk, [fact for fact in same[:1] if not any(t.start >= fact.end for t in statement.targets)])
        _no_longer_fit(talk, same, place)
    fact = Fact(component, place, burner, condition, status, statement.start, statement.end, appliance)
    fact.explicit = bool(target.places or target.group)
    fact.clause = talk.state.clause
    fact.cues += [*mode.cues, *statement.cues, *_doubts(place, target)]
    return talk.story.add(fact)


def _rated(talk: Talk, job: Statement | Job) -> bool:
    """Whether a rating is told beside a fuse: "swapped it for a three", not "new fuse in"."""
    words = {
        token.norm for token in talk.draft.tokens[max(0, job.start - _NEAR_ITS_RATING) : job.end + _NEAR_ITS_RATING]
    }
    return not words.isdisjoint(_RATINGS)


def _not_to_be_read(talk: Talk, same: list[Fact], statement: Statement | Job) -> Fact | None:
    """ "Plate's painted over, can't read a figure off it": why it cannot be read was just told."""
    read = {"read", "make", "see"} & {token.norm for token in talk.draft.tokens[statement.start : statement.end + 1]}
    why = [
        fact for fact in same if fact.clause >= talk.state.clause - 1 and fact.condition not in ("ok", "passed", None)
    ]
    return why[0] if read and why and why[0].status == "present" else None


def _that_was_it(talk: Talk, component: str | None, place: str | None, condition: str) -> None:
    """ "Rear left is not good, cap is broken": what was not good about the burner is told now, and it is no fault by itself."""
    last = talk.story.facts[-1] if talk.story.facts else None
    if last is None or component not in AT_BURNER - {"burner"} or condition in ("ok", "passed"):
        return
    at_once = last.component == "burner" and last.position == place and last.clause == talk.state.clause - 1
    words = [token.norm for token in talk.draft.tokens[last.start : last.end]]
    if at_once and last.status == "present" and not last.actions and words[-1:] in _PRAISES and set(words) & _NOT:
        talk.story.drop(last)


def _silent(talk: Talk, component: str) -> list[Fact]:
    """Faults at single places that "all four spark" gives the lie to, once work was done."""
    told = [f for f in talk.story.named(component) if f.condition in SILENT and f.status == "present" and f.position]
    since = min((fact.clause for fact in told), default=0)
    return told if any(fact.worked and fact.clause >= since for fact in talk.story.facts[-8:]) else []


def _burns_again(talk: Talk, place: str | None) -> Fact | None:
    """ "Flame was lifting, wrong jets in, swapped them, both are burning properly now": what was wrong with the flame there."""
    worked = any(fact.worked and fact.status == "resolved" for fact in talk.story.facts[-3:])
    shown = [
        f for f in talk.story.facts[-8:] if f.component == "flame" and f.position == place and f.condition in SHOWING
    ]
    shown = [f for f in shown if f.status == "present" and "still" not in f.cues] if worked and place else []
    for fact in shown[-1:]:
        fact.turn("resolved", "ok-after-work")
    return shown[-1] if shown else None


def _at_fault(talk: Talk, fact: Fact) -> bool:
    """Whether what is wrong with a part has just been told."""
    told = fact.condition not in (None, "ok", "passed", "damaged") and fact.status == "present"
    return told and fact.clause >= talk.state.clause - 2


def _by_itself(talk: Talk, target: Target, statement: Statement | Job) -> bool:
    """ "Terminal guard was loose, refixed it, terminal itself is clear": of the whole, not of the piece that was at fault."""
    if isinstance(statement, Job) or not target.names or statement.now:
        return False
    return "itself" in {token.norm for token in talk.draft.tokens[target.start : statement.head]}


def _not_put_back(talk: Talk, fact: Fact, statement: Statement | Job) -> bool:
    """ "It had been taken off and nobody put it back": no second fault."""
    if fact.condition != "detached" or fact.status != "present" or fact.clause < talk.state.clause - 2:
        return False
    return "back" in {token.norm for token in talk.draft.tokens[statement.start : statement.end]}


def _all_over(talk: Talk, same: list[Fact], last: Fact) -> None:
    """ "Small and yellow, was full of dust, now it's blue and strong": all that was just told of the part is put right."""
    for fact in [last, *same]:
        lately = fact is last or (fact.status == "present" and fact.clause >= talk.state.clause - 3)
        if lately and fact.condition not in (None, "ok", "passed"):
            fact.turn("resolved", "ok-after-work")


def _turned(talk: Talk, fact: Fact, statement: Statement | Job) -> bool:
    """Whether "then" or "but" stands between what was told and what is told now, in one sentence."""
    between = talk.draft.tokens[fact.end : statement.start]
    return bool(_BUT & {token.norm for token in between}) and not any(token.pause == "." for token in between)


def _failed_before(talk: Talk, same: list[Fact]) -> Fact | None:
    """The same test, failed before the retest."""
    now = talk.state.clause
    return next(
        (f for f in same if f.condition == "failed" and f.status in ("present", "resolved") and now - f.clause <= 8),
        None,
    )


def _guessed_before(talk: Talk, same: list[Fact], condition: str | None) -> Fact | None:
    """The bare suspicion of this part that was told just before, or of a fault that is seen now to be as good as that one."""
    now = talk.state.clause
    guessed = [fact for fact in same if fact.status == "possible" and all(a.kind == "test" for a in fact.actions)]
    bare = next((f for f in guessed if f.condition is None and now - f.clause <= 4), None)
    kin = next((ids for ids in _AS_GOOD_AS if condition in ids), frozenset())
    return bare or next((f for f in guessed if f.condition in kin and now - f.clause <= _LATER), None)


def _lit_first(talk: Talk, place: str | None) -> None:
    """ "It lights, then it goes out": that it lit tells of nothing fit."""
    for fact in talk.story.facts[-1:]:
        words = {token.norm for token in talk.draft.tokens[fact.start : fact.end]}
        fit = fact.condition == "ok" and fact.component in ("burner", "appliance") and not fact.actions
        if fit and fact.position == place and fact.clause == talk.state.clause - 1 and words & _LIT:
            talk.story.drop(fact)


def _drop_denied(talk: Talk, same: list[Fact]) -> None:
    """ "It's not cracked, it's only dirty": what was said first is taken back, not looked for in vain."""
    for fact in same[:1]:
        if fact.status == "absent" and fact.superseded and fact.clause >= talk.state.clause - 1 and not fact.actions:
            talk.story.drop(fact)


def _no_longer_fit(talk: Talk, same: list[Fact], place: str | None) -> None:
    """ "Said the injector was clear, well it was partly blocked": what was found fit before is not, after all."""
    burner = [fact for fact in talk.story.named("burner")[:2] if place and fact.position == place]
    for fact in [*same[:1], *burner]:
        if fact.condition == "ok" and fact.status == "present" and "earlier" in fact.cues:
            talk.story.drop(fact)


def _mended_at(talk: Talk, place: str | None, symptom: Fact) -> bool:
    """Whether, since a symptom was told, work was done on another part at its place."""
    return any(
        fact.worked
        and fact.position in (place, None)
        and fact.number > symptom.number
        and fact.component != symptom.component
        for fact in talk.story.facts[-4:]
    )


def _doubts(place: str | None, target: Target) -> list[str]:
    """What makes the reading of a part or place less sure."""
    doubts = []
    if not target.names:
        doubts.append("part-implied")
    elif all(name.note.startswith("weak") for name in target.names):
        doubts.append("weak-name")
    if place and not (target.places or target.group):
        doubts.append("place-carried")
    if len(target.names) > 1 and target.component is None:
        doubts.append("several-parts")
    return doubts


def _again(talk: Talk, fact: Fact, status: str, statement: Statement | Job) -> Fact:
    if fact.status in ("reported", "possible") and status in ("present", "absent"):
        fact.turn(status, "own-check")
    elif fact.status == "resolved" and status == "present" and not statement.past_tense:
        fact.turn("present", "again")
    elif fact.status == "absent" and status == "present" and fact.superseded:
        fact.turn("present", "again")  # "a nest in it, no, not a nest, leaves, it's stuffed full"
    elif fact.status == "absent" and status == "present" and _understated(talk, fact):
        fact.turn("present", "again")
    elif fact.status == "present" and status == "resolved":
        fact.turn("resolved", "later")
    elif fact.status == "present" and status == "absent" and no_further(talk, fact, statement):
        return fact
    elif fact.status == "present" and status in ("absent",):
        before = [token.norm for token in talk.draft.tokens[max(0, statement.start - 2) : statement.start + 1]]
        over = fact.worked or statement.now or before[:2] == ["no", "more"]  # "moved it away, no more tracking"
        fact.turn("resolved" if over else "absent", "later")
    fact.clause = talk.state.clause
    return fact


def _understated(talk: Talk, fact: Fact) -> bool:
    """ "I wouldn't say it was stiff, but I took both hands to it": no denial at all."""
    said = {token.norm for token in talk.draft.tokens[max(0, fact.start - 4) : fact.end]}
    after = [token.norm for token in talk.draft.tokens[fact.end : fact.end + 1]]
    return after == ["but"] and bool(said & {"say", "call"}) and fact.clause >= talk.state.clause - 1


def guesses(talk: Talk, said: Said, mode: Mode) -> list[Fact]:
    """A part that is suspected and nothing more: "might be the magnet"."""
    facts = []
    for target in said.guessed:
        component = target.component or causes.suspected(talk, target)
        if component:
            for place in locating.places_of(talk, target, component):
                facts.append(file(talk, component, None, place, target, "possible", said.as_statement(), mode))
    return facts
