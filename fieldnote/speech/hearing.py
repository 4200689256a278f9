"""The way from sound to a transcript, in order: cut, decode twice, compare, look for what is missing, ask again, repair.

Comes in: a path or samples. Goes out: `Transcript`. It knows engines only by `Engine`, and nothing of findings: what was said
is written down as it was heard, doubts marked, before anybody asks what it means.
"""

import hashlib
import math
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from fieldnote.records import Segment, Transcript, Word
from fieldnote.speech import filters, hints
from fieldnote.speech.compare import Known, Token, merge
from fieldnote.speech.decoding import RATE
from fieldnote.speech.engine import FULL_WINDOW, Engine, Guess
from fieldnote.speech.marks import at_pauses
from fieldnote.speech.numbers import atoms
from fieldnote.speech.rehearing import Change, reheard
from fieldnote.speech.repair import repaired, source
from fieldnote.speech.sound import Held, Samples, Sound
from fieldnote.speech.voice import Detector, Passage, passages

Progress = Callable[[float, float], None]

RECIPE = (
    "cut at pauses behind 12 s, at most 18 s; window speech + 5 s, else 30 s; greedy plain, greedy hinted and spelled; "
    "no sampling; marks at pauses; words that nobody says there asked of the sound"
)
BEHIND = 5.0  # seconds of silence behind the speech in the encoder's window
IN_FLIGHT = 2  # passages that are worked on at a time
AROUND = 0.2  # seconds around a stretch that is listened to again
SEGMENT_PAUSE = 0.7  # seconds between words that begin a new segment
HARDLY = 1e-6  # word confidence below which one cannot tell how unlikely a word is
LOW = 0.25  # word confidence below which a word is doubtful


@dataclass(frozen=True, slots=True)
class Heard:
    """What came of one passage: its words, in seconds of the recording, flags, and what the sound says for some words."""

    words: tuple[Word, ...] = ()
    flags: tuple[str, ...] = ()
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True, slots=True)
class First:
    """The first text of a passage, with what its full text is made of; `hinted` is None where nobody spoke.

    `unsure` is a text that is too unlikely to be kept although somebody spoke: a word on its own often is.
    """

    text: str
    passage: Passage
    encoded: Any = None
    hinted: Guess | None = None
    unsure: str = ""


