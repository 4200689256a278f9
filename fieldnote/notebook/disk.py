"""Files that are there or not there, never in between. In: bytes and names. Out: names that survive a power cut.

What is durable here: the bytes are synced before the name appears, and the folder is synced before anybody is told.
"""

import contextlib
import hashlib
import os
import secrets
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

if os.name == "posix":
    import fcntl

CHUNK = 1 << 20


def sync_folder(folder: Path) -> None:
    """Make the names in a folder durable."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def make_folder(folder: Path) -> None:
    """Make a folder and its parents, durably; the folder itself is for its owner only."""
    if folder.is_dir():
        return
    if not folder.parent.is_dir():
        make_folder(folder.parent)
    with contextlib.suppress(FileExistsError):
        folder.mkdir(mode=0o700)
    sync_folder(folder.parent)


@contextlib.contextmanager
def draft(folder: Path) -> Iterator[tuple[Path, BinaryIO]]:
    """A new file, for its owner only, that is removed again unless somebody renamed it away.

    It is locked while it is being written, so that `sweep` can tell a draft that a kill left behind from one in use.
    """
    path = folder / f"draft-{secrets.token_hex(8)}"
    handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "wb") as file:
            _lock(file.fileno())
            yield path, file
    finally:
        path.unlink(missing_ok=True)


def sweep(folder: Path) -> None:
    """Remove drafts that nobody is writing any more."""
    for path in folder.glob("draft-*"):
        with contextlib.suppress(OSError):
            handle = os.open(path, os.O_RDWR)
            try:
                if _lock(handle):
                    path.unlink(missing_ok=True)
            finally:
                os.close(handle)


def _lock(handle: int) -> bool:
    if os.name != "posix":
        return True  # Windows refuses to remove a file that is open
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def copy_synced(source: BinaryIO, target: BinaryIO) -> str:
    """Copy to the end, sync, and return the SHA-256 of the bytes that were copied."""
    found = hashlib.sha256()
    while block := source.read(CHUNK):
        found.update(block)
        target.write(block)
    sync_file(target)
    return found.hexdigest()


def sync_file(file: BinaryIO) -> None:
    """Make what was written to a file durable."""
    file.flush()
    os.fsync(file.fileno())


def file_hash(path: Path) -> str:
    """SHA-256 of a file, at the speed of the disk."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
