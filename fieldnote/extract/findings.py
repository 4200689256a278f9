"""Facts become findings. In: the mentions of a draft. Out: `contexts` and `findings`."""

from fieldnote.extract.confidence import Doubter, table
from fieldnote.extract.draft import Context, Draft
from fieldnote.extract.facts.reader import Reader
from fieldnote.extract.facts.story import Fact
from fieldnote.records import Finding, Why

_STATUS_RULES = frozenset(
    "no not hedge report past cured still work-done ok-after-work own-check again later corrected".split()
)


def run(draft: Draft) -> None:
    """The step of the pipeline: reads the clauses, fills `contexts` and `findings`."""
    reader = Reader(draft)
    facts = reader.read()
    here = Context(reader.talk.state.appliance)
    draft.contexts.extend([here] * (len(draft.tokens) - len(draft.contexts)))
    doubter = Doubter(draft, facts)
    draft.findings = [_finding(fact, draft, doubter.doubts(fact)) for fact in facts]


def _finding(fact: Fact, draft: Draft, doubts: list[str]) -> Finding:
    return Finding(
        appliance=fact.appliance,
        component=fact.component,
        position=fact.position,
        burner=fact.burner,
        condition=fact.condition,
        status=fact.status,
        actions=tuple(fact.actions),
        confidence=table().sure(doubts),
        evidence=draft.evidence(fact.start, fact.end),
        unit=fact.unit,
        superseded=fact.superseded,
        why=(*_why(fact, draft), _doubts(fact, draft, doubts)),
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


def _doubts(fact: Fact, draft: Draft, doubts: list[str]) -> Why:
    """How sure, and what lowered it, the dearest first."""
    points = table().points
    lowered = sorted((doubt for doubt in doubts if points.get(doubt)), key=points.__getitem__)
    return Why(
        "confidence",
        f"{table().sure(doubts):.2f}",
        " ".join(lowered) or "no-doubt",
        draft.evidence(fact.start, fact.end),
    )
