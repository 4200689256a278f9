"""Reading many sources, in several processes. In: paths. Out: an index that is up to date with them, and what could not be found.

What was read is kept source by source, so that an audit that was stopped goes on where it was.
"""

import gc
import hashlib
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import NamedTuple

from fieldnote.audit.facts import Facts, facts_of
from fieldnote.audit.index import Index
from fieldnote.audit.pool import spread
from fieldnote.audit.raw import Source, read
from fieldnote.bundle import Keyring, Problem
from fieldnote.bundle.write import SIGNATURE
from fieldnote.notebook import schema

Progress = Callable[[int, int], None]


class Found(NamedTuple):
    """A source that was found: where, "notebook" or "bundle", and the mark that changes when it is written to."""

    path: str
    kind: str
    mark: str


@dataclass(frozen=True, slots=True)
class Gathered:
    """What is in the index now: all sources by path, how many of them had to be read, and paths where there was nothing."""

    found: tuple[Found, ...]
    read: int
    missing: tuple[str, ...]


def find(paths: Iterable[Path]) -> tuple[list[Found], list[str]]:
    """Notebooks and bundles at paths and below them, each once, in the order of their paths; and paths with nothing there."""
    found: dict[str, Found] = {}
    missing = []
    for path in paths:
        here = list(_below(path.absolute()))
        found |= {one.path: one for one in here}
        if not here:
            missing.append(str(path))
    return [found[path] for path in sorted(found)], missing


def _below(path: Path) -> Iterator[Found]:
    if path.is_file():
        if path.suffix == ".zip":
            yield Found(str(path), "bundle", _mark([path]))
    elif (path / schema.FILE).is_file():
        files = [path / schema.FILE, path / f"{schema.FILE}-wal"]
        yield Found(str(path), "notebook", _mark(files))
    elif (path / "bagit.txt").exists() or (path / SIGNATURE).exists():
        yield Found(str(path), "bundle", _mark(p for p in sorted(path.rglob("*")) if p.is_file()))
    elif path.is_dir():
        for entry in sorted(os.scandir(path), key=lambda entry: entry.name):
            if entry.is_dir(follow_symlinks=False) or entry.name.endswith(".zip"):
                yield from _below(Path(entry.path))


def _mark(files: Iterable[Path]) -> str:
    """Size and time of change of files that are there, as one short text."""
    hasher = hashlib.sha256()
    for path in files:
        if path.exists():
            facts = path.stat()
            hasher.update(f"{path.name} {facts.st_size} {facts.st_mtime_ns}\n".encode("utf-8", "surrogateescape"))
    return hasher.hexdigest()[:24]


def gather(
    paths: Iterable[Path],
    index: Index,
    keyring: Keyring,
    now: datetime,
    *,
    afresh: bool = False,
    progress: Progress | None = None,
    workers: int | None = None,
) -> Gathered:
    """Bring the index up to date. `afresh` reads everything again, whatever is known of it."""
    found, missing = find(paths)
    known = {} if afresh else index.marks()
    keys = hashlib.sha256(repr(sorted(keyring.keys.items())).encode()).hexdigest()[
        :8
    ]  # a bundle is judged by known keys
    wanted = [one._replace(mark=f"{one.mark}-{keys}" if one.kind == "bundle" else one.mark) for one in found]
    due = [one for one in wanted if known.get(one.path, ("", ""))[0] != one.mark]
    for done, (one, (source, facts)) in enumerate(spread(partial(_batch, keyring, now), due, workers), 1):
        index.put(one.mark, source, facts)
        if progress:
            progress(done, len(due))
    if due and known:
        index.tidy()
    return Gathered(tuple(wanted), len(due), tuple(missing))


def _batch(keyring: Keyring, now: datetime, batch: Sequence[Found]) -> list[tuple[Source, Facts]]:
    """Several sources in one worker. Records hold no rings of references: looking for them took a sixth of the time."""
    gc.disable()
    try:
        return [gathered(one, keyring, now) for one in batch]
    finally:
        gc.enable()


def gathered(one: Found, keyring: Keyring, now: datetime) -> tuple[Source, Facts]:
    """One source and what it says; a source with anything wrong says nothing."""
    source = read(Path(one.path), one.kind, keyring, now)
    facts = Facts()
    if not source.problems:
        try:
            facts = facts_of(source)
        except (ValueError, KeyError, TypeError, AttributeError, IndexError, RecursionError) as problem:
            wrong = Problem(
                "record-broken", ".", f"its records do not fit together ({type(problem).__name__}: {problem})"
            )
            source = replace(source, problems=(wrong,))
    return replace(source, rows=()), facts
