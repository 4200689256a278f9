"""What was heard: a transcript with times, confidence, doubts, repairs and where it came from."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Word:
    """One word: seconds from the start of the sound, text, confidence 0 to 1, and why it is doubtful if it is."""

    start: float
    end: float
    text: str
    confidence: float
    doubt: str | None = None


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch of speech between pauses, in seconds from the start of the sound."""

    start: float
    end: float
    text: str
    confidence: float
    words: tuple[Word, ...] = ()


@dataclass(frozen=True, slots=True)
class Repair:
    """A known mis-hearing put right: what was heard, how it is read, by which rule, and where in `Transcript.text`."""

    heard: str
    read: str
    rule: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Transcript:
    """The words of one recording.

    `text` is the segments' text joined by single spaces, after repair; `raw` is the same before repair.
    `flags` are the contract's ("no-speech", "one-sided", "antiphase", "clipped", "passage-missing", ...).
    `provenance` holds engine, weights' hash, options and versions.
    """

    text: str
    segments: tuple[Segment, ...]
    model: str
    duration: float
    raw: str = ""
    repairs: tuple[Repair, ...] = ()
    flags: tuple[str, ...] = ()
    provenance: Mapping[str, str] = field(default_factory=dict)
