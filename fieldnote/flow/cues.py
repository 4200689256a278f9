"""Words that go with a photo. In: a transcript. Out: where "photo of X" or "picture of that" was said, and what X names."""

import functools
import re
from collections.abc import Sequence
from dataclasses import dataclass

from fieldnote.flow.commands import plain
from fieldnote.records import Finding, Line, ProcedureStep, Reading, Transcript, Word
from fieldnote.trade.spoken import spoken

EARLY, LATE = 4.0, 12.0  # a photo is taken from so long before its words begin to so long after they end
SHOWN = re.compile(r"^(?:photo|photograph|picture|pic|snap|snapshot|shot|image)s?$")
DEICTIC = {"that", "this", "it", "those", "these", "them", "here", "one", "same"}
LINKS = {"of", "the", "a", "an", "my", "its", "just", "another", "taking", "for", "new", "old", "to", "show"}
ENDS = re.compile(r"[.,;:!?]$")
MOST = 5  # words that a name may have


@dataclass(frozen=True, slots=True)
class Cue:
    """Words for a photo: when they were said (seconds), the words that name what is shown, and the parts these may be."""

    start: float
    end: float
    names: tuple[str, ...] = ()
    parts: frozenset[str] = frozenset()

    def speaks_of(self, line: Line) -> bool:
        """Whether a line is about what the cue names: by its part, else by the words themselves."""
        said = line.current or line.proposed
        if isinstance(said, Finding) and self.parts:
            return said.component in self.parts
        if isinstance(said, Finding | Reading | ProcedureStep):
            return any(name in _stems(f"{_id(said)} {said.evidence.text}") for name in self.names)
        return False


def cues_in(transcript: Transcript) -> list[Cue]:
    """Every cue of a recording, in order. "No photo" and "send them a photo" are none: a cue names or points, or stands alone."""
    words = [word for segment in transcript.segments for word in segment.words]
    return [cue for n, word in enumerate(words) if SHOWN.match(plain(word.text)) and (cue := _cue(words, n))]


def near(cues: Sequence[Cue], second: float | None) -> Cue | None:
    """The cue that a photo taken at `second` belongs to; one that was just said comes before one that follows."""
    if second is None:
        return None
    close = [(_gap(cue, second), n) for n, cue in enumerate(cues) if cue.start - EARLY <= second <= cue.end + LATE]
    return cues[min(close)[1]] if close else None


def _gap(cue: Cue, second: float) -> float:
    return second - cue.end if second >= cue.end else 2 * max(0.0, cue.start - second)


def _cue(words: list[Word], at: int) -> Cue | None:
    """The cue that begins with the word at `at`, which names a kind of picture."""
    alone = bool(ENDS.search(words[at].text)) or at + 1 == len(words)
    named: list[str] = []
    last = at
    follows = not alone and plain(words[at + 1].text) in ("of", "here", "now", "showing")
    for n in range(at + 1, min(len(words), at + 2 + MOST) if follows else at):
        last = n
        named.append(plain(words[n].text))
        if ENDS.search(words[n].text):
            break
    starts = (
        at == 0 or bool(ENDS.search(words[at - 1].text)) or plain(words[at - 1].text) in ("taking", "a", "new", "and")
    )
    if not named and not (alone and starts and not _refused(words, at)):
        return None
    if DEICTIC & set(named[:3]):
        return Cue(words[at].start, words[last].end)
    names = tuple(stem for stem in _stems(" ".join(w for w in named if w not in LINKS)))
    return Cue(words[at].start, words[last].end, names, _parts(" ".join(named)))


def _refused(words: list[Word], at: int) -> bool:
    """Whether the words before say that there is no photo, or that it is for somebody."""
    before = {plain(word.text) for word in words[max(0, at - 4) : at] if not ENDS.search(word.text)}
    return bool(before & {"no", "send", "sent", "email", "without", "them", "her", "him"})


def _parts(words: str) -> frozenset[str]:
    """The components whose names stand in some words; the longest names win."""
    found = [(len(name), id_) for name, id_ in _names() if re.search(rf"\b{re.escape(name)}s?\b", words)]
    longest = max((length for length, _ in found), default=0)
    return frozenset(id_ for length, id_ in found if length == longest)


@functools.cache
def _names() -> tuple[tuple[str, str], ...]:
    rows = spoken().components.items()
    return tuple((name, id_) for id_, row in rows for name in (*row.says, *row.weak))


def _id(said: Finding | Reading | ProcedureStep) -> str:
    if isinstance(said, Finding):
        return (said.component or "").replace("-", " ")
    return (said.quantity if isinstance(said, Reading) else said.step).replace("-", " ")


def _stems(text: str) -> list[str]:
    return [word.removesuffix("s") for word in plain(text).split() if len(word) > 2]
