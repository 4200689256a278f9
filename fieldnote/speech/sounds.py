"""How alike two written words sound.

Comes in: words, and `sounds.toml`. Goes out: which words of a list sound nearly like some heard ones. A rough ear: English
spelling read by rule, then the cheapest way to turn one row of sounds into the other. Not allowed to know: what words mean.
"""

import functools
import re
import tomllib
from collections.abc import Sequence
from importlib import resources
from typing import Annotated

import numpy as np
from pydantic import BaseModel, ConfigDict, Field

ANOTHER_VOWEL, ALIKE, ANOTHER, UNLIKE = 0.35, 0.45, 1.0, 1.2  # what it costs to take one sound for another
LOST_VOWEL, LOST_FAINT, LOST = 0.4, 0.55, 0.8  # to leave a sound out, or hear one that is not there
SHORTEST = 2.5  # sounds by which a difference is divided at least: short words differ soon
LENGTHS = 0.5  # share of its sounds by which a word may be longer or shorter
_SILENT = ("", "s", "d")  # behind an e that is not heard


class Sounds(BaseModel):
    """The file as it stands; its own head explains the rows."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)

    vowels: str
    alike: list[str]
    faint: str
    kept: list[str]
    spelling: list[Annotated[list[str], Field(min_length=2, max_length=3)]]
    near: list[Annotated[list[str], Field(min_length=2, max_length=2)]]
    far: list[Annotated[list[str], Field(min_length=2, max_length=2)]]


@functools.cache
def table() -> Sounds:
    """The rules of `sounds.toml`. Raises ValueError (pydantic's) when they are not of their form."""
    return Sounds.model_validate(tomllib.loads(resources.files("fieldnote.speech").joinpath("sounds.toml").read_text()))


@functools.cache
def sound(words: str) -> str:
    """The sounds of some words, run together: it is heard where one ends only by what is said."""
    return re.sub(r"(.)\1+", r"\1", "".join(_of_word(re.sub(r"[^a-z]", "", word)) for word in words.lower().split()))


def _of_word(word: str) -> str:
    out, at = "", 0
    while at < len(word):
        letters, said = next((row for row in _rules() if _stands(row, word, at)), (word[at], _letter(word, at)))[:2]
        out, at = out + said, at + len(letters)
    return out


@functools.cache
def _rules() -> list[list[str]]:
    return table().spelling


def _stands(row: list[str], word: str, at: int) -> bool:
    where = row[2] if len(row) > 2 else ""
    ends = at + len(row[0]) == len(word)
    return word.startswith(row[0], at) and (not where or (ends and (where == "end" or at == 0)))


def _letter(word: str, at: int) -> str:
    """The sound of a letter for which no rule stands."""
    letter, rest = word[at], word[at + 1 :]
    if letter == "c":
        return "s" if rest[:1] in ("e", "i", "y") and rest else "k"
    if letter == "g":
        return "J" if rest[:1] == "i" else "g"
    if letter == "e" and at > 1 and rest in _SILENT:
        return "e" if (rest == "s" and word[at - 1] in "szx") or (rest == "d" and word[at - 1] in "td") else ""
    return "k" if letter == "q" else "i" if letter == "y" and at else letter


@functools.cache
def _signs() -> dict[str, int]:
    signs = sorted(set("abcdefghijklmnopqrstuvwxyz") | set("AEIORWY@CJNST"))
    return {sign: n for n, sign in enumerate(signs)}


@functools.cache
def _costs() -> tuple[np.ndarray, np.ndarray]:
    """What it costs to take each sound for each other, and to lose each."""
    rules, signs = table(), _signs()
    vowels = set(rules.vowels)

    def taken(one: str, other: str) -> float:
        if one == other:
            return 0.0
        if any(one in group and other in group for group in rules.alike):
            return ALIKE
        if {one, other} <= vowels:
            return ANOTHER_VOWEL
        return UNLIKE if {one, other} & vowels else ANOTHER

    swaps = [[taken(one, other) for other in signs] for one in signs]
    lost = [
        LOST_VOWEL if sign in vowels or sign in "hr" else LOST_FAINT if sign in rules.faint else LOST for sign in signs
    ]
    return np.array(swaps, np.float32), np.array(lost, np.float32)


class Ear:
    """A list of words or short phrases that can be asked which of them sound like what was heard."""

    def __init__(self, said: Sequence[str]) -> None:
        signs = _signs()
        rows = [[signs[sign] for sign in sound(words)] for words in said]
        self._lengths = np.array([len(row) for row in rows])
        self._rows = np.zeros((len(rows), int(self._lengths.max(initial=1))), np.int32)
        for row, into in zip(rows, self._rows, strict=True):
            into[: len(row)] = row

    def apart(self, heard: str, among: np.ndarray) -> np.ndarray:
        """How far from what was heard each of the words numbered in `among` sounds: 0 is the same, 1 quite another word."""
        row = [_signs()[sign] for sign in sound(heard)]
        lengths = self._lengths[among]
        out = np.full(len(among), np.inf, np.float32)
        close = np.flatnonzero(np.abs(lengths - len(row)) <= np.maximum(2, LENGTHS * len(row)))
        if row and len(close):
            far = _distances(row, self._rows[among[close]])[np.arange(len(close)), lengths[close]]
            out[close] = far / np.maximum(SHORTEST, (lengths[close] + len(row)) / 2)
        return out


def _distances(row: list[int], rows: np.ndarray) -> np.ndarray:
    """The cost of turning one row of sounds into the first 0, 1, 2... sounds of each of the others."""
    swaps, lost = _costs()
    best = np.zeros((len(rows), rows.shape[1] + 1), np.float32)
    best[:, 1:] = np.cumsum(lost[rows], axis=1)
    for sign in row:
        one_more = np.empty_like(best)
        one_more[:, 0] = best[:, 0] + lost[sign]
        for n in range(rows.shape[1]):
            kept = np.minimum(best[:, n] + swaps[sign, rows[:, n]], best[:, n + 1] + lost[sign])
            one_more[:, n + 1] = np.minimum(kept, one_more[:, n] + lost[rows[:, n]])
        best = one_more
    return best
