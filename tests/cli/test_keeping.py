"""The commands that keep things: what they print, how they end, what is left behind."""

import json
import os
import socket
import struct
import subprocess
import zipfile
from pathlib import Path

import pytest

from fieldnote.cli import main
from fieldnote.notebook import Notebook
from tests.capture import corpus
from tests.faults.test_killed_processes import SLOW


@pytest.fixture
def run(tmp_path, capfd):
    """Run a command on a notebook of this test; gives status, standard output and standard error."""

    def call(*words: object) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as ended:
            main(["--notebook", str(tmp_path / "book"), *(str(word) for word in words)])
        out, err = capfd.readouterr()
        return int(ended.value.code or 0), out, err

    return call


def test_a_visit_from_opening_to_closing(run, tmp_path):
    """A visit is opened, listed, closed without access; what came to the wrong one is moved and found at the other."""
    note = tmp_path / "a.txt"
    note.write_text("washer perished\n")
    assert run("visit", "new", "J-1", "--work", "service", "--appliance", "hob", "--appliance", "fire")[0] == 0
    status, out, _ = run("add", note, "--json")
    added = json.loads(out)
    assert status == 0 and added["status"] == "added" and added["kind"] == "note" and added["path"] == str(note)
    run("visit", "new", "J-2")
    assert run("visit", "move", added["id"], "J-2")[0] == 0
    assert json.loads(run("list", "--json", "--visit", "J-2")[1])["id"] == added["id"]
    assert run("visit", "close", "--no-access")[0] == 0
    visits = [json.loads(line) for line in run("visit", "list", "--json")[1].splitlines()]
    assert [(v["ref"], v["no_access"], v["closed_at"] is None) for v in visits] == [
        ("J-1", False, True),
        ("J-2", True, False),
    ]
    assert visits[0]["appliances"] == ["hob", "fire"]
    assert run("search", "perished")[0] == 0 and run("search", "nothing")[0] == 1


def test_what_may_have_been_meant_otherwise_is_said_at_once(run):
    """A second visit of the same name, work without a checklist and an unknown appliance: opened, and named."""
    status, out, err = run("visit", "new", "J-1", "--work", "safety-check", "--appliance", "hob")
    assert status == 0 and out.startswith("opened") and err == ""
    first = out.split()[1]
    status, out, err = run("visit", "new", "J-1", "--work", "saftey-check", "--appliance", "hobb", "--json")
    assert status == 0 and json.loads(out)["ref"] == "J-1"
    again, work, appliance = err.splitlines()
    assert first in again and "safety-check" in work and "hobb" in appliance


def test_a_search_does_not_read_as_its_opposite(run, tmp_path):
    """What was looked for and is not there is shown so, with the words it was said in."""
    run("visit", "new", "J-1")
    note = tmp_path / "a.txt"
    note.write_text("Hob. The hose is not leaking.\n")
    assert run("add", note)[0] == 0 and run("process")[0] == 0
    assert "hose no sign of leaking" in run("search", "hose", "leaking")[1]


def test_the_cameras_clock_can_be_told_when_photos_are_added(run, tmp_path):
    """Kept for the visit in seconds and said; without a visit it is refused in one line and nothing is taken in."""
    note = tmp_path / "a.txt"
    note.write_text("washer perished\n")
    status, _, err = run("add", note, "--camera-offset", "-37")
    assert status == 2 and len(err.strip().splitlines()) <= 2 and "FN-204" in err
    run("visit", "new", "J-1")
    status, _, err = run("add", note, "--camera-offset", "-37")
    assert status == 0 and "-37 s" in err
    with Notebook.open(tmp_path / "book", write=False) as book:
        (kept,) = book.entries(kind="camera-offset")
        assert kept.payload == {"seconds": -37.0}


def test_what_cannot_be_used_is_named_and_the_rest_is_done(run, tmp_path):
    """One refused file is one line of error that names it, status 3, and the others are taken in; with no visit open too."""
    good, bad = tmp_path / "good.txt", tmp_path / "bad.wav"
    good.write_text("cap cracked")
    bad.write_bytes(corpus.picture())
    status, out, err = run("add", bad, good, tmp_path / "missing.jpg", "--json")
    lines = [json.loads(line) for line in out.splitlines()]
    assert status == 3 and [line["status"] for line in lines] == ["refused", "added", "refused"]
    assert list(lines[0]) == ["path", "id", "kind", "sha256", "status", "reason"]
    assert len(err.splitlines()) == 2 and "bad.wav" in err.splitlines()[0] and "missing.jpg" in err.splitlines()[1]
    assert run("add", good, good)[1].count("already-here") == 2


