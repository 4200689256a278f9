"""Content gone for good, in an append-only notebook. In: the ids of records. Out: a tombstone, and nothing else of them.

The tombstone is written and the content emptied in one transaction; the guard of the log lets exactly this update through, for
records that a tombstone names. Then the words leave the index, the media leave the folder, and the database is written anew so
that no free page and no log beside it still holds them. If that is cut off, the same command finishes it.
"""

import contextlib
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from sqlite_utils import Database

from fieldnote.errors import NotebookProblem, UsageProblem
from fieldnote.notebook import disk, log, media
from fieldnote.notebook.state import State
from fieldnote.records import Entry

KEPT = ("notebook", "erased", "clock-jump")  # they hold no content of anybody's


def refusal(record_id: str, found: Sequence[Entry]) -> UsageProblem:
    """Why a record is not erased."""
    if not found:
        return UsageProblem("FN-206", id=record_id)
    return UsageProblem("FN-201", what=f"erasing {record_id}", reason="that record holds no content of anybody's")


def tombstone(target: str, entries: Sequence[Entry], reason: str, by: str) -> dict[str, Any]:
    """What stays: which records, their hashes, why and by whom. When is the record's own time."""
    return {
        "target": target,
        "records": [entry.id for entry in entries],
        "hashes": [entry.hash for entry in entries],
        "reason": reason,
        "by": by,
    }


def empty(db: Database, entries: Sequence[Entry]) -> None:
    """Take content, salt and searchable words away from records that a tombstone names. Inside a transaction."""
    for entry in entries:
        db.execute("update record set payload = null, texts = null, salt = null where seq = ?", [entry.seq])
        db.execute("delete from line where seq = ?", [entry.seq])


def scrub(db: Database, notebook: Path, state: Callable[[], State]) -> None:
    """Remove what no record speaks of any more: media, index entries, free pages, the log beside the database.

    Raises NotebookProblem FN-501 when another process still reads what is to go.
    """
    remove_strays(db, notebook, state)
    db.execute("insert into line_fts(line_fts) values ('optimize')")
    db.execute("pragma temp_store = memory")
    db.execute("vacuum")
    if db.execute("pragma wal_checkpoint(truncate)").fetchone()[0]:
        raise NotebookProblem("FN-501", path=notebook)


def remove_strays(db: Database, notebook: Path, state: Callable[[], State]) -> None:
    """Remove media that no item speaks of, while nobody else puts one in its place: that is only done under this lock."""
    db.execute("begin immediate")
    try:
        items = state().items.values()  # asked under the lock: what another process filed just before is spoken of
        spoken_of = {media.place_of(notebook, item.sha256, item.facts) for item in items}
        for place in list((notebook / "media").rglob("*")):
            if place.is_file() and place not in spoken_of:
                place.unlink()
                disk.sync_folder(place.parent)
                with contextlib.suppress(OSError):  # others are in it; an empty one would tell the hash's first digits
                    place.parent.rmdir()
    finally:
        db.execute("rollback")


def finish(db: Database, notebook: Path, state: Callable[[], State]) -> None:
    """Bring to an end what a kill or a power cut left half done."""
    with disk.abandoned(notebook / "drafts") as drafts:
        if any(path.name.startswith("draft-erase-") for path in drafts):
            scrub(db, notebook, state)
        elif drafts:
            remove_strays(db, notebook, state)


def targets(db: Database, state: State, record_id: str) -> list[Entry]:
    """The records that an erasure of this id is about: itself and all about that item, or a visit and all that is in it now."""
    if record_id not in state.visits:
        return list(log.read(db, "id = :id or item = :id", {"id": record_id}))
    items = {item.id for item in state.items.values() if item.visit == record_id}
    found = [e for e in log.read(db, "visit = :id", {"id": record_id}) if e.item is None or e.item in items]
    return found + [entry for item in items for entry in log.read(db, "item = :id", {"id": item})]
