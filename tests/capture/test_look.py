"""What a file is told to be, and what is refused: by its bytes, in one line, whatever its name."""

import hashlib
import io
import os
import socket
import time
from datetime import UTC, datetime

import pytest
from PIL import Image

from fieldnote.capture import Looker, look
from fieldnote.errors import InputProblem
from tests.capture import corpus
from tests.faults.harness import FULL, TALLY


@pytest.fixture(scope="module")
def looker():
    with Looker() as one:
        yield one


@pytest.fixture(scope="module")
def files(tmp_path_factory):
    return corpus.put(tmp_path_factory.mktemp("corpus") / "files")


def test_every_file_of_the_corpus_becomes_what_it_must(looker, files):
    """Good files are taken, defects flagged or refused in one line that names the file; inputs stay as they were."""
    wrong = []
    for path, becomes in files.items():
        before = (path.read_bytes(), path.stat().st_mtime_ns, path.stat().st_mode)
        try:
            found = looker.look(path)
            became = "taken"
            assert found.sha256 == hashlib.sha256(before[0]).hexdigest() and found.size == len(before[0])
        except InputProblem as problem:
            found, became = None, "refused"
            assert path.name in problem.line() and len(problem.line().splitlines()) == 1
            assert problem.code in ("FN-301", "FN-303")
        assert (path.read_bytes(), path.stat().st_mtime_ns, path.stat().st_mode) == before
        flag = becomes.partition(":")[2]
        if (flag and (found is None or flag not in found.flags)) or (not flag and becomes not in (became, "either")):
            wrong.append((path.name, becomes, became, found and found.flags))
    assert wrong == []


def test_a_whole_tone_carries_no_flag(looker, files):
    """A good recording of each format is as long as it was made, to a tenth of a second, and carries no flag."""
    for path in files:
        if path.parent.name == "sounds" and path.stem == "good":
            found = looker.look(path)
            assert found.flags == () and abs((found.seconds or 0) - 2.0) < 0.15, (path.name, found)


def test_nothing_that_a_file_refers_to_is_opened(tmp_path):
    """Playlists, session descriptions, drawings and XMP that name an address on this machine cause no call to it."""
    with socket.create_server(("127.0.0.1", 0)) as canary:
        address = f"http://127.0.0.1:{canary.getsockname()[1]}/x"
        texts = {
            "a.m4a": f"#EXTM3U\n{address}\n",
            "b.ogg": f"ffconcat version 1.0\nfile {address}\n",
            "c.wav": f"v=0\nc=IN IP4 127.0.0.1\na=control:{address}\nm=audio 9 RTP/AVP 0\n",
            "d.png": f"<svg xmlns='http://www.w3.org/2000/svg'><image href='{address}'/></svg>",
            "e.jpg": f"<?xml version='1.0'?><!DOCTYPE a [<!ENTITY b SYSTEM '{address}'>]><a>&b;</a>",
        }
        with Looker() as looker:
            for name, text in texts.items():
                (tmp_path / name).write_text(text)
                with pytest.raises(InputProblem):
                    looker.look(tmp_path / name)
        canary.settimeout(0.2)
        with pytest.raises(TimeoutError):
            canary.accept()


@pytest.mark.parametrize("name", ["missing.wav", "folder", "empty.wav", "pipe.wav", "/dev/zero"])
def test_what_is_no_ordinary_file_is_refused(tmp_path, name):
    """A missing file, a folder, an empty file, a pipe and a device: refused at once, without being read."""
    (tmp_path / "folder").mkdir()
    (tmp_path / "empty.wav").touch()
    os.mkfifo(tmp_path / "pipe.wav")
    with pytest.raises(InputProblem, match=name):
        look(tmp_path / name)


def test_a_reader_that_hangs_or_dies_refuses_one_file_only(tmp_path, monkeypatch):
    """When its child takes too long or is killed, that file is refused in one line and the next one is looked at."""
    good = tmp_path / "good.wav"
    good.write_bytes(corpus.wav(corpus.tone()))
    with Looker() as looker:
        looker.look(good)
        monkeypatch.setattr("fieldnote.capture.looking.SECONDS", 0.0)
        monkeypatch.setattr("fieldnote.capture.looking.PATIENCE_PER_BYTE", 0.0)
        with pytest.raises(InputProblem, match="longer"):
            looker.look(good)
        monkeypatch.undo()
        assert looker.look(good).kind == "recording"
        assert looker._child is not None
        looker._child.kill()
        looker._child.wait()
        assert looker.look(good).kind == "recording"


