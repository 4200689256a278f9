"""Facts become findings. In: the mentions of a draft. Out: `contexts` and `findings`."""

from fieldnote.extract.draft import Context, Draft
from fieldnote.extract.reader import Reader
from fieldnote.extract.story import Fact
from fieldnote.records import Finding


def run(draft: Draft) -> None:
    """The step of the pipeline: reads the clauses, fills `contexts` and `findings`."""
    reader = Reader(draft)
    facts = reader.read()
    here = Context(reader.state.appliance)
    draft.contexts.extend([here] * (len(draft.tokens) - len(draft.contexts)))
    draft.findings = [_finding(fact, draft) for fact in facts]


def _finding(fact: Fact, draft: Draft) -> Finding:
    return Finding(
        appliance=fact.appliance,
        component=fact.component,
        position=fact.position,
        burner=fact.burner,
        condition=fact.condition,
        status=fact.status,
        actions=tuple(fact.actions),
        confidence=0.9,
        evidence=draft.evidence(fact.start, fact.end),
        unit=fact.unit,
        superseded=fact.superseded,
        why=tuple(fact.why),
    )
