"""The log of records in the database: how a record is linked, written, read again, and made searchable.

In: plain JSON values. Out: entries whose hashes close. Nothing here decides what a record means.
"""

import json
import secrets
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from fieldnote.records import Entry
from fieldnote.records.chain import ROOT, content_hash, link_hash

COLUMNS = "seq, id, kind, visit, item, at, payload, texts, salt, content, parent, hash"
NEWEST_SPEAKS = (
    "transcript",
    "extraction",
)  # in searches, a new record of these kinds takes the place of the one before
PAGE = 500  # rows fetched at a time, so that no reading holds up a writer


def read(db: Database, where: str = "1", values: Mapping[str, Any] | None = None) -> Iterator[Entry]:
    """Records in order, read in pages, so that one may write while reading on."""
    seq = 0
    page = f"select {COLUMNS} from record where seq > :after and ({where}) order by seq limit {PAGE}"
    while rows := db.execute(page, {**(values or {}), "after": seq}).fetchall():
        yield from map(entry_of, rows)
        seq = rows[-1][0]


def last(db: Database) -> Entry | None:
    """The newest record."""
    row = db.execute(f"select {COLUMNS} from record order by seq desc limit 1").fetchone()
    return entry_of(row) if row else None


def new_id() -> str:
    """An id that collides with no other, whatever the clock says."""
    return secrets.token_hex(10)


class Unreadable(Exception):
    """A record that is kept cannot be read any more."""


def entry_of(row: Sequence[Any]) -> Entry:
    """A row of the log as an Entry. Raises Unreadable."""
    try:
        return _entry(row)
    except (ValueError, TypeError, RecursionError) as problem:
        raise Unreadable(f"record {row[0]}: {type(problem).__name__}") from problem


def _entry(row: Sequence[Any]) -> Entry:
    seq, record_id, kind, visit, item, at, payload, texts, salt, content, parent, own = row
    return Entry(
        seq,
        record_id,
        kind,
        visit,
        item,
        datetime.fromisoformat(at),
        None if payload is None else json.loads(payload),
        parent,
        own,
        content,
        salt,
        tuple((line, words) for line, words in json.loads(texts or "[]")),
    )


def stored(value: Any) -> str:
    """A JSON value as it is stored: one form only, and no byte of it outside ASCII, so that any file name fits."""
    return json.dumps(value, ensure_ascii=True, sort_keys=True, separators=(",", ":"), allow_nan=False)


def linked(
    before: Entry | None,
    new_id: str,
    kind: str,
    payload: Any,
    visit: str | None,
    item: str | None,
    at: datetime,
    texts: Sequence[tuple[str, str]],
) -> Entry:
    """A new entry that follows `before`, with a salt of its own."""
    salt = secrets.token_hex(32)
    seq, parent = (before.seq + 1, before.hash) if before else (1, ROOT)
    content = content_hash(salt, payload, texts)
    entry = Entry(seq, new_id, kind, visit, item, at, payload, parent, "", content, salt, tuple(texts))
    return replace(entry, hash=link_hash(entry))


def row_of(entry: Entry) -> tuple[Any, ...]:
    """An entry as the one row that is ever written for it."""
    payload = None if entry.erased else stored(entry.payload)
    texts = None if entry.erased else stored([list(pair) for pair in entry.texts])
    header = (entry.seq, entry.id, entry.kind, entry.visit, entry.item, entry.at.isoformat())
    return (*header, payload, texts, entry.salt, entry.content, entry.parent, entry.hash)


def insert(db: Database, entry: Entry) -> Entry:
    """Write an entry at the end, and make its words searchable."""
    db.execute(f"insert into record ({COLUMNS}) values ({', '.join('?' * 12)})", row_of(entry))
    index(db, entry)
    return entry


def index(db: Database, entry: Entry) -> None:
    """Make a record's words searchable; of a kind where the newest speaks, the older ones no longer are."""
    if not entry.texts:
        return
    if entry.kind in NEWEST_SPEAKS:
        older = "select seq from record where kind = ? and visit is ? and item is ? and seq < ?"
        db.execute(f"delete from line where seq in ({older})", [entry.kind, entry.visit, entry.item, entry.seq])
    for name, words in entry.texts:
        row = [entry.seq, name, words.encode("utf-8", "replace").decode()]
        db.execute("insert into line (seq, name, words) values (?, ?, ?)", row)
