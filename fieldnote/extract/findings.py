"""Facts become findings. In: the mentions of a draft. Out: `contexts`, `findings`, and `doubted` ones, which are asked about."""

from fieldnote.extract import outcome
from fieldnote.extract.confidence import FILED, WEIGHED, table
from fieldnote.extract.draft import Context, Draft
from fieldnote.extract.facts.reader import Reader
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.signs import Watcher
from fieldnote.records import Finding, Why

_LEAKS = frozenset({"leaking"})
_GONE = frozenset({"resolved", "absent"})
_STATUS_RULES = frozenset(
    "no not hedge report past cured still work-done ok-after-work own-check again later corrected weighed".split()
)


def run(draft: Draft) -> None:
    """The step of the pipeline: reads the clauses, fills `contexts`, `findings` and `doubted`."""
    reader = Reader(draft)
    facts = reader.read()
    weighed = {fact.number: chance for fact, chance in outcome.weigh(draft.tokens, facts)}
    here = Context(reader.talk.state.appliance)
    draft.contexts.extend([here] * (len(draft.tokens) - len(draft.contexts)))
    watcher = Watcher(draft, facts)
    for fact in facts:
        finding = _finding(fact, draft, watcher, weighed.get(fact.number, 1.0))
        (draft.findings if trusted(finding) else draft.doubted).append(finding)


def trusted(finding: Finding) -> bool:
    """Whether a finding is filed; what is not, is asked about."""
    return finding.confidence >= FILED or filed_however_unsure(finding)


def filed_however_unsure(finding: Finding) -> bool:
    """A leak that was perhaps said is nothing to keep apart; one that was perhaps mended or not there is."""
    return finding.condition in _LEAKS and finding.status not in _GONE


def _finding(fact: Fact, draft: Draft, watcher: Watcher, weighed: float) -> Finding:
    """A finding of a fact; `weighed`: how likely its status is, where that is weighed and not read."""
    signs = list(watcher.signs(fact))
    sure = round(table().sure(signs, fact.status, fact.condition) * weighed, 3)
    return Finding(
        appliance=fact.appliance,
        component=fact.component,
        position=fact.position,
        burner=fact.burner,
        condition=fact.condition,
        status=fact.status,
        actions=tuple(fact.actions),
        confidence=sure,
        evidence=draft.evidence(fact.start, fact.end),
        unit=fact.unit,
        superseded=fact.superseded,
        why=(*_why(fact, draft), _doubts(fact, draft, signs, sure, [WEIGHED] if weighed < 1 else [])),
    )


def _why(fact: Fact, draft: Draft) -> tuple[Why, ...]:
    """For each field: which words and which rules decided it."""
    here = draft.evidence(fact.start, fact.end)
    rules = dict.fromkeys(fact.cues)
    place = "place-carried" if "place-carried" in rules else "place-said" if fact.position else "no-place-said"
    part = next((rule for rule in ("part-implied", "weak-name", "several-parts") if rule in rules), "named")
    status = next((rule for rule in reversed(fact.cues) if rule in _STATUS_RULES), "plain-statement")
    work = "work-implied" if fact.implied else "work-{}"
    return (
        Why("component", fact.component, part, here),
        Why("position", fact.position, place, here),
        Why("condition", fact.condition, "wording" if fact.condition else "work-without-condition", here),
        Why("status", fact.status, status, here),
        *(Why("action", f"{action.kind}/{action.state}", work.format(action.state), here) for action in fact.actions),
    )


def _doubts(fact: Fact, draft: Draft, signs: list[str], sure: float, others: list[str]) -> Why:
    """How sure, and which doubts lowered it: `others`, then those of the table, the heaviest first."""
    lowered = [*others, *table().against(signs, fact.status, fact.condition)]
    return Why("confidence", f"{sure:.2f}", " ".join(lowered) or "no-doubt", draft.evidence(fact.start, fact.end))
