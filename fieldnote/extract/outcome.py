"""What became of a fault, as the words in, before and behind it weigh. In: the words of a talk, and its facts as the rules left
them. Out: faults that are turned from present to resolved; none that may be a danger.

The rules know the ways to tell work that they were taught; people tell it in others ("ran a knife round it and it opens"). What
words and what facts mostly stand behind a fault that was put right, and behind one that was left, is counted: the weights are
data (cues/outcome.txt), fitted by `tests/benchmarks/outcome.py` on what the rules made of texts that nobody had read.
Not allowed to know: limits; what a word means.
"""

import functools
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from importlib import resources

from fieldnote.extract.confidence import Table, strict
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.words.tokens import Token

SIDES = frozenset({"present", "resolved"})
_FIT = frozenset({None, "ok", "passed", "not-fitted"})  # of these there is nothing to put right
SURE = 0.6  # so likely it has to be that a fault was put right
# what may be a danger is never turned: there only words count that a rule knows
_GRAVE = frozenset("leaking failed unstable lifting expired missing inadequate".split())
_GRAVE_PARTS = frozenset(
    "flue terminal catchment closure-plate case-seal ventilation hose bayonet joint pipework gas-valve "
    "isolation-valve emergency-control meter regulator relief-valve pressure-switch heat-exchanger stability-bracket co-alarm "
    "fsd magnet-unit lid".split()
)
# making safe, putting off: nothing is mended by that, whatever else stands there
_NOT_MENDED = frozenset(
    "isolated isolate disconnected disconnect capped label labelled tagged ordered order quote quoted advised told still wont "
    "cant couldnt needs wants same photo".split()
)
_LOOKED_AT = 15  # words behind a fault
_DECIDED = frozenset(
    {"still", "own-check", "for-now", "again"}
)  # rules that heard how it is now, after all that was tried
_FAR = 40  # words behind a fault
_BEYOND = 25  # words behind it that are looked at past two other parts
_NEAR, _NEXT = 4, 12
_BEFORE = 3
_STEP, _STEPS = 4, 5  # words between two facts are counted in steps


def open_to_doubt(fact: Fact) -> bool:
    """Whether a fact is a fault that was either left or put right."""
    return fact.status in SIDES and fact.condition not in _FIT


class Weigher:
    """Names what stands round the faults of one talk."""

    def __init__(self, tokens: Sequence[Token], facts: Sequence[Fact]) -> None:
        self._tokens = tokens
        self._facts = sorted(facts, key=lambda fact: fact.start)
        self._starts = [fact.start for fact in self._facts]

    def signs(self, fact: Fact) -> Iterator[str]:
        """What speaks for the fault being put right or left."""
        yield f"part:{fact.component}"
        yield f"corrected:{fact.superseded is not None}"
        yield from (f"rule:{cue}" for cue in dict.fromkeys(fact.cues))
        for action in fact.actions:
            yield f"act:{action.kind}/{action.state}"
        if not fact.actions:
            yield "act:none"
        for word in {token.norm for token in self._tokens[fact.start : fact.end]}:
            yield f"says:{word}"
        for token in self._tokens[max(fact.start - _BEFORE, 0) : fact.start]:
            yield f"before:{token.norm}"
        yield from self._other_facts(fact)
        yield from dict.fromkeys(self._words_behind(fact))

    def _other_facts(self, fact: Fact) -> Iterator[str]:
        at = bisect_left(self._starts, fact.end)
        behind = self._facts[at : at + 1]
        if not behind:
            yield "last"
            yield f"to-the-end:{min((len(self._tokens) - fact.end) // _STEP, _STEPS)}"
        for other in behind:
            yield f"next:{_beside(fact, other)}"
            yield f"next:{other.component}"
            yield f"next:{other.condition}/{other.status}"
            yield f"to-the-next:{min((other.start - fact.end) // _STEP, _STEPS)}"
        at = bisect_left(self._starts, fact.start)
        for other in self._facts[max(at - 1, 0) : at]:
            yield f"after:{_beside(fact, other)}"
            yield f"after:{other.condition}/{other.status}"

    def _words_behind(self, fact: Fact) -> Iterator[str]:
        """The words up to the next fact of another part or place, those up to the second one, and some beyond."""
        at = bisect_left(self._starts, fact.end)
        here = (fact.component, fact.position, fact.burner)
        others = [one.start for one in self._facts[at : at + 6] if (one.component, one.position, one.burner) != here]
        first, second = [*others, 1 << 30, 1 << 30][:2]
        last = "^"
        for n, token in enumerate(self._tokens[fact.end : fact.end + _FAR], fact.end):
            zone = "own" if n < first else "next" if n < second else "far"
            if zone == "far" and n > fact.end + _BEYOND:
                break
            yield f"{zone}:{token.norm}"
            yield f"{zone}:{last} {token.norm}"
            near = 0 if n < fact.end + _NEAR else 1 if n < fact.end + _NEXT else 2
            yield f"{zone}-{near}:{token.norm}"
            last = token.norm
            if token.pause:
                yield f"{zone}:{last} {token.pause}"
                last = token.pause


def _beside(fact: Fact, other: Fact) -> str:
    same = "same-part" if fact.component == other.component else "other-part"
    there = "there" if fact.position == other.position else "elsewhere"
    return f"{same}-{there}-{other.status}-{'worked' if other.worked else 'not-worked'}"


@functools.cache
def table() -> Table:
    """The table as it ships."""
    return strict(resources.files("fieldnote.extract").joinpath("cues/outcome.txt").read_text("utf-8").splitlines())


def weigh(tokens: Sequence[Token], facts: Sequence[Fact]) -> list[tuple[Fact, float]]:
    """Turn the faults that were put right, as the words tell, though no rule knows them. Out: each of these with how likely."""
    weigher = Weigher(tokens, facts)
    left = [fact for fact in facts if open_to_doubt(fact) and fact.status == "present" and _may_turn(fact, tokens)]
    chances = [table().sure(dict.fromkeys(weigher.signs(fact)), fact.status, fact.condition) for fact in left]
    turned = [(fact, chance) for fact, chance in zip(left, chances, strict=True) if chance > SURE]
    for fact, _ in turned:
        fact.turn("resolved", "weighed")
    return turned


def may_be_grave(component: str | None, condition: str | None) -> bool:
    """Whether a fault may be a danger, so that only words that a rule knows may call it put right."""
    return condition in _GRAVE or component in _GRAVE_PARTS


def _may_turn(fact: Fact, tokens: Sequence[Token]) -> bool:
    if not _DECIDED.isdisjoint(fact.cues) or may_be_grave(fact.component, fact.condition):
        return False
    return _NOT_MENDED.isdisjoint(token.norm for token in tokens[fact.end : fact.end + _LOOKED_AT])
