"""Work that is told before or behind the fault it was done for.

In: the talk, what was told of a part. Out: facts with their work. Not allowed to know: words.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.said import MENDING, Statement
from fieldnote.extract.facts.faults import (
    is_faulty,
)
from fieldnote.extract.facts.story import SAFETY, Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.symptoms import MENDED_BY, SHOWING

_WAS_NOT = frozenset("wasnt werent hadnt had was".split())  # what opens a fault as it was before it came right


def told_ahead(talk: Talk, made: Sequence[Fact]) -> None:
    """ "Capped off the fire as the plate's missing": what was made safe is told right before what is wrong."""
    faults = [fact for fact in made if fact.status == "present" and is_faulty(fact)]
    for clause, appliance, job in talk.ahead if faults else ():
        if job.kind == "advise" and any(t.pause == "." for t in talk.draft.tokens[job.end - 1 : faults[0].start]):
            continue  # "told her to get somebody in. Vent's blocked."
        safe = job.kind in SAFETY | {"advise"} and clause >= talk.state.clause - 1
        if safe and appliance in (talk.state.appliance, None):
            faults[0].act(job.kind, job.state)
    if faults or (talk.ahead and talk.ahead[-1][0] < talk.state.clause - 1):
        talk.ahead.clear()


def explained(talk: Talk, statement: Statement, faults: Sequence[Fact]) -> None:
    """ "Was no spark, now sparks, lead wasn't pushed home": the cause of what has just come right is told behind it."""
    lead = talk.draft.tokens[max(0, statement.head - 3) : statement.head + 1]
    was = any(token.norm in _WAS_NOT for token in lead)
    if statement.denied or not was or "still" in statement.cues:
        return
    cured = [
        fact
        for fact in talk.story.facts[-6:]
        if fact.condition in SHOWING and fact.status == "resolved" and fact.clause == talk.state.clause - 1
    ]
    worked = [
        f for f in talk.story.facts[-6:] if f.worked and f.status == "resolved" and f.clause == talk.state.clause - 1
    ]
    for fact in faults:
        if (
            fact.status == "present" and fact.condition in SHOWING and not fact.worked
        ):  # "low rate set, it was going out"
            why = [one for one in worked if fact.condition in MENDED_BY.get(one.component or "", ())]
            if any(one.position in (fact.position, None) for one in why):
                fact.turn("resolved", "cured")
        mended = MENDED_BY.get(fact.component or "", frozenset())
        why = [
            one for one in cured if one.condition in mended and one.position in (fact.position, None) and not one.worked
        ]
        if why and fact.status == "present" and is_faulty(fact) and fact.condition not in SHOWING:
            fact.turn("resolved", "cured")


def told_after(talk: Talk, statement: Statement, faults: Sequence[Fact]) -> None:
    """ "Popped the lead back on, it had come off", "new hose, old one perished": work of which alone nothing could be filed
    was done for the fault that is told right behind it."""
    if statement.denied or not statement.pronoun or any(target.names for target in statement.targets):
        return
    for clause, _, job in talk.ahead:
        mends = job.kind in MENDING - {"remove"}  # what was taken off was taken off to be looked at
        done_for = mends and clause == talk.state.clause - 1 and (not job.bare or "old-one" in statement.cues)
        done_for = done_for and ("of-subject" not in job.cues or statement.past_tense)  # "set at two hundred, it's out"
        ids = {name.id for target in job.targets for name in target.names} if done_for else set()
        for fact in faults:
            if fact.component in ids and is_faulty(fact):
                fact.act(job.kind, job.state)
                if "since-work" not in statement.cues:
                    fact.turn("resolved", "work-done")
