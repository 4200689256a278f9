"""The notebook: what is kept. In: files that were looked at, and records as plain JSON values. Out: the same, unchanged.

This room does not know what a record means beyond visits, items and their erasure, and nothing of the trade: yesterday's book
opens whatever has become of today's limits. It is the only room that knows SQL.
"""

import contextlib
import os
import threading
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from types import EllipsisType, TracebackType
from typing import Any, Self

from sqlite_utils import Database

from fieldnote.errors import NotebookProblem, UsageProblem
from fieldnote.notebook import disk, erasure, log, media, schema
from fieldnote.notebook.media import Draft
from fieldnote.notebook.snapshot import readable
from fieldnote.notebook.state import KINDS, State
from fieldnote.notebook.troubles import told
from fieldnote.records import Entry, Incoming, Item, Receipt, Visit

ANY: EllipsisType = ...
NEWER = f"seq > :known and kind in ({', '.join(map(repr, KINDS))})"
LONGEST = 36_500  # days that anything may be asked to be kept
LONGEST_REF = 200
BACKWARDS = timedelta(seconds=2)  # clocks are put right by less than this all the time


@dataclass(frozen=True, slots=True)
class Hit:
    """One line that holds the words searched for: the record it is kept in, which line of it, its words, and since when."""

    entry: str
    kind: str
    visit: str | None
    item: str | None
    line: str
    words: str
    at: str


HIT = tuple(Hit.__dataclass_fields__)


def now_here() -> datetime:
    """The moment, with this machine's offset from UTC."""
    return datetime.now().astimezone()


