"""One visit as it stands now. In: a notebook. Out: `VisitView`, from which everything that a person sees is made."""

from datetime import timedelta

from fieldnote.flow.check import Checker, day_of, question, stored
from fieldnote.flow.hear import waiting
from fieldnote.flow.lines import decided, proposed
from fieldnote.flow.photos import at_lines, place
from fieldnote.flow.read import newest_extraction
from fieldnote.flow.talk import Source, Talk, transcripts
from fieldnote.notebook import Notebook
from fieldnote.records import Decision, Extraction, Line, VisitView, from_plain


def view(notebook: Notebook, visit_id: str, checker: Checker | None = None) -> VisitView:
    """One visit, whole: what was proposed, decided, calculated, and what still waits.

    With `checker`, a check that was made before the last decisions is made anew for this view, without being kept.
    Raises UsageProblem FN-205 when there is no such visit.
    """
    visit = notebook.visit(visit_id)
    lines, extraction, problems = lines_now(notebook, visit.id)
    items = notebook.items(visit.id)
    heard = transcripts(notebook, visit.id)
    placements = place(items, camera_offset(notebook, visit.id))
    checked = stored(notebook, visit, lines, extraction)
    result = checked.check
    if not checked.fresh and checker is not None:
        result = checker(question(lines, extraction)[0], visit, day_of(notebook, visit))
    elif not checked.fresh and lines:
        problems.append("the results were worked out before the last decisions")
    return VisitView(
        visit=visit,
        items=items,
        transcripts=heard,
        lines=tuple(at_lines(lines, placements, heard)),
        placements=placements,
        check=result,
        waiting=tuple(item.id for item in waiting(notebook, visit.id)),
        problems=(*problems, *_failed(notebook, visit.id)),
        day=day_of(notebook, visit),
    )


def lines_now(notebook: Notebook, visit: str) -> tuple[list[Line], Extraction, list[str]]:
    """The lines of a visit after all decisions, what the machine read, and what does not fit together."""
    newest = newest_extraction(notebook, visit)
    if newest is None:
        lines, lost = decided([], decisions(notebook, visit))
        return lines, Extraction(), lost
    extraction = from_plain(Extraction, newest.payload["extraction"])
    sources = tuple(from_plain(Source, source) for source in newest.payload["sources"])
    said = Talk("", sources, transcripts(notebook, visit))
    lines, lost = decided(proposed(extraction, said), decisions(notebook, visit))
    return lines, extraction, lost


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
    return [f"{entry.item}: {entry.payload['reason']}" for entry in failed]
