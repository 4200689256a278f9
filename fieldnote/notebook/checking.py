"""Is a notebook what it was? In: its folder. Out: a report of what disagrees, the same whenever and wherever it is made.

Every hash and link is derived anew from what reading returns, every medium is hashed anew, no option makes it skip anything,
and it writes nothing. It repairs nothing either: what to do about damage is for a person.
"""

import contextlib
import sqlite3
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from sqlite_utils import Database

from fieldnote.errors import NotebookProblem
from fieldnote.notebook import disk, log, media, schema, unfiled
from fieldnote.notebook.snapshot import holding_still
from fieldnote.notebook.state import State
from fieldnote.notebook.troubles import told
from fieldnote.records import Entry, Item
from fieldnote.records.chain import ROOT, disagreement

KINDS = {
    "V-01": "the database cannot be read",
    "V-02": "a table, an index or a guard is not as it was made",
    "V-03": "a record cannot be read",
    "V-04": "a record disagrees with its hash or its place",
    "V-05": "records are missing at the end",
    "V-06": "content is gone without an erasure on record",
    "V-07": "content is still there though its erasure is on record",
    "V-11": "a medium is missing",
    "V-12": "a medium was altered",
    "V-13": "a file that no record speaks of",
}
READERS = 4


@dataclass(frozen=True, slots=True)
class Damage:
    """One thing that disagrees: the code of `KINDS`, where, and what in plain words."""

    code: str
    where: str
    what: str

    def line(self) -> str:
        """As one line."""
        return f"{self.code}  {self.where}: {self.what}"


@dataclass(frozen=True, slots=True)
class Report:
    """What was checked and what disagrees. `head` is the hash of the last record: whoever noted it can compare.

    `left_out` names the tables that hold no evidence and were not checked, `unfiled` counts recordings that no record speaks of
    yet, because they still grow or a kill left them: they cannot be checked.
    """

    notebook: str
    head: str
    records: int
    media: int
    size: int
    damage: tuple[Damage, ...]
    left_out: tuple[str, ...]
    unfiled: int = 0

    @property
    def sound(self) -> bool:
        """Whether nothing disagrees."""
        return not self.damage


@dataclass
class _Findings:
    """What has been found so far."""

    damage: list[Damage] = field(default_factory=list)
    notebook: str = ""
    head: str = ROOT
    records: int = 0
    left_out: tuple[str, ...] = ()
    state: State = field(default_factory=State)

    def add(self, code: str, where: str, what: str) -> None:
        self.damage.append(Damage(code, where, what))


def verify(path: Path) -> Report:
    """Check the notebook in folder `path`. Raises NotebookProblem FN-503 when there is none, FN-501 when it is being written."""
    path = path.absolute()
    with told(path, writing=False):
        if not (path / schema.FILE).is_file():
            raise NotebookProblem("FN-503", path=path, reason="there is none here")
        found = holding_still(path, lambda db: _database(db, path))
        count, size = _media(found, path)
    ordered = tuple(sorted(found.damage, key=lambda one: (one.code, one.where, one.what)))
    waiting = len(unfiled.names(path))
    return Report(found.notebook, found.head, found.records, count, size, ordered, found.left_out, waiting)


def _database(db: Database, path: Path) -> _Findings:
    found = _Findings()
    try:
        for (what,) in db.execute("pragma integrity_check"):
            if what != "ok":
                found.add("V-01", schema.FILE, what)
        schema.refuse_newer(db, path)
        _structure(db, found)
        _records(db, found)
    except (sqlite3.Error, UnicodeDecodeError) as problem:
        found.add("V-01", schema.FILE, str(problem))
    return found


def _structure(db: Database, found: _Findings) -> None:
    """Compare with a database made anew, by the migrations that this one had."""
    asked = "select type || ' ' || name, sql from sqlite_master where sql is not null"
    fresh = Database(memory=True, execute_plugins=False)
    schema.migrations.apply(fresh, stop_before=schema.first_pending(db))
    made, here = dict(fresh.execute(asked).fetchall()), dict(db.execute(asked).fetchall())
    for name in sorted(made.keys() | here.keys()):
        if made.get(name) != here.get(name):
            found.add("V-02", name, "added" if name not in made else "missing" if name not in here else "altered")
    tables = {name.split()[1] for name in made if name.startswith("table ")}
    found.left_out = tuple(sorted(tables - set(schema.EVIDENCE)))


def _records(db: Database, found: _Findings) -> None:
    erased: dict[str, int] = {}
    named: dict[str, int] = {}
    for row in db.execute(f"select {log.COLUMNS} from record order by seq"):
        entry = _read(row, found)
        if entry is not None:
            _link(entry, found)
            erased |= {entry.id: entry.seq} if entry.erased else {}
            named |= dict.fromkeys(_erasures(entry), entry.seq)
        found.head, found.records = str(row[-1]), row[0]
    for (last,) in db.execute("select coalesce(max(seq), 0) from sqlite_sequence where name = 'record'"):
        if last != found.records:
            found.add(
                "V-05", f"record {found.records + 1}", f"{last} records were kept, the last one here is {found.records}"
            )
    for gone in erased.keys() - named.keys():
        found.add("V-06", f"record {erased[gone]}", KINDS["V-06"])
    for still in named.keys() - erased.keys():
        found.add("V-07", f"record {named[still]}", f"it tells of an erasure of {still}, which was not done")


def _read(row: Sequence[Any], found: _Findings) -> Entry | None:
    """A row as an entry, if it is in the one form in which rows are written."""
    try:
        entry = log.entry_of(row)
        if log.row_of(entry) == tuple(row):
            return entry
        why = "it is not in the form in which records are written"
    except log.Unreadable as problem:
        why = str(problem)
    found.add("V-03", f"record {row[0]}", why)
    return None


def _link(entry: Entry, found: _Findings) -> None:
    if wrong := disagreement(entry, found.head, found.records + 1):
        found.add("V-04", f"record {entry.seq}", wrong)
    found.notebook = found.notebook or entry.id
    with contextlib.suppress(log.Unreadable):  # already told of as V-04
        found.state.fold(entry)


def _erasures(entry: Entry) -> list[str]:
    if entry.kind != "erased" or not isinstance(entry.payload, dict):
        return []
    return [str(gone) for gone in entry.payload.get("records", [])]


def _media(found: _Findings, path: Path) -> tuple[int, int]:
    """Hash every medium that a record speaks of, and name every file that none does. Returns how many and how large."""
    due = {media.place_of(path, item.sha256, item.facts): item for item in found.state.items.values()}
    with ThreadPoolExecutor(READERS) as pool:
        for place, wrong in zip(due, pool.map(_medium, due, due.values()), strict=True):
            if wrong:
                found.add(wrong, str(place.relative_to(path)), f"{KINDS[wrong]} ({due[place].id})")
    unfinished = any((path / "drafts").glob("draft-*"))
    for place in sorted((path / "media").rglob("*")):
        if place in due or (place.is_dir() and not place.is_symlink()):
            continue
        if not (unfinished and place.stem == disk.file_hash(place)):
            found.add("V-13", str(place.relative_to(path)), KINDS["V-13"])
    return len(due), sum(item.size for item in due.values())


def _medium(place: Path, item: Item) -> str | None:
    try:
        if place.is_symlink() or place.stat().st_size != item.size or disk.file_hash(place) != item.sha256:
            return "V-12"
    except FileNotFoundError:
        return "V-11"
    except OSError:
        return "V-12"
    return None
