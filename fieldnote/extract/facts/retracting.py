"""What was just said is taken back, in the slot that is said anew. In: a correcting clause and the talk. Out: facts moved,
renamed, swapped or dropped. Not allowed to know: how a correction is recognised.
"""

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.said import Said
from fieldnote.extract.clauses.subjects import Target
from fieldnote.extract.facts import locating
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk


def correct(talk: Talk, said: Said, mode: Mode) -> bool:
    """Take back what was just said, in the slot that is said anew. True when nothing is left to do."""
    focus = [fact for fact in talk.state.focus if fact.clause >= talk.state.clause - 3]
    if not focus or said.earlier or _of_the_others(said):
        return False  # "hold on, that cap I said was cracked", "I mean the other three": not what was just said
    if mode.takes_all and not said.works:
        for fact in focus:
            talk.story.drop(fact)
        talk.state.focus = ()
        return not said.statements
    places = [place for target in said.subject for place in target.places or ()]
    names = [target for target in said.subject if target.names]
    if places and not names and not said.statements:
        _move_facts(focus, places)
        locating.note_places(talk, said)
        said.subject = []
        return not (said.works or said.cured)
    if said.statements or names:
        _replace_facts(talk, focus, said)
        if names and not said.statements and talk.state.topic:
            locating.note_places(talk, said)
            _rename(talk, focus, names)
            return not said.works
    return False


def _of_the_others(said: Said) -> bool:
    """Whether what is said is said of the rest, which leaves standing what was said of the one."""
    return any(t.group == "rest" or t.places == ("others",) for s in said.statements for t in s.targets)


def swap(talk: Talk) -> None:
    """ "No, other way round": the last two facts of one part change places."""
    facts = [fact for fact in talk.story.facts[-6:] if fact.position]
    for first in reversed(facts[:-1]):
        last = facts[-1]
        if first.component == last.component and first.position != last.position:
            first.position, last.position = last.position, first.position
            for fact in (first, last):
                fact.cues.append("corrected")
            return


def _move_facts(focus: list[Fact], places: list[str]) -> None:
    last = [fact for fact in focus if fact.position == focus[-1].position]
    for fact, place in zip(last, places * len(last), strict=False):
        fact.superseded = fact.superseded or f"{fact.position}"
        fact.position = place
        fact.cues.append("corrected")


def _rename(talk: Talk, focus: list[Fact], names: list[Target]) -> None:
    for fact in focus:
        component = names[0].component
        if component and not fact.actions:
            talk.story.drop(fact)
            fact.superseded = f"{fact.component}"
            fact.component = component
            if names[0].places:
                fact.position = names[0].places[0]
            talk.story.add(fact)


def _replace_facts(talk: Talk, focus: list[Fact], said: Said) -> None:
    """A new condition for the same part, or a new statement: the old one goes."""
    if not said.statements:
        return
    for fact in focus:
        if fact.clause >= talk.state.clause - 2 and not fact.actions:
            talk.story.drop(fact)
            talk.state.places = talk.state.places or ((fact.position,) if fact.position else None)
    talk.state.focus = ()
