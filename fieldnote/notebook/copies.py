"""A whole notebook to another disk and back. In: two folders. Out: a copy that was checked, or nothing that passes for one.

A copy is a notebook like any other. Its database is put in its place last, so that a copy that was cut off is not one.
"""

import contextlib
import sqlite3
from pathlib import Path

from sqlite_utils import Database

from fieldnote.errors import InputProblem, NotebookProblem, UsageProblem
from fieldnote.notebook import disk, erasure, log, media, schema, unfiled
from fieldnote.notebook.checking import Report, verify
from fieldnote.notebook.snapshot import TRIES, holding_still, readable
from fieldnote.notebook.state import State
from fieldnote.notebook.troubles import told
from fieldnote.records import Incoming, Item


def backup(source: Path, target: Path) -> Report:
    """Copy a notebook to `target`, or bring an older copy of it there up to date. Returns the report on the copy.

    Raises UsageProblem FN-201 when something else is there, NotebookProblem FN-505 when the notebook is damaged.
    """
    source, target = source.absolute(), target.absolute()
    with told(source, writing=False):
        if not (source / schema.FILE).is_file():
            raise NotebookProblem("FN-503", path=source, reason="there is none here")
    with told(target):
        _refuse_mixing(source, target)
    with told(target):
        for folder in (target, target / "media", target / "drafts"):
            disk.make_folder(folder)
        with disk.draft(target / "drafts") as (draft, _):
            state, waiting = _moment(source, target, draft)
            for item in state.items.values():
                _copy_medium(source, target, item)
            _put(draft, target)
        with contextlib.closing(schema.connect(target, write=True)) as db:
            erasure.remove_strays(db, target, lambda: state)
        unfiled.keep_only(target, waiting)
    return _sound(target)


def restore(backup_folder: Path, target: Path) -> Report:
    """Bring a copy back as the notebook in `target`, checked before and after.

    Raises UsageProblem FN-201 when a notebook is there already, NotebookProblem FN-505 when the copy is damaged.
    """
    with told(target):
        if (target / schema.FILE).exists():
            raise UsageProblem("FN-201", what=f"restoring to {target}", reason="there is a notebook already")
    _sound(backup_folder)
    return backup(backup_folder, target)


def _refuse_mixing(source: Path, target: Path) -> None:
    """Only an older copy of the same notebook is written over."""
    what = f"a copy to {target}"
    if target == source or source in target.parents or target in source.parents:
        raise UsageProblem("FN-201", what=what, reason="one folder is inside the other")
    if not target.exists() or (target.is_dir() and not any(target.iterdir())):
        return
    if not (target / schema.FILE).exists():
        if not target.is_dir() or {path.name for path in target.iterdir()} - {"media", "drafts", unfiled.FOLDER}:
            raise UsageProblem("FN-201", what=what, reason="something else is there")
        return
    newest = holding_still(target, log.last)
    with told(source, writing=False), readable(source) as here:
        same = newest and here.execute("select 1 from record where hash = ?", [newest.hash]).fetchone()
    if not same:
        raise UsageProblem("FN-201", what=what, reason="it is no older copy of this notebook")


def _moment(source: Path, target: Path, draft: Path) -> tuple[State, set[str]]:
    """The database as it is at one moment, with the recordings that were not filed then. Returns its state and their names."""
    for _ in range(TRIES):
        due = unfiled.names(source)
        _copy_database(source, draft)
        state = _state(draft)
        copied = unfiled.copy(source, target)
        filed = {item.name for item in state.items.values()}
        if copied | filed >= set(due):  # else one was filed between the database and its copy
            return state, copied
    raise NotebookProblem("FN-501", path=source)


def _copy_database(source: Path, draft: Path) -> None:
    """The database as it is at one moment, whoever is writing."""
    with contextlib.closing(sqlite3.connect(draft)) as copy:
        with told(source, writing=False), readable(source) as db:
            db.conn.backup(copy)
        copy.execute("pragma journal_mode = delete")
    with draft.open("rb") as file:
        disk.sync_file(file)


def _state(database: Path) -> State:
    state = State()
    with contextlib.closing(Database(sqlite3.connect(database), execute_plugins=False)) as db:
        for entry in log.read(db):
            state.fold(entry)
    return state


def _copy_medium(source: Path, target: Path, item: Item) -> None:
    place = media.place_of(source, item.sha256, item.facts)
    incoming = Incoming(place, item.kind, item.sha256, item.size, facts=item.facts)
    try:
        with media.Draft(target, incoming) as draft:
            draft.put()
    except InputProblem as problem:
        raise NotebookProblem(
            "FN-505", path=source, reason=f"the medium of {item.id}: {problem.fields['reason']}"
        ) from None


def _put(draft: Path, target: Path) -> None:
    for beside in ("-wal", "-shm"):
        (target / f"{schema.FILE}{beside}").unlink(missing_ok=True)
    draft.replace(target / schema.FILE)
    disk.sync_folder(target)


def _sound(folder: Path) -> Report:
    report = verify(folder)
    if not report.sound:
        raise NotebookProblem("FN-505", path=folder, reason=report.damage[0].line())
    return report
