"""Which of the faults told before are meant by a number, "the one" and "the other", "the stiff ones"; which "the other one at
the front" is. In: work or a part, and the talk. Out: the facts that it was done to; a corner. Not allowed to know: how work
changes a fact.
"""

from collections.abc import Sequence
from itertools import pairwise

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.said import MENDING, Job, Said
from fieldnote.extract.clauses.target import SIDE, Target
from fieldnote.extract.facts.faults import SUITS, is_faulty
from fieldnote.extract.facts.story import OPEN, Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.hob import FOUR
from fieldnote.extract.words.symptoms import CALLED_FOR, SHOWING

_THOSE = frozenset("them those these em".split())
_NUMBERS = {"two": 2, "pair": 2, "2": 2, "three": 3, "3": 3, "four": 4, "4": 4}
_BEFORE, _BEHIND = 6, 4  # words around work in which it is counted what it was done to
_AMONG = 12  # facts among which those are that are counted
_DONE = frozenset("done did sorted seen dealt attended".split())
_DOING = 4  # words between "I've done" and "the two stiff ones"
_FIRST, _SECOND = frozenset("one first".split()), frozenset("other second others".split())
_THE_ONE = frozenset("one ones".split())
_ROWS = {"front": "front", "back": "rear", "rear": "rear", "backs": "rear", "left": "left", "right": "right"}
_ROW_BEHIND = 4  # words behind "the other one" in which its row is named
_SEVERAL = frozenset("ones uns yins".split()) | _NUMBERS.keys()


def counted(talk: Talk, job: Job) -> list[Fact]:
    """ "Them two I've changed", "cleaned them two and greased them two": as many faults as are counted, those told last that the
    work can mend."""
    tokens = talk.draft.tokens
    before = [token.norm for token in tokens[max(0, job.start - _BEFORE) : job.start]]
    behind = [token.norm for token in tokens[job.end - 1 : job.end + _BEHIND]]
    number = _number(before) or _number(behind)
    if not number or any(target.names or target.places for target in job.targets) or job.kind not in MENDING:
        return []
    told = [f for f in talk.story.facts[-_AMONG:] if is_faulty(f) and f.appliance == talk.state.appliance]
    told = [fact for fact in told if fact.condition not in SHOWING] or told  # nobody works on a symptom
    mends = SUITS.get(job.kind, frozenset())
    suited = [fact for fact in told if fact.condition in mends]
    if len(suited) >= number and not all(fact.condition in mends for fact in told[-number:]):
        told = suited
    last = told[-number:]
    alike = len({fact.component for fact in last}) == 1 or len({fact.condition for fact in last}) == 1
    lately = all(fact.clause >= talk.state.clause - number - _BEHIND for fact in last)
    return last if len(last) == number and alike and lately else []


def _number(words: Sequence[str]) -> int:
    """How many "them two", "those three", "the two of them" are."""
    for first, second in pairwise(words):
        if first in _THOSE and second in _NUMBERS:
            return _NUMBERS[second]
    return next(
        (
            _NUMBERS[number]
            for number, of, those in zip(words, words[1:], words[2:], strict=False)
            if number in _NUMBERS and of == "of" and those in _THOSE
        ),
        0,
    )


def one_and_other(talk: Talk, job: Job, said: Said) -> list[Fact]:
    """ "Exchanger sooted and burner dirty, brushed the one and hoovered the other out": of two that were told, each its own."""
    jobs = [one for one in said.works if one.state == "done" and one.kind in MENDING]
    if len(jobs) != 2 or job not in jobs or any(t.names or t.places for one in jobs for t in one.targets):
        return []
    first, second = jobs
    if not _FIRST & _behind(talk, first, second.start) or not _SECOND & _behind(talk, second, said.end + _BEHIND):
        return []
    told = [f for f in talk.story.facts[-_AMONG:] if f.condition not in (None, "ok", "passed")]
    told = [f for f in told if f.status in OPEN | {"resolved"} and f.clause >= talk.state.clause - _BEHIND]
    runs = list(dict.fromkeys((fact.component, fact.condition) for fact in told))[-2:]
    if len(runs) != 2:
        return []
    turned = runs[0][1] in SUITS.get(second.kind, ()) and runs[1][1] in SUITS.get(first.kind, ())
    turned = turned and first.kind != second.kind
    run = runs[(job is second) != turned]
    return [fact for fact in told if (fact.component, fact.condition) == run]


def _behind(talk: Talk, job: Job, end: int) -> set[str]:
    """The words right behind work, up to another one."""
    return {token.norm for token in talk.draft.tokens[job.start : min(end, job.end + _BEHIND)]}


def other_of_its_row(talk: Talk, target: Target) -> str | None:
    """The corner beside the one told last in the row that is named behind "the other one"."""
    words = [token.norm for token in talk.draft.tokens[target.start : target.end + _ROW_BEHIND]]
    at = next((i for i, word in enumerate(words[:-1]) if word in _THE_ONE), len(words))
    row = next((_ROWS[word] for word in words[at + 1 : at + 1 + _ROW_BEHIND] if word in _ROWS), None)
    if row is None or words[at + 1] not in ("at", "on"):
        return None
    told = [f.position for f in talk.story.facts[-_AMONG:] if f.position in FOUR and row in f.position.split("-")]
    if not told or told[-1] is None:
        return None
    depth, side = told[-1].split("-")
    return f"{depth}-{SIDE[side]}" if row == depth else f"{SIDE[depth]}-{side}"


def those_done(talk: Talk, clause: Clause, said: Said) -> None:
    """ "And I've done the two stiff ones": what such a fault calls for was done to those that have it."""
    which = next((m for m in clause.mentions if m.kind == "which"), None)
    if which is None or said.works or said.statements or said.declined:
        return
    led = {token.norm for token in talk.draft.tokens[max(0, which.start - _DOING) : which.start]}
    told = [f for f in talk.story.facts[-_AMONG:] if f.status in OPEN and f.condition in {s.id for s in which.senses}]
    told = [f for f in told if f.component == told[-1].component and f.appliance == talk.state.appliance]
    if not told or not led & _DONE or led & {"not", "havent"}:
        return
    words = {token.norm for token in talk.draft.tokens[max(0, which.start - 1) : which.end + 1]}
    for fact in told if words & _SEVERAL else told[-1:]:
        fact.act(CALLED_FOR.get(str(fact.condition), "replace"), "done")
        fact.turn("resolved", "work-done")
