"""What was read before, so that it need not be read again. In: facts of sources. Out: rows to be asked by SQL.

One SQLite file in the supervisor's own folder, never beside a notebook. It holds nothing that the sources do not hold:
deleted, it is made anew. A source is known by its path, size and time of change; when one of them differs it is read again.
"""

import contextlib
import json
import os
import sqlite3
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from fieldnote.audit.facts import Facts
from fieldnote.audit.raw import Source
from fieldnote.records import to_plain

FORM = 4
TABLES = {
    "visit": "id, ref, engineer, opened, closed, work, no_access, lines, open, deferred, waiting, recorded, decided, hours, "
    "risk, stale, checklist, day",
    "look": "visit, section, key, appliance, text, detail, more, due",
    "field": "engineer, kind, field, decided, changed",
    "change": "engineer, kind, condition, tenth, decided, changed",
    "pair": "engineer, field, proposed, held, lines",
    "fault": "appliance, component, condition, findings, visits",
    "together": "engineer, lines",
}
SOURCE = "path, mark, kind, problems, notebook, head, last, engineer, key, sequence, previous, visit"


class Index:
    """The index; a context manager. Unreadable or of another form, it is begun anew."""

    def __init__(self, path: Path | None) -> None:
        self.db = _opened(path)
        self.db.execute("pragma journal_mode = wal")
        self.db.execute("pragma synchronous = off")  # it can always be made anew
        if self.db.execute("pragma user_version").fetchone()[0] != FORM:
            _make(self.db)

    def __enter__(self) -> "Index":
        return self

    def __exit__(self, *_: object) -> None:
        self.db.close()

    def marks(self) -> dict[str, tuple[str, str]]:
        """Path -> (mark, head) of everything known."""
        return {path: (mark, head) for path, mark, head in self.db.execute("select path, mark, head from source")}

    def put(self, mark: str, source: Source, facts: Facts) -> None:
        """Keep what was read of one source, in place of what was known of it."""
        with self.whole():
            self.db.execute("delete from source where path = ?", [source.path])
            problems = json.dumps(to_plain(source.problems))
            row = (
                source.path, mark, source.kind, problems, source.notebook, source.head, source.last, source.engineer, source.key,
                source.sequence, source.previous, source.visit,
            )  # fmt: skip
            number = self.db.execute(f"insert into source ({SOURCE}) values ({_marks(SOURCE)})", row).lastrowid
            for table, rows in _rows(facts):
                places = f"?, {_marks(TABLES[table])}"
                self.db.executemany(f"insert into {table} values ({places})", ((number, *cells) for cells in rows))
            self.db.execute("delete from picture")

    @contextlib.contextmanager
    def whole(self) -> Iterator[None]:
        """One transaction."""
        self.db.execute("begin")
        try:
            yield
            self.db.execute("commit")
        except BaseException:
            self.db.execute("rollback")
            raise

    def tidy(self) -> None:
        """Drop the rows of sources that were read again since."""
        with self.whole():
            for table in TABLES:
                self.db.execute(f"delete from {table} where source not in (select number from source)")

    def choose(self, numbers: Iterable[int]) -> None:
        """Count these sources from now on: the views `c_visit`, `c_look` and so on show their rows alone."""
        self.db.execute("delete from chosen")
        self.db.executemany("insert into chosen values (?)", ((number,) for number in numbers))

    def picture(self, key: str) -> Any | None:
        """A picture that was made before of exactly this, or None."""
        found = self.db.execute("select plain from picture where key = ?", [key]).fetchone()
        return json.loads(found[0]) if found else None

    def keep_picture(self, key: str, plain: Any) -> None:
        """Keep a picture until any source changes."""
        self.db.execute("insert or replace into picture values (?, ?)", [key, json.dumps(plain)])


def _opened(path: Path | None) -> sqlite3.Connection:
    if path is None:
        return _prepared(sqlite3.connect(":memory:", isolation_level=None))
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    for _ in range(2):
        try:
            os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))
            return _prepared(sqlite3.connect(path, timeout=30, isolation_level=None))
        except sqlite3.DatabaseError:
            path.unlink(missing_ok=True)
    return _opened(None)


def _prepared(db: sqlite3.Connection) -> sqlite3.Connection:
    db.execute("pragma user_version").fetchone()
    db.execute("create temp table chosen (source integer primary key)")
    db.execute("pragma cache_size = -65536")
    return db


def _make(db: sqlite3.Connection) -> None:
    for (name,) in db.execute(
        "select name from sqlite_master where type = 'table' and name not like 'sqlite_%'"
    ).fetchall():
        db.execute(f"drop table {name}")
    db.execute(f"create table source (number integer primary key autoincrement, {SOURCE}, unique (path))")
    for table, columns in TABLES.items():
        db.execute(f"create table {table} (source integer, {columns})")
    db.execute("create table picture (key text primary key, plain text)")
    db.execute(f"pragma user_version = {FORM}")


def _rows(facts: Facts) -> Iterator[tuple[str, Iterable[tuple[Any, ...]]]]:
    yield "visit", facts.visits
    yield "look", facts.looks
    yield "field", [(*key, *held) for key, held in facts.fields.items()]
    yield "change", [(*key, *held) for key, held in facts.changes.items()]
    yield "pair", [(*key, held) for key, held in facts.pairs.items()]
    yield "fault", [(*key, *held) for key, held in facts.faults.items()]
    yield "together", list(facts.together.items())


def _marks(columns: str) -> str:
    return ", ".join("?" * len(columns.split(",")))
