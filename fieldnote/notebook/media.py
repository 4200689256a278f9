"""The bytes of recordings, photos and notes, filed under their hash: media/ab/<sha256>.<format>.

In: a file that was looked at. Out: a copy that is whole, synced, and never written again.
"""

import contextlib
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from types import TracebackType
from typing import Self

from fieldnote.errors import InputProblem
from fieldnote.notebook import disk
from fieldnote.records import Incoming


def place_of(notebook: Path, sha256: str, facts: Mapping[str, str]) -> Path:
    """Where the bytes with this hash belong. The ending is that of the format found in them, never the file's own."""
    ending = facts.get("format", "")
    ending = ending if re.fullmatch("[a-z0-9]{1,8}", ending) else "bin"
    return notebook / "media" / sha256[:2] / f"{sha256}.{ending}"


class Draft:
    """A file on its way in: a synced copy of it beside the media, to be put in its place under the notebook's lock.

    A context manager: at its end the copy is gone unless it was put. From `put` to that end a mark says that a medium may be
    in its place before a record speaks of it; when something failed in between the mark stays, and the next start clears up.
    """

    def __init__(self, notebook: Path, incoming: Incoming) -> None:
        """Copy, unless the bytes are there already. Raises InputProblem FN-301 when they are not those that were looked at."""
        self.incoming = incoming
        self._notebook = notebook
        self._place = place_of(notebook, incoming.sha256, incoming.facts)
        self._held = contextlib.ExitStack()
        self._copy = None if self._whole() else self._copied()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._held.__exit__(kind, problem, trace)

    def put(self) -> None:
        """Let the medium be in its place, durably."""
        if self._whole():
            return
        self._held.enter_context(disk.mark(self._notebook / "drafts", "medium"))
        disk.make_folder(self._place.parent)
        # between copying and this moment an erasure may have taken away what was there
        (self._copy or self._copied()).replace(self._place)
        disk.sync_folder(self._place.parent)

    def _whole(self) -> bool:
        return self._place.is_file() and self._place.stat().st_size == self.incoming.size

    def _copied(self) -> Path:
        return self._held.enter_context(_copy(self._notebook, self.incoming))


@contextlib.contextmanager
def _copy(notebook: Path, incoming: Incoming) -> Iterator[Path]:
    with disk.draft(notebook / "drafts") as (path, file):
        try:
            source = incoming.path.open("rb")
        except OSError as problem:
            raise InputProblem("FN-301", path=incoming.path, reason=problem.strerror) from None
        with source:
            if disk.copy_synced(source, file) != incoming.sha256:
                raise InputProblem(
                    "FN-301", path=incoming.path, reason="its bytes are no longer those that were looked at"
                )
        yield path
