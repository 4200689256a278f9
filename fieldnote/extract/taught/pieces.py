"""Text becomes the pieces of words that the network knows. In: text. Out: numbers of pieces with exact characters."""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

START, END = 101, 102  # the pieces that stand at the start and end of what is read


@dataclass(frozen=True, slots=True)
class Pieces:
    """The pieces of a text: their numbers, and the characters at which each starts and ends (end exclusive)."""

    ids: Sequence[int]
    spans: Sequence[tuple[int, int]]

    def within(self, start: int, end: int) -> tuple[int, int]:
        """The pieces (first, last + 1) that stand for the characters `start` to `end`; at least one, if there is one."""
        first = min(bisect_right(self.spans, start, key=lambda span: span[1]), len(self.spans) - 1)
        return first, max(bisect_left(self.spans, end, key=lambda span: span[0]), first + 1)


class Cutter:
    """Cuts a text into the pieces that are listed in a tokenizer.json."""

    def __init__(self, path: Path) -> None:
        from tokenizers import Tokenizer

        self._cutter = Tokenizer.from_file(str(path))
        self._cutter.no_padding()
        self._cutter.no_truncation()

    def cut(self, text: str) -> Pieces:
        """The pieces of a text; the marks of its start and end are not among them."""
        cut = self._cutter.encode(text, add_special_tokens=False)
        return Pieces(cut.ids, cut.offsets)