def test_the_child_may_write_no_file_and_use_no_more_memory_than_allowed():
    """The limits of the child process are those that are promised."""
    import resource
    import subprocess
    import sys

    asks = "import resource as r; from fieldnote.capture.child import _limit; _limit(); "
    asks += "print([r.getrlimit(x)[0] for x in (r.RLIMIT_FSIZE, r.RLIMIT_CORE, r.RLIMIT_AS)])"
    said = subprocess.run([sys.executable, "-c", asks], capture_output=True, text=True, check=True).stdout
    assert said.strip() == f"[0, 0, {3 << 30}]" and resource.RLIMIT_AS


def test_photos_keep_their_time_and_lose_nothing_else_into_the_record(looker, tmp_path):
    """Exif time and offset are read (Exif 2.32, tags 9003 and 9011); position, owner and serial number are not."""
    exif = Image.Exif()
    exif[0x0110], exif[0x013B] = "Model 5", "Owner Name"
    inner = exif.get_ifd(0x8769)
    inner[0x9003], inner[0x9011], inner[0xA431], inner[0xA430] = (
        "2026:11:18 09:30:15",
        "+02:00",
        "SERIAL77",
        "Owner Name",
    )
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 12.0)})
    path = tmp_path / "20200101_000000.jpg"
    out = io.BytesIO()
    corpus.scene().save(out, "JPEG", exif=exif)
    path.write_bytes(out.getvalue())
    found = looker.look(path)
    assert (found.at, found.at_source) == (datetime(2026, 11, 18, 7, 30, 15, tzinfo=UTC), "metadata")
    assert sorted(found.facts) == ["camera", "format", "height", "look", "width"]
    assert not {"SERIAL77", "Owner Name"} & set(found.facts.values())


def test_a_recording_starts_when_its_metadata_says(looker, tmp_path):
    """The creation time of an MPEG-4 file (ISO/IEC 14496-12, movie header) is where a recording starts."""
    path = tmp_path / "a.m4a"
    path.write_bytes(corpus.encoded("m4a", metadata={"creation_time": "2026-11-18T09:30:15.000000Z"}))
    found = looker.look(path)
    assert (found.at, found.at_source) == (datetime(2026, 11, 18, 9, 30, 15, tzinfo=UTC), "metadata")


def test_the_same_picture_in_another_size_looks_alike(looker, tmp_path):
    """A picture and its smaller copy have nearly the same look; another picture has not."""
    scenes = {"a": corpus.scene(), "b": corpus.scene().resize((320, 240)), "c": corpus.scene(seed=9)}
    looks = []
    for name, image in scenes.items():
        (tmp_path / f"{name}.jpg").write_bytes(corpus.picture(image=image))
        looks.append(int(looker.look(tmp_path / f"{name}.jpg").facts["look"], 16))
    assert (looks[0] ^ looks[1]).bit_count() <= 4 < 12 < (looks[0] ^ looks[2]).bit_count()


def test_fuzzed_files_are_taken_or_refused_in_order(looker, tmp_path):
    """Files with random damage never hang, crash or escape: each is taken or refused in one line within ten seconds."""
    sounds = [(ending, corpus.encoded(ending, 0.5)) for ending in corpus.CODECS]
    sounds.append(("wav", corpus.wav(corpus.tone(0.5))))
    pictures = [(ending, corpus.picture(ending, corpus.scene(160, 120))) for ending in corpus.PICTURES]
    for kind, bases, each in (("recordings", sounds, 250), ("photos", pictures, 750)):
        for seed in range(each if FULL else 8):
            for ending, content in bases:
                path = tmp_path / f"f.{ending}"
                path.write_bytes(corpus.damaged(content, 1000 + seed))
                began = time.monotonic()
                try:
                    looker.look(path)
                except InputProblem as problem:
                    assert len(problem.line().splitlines()) == 1
                assert time.monotonic() - began < 10, (ending, seed)
                TALLY[f"fuzzed {kind}"] += 1
