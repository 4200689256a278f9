"""Many recordings to words, on one machine or several. In: recordings, a recipe, a folder for results. Out: one result for each.

A job is known by the recording's bytes and the recipe (weights, settings): what was done is never done again, whoever did it. A
result is a file that appears whole, and only once; so the work may be stopped, killed, or started anew at any moment, here or on
several machines at a time. What hears is handed in; who does the jobs is `local` here or `fleet` elsewhere; `flow.elsewhere`
takes the results into a notebook.
"""

import hashlib
import json
import multiprocessing
import os
import pickle
import secrets
import tempfile
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import NamedTuple

from fieldnote.audit.gather import find
from fieldnote.audit.raw import Source, read
from fieldnote.bundle import Keyring
from fieldnote.bundle.container import open_container
from fieldnote.errors import FieldnoteError
from fieldnote.flow.elsewhere import key_of
from fieldnote.flow.hear import Hears
from fieldnote.notebook.book import now_here
from fieldnote.records import to_plain

Make = Callable[[], Hears]
SOUNDS = (
    ".wav",
    ".flac",
    ".ogg",
    ".opus",
    ".mp3",
    ".m4a",
    ".mp4",
    ".aac",
    ".amr",
    ".3gp",
    ".webm",
    ".wma",
    ".aiff",
    ".caf",
)
TRIES = 3  # a recording that ends its worker as often as this is given up, and named
_ONE_AT_A_TIME = threading.Lock()  # an engine takes one recording at a time, and a worker may have several threads


@dataclass(frozen=True, slots=True)
class Job:
    """One recording: its key, its SHA-256, the recipe, and where its bytes lie (`member` inside a zipped bundle)."""

    key: str
    sha256: str
    recipe: Mapping[str, str]
    path: str
    member: str = ""


@dataclass(frozen=True, slots=True)
class Done:
    """What became of a job: "done", "already" (there was a result) or "failed", with the reason."""

    job: Job
    status: str
    reason: str = ""


class Listed(NamedTuple):
    """The jobs that there are, and which paths give none, with the reason: nothing there, or a source that does not hold."""

    jobs: list[Job]
    left_out: list[tuple[str, str]]


def jobs(paths: Sequence[Path], recipe: Mapping[str, str], keyring: Keyring) -> Listed:
    """Every recording in notebooks, bundles, folders and files, each bytes once, in the order of their keys."""
    sources, nothing = find(paths)
    loose = list(_loose(paths, [Path(one.path) for one in sources]))
    found = {_sha256(file): (str(file), "") for file in loose}
    empty = [path for path in nothing if not any(file.is_relative_to(path) for file in loose)]
    left_out = [(path, "there is no recording") for path in empty]
    for one in sources:
        source = read(Path(one.path), one.kind, keyring, now_here())
        left_out += [(one.path, f"{problem.where}: {problem.detail}") for problem in source.problems[:1]]
        if not source.problems:
            found |= {sha: (path, member) for path, member, sha in _media(Path(one.path), one.kind, _heard(source))}
    made = [Job(key_of(sha, recipe), sha, dict(recipe), path, member) for sha, (path, member) in found.items()]
    return Listed(sorted(made, key=lambda job: job.key), left_out)


def _loose(paths: Sequence[Path], taken: Sequence[Path]) -> Iterator[Path]:
    """Files of sound that are part of no notebook and no bundle."""
    for path in paths:
        for file in sorted(path.rglob("*")) if path.is_dir() else [path]:
            apart = not any(file.is_relative_to(place) for place in taken)
            if apart and file.suffix.lower() in SOUNDS and file.is_file():
                yield file


def _heard(source: Source) -> set[str]:
    """The hashes of a source's recordings."""
    items = [json.loads(row.payload) for row in source.rows if row.kind == "item" and row.payload]
    return {item["sha256"] for item in items if item["kind"] == "recording"}


def _media(path: Path, kind: str, shas: set[str]) -> Iterator[tuple[str, str, str]]:
    if path.suffix == ".zip":
        for name in open_container(path).sizes:
            if (sha := Path(name).stem) in shas:
                yield str(path), name, sha
        return
    for file in sorted((path / ("media" if kind == "notebook" else "data/media")).rglob("*")):
        if file.stem in shas and file.is_file():
            yield str(file), "", file.stem


