"""The content of a report, before it has a look. In: a `VisitView`, particulars, a mask. Out: `Report`, plain text in rows.

Both the page and the PDF are made from this, so that they cannot differ in what they say. Words of the vocabulary and of
people only; never that an appliance is fit for use.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from fieldnote.export import wording
from fieldnote.export.masking import OPEN, RULE, Mask
from fieldnote.export.particulars import Particulars
from fieldnote.flow.points import counted, target_of
from fieldnote.records import (
    Decision,
    Declared,
    Finding,
    FollowUp,
    Line,
    Point,
    ProcedureStep,
    Reading,
    Result,
    VisitView,
)

NO_FORM = (
    "This is a record of one visit, made from what the engineer said and photographed. It is no official form, certificate or "
    "notice and takes the place of none. It does not say that any appliance is fit for use."
)
CAUTIONS = (
    "If you smell gas: no flames, no smoking, no switches on or off. Open doors and windows. Shut the gas off at the emergency "
    "valve, unless it is in a cellar or basement that smells: then leave. Get everyone out, call the gas emergency number of "
    "your area from outside, and do not turn the gas on again until it has been checked.",
    "If you feel unwell (headache, sickness, dizziness) while an appliance is on: go into fresh air first, then get medical "
    "help, and mention carbon monoxide.",
    "Gas work belongs to people who are licensed for it. Local codes and the maker's instructions come before this text.",
)


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo in the report: its item id, what a person who cannot see it is told, and its file with the time it was taken."""

    id: str
    alt: str
    caption: str
    source: str


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the visit. `number` is how the trace table names it."""

    number: int
    kind: str
    head: str
    place: str
    text: str
    actions: str
    state: str
    doubtful: bool
    trace: str
    words: str
    pictures: tuple[Picture, ...] = ()

    @property
    def line(self) -> str:
        """The whole line in one: part, place, what holds of it."""
        return f"{self.head} ({self.place}): {self.text}" if self.place else f"{self.head}: {self.text}"


@dataclass(frozen=True, slots=True)
class Section:
    """The findings of one appliance."""

    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Worked:
    """One calculation for a reader."""

    name: str
    results: tuple[str, ...]
    inputs: str
    formula: str
    verdict: str
    limit: str
    sources: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Report:
    """Everything a report says, in its order."""

    ref: str
    facts: tuple[tuple[str, str], ...]
    summary: tuple[str, ...]
    declared: tuple[str, ...]
    procedure: tuple[str, ...]
    urgent: tuple[str, ...]
    tell: tuple[str, ...]
    open_questions: tuple[str, ...]
    done: tuple[str, ...]
    needed: tuple[str, ...]
    declined: tuple[str, ...]
    followups: tuple[str, ...]
    sections: tuple[Section, ...]
    readings: tuple[Row, ...]
    others: tuple[Row, ...]
    worked: tuple[Worked, ...]
    hints: tuple[str, ...]
    usual: tuple[str, ...]
    unsaid: tuple[str, ...]
    pictures: tuple[Picture, ...]
    traces: tuple[Row, ...]
    problems: tuple[str, ...]
    particulars: Particulars = field(default_factory=Particulars)
    signature: str = ""
    cautions: tuple[str, ...] = CAUTIONS
    no_form: str = NO_FORM
    masked: str = ""


def build(
    view: VisitView,
    particulars: Particulars | None = None,
    mask: Mask = OPEN,
    answers: Mapping[str, Decision] | None = None,
) -> Report:
    """The content of the report of one visit. Lines that a person struck out are counted, not shown.

    `answers` are what people decided about points, by target (`flow.points`): what was said not to apply is named as such.
    """
    answers = answers or {}
    rows = _rows(view, mask)
    shown = {row.pictures for row in rows}
    at_lines = {picture.id for pictures in shown for picture in pictures}
    kept = [line for line in view.lines if holds(line)]
    return Report(
        ref=mask(view.visit.ref),
        facts=_facts(view, particulars or Particulars()),
        summary=tuple(_summary(view, kept)),
        declared=tuple(mask(_declared(line.current)) for line in kept if isinstance(line.current, Declared)),
        procedure=tuple(mask(wording.step(line.current)) for line in kept if isinstance(line.current, ProcedureStep)),
        urgent=tuple(line for point in view.check.points if point.kind == "emergency" for line in _steps(point)),
        tell=tuple(dict.fromkeys(mask(_untitled(point)) for point in view.check.points if point.kind == "tell")),
        open_questions=_points(view, mask, answers, "question", "contradiction", "unlikely", "procedure-unsaid"),
        done=_actions(kept, "done"),
        needed=_actions(kept, "needed"),
        declined=_actions(kept, "declined"),
        followups=tuple(mask(_due(line.current, view)) for line in kept if isinstance(line.current, FollowUp)),
        sections=_sections(view, rows),
        readings=tuple(row for row in rows if row.kind == "reading"),
        others=tuple(row for row in rows if row.kind not in ("finding", "reading")),
        worked=tuple(worked(result) for result in view.check.results),
        hints=_points(view, mask, answers, "symptom"),
        usual=_points(view, mask, answers, "caution"),
        unsaid=_points(view, mask, answers, "unsaid"),
        pictures=tuple(
            _picture(view, i.id, "", mask) for i in view.items if i.kind == "photo" and i.id not in at_lines
        ),
        traces=tuple(rows),
        problems=tuple(mask(problem) for problem in view.problems) + _waiting(view),
        particulars=particulars or Particulars(),
        signature=_signature(view, particulars or Particulars()),
        masked=RULE if mask.active else "",
    )


def holds(line: Line) -> bool:
    """Whether a line stands in the record as it is now."""
    return line.current is not None and line.state != "rejected"


def _facts(view: VisitView, particulars: Particulars) -> tuple[tuple[str, str], ...]:
    visit = view.visit
    pairs = (
        ("Visit", visit.ref),
        ("Date", wording.written(wording.day(view))),
        ("Kind of work", wording.spaced(visit.work)),
        ("Appliances", ", ".join(wording.label(name) for name in visit.appliances)),
        ("Gas", visit.gas or view.check.facts.get("gas", "")),
        ("Meter", visit.meter or view.check.facts.get("meter", "")),
        ("Access", "No access: nobody in, or not let in" if visit.no_access else ""),
        ("Engineer", particulars.name),
        ("Next visit due", wording.written(particulars.next_due)),
    )
    return tuple((name, value) for name, value in pairs if value)


def _summary(view: VisitView, kept: Sequence[Line]) -> list[str]:
    found = [line.current for line in kept if isinstance(line.current, Finding)]
    faults = [f for f in found if f.status == "present" and f.condition not in (None, "ok", "passed")]
    suspected = sum(f.status == "possible" for f in found)
    resolved = sum(f.status == "resolved" for f in found)
    unsaid = sum(point.kind == "unsaid" for point in view.check.points)
    unconfirmed = sum(line.state in ("open", "deferred") for line in kept)
    struck = sum(line.state == "rejected" for line in view.lines)
    sentences = [
        _count(len(faults), "fault was seen and left as it is", "faults were seen and left as they are"),
        _count(suspected, "fault is suspected", "faults are suspected"),
        _count(resolved, "thing was put right on this visit", "things were put right on this visit"),
        _count(unsaid, "point of the checklist was not spoken of", "points of the checklist were not spoken of"),
        _count(unconfirmed, "line has not been confirmed by a person", "lines have not been confirmed by a person"),
        _count(struck, "line was struck out by a person", "lines were struck out by a person"),
    ]
    return [sentence for sentence in sentences if sentence]


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}." if number else ""


def _declared(said: Declared) -> str:
    name = wording.label(said.appliance)
    return f"{name + ': ' if name else ''}{wording.label(said.class_)}, as declared by the engineer"


def _actions(kept: Sequence[Line], state: str) -> tuple[str, ...]:
    """What was done, is needed or was declined, part by part."""
    parts: dict[str, dict[str, None]] = {}
    for said in (line.current for line in kept):
        if isinstance(said, Finding):
            told = [wording.work(action.kind, state) for action in said.actions if action.state == state]
            parts.setdefault(wording.whose_part(said), {}).update(dict.fromkeys(told))
    return tuple(f"{part}: {'; '.join(told)}" for part, told in parts.items() if told)


def _due(said: FollowUp, view: VisitView) -> str:
    text, due = wording.followup(said), said.due(wording.day(view))
    return text if due is None else f"{text}: {due:%-d %B %Y}"


def _points(view: VisitView, mask: Mask, answers: Mapping[str, Decision], *kinds: str) -> tuple[str, ...]:
    points, among = [point for point in view.check.points if point.kind in kinds], counted(view)
    return tuple(mask(_point(point) + _answer(answers.get(target_of(point, among)))) for point in points)


def _answer(decision: Decision | None) -> str:
    """What a person said to a point: "rejected" means that it does not apply here."""
    if decision is None or decision.kind == "defer":
        return ""
    words = "does not apply here, says a person" if decision.kind == "reject" else "seen by a person"
    return f" [{words}{': ' + decision.reason if decision.reason else ''}]"


def _untitled(point: Point) -> str:
    """What is to be told, without saying again that it is to be told."""
    text = point.text.removeprefix("tell the responsible person: ")
    return text[:1].upper() + text[1:]


def _steps(point: Point) -> tuple[str, ...]:
    """What to do first, step by step. Nothing of it was dictated and the number to call is in it, so it is never masked."""
    return (point.text, *(f"{n}. {step}" for n, step in enumerate(point.steps, 1)))


def _point(point: Point, source: bool = True) -> str:
    steps = (
        (" " + " ".join(f"{n}. {step.rstrip('.')}." for n, step in enumerate(point.steps, 1))) if point.steps else ""
    )
    return f"{point.text}{steps}" + (f" [{point.source}]" if point.source and source else "")


def _rows(view: VisitView, mask: Mask) -> list[Row]:
    kept = [line for line in view.lines if holds(line)]
    return [_row(number, line, view, mask) for number, line in enumerate(kept, 1)]


def _row(number: int, line: Line, view: VisitView, mask: Mask) -> Row:
    said = line.current
    assert said is not None
    parts = _parts(said)
    return Row(
        number=number,
        kind=line.kind,
        head=parts[0],
        place=parts[1],
        text=mask(parts[2]),
        actions=wording.actions(said) if isinstance(said, Finding) else "",
        state=wording.state(line),
        doubtful=line.trace.doubtful and line.state == "open",
        trace=mask(wording.trace(line.trace, view)),
        words=mask(wording.said_words(line)),
        pictures=tuple(_picture(view, photo, wording.line(said), mask, f"No. {number}") for photo in line.photos),
    )


def _parts(said: wording.Said) -> tuple[str, str, str]:
    if isinstance(said, Finding):
        return wording.label(said.component) or "Unnamed part", wording.place(said), wording.condition(said)
    if isinstance(said, Reading):
        where = ", ".join(
            p for p in (wording.label(said.appliance), wording.place(said), wording.spaced(said.phase)) if p
        )
        return wording.label(said.quantity), where, wording.reading(said)
    if isinstance(said, Declared):
        return "Declared class", wording.label(said.appliance), wording.label(said.class_)
    if isinstance(said, FollowUp):
        return "Follow-up", "", wording.label_followup(said)
    return "Step taken", "", wording.step(said)


def _sections(view: VisitView, rows: Sequence[Row]) -> tuple[Section, ...]:
    titles: dict[str, list[Row]] = {}
    kept = [line for line in view.lines if holds(line)]
    for line, row in zip(kept, rows, strict=True):
        if isinstance(line.current, Finding):
            titles.setdefault(wording.appliance(line.current) or "Appliance not named", []).append(row)
    return tuple(Section(title, tuple(inside)) for title, inside in titles.items())


def worked(result: Result) -> Worked:
    """One calculation in a reader's words."""
    limit = result.limit
    return Worked(
        name=wording.calculation(result),
        results=wording.results(result),
        inputs=wording.inputs(result),
        formula=result.formula,
        verdict=wording.verdict(result),
        limit=" ".join(part for part in (limit.text, f"[{limit.source}]", limit.edition) if part) if limit else "",
        sources="; ".join(result.sources),
        notes=result.notes + ((f"To settle it: {wording.settle(result)}",) if result.settle else ()),
    )


def _picture(view: VisitView, photo: str, of: str, mask: Mask, number: str = "") -> Picture:
    item = next((one for one in view.items if one.id == photo), None)
    taken = f"taken {wording.moment(item.at)}" if item and item.at else "time not known"
    alt = f"Photo, {taken}" + (f", placed at: {of}" if of else ", placed at no line of this record")
    source = mask(f"{item.name if item else photo}, {taken}")
    return Picture(photo, mask(alt), f"{number}: {source}" if number else source, source)


def _waiting(view: VisitView) -> tuple[str, ...]:
    text = _count(
        len(view.waiting), "recording has not been listened to yet", "recordings have not been listened to yet"
    )
    return (text,) if text else ()


def _signature(view: VisitView, particulars: Particulars) -> str:
    if particulars.signature:
        return particulars.signature
    steps = {line.current.step for line in view.lines if holds(line) and isinstance(line.current, ProcedureStep)}
    return "refused" if "notice-refused" in steps else ""
