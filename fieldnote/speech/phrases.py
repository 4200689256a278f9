"""Speech as it is spoken: cut at short pauses, a first text soon, the full one shortly after.

In: mono float32 samples at 16 kHz, piece by piece. Out: places of phrases, first texts and `Transcript`s. Not allowed to know:
what the words mean, where the sound comes from.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from fieldnote.records import Transcript
from fieldnote.speech.decoding import RATE
from fieldnote.speech.hearing import First, Recogniser
from fieldnote.speech.sound import Samples
from fieldnote.speech.voice import LONGEST, PAD, PAUSE, SPEECH, WINDOW, Detector, Passage

PHRASE_PAUSE = 0.5  # seconds of quiet that end a phrase
LIKELY = 0.25  # seconds of quiet after which a phrase has likely ended, and may be heard in advance
SHORTEST = 0.12  # seconds of voice below which it was a click


@dataclass(frozen=True, slots=True)
class Span:
    """Where a phrase stands, in samples; the voice in it begins at `first` and ends at `last`, both with a pad around."""

    first: int
    last: int
    voiced: float


class Cutter:
    """Finds phrases in a stream. `quiet` is true while nobody speaks; positions are samples since the start."""

    def __init__(self, detector: Detector | None = None) -> None:
        self._detector = detector or Detector()
        self._at = 0
        self._open: int | None = None
        self._voice_end = 0
        self._history: list[float] = []

    @property
    def quiet(self) -> bool:
        """Whether nobody is in the middle of a phrase."""
        return self._open is None

    @property
    def likely(self) -> Span | None:
        """The phrase as it is cut should the present pause go on, once it has lasted for LIKELY."""
        if self._open is None or (self._at - self._voice_end) * WINDOW / RATE < LIKELY:
            return None
        return _span(self._open, self._voice_end)

    def feed(self, samples: Samples) -> Iterator[Span]:
        """The phrases that ended in these samples."""
        for probability in self._detector.feed(samples):
            yield from self._step(float(probability))

    def finish(self) -> Iterator[Span]:
        """The phrase that was still open when the sound ended."""
        if self._open is not None:
            yield from self._close(self._voice_end)

    def _step(self, probability: float) -> Iterator[Span]:
        here, self._at = self._at, self._at + 1
        if self._open is None:
            if probability >= SPEECH:
                self._open, self._voice_end, self._history = here, here + 1, [probability]
            return
        self._history.append(probability)
        if probability >= PAUSE:
            self._voice_end = here + 1
        if (here + 1 - self._voice_end) * WINDOW / RATE >= PHRASE_PAUSE:
            yield from self._close(self._voice_end)
        elif len(self._history) * WINDOW / RATE >= LONGEST:
            yield from self._split()

    def _close(self, end: int) -> Iterator[Span]:
        assert self._open is not None
        start, self._open = self._open, None
        if span := _span(start, end):
            yield span

    def _split(self) -> Iterator[Span]:
        """Nobody pauses: cut where speech is least likely in the second half."""
        assert self._open is not None
        start, half = self._open, len(self._history) // 2
        cut = half + int(np.convolve(self._history[half:], np.ones(5) / 5, "valid").argmin()) + 2
        rest = self._history[cut:]
        end = self._voice_end
        yield Span(max(0, start * WINDOW - int(PAD * RATE)), (start + cut) * WINDOW, cut * WINDOW / RATE)
        self._open, self._history, self._voice_end = start + cut, rest, max(end, start + cut + 1)


def _span(start: int, end: int) -> Span | None:
    """The phrase between two windows with a pad around it; none when it was a click."""
    voiced, pad = (end - start) * WINDOW / RATE, int(PAD * RATE)
    return Span(max(0, start * WINDOW - pad), end * WINDOW + pad, voiced) if voiced >= SHORTEST else None


class Ear:
    """Hears phrases with one recogniser: `draft` first, `settle` for the words that are kept."""

    def __init__(self, recogniser: Recogniser) -> None:
        self._recogniser = recogniser

    def cutter(self) -> Cutter:
        """A finder of phrases for a new stretch of sound."""
        return Cutter()

    def draft(self, samples: Samples, voiced: float) -> First:
        """The first text of a phrase. `voiced` in seconds."""
        return self._recogniser.first(Passage(0.0, samples, ((PAD, PAD + voiced),)))

    def among(self, draft: First, hint: str) -> str:
        """What a phrase is when words like those of `hint` are expected; empty when that is not to be believed."""
        return self._recogniser.among(draft, hint)

    def odds(self, draft: First, text: str, other: str) -> float:
        """How many times likelier it is that a phrase is the one text than the other."""
        return self._recogniser.odds(draft, text, other)

    def settle(self, draft: First) -> Transcript:
        """The words of a phrase after both decodes were compared; seconds count from its first sample."""
        return self._recogniser.settled(draft)
