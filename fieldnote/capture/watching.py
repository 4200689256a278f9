"""A folder that files land in. In: the folder. Out: files that have come to rest, each once.

It looks every so often instead of being told: folders that a telephone or another machine fills tell nothing. A file has come to
rest when its size and time hold still. Nothing is moved or removed.
"""

import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from fieldnote.errors import InputProblem

UNFINISHED = (".part", ".partial", ".crdownload", ".tmp", ".download")
Mark = tuple[str, int, int]


class Watch:
    """What has landed in `folder` so far. `rest` is how many seconds a file must hold still, by the given clock."""

    def __init__(self, folder: Path, rest: float = 3.0, clock: Callable[[], float] = time.monotonic) -> None:
        self._folder = folder
        self._rest = rest
        self._clock = clock
        self._since: dict[Mark, float] = {}
        self._given: set[Mark] = set()

    def look(self) -> list[Path]:
        """Files that came to rest since the last look, by name. Raises InputProblem FN-301 when the folder cannot be read."""
        now, marks = self._clock(), set(self._marks())
        self._since = {mark: self._since.get(mark, now) for mark in marks}
        self._given &= marks
        ready = sorted(m for m in marks - self._given if now - self._since[m] >= self._rest)
        self._given |= set(ready)
        return [self._folder / name for name, _, _ in ready]

    def _marks(self) -> Iterator[Mark]:
        try:
            with os.scandir(self._folder) as found:
                for entry in found:
                    if _worth_a_look(entry.name) and entry.is_file():
                        marks = entry.stat()
                        yield entry.name, marks.st_size, marks.st_mtime_ns
        except FileNotFoundError:
            return  # a file went away while looking; the next look will tell
        except OSError as problem:
            raise InputProblem("FN-301", path=self._folder, reason=problem.strerror or str(problem)) from None


def _worth_a_look(name: str) -> bool:
    return not name.startswith((".", "~$")) and not name.lower().endswith(UNFINISHED)
