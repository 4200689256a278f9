"""Pack a visit: its records and media into a signed bundle, and a record in the notebook of what left, when, for whom."""

from datetime import datetime
from pathlib import Path

from fieldnote.bundle import Contents, KeyPair, Medium, Written, write_bundle
from fieldnote.notebook import Notebook
from fieldnote.records import Entry, VisitView, to_plain

KIND = "packed"


def pack(notebook: Notebook, view: VisitView, key: KeyPair, target: Path, *, recipient: str, now: datetime) -> Written:
    """Write the bundle of one visit. `view` is the visit as it stands. Raises as `write_bundle` does."""
    earlier = [entry.payload for entry in notebook.entries(kind=KIND) if entry.payload]
    mine = [one for one in earlier if one["key"] == key.public.id]
    contents = Contents(
        visit=view.visit.id,
        ref=view.visit.ref,
        notebook=notebook.id,
        sequence=max((one["sequence"] for one in mine), default=0) + 1,
        previous=mine[-1]["statement"] if mine else None,
        made_at=now,
        records=[to_plain(entry) for entry in records_of(notebook, view)],
        view=to_plain(view),
        media=[Medium(item.sha256, notebook.media(item.sha256)) for item in view.items],
    )
    written = write_bundle(contents, key, target)
    payload = {"sequence": contents.sequence, "statement": written.statement, "key": key.public.id, "for": recipient}
    notebook.append(KIND, {**payload, "name": target.name}, visit=view.visit.id)
    return written


def records_of(notebook: Notebook, view: VisitView) -> list[Entry]:
    """The evidence of one visit: its own records, and those of items that came to it from elsewhere."""
    items = {item.id for item in view.items}
    mine = view.visit.id
    return [e for e in notebook.entries() if e.visit == mine or e.id == mine or (e.item in items or e.id in items)]
