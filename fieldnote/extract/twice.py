"""A talk without marks, read once more with the pauses that it most likely has. In: a draft whose findings are read. Out: the
same, its findings and doubted ones as both readings together bear them out.

What both read is surer, what only one reads is less sure: where a clause ends decides most of what goes wrong in such talk. Not
allowed to know: what was said.
"""

from dataclasses import replace

from fieldnote.extract import findings, pauses
from fieldnote.extract.confidence import FILED, READ_ONCE, READ_WITH_PAUSES
from fieldnote.extract.draft import Draft
from fieldnote.extract.figures import readings
from fieldnote.extract.phrases import mentions
from fieldnote.records import Finding

# measured on sets that nobody had read: by so much both readings together are righter than their mean, the first alone is
# wronger, and the second alone
BOTH, FIRST_ALONE, SECOND_ALONE = 0.05, -0.3, -0.5
_LEAST, _MOST = 0.01, 0.99
Told = tuple[str | None, ...]


def run(draft: Draft) -> None:
    """The step of the pipeline: weighs `findings` and `doubted` by a second reading, and adds what only that one reads surely."""
    if not pauses.run_on(draft.tokens):
        return
    again = Draft(draft.text, pauses.paused(draft.tokens, draft.mentions), draft.work, draft.appliance, draft.soft)
    if again.tokens == draft.tokens:
        return
    for step in (readings.measure, mentions.run, findings.run):
        step(again)
    first, second = _told(draft), _told(again)
    held = [_weighed(one, second.get(_what(one)), FIRST_ALONE, READ_ONCE) for one in (*draft.findings, *draft.doubted)]
    new = [
        _weighed(one, None, SECOND_ALONE, READ_WITH_PAUSES)
        for what, one in second.items()
        if what not in first and not any(_of_one_thing(one, other) for other in draft.findings)
    ]
    kept = [*held, *(one for one in new if one.confidence >= FILED)]
    kept.sort(key=lambda one: (one.evidence.start, one.evidence.end))
    draft.findings[:] = [one for one in kept if findings.trusted(one)]
    draft.doubted[:] = [one for one in kept if not findings.trusted(one)]


def _of_one_thing(one: Finding, other: Finding) -> bool:
    """Whether two findings say something of one part in the same words: then one of them is the other, read otherwise."""
    overlap = one.evidence.start < other.evidence.end and other.evidence.start < one.evidence.end
    return overlap and one.component == other.component


def _told(draft: Draft) -> dict[Told, Finding]:
    """What was read, the surest of each."""
    every = sorted((*draft.findings, *draft.doubted), key=lambda one: one.confidence)
    return {_what(one): one for one in every}


def _what(one: Finding) -> Told:
    return one.component, one.position, one.burner, one.condition, one.status


def _weighed(one: Finding, other: Finding | None, alone: float, how: str) -> Finding:
    """A finding as sure as it is by both readings; where only one has it, that is its first doubt."""
    sure = (one.confidence + other.confidence) / 2 + BOTH if other else one.confidence + alone
    sure = round(min(max(sure, _LEAST), _MOST), 3)
    *why, told = one.why
    doubts = told.rule.split() if other else [how, *told.rule.replace("no-doubt", "").split()]
    told = replace(told, value=f"{sure:.2f}", rule=" ".join(doubts))
    return replace(one, confidence=sure, why=(*why, told))
