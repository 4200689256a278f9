"""What is still unsaid: checklists by kind of work, and the record of an unsafe situation. In: a case. Out: points and facts."""

from collections.abc import Iterator

from fieldnote.records import Point
from fieldnote.trade.checks.case import Case
from fieldnote.trade.knowledge import Checklist, ListPoint, Procedure, checklists, situations
from fieldnote.trade.tables import sources
from fieldnote.trade.vocabulary import vocabulary

NOT_LOOKED_AT = ("historical", "reported")


def checklist_of(work: str | None) -> Checklist | None:
    """The checklist for a kind of work, by its id or one of its names; None when there is none."""
    wanted = _plain(work or "")
    for row in checklists():
        if wanted in {_plain(name) for name in (row.id, row.title, *row.names)}:
            return row
    return None


def _plain(name: str) -> str:
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())


def unsaid(case: Case) -> Iterator[Point]:
    """The points of the checklist that nothing said so far answers."""
    found = checklist_of(case.work)
    if found is None:
        why = "no kind of work was named" if not case.work else f"no checklist is held for {case.work!r}"
        known = ", ".join(row.id for row in checklists())
        yield Point("unsaid", "work", f"{why}: nothing to compare with (known: {known})")
        return
    for row in found.points:
        if not is_said(case, row):
            yield Point("unsaid", f"{found.id}/{row.id}", row.text, row.cited())


def is_said(case: Case, row: ListPoint) -> bool:
    """Whether a finding looked at on this visit, a reading, an action or a step answers a point."""
    findings = [one for one in case.said.findings if one.status not in NOT_LOOKED_AT]
    return (
        any(one.component in row.by_component for one in findings)
        or any(one.quantity in row.by_quantity for one in case.said.readings)
        or any(action.kind in row.by_action for one in findings for action in one.actions)
        or any(step.step in row.by_step for step in case.said.procedure)
    )


def facts(case: Case) -> dict[str, str]:
    """What the check knows of itself: checklist, points said and unsaid, gas, meter, region, edition, day."""
    known = {"gas": case.gas, "meter": case.meter, "region": case.region, "edition": case.edition, "work": case.work}
    found = checklist_of(case.work)
    answered = {row.id: is_said(case, row) for row in found.points} if found else {}
    return {
        **{key: value for key, value in known.items() if value},
        "date": case.on.isoformat(),
        **({"checklist": found.id} if found else {}),
        "checklist-said": ", ".join(id_ for id_, said in answered.items() if said),
        "checklist-unsaid": ", ".join(id_ for id_, said in answered.items() if not said),
    }


def procedure(case: Case) -> Iterator[Point]:
    """What of the record of an unsafe situation is still unsaid, for each class that was declared."""
    classes = list(dict.fromkeys(row.class_ for row in case.said.declared))
    said = _steps_said(case)
    for row in situations().procedure:
        if row.class_ in classes:
            yield from _steps_unsaid(case, row, said)
    aloud = [step for step in case.said.procedure if step.step in _STEPS_OF_RECORD]
    if aloud and not classes:
        text = "steps of an unsafe situation were said, but no class: which one did you decide on?"
        yield Point("procedure-unsaid", "class", text, evidence=aloud[0].evidence)
    yield from _without_reference(case)


_STEPS_OF_RECORD = ("permission-refused", "label-attached", "notice-left", "notice-signed", "notice-refused")


def _steps_said(case: Case) -> set[str]:
    said = {step.step for step in case.said.procedure}
    done = {action.kind for one in case.said.findings for action in one.actions if action.state == "done"}
    return said | {step for step, kinds in situations().step_actions.items() if done & {*kinds}}


def _steps_unsaid(case: Case, row: Procedure, said: set[str]) -> Iterator[Point]:
    names, cited = situations().step_names, sources()[row.source].line()
    title = vocabulary().classes[row.class_].lower()
    refused = "permission-refused" in said
    wanted = [*row.steps, row.refused] if refused and row.refused else row.steps
    for step in wanted:
        options = step.split("/")
        if said & {*options} or (refused and options[0] in ("isolated", "disconnected")):
            continue
        text = f"{title}, still unsaid: {' or '.join(names[option] for option in options)}"
        yield Point("procedure-unsaid", f"{row.class_}/{options[0]}", text, cited)
    if row.report and case.region == situations().region:
        yield Point("question", f"{row.class_}/report", row.report, sources()[row.report_source].line())


def _without_reference(case: Case) -> Iterator[Point]:
    for step in case.said.procedure:
        if step.step in ("emergency-service-called", "supplier-called") and not step.reference:
            text = f"{situations().step_names[step.step]}: its reference is still unsaid"
            yield Point("procedure-unsaid", f"{step.step}/reference", text, evidence=step.evidence)
