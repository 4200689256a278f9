"""The talk of one visit as one text: transcripts and written notes in the order in which they were made.

A place found on the first recording carries into the second as it did in the engineer's head, so extraction reads the whole
talk at once; this module keeps the way back from a character of it to the recording and the second.
"""

import bisect
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from fieldnote.flow.hear import when
from fieldnote.notebook import Notebook
from fieldnote.records import Evidence, Item, Trace, Transcript, Word, from_plain

Place = tuple[int, int, Word]
OVERLAP = (
    16  # words that a repair replaced share its place: how many of them may begin before a character and reach over it
)
NEXT = 80  # characters within which the next word has to stand
_MARKED = re.compile(r"(?<=\w)[.,;:!?]+(?=\s)")
PART = "\n\n"  # between two sources: no statement may run across


@dataclass(frozen=True, slots=True)
class Source:
    """One recording or note inside the talk: its item id and where its text starts and ends (exclusive)."""

    item: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Talk:
    """The text of a visit, its sources in order, and the transcripts behind those that are recordings."""

    text: str
    sources: tuple[Source, ...]
    transcripts: Mapping[str, Transcript]
    _places: dict[str, list[Place]] = field(default_factory=dict, repr=False, compare=False)

    @property
    def soft(self) -> list[int]:
        """Where words of recordings end behind which a mark stands that the recogniser guessed."""
        spoken = [source for source in self.sources if source.item in self.transcripts]
        return [at for source in spoken for at in unsure_marks(self.text, source.start, source.end)]

    def trace(self, evidence: Evidence) -> Trace:
        """From characters of the talk back to the item, its own characters, seconds, and whether a word is doubtful."""
        starts = [source.start for source in self.sources]
        at = bisect.bisect_right(starts, evidence.start) - 1
        if at < 0:
            return Trace(None, evidence.start, evidence.end)
        source = self.sources[at]
        start, end = evidence.start - source.start, evidence.end - source.start
        transcript = self.transcripts.get(source.item)
        if transcript is None:
            return Trace(source.item, start, end)
        if (
            source.item not in self._places
        ):  # worked out once: a visit may hold thousands of words and hundreds of lines
            self._places[source.item] = word_places(transcript)
        return _trace(source.item, self._places[source.item], start, end)


def unsure_marks(text: str, start: int = 0, end: int | None = None) -> list[int]:
    """Where words between two characters of heard text end behind which a mark stands: the recogniser guesses marks from how
    a voice pauses."""
    return [mark.start() for mark in _MARKED.finditer(text, start, len(text) if end is None else end)]


def trace_in(item: str, transcript: Transcript, start: int, end: int) -> Trace:
    """The seconds and the doubt of characters `start` to `end` of one transcript."""
    return _trace(item, word_places(transcript), start, end)


def _trace(item: str, places: Sequence[Place], start: int, end: int) -> Trace:
    first = bisect.bisect_left(places, start, key=lambda place: place[0]) - OVERLAP
    last = bisect.bisect_left(places, end, key=lambda place: place[0])
    inside = [word for _, stop, word in places[max(0, first) : last] if stop > start]
    if not inside:
        return Trace(item, start, end)
    doubtful = any(word.doubt for word in inside)
    return Trace(item, start, end, min(w.start for w in inside), max(w.end for w in inside), doubtful)


def word_places(transcript: Transcript) -> list[Place]:
    """Each word with the characters it takes in `Transcript.text`; a word that a repair replaced takes the repair's place."""
    places: list[Place] = []
    cursor = 0
    for segment in transcript.segments:
        for word in segment.words:
            bare = word.text.strip()
            found = transcript.text.find(bare, cursor, cursor + NEXT + len(bare)) if bare else -1
            if found < 0:
                places.append((cursor, cursor + max(1, len(bare)), word))
                continue
            places.append((found, found + len(bare), word))
            cursor = found + len(bare)
    return places


def transcripts(notebook: Notebook, visit: str | None) -> dict[str, Transcript]:
    """The newest transcript of each recording of a visit. Nothing of other visits is read for it."""
    found = {}
    for item in notebook.items(visit):
        kept = notebook.entries(kind="transcript", item=item.id) if item.kind == "recording" else ()
        payload = next((entry.payload for entry in reversed([*kept])), None)
        if payload:
            found[item.id] = from_plain(Transcript, payload)
    return found


def talk(notebook: Notebook, visit: str | None) -> Talk:
    """The talk of a visit as it stands: what is transcribed and what was written."""
    heard = transcripts(notebook, visit)
    parts = [(item, text) for item in sorted(notebook.items(visit), key=when) if (text := _text(notebook, item, heard))]
    return _join(parts, heard)


def _text(notebook: Notebook, item: Item, heard: Mapping[str, Transcript]) -> str:
    if item.kind == "recording":
        return heard[item.id].text if item.id in heard else ""
    if item.kind == "note":
        return notebook.media(item.sha256).read_text("utf-8", errors="replace")
    return ""


def _join(parts: Sequence[tuple[Item, str]], heard: Mapping[str, Transcript]) -> Talk:
    sources, pieces, at = [], [], 0
    for item, text in parts:
        sources.append(Source(item.id, at, at + len(text)))
        pieces.append(text)
        at += len(text) + len(PART)
    return Talk(PART.join(pieces), tuple(sources), heard)
