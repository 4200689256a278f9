"""The one of several of which it is only said that it does not ("all four light bar the back left"). In: a clause and the talk.
Out: its fault, or what is said of it. Not allowed to know: work.
"""

from dataclasses import replace

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.comparing import copy
from fieldnote.extract.clauses.said import Said, Statement
from fieldnote.extract.clauses.subjects import targets
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts import filing
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.facts.trying import words_of
from fieldnote.extract.words.hob import FOUR
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import OPPOSITES

_DOING = ("not-holding", "not-lighting", "no-spark")
# words behind it with which it is told what it does instead
_TELLING = frozenset("which that thats who its it and but where whose".split())
_BY_CAUSE = frozenset("because cos cause coz seeing".split())
_TOO = 3  # clauses in which more of them are left out
_PRESENT = frozenset("there present correct".split())
_DOES_NOT = frozenset("doesnt dont wont isnt arent didnt not".split())
_GOING = frozenset({"going", "away"})  # how a burner that lights is said to be
_BURNER = (Sense("component", "burner", None, "strong"),)


def which_does_not(talk: Talk, clause: Clause) -> list[Statement]:
    """ "All light except the rear left, which doesn't": the opposite of what was said last, of what was left out of it."""
    row = [m for m in clause.mentions if m.kind not in ("det", "mark", "but", "and")]
    at, left_out = talk.left_out
    if at != talk.state.clause - 1 or [m.kind for m in row] != ["pronoun", "not"] or row[1].last not in _DOES_NOT:
        return []
    told = copy(row[1], [], [], list(left_out), set())
    told.verb = "does-not"
    return [told] if left_out else []


def does_not(talk: Talk, said: Said, made: list[Fact], mode: Mode) -> list[Fact]:
    """ "All four spark except the rear right": there is none at that one."""
    last = said.statements[-1] if said.statements else None
    left = (last.left_out or said.excepted) if last is not None else []
    if last is None or len(left) != 1 or last.denied or last.condition_ids != {"ok"} or not made:
        return []
    lacking = _lacking(talk, last)
    place = left[0].places[0] if left[0].places and len(left[0].places) == 1 else None
    if lacking is None or place is None or left[0].size or _goes_on(talk, left[0], last):
        return []
    part = made[-1].component
    if part not in ("burner", "electrode", "flame"):
        return []
    names = _BURNER if part == "flame" else (Sense("component", part, None, "strong"),)
    told = replace(last, senses=(Sense("condition", lacking),), left_out=[])
    status = mode.status_of(told)
    target = replace(left[0], names=names)
    return [filing.file(talk, names[0].id, lacking, place, target, status, told, mode)]


def left_out_too(talk: Talk, said: Said, made: list[Fact]) -> list[Fact]:
    """ "Knobs all good bar the back left that's split and the front right, that's missing": the second one was praised as one of
    all the others."""
    praised = [fact for fact in made if fact.condition == "ok" and fact.position in FOUR]
    if praised and (said.excepted or any(one.left_out for one in said.statements)):
        talk.praised_but = talk.state.clause, tuple(praised)
    elif praised and len(praised) > 1 and len({fact.component for fact in praised}) == 1:
        talk.praised = talk.state.clause, tuple(praised)
    lead = {token.norm for token in talk.draft.tokens[max(0, said.start - 1) : said.start + 1]}
    only = "only" in lead and talk.praised[0] == talk.state.clause - 1
    at, others = talk.praised if only else talk.praised_but
    if talk.state.clause - at > _TOO:
        return made
    for fact in made:
        if fact.condition in (None, "ok", "passed") or fact.status != "present":
            continue
        for one in others:
            if (one.component, one.position) == (fact.component, fact.position) and not one.worked:
                talk.story.drop(one)
                made = [other for other in made if other is not one]
    return made


def not_among_them(talk: Talk, clause: Clause, said: Said) -> None:
    """ "All the caps are there except the front left": that one is not there."""
    row, tokens = clause.mentions, talk.draft.tokens
    at = next((at for at, m in enumerate(row) if m.kind == "except"), 0)
    named = [m for m in row[:at] if m.kind == "component"]
    there = {token.norm for token in tokens[max(0, row[at].start - 3) : row[at].start]} & _PRESENT
    left = targets(row[at + 1 :]) if len(named) == 1 and there and not row[at].pause else []
    if len(left) != 1 or left[0].names or not (left[0].places or left[0].size):
        return
    behind = tokens[left[0].end : left[0].end + 1]
    if behind and tokens[left[0].end - 1].pause != "." and behind[0].norm in _TELLING:
        return  # "all present bar the back left, that's melted"
    gone = [replace(left[0], names=named[0].senses)]
    missing = (Sense("condition", "missing"),)
    said.statements.append(
        Statement(
            missing, row[at].start, left[0].end, gone, head=row[at].start, own=True, words=row[at].end - row[at].start
        )
    )


def _lacking(talk: Talk, statement: Statement) -> str | None:
    """What is wrong with a burner that does not do what the others do."""
    words = set(words_of(talk, statement))
    lacking = next((condition for condition in _DOING if OPPOSITES[condition] & words), None)
    return lacking or ("not-lighting" if words & _GOING else None)


def _goes_on(talk: Talk, left: Target, statement: Statement) -> bool:
    """Whether the sentence goes on to tell what the one left out does."""
    end = max(left.end, statement.head + statement.words)
    behind = talk.draft.tokens[end : end + 1]
    if {token.norm for token in talk.draft.tokens[end : end + 5]} & _BY_CAUSE:
        return False  # "everything sparks bar the rear left, and that's only because its lead's off"
    return bool(behind) and talk.draft.tokens[end - 1].pause != "." and behind[0].norm in _TELLING


def heads_a_list(talk: Talk, clause: Clause) -> bool:
    """ "Not in good order: the grille was half obstructed": a verdict that heads what follows is said of nothing before it."""
    row, tokens = clause.mentions, talk.draft.tokens
    alone = len(row) == 1 and row[0].kind == "condition" and clause.joint == "."
    return alone and row[0].first in ("not", "less") and tokens[row[0].end - 1].pause == ","
