"""One visit as it stands now. In: a notebook. Out: `VisitView`, from which everything that a person sees is made."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from fieldnote.flow.check import Checker, day_of, question, stored
from fieldnote.flow.cues import Cue, cues_in
from fieldnote.flow.flags import flagged
from fieldnote.flow.hear import waiting
from fieldnote.flow.lines import decided, proposed
from fieldnote.flow.photos import at_lines, place
from fieldnote.flow.read import newest_extraction
from fieldnote.flow.talk import Source, Talk, transcripts
from fieldnote.notebook import Notebook
from fieldnote.records import (
    Check,
    Decision,
    Extraction,
    Item,
    Line,
    Placement,
    Transcript,
    Visit,
    VisitView,
    from_plain,
)

ON_TOP = frozenset({"decision", "handover", "check"})  # kinds of records that change nothing under the decisions
OUTDATED = "the results were worked out before the last decisions"


def view(notebook: Notebook, visit_id: str, checker: Checker | None = None) -> VisitView:
    """One visit, whole: what was proposed, decided, calculated, and what still waits.

    With `checker`, a check that was made before the last decisions is made anew for this view, without being kept.
    Raises UsageProblem FN-205 when there is no such visit.
    """
    return Watch(notebook, visit_id, checker).look()


@dataclass(frozen=True, slots=True)
class Ground:
    """What decisions are made on and none of them changes: what came in, its words, what was read out of them."""

    visit: Visit
    items: tuple[Item, ...]
    transcripts: Mapping[str, Transcript]
    extraction: Extraction
    proposed: tuple[Line, ...]
    placements: tuple[Placement, ...]
    cues: Mapping[str, Sequence[Cue]]
    waiting: tuple[str, ...]
    failed: tuple[str, ...]
    day: date


@dataclass(frozen=True, slots=True)
class Worked:
    """What follows from the lines that hold: the lines with their photos, the check, and what is wrong with it."""

    lines: tuple[Line, ...]
    check: Check
    problems: tuple[str, ...]


class Watch:
    """One visit, looked at after each decision: what lies under the decisions is read again only when something else than
    decisions was added to the notebook, by whichever process; what follows from the lines only when a line has changed."""

    def __init__(self, notebook: Notebook, visit_id: str, checker: Checker | None = None) -> None:
        self._notebook = notebook
        self._visit = notebook.visit(visit_id).id
        self._checker = checker
        self._newest = 0
        self._ground: Ground | None = None
        self._worked: Worked | None = None

    def look(self) -> VisitView:
        """The visit as it stands now."""
        self._newest, kinds = self._notebook.since(self._newest)
        if self._ground is None or kinds - ON_TOP:
            self._ground, self._worked = ground(self._notebook, self._visit), None
        under = self._ground
        lines, lost = decided(under.proposed, decisions(self._notebook, self._visit))
        if self._worked is None or _holding(lines) != _holding(self._worked.lines):
            self._worked = self._work_out(under, lines)
        photos = {line.id: line.photos for line in self._worked.lines}
        return VisitView(
            visit=under.visit,
            items=under.items,
            transcripts=under.transcripts,
            lines=tuple(replace(line, photos=photos[line.id]) for line in lines),
            placements=under.placements,
            check=self._worked.check,
            waiting=under.waiting,
            problems=(*lost, *self._worked.problems, *under.failed),
            day=under.day,
        )

    def _work_out(self, under: Ground, lines: list[Line]) -> Worked:
        placed = tuple(at_lines(lines, under.placements, under.cues))
        if self._checker is None or self._worked is None:  # later, a line has changed since what was kept
            kept = stored(self._notebook, under.visit, lines, under.extraction)
            if kept.fresh or self._checker is None:
                return Worked(placed, kept.check, (OUTDATED,) if lines and not kept.fresh else ())
        return Worked(placed, self._checker(question(lines, under.extraction)[0], under.visit, under.day), ())


def _holding(lines: Sequence[Line]) -> list[tuple[str, object, bool]]:
    """What results and the places of photos depend on: which lines there are, what each says, and whether it is struck out."""
    return [(line.id, line.current, line.state == "rejected") for line in lines]


def ground(notebook: Notebook, visit_id: str) -> Ground:
    """What lies under the decisions about a visit. Raises UsageProblem FN-205 when there is no such visit."""
    visit = notebook.visit(visit_id)
    items = notebook.items(visit.id)
    heard = transcripts(notebook, visit.id)
    extraction, lines = _read(notebook, visit.id, heard)
    return Ground(
        visit=visit,
        items=items,
        transcripts=heard,
        extraction=extraction,
        proposed=tuple(lines),
        placements=place(items, camera_offset(notebook, visit.id)),
        cues={recording: cues_in(transcript) for recording, transcript in heard.items()},
        waiting=tuple(item.id for item in waiting(notebook, visit.id, heard)),
        failed=(*_failed(notebook, visit.id), *flagged(items, heard)),
        day=day_of(notebook, visit),
    )


def lines_now(notebook: Notebook, visit: str) -> tuple[list[Line], Extraction, list[str]]:
    """The lines of a visit after all decisions, what the machine read, and what does not fit together."""
    extraction, read = _read(notebook, visit, transcripts(notebook, visit))
    lines, lost = decided(read, decisions(notebook, visit))
    return lines, extraction, lost


def _read(notebook: Notebook, visit: str, heard: Mapping[str, Transcript]) -> tuple[Extraction, list[Line]]:
    """The newest extraction of a visit and its lines before any decision."""
    newest = newest_extraction(notebook, visit)
    if newest is None:
        return Extraction(), []
    extraction = from_plain(Extraction, newest.payload["extraction"])
    sources = tuple(from_plain(Source, source) for source in newest.payload["sources"])
    held = {one.target for one in decisions(notebook, visit) if one.target}
    return extraction, proposed(extraction, Talk("", sources, heard), held)


def decisions(notebook: Notebook, visit: str) -> list[Decision]:
    """Every decision of a visit, oldest first, each with the id of its record."""
    entries = [entry for entry in notebook.entries(kind="decision", visit=visit) if entry.payload]
    return [from_plain(Decision, entry.payload | {"id": entry.id}) for entry in entries]


def camera_offset(notebook: Notebook, visit: str) -> timedelta:
    """Machine clock minus camera clock, as last measured for this visit; nothing when it never was."""
    measured = [entry.payload for entry in notebook.entries(kind="camera-offset", visit=visit) if entry.payload]
    return timedelta(seconds=float(measured[-1]["seconds"])) if measured else timedelta()


def _failed(notebook: Notebook, visit: str) -> list[str]:
    failed = [entry for entry in notebook.entries(kind="step-failed", visit=visit) if entry.payload]
    names = {item.id: item.name for item in notebook.items(visit)}
    return [f"{names.get(entry.item or '', entry.item)}: {entry.payload['reason']}" for entry in failed]
