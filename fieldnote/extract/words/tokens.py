"""The words of a talk. In: text as a recogniser or a person leaves it. Out: normalised words with exact offsets and pauses.

A word's `norm` is lower case without apostrophes ("won't" is "wont", "electrode's" is "electrodes"); hyphens part words, and
so does a verb that hangs on a noun ("pilot'll" is "pilot", "ll") and an article on its noun ("t'other" is "the", "other");
regional words are read as plain ones.
What shorter speech has as one word is one ("is not" is "isnt").
Punctuation is no word: it is the pause behind one. Not allowed to know: what any word means.
"""

import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from fieldnote.extract.words.dialect import beside, plain, short

if TYPE_CHECKING:
    from spacy.language import Language
    from spacy.tokens import Doc
    from spacy.vocab import Vocab

# a noun that carries a verb ("pilot'll") and that verb; but "it'll", "i've", "could've" are single words
_CARRIED = (
    r"(?=['’`´](?:ll|ve|re|d)\b)"
    + "".join(rf"(?<!\b{word})" for word in "i it you he she we they that there who".split())
    + "(?<!ould)"
)
# a written number, an ordinal, a word (apostrophes inside, digits behind as in CO2), a sign that is read aloud, or anything else
_PIECE = re.compile(
    r"\d+(?:st|nd|rd|th)\b|(?<![\d.])\.\d+|\d+(?:[.,]\d+)*"
    rf"|(?<![^\W\d_])th?['’`´](?=[^\W\d_]{{2}})|[^\W\d_]+?{_CARRIED}|(?<=[^\W\d_])['’`´](?:ll|ve|re|d)\b"
    r"|[^\W\d_]+(?:['’`´][^\W\d_]+)*\d*|[%°£€<>½¼¾²³]|[-−](?=\.?\d)|\s+|[^\w\s]|_",
    re.IGNORECASE,
)
_APOSTROPHES = re.compile("['’`´]")
_SHORTENED = frozenset("poss prob probs approx temp temps max min incl".split())  # whose full stop ends no sentence
# behind which "it is" are two words: "so it is", "left it as it is", "the one next to it is loose"
_WHOLE_BEHIND = frozenset(
    "so to of on in round behind under beside by with at over above below off from near for like as".split()
)
_TOLD = 14  # words from "he said" to "and it is"
_TELLING = frozenset(
    "said says told tells reckoned reckons reported reports mentioned claimed claims thought thinks".split()
)
_OF_CORNERS = frozenset("front rear back left right top bottom".split())
_FULL, _HALF, _SIGNS = frozenset(".!?…"), frozenset(",;:()[]—–"), frozenset("%°£€<>½¼¾²³")


@dataclass(frozen=True, slots=True)
class Token:
    """One word: `norm` for matching, `start` and `end` in the text (end exclusive).

    `pause` is what stands behind it: "." the end of a sentence, line or source, "," a shorter pause, "" none.
    `clitic` is true where the writer marked a contraction or possessive by an apostrophe and s ("tap's"). `asks`: a question
    mark stands behind it.
    """

    norm: str
    start: int
    end: int
    pause: str = ""
    clitic: bool = False
    asks: bool = False


class Tokenizer:
    """spaCy's tokenizer for dictation: every piece of the text is a token, so that the Doc gives the text back exactly."""

    def __init__(self, vocab: "Vocab") -> None:
        self.vocab = vocab

    def __call__(self, text: str) -> "Doc":
        from spacy.tokens import Doc

        words: list[str] = []
        spaces: list[bool] = []
        for piece in _PIECE.findall(text):
            if piece == " " and words and not spaces[-1] and not words[-1].isspace():
                spaces[-1] = True
            else:
                words.append(piece)
                spaces.append(False)
        return Doc(self.vocab, words=words, spaces=spaces)


def language() -> "Language":
    """A blank English pipeline that reads dictation, without the stock tokenizer, whose making would take longest."""
    from spacy.lang.en import English

    return English(create_tokenizer=lambda nlp: Tokenizer(nlp.vocab), max_length=20_000_000)


def tokens(doc: "Doc") -> list[Token]:
    """The words of a Doc, in order."""
    found = list(_with_pauses(doc))
    for at, token in enumerate(found):
        before = found[at - 1].norm if at and found[at - 1].pause != "." else ""
        after = found[at + 1].norm if at + 1 < len(found) and not token.pause else ""
        if (said := beside(before, token.norm, after)) != token.norm:
            found[at] = replace(token, norm=said)
    return list(_shortened(found))


def _shortened(found: list[Token]) -> Iterator[Token]:
    """Two words that are one in shorter speech ("is not", "I have") as that one."""
    before, at = "", 0
    while at < len(found):
        token = found[at]
        after = found[at + 1] if at + 1 < len(found) and not token.pause else None
        whole = before in _WHOLE_BEHIND or (before == "and" and _agrees_then_a_corner(found, at))
        if after and not whole and (norm := short(token.norm, after.norm, bool(after.pause))):
            yield Token(norm, token.start, after.end, after.pause, norm.endswith("s"), after.asks)
        else:
            yield token
            after = None
        before, at = "" if token.pause else token.norm, at + (2 if after else 1)


def _agrees_then_a_corner(found: list[Token], at: int) -> bool:
    """ "He said the tap was stiff and it is front left cap cracked": what was told is so, and the next corner follows."""
    told = {token.norm for token in found[max(0, at - _TOLD) : at]}
    return bool(told & _TELLING) and all(token.norm in _OF_CORNERS for token in found[at + 2 : at + 4])


def _with_pauses(doc: "Doc") -> Iterator[Token]:
    held: Token | None = None
    pause, after_space = "", True
    for token in doc:
        text = token.text
        if _is_word(text, after_space, bool(token.whitespace_)):
            if held:
                yield replace(held, pause=pause) if pause else held
            held, pause = _word(text, token.idx), ""
        elif not (text == "." and held and held.norm in _SHORTENED):
            pause = max(pause, _pause(text, after_space and bool(token.whitespace_)), key=" ,.".find)
            held = replace(held, asks=True) if held and text == "?" else held
        after_space = bool(token.whitespace_) or text.isspace()
    if held:
        yield replace(held, pause=".")


def _is_word(text: str, after_space: bool, apart: bool) -> bool:
    return (
        text[-1].isalnum()
        or text in _SIGNS
        or (text[-1] in "'’`´" and len(text) > 1)
        or (text in "-−" and after_space and not apart)
    )


def _word(text: str, start: int) -> Token:
    norm = _APOSTROPHES.sub("", text).lower().replace("−", "-")
    if text[-1] in "'’`´":
        norm = "the"  # "t'other"
    norm = sys.intern(plain(norm))  # a talk has few different words
    return Token(norm, start, start + len(text), "", len(norm) != len(text) and norm.endswith("s"))


def _pause(text: str, apart: bool) -> str:
    if text.isspace():
        return "." if "\n" in text else ""
    if text in _FULL:
        return "."
    return "," if text in _HALF or (text in "-−" and apart) else ""
