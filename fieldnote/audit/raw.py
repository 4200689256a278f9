"""A notebook or a bundle as raw records. In: a path. Out: rows with their payloads still text, and what is wrong with them.

For speed the hashes are worked out from the bytes as they are stored. Every record's header and link is derived anew, and the
content of every record but transcripts; these and media are left to `fieldnote verify`, and the output says so.
"""

import hashlib
import json
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from fieldnote.bundle import Keyring, Problem, open_bundle
from fieldnote.bundle.container import open_container
from fieldnote.bundle.records import RECORDS
from fieldnote.errors import NotebookProblem
from fieldnote.notebook import schema
from fieldnote.notebook.snapshot import holding_still
from fieldnote.records import canonical
from fieldnote.records.chain import ROOT

UNREAD = "transcript"  # two thirds of a notebook, and nothing in it is counted
SERIES = ("gap", "number-jump", "older-than-seen", "fork")  # judged over all bundles together, not one by one
COLUMNS = "seq, id, kind, visit, item, at, content, parent, hash, salt"
WHOLE_OR_ERASED = (0, 3)  # of payload, texts and salt, how many may be missing
quoted = json.encoder.encode_basestring


class Row(NamedTuple):
    """One record; `payload` is its JSON text, None where it is not used or was erased."""

    seq: int
    id: str
    kind: str
    visit: str | None
    item: str | None
    at: str
    payload: str | None


@dataclass(frozen=True, slots=True)
class Source:
    """What was read from one path: whose it is, its rows, and what is wrong with it.

    `head` is the hash of a notebook's last record or the digest of a bundle's signed statement. `engineer`, `key`, `sequence`
    and `previous` are a bundle's signed facts.
    """

    path: str
    kind: str
    problems: tuple[Problem, ...] = ()
    notebook: str = ""
    head: str = ""
    last: int = 0
    rows: tuple[Row, ...] = ()
    engineer: str = ""
    key: str = ""
    sequence: int = 0
    previous: str | None = None
    visit: str = ""


def read(path: Path, kind: str, keyring: Keyring, now: datetime) -> Source:
    """One source, whatever state it is in: damage becomes problems, never an exception."""
    try:
        return _bundle(path, keyring, now) if kind == "bundle" else _notebook(path)
    except NotebookProblem as problem:
        return Source(str(path), kind, (Problem("unreadable", ".", problem.sentence),))
    except sqlite3.Error as problem:
        return Source(str(path), kind, (Problem("unreadable", schema.FILE, str(problem)),))
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as problem:
        return Source(str(path), kind, (Problem("unreadable", ".", f"{type(problem).__name__}: {problem}"),))


def _notebook(path: Path) -> Source:
    return holding_still(path, lambda db: _from_database(db.conn, path))


def _from_database(db: sqlite3.Connection, path: Path) -> Source:
    chain = Chain()
    asked = (
        f"select {COLUMNS}, (payload is null) + (texts is null) + (salt is null), iif(kind = '{UNREAD}', null, payload), "
        f"iif(kind = '{UNREAD}', null, texts) from record order by seq"
    )
    rows = tuple(chain.row(*found) for found in db.execute(asked))
    chain.erasures()
    for (kept,) in db.execute("select seq from sqlite_sequence where name = 'record'"):
        if kept != chain.last:
            chain.wrong("record-dropped", kept, f"{kept} records were kept, the last one here is {chain.last}")
    if not rows:
        chain.wrong("record-dropped", 1, "there are no records")
    return Source(
        str(path), "notebook", tuple(chain.problems), rows[0].id if rows else "", chain.head, chain.last, rows
    )


