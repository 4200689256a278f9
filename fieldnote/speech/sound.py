"""A sound file as a stream of mono samples at 16 kHz, in blocks, so that a recording of any length needs the same memory.

Comes in: a path. Goes out: `Sound`: float32 blocks, length, and flags about the recording. Decoding happens in a child process
(`decoding`); here two channels become one with care: a lost side is left out, sides in antiphase are subtracted.
"""

import json
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from types import TracebackType

import numpy as np
from numpy.typing import NDArray

from fieldnote.errors import InputProblem
from fieldnote.speech.decoding import RATE

Samples = NDArray[np.float32]

BLOCK_SECONDS = 10
ONE_SIDED = 100.0  # power ratio (20 dB) between the sides from which the weaker one is left out
ANTIPHASE = -0.6  # correlation of the sides below which they are subtracted
AUDIBLE = 1e-7  # mean square (-70 dBFS) below which a block says nothing about its channels
FULL_SCALE = 0.995
CLIPPED = 1e-3  # share of audible samples at full scale


@dataclass(slots=True)
class Levels:
    """What has been seen of the channels so far; power sums over audible blocks."""

    left: float = 0.0
    right: float = 0.0
    antiphase: bool = False
    full: int = 0
    audible: int = 0
    peak: float = 0.0

    def flags(self) -> list[str]:
        """The recording's flags: one-sided, antiphase, clipped, silent."""
        strong, weak = max(self.left, self.right), min(self.left, self.right)
        found = {
            "one-sided": strong > 0 and weak * ONE_SIDED < strong,
            "antiphase": self.antiphase,
            "clipped": self.audible > 0 and self.full > CLIPPED * self.audible,
            "silent": self.peak < 1e-4,
        }
        return [name for name, true in found.items() if true]


class Sound:
    """An open recording: iterate for float32 mono blocks at 16 kHz. Use as a context manager.

    `seconds` is what the file says of its length (0 when it does not). `flags()` is complete after the last block.
    Raises InputProblem FN-304 on opening or while iterating when the file cannot be used.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.levels = Levels()
        self.damaged = 0
        self._ended = False
        if not path.is_file():
            raise InputProblem("FN-301", path=path, reason="there is no such file")
        try:
            with path.open("rb") as file:
                self._child = subprocess.Popen(
                    [sys.executable, "-m", "fieldnote.speech.decoding"],
                    stdin=file,
                    stdout=subprocess.PIPE,
                    stderr=subprocess.PIPE,
                )
        except OSError as problem:
            raise InputProblem("FN-301", path=path, reason=problem.strerror or problem) from None
        assert self._child.stdout is not None
        self._pipe = self._child.stdout
        header = self._pipe.readline()
        if not header:
            self._finish()
        told = json.loads(header)
        self.channels, self.seconds = int(told["channels"]), float(told["seconds"])

    def __enter__(self) -> "Sound":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        if not self._ended:
            self._child.kill()
        self._child.communicate()

    def __iter__(self) -> Iterator[Samples]:
        size = BLOCK_SECONDS * RATE * 2 * self.channels
        while raw := self._pipe.read(size):
            whole = len(raw) - len(raw) % (2 * self.channels)
            yield self._mono(np.frombuffer(raw[:whole], np.int16).reshape(-1, self.channels))
        self._finish()

    def flags(self) -> list[str]:
        """Flags of the recording so far."""
        return self.levels.flags() + (["damaged"] if self.damaged else [])

    def _finish(self) -> None:
        """Read the child's last word; raises InputProblem FN-304 when it found the file unusable or was stopped."""
        _, errors = self._child.communicate()
        self._ended = True
        try:
            report = json.loads(errors.decode("utf-8", "replace").strip().splitlines()[-1])
        except (ValueError, IndexError):
            report = {"error": "decoding it took too much time or memory"}
        if "error" in report:
            raise InputProblem("FN-304", path=self.path, reason=report["error"])
        self.damaged = int(report["damaged"])

    def _mono(self, frames: NDArray[np.int16]) -> Samples:
        block = frames.astype(np.float32) / 32768.0
        self._measure(block)
        if self.channels == 1:
            self.levels.left = self.levels.right = 0.0
            return block[:, 0]
        return self._mix(block[:, 0], block[:, 1])

    def _measure(self, block: Samples) -> None:
        loud = np.abs(block)
        self.levels.peak = max(self.levels.peak, float(loud.max(initial=0.0)))
        self.levels.full += int((loud >= FULL_SCALE).sum())
        self.levels.audible += int((loud >= 1e-3).sum())

    def _mix(self, left: Samples, right: Samples) -> Samples:
        a, b = float(np.mean(left * left)), float(np.mean(right * right))
        if max(a, b) < AUDIBLE:
            return np.asarray((left + right) / 2, np.float32)
        self.levels.left += a * len(left)
        self.levels.right += b * len(right)
        if max(a, b) > ONE_SIDED * min(a, b):
            return left if a > b else right
        if float(np.mean(left * right)) < ANTIPHASE * (a * b) ** 0.5:
            self.levels.antiphase = True
            return np.asarray((left - right) / 2, np.float32)
        return np.asarray((left + right) / 2, np.float32)


@dataclass(slots=True)
class Held:
    """Samples that are already in memory, in the same shape as `Sound`: live phrases and tests."""

    samples: Samples
    levels: Levels = field(default_factory=Levels)

    @property
    def seconds(self) -> float:
        """Length in seconds."""
        return len(self.samples) / RATE

    def __iter__(self) -> Iterator[Samples]:
        step = BLOCK_SECONDS * RATE
        for at in range(0, len(self.samples), step):
            block = self.samples[at : at + step]
            self.levels.peak = max(self.levels.peak, float(np.abs(block).max(initial=0.0)))
            yield block

    def flags(self) -> list[str]:
        """Flags of the sound so far."""
        return self.levels.flags()
