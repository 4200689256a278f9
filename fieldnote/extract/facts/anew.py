"""What was told is told anew: of another place, part, or of all. In: a clause and the talk. Out: facts moved or renamed.

Not allowed to know: words that take back, which are in `retracting`.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.said import Said
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts.story import OPEN, Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.phrases.mention import Mention

LATELY = 16  # facts that a correction can reach
_PARTS = 6  # facts among which the part is that is told anew
_AGO = 6  # clauses back to it
_BY_THE_WAY = frozenset("det mark and or but one prep be own hedge pause".split())
_EVERYTHING = frozenset("everything all whatever what".split())
_TELLING = frozenset("said told gave called".split())
_IT_IS = frozenset("its thats it that".split())
_IT_WAS = frozenset("he she hes shes".split())
_WHICH = frozenset("that thats which whats what as whose".split())
_BETWEEN = 5  # facts and clauses over which the part of a fault is named anew
_WRONG_SIDE = frozenset("side way end round back".split())  # of an appliance, on which somebody stood
_POINTING = frozenset("pronoun not correct take-back deny".split())


def all_placed_anew(talk: Talk, clause: Clause, said: Said) -> bool:
    """ "Everything I said for the back left, that's the front right, and the back right's the front left": the facts told
    at the one place move to the other. True when nothing else is said."""
    at = [i for i, m in enumerate(clause.mentions) if m.kind == "place"]
    places = [clause.mentions[i].id for i in at]
    moved = dict(zip(places[::2], places[1::2], strict=False))
    if len(places) % 2 or not moved or not _speaks_of_all(talk, clause, at[-1]):
        return False
    end = clause.mentions[at[-1]].end
    behind = [one for one in said.statements if one.head > end], [one for one in said.works if one.start > end]
    if len(said.statements) > len(behind[0]) or len(said.works) > len(behind[1]):
        return False
    for fact in talk.story.facts:
        if fact.position in moved and fact.appliance == talk.state.appliance:
            fact.superseded, fact.position = fact.superseded or f"{fact.position}", moved[fact.position]
            fact.cues.append("corrected")
    more = bool(behind[0] or behind[1])  # "so what I called front left is the rear right, so jet's cleaned"
    talk.state.places, talk.state.focus = None if more else (places[-1],), ()
    said.subject = [replace(t, places=None, group=None) for t in said.subject if t.names and t.end > end]
    for statement in said.statements:
        statement.targets = [replace(target, places=None, group=None) for target in statement.targets]
    for work in said.works:
        work.targets = [replace(target, places=None, group=None) for target in work.targets]
    return not more


def another_part(talk: Talk, clause: Clause, said: Said) -> None:
    """ "It isn't the tap, it's the knob that's stiff": what was told of the one part is the other's, no more told of it."""
    row = [m for m in clause.mentions if m.kind not in _BY_THE_WAY | {"correct"}]
    row = row[1:] if row and row[0].kind == "place" else row
    if [m.kind for m in row[:4]] != ["pronoun", "not", "component", "pronoun"] or row[3].first not in ("its", "thats"):
        return
    if len(row) == 4 or row[4].kind != "component" or row[1].gap or row[2].gap > 1:
        return
    ids = {one for statement in said.statements if not statement.denied for one in statement.condition_ids}
    wrong = {sense.id for sense in row[2].senses} - {sense.id for sense in row[4].senses}
    for statement in said.statements:
        left = (replace(t, names=tuple(n for n in t.names if n.id not in wrong)) for t in statement.targets)
        statement.targets = [t for t, was in zip(left, statement.targets, strict=True) if t.names or not was.names]
    for fact in talk.story.facts[-LATELY:]:
        told = fact.component in wrong and fact.condition in ids and fact.status in ("present", "possible")
        if told and not fact.actions and fact.appliance == talk.state.appliance:
            talk.story.drop(fact)


