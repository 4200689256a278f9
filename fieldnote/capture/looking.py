"""Looking at a file before it is taken in: is it whole, what is it, when was it made.

In: a path. Out: `Incoming`, or InputProblem with one line that names the file and the reason. Foreign bytes are decoded only
in a child process; this side reads the first bytes to tell the format, and written notes.
"""

import contextlib
import hashlib
import json
import os
import select
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from stat import S_ISDIR, S_ISREG
from types import TracebackType
from typing import Any, Self

from fieldnote.capture import formats, letters, times
from fieldnote.capture.formats import Format
from fieldnote.errors import InputProblem
from fieldnote.records import Incoming

SECONDS = 50.0  # for one file, and one more for each megabyte
PATIENCE_PER_BYTE = 1 / formats.MEGA


class Looker:
    """Looks at files one after the other, keeping its child process alive between them. A context manager, for one thread."""

    def __init__(self) -> None:
        self._child: subprocess.Popen[bytes] | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._end()

    def look(self, path: Path) -> Incoming:
        """What `path` holds. Raises InputProblem FN-301 (cannot be used) or FN-303 (not a kind that is taken in)."""
        before = _stat(path)
        with _told(path), path.open("rb") as file:
            head = file.read(formats.HEAD)
        found = formats.recognise(head, path)
        if isinstance(found, str):
            raise _not_taken(path, found)
        if before.st_size > formats.BIGGEST[found.kind]:
            raise InputProblem("FN-301", path=path, reason=f"it is too large for a {found.kind}")
        answer = _note(path) if found is formats.NOTE else self._ask(path, found, before.st_size)
        after = _stat(path)
        if (before.st_size, before.st_mtime_ns) != (after.st_size, after.st_mtime_ns):
            raise InputProblem("FN-301", path=path, reason="it is still being written")
        return _incoming(path, found, answer, before.st_mtime)

    def _ask(self, path: Path, found: Format, size: int) -> dict[str, Any]:
        question = {"path": str(path), "kind": found.kind, "reader": found.reader}
        child = self._running()
        assert child.stdin is not None
        try:
            child.stdin.write(json.dumps(question).encode() + b"\n")
            child.stdin.flush()
            answer = self._answer(child, SECONDS + size * PATIENCE_PER_BYTE)
        except (BrokenPipeError, ValueError):  # ended from outside
            answer = {"refused": "its reader was stopped"}
        if "refused" in answer:
            raise InputProblem("FN-301", path=path, reason=answer["refused"])
        return answer

    def _answer(self, child: subprocess.Popen[bytes], patience: float) -> dict[str, Any]:
        assert child.stdout is not None
        ready, _, _ = select.select([child.stdout], [], [], patience)
        line = child.stdout.readline() if ready else b""
        if line.endswith(b"\n"):
            answer: dict[str, Any] = json.loads(line)
            return answer
        self._end()
        return {"refused": "its reader failed on it" if ready else "it takes longer to read than a file may"}

    def _running(self) -> subprocess.Popen[bytes]:
        if self._child is None or self._child.poll() is not None:
            command = [sys.executable, "-P", "-m", "fieldnote.capture.child"]
            pipe = subprocess.PIPE
            self._child = subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=subprocess.DEVNULL)
        return self._child

    def _end(self) -> None:
        child, self._child = self._child, None
        if child is not None:
            child.kill()
            child.communicate()


def look(path: Path) -> Incoming:
    """Look at one file; `Looker` is quicker for many. Raises InputProblem as it does."""
    with Looker() as looker:
        return looker.look(path)


def _stat(path: Path) -> os.stat_result:
    with _told(path):
        found = path.stat()
    if S_ISDIR(found.st_mode):
        raise _not_taken(path, "it is a folder: name the files in it")
    if not S_ISREG(found.st_mode):
        raise _not_taken(path, "it is no ordinary file")
    if not found.st_size:
        raise InputProblem("FN-301", path=path, reason="it is empty")
    return found


@contextlib.contextmanager
def _told(path: Path) -> Iterator[None]:
    try:
        yield
    except FileNotFoundError:
        raise InputProblem("FN-301", path=path, reason="there is no such file") from None
    except (OSError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or str(problem)
        raise InputProblem("FN-301", path=path, reason=reason) from None


def _not_taken(path: Path, reason: str) -> InputProblem:
    return InputProblem("FN-303", path=path, reason=reason)


def _note(path: Path) -> dict[str, Any]:
    with _told(path):
        content = path.read_bytes()
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputProblem("FN-301", path=path, reason="it is no text in UTF-8") from None
    if "\x00" in text:
        raise InputProblem("FN-301", path=path, reason="it is no text: there are zero bytes in it")
    if not text.strip():
        raise InputProblem("FN-301", path=path, reason="there are no words in it")
    return {
        "sha256": hashlib.sha256(content).hexdigest(),
        "size": len(content),
        "flags": letters.flags(text),
        "facts": {},
    }


def _incoming(path: Path, found: Format, answer: dict[str, Any], mtime: float) -> Incoming:
    seconds = answer.get("seconds")
    at, source = times.made(path, mtime, answer.get("at"), seconds)
    return Incoming(
        path=path,
        kind=found.kind,
        sha256=answer["sha256"],
        size=answer["size"],
        at=at,
        at_source=source,
        seconds=seconds,
        flags=tuple(answer["flags"]),
        facts={"format": found.name, **answer["facts"]},
    )
