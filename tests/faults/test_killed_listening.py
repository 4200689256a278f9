"""`fieldnote listen` killed at random moments: at most the last second of sound is missing, words that were shown are kept."""

import json
import random
import subprocess
import sys
import time
import wave
from pathlib import Path

import numpy as np

from fieldnote.capture.tape import RATE
from fieldnote.flow import taped
from fieldnote.notebook import Notebook
from tests.faults.harness import FULL, holds
from tests.faults.listening import STEP

ROUNDS = 100 if FULL else 3
PHRASES = 6
PROGRAM = [sys.executable, "-m", "tests.faults.listening"]


def dictation(path: Path) -> np.ndarray:
    """Phrases of a second with a second of silence behind each."""
    loud = [np.full(RATE, (n + 1) * STEP * 32768) for n in range(PHRASES)]
    samples = np.concatenate([part for one in loud for part in (one, np.zeros(RATE))]).astype(np.int16)
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(samples.tobytes())
    return samples


def start(book: Path, clip: Path) -> "subprocess.Popen[str]":
    words = ["--notebook", str(book), "listen", "--from", str(clip), "--pace", "1", "--quiet", "--json"]
    return subprocess.Popen([*PROGRAM, *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def stored(book: Notebook) -> np.ndarray:
    """All sound that the notebook holds, in order."""
    parts = []
    for item in sorted(book.items(), key=lambda one: one.at):
        with wave.open(str(book.media(item.sha256)), "rb") as file:
            parts.append(np.frombuffer(file.readframes(file.getnframes()), np.int16))
    return np.concatenate([*parts, np.zeros(0, np.int16)])


def killed(book: Path, clip: Path, seconds: float) -> tuple[int, float, list[dict[str, object]]]:
    """How a run ended that was killed so many seconds after it began to record, how long it lasted, what it had shown."""
    process = start(book, clip)
    assert process.stderr and any("Recording" in line for line in process.stderr)
    began = time.monotonic()
    time.sleep(seconds)
    process.kill()
    lasted = time.monotonic() - began
    out, _ = process.communicate(timeout=60)
    whole = [line for line in out.splitlines(keepends=True) if line.endswith("\n")]
    return process.returncode, lasted, [json.loads(line) for line in whole]


def kept_after(book: Path) -> tuple[np.ndarray, str]:
    """The sound that the next start files, and everything that is written about it."""
    with Notebook.open(book) as kept:
        list(taped.recover(kept))
        written = [entry.payload for kind in ("live", "transcript") for entry in kept.entries(kind=kind)]
        return stored(kept), json.dumps(written)


def test_a_kill_costs_at_most_the_last_second(tmp_path):
    """Every sample but those of the last second is kept as it was, with the words of every line that was shown; the notebook
    is sound, and the same command goes on."""
    clip, chance, hits = tmp_path / "clip.wav", random.Random(4), 0
    whole = dictation(clip)
    for number in range(ROUNDS):
        book = tmp_path / f"book-{number}"
        with Notebook.open(book, create=True) as made:
            made.open_visit("J-1")
        status, lasted, told = killed(book, clip, chance.uniform(0.2, 11.5))
        hits += status == -9
        sound, written = kept_after(book)
        same = min(len(sound), len(whole))
        assert same >= min(len(whole), int((lasted - 1.0) * RATE)), (number, lasted, same)
        assert np.abs(sound[:same].astype(int) - whole[:same]).max(initial=0) <= 1
        lines = [event for event in told if event["kind"] == "line"]
        assert all(f"part {int(float(str(event['second'])) // 2)} cracked" in written for event in lines)
        holds(book, [])
    again = start(book, clip)
    _, err = again.communicate(timeout=90)
    assert again.returncode == 0, err
    assert hits * 2 >= ROUNDS
