"""Broken input at the front door: never a traceback, a hang, a defect or a raw escape; each refusal is one line that names it.

`FAULTS=full` in the environment makes 4,000 of them, and `tests/capture/test_look.py` 6,000 recordings and photos; else a slice.
"""

import contextlib
import io
import json
import re
import shutil
import time
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from fieldnote import cli
from fieldnote.bundle import KeyPair, Keyring, write_bundle
from fieldnote.extract.words.lexicon import lexicon
from tests.bundle.conftest import START, contents
from tests.faults.harness import FULL, TALLY
from tests.hostile import mutants

SHARE = 1 if FULL else 50
SECONDS = 10
RAW = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b\u202e]")


@pytest.fixture(autouse=True, scope="module")
def _the_words_are_made() -> None:
    """The tree of wordings is made before anything is timed: it is made once, and is no broken input's work."""
    lexicon()


def at_the_door(*words: object) -> tuple[int, str, str]:
    """Run a command in this process; what must hold of every command is checked here."""
    out, err = io.StringIO(), io.StringIO()
    began = time.process_time()  # the machine may be busy with other things
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err), pytest.raises(SystemExit) as ended:
        cli.main([str(word) for word in words])
    status, shown = int(ended.value.code or 0), out.getvalue() + err.getvalue()
    assert time.process_time() - began < SECONDS, words
    assert status in (0, 1, 2, 3, 4, 5), (words, status, shown)
    assert "Traceback" not in shown and "FN-700" not in shown, (words, shown)
    assert not RAW.search(shown), (words, shown)
    assert err.getvalue() == "" or err.getvalue().endswith("\n")
    TALLY[f"fuzzed input at {words[0]}"] += 1
    return status, out.getvalue(), err.getvalue()


def one_line(err: str, name: str) -> None:
    """A refusal is exactly one line that names what is refused."""
    assert err.count("\n") == 1 and name in err, err


def test_fuzzed_cases_are_read_or_refused(tmp_path):
    """Each line of a file of cases is answered or named on standard error; texts of any kind are read."""
    path = tmp_path / "cases.jsonl"
    for seed in range(0, 1000, SHARE):
        path.write_bytes(mutants.jsonl(seed))
        status, out, err = at_the_door("extract", path)
        lines = sum(1 for line in path.read_bytes().split(b"\n") if line.strip())
        answers = [json.loads(line) for line in out.splitlines()]
        assert len(answers) + err.count("\n") == lines and status == (3 if err else 0), (seed, status, err)


def test_fuzzed_notes_are_taken_or_refused(tmp_path):
    """Each note is filed or refused in one line; what was filed is read, shown and exported."""
    book, shown = tmp_path / "book", 0
    at_the_door("--notebook", book, "visit", "new", "J-1")
    path = tmp_path / "note.txt"
    for seed in range(0, 1000, SHARE):
        path.write_bytes(mutants.text(seed).encode("utf-8", "surrogatepass"))
        status, out, err = at_the_door("--notebook", book, "add", "--json", path)
        receipt = json.loads(out)
        assert (status, receipt["status"]) in ((0, "added"), (0, "already-here"), (3, "refused")), receipt
        if status:
            one_line(err, "note.txt")
        shown += not status
        if seed % (20 * SHARE) == 19 * SHARE:
            at_the_door("--notebook", book, "process")
            at_the_door("--notebook", book, "show", "J-1")
            at_the_door("--notebook", book, "report", "J-1", "--output", tmp_path / "a.html")
            at_the_door("--notebook", book, "export", "--to", "json", "--output", tmp_path / "a.json")
            at_the_door("--notebook", book, "visit", "new", "J-1")  # a visit of twenty notes, not of a thousand
    assert shown and at_the_door("--notebook", book, "verify")[0] == 0


