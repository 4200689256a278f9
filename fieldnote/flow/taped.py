"""What was recorded live becomes part of the notebook. In: a whole recording and its journal. Out: an item with its words.

Done in steps that may be cut off anywhere and done again: the recording is taken away only when everything is kept. What a kill
left behind is kept this way too, with the words that were heard before it.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any, Protocol

from fieldnote.capture import Looker, tape
from fieldnote.flow.view import lines_now
from fieldnote.notebook import UNFILED, Notebook
from fieldnote.records import Decision, Segment, Transcript, from_plain, to_plain

TAIL = 0.4  # seconds of sound behind the last phrase that are worth listening to again
Journal = list[dict[str, Any]]


class HearsFiles(Protocol):
    """Whatever hears a recording again; `skip` is how many seconds of it need not be heard."""

    def __call__(self, path: Path, skip: float) -> Transcript: ...


@dataclass(frozen=True, slots=True)
class Kept:
    """A recording that was filed: its item, and whether its words are complete (else `process` hears it whole)."""

    item: str
    complete: bool


def folder_of(notebook: Notebook) -> Path:
    """Where recordings are while they grow."""
    return notebook.path / UNFILED


def recover(notebook: Notebook, hears: Callable[[], HearsFiles] | None = None) -> Iterator[Kept]:
    """File what a kill left behind. With `hears`, sound behind the last phrase that was kept is heard now."""
    for path in tape.left_behind(folder_of(notebook)):
        if tape.frames_of(path) == 0:
            tape.remove(path)
        else:
            yield file(notebook, path, hears)


def file(
    notebook: Notebook, path: Path, hears: Callable[[], HearsFiles] | None = None, complete: bool | None = None
) -> Kept:
    """File one recording with what its journal says. `complete`: whether every phrase of it was heard, if known."""
    lines = tape.journal(path)
    visit = _visit(notebook, lines)
    with Looker() as looker:
        incoming = replace(looker.look(path), at=tape.started(path).astimezone(), at_source="clock")
    item = notebook.file(incoming, visit).id
    assert item is not None
    phrases, whole_journal = _phrases(lines)
    complete = complete if whole_journal else False
    seconds = tape.frames_of(path) / tape.RATE
    if complete is None and hears is not None and phrases:
        phrases, complete = _with_tail(phrases, path, seconds, hears), True
    if complete is None:
        complete = bool(phrases) and seconds - _end(phrases[-1]) < TAIL
    if complete and not _has(notebook, "transcript", item):
        whole = joined(phrases, seconds)
        notebook.append("transcript", to_plain(whole), visit=visit, item=item, texts=[(item, whole.text)])
    if not _has(notebook, "live", item):
        said = [line for line in lines if "visit" not in line and not (complete and "phrase" in line)]
        notebook.append("live", {"lines": said}, visit=visit, item=item)
    tape.remove(path)
    return Kept(item, complete)


def _visit(notebook: Notebook, lines: Journal) -> str | None:
    """The visit that a journal names, unless it was erased since."""
    named = next((line["visit"] for line in lines if "visit" in line), None)
    return next((visit.id for visit in notebook.visits() if visit.id == named), None)


def _phrases(lines: Journal) -> tuple[list[Transcript], bool]:
    """The phrases of a journal, and whether all of them could be read; else the recording is heard again whole."""
    try:
        return [from_plain(Transcript, line["phrase"]) for line in lines if "phrase" in line], True
    except (AttributeError, KeyError, TypeError, ValueError):
        return [], False


def _has(notebook: Notebook, kind: str, item: str) -> bool:
    return any(True for _ in notebook.entries(kind=kind, item=item))


def _end(phrase: Transcript) -> float:
    return phrase.segments[-1].end if phrase.segments else 0.0


def _with_tail(
    phrases: list[Transcript], path: Path, seconds: float, hears: Callable[[], HearsFiles]
) -> list[Transcript]:
    """The phrases, and what was said behind the last of them."""
    heard_to = _end(phrases[-1])
    if seconds - heard_to < TAIL:
        return phrases
    return [*phrases, moved(hears()(path, heard_to), heard_to)]


def moved(transcript: Transcript, seconds: float) -> Transcript:
    """The same words, later by so many seconds."""

    def later(segment: Segment) -> Segment:
        words = tuple(
            replace(word, start=round(word.start + seconds, 2), end=round(word.end + seconds, 2))
            for word in segment.words
        )
        start, end = round(segment.start + seconds, 2), round(segment.end + seconds, 2)
        return replace(segment, start=start, end=end, words=words)

    return replace(transcript, segments=tuple(later(segment) for segment in transcript.segments))


def joined(phrases: list[Transcript], seconds: float) -> Transcript:
    """One transcript out of those of its phrases, whose seconds already count from the start of the recording."""
    said = [phrase for phrase in phrases if phrase.segments]
    segments = tuple(segment for phrase in said for segment in phrase.segments)
    repairs, at = [], 0
    for phrase in said:
        repairs += [replace(one, start=one.start + at, end=one.end + at) for one in phrase.repairs]
        at += len(phrase.text) + 1
    flags = {flag for phrase in phrases for flag in phrase.flags} - {"no-speech", "silent"}
    newest = phrases[-1] if phrases else None
    return Transcript(
        text=" ".join(phrase.text for phrase in said),
        segments=segments,
        model=newest.model if newest else "",
        duration=round(seconds, 2),
        raw=" ".join(phrase.raw for phrase in said),
        repairs=tuple(repairs),
        flags=tuple(sorted(flags | (set() if said else {"no-speech"}))),
        provenance={**newest.provenance, "cut": "live"} if newest else {},
    )


def strike(notebook: Notebook, item: str, visit: str, by: str, now: Callable[[], datetime]) -> list[str]:
    """Reject the lines that a spoken "strike that" spoke of: those of the phrase before it. Returns their ids."""
    struck = [
        line["struck"]
        for entry in notebook.entries(kind="live", item=item)
        for line in _lines(entry.payload)
        if "struck" in line
    ]
    found = []
    for line in lines_now(notebook, visit)[0]:
        where = line.trace
        if where.item != item or line.state != "open" or where.from_second is None:
            continue
        if any(start - 0.3 <= where.from_second <= end for start, end in struck):
            decision = Decision("reject", line.id, now(), by, reason="struck out by voice")
            notebook.append("decision", to_plain(decision), visit=visit, item=item)
            found.append(line.id)
    return found


def _lines(payload: Any) -> Journal:
    return payload["lines"] if payload else []
