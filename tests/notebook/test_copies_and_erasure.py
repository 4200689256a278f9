"""Backups, restoring, erasure, upgrades, and folders that may only be read."""

import errno
import os
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from sqlite_utils import Database

from fieldnote.errors import NotebookProblem, UsageProblem
from fieldnote.notebook import Notebook, backup, restore, schema, verify
from tests.faults.test_killed_processes import PROGRAM
from tests.notebook.conftest import incoming
from tests.notebook.test_verify import flip, tree

NOBODY = 65534


def holds_words(folder: Path, *words: str) -> list[str]:
    """Files under a folder that hold any of the words, in either case, as UTF-8 or UTF-16."""
    forms = [form for word in words for form in (word.encode(), word.upper().encode(), word.encode("utf-16-le"))]
    files = [path for path in folder.rglob("*") if path.is_file()]
    return [path.name for path in files if any(form in path.read_bytes() for form in forms)]


# ---- erasure


def test_erased_words_are_nowhere_in_the_folder(book, tmp_path):
    """After an erasure no file of the notebook holds a word of it: database, log, free pages, index, media."""
    words = "primrose lane gate code 4711"
    visit = book.open_visit("J-1")
    note = book.file(incoming(tmp_path / "primrose.txt", words.encode()), visit.id)
    for number in range(200):
        book.append("transcript", {"text": f"{words} {number}"}, visit=visit.id, item=note.id, texts=[("t", words)])
    other = book.append("transcript", {"text": "cap cracked"}, item="x", texts=[("x", "cap cracked")])
    assert holds_words(book.path, "primrose")
    stone = book.erase(note.id, reason="asked for", by="A. Fitter")
    assert holds_words(book.path, "primrose", "gate code") == []
    assert book.search("primrose") == [] and [hit.entry for hit in book.search("cracked")] == [other.id]
    assert book.items() == () and verify(book.path).sound
    assert len(stone.payload["records"]) == len(stone.payload["hashes"]) == 201
    assert (stone.payload["reason"], stone.payload["by"]) == ("asked for", "A. Fitter")


def test_short_erased_text_cannot_be_guessed(book, tmp_path):
    """Of an erased four-digit note neither its hash nor a hash that a guess could be tried against is left in the folder."""
    import hashlib

    note = book.file(incoming(tmp_path / "a.txt", b"4711"), None)
    entry = next(book.entries(kind="item"))
    book.erase(note.id, reason="asked for", by="A. Fitter")
    book.close()
    left = b"".join(path.read_bytes() for path in book.path.rglob("*") if path.is_file())
    names = " ".join(str(path) for path in book.path.rglob("*"))
    digest = hashlib.sha256(b"4711").hexdigest()
    assert digest.encode() not in left and digest[:8] not in names
    assert entry.salt.encode() not in left and entry.content.encode() in left


def test_erasing_is_finished_by_doing_it_again(book, tmp_path):
    """The same erasure again adds no second tombstone; unknown ids and the first record are refused."""
    note = book.file(incoming(tmp_path / "a.txt", b"one"), None)
    first = book.erase(note.id, reason="asked for", by="")
    assert book.erase(note.id, reason="again", by="") == first
    for wrong, code in (("nothing", "FN-206"), (book.id, "FN-201"), (first.id, "FN-201")):
        with pytest.raises(UsageProblem, match=code):
            book.erase(wrong, reason="x", by="")


def test_the_same_bytes_may_come_back_after_an_erasure(book, tmp_path):
    """A file that was erased and is added again is a new item."""
    looked = incoming(tmp_path / "a.txt", b"one")
    first = book.file(looked, None)
    book.erase(first.id, reason="asked for", by="")
    second = book.file(looked, None)
    assert second.status == "added" and second.id != first.id and verify(book.path).sound


def test_a_whole_visit_can_be_erased(book, tmp_path):
    """Erasing a visit takes all that is in it now; what was moved elsewhere stays, what was moved in goes."""
    one, two = book.open_visit("Primrose House"), book.open_visit("J-2")
    stays = book.file(incoming(tmp_path / "a.txt", b"stays"), one.id)
    goes = book.file(incoming(tmp_path / "b.txt", b"goes"), two.id)
    book.append("decision", {"reason": "primrose"}, visit=one.id)
    book.move(stays.id, two.id)
    book.move(goes.id, one.id)
    book.erase(one.id, reason="asked for", by="")
    assert [item.id for item in book.items()] == [stays.id]
    assert [visit.ref for visit in book.visits()] == ["J-2"]
    assert holds_words(book.path, "Primrose", "goes") == [] and verify(book.path).sound