@pytest.mark.parametrize("kind", ["config", "engineer", "limits"])
def test_fuzzed_settings_are_used_or_refused(tmp_path, own_home, monkeypatch, kind):
    """A broken file of settings, particulars or limits is used or refused in one line that names it."""
    own_home.mkdir(exist_ok=True)
    path = own_home / f"{kind}.toml"
    book = tmp_path / "book"
    at_the_door("--notebook", book, "visit", "new", "J-1")
    if kind == "limits":
        monkeypatch.setenv("FIELDNOTE_LIMITS", str(path))
    words = {
        "config": ["--notebook", book, "list"],
        "engineer": ["--notebook", book, "report", "J-1", "--output", tmp_path / "a.html"],
        "limits": ["calc", "supply-voltage", "--volts", "230", "--json"],
    }[kind]
    for seed in range(0, 334, max(1, SHARE // 3)):
        path.write_bytes(mutants.toml(kind, seed))
        status, _, err = at_the_door(*words)
        assert status in (0, 3), (seed, path.read_bytes(), err)
        if status:
            one_line(err, f"{kind}.toml")


@pytest.fixture
def handed_over(tmp_path, own_home):
    """A bundle as folder and as zip, whose key is known here."""
    key = KeyPair.new(tmp_path / "keys", "A. Engineer", START - timedelta(days=100))
    Keyring().trusting(key.public).save(own_home / "keys" / "known.json")
    folder = write_bundle(contents(tmp_path), key, tmp_path / "visit").path
    packed = write_bundle(contents(tmp_path), key, tmp_path / "visit.zip").path
    assert at_the_door("verify", folder)[0] == 0 == at_the_door("verify", packed)[0]
    assert datetime.now().astimezone() > START
    return folder, packed


def test_fuzzed_bundles_are_noticed(tmp_path, handed_over):
    """Every broken bundle is noticed, whatever is broken; half of them are folders, half zips."""
    folder, packed = handed_over
    whole = packed.read_bytes()
    spoilt = tmp_path / "spoilt.zip"
    for seed in range(0, 500, SHARE // 2 or 1):
        spoilt.write_bytes(mutants.corpus.damaged(whole, seed))
        noticed(spoilt)
        shutil.copytree(folder, tmp_path / "spoilt")
        before = {path: path.read_bytes() for path in (tmp_path / "spoilt").rglob("*") if path.is_file()}
        mutants.bundle_in_folder(tmp_path / "spoilt", seed)
        if any(path.read_bytes() != content for path, content in before.items()):
            noticed(tmp_path / "spoilt")
        shutil.rmtree(tmp_path / "spoilt")


def noticed(path: Path) -> None:
    status, out, err = at_the_door("verify", "--json", path)
    assert status == 1 and json.loads(out)["problems"] and not err, (status, out, err)


@pytest.mark.parametrize(
    "text", ["meter reading {}", "come back in {} days", "come back in {} months", "CO {} ppm", "pressure 1e{}"]
)
@pytest.mark.parametrize("digits", [40, 400, 3900, 9000])
def test_senseless_numbers_stop_nothing(tmp_path, text, digits):
    """A figure of thousands of digits, in a note or in a case, is read as whatever it is or refused, and what follows is done."""
    said, book = text.format("9" * digits), tmp_path / "book"
    (tmp_path / "a.txt").write_text(said)
    (tmp_path / "cases.jsonl").write_text(
        json.dumps({"id": "a", "text": said}) + "\n" + json.dumps({"id": "b", "text": "x"})
    )
    status, out, _ = at_the_door("extract", tmp_path / "cases.jsonl")
    assert json.loads(out.splitlines()[-1])["id"] == "b" and status == (3 if digits > 4000 else 0)
    at_the_door("--notebook", book, "visit", "new", "J-1")
    at_the_door("--notebook", book, "add", tmp_path / "a.txt")
    for words in (["process"], ["show", "J-1"], ["report", "J-1", "--output", tmp_path / "a.html"], ["due"]):
        assert at_the_door("--notebook", book, *words)[0] == 0, words
