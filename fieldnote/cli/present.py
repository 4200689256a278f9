"""A visit as plain lines for a terminal: readable over ssh, by a screen reader, in a pipe. In: a view. Out: text."""

from collections.abc import Iterator

from fieldnote.export import wording
from fieldnote.records import FollowUp, Line, Point, Result, VisitView

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
LISTS = {
    "finding": "Findings",
    "reading": "Readings",
    "declared": "Declared by the engineer",
    "procedure": "Done about it, as said",
    "followup": "Follow-ups",
}


def lines_of(view: VisitView) -> Iterator[str]:
    """Everything of a visit, most urgent first."""
    visit = view.visit
    known = [visit.work, *visit.appliances, visit.gas, visit.meter, visit.region]
    yield f"Visit {visit.ref}  {wording.day(view):%-d %B %Y}  {', '.join(k for k in known if k)}".rstrip()
    if visit.no_access:
        yield "No access: nobody in, or not let in"
    yield from _points(view, "emergency")
    for kind, heading in LISTS.items():
        yield from _list(view, kind, heading)
    yield from _results(view)
    for kind in HEADINGS:
        yield from _points(view, kind) if kind != "emergency" else ()
    yield from _rest(view)


def _list(view: VisitView, kind: str, heading: str) -> Iterator[str]:
    lines = [line for line in view.lines if line.kind == kind and line.state != "rejected"]
    if lines:
        yield ""
        yield f"{heading} ({len(lines)})"
    for line in lines:
        yield f"  {_said(line.current)}{_tail(line, view)}" if line.current else ""


def _said(said: wording.Said) -> str:
    return wording.followup(said) if isinstance(said, FollowUp) else wording.titled(said)


def _tail(line: Line, view: VisitView) -> str:
    """How sure, what was decided, and where it came from."""
    notes = [line.state] if line.state != "open" else []
    confidence = getattr(line.proposed, "confidence", None)
    notes += [f"{confidence:.2f}"] if confidence is not None else []
    notes += ["words doubtful"] if line.trace.doubtful else []
    photos = "".join(f", photo {wording.item_name(view, photo)}" for photo in line.photos)
    return (
        f"  <{', '.join(notes)}> [{wording.trace(line.trace, view)}{photos}]"
        if notes
        else f"  [{wording.trace(line.trace, view)}]"
    )


def result(done: Result) -> str:
    """One result as a line: values with doubt, verdict, limit."""
    values = "; ".join(wording.results(done))
    limit = f"; limit: {done.limit.text} [{done.limit.source}]" if done.limit else ""
    settle = f"; to settle it: {wording.settle(done)}" if done.settle else ""
    return f"{wording.calculation(done)}: {values or 'nothing worked out'}. {wording.verdict(done)}{limit}{settle}"


def _results(view: VisitView) -> Iterator[str]:
    if view.check.results:
        yield ""
        yield f"Worked out ({len(view.check.results)})"
    yield from (f"  {result(done)}" for done in view.check.results)


def _points(view: VisitView, kind: str) -> Iterator[str]:
    points = [point for point in view.check.points if point.kind == kind]
    if points:
        yield ""
        yield HEADINGS[kind]
    for point in points:
        yield from _point(point)


def _point(point: Point) -> Iterator[str]:
    yield f"  {point.text.removeprefix('tell the responsible person: ')}"
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
