"""Words that were heard and that nobody says there, asked of the sound again.

Comes in: the words of a passage. Goes out: the words of the trade's talk that sound nearly like some of them and stand better
between their neighbours, as texts of the whole passage; and, once the engine has told how likely each text is by the sound, those
that are taken. What sounds alike is believed only where the sound bears it out. No figure and no word of denial, side or guess
comes or goes.
"""

import functools
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from fieldnote.speech.company import Company, company, plain_words
from fieldnote.speech.numbers import comparable
from fieldnote.speech.sounds import Ear, table

SURE = 0.8  # confidence from which a word is not asked again
FARTHEST = 0.3  # how far apart two words may sound
BETTER = 6.0  # by how much (log-likelihood) a word must stand better between its neighbours to be asked for
ASKED = 6  # texts of one passage that the engine is asked for
TRUST = 0.5  # weight of the neighbours against the sound
FAR = 2.0  # what a distance of 1 counts against a word
TAKEN = -0.5  # sum of the three from which a word is taken
SPAN = 2  # words that one may have been heard as
FEWEST = 3  # times that a word must have been counted to come in
SHORTER = 4.0  # what a text gains by a word less, whatever the words are
_DENIED = re.compile(r"(?:is|are|was|were|has|have|had|do|does|did|wo|would|ca|could|should|ai|need|must)n'?t")
_OWNED = re.compile(r"'?s$")
_BARE = re.compile(r"^\W+|[^\w']+$")

Likelihoods = Callable[[Sequence[str]], Sequence[float]]


@dataclass(frozen=True, slots=True)
class Change:
    """Words `first` to `last` (exclusive) of a passage, and what is read for them. `worth` is what speaks for it."""

    first: int
    last: int
    read: tuple[str, ...]
    worth: float

    def moved(self, by: int) -> "Change":
        """The same change where `by` words stand in front."""
        return replace(self, first=self.first + by, last=self.last + by)


def reheard(
    words: Sequence[str], likelihoods: Likelihoods, known: Company | None = None, sure: Sequence[float] = ()
) -> list[Change]:
    """The changes to the words of a passage that the sound bears out, in order. `likelihoods` tells how likely texts are,
    `sure` how sure each word was heard."""
    asked = wanted(words, known or company(), sure)
    if not asked:
        return []
    before, *after = likelihoods([" ".join(words), *(" ".join(put(words, change)) for change in asked)])
    found = [replace(one, worth=one.worth + chance - before) for one, chance in zip(asked, after, strict=True)]
    taken: list[Change] = []
    for one in sorted(found, key=lambda change: -change.worth):
        if one.worth >= TAKEN and not any(one.first <= other.last and other.first <= one.last for other in taken):
            taken.append(one)
    return sorted(taken, key=lambda change: change.first)


def put(words: Sequence[str], change: Change) -> list[str]:
    """The words with a change put in."""
    read = read_for(change, words[change.first : change.last])
    return [*words[: change.first], *read, *words[change.last :]]


def read_for(change: Change, heard: Sequence[str]) -> list[str]:
    """What is read for some words: a capital in front and marks behind stay."""
    read = list(change.read)
    if heard[0][:1].isupper() and not heard[0][1:2].isupper():
        read[0] = read[0][0].upper() + read[0][1:]
    read[-1] += heard[-1][len(heard[-1].rstrip(".,;:!?")) :]
    return read


def wanted(words: Sequence[str], known: Company, sure: Sequence[float] = ()) -> list[Change]:
    """What may have been said instead of words that were not heard surely, the best first, at most ASKED. Of a word that was
    heard surely the ending may have been swallowed all the same: "clean the" is how "cleaned the" sounds."""
    bare = [_BARE.sub("", word).lower() for word in words]
    found: list[Change] = []
    for first in range(len(bare)):
        for last in range(first + 1, min(first + SPAN, len(bare)) + 1):
            surely = min(sure[first:last], default=0.0) >= SURE
            if (surely and last > first + 1) or _marked(words[first : last - 1]):
                continue
            if not any(_fixed(word) for word in bare[first:last]):
                found += _instead(bare, first, last, known, _ended(bare[first]) if surely else ())
    return sorted(found, key=lambda change: -change.worth)[:ASKED]


def _fixed(word: str) -> bool:
    """Whether a word must stay: a figure, a denial, a side, a guess."""
    if not word or word in _kept() or _OWNED.sub("", word) in _kept():  # "both rears", "the left's gone"
        return True
    return bool(_DENIED.fullmatch(word)) or any(atom.number for atom in comparable([word]))


@functools.cache
def _kept() -> frozenset[str]:
    return frozenset(table().kept)


def _marked(words: Sequence[str]) -> bool:
    return any(word[-1] in ".,;:!?" for word in words)


def _ended(word: str) -> tuple[str, ...]:
    """A verb with the ending of what was done."""
    return (word + "d",) if word.endswith("e") else (word + "ed",)


def _instead(bare: Sequence[str], first: int, last: int, known: Company, only: Sequence[str] = ()) -> list[Change]:
    """The words that could stand for some, each with what its neighbours and its sound speak for it; of these `only` some, where
    they are given."""
    before, behind = _flat(bare[max(0, first - 1) : first]), _flat(bare[last : last + 1])
    now = known.fit(before, _flat(bare[first:last]), behind)
    vocabulary = _vocabulary(known)
    among = vocabulary.these(only) if only else vocabulary.between(before[-1:], behind[:1])
    if not len(among):
        return []
    apart = vocabulary.ear.apart(" ".join(bare[first:last]), among)
    out = []
    for n in np.flatnonzero(apart <= FARTHEST):
        read = vocabulary.said[among[n]]
        gain = known.fit(before, [read], behind) - now - SHORTER * (last - first - 1)
        if gain >= BETTER and _OWNED.sub("", read) != _OWNED.sub("", "".join(bare[first:last])):
            out.append(Change(first, last, (read,), TRUST * gain - FAR * float(apart[n])))
    return out


def _flat(words: Sequence[str]) -> list[str]:
    return [piece for word in words for piece in plain_words(word) or ["x"]]


class _Vocabulary:
    """The words that may come in, and the ear that compares them."""

    def __init__(self, known: Company) -> None:
        self._known = known
        self.said = [word for word, times in known.words.items() if times >= FEWEST and not _fixed(word)]
        self.ear = Ear(self.said)
        self._number = {word: n for n, word in enumerate(self.said)}
        self._all = np.arange(len(self.said))

    def these(self, words: Sequence[str]) -> np.ndarray:
        """The numbers of those words that may come in."""
        return np.array([self._number[word] for word in words if word in self._number], np.int64)

    def between(self, before: Sequence[str], behind: Sequence[str]) -> np.ndarray:
        """The numbers of the words that were counted beside either neighbour; all where neither is known."""
        found: set[str] = set()
        for word in before:
            found.update(self._known.behind.get(word, ()))
        for word in behind:
            found.update(self._known.before.get(word, ()))
        numbers = [self._number[word] for word in found if word in self._number]
        return np.array(sorted(numbers), np.int64) if numbers else self._all


@functools.cache
def _vocabulary(known: Company) -> _Vocabulary:
    return _Vocabulary(known)
