"""The bytes of recordings, photos and notes, filed under their hash: media/ab/<sha256>.<format>.

In: a file that was looked at. Out: a copy that is whole, synced, and never written again.
"""

import contextlib
import re
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from fieldnote.errors import InputProblem
from fieldnote.notebook import disk
from fieldnote.records import Incoming


def place_of(notebook: Path, sha256: str, facts: Mapping[str, str]) -> Path:
    """Where the bytes with this hash belong. The ending is that of the format found in them, never the file's own."""
    ending = facts.get("format", "")
    ending = ending if re.fullmatch("[a-z0-9]{1,8}", ending) else "bin"
    return notebook / "media" / sha256[:2] / f"{sha256}.{ending}"


@contextlib.contextmanager
def drafted(notebook: Path, incoming: Incoming) -> Iterator[Callable[[], None]]:
    """A synced copy of the incoming file, and a function that puts it in its place unless the bytes are there already.

    From then to the end, a mark in the drafts says that a medium may be in its place before a record speaks of it.
    Raises InputProblem FN-301 when the bytes are not those that were looked at.
    """
    place = place_of(notebook, incoming.sha256, incoming.facts)
    with contextlib.ExitStack() as stack:
        copy = None if _whole(place, incoming.size) else stack.enter_context(_copy(notebook, incoming))

        def put() -> None:
            if _whole(place, incoming.size):
                return
            stack.enter_context(disk.mark(notebook / "drafts", "medium"))
            # between looking and this moment an erasure may have taken away what was there
            disk.make_folder(place.parent)
            (copy or stack.enter_context(_copy(notebook, incoming))).replace(place)
            disk.sync_folder(place.parent)

        yield put


def _whole(place: Path, size: int) -> bool:
    return place.is_file() and place.stat().st_size == size


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
