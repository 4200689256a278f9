"""Text becomes the pieces of words that the network knows. In: text. Out: numbers of pieces with exact characters."""

import functools
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import resources

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


def pieces(text: str) -> Pieces:
    """Cut a text; the marks of its start and end are not among the pieces."""
    cut = _cutter().encode(text, add_special_tokens=False)
    return Pieces(cut.ids, cut.offsets)


@functools.cache
def _cutter():  # type: ignore[no-untyped-def]  # tokenizers has no types of its own
    from tokenizers import Tokenizer, models, normalizers, pre_tokenizers

    text = resources.files("fieldnote.extract.taught").joinpath("pieces.txt").read_text("utf-8")
    known = {piece: n for n, piece in enumerate(text.removesuffix("\n").split("\n"))}
    made = Tokenizer(models.WordPiece(known, unk_token="[UNK]", max_input_chars_per_word=100))
    made.normalizer = normalizers.BertNormalizer(lowercase=True)
    made.pre_tokenizer = pre_tokenizers.BertPreTokenizer()
    return made