class Chain:
    """Follows records in order and notes where they do not hang together."""

    def __init__(self) -> None:
        self.head, self.last = ROOT, 0
        self.problems: list[Problem] = []
        self.gone: dict[str, int] = {}
        self.named: dict[str, int] = {}

    def wrong(self, code: str, seq: int, detail: str) -> None:
        """Note one thing."""
        self.problems.append(Problem(code, f"record {seq}", detail))

    def row(
        self,
        seq: int,
        id_: str,
        kind: str,
        visit: str | None,
        item: str | None,
        at: str,
        content: str,
        parent: str,
        own: str,
        salt: str | None,
        missing: int,
        payload: str | None,
        texts: str | None,
    ) -> Row:
        """One more record, checked as far as it was read. `missing` counts what is not there of payload, texts and salt."""
        if seq != self.last + 1:
            self.wrong("record-dropped", self.last + 1, f"number {self.last + 1} is missing")
        if parent != self.head:
            self.wrong("record-unlinked", seq, "it does not follow the record before it")
        if own != header_hash(seq, id_, kind, visit, item, at, content, parent):
            self.wrong("record-redated", seq, "its date, number or owner is not what its hash says")
        if missing not in WHOLE_OR_ERASED or not _holds(salt, payload, texts, content):
            self.wrong("record-altered", seq, "its content is not what its hash says")
        if missing:
            self.gone[id_] = seq
        if kind == "erased" and payload:
            self.named |= dict.fromkeys(json.loads(payload)["records"], seq)
        self.head, self.last = own, seq
        return Row(seq, id_, kind, visit, item, at, payload)

    def erasures(self) -> None:
        """Content may be gone where an erasure on record says so, and must be gone there; called after the last record."""
        for id_ in self.gone.keys() - self.named.keys():
            self.wrong("content-gone", self.gone[id_], "its content is gone without an erasure on record")
        for id_ in self.named.keys() - self.gone.keys():
            self.wrong("content-gone", self.named[id_], f"it tells of an erasure of {id_}, which was not done")


def _holds(salt: str | None, payload: str | None, texts: str | None, content: str) -> bool:
    """Whether content is what its hash says; content that was not read or is gone is judged elsewhere."""
    if salt is None or payload is None or texts is None:
        return True
    return content_of(salt, payload, texts) == content


def header_hash(
    seq: int, id_: str, kind: str, visit: str | None, item: str | None, at: str, content: str, parent: str
) -> str:
    """What `records.chain.link_hash` makes of the same header."""
    owner, thing = quoted(visit) if visit is not None else "null", quoted(item) if item is not None else "null"
    text = f"[{seq},{quoted(id_)},{quoted(kind)},{owner},{thing},{quoted(at)},{quoted(content)},{quoted(parent)}]"
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def content_of(salt: str, payload: str, texts: str) -> str:
    """What `records.chain.content_hash` makes of stored text. Stored text without escapes already is the canonical form."""
    if "\\u" in payload or "\\u" in texts:
        plain = canonical([json.loads(payload), json.loads(texts)])
    else:
        plain = f"[{payload},{texts}]".encode()
    return hashlib.sha256(bytes.fromhex(salt) + plain).hexdigest()


def _bundle(path: Path, keyring: Keyring, now: datetime) -> Source:
    """A bundle, checked whole by the bundle room; its place in the series is judged later, with all the others at hand."""
    read = open_bundle(path, Keyring(keyring.keys), now)
    problems = tuple(one for one in read.problems if one.code not in SERIES)
    facts = read.facts
    if problems or not facts:
        return Source(
            str(path), "bundle", problems, engineer=str(facts.get("engineer", "")), key=str(facts.get("key", ""))
        )
    return Source(
        str(path), "bundle", (), facts["notebook"], read.statement, facts["records"], tuple(_lines(path)),
        facts["engineer"], facts["key"], facts["sequence"], facts.get("previous"), facts["visit"],
    )  # fmt: skip


def _lines(path: Path) -> Iterator[Row]:
    for line in b"".join(open_container(path).blocks(RECORDS)).splitlines():
        one = json.loads(line)
        payload = None if one["kind"] == UNREAD or one["payload"] is None else json.dumps(one["payload"])
        yield Row(one["seq"], one["id"], one["kind"], one["visit"], one["item"], one["at"], payload)
