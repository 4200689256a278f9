"""Files that are whole or absent. In: bytes or folders of bytes and a path. Out: nothing, or the finished file.

A file is written beside its place, synced, and renamed: a kill at any moment leaves the old file or the new one, never a part.
"""

import contextlib
import glob
import os
import re
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from fieldnote.errors import MachineLacks

NOBODYS = 3600  # seconds after which a part that is still there belongs to no running program


def write(path: Path, content: bytes) -> None:
    """Put `content` at `path`. Raises MachineLacks FN-403 when the disk is full, FN-406 when it cannot be written."""
    with being_written(path) as temporary:
        temporary.write_bytes(content)


@contextlib.contextmanager
def being_written(path: Path) -> Iterator[Path]:
    """A path beside `path` to write to; it becomes `path` when the block ends well and is gone when it does not."""
    with _told(path):
        _sweep(path)
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
        os.close(handle)
        temporary = Path(name)
        try:
            yield temporary
            _sync(temporary)
            temporary.chmod(0o600)
            temporary.replace(path)
        finally:
            temporary.unlink(missing_ok=True)
        _sync(path.parent)


def _sweep(path: Path) -> None:
    """Parts of this file that a kill left behind; a younger one may be somebody's who writes it now."""
    for left in path.parent.glob(f".{glob.escape(path.name)}.*.part"):
        with contextlib.suppress(FileNotFoundError):
            if left.stat().st_mtime < time.time() - NOBODYS:
                left.unlink()


@contextlib.contextmanager
def _told(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as problem:
        if problem.errno == 28:
            raise MachineLacks("FN-403", path=path) from None
        raise MachineLacks("FN-406", path=path, reason=problem.strerror or problem) from None


def file_name(text: str) -> str:
    """A name for a file out of a visit's reference: letters, digits, dot and dash, never hidden, never a path."""
    bare = re.sub(r"[^A-Za-z0-9.-]+", "-", text).strip(".-")
    return bare[:80] or "visit"


def _sync(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