# ---- copies


def test_a_backup_is_the_notebook(filled, tmp_path):
    """A copy has the same last record and the same media, is sound, and comes back as the notebook."""
    copied = backup(filled, tmp_path / "copy")
    assert copied == verify(filled)
    assert restore(tmp_path / "copy", tmp_path / "back") == copied
    with Notebook.open(tmp_path / "back") as book:
        book.open_visit("goes on")


def test_a_backup_is_brought_up_to_date(filled, tmp_path):
    """Made again into the same folder, a copy takes what is new and loses what was erased."""
    backup(filled, tmp_path / "copy")
    with Notebook.open(filled) as book:
        note = next(item for item in book.items() if item.kind == "note")
        book.file(incoming(tmp_path / "new.txt", b"new words"), None)
        book.erase(note.id, reason="asked for", by="")
    report = backup(filled, tmp_path / "copy")
    assert report == verify(filled) and holds_words(tmp_path / "copy", "new words")
    assert len([path for path in (tmp_path / "copy" / "media").rglob("*") if path.is_file()]) == report.media


def test_a_backup_while_somebody_writes_is_whole(book, tmp_path):
    """A copy of an open notebook is sound and holds what was kept before it began."""
    book.file(incoming(tmp_path / "a.txt", b"one"), None)
    assert backup(book.path, tmp_path / "copy").records == 2
    book.open_visit("J-1")


def test_nothing_else_is_written_over(filled, tmp_path):
    """A copy never goes over another notebook, other files, a notebook with more in it, or into itself."""
    (tmp_path / "papers").mkdir()
    (tmp_path / "papers" / "letter.txt").write_text("dear")
    with Notebook.open(tmp_path / "another", create=True) as other:
        other.open_visit("J-9")
    backup(filled, tmp_path / "newer")
    with Notebook.open(tmp_path / "newer") as newer:
        newer.open_visit("J-8")
    for target in ("papers", "another", "newer", "filled", "filled/inside"):
        before = tree(tmp_path / target) if (tmp_path / target).exists() else None
        with pytest.raises(UsageProblem, match="FN-201"):
            backup(filled, tmp_path / target)
        assert before is None or set(tree(tmp_path / target)) == set(before)
    with pytest.raises(UsageProblem, match="FN-201"):
        restore(filled, tmp_path / "another")
    with pytest.raises(NotebookProblem, match="FN-503"):
        backup(tmp_path / "missing", tmp_path / "copy")


def test_damage_is_not_copied_in_silence(filled, tmp_path):
    """A damaged medium stops the backup, and a damaged copy is not restored; no notebook appears in either place."""
    backup(filled, tmp_path / "good")
    for folder in (filled, tmp_path / "good"):
        flip(next(path for path in (folder / "media").rglob("*") if path.is_file()))
    with pytest.raises(NotebookProblem, match="FN-505"):
        backup(filled, tmp_path / "copy")
    with pytest.raises(NotebookProblem, match="FN-505"):
        restore(tmp_path / "good", tmp_path / "back")
    assert not (tmp_path / "copy" / "notebook.db").exists() and not (tmp_path / "back" / "notebook.db").exists()


# ---- upgrades


def hashes(folder: Path) -> dict[str, str]:
    """What is in the files of a folder, SQLite's shared memory left out."""
    return {name: marks[0] for name, marks in tree(folder).items() if marks[0] and not name.endswith(("-shm", "-wal"))}


@pytest.fixture
def first_schema(tmp_path, filled):
    """A notebook as the first migration alone made it, with records in it."""
    old = tmp_path / "old"
    shutil.copytree(filled, old)
    (old / "notebook.db").unlink()
    (old / "notebook.db").touch()
    db = Database(sqlite3.connect(old / "notebook.db", isolation_level=None), execute_plugins=False)
    schema.migrations.apply(db, stop_before="m002_search")
    db.execute(f"attach '{filled / 'notebook.db'}' as new")
    db.execute("insert into record select * from new.record order by seq")
    db.close()
    return old


def test_an_older_notebook_is_brought_up_to_date(first_schema, filled):
    """A notebook of the first schema opens, keeps every record, and its words can be searched afterwards."""
    with Notebook.open(first_schema) as book:
        assert [hit.words for hit in book.search("cracked")] == ["cap cracked"]
    assert verify(first_schema) == verify(filled)


