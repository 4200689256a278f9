"""Work on many things in several processes. In: things and what to do with a few of them. Out: results in order, soon.

Never more than a few batches are under way, so that memory stays small however many things there are.
"""

import multiprocessing
import os
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from typing import TypeVar

T = TypeVar("T")
R = TypeVar("R")
ALONE = 4  # as few things as this are done without starting other processes
BATCH = 4
AHEAD = 3  # batches under way for each process


def spread(
    work: Callable[[Sequence[T]], list[R]], things: Sequence[T], workers: int | None = None
) -> Iterator[tuple[T, R]]:
    """Each thing with its result. `work` must be picklable, as must be what it takes and gives."""
    if len(things) <= ALONE:
        yield from zip(things, work(things), strict=True)
        return
    batches = [things[at : at + BATCH] for at in range(0, len(things), BATCH)]
    usual = (os.cpu_count() or 1) + 1  # one more than processors: while one waits for the disk, others go on
    count = min(workers or usual, len(batches))
    under_way: deque[tuple[Sequence[T], Future[list[R]] | None]] = deque()
    with ProcessPoolExecutor(count, multiprocessing.get_context("spawn")) as pool:
        try:
            for batch in batches:
                under_way.append((batch, _submitted(pool, work, batch)))
                if len(under_way) >= AHEAD * count:
                    yield from _first(under_way, work)
            while under_way:
                yield from _first(under_way, work)
        except BaseException:
            pool.shutdown(cancel_futures=True)
            raise


def _submitted(
    pool: ProcessPoolExecutor, work: Callable[[Sequence[T]], list[R]], batch: Sequence[T]
) -> Future[list[R]] | None:
    try:
        return pool.submit(work, batch)
    except BrokenProcessPool:
        return None


def _first(
    under_way: deque[tuple[Sequence[T], Future[list[R]] | None]], work: Callable[[Sequence[T]], list[R]]
) -> Iterator[tuple[T, R]]:
    """The results of the oldest batch; where a process died, this one does what the pool no longer can."""
    batch, future = under_way.popleft()
    try:
        results = future.result() if future else work(batch)
    except BrokenProcessPool:
        results = work(batch)
    yield from zip(batch, results, strict=True)
