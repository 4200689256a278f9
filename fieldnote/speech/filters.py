"""Signs that a text was not said: loops, invented words, words out of silence, passages left out.

Comes in: a guess, and how long somebody spoke. Goes out: the name of the fault, or nothing. It judges, and changes nothing.
The limits on likelihood, compression and no-speech are those that Whisper's authors publish with the model (2022).
"""

import re

from fieldnote.records import Word
from fieldnote.speech.compare import agreement
from fieldnote.speech.engine import Guess
from fieldnote.speech.numbers import comparable

LEAST_LIKELY = -1.0
MOST_COMPRESSED = 2.4
DOUBTED = -0.7  # likelihood below which a text needs a second witness
FAR_LIKELIER = 0.08  # gain in likelihood from which the hinted guess leads where the two differ
FEWEST_KEPT = 0.9  # share of the plain guess's words that it must have
NOBODY = 0.6
SOMEBODY = 0.2  # probability that nobody spoke below which somebody surely did
MOST_WORDS = 5.5  # words in a second of voiced sound; brisk English is about 3
SLACK = 4  # words that a very short passage may have on top
QUIETEST = 1e-6  # mean square (-60 dBFS): below it nobody spoke into this microphone
UNHEARD = 1.2  # seconds of voiced sound without a word that make a missing passage

_LOOP = re.compile(r"\b((?:[\w'.-]+[\s,.]+){2,}?[\w'.-]+)[\s,.]+(?:\1[\s,.]*)+", re.IGNORECASE)
_STUTTER = re.compile(r"\b([\w'-]{3,})(?:[\s,.]+\1\b){4,}", re.IGNORECASE)


def fault(guess: Guess, voiced: float) -> str:
    """Why a guess is not to be believed: loop, too-many-words, unlikely, nobody; empty when it may be. `voiced` in seconds."""
    if looped(guess.text):
        return "loop"
    if len(guess.text.split()) > MOST_WORDS * voiced + SLACK:
        return "too-many-words"
    if guess.likelihood < LEAST_LIKELY:
        return "unlikely"
    if guess.no_speech > NOBODY and guess.likelihood < LEAST_LIKELY / 2:
        return "nobody"
    return ""


def invented(plain: Guess, hinted: Guess) -> bool:
    """Whether two decodes of one sound have so little in common, and are so unlikely, that nobody said either."""
    return max(plain.likelihood, hinted.likelihood) < DOUBTED and agreement(plain.text, hinted.text) < 0.3


def likelier(hinted: Guess, plain: Guess) -> bool:
    """Whether the hinted guess is far more likely than the plain one and leaves next to nothing out."""
    words = [len(comparable(guess.text.split())) for guess in (hinted, plain)]
    return hinted.likelihood > plain.likelihood + FAR_LIKELIER and words[0] >= FEWEST_KEPT * words[1]


def looped(text: str) -> bool:
    """Whether a phrase of three words or more is said again at once, one word five times, or the text compresses too well.

    A run of figures may repeat: people read meters digit by digit.
    """
    if any(_in_words(found[1]) for found in _LOOP.finditer(text)) or _STUTTER.search(text):
        return True
    return len(text) > 120 and Guess(text, 0.0, 0.0).compression > MOST_COMPRESSED


def _in_words(phrase: str) -> bool:
    return any(len(atom.text) > 2 and not atom.number for atom in comparable(phrase.split()))


def unheard(words: list[Word], stretches: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    """Voiced sound that no word accounts for: pieces of at least UNHEARD seconds, in seconds of the passage."""
    taken = sorted((word.start - 0.1, min(word.end, word.start + longest(word.text)) + 0.1) for word in words)
    free: list[tuple[float, float]] = []
    for start, end in stretches:
        for begin, stop in taken:
            if stop <= start or begin >= end:
                continue
            if begin > start:
                free.append((start, begin))
            start = max(start, stop)
        free.append((start, end))
    return [(start, end) for start, end in free if end - start >= UNHEARD]


def longest(text: str) -> float:
    """Seconds that saying a word can take at a slow pace: figures are said one by one."""
    return 0.6 + 0.12 * sum(letter.isalpha() for letter in text) + 0.6 * sum(letter.isdigit() for letter in text)
