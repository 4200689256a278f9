"""Work of which no fault was told, done once more at another place. In: the facts told last, "the same". Out: the jobs there.

Not allowed to know: how likeness is recognised.
"""

import itertools

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.said import Statement
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts import filing
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.lexicon import Sense

_JOBS = 5  # pieces of work at one place that "the same" can repeat


def done_there_too(talk: Talk, before: Fact, statement: Statement) -> list[Fact]:
    """ "Front right's thermocouple I changed, and the one behind it, same job": work of which no fault was told."""
    places = [place for target in statement.targets for place in target.places or () if not target.names]
    if before.condition is not None or not before.worked or before.position in places:
        return []
    row = itertools.takewhile(
        lambda one: one.condition is None and one.worked and one.position == before.position and one.component,
        reversed(talk.story.facts[-_JOBS:]),
    )  # "rear right tap greased and injector cleaned, exactly the same on the rear left"
    out: list[Fact] = []
    for one in reversed(list(row) if before is talk.story.facts[-1] else [before]):
        part = (Sense("component", str(one.component), None, "strong"),)
        for place in places:
            target = Target(part, (place,))
            told = filing.file(talk, str(one.component), None, place, target, "resolved", statement, Mode())
            for action in one.actions:
                told.act(action.kind, action.state)
            out.append(told)
    return out