def is_the_one(talk: Talk, clause: Clause, said: Said) -> bool:
    """ "Crown's chipped, injector's clear. I lie, it's the cap that's chipped": the fault is the cap's and no more the crown's,
    over what was told between."""
    row = [m for m in clause.mentions if m.kind not in _BY_THE_WAY]
    at = next((i for i, m in enumerate(row) if m.kind == "component"), 0)
    if [m.kind for m in row[at : at + 2]] != ["component", "pronoun"] or len(said.statements) != 1:
        return False
    if not at or row[at - 1].last not in _IT_IS | _IT_WAS or row[at + 1].first not in _WHICH or row[at + 1].gap:
        return False
    ids, part = said.statements[0].condition_ids - {"ok", "passed"}, row[at].id
    told = [fact for fact in talk.story.facts[-_BETWEEN:] if fact.condition in ids and fact.component != part]
    told = [fact for fact in told if fact.status == "present" and fact.clause >= talk.state.clause - _BETWEEN]
    told = [fact for fact in told if not fact.actions and fact not in talk.state.focus]
    here = [fact for fact in told if not talk.state.places or fact.position in (None, *talk.state.places)]
    fit = [fact for fact in talk.story.facts[-_BETWEEN:] if (fact.component, fact.condition) == (part, "ok")]
    for fact in [*here[-1:], *(fact for fact in fit if here and fact.position == here[-1].position)]:
        talk.story.drop(fact)
    return bool(here)


def _speaks_of_all(talk: Talk, clause: Clause, last: int) -> bool:
    """Whether a clause is about all that was said of a place, and names no part before its `last` place."""
    start, end = max(0, clause.mentions[0].start - 6), clause.mentions[-1].end
    words = [token.norm for token in talk.draft.tokens[start:end]]
    told = (set(words[at + 1 : at + 6]) for at, word in enumerate(words) if word in _EVERYTHING)
    return any(rest & _TELLING for rest in told) and not any(m.kind == "component" for m in clause.mentions[:last])


def placed_anew(talk: Talk, clause: Clause, said: Said) -> bool:
    """ "That isn't the rear right, that's the rear left", "it's front right, not front left": what was just told is moved."""
    turned = any(m.kind == "swap" for m in clause.mentions)
    if not said.subject and any(m.kind == "correct" and m.last in _WRONG_SIDE for m in clause.mentions):
        where = {fact.position for fact in talk.state.focus if fact.position}
        if len(where) == 1:  # "hang on, I'm stood round the wrong side of it. That's the right one."
            talk.misplaced = (talk.state.clause, where.pop())
    full = [m for m in clause.mentions if m.kind not in _BY_THE_WAY | {"swap"}]
    row = _without_its_part(talk, full)
    places = [m for m in row if m.kind == "place"]
    if said.statements or said.works or len(row) == len(places) or len(row) > 7 or row[0].kind not in _POINTING:
        return False
    if {m.kind for m in row} - _POINTING - {"place"} or len({m.id for m in places}) != len(places):
        return False
    denying = ("not",) if any(m.kind == "not" for m in row) else ("correct",)
    denied = [m.id for before, m in pairwise(row) if before.kind in denying and m.kind == "place"]
    if len(places) == 1 and denied:
        talk.misplaced = (talk.state.clause, denied[0])
        return False
    wrong = denied[0] if denied else places[0].id if places else ""
    recalled = [fact.position for fact in talk.state.focus if "earlier" in fact.cues and fact.position]
    if len(places) == 1 and recalled:
        wrong = recalled[-1] or ""  # "I said front right cracked, it's rear left"
    if len(places) == 1 and turned and talk.state.focus:
        wrong = talk.state.focus[-1].position or ""  # "I'm stood the wrong way round, that's the back left"
    if len(row) < len(full) and [m.kind for m in row] == ["correct", "pronoun", "place"]:
        wrong = _told_last(talk, full[-1])  # "I tell a lie, that was the rear right injector"
    if len(places) == 1 and talk.misplaced[0] >= talk.state.clause - 2:
        wrong = talk.misplaced[1]
    right = next((m.id for m in places if m.id != wrong), "")
    told = _just_told_at(talk, wrong) if right and wrong else []
    for fact in told:
        fact.superseded, fact.position = fact.superseded or f"{fact.position}", right
        fact.cues.append("corrected")
    if told:
        talk.state.places, said.subject = (right,), []
    return bool(told)


