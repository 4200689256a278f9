"""A model of a power cut: at each acknowledgement all bytes and all names of the notebook are synced."""

import shutil
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(shutil.which("cc") is None, reason="needs a C compiler")


class Disk:
    """What a power cut would take away: bytes not synced since they were written, names not synced since they were made."""

    def __init__(self) -> None:
        self.bytes: set[str] = set()
        self.names: set[str] = set()
        self.empty: set[str] = set()

    def after(self, what: str, path: str, other: str) -> None:
        if what in ("write", "cut"):
            self.bytes.add(path)
            self.empty.discard(path)
        elif what in ("make", "folder"):
            self.names.add(path)
            self.empty.add(path)
        elif what == "rename":
            self.names.discard(path)
            self.names.add(other)
            if path in self.bytes:
                self.bytes.remove(path)
                self.bytes.add(other)
        elif what == "remove":
            self.names.discard(path)
            self.bytes.discard(path)
        elif what == "sync":
            self.bytes.discard(path)
            self.names = {name for name in self.names if str(Path(name).parent) != path}

    def at_risk(self) -> set[str]:
        """All but drafts, which nobody was told of, SQLite's shared index, which is made anew, and its log while it is empty."""
        risk = {path for path in self.bytes | self.names if "/drafts/" not in path and not path.endswith("-shm")}
        return {path for path in risk if not (path.endswith("-wal") and path in self.empty)}


def told(log: Path) -> list[set[str]]:
    """What was at risk at each line on standard output."""
    disk, risks = Disk(), []
    for line in log.read_text().splitlines():
        what, path, other = line.split("\t")
        if what == "told":
            risks.append(disk.at_risk())
        else:
            disk.after(what, path, other)
    return risks


def test_nothing_acknowledged_is_at_risk(shim, tmp_path):
    """At each line that names a record, nothing of the notebook is unsynced, from the first start on."""
    log, book = tmp_path / "log", tmp_path / "books" / "mine"
    book.parent.mkdir()
    notes = [tmp_path / f"{n}.txt" for n in range(3)]
    for note in notes:
        note.write_text(f"note {note.name}\n")
    for argv in (["visit", "new", "J-1"], ["add", *notes], ["add", *notes], ["visit", "close"]):
        ended = shim.run(["--notebook", book, *argv], tmp_path / "books", log=log)
        assert ended.status == 0, ended.err
    risks = told(log)
    assert len(risks) >= 8
    assert not set().union(*risks)


def test_the_model_sees_what_is_not_synced():
    """The model itself notices unsynced bytes and an unsynced name, and lets synced ones go."""
    disk = Disk()
    disk.after("make", "/n/media/a", "")
    disk.after("write", "/n/media/a", "")
    assert disk.at_risk() == {"/n/media/a"}
    disk.after("sync", "/n/media/a", "")
    assert disk.names == {"/n/media/a"}
    disk.after("sync", "/n/media", "")
    assert disk.at_risk() == set()
