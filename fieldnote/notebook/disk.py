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
def draft(folder: Path, purpose: str = "file") -> Iterator[tuple[Path, BinaryIO]]:
    """A new file, for its owner only, that is removed again unless somebody renamed it away.

    It is locked while it is being used, so that one that a kill left behind is told from one in use.
    """
    path, file = _locked_new(folder, purpose)
    try:
        with file:
            yield path, file
    finally:
        with contextlib.suppress(OSError):  # the next start clears it up
            path.unlink()


@contextlib.contextmanager
def mark(folder: Path, purpose: str) -> Iterator[None]:
    """A mark that something is under way. It stays when that was cut off or failed: then the next start clears up."""
    path, file = _locked_new(folder, purpose)
    with file:
        yield
        path.unlink(missing_ok=True)


def _locked_new(folder: Path, purpose: str) -> tuple[Path, BinaryIO]:
    """Between making a file and locking it, somebody may take it for abandoned: then another one is made."""
    while True:
        path = folder / f"draft-{purpose}-{secrets.token_hex(8)}"
        file = os.fdopen(os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600), "wb")
        if _lock(file.fileno(), wait=True) and path.exists():
            return path, file
        file.close()


@contextlib.contextmanager
def abandoned(folder: Path) -> Iterator[list[Path]]:
    """Drafts that nobody uses any more, for what they were for was cut off. They are removed when all went well."""
    with contextlib.ExitStack() as stack:
        found = []
        for path in sorted(folder.glob("draft-*")):
            with contextlib.suppress(OSError):
                file = stack.enter_context(path.open("rb+"))
                if _lock(file.fileno(), wait=False):
                    found.append(path)
        yield found
        for path in found:
            path.unlink(missing_ok=True)


def _lock(handle: int, wait: bool) -> bool:
    if os.name != "posix":
        return True  # Windows refuses to remove a file that is open
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
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
