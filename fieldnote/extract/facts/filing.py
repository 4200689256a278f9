"""Facts are filed, or change one that was filed before. In: part, condition, place, status. Out: the fact. Not allowed to know:
which words said it.
"""

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.said import Job, Said, Statement
from fieldnote.extract.clauses.subjects import Target
from fieldnote.extract.facts import locating, seeming, verdicts
from fieldnote.extract.facts.faults import borne, is_faulty
from fieldnote.extract.facts.story import LIKEWISE, OPEN, Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.symptoms import AT_BURNER, HOLDING, SAYS_MORE, SHOWING, SILENT

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
_SHUT = frozenset("blocked half part partly partially choked solid shut full".split())
_AT_ONCE, _MORE = 3, 12  # words between a fault and what only says more of it
_HOW_DAMAGED = frozenset("cracked chipped broken distorted burnt detached".split())
_NO_GOOD = {
    ("no", "good"), ("not", "good"), ("last", "legs"), ("better", "days"), ("its", "best"), ("its", "day"), ("had", "it"),
    ("past", "it"), ("its", "chips"), ("its", "time"), ("it", "was"),
}  # fmt: skip
_VALVES = frozenset({"gas-valve", "gas-tap", "isolation-valve", "emergency-control", "relief-valve"})
_HOW_BAD = frozenset(
    "corroded worn perished blocked partly-blocked sooted loose leaking seized stiff kinked expired weak noisy "
    "discoloured".split()
)
# what one worn hinge or spring does to a door ("won't stay up, it drops, both springs are tired")
_OF_A_PIECE = frozenset({"worn", "broken", "loose"})  # a fault of a door that is told again of its catch
_OF_HINGES = frozenset({"misaligned", "loose", "worn", "broken", "not-holding", "weak"})
# a guess of the one that turns out to be the other ("could be something in it ... a nest was blocking it")
_AS_GOOD_AS = (
    frozenset({"blocked", "partly-blocked", "dirty"}),
    frozenset({"weak", "dead", "failed"}),
    frozenset({"cracked", "broken", "chipped"}),
    frozenset({"loose", "detached", "misaligned"}),
    frozenset({"stiff", "seized", "sticking"}),
)
_LATER = 30  # clauses in which a guess is looked into
_FOULED = frozenset({"blocked", "partly-blocked", "dirty", "sooted"})
_SUSPECTED = 12  # words from "I thought it was cracked" to "it's only"
_SEEMED, _SEEMING_SO = frozenset("looked seemed appeared".split()), 4
_BUT = frozenset("then but though until".split())
_WRITTEN = frozenset("marked noted recorded logged listed entered down written classed".split())
_ONLY = frozenset("only just merely nobbut simply".split())


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
    if place == "all" and condition == "ok":  # "no spark at the hob ... all four sparking again"
        same += [fact for fact in talk.story.of(component, None, burner, appliance) if fact.condition in SILENT]
    if place is None and condition == "ok" and component == "flame":  # "yellow all round ... flames are blue"
        same += [fact for fact in talk.story.named(component)[:2] if fact.position == "all"]
    if status == "present" and (told := _told_elsewhere(talk, component, condition, place, statement)):
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
    only = condition not in (None, "ok") and status == "present" and _only_that(talk, same, str(condition), statement)
    for fact in same:
        if only and fact.condition == condition and fact.status == "resolved":
            return fact  # "dirty, cleaned it; I thought it was cracked, but it's only fat"
        if status == "present" and _said_otherwise(talk, fact, statement, condition):
            return fact
        if status == "present" and condition == "detached" and _gone_already(talk, fact):
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
    if (guess := _guessed_before(talk, same, condition)) and condition is not None and status in ("present", "absent"):
        guess.condition = condition  # "I thought it was the fan, but the fan's fine"
        guess.turn(status, "own-check")
        return guess
    if condition == "passed" and status == "present" and (failed := _failed_before(talk, same)):
        failed.superseded = failed.superseded or "failed, present"
        failed.condition, failed.status, failed.clause = "passed", "present", talk.state.clause
        return failed
    if status == "absent" and condition == "leaking" and same and _called_dry(talk, same[0]):
        return same[0]
    if condition == "ok" and status == "present":
        if same and same[0].status == "absent" and _so_fine(talk, same[0], statement):
            return same[0]
        for fact in same:
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
        if called := _so_called(talk, same, condition, statement):
            return called
        if told := _said_more(talk, same, condition, statement):
            return told
        if because := verdicts.for_want_of_a_piece(talk, same, condition):
            return because
        _goes_but(talk, same, statement)
        if vague := _only_damaged(talk, same, condition):
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
    if component == "fuse" and isinstance(statement, Job) and statement.kind == "replace" and status == "resolved":
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


