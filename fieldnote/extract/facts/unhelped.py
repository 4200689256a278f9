"""Symptoms that go on behind work on another part. In: what a clause says, and the talk. Out: the symptoms told before, taken
out of what the clause says anew. Not allowed to know: how work is filed.
"""

from fieldnote.extract.clauses.said import MENDING, Said, Statement
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk

_LATE = 5  # clauses between a symptom and the work that did not help
_TOLD = 6  # facts among which it was told
_FIT = frozenset({"ok", "passed"})


def goes_on(talk: Talk, said: Said) -> list[Fact]:
    """ "Burner pops, injector was loose, nipped it up, still pops": the part is put right, what it was done for goes on."""
    out: list[Fact] = []
    for statement in list(said.statements):
        if (fact := _symptom(talk, said, statement)) is not None:
            said.statements.remove(statement)
            out.append(fact)
    if out:
        said.still = said.still and any("still" in statement.cues for statement in said.statements)
    return out


def keep(facts: list[Fact]) -> None:
    """Let them stand as they are seen now, after all that the work of the clause has put right."""
    for fact in facts:
        fact.turn("present", "still")


def _symptom(talk: Talk, said: Said, statement: Statement) -> Fact | None:
    """The symptom told before that a statement says goes on, where a fault of another part was worked on."""
    if "still" not in statement.cues or statement.denied or statement.hedged or statement.own:
        return None
    told = [
        fact
        for fact in talk.story.facts[-_TOLD:]
        if fact.condition in statement.condition_ids - _FIT and fact.status in ("present", "resolved")
    ]
    told = [fact for fact in told if fact.clause >= talk.state.clause - _LATE and not fact.worked]
    if not told or not _worked_between(talk, said, statement, told[-1]):
        return None
    return told[-1]


def _worked_between(talk: Talk, said: Said, statement: Statement, symptom: Fact) -> bool:
    """Whether another part's fault was told behind the symptom, and put right before it is said to go on."""
    jobs = [job for job in said.works if job.state == "done" and job.kind in MENDING and job.end <= statement.head]
    before = [one for one in said.statements if one is not statement and one.head < statement.head and not one.denied]
    if jobs and any(_of_another(one, symptom) and one.head < jobs[-1].start for one in before):
        return True
    own = {name.id for target in statement.targets for name in target.names}
    if jobs and before and symptom.component in own and symptom.clause < talk.state.clause:
        return True  # "fan's noisy, bearings were dry, oiled them, still noisy"
    lately = [fact for fact in talk.state.focus if fact is not symptom and fact.component != symptom.component]
    lately = [fact for fact in lately if fact.condition not in (None, "ok", "passed") and fact.start > symptom.start]
    faulty = [fact for fact in lately if fact.status in ("present", "resolved")]
    return bool(faulty) and (bool(jobs) or all(fact.worked for fact in faulty))


def _of_another(statement: Statement, symptom: Fact) -> bool:
    """Whether a fault is told of a part that is not the one with the symptom."""
    names = {name.id for target in statement.targets for name in target.names}
    return bool(names) and symptom.component not in names and not statement.condition_ids & {symptom.condition, "ok"}
