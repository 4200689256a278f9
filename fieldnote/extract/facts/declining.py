"""Somebody does not want the work. In: a clause that says so, and the talk. Out: the work that was asked for or offered, as
declined; where none was named, the work that such a fault calls for. Not allowed to know: what the work is done for.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.said import Said
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts.faults import is_faulty
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.facts.worked import with_its_other_faults
from fieldnote.extract.words.symptoms import CALLED_FOR, SHOWING

_ALL = frozenset("either both them any neither".split())
_ONE = frozenset({"one", "new", "another"})
_WHO = frozenset(
    "he she they hes shes theyre customer tenant landlord landlady agent owner lady husband wife office".split()
)
_LATELY = 2  # clauses back to the fault that nobody will pay for


def declined(talk: Talk, said: Said, made: Sequence[Fact]) -> None:
    """The customer does not want it: the work asked for last is declined."""
    words = {token.norm for token in talk.draft.tokens[said.start : said.end + 3]}
    every = bool({token.norm for token in talk.draft.tokens[said.start : said.end]} & _ALL)
    if any(work.state == "declined" for work in said.works) and not every:
        return
    facts = list(made) or (_by_subject(talk, said.subject) if said.subject else []) or list(talk.state.focus)
    if every:
        facts = [*facts, *talk.story.facts[-6:]]  # "she won't have either of them done"
    turned = False
    for fact in with_its_other_faults(talk, facts):
        for action in fact.actions:
            if action.state == "needed":
                fact.act(action.kind, "declined")
                fact.cues.append("declined")
                turned = True
    if facts and words & _ONE and facts[-1].status == "present" and not facts[-1].actions:
        facts[-1].act("replace", "declined")  # "cap's warped, customer doesn't want one"
    elif not turned:
        _left_as_it_is(talk, said, made, words)


def _left_as_it_is(talk: Talk, said: Said, made: Sequence[Fact], words: set[str]) -> None:
    """ "Glass cracked, the owner says leave it", "stat's twenty over, he don't want it touching", "the spindle she won't pay
    for": no work is named, but what such a fault calls for."""
    if any(work.kind != "advise" for work in said.works) or ("bothered" in words and not words & _WHO):
        return  # "cap's chipped, not bothered about that": the engineer himself
    lately = [fact for fact in talk.story.facts[-4:] if fact.clause >= talk.state.clause - _LATELY]
    named = {name.id for target in said.every for name in target.names} if not made else set()
    if named:
        lately = [fact for fact in talk.story.facts[-8:] if fact.component in named]
    last = lately[-1] if lately else None
    if last is None or not is_faulty(last) or last.status != "present" or last.condition in SHOWING | {"failed"}:
        return
    if any(action.kind != "advise" for action in last.actions):
        return
    for fact in lately:  # at all its places
        if (fact.clause, fact.component, fact.condition) == (last.clause, last.component, last.condition):
            fact.act(CALLED_FOR.get(str(fact.condition), "replace"), "declined")
            fact.cues.append("declined")


def _by_subject(talk: Talk, subject: Sequence[Target]) -> list[Fact]:
    out: list[Fact] = []
    for target in subject:
        if target.component:
            facts = talk.story.named(target.component)
            places = target.places
            out += [
                fact
                for fact in facts
                if (not places or fact.position in places)
                and (not target.size or fact.burner == target.size)
                and any(action.state == "needed" for action in fact.actions)
            ][:1]
    return out
