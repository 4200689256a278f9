"""Reading a notebook without changing one byte of its folder. In: the folder. Out: a connection that holds still.

SQLite in WAL mode makes lock files even to read. Where nothing waits in the log beside the database, the database file is
read as it is; otherwise both are copied to a folder for temporary files and read there. Either way it is looked at afterwards
whether somebody wrote meanwhile.
"""

import contextlib
import os
import shutil
import sqlite3
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeVar

from sqlite_utils import Database

from fieldnote.errors import NotebookProblem
from fieldnote.notebook import schema

T = TypeVar("T")
TRIES = 20
PAUSE = 0.2


class Moved(Exception):
    """Somebody wrote to the notebook while it was being read."""


def holding_still(folder: Path, work: Callable[[Database], T]) -> T:
    """Do `work` on a notebook as it was at one moment. Raises NotebookProblem FN-501 when it never holds still."""
    for _ in range(TRIES):
        try:
            with snapshot(folder) as db:
                return work(db)
        except Moved:
            time.sleep(PAUSE)
    raise NotebookProblem("FN-501", path=folder)


@contextlib.contextmanager
def snapshot(folder: Path) -> Iterator[Database]:
    """A connection to the notebook as it is now. Raises Moved at the end when it did not hold still."""
    before = _marks(folder)
    with contextlib.ExitStack() as stack:
        source = folder
        if _log(folder).is_file() and _log(folder).stat().st_size:
            source = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="fieldnote-")))
            for path in (folder / schema.FILE, _log(folder)):
                shutil.copyfile(path, source / path.name)
            if _marks(folder) != before:
                raise Moved
        db = _open(source, "rw" if source is not folder else "ro&immutable=1")
        stack.callback(db.close)
        try:
            yield db
        finally:
            # what looks like damage in a file that moved is none
            if source is folder and _marks(folder) != before:
                raise Moved


@contextlib.contextmanager
def readable(folder: Path) -> Iterator[Database]:
    """A connection for reading: shared with writers where the folder can be written, else as it is now."""
    if not os.access(folder, os.W_OK):
        with snapshot(folder) as db:
            yield db
        return
    with contextlib.closing(schema.connect(folder, write=False)) as db:
        yield db


def _open(folder: Path, mode: str) -> Database:
    address = f"{(folder / schema.FILE).absolute().as_uri()}?mode={mode}"
    return Database(sqlite3.connect(address, uri=True, isolation_level=None), execute_plugins=False)


def _log(folder: Path) -> Path:
    return folder / f"{schema.FILE}-wal"


def _marks(folder: Path) -> list[tuple[int, int, int]]:
    marks = []
    for path in (folder / schema.FILE, _log(folder)):
        with contextlib.suppress(FileNotFoundError):
            found = path.stat()
            if found.st_size:
                marks.append((found.st_ino, found.st_size, found.st_mtime_ns))
    return marks