def _sha256(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def do(make: Make, out: str, job: Job) -> Done:
    """Do one job, in whatever process this is; never raises. The engine is made once for each process."""
    folder = Path(out)
    if (known := known_of(folder, job)) is not None:
        return known
    with _place(folder, job, "begun").open("a") as file:
        file.write(".")
    try:
        with tempfile.TemporaryDirectory() as scratch:
            path = _whole(job, Path(scratch))
            with _ONE_AT_A_TIME:
                transcript = to_plain(_engine(pickle.dumps(make)).hear(path))
        done = Done(job, "done") if _put(folder, job, "done", {"transcript": transcript}) else Done(job, "already")
    except FieldnoteError as problem:
        done = failed(folder, job, problem.sentence)
    except Exception as problem:  # whatever a file does to an engine, the others go on
        done = failed(folder, job, f"{type(problem).__name__}: {problem}")
    _place(folder, job, "begun").unlink(missing_ok=True)
    return done


def known_of(folder: Path, job: Job) -> Done | None:
    """What there is already: the worker that did it may have been lost before it could say so."""
    if _place(folder, job, "done").exists():
        return Done(job, "already")
    try:
        return Done(job, "failed", json.loads(_place(folder, job, "failed").read_bytes())["reason"])
    except FileNotFoundError:
        return None


@cache
def _engine(make: bytes) -> Hears:
    engine: Hears = pickle.loads(make)()
    return engine


def _whole(job: Job, scratch: Path) -> Path:
    """Where the bytes of a recording are. Raises ValueError when they are not those that the job is about."""
    path = Path(job.path)
    if job.member:
        path = scratch / Path(job.member).name
        with path.open("wb") as file:
            file.writelines(open_container(Path(job.path)).blocks(job.member))
    if _sha256(path) != job.sha256:
        raise ValueError("its bytes are not those that were recorded")
    return path


def failed(folder: Path, job: Job, reason: str) -> Done:
    """Keep that a job cannot be done, so that it is not tried for ever; where there is a result after all, that holds."""
    if (known := known_of(folder, job)) is not None:
        return known
    _put(folder, job, "failed", {"reason": reason})
    _place(folder, job, "begun").unlink(missing_ok=True)
    return Done(job, "failed", reason)


def deadly(folder: Path, job: Job) -> bool:
    """Whether a job was begun as often as it may be, and never came to its end: each time it took its worker with it."""
    try:
        return _place(folder, job, "begun").stat().st_size >= TRIES
    except FileNotFoundError:
        return False


def _place(folder: Path, job: Job, kind: str) -> Path:
    return folder / f"{job.key}{'' if kind == 'done' else f'.{kind}'}.json"


def _put(folder: Path, job: Job, kind: str, content: Mapping[str, object]) -> bool:
    """A result appears whole, and only if there is none yet: whoever comes second gives way."""
    part = folder / f".{job.key}.{secrets.token_hex(6)}"
    about = {
        "key": job.key,
        "sha256": job.sha256,
        "recipe": dict(job.recipe),
        "name": Path(job.member or job.path).name,
    }
    with part.open("w", encoding="utf-8") as file:
        json.dump({**about, **content}, file, ensure_ascii=True)
        file.flush()
        os.fsync(file.fileno())
    try:
        os.link(part, _place(folder, job, kind))
        return True
    except FileExistsError:
        return False
    finally:
        part.unlink()


def waiting(all_jobs: Iterable[Job], out: Path, *, again: bool = False) -> list[Job]:
    """Jobs without a result; `again` also takes up those that failed."""
    out.mkdir(parents=True, exist_ok=True, mode=0o700)
    left = [job for job in all_jobs if not _place(out, job, "done").exists()]
    for job in left:
        _place(out, job, "begun").unlink(missing_ok=True)
        if again:
            _place(out, job, "failed").unlink(missing_ok=True)
    return [job for job in left if not _place(out, job, "failed").exists()]


def local(left: Sequence[Job], make: Make, out: Path, workers: int) -> Iterator[Done]:
    """Do jobs in a pool of processes on this machine. A process that dies takes nothing with it: a new pool does the rest.

    Which job ended it nobody knows, so those that were under way are done alone next. Raises BrokenProcessPool when no process
    comes as far as to begin anything.
    """
    open_ = {job.key: job for job in left}
    while open_:
        yield from _pool(open_, list(open_.values()), make, out, workers)
        suspects = [job for job in open_.values() if _place(out, job, "begun").exists()]
        if open_ and not suspects:
            raise BrokenProcessPool("no process begins anything")
        for job in suspects:
            yield from _pool(open_, [job], make, out, 1)
            if job.key in open_ and deadly(out, job):
                yield failed(out, open_.pop(job.key), f"it ended {TRIES} workers")


def _pool(open_: dict[str, Job], some: Sequence[Job], make: Make, out: Path, workers: int) -> Iterator[Done]:
    """Do some jobs until all are done or a process dies; what is done is taken out of `open_`."""
    with ProcessPoolExecutor(workers, multiprocessing.get_context("spawn")) as pool:
        try:
            for future in as_completed([pool.submit(do, make, str(out), job) for job in some]):
                done = future.result()
                open_.pop(done.job.key)
                yield done
        except BrokenProcessPool:
            return
        except BaseException:
            pool.shutdown(cancel_futures=True)
            raise