def _without_its_part(talk: Talk, row: list[Mention]) -> list[Mention]:
    """ "Correction: that was the rear left flame, not the rear right": the part in talk, named once more behind a place."""
    told = {fact.component for fact in talk.story.facts[-_PARTS:]}
    return [
        m
        for at, m in enumerate(row)
        if not (at and m.kind == "component" and row[at - 1].kind == "place" and told & {s.id for s in m.senses})
    ]


def _told_last(talk: Talk, part: Mention) -> str:
    """Where a part was that was told a moment ago, if it was at one corner."""
    ids = {sense.id for sense in part.senses}
    lately = talk.story.facts[-_PARTS:]
    told = [fact.position for fact in lately if fact.component in ids and fact.clause >= talk.state.clause - _AGO]
    return told[-1] or "" if told else ""


def part_anew(talk: Talk, clause: Clause, said: Said) -> bool:
    """ "It isn't the heat exchanger after all, it's the pump union, nipped it up": the fault that was just told is the other
    part's, with the work that follows. True when nothing is left to do."""
    row = [m for m in clause.mentions if m.kind not in _BY_THE_WAY]
    at = next((i for i, m in enumerate(row) if m.kind == "not"), 0)
    named = row[at - 1 : at + 4]
    if [m.kind for m in named] != ["pronoun", "not", "component", "pronoun", "component"] or said.statements:
        return False
    wrong, right = named[2], named[4]
    if named[3].first not in _IT_IS or right.id == wrong.id or right.gap or not (wrong.strong and right.strong):
        return False
    told = [fact for fact in talk.story.facts[-LATELY:] if fact.component == wrong.id and fact.status in OPEN]
    told = [fact for fact in told if fact.condition not in ("ok", "passed") and not fact.worked]
    if not told:
        return False
    for fact in told:
        talk.story.drop(fact)
    first = told[0]
    first.superseded, first.component, first.actions = first.superseded or wrong.id, right.id, []
    first.cues.append("corrected")
    talk.state.focus, said.subject = (talk.story.add(first),), []
    for work in said.works:
        work.targets = []
    return not (said.works or said.cured)


def _just_told_at(talk: Talk, place: str) -> list[Fact]:
    """The facts told last, as far back as they are at one place."""
    told: list[Fact] = []
    for fact in reversed(talk.story.facts[-8:]):
        if fact.position and (
            fact.clause < talk.state.clause - 5 or place not in (fact.position, *fact.position.split("-"))
        ):
            break
        told += [fact] if fact.position else []
    return told


def named_again(focus: Sequence[Fact], target: Target, clause: Clause) -> bool:
    """ "Correction, that was the rear left cap": the part that was just told, named once more with its right place."""
    row = [m.kind for m in clause.mentions if m.kind not in ("det", "mark", "be")]
    alone = row[:1] == ["correct"] and set(row[1:]) <= {"correct", "pronoun", "place", "component"}
    return alone and bool(target.places) and all(f.component in {n.id for n in target.names} for f in focus)


def work_elsewhere(focus: Sequence[Fact], clause: Clause, said: Said) -> None:
    """ "Spindle was bent, straightened it. My mistake, it was the rear left I straightened": only the place is told anew."""
    job = said.works[0] if len(said.works) == 1 else None
    before = [t for t in said.subject if job and t.end <= job.start and len(t.places or ()) == 1]
    it_was = any(m.kind in ("pronoun", "be") for m in clause.mentions) and "also" not in clause.kinds()
    if job is None or not it_was or job.targets or said.statements or len(before) != 1 or len(said.subject) != 1:
        return
    done = any((action.kind, action.state) == (job.kind, "done") for action in focus[-1].actions)
    if done and job.state == "done" and (not before[0].names or focus[-1].component in {n.id for n in before[0].names}):
        said.subject, said.works = [replace(before[0], names=())], []
