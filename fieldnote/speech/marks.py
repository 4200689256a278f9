"""Commas and full stops that no pause stands behind, and those in the middle of a phrase, are taken away again.

In: words with times, and their samples. Out: the same words. The recogniser writes marks where a text would have them; in
unbroken talk it guesses, and people stop for breath behind "the". A wrong stop parts a fault from its place. Not allowed to
know: what the words mean.
"""

from collections.abc import Collection, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from fieldnote.records import Word
from fieldnote.speech.decoding import RATE
from fieldnote.speech.numbers import comparable
from fieldnote.speech.sound import Samples

FRAME = 320  # samples of one level (20 ms)
QUIET = 0.25  # how far above the floor, as a share of the way to loud speech, a frame still counts as quiet
FLAT = 6.0  # decibels from floor to loud speech below which pauses cannot be told
PAUSE = 0.12  # seconds of quiet that a mark needs; the closure of a stop consonant is shorter
BEHIND = 0.15  # seconds by which the start of the next word may be told too early
MARKS = ".,;:!?"
LEADING = frozenset(  # words that want another behind them: whoever stops there has not ended
    "a an and because but every i'm i've if it's my or our than that's the their there's they're we've you've your".split()
)


def at_pauses(words: Sequence[Word], samples: Samples, within: Collection[int] = ()) -> list[Word]:
    """The words of a passage, marks kept only where the sound falls quiet and a phrase can end; the last word keeps its mark.

    A mark between two figures stays, but where the words numbered in `within` end: there another decode wrote one figure.
    """
    quiet = _quiet(samples)
    out: list[Word] = []
    lower = False
    for n, (word, behind) in enumerate(pairwise([*words, None])):
        assert word is not None
        text = _lowered(word.text) if lower else word.text
        bare, lower = text.rstrip(MARKS), False
        if bare and bare != text and behind and not _stands(word, behind, quiet, n in within):
            lower, text = not text.endswith(","), bare
        out.append(replace(word, text=text))
    return out


def _stands(word: Word, behind: Word, quiet: NDArray[np.bool_], within: bool) -> bool:
    """Whether the mark of a word is kept."""
    if _numbers(word, behind) and not within:
        return True
    return word.text.rstrip(MARKS).lower() not in LEADING and _paused(quiet, word, behind)


def _quiet(samples: Samples) -> NDArray[np.bool_]:
    """For each frame whether it is quiet, measured against the passage's own floor and loudness."""
    power = (samples[: len(samples) // FRAME * FRAME].reshape(-1, FRAME) ** 2).mean(axis=1)
    if len(power) < 3:
        return np.zeros(0, bool)
    level = np.convolve(10 * np.log10(power + 1e-12), np.ones(3) / 3, "same")
    floor, loud = np.percentile(level, (5, 85))
    if loud - floor < FLAT:
        return np.ones(len(level), bool)  # nothing can be told: marks stay
    return np.asarray(level < floor + QUIET * (loud - floor))


def _paused(quiet: NDArray[np.bool_], word: Word, behind: Word) -> bool:
    """Whether PAUSE seconds of quiet lie between the middle of a word and the start of the next."""
    first, last = (word.start + word.end) / 2, min(behind.start, word.end + 2) + BEHIND
    longest = run = 0
    for frame in quiet[int(first * RATE / FRAME) : int(last * RATE / FRAME)]:
        run = run + 1 if frame else 0
        longest = max(longest, run)
    return longest * FRAME / RATE >= PAUSE


def _numbers(word: Word, behind: Word) -> bool:
    """Whether a mark stands between two figures: without it they might be read as one."""
    left, right = comparable([word.text]), comparable([behind.text])
    return bool(left and right and left[-1].number and right[0].number)


def _lowered(text: str) -> str:
    """Without the capital that only stood there because of a full stop."""
    return text[0].lower() + text[1:] if text[1:].islower() and text.split("'")[0] != "I" else text