def test_usage_errors_and_missing_things_have_their_status(run, tmp_path):
    """Wrong words are 2, an unknown visit or record is 2, a missing notebook is 5, each in one line."""
    assert run("list")[0] == 5
    run("visit", "new", "J-1")
    for words, status in (
        (["add"], 2),
        (["add", "--visit", "J-9", tmp_path / "x"], 2),
        (["visit", "close", "J-9"], 2),
        (["erase", "nothing", "--reason", "x"], 2),
        (["erase", "nothing"], 2),
        (["erase", "nothing", "--reason", " "], 2),
        (["visit", "new", ""], 2),
        (["visit", "new", "one\ntwo"], 2),
        (["visit", "new", "\x1b[31m"], 2),
        (["visit", "new", "x" * 201], 2),
        (["restore", tmp_path / "nowhere"], 2),
    ):
        found, _, err = run(*words)
        assert found == status and len(err.splitlines()) == 1, (words, found, err)


def test_hostile_names_are_filed_and_come_back_exactly(tmp_path):
    """Thirty hostile names: one line each, no raw control byte on any output, the exact name readable from the JSON."""
    folder, book = tmp_path / "in", tmp_path / "book"
    folder.mkdir()
    for number, name in enumerate(corpus.NAMES):
        (folder / name).write_text(f"note {number}\n")
    command = [*SLOW, "--notebook", str(book)]

    def output(*words: str) -> list[str]:
        ended = subprocess.run([*command, *words], cwd=folder, capture_output=True, check=True)
        text = (ended.stdout + ended.stderr).decode("ascii" if "--json" in words else "utf-8")
        assert not [c for c in text if ord(c) < 32 and c != "\n"] and "\x7f" not in text and "\u202e" not in text
        return text.splitlines()

    assert len(corpus.NAMES) == 30
    added = [json.loads(line) for line in output("add", "--json", "--", *sorted(corpus.NAMES))]
    assert {line["path"] for line in added} == set(corpus.NAMES)
    assert len(output("list")) == 30
    kept = {json.loads(line)["name"] for line in output("list", "--json")}
    assert {os.fsencode(name) for name in kept} == {os.fsencode(path.name) for path in folder.iterdir()}


def test_the_corpus_leaves_nothing_behind(tmp_path):
    """All broken and hostile files in one command: one line each, status 3, no draft, no traceback; what was taken is sound."""
    files = corpus.put(tmp_path / "files")
    words = ["--notebook", str(tmp_path / "book"), "add", "--json", *map(str, files)]
    ended = subprocess.run([*SLOW, *words], capture_output=True, text=True, timeout=300, check=False)
    lines = [json.loads(line) for line in ended.stdout.splitlines()]
    assert ended.returncode == 3 and len(lines) == len(files) and "Traceback" not in ended.stderr
    refused = [line for line in lines if line["status"] == "refused"]
    assert len(ended.stderr.splitlines()) == len(refused)
    assert list((tmp_path / "book" / "drafts").iterdir()) == []
    with Notebook.open(tmp_path / "book", write=False) as book:
        assert len(book.items()) == sum(line["status"] == "added" for line in lines)


@pytest.mark.parametrize("ending", ["m4a", "mp3", "flac", "ogg", "wav"])
def test_no_tag_of_a_recording_leaves_with_an_export(run, tmp_path, ending):
    """Artist, place and remark in a recording's own tags (MP4, ID3, Vorbis comments, RIFF INFO and bext) stay in the original:
    no export, report or list has them."""
    secret = "Olive Owner 51.5007 SN-998877"
    tags = {"title": secret, "artist": secret, "comment": secret, "location": "+51.5007-000.1246/", "copyright": secret}
    sound = corpus.encoded(ending, metadata=tags) if ending != "wav" else _broadcast_wave(secret)
    assert b"Olive Owner" in sound
    (tmp_path / f"a.{ending}").write_bytes(sound)
    run("visit", "new", "J-1")
    assert run("add", tmp_path / f"a.{ending}")[0] == 0
    outputs = [run("show", "J-1", "--json")[1], run("list", "--json")[1]]
    for kind in ("json", "jsonl", "csv", "xlsx", "ics"):
        assert run("export", "J-1", "--to", kind, "--output", tmp_path / f"out.{kind}")[0] == 0
    assert run("report", "J-1", "--output", tmp_path / "out.html")[0] == 0
    with zipfile.ZipFile(tmp_path / "out.xlsx") as sheets:
        outputs += [sheets.read(name).decode("utf-8", "replace") for name in sheets.namelist()]
    outputs += [path.read_text("utf-8", "replace") for path in tmp_path.glob("out.*") if path.suffix != ".xlsx"]
    assert len(outputs) > 8 and not [
        text for text in outputs if "Olive" in text or "51.5007" in text or "998877" in text
    ]


