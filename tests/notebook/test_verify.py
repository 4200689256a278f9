"""The check notices every alteration, says the same every time, and writes nothing."""

import hashlib
import os
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from fieldnote.errors import NotebookProblem
from fieldnote.notebook import Notebook, Report, schema, verify
from tests.faults.test_killed_processes import PROGRAM

COLUMNS = "seq id kind visit item at payload texts salt content parent hash".split()
ROWS = 10  # of the notebook `filled`


def codes(report: Report) -> set[str]:
    return {damage.code for damage in report.damage}


@pytest.fixture
def opened(filled):
    """The database with its guards taken away, as whoever owns the disk can do."""
    db = sqlite3.connect(filled / "notebook.db", isolation_level=None)
    guards = db.execute("select name, sql from sqlite_master where type = 'trigger' and tbl_name = 'record'").fetchall()
    for name, _ in guards:
        db.execute(f"drop trigger {name}")
    db.execute("pragma ignore_check_constraints = on")
    yield db
    db.close()


def guards_back(db: sqlite3.Connection) -> None:
    for sql in schema.GUARDS:
        db.execute(sql)
    db.execute("pragma wal_checkpoint(truncate)")


def test_a_notebook_that_nobody_touched_is_sound(filled):
    """Nothing disagrees in a notebook with visits, media, corrections and an erasure."""
    report = verify(filled)
    assert report.sound and report.media == 3 and report.records == ROWS
    assert report.left_out == tuple(sorted({*report.left_out} - {"record"}))


@pytest.mark.parametrize("column", COLUMNS)
@pytest.mark.parametrize("row", range(1, ROWS + 1))
def test_every_value_of_the_log_is_covered(filled, opened, row, column):
    """Each value of each record, changed with the guards lifted and put back, is noticed."""
    old = opened.execute(f"select {column} from record where seq = ?", [row]).fetchone()[0]
    new = {"seq": 40 + row}.get(column) or (f"{old}0" if old is not None else "x")
    if column == "payload":
        new = f"[{old or 1}]"
    if column == "texts" and old is not None:
        new = '[["l","other words"]]'
    if column == "at":
        new = old.replace("2026", "2025")
    opened.execute(f"update record set {column} = ? where seq = ?", [new, row])
    guards_back(opened)
    assert codes(verify(filled)) - {"V-02"}


@pytest.mark.parametrize("row", range(1, ROWS + 1))
def test_every_missing_record_is_noticed(filled, opened, row):
    """Each record taken out, the last one too, is noticed."""
    opened.execute("delete from record where seq = ?", [row])
    guards_back(opened)
    assert codes(verify(filled)) & {"V-04", "V-05"}


@pytest.mark.parametrize("row", range(2, ROWS + 1))
def test_content_emptied_without_a_tombstone_is_noticed(filled, opened, row):
    """A record emptied as an erasure would, with no erasure on record, is noticed."""
    gone = opened.execute("select salt from record where seq = ?", [row]).fetchone()[0] is None
    opened.execute("update record set payload = null, texts = null, salt = null where seq = ?", [row])
    guards_back(opened)
    assert verify(filled).sound if gone else "V-06" in codes(verify(filled))


def test_exchanged_and_reordered_records_are_noticed(filled, opened):
    """Two records that change places, and two that exchange their content, are noticed."""
    opened.execute("update record set seq = 100 where seq = 4")
    opened.execute("update record set seq = 4 where seq = 5")
    opened.execute("update record set seq = 5 where seq = 100")
    guards_back(opened)
    assert "V-04" in codes(verify(filled))


def test_lifted_guards_and_added_tables_are_noticed(filled, opened):
    """A guard that is missing and a table that was added are named."""
    opened.execute("create table more (a)")
    named = {damage.where for damage in verify(filled).damage if damage.code == "V-02"}
    assert {"trigger record_stays", "trigger record_unaltered", "trigger record_at_the_end", "table more"} == named


def test_the_same_value_written_otherwise_is_noticed(filled, opened):
    """A payload with the same meaning in other characters is not what was written."""
    opened.execute("update record set payload = replace(payload, ':', ': ') where seq = 2")
    guards_back(opened)
    assert "V-03" in codes(verify(filled))


