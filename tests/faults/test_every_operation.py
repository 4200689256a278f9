"""A fault at each file operation of one command: a kill, a torn write, a full disk, a failing disk, a disk gone read-only."""

import errno
import shutil
from pathlib import Path

import pytest

from fieldnote.notebook import Notebook
from tests.faults.harness import Shim, check, fresh, holds, points

pytestmark = pytest.mark.skipif(shutil.which("cc") is None, reason="needs a C compiler")
STRIDE = 7


@pytest.fixture(scope="module")
def shim(tmp_path_factory):
    made = Shim(tmp_path_factory.mktemp("shim"))
    yield made
    made.close()


class Place:
    """A notebook with one visit and one note, two more notes to take in, and a folder to work in."""

    def __init__(self, folder: Path) -> None:
        self.base, self.work, self.log = folder / "base", folder / "work", folder / "log"
        self.notes = [folder / "first.txt", folder / "second.txt"]
        for note in self.notes:
            note.write_text(f"{note.name}: burner cap cracked\n")
        early = folder / "early.txt"
        early.write_text("the smell of primroses\n")
        with Notebook.open(self.base, create=True) as book:
            visit = book.open_visit("J-1")
        from fieldnote.flow.take_in import take_in

        with Notebook.open(self.base) as book:
            self.early = next(receipt.id for receipt in take_in(book, [early], visit.id))

    def argv(self, command: str) -> list[object]:
        start = ["--notebook", self.work]
        return {
            "add": [*start, "add", "--json", *self.notes],
            "close": [*start, "visit", "close"],
            "erase": [*start, "erase", self.early, "--reason", "asked for"],
            "backup": ["--notebook", self.base, "backup", self.work],
        }[command]


@pytest.fixture
def place(tmp_path):
    return Place(tmp_path)


CASES = [("add", True), ("add", False), ("close", True), ("erase", True), ("backup", False)]


@pytest.mark.parametrize("kind", ["kill", "torn"])
@pytest.mark.parametrize(("command", "there"), CASES)
def test_a_kill_at_any_operation_loses_nothing(shim, place, command, there, kind):
    """Killed at any file operation: nothing acknowledged is lost, twice or half there, and the same command makes it good."""
    base = place.base if there else None
    fresh(base, place.work)
    met = points(shim, place.argv(command), place.work, place.log, STRIDE)
    hits = 0
    for at in met:
        fresh(base, place.work)
        ended = shim.run(place.argv(command), place.work, at=at, kind=kind)
        assert ended.status in (-9, 0), (at, ended)
        hits += ended.status == -9
        holds(place.work, ended.told)
        again(shim, place, command)
    assert hits >= 0.8 * len(met)  # two notes filed in one go take fewer operations than one after the other


@pytest.mark.parametrize("lasts", [False, True], ids=["once", "for good"])
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO, errno.EROFS], ids=["full", "failing", "read-only"])
@pytest.mark.parametrize(("command", "there"), CASES)
def test_a_failing_disk_is_told_and_loses_nothing(shim, place, command, there, number, lasts):
    """An error at any file operation: no traceback, no success with fewer records, nothing acknowledged is lost."""
    base = place.base if there else None
    fresh(base, place.work)
    for at in points(shim, place.argv(command), place.work, place.log, 2 * STRIDE + 1):
        fresh(base, place.work)
        ended = shim.run(place.argv(command), place.work, at=at, kind=number, lasts=lasts)
        assert "Traceback" not in ended.err and ended.status not in (70, 97, 98, 99), (at, ended)
        assert ended.status >= 0, (at, ended)
        if ended.status:
            lines = [line for line in ended.err.splitlines() if line.startswith("fieldnote: ")]
            assert len(lines) == 1, (at, ended)
        else:
            done(place, command)
        holds(place.work, ended.told)
        again(shim, place, command)


def again(shim: Shim, place: Place, command: str) -> None:
    """The same command, without a fault, does what it was asked for."""
    ended = shim.run(place.argv(command), place.work)
    closed_already = command == "close" and ended.status == 2
    assert ended.status == 0 or closed_already, ended
    done(place, command)


def done(place: Place, command: str) -> None:
    report = check(place.work)
    assert report is not None and report.sound, report
    with Notebook.open(place.work, write=False) as book:
        names = {item.name for item in book.items()}
        if command == "add":
            assert {note.name for note in place.notes} <= names
        if command == "close":
            assert book.visits()[0].closed_at is not None
        if command == "backup":
            assert names == {"early.txt"}
    if command == "erase":
        assert "early.txt" not in names
        assert all(b"primroses" not in path.read_bytes() for path in place.work.rglob("*") if path.is_file())
