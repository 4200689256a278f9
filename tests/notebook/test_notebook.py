"""Visits, items and records: what goes in comes out, in the order in which it was kept."""

import hashlib
import os
import stat
import threading
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldnote.errors import InputProblem, NotebookProblem, UsageProblem
from fieldnote.notebook import Notebook, verify
from fieldnote.records.chain import ROOT, content_hash, disagreement, link_hash
from tests.notebook.conftest import incoming

JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=8,
)


def test_visits_are_found_by_reference_and_by_id(book):
    """The newest visit of a reference is meant; an id names one; the last one opened and not closed is current."""
    first, second = book.open_visit("J-1", work="service"), book.open_visit("J-1", appliances=("hob", "fire"))
    assert book.visit("J-1") == second and book.visit(first.id) == first
    assert second.appliances == ("hob", "fire") and first.work == "service"
    book.close_visit(second.id, no_access=True)
    assert book.current_visit() == first
    assert book.visit(second.id).no_access and book.visit(second.id).closed_at is not None
    with pytest.raises(UsageProblem, match="FN-205"):
        book.visit("J-2")


def test_the_same_bytes_are_filed_once(book, tmp_path):
    """The same bytes under another name are already here; what waits under no visit is listed so, and can be moved."""
    first = book.file(incoming(tmp_path / "a.txt", b"one"), None)
    again = book.file(incoming(tmp_path / "b.txt", b"one"), None)
    assert (first.status, again.status, again.id) == ("added", "already-here", first.id)
    assert [item.name for item in book.items(None)] == ["a.txt"]
    visit = book.open_visit("J-1")
    book.move(first.id, visit.id)
    assert book.items(None) == () and book.item(first.id).visit == visit.id
    assert [entry.payload for entry in book.entries(kind="move")] == [{"from": None}]
    with pytest.raises(UsageProblem, match="FN-206"):
        book.item("nothing")


def test_a_medium_is_stored_untouched_and_private(book, tmp_path):
    """The stored bytes have the input's SHA-256; the input keeps bytes, time and mode; folders are 0700, files 0600."""
    path = tmp_path / "a.wav"
    looked = incoming(path, os.urandom(300_000), "recording")
    path.chmod(0o640)
    os.utime(path, (1e9, 1e9))
    before = path.stat()
    book.file(looked, None)
    stored = book.media(looked.sha256)
    assert hashlib.sha256(stored.read_bytes()).hexdigest() == looked.sha256
    after = path.stat()
    assert (after.st_mtime_ns, after.st_mode, after.st_size) == (before.st_mtime_ns, before.st_mode, before.st_size)
    for found in [book.path, *book.path.rglob("*")]:
        assert stat.S_IMODE(found.stat().st_mode) == (0o700 if found.is_dir() else 0o600), found


def test_a_file_that_changed_since_it_was_looked_at_is_refused(book, tmp_path):
    """Bytes other than those looked at are not filed, and nothing is left behind."""
    looked = incoming(tmp_path / "a.txt", b"one")
    (tmp_path / "a.txt").write_bytes(b"two")
    with pytest.raises(InputProblem, match=r"a\.txt"):
        book.file(looked, None)
    assert book.items() == () and list((book.path / "drafts").iterdir()) == []


def test_a_lost_medium_comes_back_when_it_is_added_again(book, tmp_path):
    """A medium that went missing is put back by adding the same file, and the check passes again."""
    looked = incoming(tmp_path / "a.txt", b"one")
    book.file(looked, None)
    book.media(looked.sha256).unlink()
    assert not verify(book.path).sound
    assert book.file(looked, None).status == "already-here"
    assert verify(book.path).sound


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(payload=JSON, words=st.text())
def test_any_payload_comes_back_as_it_went_in(book, payload, words):
    """Whatever JSON value is kept is read back equal, and its record closes the chain."""
    kept = book.append("thing", payload, texts=[("l", words)])
    *_, read = book.entries(kind="thing")
    assert read == kept and read.payload == payload and read.texts == (("l", words),)


def test_values_that_are_no_json_are_refused_before_anything_is_written(book):
    """NaN and exact decimals that were not made text raise; nothing of them is kept."""
    for wrong in (float("nan"), Decimal("20.50"), {1, 2}):
        with pytest.raises((ValueError, TypeError)):
            book.append("thing", wrong)
    assert list(book.entries(kind="thing")) == []


def test_decimals_as_text_keep_their_zeros(book):
    """An exact decimal that travels as text comes back with its last zero."""
    book.append("reading", {"value": str(Decimal("20.50"))})
    assert next(book.entries(kind="reading")).payload["value"] == "20.50"


def test_records_are_chained_and_salted(book):
    """Each record names the hash of the one before; equal content has different content hashes."""
    one, two = book.append("thing", {"a": 1}), book.append("thing", {"a": 1})
    assert two.parent == one.hash and one.content != two.content
    first = next(book.entries())
    assert first.parent == ROOT and first.id == book.id
    assert one.hash == link_hash(one) and one.content == content_hash(one.salt, one.payload, one.texts)
    assert disagreement(two, one.hash, two.seq) is None


