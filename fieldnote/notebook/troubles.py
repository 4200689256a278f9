"""What can go wrong with a disk or a database, told as an error of the catalogue. In: an exception. Out: one sentence."""

import contextlib
import errno
import sqlite3
from collections.abc import Iterator
from pathlib import Path

from fieldnote.errors import FieldnoteError, MachineLacks, NotebookProblem
from fieldnote.notebook.log import Unreadable

NOT_WRITABLE = (errno.EACCES, errno.EPERM, errno.EROFS)
NO_SPACE = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


@contextlib.contextmanager
def told(path: Path, writing: bool = True) -> Iterator[None]:
    """Turn what the system says about the notebook in `path` into an error for a person."""
    denied = "FN-502" if writing else "FN-507"
    try:
        yield
    except sqlite3.Error as problem:
        raise _of_database(path, problem, denied) from problem
    except OSError as problem:
        raise _of_system(path, problem, denied) from problem
    except (Unreadable, UnicodeDecodeError) as problem:
        raise NotebookProblem("FN-505", path=path, reason=problem) from problem


def _of_database(path: Path, problem: sqlite3.Error, denied: str) -> FieldnoteError:
    name = getattr(problem, "sqlite_errorname", "") or ""
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return NotebookProblem("FN-501", path=path)
    if name.startswith("SQLITE_FULL"):
        return MachineLacks("FN-403", path=path)
    if name.startswith(("SQLITE_READONLY", "SQLITE_PERM", "SQLITE_CANTOPEN", "SQLITE_AUTH")):
        return NotebookProblem(denied, path=path, reason=problem)
    if name.startswith("SQLITE_IOERR"):
        return MachineLacks("FN-406", path=path, reason=problem)
    if name.startswith("SQLITE_NOTADB"):
        return NotebookProblem("FN-503", path=path, reason=problem)
    return NotebookProblem("FN-505", path=path, reason=problem)


def _of_system(path: Path, problem: OSError, denied: str) -> FieldnoteError:
    if problem.errno in NO_SPACE:
        return MachineLacks("FN-403", path=path)
    if problem.errno in NOT_WRITABLE:
        return NotebookProblem(denied, path=path, reason=problem.strerror)
    return MachineLacks("FN-406", path=path, reason=problem.strerror or problem)