def flip(path: Path) -> None:
    content = bytearray(path.read_bytes())
    content[len(content) // 2] ^= 1
    path.write_bytes(content)


@pytest.mark.parametrize(
    ("how", "code"),
    [
        (flip, "V-12"),
        (lambda path: path.write_bytes(path.read_bytes()[:-1]), "V-12"),
        (lambda path: path.write_bytes(path.read_bytes() + b"x"), "V-12"),
        (lambda path: path.write_bytes(b""), "V-12"),
        (lambda path: path.unlink(), "V-11"),
        (lambda path: path.rename(path.with_suffix(".bin")), "V-11"),
        (lambda path: (path.parent / ("0" * 64 + ".txt")).write_text("more"), "V-13"),
    ],
    ids=["one bit", "cut", "longer", "emptied", "removed", "renamed", "added"],
)
def test_every_change_of_a_medium_is_noticed(filled, how, code):
    """A medium with one bit other, cut, longer, emptied, removed, renamed, and a file too many: each has its code."""
    for place in sorted(path for path in (filled / "media").rglob("*") if path.is_file()):
        copy = filled.with_name("copy")
        shutil.copytree(filled, copy)
        how(copy / place.relative_to(filled))
        assert code in codes(verify(copy))
        shutil.rmtree(copy)


def test_media_exchanged_and_linked_are_noticed(filled):
    """Two media that change places, and a link in the place of a medium, are noticed."""
    one, two, *_ = sorted(path for path in (filled / "media").rglob("*") if path.is_file())
    first, second = one.read_bytes(), two.read_bytes()
    one.write_bytes(second)
    two.write_bytes(first)
    assert len(verify(filled).damage) == 2
    two.unlink()
    two.symlink_to(one)
    assert len(verify(filled).damage) == 2


def test_a_damaged_database_is_told_without_a_traceback(filled):
    """Bytes changed anywhere in the database file give damage or a refusal, never a crash; the notebook is not opened wrongly."""
    whole = (filled / "notebook.db").read_bytes()
    for at in range(0, len(whole), len(whole) // 40):
        broken = bytearray(whole)
        broken[at : at + 64] = os.urandom(64)
        (filled / "notebook.db").write_bytes(broken)
        try:
            verify(filled)
        except NotebookProblem as problem:
            assert problem.code in ("FN-503", "FN-504", "FN-505")


def tree(folder: Path) -> dict[str, tuple[str, int, int]]:
    return {
        str(path.relative_to(folder)): (
            hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else "",
            path.stat().st_mtime_ns,
            path.stat().st_mode,
        )
        for path in [folder, *folder.rglob("*")]
    }


def test_checking_writes_nothing(filled):
    """Not one byte, name or time of the folder changes, in a notebook at rest and in one that a kill left behind."""
    before = tree(filled)
    verify(filled)
    assert tree(filled) == before
    held = Notebook.open(filled)
    held.append("thing", {})
    killed = filled.with_name("killed")
    shutil.copytree(filled, killed)
    held.close()
    before = tree(killed)
    assert verify(killed).records == ROWS + 1
    assert tree(killed) == before


def test_checking_says_the_same_twice_in_any_zone_and_locale(filled):
    """Two runs in two zones and two locales print the same bytes, damaged or not."""
    flip(next(path for path in (filled / "media").rglob("*") if path.is_file()))

    def run(**settings: str) -> tuple[int, bytes]:
        command = [sys.executable, "-c", PROGRAM, "verify", str(filled)]
        ended = subprocess.run(command, capture_output=True, env=os.environ | settings, check=False)
        return ended.returncode, ended.stdout

    one, two = run(TZ="Asia/Tokyo", LC_ALL="C"), run(TZ="America/Lima", LC_ALL="C.UTF-8", PYTHONHASHSEED="7")
    assert one == two and one[0] == 1 and b"V-12" in one[1]


def test_a_newer_notebook_is_refused_untouched(filled):
    """A notebook of a later schema is refused by every way of opening it, and not one byte of it changes."""
    db = sqlite3.connect(filled / "notebook.db")
    db.execute(
        "insert into _sqlite_migrations values ((select max(id) + 1 from _sqlite_migrations), 'notebook', 'm999_later', '')"
    )
    db.commit()
    db.execute("pragma wal_checkpoint(truncate)")
    db.close()
    before = hashlib.sha256((filled / "notebook.db").read_bytes()).hexdigest()
    for opening in (verify, Notebook.open, lambda path: Notebook.open(path, write=False)):
        with pytest.raises(NotebookProblem, match="FN-504"):
            opening(filled)
    assert hashlib.sha256((filled / "notebook.db").read_bytes()).hexdigest() == before