def _only_damaged(talk: Talk, same: list[Fact], condition: str) -> Fact | None:
    """The fact that has just said that the part is damaged, where how is said now."""
    if condition not in _HOW_DAMAGED:
        last = [fact for fact in same[:1] if condition in _HOW_BAD and _called_no_good(talk, fact)]
        return last[0] if last else None
    last = [fact for fact in same if fact.condition == "damaged" and fact.status == "present" and not fact.actions]
    return last[0] if last and last[0].clause >= talk.state.clause - 1 else None


def _called_no_good(talk: Talk, fact: Fact) -> bool:
    """ "Flue is no good, rusted right through": what is not good about it follows."""
    words = [token.norm for token in talk.draft.tokens[fact.start : fact.end]]
    vague = fact.condition in ("dead", "worn", "damaged", "weak") and tuple(words[-2:]) in _NO_GOOD
    return vague and fact.status == "present" and not fact.actions and fact.clause >= talk.state.clause - 1


def _goes_but(talk: Talk, same: list[Fact], statement: Statement | Job) -> None:
    """ "The pilot is lit but small", "the fan's spinning but it rattles": that it goes only leads to what is wrong."""
    last = same[0] if same else None
    if last is None or last.condition != "ok" or last.status != "present" or last.actions:
        return
    row = talk.draft.tokens
    goes = {token.norm for token in row[last.start : last.end]} & verdicts.GOES
    between = [token.norm for token in row[last.end : last.end + 3]]
    anew = any(t.names and t.start > last.end for t in statement.targets)
    if goes and "but" in between and not anew and last.clause == talk.state.clause - 1:
        talk.story.drop(last)


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


def _gone_already(talk: Talk, fact: Fact) -> bool:
    """Whether a part has just been told to be missing."""
    return fact.condition == "missing" and fact.status == "present" and fact.clause >= talk.state.clause - 2


def _called_dry(talk: Talk, fact: Fact) -> bool:
    """ "Relief is dry, no dripping": the same said twice."""
    last = talk.draft.tokens[fact.end - 1].norm
    return fact.condition == "ok" and fact.clause == talk.state.clause and last == "dry"


def _so_called(talk: Talk, same: list[Fact], condition: str | None, statement: Statement | Job) -> Fact | None:
    """ "It was full of slime, so it was dirty": what the speaker himself calls a fault that he has just described."""
    last = same[0] if same else None
    if last is None or not isinstance(statement, Statement) or last.condition in ("ok", "passed"):
        return None
    lead = [token.norm for token in talk.draft.tokens[max(0, statement.head - 3) : statement.head]]
    put_down = lead[-1:] == ["as"] and not _WRITTEN.isdisjoint(lead)  # "lost its pointer, so I've marked it as worn"
    called = "so" in lead and {last.condition, condition} <= _FOULED
    told = last.status == "present" and not last.actions and last.clause >= talk.state.clause - 1
    if not (told and (called or put_down)) or any(t.names and t.start > last.end for t in statement.targets):
        return None
    last.condition = condition
    return last


def _not_put_back(talk: Talk, fact: Fact, statement: Statement | Job) -> bool:
    """ "It had been taken off and nobody put it back": no second fault."""
    if fact.condition != "detached" or fact.status != "present" or fact.clause < talk.state.clause - 2:
        return False
    return "back" in {token.norm for token in talk.draft.tokens[statement.start : statement.end]}


def _so_fine(talk: Talk, denied: Fact, statement: Statement | Job) -> bool:
    """ "It doesn't drop water so that's fine": the same said again of what has just been looked for and not found."""
    if not isinstance(statement, Statement) or not statement.pronoun or denied.clause < talk.state.clause - 1:
        return False
    lead = [token.norm for token in talk.draft.tokens[max(0, statement.head - 2) : statement.head]]
    if lead[-1:] == ["thats"] or lead == ["which", "is"]:
        return True  # "not letting by, that's how it should be"
    return talk.draft.tokens[max(0, statement.head - 2)].norm == "so"


def _all_over(talk: Talk, same: list[Fact], last: Fact) -> None:
    """ "Small and yellow, was full of dust, now it's blue and strong": all that was just told of the part is put right."""
    for fact in [last, *same]:
        lately = fact is last or (fact.status == "present" and fact.clause >= talk.state.clause - 3)
        if lately and fact.condition not in (None, "ok", "passed"):
            fact.turn("resolved", "ok-after-work")


