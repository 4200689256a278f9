"""Which conditions of a clause say something of their own. In: a wording and its neighbours in the clause. Out: whether it is a
cause, a circumstance, a sound as it should be, the same said again. Not allowed to know: parts.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.phrases.mention import NOMINAL, Mention
from fieldnote.extract.words.lexicon import Sense

_PRAISE = frozenset("good nice lovely great grand fine proper decent".split())


def sounds_fit(head: Mention, after: Sequence[tuple[Mention, list[Mention], list[Mention]]]) -> bool:
    """ "Clicks fine", "hums along nicely": a sound that is as it should be."""
    said = (
        bool(after) and after[0][0].fit and not after[0][1] and after[0][0].start == head.end and not after[0][0].pause
    )
    return said and not head.fit and {sense.id for sense in head.senses} <= {"noisy", "constant-spark"}


def fit_alone(verb: Mention, adverb: Mention, named: bool) -> Mention:
    """ "Valve clicks fine": of what the verb can mean, that the part is fit; "fine" is said of any part that is named."""
    if not verb.fit or (not named and all(sense.id == "ok" for sense in verb.senses)):
        return verb
    return replace(verb, senses=(*(sense for sense in verb.senses if sense.id == "ok"), *adverb.senses))


_FOULED = frozenset({"blocked", "partly-blocked", "dirty"})


def of_the_cause(head: Mention, clause: Clause) -> bool:
    """ "Blocked with sludge": what did it is no second fault."""
    fouled = {sense.id for sense in head.senses} <= _FOULED
    if (head.owned or head.first in ("a", "an")) and not fouled:
        return False  # "rusted with a weep at the elbow"; but "blocked with a bit of foil"
    at = clause.mentions.index(head)
    before = [m for m in clause.mentions[max(0, at - 4) : at] if m.kind != "det"]
    if before and before[-1].kind == "condition" and before[-1].last == "with" and not (head.gap or head.fit):
        return True  # "chocka with slime"
    if before and before[-1].kind == "prep" and before[-1].first == "of":
        before = before[:-1]  # "bunged up with some sort of white powder"
    before = before[-2:]
    return (
        len(before) == 2
        and before[1].cause
        and before[1].kind == "prep"
        and before[0].kind == "condition"
        and not head.fit
    )


_OPENINGS = frozenset({"door", "lid", "window"})  # what slams


def circumstance(head: Mention, clause: Clause) -> bool:
    """ "Buzzes when it pulls in", "won't lift when you twist it": when something is so, beside what is so."""
    at = clause.mentions.index(head)
    if _where_it_was(at, clause):
        return True
    first = at - 1
    opening = first > 0 and clause.mentions[first].id in _OPENINGS and clause.mentions[first].kind == "component"
    while (head.fit or opening) and first > 0 and clause.mentions[first].kind in NOMINAL | {"det", "be"}:
        first -= 1  # "when the boiler fires up", "when the window was open"
    before = clause.mentions[first] if at else None
    if (
        before is None
        or before.kind != "when"
        or any(m.gap > 1 or m.pause for m in clause.mentions[first + 1 : at + 1])
    ):
        return False
    return any(m.kind in ("condition", "reading") for i, m in enumerate(clause.mentions) if i != at)


def _where_it_was(at: int, clause: Clause) -> bool:
    """ "Burnt where it's been tracking": what made it so, beside what is so."""
    row = clause.mentions[max(0, at - 3) : at]
    where = next((i for i, m in enumerate(row) if m.kind == "prep" and m.first == "where"), None)
    if where is None or not any(m.kind == "condition" for m in clause.mentions[: at - len(row) + where]):
        return False
    between = row[where + 1 :]
    return all(m.kind in ("pronoun", "be", "them") for m in between) and not any(m.gap > 1 or m.pause for m in between)


def goes_on(verb: Mention, adverb: Mention) -> bool:
    """Whether "fine" stands right behind a verb that says as much."""
    if not adverb.fit or verb.kind != "condition" or adverb.gap or adverb.pause:
        return False
    if not verb.fit:  # "a gap all the way round"
        return all(sense.of is not None for sense in adverb.senses) and adverb.first in ("all", "right", "round")
    return verb.senses[0].of is not None and adverb.senses[0].of is None


def said_twice(first: Mention, second: Mention) -> tuple[Sense, ...]:
    """ "Knocked skew": two wordings side by side that can mean one fault mean that one."""
    if first.kind != "condition" or second.kind != "condition" or second.gap or second.pause:
        return ()
    ids = {sense.id for sense in first.senses} & {sense.id for sense in second.senses} - {"ok", "passed"}
    return tuple(sense for sense in (*first.senses, *second.senses) if sense.id in ids)


def only_praises(first: Mention, second: Mention) -> bool:
    """ "Both good fat sparks": praise right before what is praised says nothing of its own."""
    alone = first.fit and first.first == first.last in _PRAISE and first.senses[0].of is None
    return alone and second.fit and not (second.gap or second.pause) and all(s.of is not None for s in second.senses)


def praised(verb: Mention, adverb: Mention) -> bool:
    """ "Smoke match pulled lovely": a test that was passed well was passed."""
    passed = verb.kind == "condition" and any(sense.id == "passed" for sense in verb.senses)
    return passed and adverb.fit and not adverb.gap and not adverb.pause
