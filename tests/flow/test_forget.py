"""Erasing and copying what was said into a microphone, and everything that was made from it."""

import shutil

import numpy as np
import pytest

from fieldnote.capture import tape
from fieldnote.flow import taped
from fieldnote.flow.forget import forget
from fieldnote.flow.process import process, read_and_check
from fieldnote.flow.view import view
from fieldnote.notebook import Notebook, backup, restore, verify
from fieldnote.records import Transcript, to_plain
from tests import fakes
from tests.flow.test_live import Reader, run, texts  # noqa: F401 (a fixture)
from tests.notebook.test_copies_and_erasure import holds_words


def grow(book: Notebook, visit: str, words: str, *, still: bool = False) -> tape.Tape:
    """A recording with one phrase in its journal; left as by a kill unless it still grows."""
    one = tape.Tape(taped.folder_of(book), fakes.START)
    one.note({"visit": visit})
    one.write(np.full(tape.RATE, 900, np.int16))
    one.note({"phrase": to_plain(Transcript(words, (), "scripted", 1.0, words)), "asked": f"{words}?"})
    if not still:
        one.close()
    return one


@pytest.mark.parametrize("understood", [True, False])
def test_erasing_what_was_listened_to_takes_its_journal(run, monkeypatch, understood):  # noqa: F811
    """Words, questions and struck-out phrases of a live session are nowhere in the folder, also of one not understood."""
    if not understood:
        monkeypatch.setattr(Reader, "read", lambda *_, **__: 1 / 0)
    _, book = run(["primrose cracked", "pressure 210", "strike that", "primrose pressure 19"])
    (item,) = book.items()
    (live,) = book.entries(kind="live")
    assert live.payload["lines"] and holds_words(book.path, "primrose")
    taped.strike(book, item.id, item.visit, "A. Engineer", fakes.Clock())
    forget(book, item.id, reason="asked for", by="A. Engineer")
    assert holds_words(book.path, "primrose", "pressure") == []
    assert [entry.erased for entry in book.entries(kind="live")] == [True]
    assert taped.strike(book, item.id, item.visit, "A. Engineer", fakes.Clock()) == []
    assert view(book, "JOB-1").lines == () and verify(book.path).sound


def test_what_was_erased_does_not_come_back_from_an_unfiled_copy(tmp_path):
    """A recording that a kill left behind after it was filed goes with what is erased, and is not filed again."""
    with fakes.notebook(tmp_path) as book:
        visit = book.open_visit("JOB-1")
        grow(book, visit.id, "primrose cracked")
        shutil.copytree(taped.folder_of(book), tmp_path / "left")
        (kept,) = taped.recover(book)
        shutil.copytree(tmp_path / "left", taped.folder_of(book), dirs_exist_ok=True)
        forget(book, kept.item, reason="asked for", by="")
        assert list(taped.recover(book)) == [] and book.items() == ()
        assert holds_words(book.path, "primrose") == []


def test_a_backup_takes_what_is_not_filed_yet(tmp_path):
    """A recording that a kill left, or that still grows, is in the copy with its journal, and is filed after restoring."""
    with fakes.notebook(tmp_path) as book:
        visit = book.open_visit("JOB-1")
        growing = grow(book, visit.id, "primrose cracked", still=True)
        report = backup(book.path, tmp_path / "copy")
        assert report.sound and report.unfiled == 1 == verify(book.path).unfiled
        restore(tmp_path / "copy", tmp_path / "back")
        with Notebook.open(tmp_path / "back") as back:
            (kept,) = taped.recover(back)
            assert back.item(kept.item).seconds == 1.0 and texts(back) == []
            assert [line for e in back.entries(kind="live") for line in e.payload["lines"]]
        growing.write(np.full(tape.RATE, 900, np.int16))
        growing.close()
        list(taped.recover(book))
        report = backup(book.path, tmp_path / "copy")
        assert report.unfiled == 0 and report.media == 1
        assert holds_words(tmp_path / "copy" / "listening", "primrose") == []


def test_an_unfiled_recording_leaves_every_copy_once_it_is_erased(tmp_path):
    """Made again after an erasure, a copy holds no word of it, in no folder."""
    with fakes.notebook(tmp_path) as book:
        visit = book.open_visit("JOB-1")
        grow(book, visit.id, "primrose cracked")
        backup(book.path, tmp_path / "copy")
        assert holds_words(tmp_path / "copy", "primrose")
        forget(book, visit.id, reason="asked for", by="")
        backup(book.path, tmp_path / "copy")
        assert holds_words(tmp_path / "copy", "primrose") == [] == holds_words(book.path, "primrose")


