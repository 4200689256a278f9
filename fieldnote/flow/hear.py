"""Sound to words, for everything that waits. In: a notebook and a recogniser. Out: transcripts, kept.

A recording that cannot be heard is kept as a failed step and named; the others go on.
"""

from collections.abc import Callable, Container, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from fieldnote.errors import InputProblem
from fieldnote.notebook import Notebook
from fieldnote.records import Item, Transcript, from_plain, to_plain

Progress = Callable[[float, float], None]


class Hears(Protocol):
    """Whatever turns a file of sound into a transcript; `progress` is told (seconds done, seconds in all)."""

    def hear(self, path: Path, *, progress: Progress | None = None) -> Transcript: ...


@dataclass(frozen=True, slots=True)
class Heard:
    """One recording that was listened to; `transcript` is None when it could not be, for `reason`."""

    item: Item
    transcript: Transcript | None
    reason: str = ""


def waiting(notebook: Notebook, visit: str | None = None, heard: Container[str] = ()) -> list[Item]:
    """Recordings with no transcript yet, in the order in which they were made. `heard` are ids to leave out."""
    items = notebook.items() if visit is None else notebook.items(visit)
    left = [item for item in items if item.kind == "recording" and item.id not in heard]
    return sorted((item for item in left if not _done(notebook, item)), key=when)


def has_words(notebook: Notebook, item: Item) -> bool:
    """Whether there is a transcript of a recording."""
    return any(notebook.entries(kind="transcript", item=item.id))


def _done(notebook: Notebook, item: Item) -> bool:
    """Whether a recording was listened to, or could not be."""
    return has_words(notebook, item) or any(notebook.entries(kind="step-failed", item=item.id))


def when(item: Item) -> tuple[float, str]:
    """The moment an item was made, for sorting; items that do not know fall back on the moment of intake."""
    return ((item.at or item.added_at).timestamp(), item.id)


def hear(
    notebook: Notebook,
    recogniser: Callable[[], Hears],
    *,
    visit: str | None = None,
    progress: Callable[[Item], Progress] | None = None,
    without: Container[str] = (),
) -> Iterator[Heard]:
    """Transcribe what waits, keeping each transcript before the next begins, so that it can be stopped at any moment.

    `recogniser` is called only when something waits. `progress` makes the callback of one item. `without` are ids of
    recordings that go on waiting.
    """
    items = waiting(notebook, visit, without)
    engine = recogniser() if items else None
    for item in items:
        assert engine is not None
        yield _hear_one(notebook, engine, item, progress(item) if progress else None)


def _hear_one(notebook: Notebook, engine: Hears, item: Item, progress: Progress | None) -> Heard:
    try:
        transcript = engine.hear(notebook.media(item.sha256), progress=progress)
    except InputProblem as problem:
        payload = {"step": "hear", "code": problem.code, "reason": problem.sentence}
        notebook.append("step-failed", payload, visit=item.visit, item=item.id)
        return Heard(item, None, str(problem.fields.get("reason", problem.sentence)))
    return keep(notebook, item, transcript)


def keep(notebook: Notebook, item: Item, transcript: Transcript) -> Heard:
    """Keep what was heard. Where another process was quicker its words stay, and are given back instead."""
    for entry in notebook.entries(kind="transcript", item=item.id):
        if entry.payload:
            return Heard(item, from_plain(Transcript, entry.payload))
    notebook.append(
        "transcript", to_plain(transcript), visit=item.visit, item=item.id, texts=[(item.id, transcript.text)]
    )
    return Heard(item, transcript)
