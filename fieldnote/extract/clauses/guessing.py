"""Which of what a clause says is only guessed. In: mentions of a clause. Out: yes or no.

Not allowed to know: facts.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.said import Said
from fieldnote.extract.clauses.subjects import targets
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.phrases.mention import NOMINAL, Mention

_INTO = frozenset("on onto in into at over under behind round through".split())
# first words of a guess that may stand before what is guessed
_LEADING_A_GUESS = frozenset("by from to in if unless as for going judging on it at presumably".split())


def guesses_first(clause: Clause) -> bool:
    """ "By the sound of it the fan's noisy", "to my mind the hose is perished": the words of a guess open the clause."""
    first = next((m for m in clause.mentions if m.kind not in ("det", "and", "but", "mark", "now")), None)
    return (
        first is not None and first.kind == "hedge-after" and first.first in _LEADING_A_GUESS and first.last != "first"
    )


def guesses_at_its_cause(clause: Clause, lead: Sequence[Mention], head: Mention) -> bool:
    """ "Fan's grumbling, bearings I reckon": what is wrong is heard, and only where it comes from is guessed."""
    at = next((i for i, m in enumerate(clause.mentions) if m.kind == "hedge-after" and m.start > head.start), 0)
    part = clause.mentions[at - 1] if at else None
    named = any(m.kind == "component" for m in lead) and head.kind == "condition" and not head.fit
    behind = part is not None and part.kind == "component" and not clause.mentions[at].gap
    return named and behind and clause.mentions[at - 2] is head


def part_guesses(said: Said, lead: Sequence[Mention]) -> None:
    """ "Might be the magnet or the thermocouple's weak": what stands before "or" is guessed by itself."""
    at = next((i for i, mention in enumerate(lead) if mention.kind == "or"), None)
    if at is None:
        return
    before, behind = targets(lead[:at]), targets(lead[at + 1 :])
    if not any(t.names for t in before) or not any(t.names for t in behind):
        return
    said.guessed = [t for t in before if t.names]
    for statement in said.statements:
        if statement.targets == said.subject:
            statement.targets, statement.hedged = behind, True
    said.subject = behind


def guessed_behind(clause: Clause, subject: Sequence[Target]) -> list[Target]:
    """ "So it's the gas valve more than likely": the guess stands right behind its part."""
    at = next(i for i, mention in enumerate(clause.mentions) if mention.kind == "hedge")
    hedge, part = clause.mentions[at], clause.mentions[at - 1] if at else None
    pointed = any(m.kind == "pronoun" for m in clause.mentions[:at])  # "that's the thermocouple, I reckon"
    alone = part is not None and part.kind == "component" and not hedge.gap and (pointed or not hedge.pause)
    ends = not any(m.kind in NOMINAL for m in clause.mentions[at:])
    return [target for target in subject if target.names][-1:] if alone and ends else []


def guessed(clause: Clause) -> list[Target]:
    """The parts behind a hedge."""
    at = next(i for i, mention in enumerate(clause.mentions) if mention.kind == "hedge")
    if any(m.kind == "be" and m.first in ("could", "can") for m in clause.mentions[at : at + 3]):
        return []  # "I thought I could smell gas at the meter"
    worked = next((i for i, m in enumerate(clause.mentions) if i > at and m.kind == "work"), None)
    behind = [m for m in clause.mentions[at:worked] if m.kind in NOMINAL or m.kind in ("prep", "and", "or", "one")]
    named = next((m.start for m in behind if m.kind == "component"), 0)
    if any(m.kind == "not" and m.start < named for m in clause.mentions[at + 1 :]):
        return []  # "might not have been the vessel after all"
    led = next((m for m in behind if m.kind in NOMINAL or m.kind == "prep"), None)
    if led is not None and led.kind == "prep" and led.gap and led.first in _INTO:
        return []  # "could be a bit of condense getting onto the terminal"
    return [target for target in targets(behind) if target.names]