def test_the_log_refuses_every_other_change(filled):
    """SQL that updates, deletes, replaces or inserts out of order is refused by the database itself."""
    import sqlite3

    db = sqlite3.connect(filled / "notebook.db")
    db.execute("pragma recursive_triggers = on")
    before = db.execute("select * from record order by seq").fetchall()
    columns = [row[1] for row in db.execute("pragma table_info(record)")]
    tries = [f"update record set {column} = 'x' where seq = 2" for column in columns]
    tries += [
        "update record set payload = null, texts = null, salt = null where seq = 2",
        "delete from record where seq = 9",
    ]
    tries += ["insert or replace into record select * from record where seq = 3"]
    rest = "kind, visit, item, at, payload, texts, salt, content, 'p', 'h'"
    tries += [f"insert into record select 99, 'n', {rest} from record where seq = 2"]
    for sql in tries:
        with pytest.raises(sqlite3.Error):
            db.execute(sql)
    assert db.execute("select * from record order by seq").fetchall() == before
    db.close()


def test_a_correction_leaves_the_earlier_text_readable(book):
    """A second transcript stands after the first; both are read, each with its moment, and search finds the newer."""
    book.append("transcript", {"text": "wash"}, item="i", texts=[("i", "wash worn")])
    book.append("transcript", {"text": "washer"}, item="i", texts=[("i", "washer worn")])
    assert [entry.payload["text"] for entry in book.entries(kind="transcript")] == ["wash", "washer"]
    assert [hit.words for hit in book.search("worn")] == ["washer worn"]


def test_search_takes_any_words(book):
    """All words must be there, the newest line first; signs of a query language are only signs."""
    for number in range(30):
        book.append("note", {}, texts=[(str(number), f'cap number {number} "cracked" OR (worn')])
    assert [hit.line for hit in book.search("cracked cap")][:3] == ["29", "28", "27"]
    assert len(book.search("crack*")) == 20 and len(book.search("cap", limit=5)) == 5
    for odd in ('"', "OR", "NEAR(", "a:b", "*", "-", "", "\x00", "\udcff", "^cap"):
        book.search(odd)
    assert book.search("missing") == []


def test_clock_jumps_are_recorded_and_order_stays(tmp_path):
    """Set back by an hour, a day, to 1970, in another zone and in the doubled hour: order is as kept, checks pass."""
    noon = datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    east = timezone(timedelta(hours=1))
    moments = [
        noon,
        noon.astimezone(east),
        noon + timedelta(hours=1),
        noon,
        noon - timedelta(days=1),
        datetime(1970, 1, 1, tzinfo=UTC),
        noon,
    ]
    clock = iter([noon, *moments])
    with Notebook.open(tmp_path / "b", create=True, clock=lambda: next(clock)) as book:
        for number in range(len(moments)):
            book.append("thing", number)
        assert [entry.payload for entry in book.entries(kind="thing")] == list(range(len(moments)))
        jumps = [(e.payload["from"][:10], e.payload["to"][:10]) for e in book.entries(kind="clock-jump")]
        assert jumps == [("2026-10-25", "2026-10-25"), ("2026-10-25", "2026-10-24"), ("2026-10-24", "1970-01-01")]
        assert len({entry.id for entry in book.entries()}) == sum(1 for _ in book.entries())
    assert verify(tmp_path / "b").sound


def test_writing_while_reading_and_from_two_threads(book):
    """Records may be kept while others are read, and from several threads at once."""
    for _ in range(3):
        book.append("thing", {})
    for entry in book.entries(kind="thing"):
        if entry.seq < 50:
            book.append("other", {"of": entry.seq})
    threads = [threading.Thread(target=lambda: [book.open_visit("J") for _ in range(20)]) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(book.visits()) == 60 and verify(book.path).sound


def test_a_busy_notebook_says_so(book, monkeypatch):
    """When another process holds the notebook for too long, one error says so."""
    from fieldnote.notebook import schema

    monkeypatch.setattr(schema, "PATIENCE", 0.1)
    with Notebook.open(book.path) as other, book._writing(), pytest.raises(NotebookProblem, match="FN-501"):
        other.append("thing", {})


def test_what_is_no_notebook_is_refused(tmp_path):
    """A missing folder, a folder without one, a file of another kind and an unfinished one: refused in one line each."""
    (tmp_path / "empty").mkdir()
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "notebook.db").write_bytes(b"not a database at all" * 300)
    (tmp_path / "unmade").mkdir()
    (tmp_path / "unmade" / "notebook.db").touch()
    for name in ("missing", "empty", "other", "unmade"):
        for write in (True, False):
            with pytest.raises(NotebookProblem) as raised:
                Notebook.open(tmp_path / name, write=write)
            assert raised.value.code == "FN-503" and len(raised.value.line().splitlines()) == 1


def test_what_is_due_for_erasure(tmp_path):
    """Items kept for as long as asked are listed; nothing is erased; senseless numbers of days are refused."""
    start = datetime(2026, 1, 1, tzinfo=UTC)
    with Notebook.open(tmp_path / "b", create=True, clock=lambda: start) as book:
        receipt = book.file(incoming(tmp_path / "a.txt", b"one"), None)
        assert book.retention(30, start + timedelta(days=29)) == ()
        assert [item.id for item in book.retention(30, start + timedelta(days=30))] == [receipt.id]
        assert len(book.items()) == 1
        for days in (-1, 0, 10**30):
            with pytest.raises(UsageProblem, match="FN-201"):
                book.retention(days, start)
