"""Real processes killed at random moments, two at a time on one notebook, and stopped by signals."""

import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from fieldnote.notebook import Notebook
from tests.faults.desk import again, decided_in, kept
from tests.faults.harness import FULL, TALLY, Ended, holds

ROUNDS = 200 if FULL else 6
PROGRAM = "from fieldnote.cli import main; main()"
SLOW = [sys.executable, "-c", PROGRAM]


def start(book: Path, *words: object) -> subprocess.Popen[str]:
    pipe = subprocess.PIPE
    command = [*SLOW, "--notebook", str(book), *(str(word) for word in words)]
    return subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=pipe, text=True, preexec_fn=_interruptible)


def _interruptible() -> None:
    """A run in the background hands its children a Ctrl-C that is ignored; here it must work."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def ended(process: subprocess.Popen[str], keys: str = "") -> Ended:
    out, err = process.communicate(keys, timeout=120)
    return Ended(process.returncode, out, err)


@pytest.fixture
def notes(tmp_path):
    made = [tmp_path / f"{n:03d}.txt" for n in range(60)]
    for note in made:
        note.write_text(f"note {note.name}: washer perished\n")
    return made


def seconds_to_run(book: Path, notes: list[Path]) -> tuple[float, float]:
    """When the first line comes and when the command is done."""
    began = time.monotonic()
    process = start(book, "add", "--json", *notes)
    assert process.stdout
    first = process.stdout.readline() and time.monotonic() - began
    process.communicate()
    return float(first), time.monotonic() - began


def test_kills_at_random_moments_lose_nothing(tmp_path, notes):
    """kill -9 at random moments of intake: nothing told is lost or twice, no lock stays, and the rest can be added at once."""
    chance = random.Random(1)
    first, last = seconds_to_run(tmp_path / "trial", notes)
    hits = rounds = 0
    while rounds < ROUNDS or hits * 2 < ROUNDS:
        rounds += 1
        assert rounds <= 10 * ROUNDS
        book = tmp_path / f"book-{rounds}"
        process = start(book, "add", "--json", *notes)
        time.sleep(chance.uniform(first * 0.8, last))
        process.kill()
        result = ended(process)
        hits += result.status == -signal.SIGKILL
        last = last if result.status else max(first, 0.9 * last)  # the machine has become quicker
        holds(book, result.told)
        assert len({line["id"] for line in result.told}) == len(result.told)
        if rounds % 3 == 1:
            rest = ended(start(book, "add", "--json", *notes))
            assert rest.status == 0 and len(rest.told) == len(notes), rest.err
            with Notebook.open(book, write=False) as filled:
                assert len(filled.items()) == len(notes)
    TALLY["kill -9 at a random moment of a process that adds"] += hits


@pytest.mark.skipif(shutil.which("cc") is None, reason="needs a C compiler")
@pytest.mark.parametrize(
    ("command", "begin"),
    [
        ("process", "waiting"),
        ("review", "base"),
        ("json", "base"),
        ("zip", "base"),
        ("backup", None),
        ("audit", "base"),
    ],
)
def test_kills_at_random_moments_of_other_work_lose_nothing(shim, place, command, begin):
    """kill -9 at random moments of hearing, review, export, backup and audit: as above, and the same command makes it good."""
    chance = random.Random(command)
    seconds = min(place.once(shim, command, begin).seconds for _ in range(3))
    hits = rounds = 0
    while rounds < ROUNDS or hits * 2 < ROUNDS:
        rounds += 1
        assert rounds <= 10 * ROUNDS
        place.fresh(begin)
        result = place.run(shim, command, kill_after=chance.uniform(0, 0.9 * seconds))
        hits += result.status == -signal.SIGKILL
        holds(place.work, result.told)
        kept(place, command, result)
        again(shim, place, command)
    TALLY[f"kill -9 at a random moment of {command}"] += hits


BESIDE = {
    "add": ["add", "--json", "NOTES"],
    "backup": ["backup", "OUT/copy"],
    "review": ["review", "--by", "A. Engineer"],
    "export": ["export", "J-1", "--to", "json", "--output", "OUT/a.json"],
}


@pytest.mark.parametrize("other", BESIDE)
def test_two_at_once_lose_nothing(bases, tmp_path, notes, other):
    """Two processes on one notebook, one of them killed: nothing told is lost, none sees a locked database as a defect."""
    chance = random.Random(2)
    for number in range(100 if FULL else 2):
        out = tmp_path / f"out-{number}"
        book = shutil.copytree(bases / "base", out / "book")
        mine = start(book, "add", "--json", *notes)
        words = [word.replace("OUT", str(out)) for word in BESIDE[other]]
        theirs = start(book, *(words[:-1] + notes[::-1] if words[-1] == "NOTES" else words))
        if number % 2:
            time.sleep(chance.uniform(0.5, 1.5))
            theirs.kill()
        beside = ended(theirs, "a" * 40 if other == "review" else "")
        told = ended(mine)
        assert told.status == 0, told.err
        assert beside.status in (0, -9), beside.err
        assert "Traceback" not in told.err + beside.err
        holds(book, [*told.told, *beside.told])
        with Notebook.open(book, write=False) as after:
            assert len(after.items()) == len(notes) + 2
        if other == "export" and (out / "a.json").exists():
            assert json.loads((out / "a.json").read_bytes())
        if other == "review":
            assert decided_in(book) >= beside.out.count(" to go.") - 1
        TALLY[f"two at once: add and {other}, " + ("one killed" if beside.status else "both to their end")] += 1


@pytest.mark.parametrize("name", ["SIGTERM", "SIGINT", "SIGHUP"])
def test_a_signal_stops_cleanly(tmp_path, notes, name):
    """A signal ends intake with one line at most, no success, and everything told kept."""
    book = tmp_path / "book"
    process = start(book, "add", "--json", *notes, *notes)
    assert process.stdout
    line = process.stdout.readline()
    os.kill(process.pid, getattr(signal, name))
    result = ended(process)
    assert result.status not in (0, 70), result.err
    assert len(result.err.strip().splitlines()) <= 1 and "Traceback" not in result.err
    holds(book, [json.loads(line), *result.told])


def test_a_closed_pipe_stops_cleanly(tmp_path, notes):
    """When nobody reads on, intake ends without a traceback and without success; what was told is kept."""
    book = tmp_path / "book"
    process = start(book, "add", "--json", *notes, *notes)
    assert process.stdout
    line = process.stdout.readline()
    process.stdout.close()
    error = process.stderr.read() if process.stderr else ""
    assert process.wait(60) not in (0, 70), error
    assert "Traceback" not in error and len(error.splitlines()) <= 1
    holds(book, [json.loads(line)])
