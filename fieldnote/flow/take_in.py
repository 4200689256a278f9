"""Files into the notebook. In: paths. Out: one receipt for each, in order, given only when that item would survive a power cut.

Looking at the next files goes on while one is being filed; a file that is refused does not keep the rest out.
"""

from collections.abc import Generator, Iterable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import ExitStack, closing
from dataclasses import replace
from itertools import islice
from pathlib import Path
from queue import SimpleQueue

from fieldnote.capture import Looker
from fieldnote.errors import InputProblem
from fieldnote.notebook import Draft, Notebook
from fieldnote.records import Incoming, Receipt

LOOKERS = 2
HANDS = 4  # looking and copying: while one waits for the disk, others go on
AHEAD = 16  # files under way at a time
ALIKE = 4  # of 64 bits of a look may differ
PLAIN = 8  # a look with fewer bits than this is that of a plain surface

Batch = list[Draft | Receipt]


def take_in(notebook: Notebook, paths: Iterable[Path], visit: str | None) -> Iterator[Receipt]:
    """File what can be used, under visit id `visit` or under none, and say for each path what became of it."""
    looks = [item.facts["look"] for item in notebook.items(visit) if "look" in item.facts]
    with closing(_drafted(notebook, paths)) as batches:
        for batch in batches:
            for draft in batch:
                if isinstance(draft, Draft):
                    draft.incoming = _with_look(draft.incoming, looks)
            yield from _filed(notebook, batch, visit)


def _filed(notebook: Notebook, batch: Batch, visit: str | None) -> list[Receipt]:
    """One receipt for each of a batch, in order; what was drafted is filed in one go."""
    filed = iter(notebook.file_all([draft for draft in batch if isinstance(draft, Draft)], visit))
    return [next(filed) if isinstance(draft, Draft) else draft for draft in batch]


def _drafted(notebook: Notebook, paths: Iterable[Path]) -> Generator[Batch, None, None]:
    """Each path looked at and copied, or refused, in order and a few ahead; as many at once as are ready."""
    todo = iter(paths)
    with ExitStack() as stack:
        idle: SimpleQueue[Looker] = SimpleQueue()
        waiting: list[Future[Draft | Receipt]] = []
        stack.callback(_drop, waiting)
        pool = stack.enter_context(ThreadPoolExecutor(HANDS))
        for _ in range(LOOKERS):  # ended before the pool is waited for, so that no slow file holds up a stop
            idle.put(stack.enter_context(Looker()))
        stack.callback(pool.shutdown, wait=False, cancel_futures=True)
        while True:
            waiting += [pool.submit(_draft, notebook, idle, path) for path in islice(todo, AHEAD - len(waiting))]
            if not waiting:
                return
            batch = [waiting.pop(0).result()]
            while waiting and waiting[0].done():
                batch.append(waiting.pop(0).result())
            yield batch


def _draft(notebook: Notebook, idle: SimpleQueue[Looker], path: Path) -> Draft | Receipt:
    looker = idle.get()
    try:
        incoming = looker.look(path)
    except InputProblem as problem:
        return Receipt(str(path), None, None, None, "refused", problem.sentence)
    finally:
        idle.put(looker)
    try:
        return notebook.draft(incoming)
    except InputProblem as problem:
        return Receipt(str(path), None, None, None, "refused", problem.sentence)


def _drop(waiting: list[Future[Draft | Receipt]]) -> None:
    """Let go of what was drafted and will not be filed."""
    for future in waiting:
        if not future.cancelled() and future.exception() is None and isinstance(draft := future.result(), Draft):
            with draft:
                pass


def _with_look(incoming: Incoming, looks: list[str]) -> Incoming:
    """Flag a photo that looks like one of the same visit. Plain surfaces all look alike, so they are left out."""
    if "look" not in incoming.facts:
        return incoming
    look = int(incoming.facts["look"], 16)
    alike = any((look ^ int(other, 16)).bit_count() <= ALIKE for other in looks)
    looks.append(incoming.facts["look"])
    flagged = alike and PLAIN <= look.bit_count() <= 64 - PLAIN
    return replace(incoming, flags=(*incoming.flags, "duplicate-look")) if flagged else incoming
