"""A visit as plain lines for a terminal: readable over ssh, by a screen reader, in a pipe. In: a view. Out: text."""

from collections.abc import Iterator

from fieldnote.records import Action, Finding, Line, Point, Reading, Result, VisitView
from fieldnote.trade.vocabulary import vocabulary

HEADINGS = {
    "emergency": "First of all",
    "contradiction": "Does not add up",
    "unlikely": "Unlikely, look again",
    "tell": "To tell the responsible person",
    "question": "For the engineer to decide",
    "procedure-unsaid": "Unsafe situation: not yet said",
    "unsaid": "Still unsaid",
    "symptom": "What it may point to",
    "caution": "Cautions",
}


def lines_of(view: VisitView) -> Iterator[str]:
    """Everything of a visit, most urgent first."""
    visit = view.visit
    known = [visit.work, *visit.appliances, visit.gas, visit.meter, visit.region]
    yield f"Visit {visit.ref}  {visit.opened_at:%d %b %Y %H:%M}  {', '.join(k for k in known if k)}".rstrip()
    yield from _points(view, ("emergency",))
    yield from _findings(view)
    yield from _readings(view)
    yield from _said(view)
    yield from _results(view)
    yield from _points(view, tuple(kind for kind in HEADINGS if kind != "emergency"))
    yield from _rest(view)


def _findings(view: VisitView) -> Iterator[str]:
    lines = [line for line in view.lines if line.kind == "finding" and line.state != "rejected"]
    if lines:
        yield ""
        yield f"Findings ({len(lines)})"
    names = _names(view)
    for line in lines:
        assert isinstance(line.current, Finding)
        yield f"  {finding(line.current)}{_mark(line)}   [{_where(line, names)}]"


def finding(found: Finding) -> str:
    """One finding as a line of plain words."""
    words = vocabulary()
    place = " ".join(part.replace("-", " ") for part in (found.position, found.burner) if part)
    what = words.components.get(found.component or "", found.component or "not named")
    condition = words.conditions.get(found.condition or "", "")
    parts = [words.appliances.get(found.appliance or "", ""), place, what]
    text = ", ".join(part for part in parts if part)
    text += f": {condition}" if condition else ""
    text += f" ({words.statuses.get(found.status, found.status).lower()})"
    return text + (f"; {actions(found.actions)}" if found.actions else "")


def actions(done: tuple[Action, ...]) -> str:
    """Actions as words: "replace: needed, clean: done"."""
    return ", ".join(f"{vocabulary().actions[action.kind].lower()}: {action.state}" for action in done)


def reading(read: Reading) -> str:
    """One reading as a line of plain words."""
    label = vocabulary().quantities[read.quantity][0]
    value = f"{read.comparator or ''}{read.cubic_feet if read.cubic_feet is not None else read.value}"
    unit = "ft3" if read.cubic_feet is not None else ("" if read.unit == "1" else read.unit)
    place = ", ".join(
        p.replace("-", " ") for p in (read.appliance, read.position, read.burner, read.phase, read.basis) if p
    )
    return f"{label} {value} {unit}".rstrip() + (f" ({place})" if place else "")


def _readings(view: VisitView) -> Iterator[str]:
    lines = [line for line in view.lines if line.kind == "reading" and line.state != "rejected"]
    if lines:
        yield ""
        yield f"Readings ({len(lines)})"
    names = _names(view)
    for line in lines:
        assert isinstance(line.current, Reading)
        yield f"  {reading(line.current)}{_mark(line)}   [{_where(line, names)}]"


def _said(view: VisitView) -> Iterator[str]:
    words = vocabulary()
    headings = {"declared": "Declared by the engineer", "procedure": "Done about it, as said", "followup": "Follow-ups"}
    for kind, heading in headings.items():
        lines = [line for line in view.lines if line.kind == kind and line.state != "rejected"]
        if lines:
            yield ""
            yield heading
        for line in lines:
            name = getattr(line.current, "class_", None) or getattr(line.current, "kind", None) or line.current.step  # type: ignore[union-attr]
            due = getattr(line.current, "due_days", None)
            label = words.classes.get(name) or words.followups.get(name) or name.replace("-", " ")
            yield f"  {label}" + (f", in {due} days" if due is not None else "") + f'   "{line.current.evidence.text}"'  # type: ignore[union-attr]


def result(done: Result) -> str:
    """One result as a line: values with doubt, limit, verdict."""
    values = ", ".join(
        f"{name} {q.value} {'' if q.unit == '1' else q.unit}".rstrip() + (f" ±{q.plus_minus}" if q.plus_minus else "")
        for name, q in done.results.items()
    )
    verdict = done.verdict + (f" ({done.reason})" if done.reason else "")
    limit = f"; limit {done.limit.text} [{done.limit.source}]" if done.limit else ""
    return f"{done.name}: {values or 'nothing worked out'} -> {verdict}{limit}" + (
        f"; {done.settle}" if done.settle else ""
    )


def _results(view: VisitView) -> Iterator[str]:
    if view.check.results:
        yield ""
        yield "Worked out"
    for done in view.check.results:
        yield f"  {result(done)}"


def _points(view: VisitView, kinds: tuple[str, ...]) -> Iterator[str]:
    for kind in kinds:
        points = [point for point in view.check.points if point.kind == kind]
        if points:
            yield ""
            yield HEADINGS[kind]
        for point in points:
            yield from _point(point)


def _point(point: Point) -> Iterator[str]:
    yield f"  {point.text}"
    for number, step in enumerate(point.steps, 1):
        yield f"    {number}. {step}"


def _rest(view: VisitView) -> Iterator[str]:
    photos = [item for item in view.items if item.kind == "photo"]
    placed = sum(1 for placement in view.placements if placement.recording)
    yield ""
    if photos:
        yield f"Photos: {len(photos)}, of which {placed} placed on the talk"
    if view.waiting:
        yield f"Waiting: {len(view.waiting)} recordings not yet transcribed (fieldnote process)"
    yield from (f"Note: {problem}" for problem in view.problems)


def _names(view: VisitView) -> dict[str, str]:
    return {item.id: item.name for item in view.items}


def _where(line: Line, names: dict[str, str]) -> str:
    if line.trace.item is None:
        return "added by a person"
    at = f" {line.trace.from_second:.0f} s" if line.trace.from_second is not None else ""
    photos = "".join(f", photo {names.get(photo, photo)}" for photo in line.photos)
    return f"{names.get(line.trace.item, line.trace.item)}{at}{photos}"


def _mark(line: Line) -> str:
    said = line.proposed or line.current
    confidence = getattr(said, "confidence", 1.0)
    doubt = ", words doubtful" if line.trace.doubtful else ""
    return f"  <{line.state} {confidence:.2f}{doubt}>"
