"""What was told of a part is told otherwise in the next breath. In: a clause, the facts it made, the talk. Out: facts dropped or
turned. Not allowed to know: words that take back a place or a name, which are in `retracting`.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.facts.story import OPEN, Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.lexicon import lexicon
from fieldnote.extract.words.tokens import Token

_LATELY = 3  # clauses back to what is told otherwise
_THINKING = 8  # words from "I thought" to what was thought
_NOT = frozenset({"isnt", "not", "wasnt"})
_ARTICLES = frozenset("the its that this".split())
_DENYING = 12  # words from a denial to what is meant
_FIT = frozenset({"ok", "passed"})


def told_otherwise(talk: Talk, clause: Clause, made: Sequence[Fact]) -> None:
    """Facts of the last clauses that those of this one take the place of."""
    for fact in made:
        before = _same_part(talk, fact)
        if before is not None and (_no_fine(clause, before, fact) or _only_thought(talk, clause, before, fact)):
            fact.superseded = fact.superseded or f"{before.condition}, {before.status}"
            talk.story.drop(before)
    _not_that_one(talk, made)
    for fact in [*made, *talk.state.focus]:
        states = {action.state for action in fact.actions}
        if fact.status == "resolved" and fact.condition and states == {"declined"}:
            fact.turn("present", "declined")  # "he's changing it now. No, he's not, she doesn't want it changing"


def _not_that_one(talk: Talk, made: Sequence[Fact]) -> None:
    """ "Fan's noisy. No, it isn't the fan that's noisy, it's the pump": what was told of the one is not so."""
    for fact in made:
        if fact.condition in (None, *_FIT):
            continue
        row = talk.draft.tokens[max(0, fact.start - _DENYING) : fact.end]
        denied = {id_ for at, token in enumerate(row[:-2]) if token.norm in _NOT for id_ in _named(row, at + 1)}
        for before in talk.story.facts[-_THINKING:] if denied - {fact.component} else []:
            same = (
                before.component in denied and before.condition == fact.condition and before.component != fact.component
            )
            if same and before.clause >= talk.state.clause - _LATELY and before.status in OPEN and not before.actions:
                fact.superseded = fact.superseded or f"{before.component}"
                talk.story.drop(before)
                _not_fit(talk, fact)


def _not_fit(talk: Talk, fact: Fact) -> None:
    """ "Pump's all right. No, I tell a lie, it's the pump that's noisy": the praise of what it is goes too."""
    for before in talk.story.facts[-_THINKING:]:
        same = (before.component, before.position) == (fact.component, fact.position)
        if same and before.condition in _FIT and before.clause >= talk.state.clause - _LATELY:
            talk.story.drop(before)


def _named(row: Sequence[Token], at: int) -> set[str]:
    """What the part is called that stands behind a denial and its article."""
    hit = lexicon().at(row, at + 1) if row[at].norm in _ARTICLES else None
    return {sense.id for sense in hit.values if sense.kind == "component"} if hit else set()


def _same_part(talk: Talk, fact: Fact) -> Fact | None:
    """What was told last of the same part at the same place, and is open."""
    for before in reversed(talk.story.facts[-_THINKING:]):
        same = (before.component, before.position, before.appliance) == (fact.component, fact.position, fact.appliance)
        if before is not fact and same and before.clause >= talk.state.clause - _LATELY and before.condition:
            return before if before.status in ("present", "possible") and not before.actions else None
    return None


def _no_fine(clause: Clause, before: Fact, fact: Fact) -> bool:
    """ "Rear right's split as well, no, rear right's fine"."""
    first = next((m for m in clause.mentions if m.kind not in ("mark", "det")), clause.mentions[0])
    said_no = first.kind in ("correct", "deny") and first.first == "no"
    return said_no and fact.condition in _FIT and before.condition not in _FIT and fact.status == before.status


def _only_thought(talk: Talk, clause: Clause, before: Fact, fact: Fact) -> bool:
    """ "I thought the cap was dirty, but it's cracked": what was thought first and then seen to be another fault."""
    words = [token.norm for token in talk.draft.tokens[max(0, before.start - _THINKING) : before.end]]
    but = clause.joint == "but" or any(m.kind == "but" for m in clause.mentions)
    return but and "thought" in words and fact.condition not in (None, before.condition) and fact.status == "present"
