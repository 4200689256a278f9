"""The talk comes back to a part that was told of before and names it alone. In: a clause that says nothing yet, and the talk.
Out: nothing; the earlier fact and its place are in talk again. Not allowed to know: what is said of it then.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.said import MENDING, Job, Said, Statement
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts.faults import is_faulty
from fieldnote.extract.facts.story import LIKEWISE, OPEN, Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.phrases.mention import COOKING
from fieldnote.extract.words.hob import FOUR
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import AT_BURNER

_ALIKE = (
    {"cracked", "chipped", "broken", "damaged"},
    {"stiff", "seized", "sticking"},
    {"loose", "detached", "misaligned"},
)
_IT_IS = frozenset("its thats is".split())
_AS_WELL = frozenset("too also well and".split())
_SEEN_AGAIN = 3  # clauses behind "that I said was cracked"
_NO_MORE_THAN, _MERELY = 5, frozenset("only just merely actually nobbut".split())
_REACH = 24  # facts told since
_REVISED = 6  # clauses and facts back to what was said of the wrong part
_LIT = frozenset("lights light lit lighting catches burns".split())
_POINTING = frozenset({"the", "that", "this"})
_WHERE = frozenset({"place", "group", "size"})
_DEFINITE = _POINTING | {"those", "these", "them"}


def taken_up(talk: Talk, said: Said) -> None:
    """ "Now the cap, I got it off", "and the jet, well, that wants a new one"."""
    named = [target for target in said.subject if target.names]
    told = said.statements or said.works or said.reading or said.cured or said.led or said.guessed
    fact = _told(talk, named[0]) if len(named) == len(said.subject) == 1 and not told else None
    if fact is not None and fact is not talk.story.facts[-1]:
        bring_back(talk, [fact])


def back_to_fault(talk: Talk, clause: Clause, said: Said) -> None:
    """ "Back to the one that don't light": the fault that was told before, where it is, and no new one."""
    row = [m.kind for m in clause.mentions]
    at = row.index("back-to") if "back-to" in row else len(row)
    which = clause.mentions[at + 3] if row[at + 1 : at + 4] == ["one", "pronoun", "condition"] else None
    if which is None or clause.mentions[at + 2].first not in ("that", "which", "who"):
        return
    ids = {sense.id for sense in which.senses}
    told = [fact for fact in talk.story.facts[-_REACH:] if fact.condition in ids and is_faulty(fact)]
    if told:
        bring_back(talk, told[-1:])
        said.statements = [one for one in said.statements if one.head != which.start]


def the_one_told(talk: Talk, clause: Clause, said: Said) -> None:
    """ "The blocked jet I've rodded through": the part of which that was told before, where it is, not at the place in talk."""
    if any(m.kind in ("place", "group", "size") for m in clause.mentions):
        return
    for statement in said.statements:
        behind = [t for t in statement.targets if t.names and t.start == statement.head + statement.words]
        led = talk.draft.tokens[statement.head - 1].norm if statement.head else ""
        if len(behind) != 1 or led not in _DEFINITE or statement.denied:
            continue
        ids = {name.id for name in behind[0].names} & AT_BURNER
        told = [f for f in talk.story.facts[-_REACH:] if f.component in ids and f.condition in statement.condition_ids]
        told = [f for f in told if f.position and f.status in OPEN and f.appliance in (None, talk.state.appliance)]
        several = talk.draft.tokens[behind[0].end - 1]
        alike = several.norm.endswith("s") and not several.clitic
        places = dict.fromkeys(f.position for f in (told if alike else told[-1:]) if f.position)
        if places and (alike or not any(f.position in (talk.state.places or ()) for f in told)):
            statement.targets = [replace(behind[0], places=tuple(places), many=alike)]


def to_a_part(talk: Talk, clause: Clause, said: Said) -> None:
    """ "Back to that magnet, it's weak", "back to the hob: metered that thermocouple": the part where it was told of."""
    if not any(m.kind == "back-to" for m in clause.mentions[:2]) or any(m.kind in _WHERE for m in clause.mentions):
        return
    whole = next((m.id for m in clause.mentions if m.kind == "appliance"), None)
    parts: list[Statement | Job] = [*said.statements, *said.works]
    for target in said.every:
        pointed = {token.norm for token in talk.draft.tokens[max(0, target.start - 2) : target.start]} & _DEFINITE
        ids = {name.id for name in target.names} & AT_BURNER
        near = (None, whole, talk.state.appliance) if whole else (None, "hob", "cooker", "range")
        told = [f for f in talk.story.facts[-_REACH:] if f.component in ids and f.position and f.appliance in near]
        if not (pointed and told) or target.places or target.group:
            continue
        there = replace(target, places=(str(told[-1].position),), size=None)
        said.subject = [there if one == target else one for one in said.subject]
        for part in parts:
            part.targets = [there if one == target else one for one in part.targets]
        talk.state.places, talk.state.size = there.places, told[-1].burner
        talk.state.appliance = told[-1].appliance or talk.state.appliance


def to_a_place(talk: Talk, clause: Clause, said: Said) -> None:
    """ "Back to that front left, put a new one in": of what was told there, the fault told last is in talk again."""
    if not any(m.kind == "back-to" for m in clause.mentions[:2]) or len(said.subject) != 1 or said.statements:
        return
    target = said.subject[0]
    if target.names or len(target.places or ()) != 1:
        return
    there = [f for f in talk.story.facts[-_REACH:] if f.position in (target.places or ()) and is_faulty(f)]
    there = [fact for fact in there if fact.appliance == talk.state.appliance and fact.component]
    if there:
        bring_back(talk, there[-1:])
        part = (Sense("component", str(there[-1].component), None, "strong"),)
        said.subject = [replace(target, names=part)]
        talk.state.topic = tuple(said.subject)


def mended_since(talk: Talk, statement: Statement, said: Said) -> bool:
    """Whether a fault that was told before the last part is denied behind the work that mended it: the work speaks for it."""
    done = [job for job in said.works if job.state == "done" and job.kind in MENDING and job.end <= statement.head]
    ids = {name.id for target in (*said.subject, *(t for job in done for t in job.targets)) for name in target.names}
    if (
        not statement.denied
        or not done
        or not ids
        or any(target.names for target in statement.targets if target.start > done[-1].start)
    ):
        return False
    told = [f for f in talk.story.facts[-_REACH:-1] if f.component in ids and f.condition in statement.condition_ids]
    return bool(told) and is_faulty(told[-1]) and talk.story.facts[-1].component not in ids


def bring_back(talk: Talk, facts: Sequence[Fact]) -> None:
    """Facts that were told before are in talk again, and where the last of them is."""
    last = facts[-1]
    talk.state.focus = tuple(facts)
    talk.state.places = (last.position,) if last.position else talk.state.places


def _told(talk: Talk, target: Target) -> Fact | None:
    """The fault told last of a part, at the place that is said; where none is said, of the part that is pointed at, once
    something has been told of the place in talk."""
    lately = talk.story.facts[-_REACH:]
    ids = {name.id for name in target.names}
    cooking = talk.state.appliance in COOKING and any("-" in place for place in target.places or ())
    # "oven's fine, oh and that electrode I said on the back left"
    near = COOKING if cooking else {talk.state.appliance}
    faults = [f for f in lately if f.component in ids and is_faulty(f) and f.appliance in near]
    if target.places:
        faults = [fact for fact in faults if fact.position in target.places]
    elif talk.draft.tokens[max(0, target.start - 1)].norm not in _POINTING:
        return None
    here = talk.state.places or ()
    told = bool(target.places) or not here or any(fact.position in here for fact in lately[-3:])
    return faults[-1] if faults and told else None


def not_so_after_all(talk: Talk, made: Sequence[Fact]) -> None:
    """ "That cap I said was cracked, I've had it in the light and it's only a scratch, so it's fine": what is seen now of a fault
    that was spoken of again stands for it."""
    clause, recalled = talk.recalled
    if not recalled or talk.state.clause - clause > _SEEN_AGAIN:
        return
    for fact in made:
        was = recalled[-1]
        same = (fact.component, fact.position) == (was.component, was.position) and fact is not was
        seen = [token.norm for token in talk.draft.tokens[max(0, fact.end - _NO_MORE_THAN) : fact.end]]
        # not "that cap I said was cracked is loose too"
        after_all = fact.condition == "ok" or not _MERELY.isdisjoint(seen) or _taken_for(talk, was, fact)
        if same and after_all and fact.status == was.status == "present" and not (was.actions or fact.actions):
            fact.superseded = fact.superseded or was.superseded or f"{was.condition}, {was.status}"
            talk.story.drop(was)
            recalled[-1] = fact


def _taken_for(talk: Talk, was: Fact, fact: Fact) -> bool:
    """ "The cap I said was chipped, it's a crack": the one fault was taken for the other; "it's loose too" is a second one."""
    words = {token.norm for token in talk.draft.tokens[fact.start - 3 : fact.end + 2]}
    alike = any({was.condition, fact.condition} <= group for group in _ALIKE) and was.condition != fact.condition
    return alike and bool(words & _IT_IS) and not words & _AS_WELL


def another_was_it(talk: Talk, made: Sequence[Fact]) -> None:
    """ "Cap's cracked, no, that's the crown, the crown's cracked, so the cap's fine": the fault went to the part that has it."""
    for fact in made:
        if fact.condition != "ok" or fact.status != "present":
            continue
        for was in [f for f in talk.story.named(fact.component)[:4] if f.position == fact.position and f is not fact]:
            lately = was.status == "present" and not was.actions and was.clause >= talk.state.clause - _REVISED
            since = [f for f in talk.story.facts[-_REVISED:] if was.number < f.number < fact.number]
            moved = any(
                (f.condition, f.position, f.status) == (was.condition, was.position, "present")
                and f.component != was.component
                for f in since
            )
            if lately and moved and is_faulty(was):
                talk.story.drop(was)


def lights_but(talk: Talk, made: Sequence[Fact]) -> None:
    """ "He lights, but the flame's all up one side": that it lights only leads to what is wrong with its flame."""
    for fact in made:
        before = next((f for f in reversed(talk.story.facts[-4:]) if f.number < fact.number), None)
        if before is None or fact.component != "flame" or not is_faulty(fact) or before.component != "burner":
            continue
        lit = talk.draft.tokens[before.end - 1].norm in _LIT  # not "lights fine, but the flame's yellow"
        but = "but" in {token.norm for token in talk.draft.tokens[before.end : fact.end]}
        here = before.position == fact.position and before.clause >= talk.state.clause - 1
        if lit and but and here and before.condition == "ok" and before.status == "present" and not before.actions:
            talk.story.drop(before)


def same_of_its_part(talk: Talk, made: Sequence[Fact]) -> None:
    """ "Front burner the same again, injector partly blocked": which part of the burner has what the other one had."""
    for fact in made:
        if fact.component not in AT_BURNER - {"burner", "flame"} or not is_faulty(fact):
            continue
        for whole in [f for f in talk.story.facts[-4:] if f.component == "burner" and f.number < fact.number]:
            alike = (whole.condition, whole.position) == (fact.condition, fact.position) and LIKEWISE in whole.cues
            if alike and whole.clause >= talk.state.clause - 1:
                talk.story.drop(whole)


def to_the_hob(talk: Talk, said: Said) -> None:
    """ "Hob: front left tap stiff. Oven door's bent. Went back to the front left tap": a corner that was told of before."""
    for target in said.every:
        corner = target.places[0] if len(target.places or ()) == 1 and target.places else None
        if talk.state.appliance not in ("oven", "grill") or corner not in FOUR or target.appliance or target.size:
            continue
        ids = {name.id for name in target.names} & AT_BURNER
        told = (fact for part in ids for fact in talk.story.named(part) if fact.position == corner)
        if before := next((fact for fact in told if fact.appliance in ("hob", "cooker")), None):
            talk.state.appliance, talk.state.size = before.appliance, None
