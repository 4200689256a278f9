"""The order of the work, written once: hear what waits, read each visit that changed, check it."""

from collections.abc import Callable, Container, Iterator

from fieldnote.flow.check import Checker, check
from fieldnote.flow.hear import Heard, Hears, Progress, hear
from fieldnote.flow.read import Reads, read
from fieldnote.flow.view import lines_now
from fieldnote.notebook import Notebook
from fieldnote.records import Item, Visit


def process(
    notebook: Notebook,
    recogniser: Callable[[], Hears],
    extractor: Callable[[], Reads],
    checker: Checker,
    *,
    visit: str | None = None,
    progress: Callable[[Item], Progress] | None = None,
    without: Container[str] = (),
) -> Iterator[Heard | Visit]:
    """Bring everything that waits up to date, one kept step at a time: each recording heard, then each visit read and checked.

    Parts are made only when needed; recordings in `without` are not heard. Stopped anywhere, the next call goes on where
    this one was.
    """
    yield from hear(notebook, recogniser, visit=visit, progress=progress, without=without)
    reader = None
    for one in notebook.visits():
        if visit is None or one.id == visit:
            reader = reader or extractor()
            read_and_check(notebook, reader, checker, one)
            yield one


def read_and_check(notebook: Notebook, extractor: Reads, checker: Checker, visit: Visit) -> None:
    """Read one visit as it stands and check it; both are kept unless nothing changed."""
    read(notebook, extractor, visit.id)
    lines, extraction, _ = lines_now(notebook, visit.id)
    check(notebook, visit, lines, extraction, checker)


def recheck(notebook: Notebook, checker: Checker, visit: Visit) -> None:
    """After decisions: work the results out anew for what holds now, and keep them."""
    lines, extraction, _ = lines_now(notebook, visit.id)
    check(notebook, visit, lines, extraction, checker)