def _broadcast_wave(secret: str) -> bytes:
    """A WAV with a `bext` chunk (EBU Tech 3285, section 2.3) and an INFO list (RIFF) that name somebody."""
    plain = corpus.wav(corpus.tone())
    bext = secret.encode().ljust(256, b"\0") + secret.encode().ljust(32, b"\0")[:32] + b"\0" * 314
    info = (
        b"INFOIART"
        + struct.pack("<I", len(secret) + len(secret) % 2)
        + secret.encode().ljust(len(secret) + len(secret) % 2, b"\0")
    )
    more = b"bext" + struct.pack("<I", len(bext)) + bext + b"LIST" + struct.pack("<I", len(info)) + info
    return plain[:4] + struct.pack("<I", len(plain) - 8 + len(more)) + plain[8:12] + more + plain[12:]


def test_erasing_a_recording_takes_what_was_read_from_it(run, tmp_path):
    """With a recording go its transcript, what was extracted, what was worked out, and decisions on its lines; others stay."""
    from fieldnote.flow.process import process
    from tests import fakes

    first, second = corpus.wav(corpus.tone(1)), corpus.wav(corpus.tone(2))
    with Notebook.open(tmp_path / "book", create=True, clock=fakes.Clock()) as book:
        visit = book.open_visit("J-1")
        ids = []
        for number, sound in enumerate((first, second)):
            looked = fakes.incoming(tmp_path, f"{number}.wav", sound, at=fakes.START.replace(hour=10 + number))
            ids.append(book.file(looked, visit.id).id)
        engine = fakes.ScriptedEngine({first: "primrose electrode cracked", second: "pressure 20.5"})
        list(process(book, lambda: engine, fakes.WordReader, fakes.count_checker))
        from fieldnote.flow.view import lines_now

        lines, _, _ = lines_now(book, visit.id)
        for line in lines:
            book.append(
                "decision",
                {"kind": "accept", "target": line.id, "seen": {"words": line.current.evidence.text}},
                visit=visit.id,
            )
    assert run("erase", ids[0], "--reason", "asked for")[0] == 0
    left = [path.name for path in (tmp_path / "book").rglob("*") if path.is_file() and b"primrose" in path.read_bytes()]
    assert left == []
    with Notebook.open(tmp_path / "book", write=False) as book:
        assert [item.id for item in book.items()] == [ids[1]]
        assert [e.item for e in book.entries(kind="transcript") if not e.erased] == [ids[1]]
        decisions = [e.payload["seen"]["words"] for e in book.entries(kind="decision") if not e.erased]
        assert decisions == ["pressure 20.5"]
    assert run("verify")[0] == 0


def test_backup_and_restore_at_the_command_line(run, tmp_path):
    """A backup is checked and named; restored elsewhere it is the same notebook; damage is status 5 and one line."""
    run("visit", "new", "J-1")
    assert run("backup", tmp_path / "copy")[0] == 0
    assert run("--notebook", tmp_path / "other", "restore", tmp_path / "copy")[0] == 0
    assert run("verify", tmp_path / "other")[1] == run("verify")[1]
    assert run("restore", tmp_path / "copy")[0] == 2


def test_a_watched_folder_is_taken_in(run, tmp_path):
    """What lies in a watched folder is taken in once; nothing there is moved or removed."""
    folder = tmp_path / "landing"
    folder.mkdir()
    (folder / "a.txt").write_text("cap cracked")
    (folder / "b.part").write_text("half")
    status, out, _ = run("watch", folder, "--once", "--rest", "0.1", "--json")
    assert status == 0 and json.loads(out)["status"] == "added"
    assert sorted(path.name for path in folder.iterdir()) == ["a.txt", "b.part"]


def test_no_socket_is_opened_by_keeping(run, tmp_path, monkeypatch):
    """Adding, listing, searching and checking open no socket at all."""

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("a socket")

    monkeypatch.setattr(socket, "socket", refuse)
    note = Path(tmp_path / "a.txt")
    note.write_text("cap cracked")
    for words in (["add", note], ["list"], ["search", "cap"], ["verify"]):
        assert run(*words)[0] == 0
