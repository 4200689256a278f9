"""What is so now and was not when the engineer came: "front left lights now, it didn't when I got here". In: a clause, the talk.
Out: the fault that it had, put right.

Not allowed to know: work.
"""

from dataclasses import replace

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.said import Statement
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts import stating
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.lexicon import Sense

_IT = frozenset("it they that she he".split())
_NOT = frozenset("didnt wasnt werent wouldnt couldnt hadnt".split())
_CAME = frozenset("got came arrived started turned walked first landed".split())
_BEFORE = (("before",), ("at", "first"), ("to", "start"), ("to", "begin"), ("first", "thing"), ("this", "morning"))
_NOW = frozenset({"now", "today"})
_REACH = 9  # words back to what is so now
# what a part did not do before it did what is told of it now
_LACKED = {
    "not-lighting": frozenset("lights light lighting lit catches catch catching fires".split()),
    "no-spark": frozenset("sparks spark sparking clicks ticks".split()),
    "not-holding": frozenset("holds hold holding stays stay staying".split()),
    "stiff": frozenset("turns turn turning moves move freely free".split()),
    "noisy": frozenset("quiet silent quieter silently".split()),
    "yellow-tipping": frozenset({"blue"}),
}


def not_so_then(talk: Talk, clause: Clause) -> bool:
    """Whether a clause says that what was just told to be so was not so before; the fault is filed as put right."""
    tokens = talk.draft.tokens
    first = next((m for m in clause.mentions if m.kind not in ("mark", "and", "but", "det")), clause.mentions[0])
    words = [token.norm for token in tokens[first.start : first.start + 6]]
    if len(words) < 3 or words[0] not in _IT or words[1] not in _NOT or clause.said or clause.named:
        return False
    came = words[2] == "when" and words[3:4] in (["i"], ["we"]) and bool(_CAME & set(words[4:5]))
    if not came and not any(tuple(words[2 : 2 + len(then)]) == then for then in _BEFORE):
        return False
    told = [token.norm for token in tokens[max(0, first.start - _REACH) : first.start]]
    at = next((at for at in range(len(told) - 1, -1, -1) if told[at] in _NOW), -1)
    fault = next((id_ for word in reversed(told[: max(at, 0)]) for id_, does in _LACKED.items() if word in does), None)
    if fault is None:
        return False
    fit = [f for f in talk.state.focus if f.clause == talk.state.clause - 1 and f.condition == "ok"]
    targets = [_at(fact.component, fact.position, fact.burner) for fact in fit] or list(talk.state.topic[-1:])
    if fault in ("not-lighting", "no-spark", "not-holding"):
        targets = [replace(target, names=()) if target.places or target.size else target for target in targets]
    for fact in fit:
        talk.story.drop(fact)
    start = max(0, first.start - len(told) + at - 2)
    statement = Statement((Sense("condition", fault),), start, first.start, targets, head=start, own=True)
    made = stating.facts_of(talk, statement, Mode()) if targets else []
    for fact in made:
        fact.turn("resolved", "not-so-then")
    talk.state.focus = tuple(made)
    return True


def _at(component: str | None, position: str | None, burner: str | None) -> Target:
    name = Sense("component", str(component), None, "strong")
    return Target((name,), (position,) if position else None, burner)