def _said_otherwise(talk: Talk, fact: Fact, statement: Statement | Job, condition: str | None) -> bool:
    """ "A nest in it, half blocked", "tested ok, sounded when pressed": two words for one thing that is seen."""
    left = fact.status == "resolved" and "still" in statement.cues  # "pricked it out but it's still half blocked"
    if left and {fact.condition, condition} == {"blocked", "partly-blocked"}:
        fact.condition = condition
        fact.turn("present", "still")
        return True
    if fact.status != "present" or fact.clause < talk.state.clause - 1:
        return False
    if {fact.condition, condition} == {"blocked", "partly-blocked"} and not fact.actions:
        words = {token.norm for token in talk.draft.tokens[statement.start : statement.end]}
        fact.condition = condition if words & _SHUT else fact.condition
        return True
    if (
        fact.component in _VALVES
        and (fact.condition, condition) == ("ok", "passed")
        and fact.clause == talk.state.clause
    ):
        return True  # "gas valve okay, no passing"
    if fact.component == "flue" and (fact.condition, condition) == ("ok", "passed"):
        fact.condition = "passed"  # "the flue's pulling, smoke test passed"
        return True
    return fact.component == "co-alarm" and {fact.condition, condition} == {"ok", "passed"}


def _told_elsewhere(
    talk: Talk, component: str, condition: str | None, place: str | None, statement: Statement | Job
) -> Fact | None:
    """ "Wrong injector all four ... burning the wrong jets full stop": the same again, its place not said."""
    if condition in (None, "ok", "passed") or not isinstance(statement, Statement):
        return None
    last = talk.story.facts[-1] if talk.story.facts else None
    if place is not None and last is not None and (last.component, last.condition) == (component, condition):
        anew = any(t.names and t.start > last.end for t in statement.targets)
        again = statement.again and place == "all"  # "wrong injector, all four the same"
        near = last.clause >= talk.state.clause - again
        if last.position is None and near and last.status == "present" and not anew:
            last.position = place  # "couldn't see the burners for baked on beans"
            return last
    if place is not None:
        return None
    told = [f for f in talk.story.named(component)[:4] if f.condition == condition and f.status in OPEN]
    return next((f for f in told if f.position and f.clause >= talk.state.clause - 8), None)


def _said_more(talk: Talk, same: list[Fact], condition: str, statement: Statement | Job) -> Fact | None:
    """ "It's packed up, won't hold in at all": no second fault but what the first comes to; "been dropped, there's a piece out
    of the rim": what the damage is."""
    last = same[0] if same else None
    if last is None or not isinstance(statement, Statement) or last.status != "present" or last.worked:
        return None
    pieces = last.component in ("door", "lid") and {last.condition, condition} <= _OF_A_PIECE
    anew = [t for t in statement.targets if t.names and t.start > last.end]
    if last is not talk.story.facts[-1] or not all(pieces and t.end - t.start == 1 and _a_piece(t) for t in anew):
        return None
    apart = statement.head - last.end
    vague = last.condition == "damaged" or (last.component == "flame" and last.condition == "weak")
    if vague and condition not in ("damaged", "weak", "noisy") and apart <= _MORE:
        last.condition = condition
        return last
    told = condition in SAYS_MORE.get(last.condition or "", ())
    held = last.component in HOLDING and condition == "not-holding"
    hinged = last.component in ("door", "lid") and {last.condition, condition} <= _OF_HINGES
    tested = (last.condition, condition) == ("dead", "failed")  # "not working, I have tested, it failed"
    told, held = told or hinged or tested, held or hinged or tested
    if not told or apart > (_MORE if held else _AT_ONCE):
        return None
    last.condition = condition if anew or (hinged and condition == "broken") else last.condition
    last.end = max(last.end, statement.head + statement.words)
    return last


def _a_piece(target: Target) -> bool:
    """ "The door falls open, the catch is snapped": a loose name tells which piece of the part it is."""
    return all(name.note.startswith("weak") for name in target.names)


def _only_that(talk: Talk, same: list[Fact], condition: str, statement: Statement | Job) -> bool:
    """ "I thought it was cracked, it's only a scratch": what was suspected is not so. True when something was."""
    lead = talk.draft.tokens[max(0, statement.start - _SUSPECTED) : statement.end]
    belied = not {"thought", "suspected"}.isdisjoint(token.norm for token in lead)
    said = {token.norm for token in talk.draft.tokens[max(0, statement.start - 3) : statement.end]}
    for fact in same if said & _ONLY else ():
        looked = talk.draft.tokens[max(0, fact.end - _SEEMING_SO) : fact.end - 1]
        seemed = fact.status == "present" and not fact.actions and any(token.norm in _SEEMED for token in looked)
        if (
            (seemed or fact.status == "possible")  # "looked perished but it's only dirt"
            and fact.condition not in (None, condition)
            and fact.clause >= talk.state.clause - 2
        ):
            fact.turn("absent", "own-check")
            belied = True
    return belied and bool(said & _ONLY)


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
        component = target.component or seeming.suspected(talk, target)
        if component:
            for place in locating.places_of(talk, target, component):
                facts.append(file(talk, component, None, place, target, "possible", said.as_statement(), mode))
    return facts