def test_an_older_notebook_that_is_only_read_is_no_damaged_one(first_schema, filled):
    """Before it is brought up to date an older notebook is listed and checked as it is, and what it lacks is said."""
    hashes_before = hashes(first_schema)
    report = verify(first_schema)
    assert report.sound and report.head == verify(filled).head
    with Notebook.open(first_schema, write=False) as book:
        assert len(book.items()) == 3
        with pytest.raises(NotebookProblem, match="FN-506"):
            book.search("cracked")
    assert hashes(first_schema) == hashes_before


def test_an_upgrade_is_whole_or_not_there(first_schema, monkeypatch):
    """An upgrade that fails half-way leaves the notebook as it was, and works the next time."""
    before = (first_schema / "notebook.db").read_bytes()

    def fails(self: object, *_: object, **__: object) -> None:
        raise OSError(errno.EIO, "failing disk")

    with monkeypatch.context() as patch:
        patch.setattr("sqlite_utils.db.Table.populate_fts", fails)
        with pytest.raises(Exception, match="FN-406"):
            Notebook.open(first_schema)
    db = sqlite3.connect(first_schema / "notebook.db")
    assert db.execute("select count(*) from sqlite_master where name like 'line%'").fetchone() == (0,)
    db.close()
    assert len((first_schema / "notebook.db").read_bytes()) == len(before)
    with Notebook.open(first_schema) as book:
        assert book.search("cracked")


# ---- only to be read


def as_nobody(*words: object) -> subprocess.CompletedProcess[str]:
    """Run a command as an ordinary user: permissions prove nothing to root."""
    command = [sys.executable, "-c", PROGRAM, *(str(word) for word in words)]
    if os.geteuid() == 0:
        command = ["setpriv", f"--reuid={NOBODY}", f"--regid={NOBODY}", "--clear-groups", *command]
    settings = {**os.environ, "FIELDNOTE_HOME": "/nonexistent", "PYTHONDONTWRITEBYTECODE": "1"}
    return subprocess.run(command, capture_output=True, text=True, env=settings, check=False)


@pytest.fixture
def read_only(filled, common):
    """The notebook in a folder that an ordinary user can read and not write, also where a kill left its log behind."""
    if os.geteuid() == 0 and not shutil.which("setpriv"):
        pytest.skip("needs setpriv to become an ordinary user")
    held = Notebook.open(filled)
    held.append("transcript", {"text": "last words"}, texts=[("l", "last words")])
    killed = common / "killed"
    shutil.copytree(filled, killed)
    held.close()
    filled = shutil.copytree(filled, common / "filled")
    for folder in (filled, killed):
        for path in [folder, *folder.rglob("*")]:
            path.chmod(0o555 if path.is_dir() else 0o444)
    yield filled, killed
    for folder in (filled, killed):
        for path in [folder, *folder.rglob("*")]:
            path.chmod(0o755 if path.is_dir() else 0o644)


def test_a_notebook_that_can_only_be_read_is_read(read_only, common):
    """Without write permission listing, searching, showing, checking and exporting elsewhere work, writing is refused in one
    line, nothing changes."""
    exports = (
        ["export", "J-1", "--to", "json", "--output", common / "a.json"],
        ["report", "J-1", "--output", common / "a.html"],
    )
    for folder in read_only:
        before = tree(folder)
        for words in (["list"], ["visit", "list"], ["search", "last", "words"], ["verify"], ["show", "J-1"], *exports):
            ended = as_nobody("--notebook", folder, *words)
            assert ended.returncode == 0 and ended.stdout, (words, ended)
        for words in (
            ["visit", "new", "J-2"],
            ["visit", "close"],
            ["erase", "x", "--reason", "y"],
            ["process"],
            ["review"],
        ):
            ended = as_nobody("--notebook", folder, *words)
            assert ended.returncode == 5 and ended.stderr.count("\n") == 1, (words, ended)
            assert "FN-502" in ended.stderr, ended.stderr
        assert tree(folder) == before


def test_what_is_filed_is_asked_for_under_the_lock(tmp_path):
    """Media that another process files while a notebook is opened are spoken of by the time strays are looked for."""
    from fieldnote.notebook import erasure
    from tests import fakes

    asked = []
    with fakes.notebook(tmp_path) as book:

        def now():
            asked.append(book._db.conn.in_transaction)
            return book._now()

        erasure.remove_strays(book._db, book.path, now)
    assert asked == [True]
