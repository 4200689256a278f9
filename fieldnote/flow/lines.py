"""The lines of a visit: what the machine proposed with people's decisions folded on top.

A line's id is made of where its words stand and what they were first read as, so that reading the same words again gives the
same id and an earlier decision stays with its line.
"""

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import replace
from decimal import Decimal, InvalidOperation
from typing import Any

from fieldnote.errors import UsageProblem
from fieldnote.flow.talk import Talk
from fieldnote.records import (
    Action,
    Decision,
    Declared,
    Evidence,
    Extraction,
    Finding,
    FollowUp,
    Line,
    ProcedureStep,
    Reading,
    Trace,
    digest,
)
from fieldnote.trade.vocabulary import vocabulary

Said = Finding | Reading | Declared | FollowUp | ProcedureStep
IDENTITY = {
    "finding": ("component", "position", "burner", "condition"),
    "reading": ("quantity", "value", "phase"),
    "declared": ("class_",),
    "followup": ("kind",),
    "procedure": ("step",),
}
STATE_AFTER = {
    "accept": "accepted",
    "accept-sure": "accepted",
    "amend": "amended",
    "reject": "rejected",
    "defer": "deferred",
}


def line_id(kind: str, said: Said, trace: Trace) -> str:
    """The stable id of a line."""
    parts = [kind, trace.item, trace.start, trace.end, *(str(getattr(said, name)) for name in IDENTITY[kind])]
    return f"{kind[0]}-{digest(parts)[:10]}"


def proposed(extraction: Extraction, said: Talk, held: Collection[str] = ()) -> list[Line]:
    """The lines of an extraction before any decision, each kind in the order in which it was said. A doubted finding is a line
    only where its id is `held`: somebody decided on it when it was not doubted yet."""
    doubted = (one for one in extraction.doubted if line_id("finding", one, said.trace(one.evidence)) in held)
    kinds: tuple[tuple[str, tuple[Said, ...]], ...] = (
        ("finding", (*extraction.findings, *doubted)),
        ("reading", extraction.readings),
        ("declared", extraction.declared),
        ("followup", extraction.followups),
        ("procedure", extraction.procedure),
    )
    lines = []
    for kind, records in kinds:
        for record in records:
            trace = said.trace(record.evidence)
            lines.append(Line(line_id(kind, record, trace), kind, record, record, "open", trace))
    return lines


def decided(lines: Iterable[Line], decisions: Iterable[Decision]) -> tuple[list[Line], list[str]]:
    """Fold decisions over lines, oldest first. Also returns one sentence for each decision whose line is no longer read."""
    table = {line.id: line for line in lines}
    lost = []
    for decision in _standing(list(decisions)):
        if decision.kind == "add":
            table[f"a-{decision.id}"] = _added(decision)
        elif decision.target in table:
            table[decision.target] = _after(table[decision.target], decision)
        elif decision.target and not decision.target.startswith("point:"):
            lost.append(f"a decision ({decision.kind}) speaks of line {decision.target}, which is no longer read")
    return list(table.values()), lost


def _standing(decisions: list[Decision]) -> list[Decision]:
    taken_back = {decision.target for decision in decisions if decision.kind == "undo"}
    return [d for d in decisions if d.kind != "undo" and d.id not in taken_back]


def _after(line: Line, decision: Decision) -> Line:
    current = line.current
    if decision.kind == "amend" and current is not None:
        current = amended(current, decision.changes)
    return replace(line, current=current, state=STATE_AFTER[decision.kind], decisions=(*line.decisions, decision))


def _added(decision: Decision) -> Line:
    kind = decision.changes.get("line", "finding")
    record = amended(_blank(kind, decision.reason), {k: v for k, v in decision.changes.items() if k != "line"})
    return Line(f"a-{decision.id}", kind, None, record, "added", Trace(None, 0, 0), (decision,))


def _blank(kind: str, words: str) -> Said:
    evidence = Evidence(words, 0, len(words))
    blanks: dict[str, Said] = {
        "finding": Finding(None, None, None, None, None, "present", (), 1.0, evidence),
        "reading": Reading("", Decimal(0), "", None, None, None, None, 1.0, evidence),
        "declared": Declared("", None, evidence),
        "followup": FollowUp("", None, evidence),
        "procedure": ProcedureStep("", None, evidence),
    }
    if kind not in blanks:
        raise UsageProblem("FN-201", what="adding a line", reason=f"there is no kind of line called {kind}")
    return blanks[kind]


def amended(record: Said, changes: Mapping[str, str]) -> Said:
    """A record with fields changed by text, as a person gives them: empty for none, "clean/done, replace/needed" for actions.

    Raises UsageProblem FN-201 when a field is not known or a value is no id of the vocabulary.
    """
    values = {}
    for name, text in changes.items():
        name = "class_" if name == "class" else name
        if not hasattr(record, name) or name in ("evidence", "why", "confidence", "superseded"):
            raise UsageProblem("FN-201", what=f"changing {name}", reason="there is no such field on this line")
        values[name] = _parse(name, text.strip())
    if isinstance(record, Reading) and "quantity" in values:
        values["unit"] = vocabulary().quantities[values["quantity"]][1]
    return replace(record, **values)


def _parse(name: str, text: str) -> Any:
    if name == "actions":
        return tuple(_action(part) for part in text.split(",") if part.strip())
    if not text:
        return None
    try:
        if name in ("value", "cubic_feet", "start_value"):
            return Decimal(text)
        if name == "due_days":
            return int(text)
    except (InvalidOperation, ValueError):
        raise UsageProblem("FN-201", what=f"{name} = {text}", reason="that is no number") from None
    return _known(name, text)


def _action(text: str) -> Action:
    kind, _, state = text.strip().partition("/")
    state = state or "done"
    if kind not in vocabulary().actions or state not in ("done", "needed", "declined"):
        raise UsageProblem(
            "FN-201", what=f"the action {text.strip()}", reason="give it as KIND/done, needed or declined"
        )
    return Action(kind, state)


POSITIONS = ("front-left front-right rear-left rear-right centre left right front rear all others").split()
BURNERS = "auxiliary semi-rapid rapid wok grill oven".split()


def _known(name: str, text: str) -> str:
    words = vocabulary()
    tables: dict[str, Callable[[], Iterable[str]]] = {
        "appliance": lambda: words.appliances,
        "component": lambda: words.components,
        "condition": lambda: words.conditions,
        "status": lambda: words.statuses,
        "quantity": lambda: words.quantities,
        "class_": lambda: words.classes,
        "kind": lambda: words.followups,
        "position": lambda: POSITIONS,
        "burner": lambda: BURNERS,
        "phase": lambda: ("as-found", "as-left"),
    }
    if name in tables and text not in tables[name]():
        raise UsageProblem("FN-201", what=f"{name} = {text}", reason="that is no id of the vocabulary")
    return text


def standing(lines: Iterable[Line]) -> tuple[Extraction, dict[str, list[str]]]:
    """What holds now, as an extraction, and for each kind the ids of its lines in that order: what `check` is asked about."""
    kept = [line for line in lines if line.current is not None and line.state != "rejected"]
    ids: dict[str, list[str]] = {kind: [line.id for line in kept if line.kind == kind] for kind in IDENTITY}

    def of(kind: str) -> tuple[Any, ...]:
        return tuple(line.current for line in kept if line.kind == kind)

    extraction = Extraction(of("finding"), of("reading"), of("declared"), of("followup"), of("procedure"))
    return extraction, ids
