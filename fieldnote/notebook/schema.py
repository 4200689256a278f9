"""The database of a notebook: its tables, their numbered migrations, and how a connection is opened.

There is one table of evidence, `record`: rows are added at its end and refused any other change, but for the one that
erasure needs. All else is made from it: `line` and its full-text index hold words to search and no evidence.
A migration is never edited once released; each is recorded in the transaction that makes it.
"""

import contextlib
import sqlite3
from collections.abc import Iterator
from pathlib import Path

from sqlite_utils import Database
from sqlite_utils.migrations import Migrations

from fieldnote.errors import NotebookProblem

FILE = "notebook.db"
PATIENCE = 30.0  # seconds to wait for another process
EVIDENCE = ("record",)
migrations = Migrations("notebook")


@migrations()
def m001_records(db: Database) -> None:
    """The append-only log, its guards, and the index that keeps the same bytes from being filed twice."""
    db.execute(
        """create table record (
            seq integer primary key autoincrement, id text not null unique, kind text not null,
            visit text, item text, at text not null,
            payload text, texts text, salt text,
            content text not null, parent text not null unique, hash text not null unique
        ) strict"""
    )
    db.execute("create index record_kind on record(kind, seq)")
    db.execute("create index record_visit on record(visit, kind, seq)")
    db.execute("create index record_item on record(item, kind, seq)")
    db.execute("create unique index record_bytes on record(json_extract(payload, '$.sha256')) where kind = 'item'")
    for guard in GUARDS:
        db.execute(guard)


@migrations()
def m002_search(db: Database) -> None:
    """Words to search, made from the records' texts."""
    db.execute("create table line (id integer primary key, seq integer not null, name text, words text not null)")
    db.execute("create index line_seq on line(seq)")
    db.execute(
        """insert into line (seq, name, words)
           select seq, json_extract(value, '$[0]'), json_extract(value, '$[1]') from record, json_each(record.texts)
           order by seq"""
    )
    db.table("line").enable_fts(["words"], create_triggers=True)
    db.table("line").populate_fts(["words"])


# The one update that is let through empties a record which an erasure record names, and touches nothing else.
GUARDS = (
    """create trigger record_at_the_end before insert on record
       when new.seq is not (select coalesce(max(seq), 0) + 1 from record)
       begin select raise(abort, 'records are only added at the end'); end""",
    """create trigger record_stays before delete on record
       begin select raise(abort, 'records are never removed'); end""",
    """create trigger record_unaltered before update on record
       when not (
           new.payload is null and new.texts is null and new.salt is null
           and new.seq is old.seq and new.id is old.id and new.kind is old.kind and new.visit is old.visit
           and new.item is old.item and new.at is old.at and new.content is old.content
           and new.parent is old.parent and new.hash is old.hash
           and exists (select 1 from record e, json_each(e.payload, '$.records') r
                       where e.kind = 'erased' and r.value = old.id)
       )
       begin select raise(abort, 'records are never altered'); end""",
)


def connect(folder: Path, write: bool) -> Database:
    """A connection that shares the notebook in `folder` with other processes. Raises sqlite3.Error as SQLite does."""
    address = f"{(folder / FILE).absolute().as_uri()}?mode={'rw' if write else 'ro'}"
    connection = sqlite3.connect(address, uri=True, timeout=PATIENCE, isolation_level=None, check_same_thread=False)
    db = Database(connection, recursive_triggers=True, execute_plugins=False)
    db.execute("pragma foreign_keys = on")
    if write:
        db.execute("pragma journal_mode = wal")
        db.execute("pragma synchronous = full")
        db.execute("pragma secure_delete = on")
    return db


def bring_up_to_date(db: Database, folder: Path, create: bool) -> None:
    """Apply what is missing, all of it or nothing. Raises NotebookProblem FN-503 when the file holds no notebook at all."""
    refuse_newer(db, folder)
    if not create:
        refuse_unmade(db, folder)
    if migrations.pending(db):
        with transaction(db):
            migrations.apply(db)


@contextlib.contextmanager
def transaction(db: Database) -> Iterator[None]:
    """One transaction from the first moment alone: whole or not at all."""
    db.execute("begin immediate")
    try:
        yield
        db.execute("commit")
    except BaseException:
        if db.conn.in_transaction:
            db.execute("rollback")
        raise


def first_pending(db: Database) -> str | None:
    """The first migration that an older notebook has not had yet."""
    return next((migration.name for migration in migrations.pending(db)), None)


def refuse_unmade(db: Database, folder: Path) -> None:
    """Raises NotebookProblem FN-503 when the making of this notebook was cut off, or was never begun."""
    if not migrations.applied(db):
        raise NotebookProblem("FN-503", path=folder, reason="the file holds no notebook")


def refuse_newer(db: Database, folder: Path) -> None:
    """Raises NotebookProblem FN-504 when a newer program made this notebook."""
    known = {migration.name for migration in migrations._migrations}
    newer = [done.name for done in migrations.applied(db) if done.name not in known]
    if newer:
        raise NotebookProblem("FN-504", path=folder, schema=newer[-1])
