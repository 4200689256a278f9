"""Sound on its way to the disk: append-only, so that a kill or a power cut takes at most its last second.

In: blocks of 16-bit mono samples at 16 kHz as they are heard, and lines of a journal beside them. Out: a WAV file that is whole
when it is finished, or when a later start finds it left behind. Not allowed to know: what the sound or the journal means.
"""

import json
import os
import struct
import time
from collections import deque
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

if os.name == "posix":
    import fcntl

RATE = 16000
FRAME = 2  # bytes of a sample
HEADER = 44
SYNC = 0.5  # seconds of sound between two syncs
HELD = 1 << 26  # bytes (35 minutes) that wait in memory while the disk takes nothing
PATIENCE = 1.0  # seconds between two attempts on a disk that refused

Samples = NDArray[np.int16]


class Holds(Protocol):
    """What sound is put on and read back from, by sample number."""

    frames: int

    def write(self, samples: Samples) -> None: ...

    def take(self, first: int, last: int) -> Samples: ...


class Tape:
    """One recording while it grows. `trouble` says why the disk takes nothing, and is empty while all is well.

    What cannot be written is held in memory and tried again, so that a full disk costs nothing once there is room. Raises
    OSError on opening only.
    """

    def __init__(self, folder: Path, at: datetime, clock: Callable[[], float] = time.monotonic) -> None:
        _make(folder)
        self.path, self.at = _free(folder, at)
        self.frames = 0
        self.trouble = ""
        self._clock, self._tried = clock, 0.0
        self._held: deque[bytes] = deque()
        self._safe = self._written = 0  # bytes of sound
        self._file = _opened(self.path)
        self._journal = os.open(self.path.with_suffix(".jsonl"), os.O_CREAT | os.O_WRONLY | os.O_APPEND, 0o600)
        os.write(self._file, header(0))
        os.fsync(self._file)
        _sync_folder(folder)

    @property
    def seconds(self) -> float:
        """How much sound was put on it."""
        return self.frames / RATE

    def write(self, samples: Samples) -> None:
        """Put sound on it; handed to the system at once, and synced every half second."""
        self.frames += len(samples)
        self._held.append(samples.astype("<i2").tobytes())
        if not self.trouble or self._clock() - self._tried >= PATIENCE:
            self._push()

    def _push(self) -> None:
        try:
            while self._held:
                done = os.write(self._file, self._held[0])
                rest = self._held.popleft()[done:]
                self._written += done
                if rest:
                    self._held.appendleft(rest)
            if self._written - self._safe >= SYNC * RATE * FRAME or self.trouble:
                os.fsync(self._file)
                self._safe = self._written
            self.trouble = ""
        except OSError as problem:
            self.trouble, self._tried = problem.strerror or str(problem), self._clock()
            while sum(map(len, self._held)) > HELD:
                self.frames -= len(self._held.pop()) // FRAME

    def take(self, first: int, last: int) -> Samples:
        """The samples from `first` to `last` (exclusive)."""
        waiting = b"".join(self._held)
        stored = os.pread(self._file, max(0, last - first) * FRAME, HEADER + first * FRAME)
        at = max(0, first * FRAME - self._written)
        raw = stored + waiting[at : at + (last - first) * FRAME - len(stored)]
        return np.frombuffer(raw[: len(raw) // FRAME * FRAME], "<i2")

    def note(self, line: dict[str, Any]) -> None:
        """One line of the journal, on the disk when this returns. Raises OSError when the disk takes nothing."""
        os.write(self._journal, b"\n" + json.dumps(line).encode() + b"\n")
        os.fsync(self._journal)

    def close(self) -> Path:
        """Nothing more will come: make the file whole and let go of it. Raises OSError while the disk takes nothing."""
        self._push()
        if self._held:
            raise OSError(None, self.trouble)
        os.close(self._journal)
        _finish(self._file)
        return self.path


class Loop:
    """The last half minute, in memory only: what is listened to while nothing may be recorded."""

    def __init__(self, seconds: float = 30.0) -> None:
        self.frames = 0
        self._keep = int(seconds * RATE)
        self._samples: Samples = np.zeros(0, np.int16)

    def write(self, samples: Samples) -> None:
        """Put sound on it; what is older than its length is forgotten."""
        self.frames += len(samples)
        self._samples = np.concatenate([self._samples, samples])[-self._keep :]

    def take(self, first: int, last: int) -> Samples:
        """The samples from `first` to `last` (exclusive), as far as they are still there."""
        start = self.frames - len(self._samples)
        return self._samples[max(0, first - start) : max(0, last - start)]


def header(size: int) -> bytes:
    """The head of a WAV file with `size` bytes of 16-bit mono sound (RIFF, format 1)."""
    form = struct.pack("<HHIIHH", 1, 1, RATE, RATE * FRAME, FRAME, 16)
    return (
        b"RIFF"
        + struct.pack("<I", 36 + size)
        + b"WAVEfmt "
        + struct.pack("<I", 16)
        + form
        + b"data"
        + struct.pack("<I", size)
    )


def left_behind(folder: Path) -> Iterator[Path]:
    """Recordings that a kill left open, made whole, oldest first; those that somebody is still recording are passed over.

    Links, and files that were not named here, are left alone.
    """
    for path in sorted(path for path in folder.glob("listen-*.wav") if _named_here(path)):
        file = os.open(path, os.O_RDWR)
        if _locked(file):
            _finish(file)
            yield path
        else:
            os.close(file)


def _named_here(path: Path) -> bool:
    try:
        started(path)
    except ValueError:
        return False
    return path.is_file() and not path.is_symlink()


def journal(path: Path) -> list[dict[str, Any]]:
    """The journal beside a recording; a last line that was cut off is left out."""
    try:
        lines = path.with_suffix(".jsonl").read_bytes().split(b"\n")[:-1]
    except FileNotFoundError:
        return []
    return [line for line in map(_line, lines) if line]


def _line(raw: bytes) -> dict[str, Any]:
    """One line, or nothing where it was cut off."""
    try:
        found = json.loads(raw)
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}


def started(path: Path) -> datetime:
    """When a recording began, to the thousandth of a second, as its name says."""
    return datetime.strptime(path.stem, "listen-%Y%m%d-%H%M%S%fZ").replace(tzinfo=UTC)


def frames_of(path: Path) -> int:
    """How many samples a recording has."""
    return max(0, path.stat().st_size - HEADER) // FRAME


def remove(path: Path) -> None:
    """Take away a recording that was filed elsewhere, and its journal last."""
    path.unlink(missing_ok=True)
    _sync_folder(path.parent)
    path.with_suffix(".jsonl").unlink(missing_ok=True)


def _finish(file: int) -> None:
    """Write the true length into the head; a half sample at the end is dropped. Closes the file."""
    try:
        size = max(0, os.fstat(file).st_size - HEADER)
        os.ftruncate(file, HEADER + size // FRAME * FRAME)
        os.pwrite(file, header(size // FRAME * FRAME), 0)
        os.fsync(file)
    finally:
        os.close(file)


def _opened(path: Path) -> int:
    file = os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600)
    _locked(file)
    return file


def _locked(file: int) -> bool:
    if os.name != "posix":
        return True
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def _free(folder: Path, at: datetime) -> tuple[Path, datetime]:
    """A name that nothing has yet, and the moment it tells."""
    while True:
        moment = at.astimezone(UTC)
        path = folder / f"listen-{moment:%Y%m%d-%H%M%S}{moment.microsecond // 1000:03d}Z.wav"
        if not path.exists():
            return path, moment.replace(microsecond=moment.microsecond // 1000 * 1000)
        at += timedelta(milliseconds=1)


def _make(folder: Path) -> None:
    if not folder.is_dir():
        folder.mkdir(mode=0o700)
        _sync_folder(folder.parent)


def _sync_folder(folder: Path) -> None:
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
