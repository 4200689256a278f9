"""Files into the notebook. In: paths. Out: one receipt for each, in order, given only when that item would survive a power cut.

Looking at the next files goes on while one is being filed; a file that is refused does not keep the rest out.
"""

from collections.abc import Iterable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import ExitStack
from dataclasses import replace
from itertools import islice
from pathlib import Path
from queue import SimpleQueue

from fieldnote.capture import Looker
from fieldnote.errors import InputProblem
from fieldnote.notebook import Notebook
from fieldnote.records import Incoming, Receipt

LOOKERS = 2
AHEAD = 8  # files looked at before they are asked for
ALIKE = 4  # of 64 bits of a look may differ


def take_in(notebook: Notebook, paths: Iterable[Path], visit: str | None) -> Iterator[Receipt]:
    """File what can be used, under visit id `visit` or under none, and say for each path what became of it."""
    looks = [item.facts["look"] for item in notebook.items(visit) if "look" in item.facts]
    for path, looked in _looked(paths):
        try:
            incoming = _with_look(looked.result(), looks)
            receipt = notebook.file(incoming, visit)
        except InputProblem as problem:
            yield Receipt(str(path), None, None, None, "refused", problem.sentence)
            continue
        if receipt.status == "added" and "look" in incoming.facts:
            looks.append(incoming.facts["look"])
        yield receipt


def _looked(paths: Iterable[Path]) -> Iterator[tuple[Path, Future[Incoming]]]:
    """Each path with what was seen in it, in order; a few are looked at ahead, each looker in a thread of its own."""
    todo = iter(paths)
    with ExitStack() as stack:
        idle: SimpleQueue[Looker] = SimpleQueue()
        pool = stack.enter_context(ThreadPoolExecutor(LOOKERS))
        for _ in range(LOOKERS):  # ended before the pool is waited for, so that no slow file holds up a stop
            idle.put(stack.enter_context(Looker()))
        stack.callback(pool.shutdown, wait=False, cancel_futures=True)
        waiting = [(path, pool.submit(_look, idle, path)) for path in islice(todo, AHEAD)]
        while waiting:
            yield waiting.pop(0)
            waiting += [(path, pool.submit(_look, idle, path)) for path in islice(todo, 1)]


def _look(idle: SimpleQueue[Looker], path: Path) -> Incoming:
    looker = idle.get()
    try:
        return looker.look(path)
    finally:
        idle.put(looker)


def _with_look(incoming: Incoming, looks: list[str]) -> Incoming:
    """Flag a photo that looks like one of the same visit. Plain surfaces all look alike, so they are left out."""
    look = int(incoming.facts.get("look", "0"), 16)
    if not 8 <= look.bit_count() <= 56 or all((look ^ int(other, 16)).bit_count() > ALIKE for other in looks):
        return incoming
    return replace(incoming, flags=(*incoming.flags, "duplicate-look"))