@pytest.fixture
def two(tmp_path):
    """Two visits; the second got a recording that was read in the first before it was moved there."""
    with fakes.notebook(tmp_path) as book:
        one, other = book.open_visit("JOB-1"), book.open_visit("JOB-2")
        sounds = {b"a": "primrose cracked", b"b": "pressure 20.5"}
        moved, stays = (book.file(fakes.incoming(tmp_path, f"{data.decode()}.ogg", data), one.id).id for data in sounds)
        list(process(book, lambda: fakes.ScriptedEngine(sounds), fakes.WordReader, fakes.count_checker))
        book.move(moved, other.id)
        yield book, one, other, moved, stays


def test_a_visit_takes_what_was_read_from_its_recordings_elsewhere(two):
    """Words that an earlier visit read before the recording was moved go too; what was said there stays."""
    book, one, other, _, stays = two
    forget(book, other.id, reason="asked for", by="")
    assert holds_words(book.path, "primrose") == [] and [item.id for item in book.items()] == [stays]
    read_and_check(book, fakes.WordReader(), fakes.count_checker, one)
    assert [line.current.evidence.text for line in view(book, "JOB-1").lines] == ["pressure 20.5"]


def test_one_transcript_takes_what_was_read_from_it(two):
    """Erasing a single transcript leaves the recording, and no word that was read out of it."""
    book, _, _, moved, _ = two
    (said,) = [entry for entry in book.entries(kind="transcript") if entry.item == moved]
    forget(book, said.id, reason="asked for", by="")
    assert holds_words(book.path, "primrose") == [] and len(book.items()) == 2


def test_decisions_go_with_what_they_speak_of(two, tmp_path):
    """Decisions on lines of what is erased, on points made from all that was said, on an erased photo, and closings go."""
    book, one, other, moved, stays = two
    lines = {line.trace.item: line.id for line in _lines_of(book, one.id, moved)}
    photo = book.file(fakes.incoming(tmp_path, "p.jpg", b"p", "photo"), one.id).id

    def decide(target: str, visit: str = one.id) -> str:
        payload = {"kind": "accept", "target": target, "seen": {"text": "primrose"}, "reason": "primrose"}
        return book.append("decision", payload, visit=visit).id

    mine, others = lines[moved], lines[stays]
    go = [decide(mine), decide(f"point:unlikely:much:{others}:{mine}"), decide("point:contradiction:gas")]
    go.append(book.append("closing", {"line": mine, "closed": True, "by": "primrose"}, visit=other.id).id)
    stay = [decide(others), decide(f"point:unlikely:much:{others}"), decide(f"point:photo:{photo}")]
    forget(book, moved, reason="asked for", by="")
    erased = {entry.id for entry in book.entries() if entry.erased}
    assert set(go) <= erased and not set(stay) & erased
    forget(book, photo, reason="asked for", by="")
    assert {entry.id for entry in book.entries() if entry.erased} & set(stay) == {stay[2]}


def _lines_of(book: Notebook, visit: str, moved: str):
    """The lines as they were read before the recording was moved."""
    from fieldnote.flow.forget import _lines
    from fieldnote.flow.lines import proposed
    from fieldnote.flow.talk import Source, Talk
    from fieldnote.records import Extraction, from_plain

    (entry,) = book.entries(kind="extraction", visit=visit)
    assert _lines(book, entry, {moved})
    sources = tuple(from_plain(Source, source) for source in entry.payload["sources"])
    return proposed(from_plain(Extraction, entry.payload["extraction"]), Talk("", sources, {}))


def test_a_spoilt_folder_of_recordings_stops_nothing(tmp_path):
    """Links and strangers are left alone and not copied, broken journals cost no sound, and erasing goes on."""
    secret = tmp_path / "secret.wav"
    secret.write_bytes(b"primrose" * 20)
    with fakes.notebook(tmp_path) as book:
        visit = book.open_visit("JOB-1")
        folder = taped.folder_of(book)
        grow(book, "no such visit", "cracked")
        one = grow(book, visit.id, "cracked")
        one.path.with_suffix(".jsonl").write_bytes(b'\n{"phrase": 3}\n[1]\nxx\n{"phrase": {"text": 1}}\n')
        (folder / "listen-20261118-100009000Z.wav").symlink_to(secret)
        (folder / "listen-20261399-100009000Z.wav").write_bytes(b"x" * 100)
        (folder / "listen-x.wav").write_bytes(b"x" * 100)
        backup(book.path, tmp_path / "copy")
        assert holds_words(tmp_path / "copy", "primrose") == []
        assert [(kept.complete, book.item(kept.item).visit) for kept in taped.recover(book)] == [(False, None)] * 2
        forget(book, visit.id, reason="asked for", by="")
        assert len(book.items()) == 1 and secret.read_bytes() == b"primrose" * 20
        assert len(list(folder.iterdir())) == 3 and verify(book.path).sound
