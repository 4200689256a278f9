"""Finding phrases among words. In: phrases with what they stand for, and tokens. Out: hits, longest first, left to right.

One walk over a tree of words, so that the cost does not depend on how many phrases there are. A phrase never runs across the
end of a sentence. Not allowed to know: what a phrase means.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from fieldnote.extract.tokens import Token

T = TypeVar("T")
_END = ""  # no word is empty


def spell(phrase: str) -> tuple[str, ...]:
    """A phrase of a data file as norms: "Won't hold-in" is ("wont", "hold", "in")."""
    return tuple(phrase.lower().replace("'", "").replace("’", "").replace("-", " ").split())


@dataclass(frozen=True, slots=True)
class Hit(Generic[T]):
    """Words `start` to `end` (exclusive, indices of tokens) are a phrase; `values` is everything it stands for."""

    start: int
    end: int
    values: tuple[T, ...]


class Phrases(Generic[T]):
    """A set of phrases, each standing for one or more values. Words of `skip` may stand inside a phrase unasked."""

    def __init__(self, skip: Iterable[str] = ()) -> None:
        self._root: dict[str, Any] = {}
        self._skip = frozenset(skip)

    def add(self, phrase: str | Sequence[str], value: T) -> None:
        """Let a phrase stand for a value. Raises ValueError when the phrase has no word."""
        words = spell(phrase) if isinstance(phrase, str) else phrase
        if not words:
            raise ValueError("a phrase needs a word")
        node = self._root
        for word in words:
            node = node.setdefault(word, {})
        values = node.setdefault(_END, [])
        if value not in values:
            values.append(value)

    def at(self, tokens: Sequence[Token], at: int) -> Hit[T] | None:
        """The longest phrase that starts at token `at`."""
        node, found, i = self._root, None, at
        while i < len(tokens):
            word = tokens[i].norm
            if word in node:
                node = node[word]
                if _END in node:
                    found = Hit(at, i + 1, tuple(node[_END]))
            elif i == at or word not in self._skip:
                break
            if tokens[i].pause == ".":
                break
            i += 1
        return found

    def find(self, tokens: Sequence[Token]) -> list[Hit[T]]:
        """All hits that do not overlap, left to right, the longest at each place."""
        return list(self._walk(tokens))

    def _walk(self, tokens: Sequence[Token]) -> Iterator[Hit[T]]:
        at = 0
        while at < len(tokens):
            hit = self.at(tokens, at)
            if hit:
                yield hit
            at = hit.end if hit else at + 1
