"""How well words stand side by side in talk of this work.

Comes in: `company.txt`, counted by tests/benchmarks/count_company.py. Goes out: how likely a word is behind another, with room
left for what was never counted (Witten and Bell's way). Not allowed to know: what words mean, sound.
"""

import functools
import math
import re
from collections.abc import Mapping, Sequence
from importlib import resources
from itertools import pairwise

ELSEWHERE = 60_000  # words of English, of which each is as likely where nothing is known
_LINE = re.compile(r"([a-z0-9']+) (\d+):((?: [a-z0-9']+ \d+,?)*)")


def plain_words(text: str) -> list[str]:
    """The words of a text in lower case, without marks."""
    return re.findall(r"[a-z0-9]+(?:'[a-z]+)?", text.lower().replace("’", "'"))


class Company:
    """What was counted: words, and which stand behind and before which."""

    def __init__(self, words: Mapping[str, int], behind: Mapping[str, Mapping[str, int]]) -> None:
        self.words, self.behind = words, behind
        self.before: dict[str, list[str]] = {}
        for one, row in behind.items():
            for two in row:
                self.before.setdefault(two, []).append(one)
        self._all = sum(words.values()) + len(words)

    def likely(self, one: str, two: str) -> float:
        """How likely `two` is behind `one`."""
        alone = (self.words.get(two, 0) + len(self.words) / ELSEWHERE) / self._all
        row = self.behind.get(one)
        if not row:
            return alone
        return (row.get(two, 0) + len(row) * alone) / (self.words[one] + len(row))

    def fit(self, before: Sequence[str], said: Sequence[str], behind: Sequence[str]) -> float:
        """The log-likelihood of words behind the last one `before` them, and of the first `behind` them; "" is a beginning."""
        row = [before[-1] if before else "", *said, *behind[:1]]
        return sum(math.log(self.likely(one, two)) for one, two in pairwise(row))


@functools.cache
def company() -> Company:
    """The counts of `company.txt`. Raises ValueError when a line is not of its form."""
    words: dict[str, int] = {}
    behind: dict[str, dict[str, int]] = {}
    for line in resources.files("fieldnote.speech").joinpath("company.txt").read_text("utf-8").splitlines():
        found = _LINE.fullmatch(line)
        if not found:
            raise ValueError(f"company.txt: {line!r}")
        words[found[1]] = int(found[2])
        pairs = (pair.split() for pair in found[3].split(",") if pair)
        behind[found[1]] = {two: int(times) for two, times in pairs}
    return Company(words, {word: row for word, row in behind.items() if row})