class Recogniser:
    """Sound to words with one engine. One call at a time; keep it, since loading the weights is the slow part."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._hint = hints.prose()
        self._known = Known(hints.lexicon(), hints.familiar())
        self._recipe = {
            "recipe": RECIPE,
            "hint-sha256": hashlib.sha256(self._hint.encode()).hexdigest(),
            "repairs-sha256": hashlib.sha256(source().encode()).hexdigest(),
        }
        self._pool = ThreadPoolExecutor(max_workers=2 * IN_FLIGHT)  # decodes
        self._line = ThreadPoolExecutor(max_workers=IN_FLIGHT)  # passages

    def hear(self, path: Path, *, progress: Progress | None = None) -> Transcript:
        """The words of a recording. `progress` is told (seconds done, seconds in all or 0).

        Raises InputProblem FN-301 or FN-304 when the file cannot be used.
        """
        with Sound(path) as sound:
            return self._transcript(sound, progress)

    def hear_samples(self, samples: Samples, *, progress: Progress | None = None) -> Transcript:
        """The words of mono float32 samples at 16 kHz that are already in memory."""
        return self._transcript(Held(samples), progress)

    def first(self, passage: Passage) -> First:
        """The text of one decode, soon; empty when it is not to be believed."""
        if _silent(passage):
            return First("", passage)
        encoded = self._engine.encode(passage.samples, _window(passage))
        hinted = self._engine.decode(encoded, self._hint, spelled=True)
        fault = filters.fault(hinted, passage.voiced)
        unsure = hinted.text if fault == "unlikely" and hinted.no_speech < filters.SOMEBODY else ""
        return First("" if fault else hinted.text, passage, encoded, hinted, unsure)

    def among(self, first: First, hint: str) -> str:
        """The text of a passage with another hint before it; empty when it is unlikely even so."""
        if first.hinted is None:
            return ""
        guess = self._engine.decode(first.encoded, hint)
        return "" if guess.likelihood < filters.DOUBTED or guess.no_speech > filters.NOBODY else guess.text

    def odds(self, first: First, text: str, other: str) -> float:
        """How many times likelier one text of a passage is than another, by the recogniser's certainty of each word."""
        return self._certainty(first, text) / self._certainty(first, other)

    def _certainty(self, first: First, text: str) -> float:
        words = self._engine.words(first.encoded, text) if first.hinted else []
        return math.prod(max(word.confidence, HARDLY) for word in words)

    def settled(self, first: First) -> Transcript:
        """The words of a passage after both decodes were compared; seconds count from its first sample."""
        seconds = len(first.passage.samples) / RATE
        if first.hinted is None:
            return self._written([], [], ["no-speech"], seconds)
        heard = self._passage(first.passage, first.encoded, first.hinted)
        return self._written(list(heard.words), heard.changes, sorted(set(heard.flags)), seconds)

    def _transcript(self, sound: Sound | Held, progress: Progress | None) -> Transcript:
        words: list[Word] = []
        flags: list[str] = []
        changes: list[Change] = []
        counted = _Counted(sound)
        for passage, heard in self._in_order(passages(counted, Detector())):
            changes += [change.moved(len(words)) for change in heard.changes]
            words += heard.words
            flags += heard.flags
            if progress:
                progress(passage.start + len(passage.samples) / RATE, sound.seconds)
        flags += sound.flags() + ([] if words else ["no-speech"])
        return self._written(words, changes, sorted(set(flags)), counted.seconds)

    def _in_order(self, found: Iterable[Passage]) -> Iterator[tuple[Passage, Heard]]:
        """What came of each passage, in order; the next one is already under way, so that no worker waits."""
        line: deque[tuple[Passage, Future[Heard]]] = deque()
        for passage in found:
            if _silent(passage):
                continue
            line.append((passage, self._line.submit(self._whole, passage)))
            if len(line) > IN_FLIGHT:
                first, job = line.popleft()
                yield first, job.result()
        for first, job in line:
            yield first, job.result()

    def _whole(self, passage: Passage) -> Heard:
        return self._passage(passage, self._engine.encode(passage.samples, _window(passage)))

    def _passage(self, passage: Passage, encoded: Any, hinted: Guess | None = None) -> Heard:
        """The words of one passage; `hinted` when that decode was made already."""
        plain, hinted = (self._engine.decode(encoded), hinted) if hinted else self._both(encoded)
        if filters.fault(plain, passage.voiced) or filters.fault(hinted, passage.voiced):
            encoded = self._engine.encode(passage.samples, FULL_WINDOW)  # one decode after the other: side by side
            plain = self._engine.decode(encoded)  # they would make the highest need of memory higher
            hinted = self._engine.decode(encoded, self._hint, spelled=True)
            if filters.fault(hinted, passage.voiced):
                hinted = self._engine.decode(encoded, self._hint)
        tokens = self._merged(plain, hinted, passage, encoded)
        if not tokens:
            return Heard(flags=("passage-missing",) if passage.voiced >= filters.UNHEARD else ())
        words = _timed(tokens, self._engine.words(encoded, " ".join(token.text for token in tokens)))
        within = {n for n, token in enumerate(tokens) if token.within}
        words, missing = self._filled(passage, at_pauses(words, passage.samples, within))
        asked = partial(self._engine.likelihoods, encoded)
        changes = reheard([word.text for word in words], asked, sure=[word.confidence for word in words])
        return Heard(tuple(_moved(words, passage.start)), ("passage-missing",) if missing else (), tuple(changes))

    def _filled(self, passage: Passage, words: list[Word]) -> tuple[list[Word], bool]:
        """Listen again where somebody speaks and no word was written; tells whether something is still missing."""
        missing = False
        for start, end in filters.unheard(words, passage.stretches):
            found = self._again(passage.samples, start - AROUND, end + AROUND)
            before = [word for word in words if (word.start + word.end) / 2 < (start + end) / 2]
            after = words[len(before) :]
            if found and not _repeats(found, before, after):
                words = [*before, *found, *after]
            missing = missing or not found
        return words, missing

    def _again(self, samples: Samples, start: float, end: float) -> list[Word]:
        """The words of a short stretch on its own, all of them doubtful; none when they are not to be believed."""
        first = max(0, int(start * RATE))
        part = samples[first : int(end * RATE)]
        encoded = self._engine.encode(part, min(FULL_WINDOW, math.ceil(len(part) / RATE + BEHIND)))
        guess = self._engine.decode(encoded, careful=True)
        if filters.fault(guess, end - start) or guess.likelihood < filters.DOUBTED or guess.no_speech > filters.NOBODY:
            return []
        words = _timed(
            [Token(word, "decodes-differ") for word in guess.text.split()], self._engine.words(encoded, guess.text)
        )
        return _moved(words, first / RATE)

    def _both(self, encoded: Any) -> tuple[Guess, Guess]:
        """The plain decode, and the one that is hinted and spells its numbers, side by side on two workers."""
        plain = self._pool.submit(self._engine.decode, encoded)
        hinted = self._pool.submit(self._engine.decode, encoded, self._hint, spelled=True)
        return plain.result(), hinted.result()

    def _merged(self, plain: Guess, hinted: Guess, passage: Passage, encoded: Any) -> list[Token]:
        """The words of a passage out of its decodes; none when neither is to be believed."""
        faults = [filters.fault(guess, passage.voiced) for guess in (plain, hinted)]
        if not any(faults):
            if filters.invented(plain, hinted):
                return []
            return self._chosen(plain, hinted)
        if faults[0] in ("loop", "too-many-words"):
            plain = self._engine.decode(encoded, careful=True)
            faults[0] = filters.fault(plain, passage.voiced)
        if faults[0]:
            return []
        return [Token(word, "low") for word in plain.text.split()] if faults[1] else self._chosen(plain, hinted)

    def _chosen(self, plain: Guess, hinted: Guess) -> list[Token]:
        likelier = filters.likelier(hinted, plain)
        return merge(plain.text, hinted.text, self._known, likelier=likelier)

    def _written(self, words: list[Word], changes: Sequence[Change], flags: list[str], seconds: float) -> Transcript:
        raw = " ".join(word.text for word in words)
        words, repairs = repaired(words, changes)
        segments = tuple(_segment(part) for part in _parts(words))
        return Transcript(
            text=" ".join(segment.text for segment in segments),
            segments=segments,
            model=self._engine.model,
            duration=round(seconds, 2),
            raw=raw,
            repairs=tuple(repairs),
            flags=tuple(flags),
            provenance=self._engine.provenance() | self._recipe,
        )


