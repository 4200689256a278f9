"""Voice activity and cutting: our adapter computes what the package computes, and cuts lose nothing."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldnote.speech.voice import LONGEST, WINDOW, Cutter, Detector, Passage, passages

RNG = np.random.default_rng(7)
NOISE = (0.05 * RNG.standard_normal(16000 * 3)).astype(np.float32)


def test_adapter_equals_the_package() -> None:
    """Fed in odd pieces, the detector gives the probabilities that faster-whisper's own function works with."""
    from faster_whisper.vad import get_vad_model

    whole = np.asarray(get_vad_model()(NOISE[: len(NOISE) // WINDOW * WINDOW])).reshape(-1)
    detector = Detector()
    pieces = [detector.feed(NOISE[at : at + 1000]) for at in range(0, len(NOISE), 1000)]
    ours = np.concatenate([*pieces, detector.finish()])
    assert ours[: len(whole)] == pytest.approx(whole, abs=1e-3)


class Scripted(Detector):
    """A detector that says what it is told: one probability a window."""

    def __init__(self, probabilities: list[float]) -> None:
        self.told = probabilities
        self.at = 0
        self.rest = 0

    def feed(self, samples: np.ndarray) -> np.ndarray:
        count, self.rest = divmod(self.rest + len(samples), WINDOW)
        said = self.told[self.at : self.at + count]
        self.at += count
        return np.array(said, np.float32)

    def finish(self) -> np.ndarray:
        return np.zeros(0, np.float32)


def cut(probabilities: list[float], block: int = 7000) -> list[Passage]:
    """The passages of a sound whose every sample is its own number, fed in blocks."""
    samples = np.arange(len(probabilities) * WINDOW, dtype=np.float32)
    return list(passages((samples[at : at + block] for at in range(0, len(samples), block)), Scripted(probabilities)))


def seconds(duration: float, probability: float) -> list[float]:
    """A stretch of one probability."""
    return [probability] * round(duration * 16000 / WINDOW)


def test_silence_gives_nothing() -> None:
    """Where nobody speaks there is no passage."""
    assert cut(seconds(30, 0.1)) == []


def test_a_phrase_is_cut_out_with_a_little_around_it() -> None:
    """One phrase is one passage, with 0.2 s of sound kept at both ends."""
    (one,) = cut(seconds(2, 0.0) + seconds(3, 0.9) + seconds(5, 0.0))
    assert one.start == pytest.approx(1.8, abs=0.05)
    assert len(one.samples) / 16000 == pytest.approx(3.4, abs=0.1)
    assert one.voiced == pytest.approx(3.0, abs=0.1)


def test_short_pauses_join_and_long_ones_part() -> None:
    """Phrases with a second between them are one passage, with four seconds between them two."""
    phrase = seconds(2, 0.9)
    assert len(cut(phrase + seconds(1, 0.0) + phrase + seconds(5, 0.0))) == 1
    assert len(cut(phrase + seconds(4, 0.0) + phrase + seconds(5, 0.0))) == 2


def test_speech_without_a_pause_is_cut_where_it_is_least_likely() -> None:
    """A minute without a pause is cut at its weakest moments, with nothing lost and nothing twice."""
    talk = (seconds(18, 0.9) + seconds(0.25, 0.4)) * 4
    found = cut(talk)
    assert all(len(one.samples) / 16000 <= LONGEST + 0.5 for one in found)
    assert len(found) >= 3
    samples = np.concatenate([one.samples for one in found])
    assert np.array_equal(np.diff(samples), np.ones(len(samples) - 1))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(0.05, 30), st.sampled_from([0.05, 0.4, 0.6, 0.95])), min_size=1, max_size=12))
def test_cutting_never_loses_or_repeats_speech(parts: list[tuple[float, float]]) -> None:
    """For any talk: passages are in order, do not overlap, are at most 18 s long and a little, hold the samples of their
    place, and every window that is clearly speech lies in one of them."""
    talk = [p for duration, probability in parts for p in seconds(duration, probability)]
    found = cut(talk)
    covered = np.zeros(len(talk) * WINDOW + 1, bool)
    end = 0
    for one in found:
        first = round(one.start * 16000)
        assert first >= end and len(one.samples) / 16000 <= LONGEST + 0.5
        assert np.array_equal(one.samples, np.arange(first, first + len(one.samples), dtype=np.float32))
        end = first + len(one.samples)
        covered[first:end] = True
    loud = [index for index, probability in enumerate(talk) if probability > 0.5]
    assert all(covered[index * WINDOW] for index in loud)


def test_memory_does_not_grow_with_silence() -> None:
    """The cutter keeps no windows that it no longer needs."""
    cutter = Cutter()
    for _ in range(10000):
        cutter.step(0.0)
    assert cutter.keep_from() == cutter.at and cutter.history == []
