"""A desk with a notebook in use and files written beside it, the commands that work on it, and what must hold after each."""

import json
import shutil
import sqlite3
from datetime import UTC, datetime
from pathlib import Path

from sqlite_utils import Database

from fieldnote import bootstrap, settings
from fieldnote.bundle import KeyPair, Keyring, open_bundle
from fieldnote.flow.process import read_and_check
from fieldnote.flow.take_in import take_in
from fieldnote.flow.view import view
from fieldnote.notebook import Notebook, schema
from tests.capture import corpus
from tests.faults.harness import Ended, Shim, check, fresh, points
from tests.faults.runner import SAID

KEYS = {"review": "a" * 20}  # more than there are cards
STATUSES = {"audit": (0, 1)}  # 1: something needs a person
REPEATED = {"close": (0, 2), "zip": (0, 2), "bag": (0, 2)} | STATUSES  # 2: it was done already


def make_bases(folder: Path) -> None:
    """Notebooks to start from: `base`, processed; `waiting`, with a recording and a note more; `old`, of the first schema."""
    (folder / "early.txt").write_text("the smell of primroses\n")
    (folder / "said.txt").write_text(SAID)
    (folder / "late.wav").write_bytes(corpus.wav(corpus.tone(1)))
    (folder / "late.txt").write_text("the hose is perished")
    with Notebook.open(folder / "base", create=True) as book:
        visit = book.open_visit("J-1", work="hob-service", appliances=["hob"])
        list(take_in(book, [folder / "early.txt", folder / "said.txt"], visit.id))
        chosen = settings.load(folder / "base", {"FIELDNOTE_HOME": str(folder)})
        read_and_check(book, bootstrap.extractor(), bootstrap.checker(chosen), visit)
    shutil.copytree(folder / "base", folder / "waiting")
    with Notebook.open(folder / "waiting") as book:
        list(take_in(book, [folder / "late.wav", folder / "late.txt"], visit.id))
    shutil.copytree(folder / "base", folder / "old")
    downgrade(folder / "old")


def downgrade(folder: Path) -> None:
    """Make the database anew as the first migration alone makes it, with the same records."""
    (folder / "notebook.db").rename(folder / "newer.db")
    (folder / "notebook.db").touch()
    db = Database(sqlite3.connect(folder / "notebook.db", isolation_level=None), execute_plugins=False)
    schema.migrations.apply(db, stop_before="m002_search")
    db.execute(f"attach '{folder / 'newer.db'}' as new")
    db.execute("insert into record select * from new.record order by seq")
    db.close()
    (folder / "newer.db").unlink()


class Place:
    """A desk with a notebook in use and files that are written beside it; everything on it is under faults."""

    def __init__(self, bases: Path, folder: Path) -> None:
        self.bases, self.desk, self.log = bases, folder / "desk", folder / "log"
        self.work, self.out = self.desk / "work", self.desk / "out"
        self.notes = [folder / "first.txt", folder / "second.txt"]
        for note in self.notes:
            note.write_text(f"{note.name}: burner cap cracked\n")
        with Notebook.open(bases / "base", write=False) as book:
            self.early = next(item.id for item in book.items() if item.name == "early.txt")
        self.key = KeyPair.new(settings.load().keys, "A. Engineer", datetime(2026, 11, 1, tzinfo=UTC))

    def fresh(self, start: str | None) -> None:
        """Put the desk back to what it was before, and let the machine forget which bundles it saw."""
        (settings.load().keys / "known.json").unlink(missing_ok=True)
        shutil.rmtree(self.desk, ignore_errors=True)
        self.out.mkdir(parents=True)
        fresh(self.bases / start if start else None, self.work)

    def argv(self, command: str) -> list[object]:
        start = ["--notebook", self.work]
        return {
            "add": [*start, "add", "--json", *self.notes],
            "close": [*start, "visit", "close"],
            "erase": [*start, "erase", self.early, "--reason", "asked for"],
            "backup": ["--notebook", self.bases / "base", "backup", self.work],
            "process": [*start, "process"],
            "review": [*start, "review", "--by", "A. Engineer"],
            "json": [*start, "export", "J-1", "--to", "json", "--output", self.out / "a.json"],
            "report": [*start, "report", "J-1", "--output", self.out / "a.html"],
            "zip": [*start, "export", "J-1", "--to", "bundle", "--output", self.out / "a.zip"],
            "bag": [*start, "export", "J-1", "--to", "bundle", "--output", self.out / "a"],
            "upgrade": [*start, "visit", "new", "J-2"],
            "audit": [*start, "audit", self.work],
        }[command]

    def points(self, shim: Shim, command: str, start: str | None, stride: int) -> range:
        """The operations of a command, all of them in a full run, else every `stride`-th."""
        self.once(shim, command, start)
        self.fresh(start)
        return points(shim, self.argv(command), self.desk, self.log, stride, KEYS.get(command, ""))

    def once(self, shim: Shim, command: str, start: str | None) -> Ended:
        """Run a command without a fault; what it does is remembered."""
        self.fresh(start)
        ended = self.run(shim, command)
        assert ended.status in STATUSES.get(command, (0,)), ended
        self.undisturbed = became(self, command)
        return ended

    def run(self, shim: Shim, command: str, **fault: object) -> Ended:
        return shim.run(self.argv(command), self.desk, keys=KEYS.get(command, ""), **fault)


