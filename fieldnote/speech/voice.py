"""Where somebody speaks, and where to cut.

Comes in: blocks of mono samples at 16 kHz. Goes out: `Passage`: at most 18 s of sound, cut at pauses. The only module that
knows the Silero voice-activity model that ships inside faster-whisper; that model is no documented interface of it, so a test
holds this adapter to what the package itself computes.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fieldnote.speech.decoding import RATE
from fieldnote.speech.sound import Samples

WINDOW = 512  # samples for one probability
CONTEXT = 64  # samples of the window before that the model also sees

SPEECH, PAUSE = 0.5, 0.35  # probability that opens a stretch, and that closes it
SHORTEST_PAUSE = 0.3  # seconds below PAUSE before a stretch ends
ENOUGH = 12.0  # seconds after which the next pause ends a passage: what the encoder needs grows with their square
LONGEST = 18.0  # seconds of one passage in which nobody pauses
LONG_PAUSE = 3.0  # seconds of pause that end a passage
PAD = 0.2  # seconds kept around speech


class Detector:
    """Silero VAD, fed in pieces of any size; keeps its state between them."""

    def __init__(self) -> None:
        from faster_whisper.vad import get_vad_model

        self._session = get_vad_model().session
        self._h = np.zeros((1, 1, 128), np.float32)
        self._c = np.zeros((1, 1, 128), np.float32)
        self._context = np.zeros(CONTEXT, np.float32)
        self._rest = np.zeros(0, np.float32)

    def feed(self, samples: Samples) -> NDArray[np.float32]:
        """Probability of speech for each whole window of 512 samples (32 ms) that is complete now."""
        samples = np.concatenate([self._rest, samples])
        count = len(samples) // WINDOW
        self._rest = samples[count * WINDOW :]
        if not count:
            return np.zeros(0, np.float32)
        windows = samples[: count * WINDOW].reshape(count, WINDOW)
        before = np.vstack([self._context, windows[:-1, -CONTEXT:]])
        self._context = windows[-1, -CONTEXT:].copy()
        batch = np.concatenate([before, windows], axis=1)
        out, self._h, self._c = self._session.run(None, {"input": batch, "h": self._h, "c": self._c})
        return np.asarray(out, np.float32).reshape(-1)

    def finish(self) -> NDArray[np.float32]:
        """Probability of the last, incomplete window, padded with silence."""
        return self.feed(np.zeros(WINDOW - len(self._rest), np.float32)) if len(self._rest) else np.zeros(0, np.float32)


@dataclass(frozen=True, slots=True)
class Passage:
    """A piece of sound with speech in it: where it starts (seconds), its samples, and its voiced stretches (seconds from
    the start of the passage)."""

    start: float
    samples: Samples
    stretches: tuple[tuple[float, float], ...]

    @property
    def voiced(self) -> float:
        """Seconds of voiced sound."""
        return sum(end - start for start, end in self.stretches)


class _Buffer:
    """The samples that may still be needed, by their place in the whole recording."""

    def __init__(self) -> None:
        self.first = 0
        self.samples: Samples = np.zeros(0, np.float32)

    def add(self, block: Samples) -> None:
        self.samples = np.concatenate([self.samples, block])

    def forget(self, before: int) -> None:
        if before > self.first:
            self.samples = self.samples[before - self.first :]
            self.first = before

    def take(self, start: int, end: int) -> Samples:
        return self.samples[max(0, start - self.first) : max(0, end - self.first)].copy()


class Cutter:
    """Turns probabilities into stretches, and stretches into passages. Positions are counted in windows."""

    def __init__(self) -> None:
        self.at = 0
        self.open: int | None = None
        self.quiet: int | None = None
        self.joined: list[tuple[int, int]] = []
        self.history: list[float] = []

    def step(self, probability: float) -> list[tuple[int, int]] | None:
        """Take the next window; returns the stretches of a passage when one is complete."""
        done = None
        here, self.at = self.at, self.at + 1
        if self.open is None:
            if probability >= SPEECH:
                self.open, self.quiet, self.history = here, None, []
            elif self.joined and (here - self.joined[-1][1]) * WINDOW / RATE >= LONG_PAUSE:
                done, self.joined = self.joined, []
        elif probability < PAUSE:
            self.quiet = here if self.quiet is None else self.quiet
            if (here - self.quiet) * WINDOW / RATE >= SHORTEST_PAUSE:
                done = self._close(self.quiet)
                self.open = None
        elif probability >= SPEECH:
            self.quiet = None
        if self.open is not None:
            self.history.append(probability)
            if len(self.history) * WINDOW / RATE >= LONGEST:
                done = self._split()
        return done

    def finish(self) -> Iterator[list[tuple[int, int]]]:
        """The passages that are left at the end of the sound."""
        if self.open is not None and (done := self._close(self.quiet or self.at)):
            yield done
        if self.joined:
            yield self.joined
        self.open, self.joined = None, []

    def keep_from(self) -> int:
        """The first window that may still be needed."""
        if self.joined:
            return self.joined[0][0]
        return self.at if self.open is None else self.open

    def _close(self, end: int) -> list[tuple[int, int]] | None:
        """A stretch has ended: join it to the passage, or start a new passage with it and return the old one."""
        assert self.open is not None
        stretch = (self.open, end)
        if self.joined and (end - self.joined[0][0]) * WINDOW / RATE > ENOUGH:
            done, self.joined = self.joined, [stretch]
            return done
        self.joined.append(stretch)
        return None

    def _split(self) -> list[tuple[int, int]] | None:
        """Nobody pauses for LONGEST: cut where speech is least likely in the second half."""
        assert self.open is not None
        half = len(self.history) // 2
        smooth = np.convolve(self.history[half:], np.ones(5) / 5, "valid")
        cut = half + int(smooth.argmin()) + 2
        start, end = self.open, self.open + cut
        done = self._close(end)
        self.open, self.history = end, self.history[cut:]
        assert start < end
        return done


def passages(sound: Iterable[Samples], detector: Detector) -> Iterator[Passage]:
    """Cut a stream of blocks into passages of speech, in order; silence is left out."""
    buffer, cutter, last = _Buffer(), Cutter(), 0
    for probabilities, block in _probabilities(sound, detector):
        buffer.add(block)
        for probability in probabilities:
            if done := cutter.step(float(probability)):
                passage, last = _passage(buffer, done, last, cutter.at * WINDOW)
                yield passage
        buffer.forget(max(last, cutter.keep_from() * WINDOW - int(PAD * RATE)))
    for done in cutter.finish():
        passage, last = _passage(buffer, done, last, cutter.at * WINDOW)
        yield passage


def _probabilities(sound: Iterable[Samples], detector: Detector) -> Iterator[tuple[NDArray[np.float32], Samples]]:
    for block in sound:
        yield detector.feed(block), block
    yield detector.finish(), np.zeros(0, np.float32)


def _passage(buffer: _Buffer, stretches: list[tuple[int, int]], last: int, seen: int) -> tuple[Passage, int]:
    """The samples of a passage with a little sound around it, not reaching into the one before."""
    pad = int(PAD * RATE)
    start = max(last, stretches[0][0] * WINDOW - pad, 0)
    end = min(stretches[-1][1] * WINDOW + pad, seen)
    places = tuple(((a * WINDOW - start) / RATE, (b * WINDOW - start) / RATE) for a, b in stretches)
    return Passage(start / RATE, buffer.take(start, end), places), end