class _Counted:
    """Passes blocks on and counts the seconds."""

    def __init__(self, blocks: Iterable[Samples]) -> None:
        self._blocks = blocks
        self.seconds = 0.0

    def __iter__(self) -> Iterator[Samples]:
        for block in self._blocks:
            self.seconds += len(block) / RATE
            yield block


def _silent(passage: Passage) -> bool:
    return float(np.mean(passage.samples**2)) < filters.QUIETEST


def _window(passage: Passage) -> float:
    return min(FULL_WINDOW, math.ceil(len(passage.samples) / RATE + BEHIND))


def _timed(tokens: list[Token], timed: list[Word]) -> list[Word]:
    """Give each token its time and confidence. The alignment writes the same words; should it not, times are shared out."""
    if [word.text for word in timed] != [token.text for token in tokens]:
        timed = _shared_out(tokens, timed)
    return [
        replace(word, text=token.text, doubt=token.doubt or ("low" if word.confidence < LOW else None))
        for token, word in zip(tokens, timed, strict=True)
    ]


def _moved(words: Iterable[Word], offset: float) -> list[Word]:
    """The same words later by `offset` seconds."""
    return [replace(word, start=round(word.start + offset, 2), end=round(word.end + offset, 2)) for word in words]


def _repeats(found: list[Word], before: list[Word], after: list[Word]) -> bool:
    """Whether words found on listening again stand beside the gap already: then only their times were wrong."""
    said = [atom for word in found for atom in atoms(word.text)]
    near = [atom for word in (*before[-len(found) - 2 :], *after[: len(found) + 2]) for atom in atoms(word.text)]
    return all(atom in near for atom in said)


def _shared_out(tokens: list[Token], timed: list[Word]) -> list[Word]:
    start, end = (timed[0].start, timed[-1].end) if timed else (0.0, 0.0)
    step = (end - start) / len(tokens)
    return [Word(start + i * step, start + (i + 1) * step, token.text, 0.0) for i, token in enumerate(tokens)]


def _parts(words: list[Word]) -> Iterator[list[Word]]:
    """Words in runs without a long pause."""
    part: list[Word] = []
    for word in words:
        if part and word.start - part[-1].end >= SEGMENT_PAUSE:
            yield part
            part = []
        part.append(word)
    if part:
        yield part


def _segment(words: list[Word]) -> Segment:
    mean = sum(word.confidence for word in words) / len(words)
    text = " ".join(word.text for word in words)
    return Segment(
        words[0].start,
        words[-1].end,
        text,
        round(mean, 3),
        tuple(replace(w, confidence=round(w.confidence, 3)) for w in words),
    )
