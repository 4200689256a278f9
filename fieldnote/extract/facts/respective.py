"""Faults told one by one of places told one by one: "front left and rear left: knob cracked and cap chipped respectively". In:
the clause that says so, and the facts so far. Out: each fault at its own place only. Not allowed to know: which words say it.
"""

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk

_LATELY = 16  # facts among which those of one sentence are
_CLAUSES = 4  # clauses in which the faults were told


def respectively(talk: Talk, clause: Clause) -> None:
    """As many faults as places, each of which was filed at every place: the first is that of the first place, and so on."""
    if "in-order" not in clause.kinds():
        return
    told: dict[tuple[str | None, str | None], list[Fact]] = {}
    for fact in talk.story.facts[-_LATELY:]:
        if fact.clause > talk.state.clause - _CLAUSES:
            told.setdefault((fact.component, fact.condition), []).append(fact)
    rows = list(told.values())
    places = [fact.position for fact in rows[0]] if rows else []
    while rows and (len(places) < 2 or None in places):
        rows = rows[1:]  # what was told before of one place
        places = [fact.position for fact in rows[0]] if rows else []
    alike = all([fact.position for fact in facts] in (places, [None]) for facts in rows)
    if not alike or len(rows) != len(places) or len(set(places)) != len(places):
        return
    for facts, place in zip(rows, places, strict=True):
        for fact in facts:
            if fact.position is None:
                fact.position = place  # "have a cracked cap, a blocked jet and a stiff tap"
            elif fact.position != place:
                talk.story.drop(fact)
    talk.state.focus = tuple(fact for facts in rows for fact in facts if fact in talk.story.facts[-_LATELY:])