def again(shim: Shim, place: Place, command: str) -> None:
    """The same command, without a fault, does what it was asked for."""
    ended = place.run(shim, command)
    assert ended.status in REPEATED.get(command, (0,)), ended
    done(place, command)


def kept(place: Place, command: str, ended: Ended) -> None:
    """What a person was told is there, and no file stands under its name that is not whole."""
    if command == "review":
        shown = sum(" to go." in line or line.endswith("about the first of them.") for line in ended.out.splitlines())
        assert decided_in(place.work) >= shown - 1 - ended.out.count("FN-")
    for path in place.out.iterdir():
        if not path.name.startswith("."):
            whole(place, path)
    if command in ("zip", "bag") and ended.out:
        assert packed(place) == 1 and (place.out / ended.out.strip()).exists()


def decided_in(folder: Path) -> int:
    """How many decisions are kept; none of them twice."""
    with Notebook.open(folder, write=False) as book:
        targets = [entry.payload["target"] for entry in book.entries(kind="decision")]
    assert len(targets) == len(set(targets))
    return len(targets)


def became(place: Place, command: str) -> object:
    """What a command did, to be compared with what it did undisturbed."""
    with Notebook.open(place.work, write=False) as book:
        if command == "process":
            return [line.id for line in view(book, "J-1").lines]
        if command == "review":
            return sorted(str(entry.payload["target"]) for entry in book.entries(kind="decision"))
    if command in ("json", "report"):
        return next(path.read_bytes() for path in place.out.iterdir() if not path.name.startswith("."))
    return command


def packed(place: Place) -> int:
    """How many bundles left, by the notebook."""
    with Notebook.open(place.work, write=False) as book:
        return sum(1 for _ in book.entries(kind="packed"))


def whole(place: Place, path: Path) -> None:
    """A file under its final name is complete."""
    if path.suffix == ".json":
        assert json.loads(path.read_bytes())
    elif path.suffix == ".html":
        assert path.read_text().rstrip().endswith("</html>")
    else:
        assert open_bundle(path, Keyring().trusting(place.key.public), datetime.now(UTC)).problems == ()


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
            assert names == {"early.txt", "said.txt"}
        if command == "process":
            assert [entry.payload["text"] for entry in book.entries(kind="transcript")] == [SAID]
        if command == "upgrade":
            assert book.visits()[-1].ref == "J-2" and book.search("primroses")
    if command == "erase":
        assert "early.txt" not in names
        assert all(b"primroses" not in path.read_bytes() for path in place.work.rglob("*") if path.is_file())
    assert became(place, command) == place.undisturbed
    if command in ("zip", "bag"):
        assert packed(place) == 1
    if command in ("json", "report", "zip", "bag"):
        kept(place, command, Ended(0, "", ""))
        assert len([path for path in place.out.iterdir() if not path.name.startswith(".")]) == 1