class Notebook:
    """An open notebook; a context manager. Every method that writes is durable before it returns.

    Raises NotebookProblem FN-501 when another process holds it for longer than half a minute, FN-502 when it cannot be
    written, FN-505 when it is damaged; MachineLacks FN-403 when the disk is full, FN-406 when it fails.
    """

    def __init__(self, path: Path, db: Database, clock: Callable[[], datetime], writable: bool) -> None:
        self.path = path
        self._db = db
        self._clock = clock
        self._writable = writable
        self._state = State()
        self._held = contextlib.ExitStack()
        self._alone = threading.RLock()
        self.id = self._first().id

    @classmethod
    def open(
        cls, path: Path, *, write: bool = True, create: bool = False, clock: Callable[[], datetime] = now_here
    ) -> Self:
        """Open the notebook in folder `path`. Raises NotebookProblem FN-503 when there is none, FN-504 when it is newer."""
        path = path.absolute()
        with told(path, write):
            if create and write:
                _prepare(path)
            if not (path / schema.FILE).is_file():
                raise NotebookProblem("FN-503", path=path, reason="there is none here")
            if write and not (os.access(path, os.W_OK) and os.access(path / schema.FILE, os.W_OK)):
                raise NotebookProblem("FN-502", path=path, reason="it can only be read from here")
            with contextlib.ExitStack() as stack:
                db = _connect(path, write, stack)
                if write:
                    _bring_up(db, path, clock, create)
                schema.refuse_newer(db, path)
                schema.refuse_unmade(db, path)
                book = cls(path, db, clock, write)
                if write:
                    erasure.finish(db, path, book._now)
                book._held = stack.pop_all()
                return book

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the notebook."""
        self._held.close()

    # ---- visits

    def open_visit(
        self,
        ref: str,
        *,
        work: str | None = None,
        appliances: Sequence[str] = (),
        gas: str | None = None,
        meter: str | None = None,
        region: str | None = None,
        edition: str | None = None,
    ) -> Visit:
        """Open a new visit, even if another has the same reference. Raises UsageProblem FN-201 when it is no plain line."""
        if not (ref.strip() and ref.isprintable() and len(ref) <= LONGEST_REF):
            reason = f"a reference is one line of 1 to {LONGEST_REF} plain characters"
            raise UsageProblem("FN-201", what="opening a visit", reason=reason)
        payload = {
            "ref": ref,
            "work": work,
            "appliances": list(appliances),
            "gas": gas,
            "meter": meter,
            "region": region,
            "edition": edition,
        }
        return self.visit(self.append("visit", payload).id)

    def close_visit(self, visit_id: str, *, no_access: bool = False) -> None:
        """Close a visit. Raises UsageProblem FN-205 when there is no such visit."""
        self.append("visit-closed", {"no_access": no_access}, visit=self.visit(visit_id).id)

    def move(self, item_id: str, visit_id: str) -> None:
        """Let an item belong to another visit from now on: a record more, nothing is rewritten."""
        item, visit = self.item(item_id), self.visit(visit_id)
        self.append("move", {"from": item.visit}, visit=visit.id, item=item.id)

    def visits(self) -> tuple[Visit, ...]:
        """All visits in the order in which they were opened."""
        return tuple(self._now().visits.values())

    def visit(self, ref_or_id: str) -> Visit:
        """The visit with this id, else the newest with this reference. Raises UsageProblem FN-205."""
        visits = self._now().visits
        if ref_or_id in visits:
            return visits[ref_or_id]
        for visit in reversed(visits.values()):
            if visit.ref == ref_or_id:
                return visit
        raise UsageProblem("FN-205", ref=ref_or_id)

    def current_visit(self) -> Visit | None:
        """The last visit that was opened and not closed."""
        return next((v for v in reversed(self._now().visits.values()) if v.closed_at is None), None)

    # ---- items

    def file(self, incoming: Incoming, visit: str | None) -> Receipt:
        """File a medium and its record, durably. The same bytes are filed once: then the answer is "already-here".

        Raises InputProblem FN-301 when the file is no longer the one that was looked at.
        """
        return self.file_all([self.draft(incoming)], visit)[0]

    def draft(self, incoming: Incoming) -> Draft:
        """The slow half of filing, for any thread: a synced copy that `file_all` then puts in its place. Raises as `file`."""
        if not self._writable:
            raise NotebookProblem("FN-502", path=self.path, reason="it was opened to be read")
        with told(self.path):
            return Draft(self.path, incoming)

    def file_all(self, drafts: Sequence[Draft], visit: str | None) -> list[Receipt]:
        """The quick half, for several at once: all of them are durable before it returns, or none is filed."""
        with told(self.path), contextlib.ExitStack() as stack:
            for draft in drafts:
                stack.enter_context(draft)
            with self._writing():
                return [self._file(draft, visit) for draft in drafts]

    def _file(self, draft: Draft, visit: str | None) -> Receipt:
        state, incoming = self._now(), draft.incoming
        draft.put()
        if known := state.by_hash.get(incoming.sha256):
            return _receipt(incoming, known, state.items[known].kind, "already-here")
        item = log.new_id()
        self._append("item", _particulars(incoming), visit, item, self._words(incoming, item))
        return _receipt(incoming, item, incoming.kind, "added")

    def _words(self, incoming: Incoming, item: str) -> list[tuple[str, str]]:
        """A written note is found by its words."""
        if incoming.kind != "note":
            return []
        place = media.place_of(self.path, incoming.sha256, incoming.facts)
        return [(item, place.read_text("utf-8-sig", errors="replace"))]

    def items(self, visit: str | EllipsisType | None = ANY) -> tuple[Item, ...]:
        """What was taken in, in order: everything, or that of one visit, or with None what waits under no visit."""
        items = self._now().items.values()
        return tuple(item for item in items if visit is ANY or item.visit == visit)

    def item(self, item_id: str) -> Item:
        """One item. Raises UsageProblem FN-206 when there is none under this id."""
        try:
            return self._now().items[item_id]
        except KeyError:
            raise UsageProblem("FN-206", id=item_id) from None

    def media(self, sha256: str) -> Path:
        """Where the bytes with this hash are. Raises UsageProblem FN-206 when no item has them."""
        state = self._now()
        if sha256 not in state.by_hash:
            raise UsageProblem("FN-206", id=sha256)
        return media.place_of(self.path, sha256, state.items[state.by_hash[sha256]].facts)

    # ---- records

    def append(
        self,
        kind: str,
        payload: Any,
        *,
        visit: str | None = None,
        item: str | None = None,
        texts: Sequence[tuple[str, str]] = (),
    ) -> Entry:
        """Keep one more record; `texts` are (line id, words) to be found by `search`."""
        with told(self.path), self._writing():
            return self._append(kind, payload, visit, item, texts)

    def append_all(self, kind: str, payloads: Sequence[Any], *, visit: str | None = None) -> list[Entry]:
        """Keep several records in one go: all of them are durable before it returns, or none is kept."""
        with told(self.path), self._writing():
            return [self._append(kind, payload, visit, None, ()) for payload in payloads]

    def since(self, seq: int) -> tuple[int, frozenset[str]]:
        """The number of the newest record, and the kinds of those kept after number `seq`; cheap, to be asked often."""
        with told(self.path, self._writable):
            rows = self._db.execute("select max(seq), kind from record where seq > ? group by kind", [seq]).fetchall()
        return max([seq, *(newest for newest, _ in rows)]), frozenset(kind for _, kind in rows)

    def entries(self, *, kind: str | None = None, visit: str | None = None, item: str | None = None) -> Iterator[Entry]:
        """Records in the order in which they were kept, those of erased content included."""
        chosen = {
            name: value for name, value in (("kind", kind), ("visit", visit), ("item", item)) if value is not None
        }
        with told(self.path, self._writable):
            yield from log.read(self._db, " and ".join(f"{name} = :{name}" for name in chosen) or "1", chosen)

    def search(self, words: str, limit: int = 20) -> list[Hit]:
        """Lines that hold all the words, the newest first; a word may end in `*`.

        Raises NotebookProblem FN-506 in an older notebook that was opened to be read.
        """
        wanted = _query(words)
        if schema.first_pending(self._db):
            raise NotebookProblem("FN-506", path=self.path)
        if not wanted:
            return []
        found = """select r.id, r.kind, r.visit, r.item, l.name, l.words, r.at
                   from line_fts f join line l on l.id = f.rowid join record r on r.seq = l.seq
                   where line_fts match ? order by f.rowid desc limit ?"""
        with told(self.path, self._writable):
            rows = self._db.execute(found, [wanted, limit]).fetchall()
        return [Hit(**dict(zip(HIT, row, strict=True))) for row in rows]

    def erase(self, record_id: str, *, reason: str, by: str, also: Sequence[str] = ()) -> Entry:
        """Take the content of a record away for good, of all records about that item, and of the records named in `also`.

        A tombstone stays; done again, it finishes what was cut off. Returns the tombstone. Raises UsageProblem FN-206 when
        there is no such record, FN-201 when it is one that holds no content.
        """
        with told(self.path):
            self._named(record_id)  # refused before anything is marked
        with told(self.path), disk.mark(self.path / "drafts", "erase"):
            with self._writing():
                stone = self._erase(record_id, reason, by, also)
            erasure.scrub(self._db, self.path, self._now)
        return stone

    def retention(self, days: int, now: datetime) -> tuple[Item, ...]:
        """What was taken in at least `days` ago and may be due for erasure. Nothing is ever erased by itself.

        Raises UsageProblem FN-201 for a number of days outside 1 to 36,500.
        """
        if not 1 <= days <= LONGEST:
            raise UsageProblem("FN-201", what=f"keeping for {days} days", reason=f"give 1 to {LONGEST} days")
        return tuple(item for item in self.items() if item.added_at + timedelta(days=days) <= now)

    # ---- inside

    @contextlib.contextmanager
    def _writing(self) -> Iterator[None]:
        """One transaction: whole or not at all, and alone."""
        if not self._writable:
            raise NotebookProblem("FN-502", path=self.path, reason="it was opened to be read")
        with self._alone, schema.transaction(self._db):
            try:
                yield
            except BaseException:
                self._state = State()
                raise

    def _append(
        self, kind: str, payload: Any, visit: str | None, item: str | None, texts: Sequence[tuple[str, str]]
    ) -> Entry:
        at, last = self._clock(), log.last(self._db)
        if last is not None and last.at - at > BACKWARDS:
            jump = {"from": last.at.isoformat(), "to": at.isoformat()}
            last = log.insert(self._db, log.linked(last, log.new_id(), "clock-jump", jump, None, None, at, ()))
        new_id = item if kind == "item" and item else log.new_id()
        owner = new_id if kind == "visit" else visit
        return log.insert(self._db, log.linked(last, new_id, kind, payload, owner, item, at, texts))

    def _first(self) -> Entry:
        for entry in log.read(self._db, "seq = 1"):
            return entry
        raise NotebookProblem("FN-503", path=self.path, reason="its first record is missing")

    def _erase(self, record_id: str, reason: str, by: str, also: Sequence[str]) -> Entry:
        found = self._named(record_id)
        found += [entry for one in also for entry in log.read(self._db, "id = :id", {"id": one})]
        going = [entry for entry in {e.id: e for e in found}.values() if not entry.erased]
        if not going:
            return next(e for e in self.entries(kind="erased") if record_id in e.payload["records"])
        stone = self._append("erased", erasure.tombstone(record_id, going, reason, by), None, None, ())
        erasure.empty(self._db, going)
        return stone

    def _named(self, record_id: str) -> list[Entry]:
        """The records that an erasure of this id is about. Raises UsageProblem FN-206, FN-201."""
        found = erasure.targets(self._db, self._now(), record_id)
        if not found or any(entry.id == record_id and entry.kind in erasure.KEPT for entry in found):
            raise erasure.refusal(record_id, found)
        return found

    def _now(self) -> State:
        """The state after the newest record, whoever wrote it."""
        with told(self.path, self._writable), self._alone:
            for entry in log.read(self._db, NEWER, {"known": self._state.seq}):
                self._state.fold(entry)
            return self._state


def _query(words: str) -> str:
    """Words as a full-text query: each quoted, so that none is taken for an operator."""
    plain = words.encode("utf-8", "replace").decode().replace("\x00", " ")
    parts = [part for part in plain.replace('"', " ").split() if any(c.isalnum() for c in part)]
    return " ".join(f'"{part[:-1]}"*' if part.endswith("*") else f'"{part}"' for part in parts)


def _particulars(incoming: Incoming) -> dict[str, Any]:
    return {
        "kind": incoming.kind,
        "sha256": incoming.sha256,
        "size": incoming.size,
        "name": incoming.path.name,
        "at": incoming.at.isoformat() if incoming.at else None,
        "at_source": incoming.at_source,
        "seconds": incoming.seconds,
        "flags": list(incoming.flags),
        "facts": dict(incoming.facts),
    }


def _receipt(incoming: Incoming, item: str, kind: str, status: str) -> Receipt:
    return Receipt(str(incoming.path), item, kind, incoming.sha256, status)


def _connect(path: Path, write: bool, stack: contextlib.ExitStack) -> Database:
    if not write:
        return stack.enter_context(readable(path))
    db = schema.connect(path, write)
    stack.callback(db.close)
    return db


def _prepare(path: Path) -> None:
    disk.make_folder(path)
    for name in ("media", "drafts"):
        disk.make_folder(path / name)
    if not (path / schema.FILE).exists():
        (path / schema.FILE).touch(mode=0o600)
        disk.sync_folder(path)


def _bring_up(db: Database, path: Path, clock: Callable[[], datetime], create: bool) -> None:
    schema.bring_up_to_date(db, path, create)
    with contextlib.ExitStack() as stack:
        if create and not log.last(db):
            stack.enter_context(schema.transaction(db))
            if not log.last(db):
                log.insert(db, log.linked(None, log.new_id(), "notebook", {"form": 1}, None, None, clock(), ()))
