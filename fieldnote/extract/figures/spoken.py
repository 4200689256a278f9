"""Words with their pauses in line, for figures. In: the tokens of a talk. Out: the same, with pauses and strokes as words.

Readings care for what stands between two words: an end of a sentence ("."), a pause (","), a stroke between figures ("-").
Fillers are left out. Not allowed to know: what the words mean.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from fieldnote.extract.words.tokens import Token

HARD = "."
SOFT = ","
FILLERS = frozenset("um er erm uh ah eh hmm mhm ehm uhm".split())


def in_line(text: str, tokens: Sequence[Token]) -> tuple[list[Token], list[int]]:
    """The words with their pauses between them, and for each the index of the token it came from."""
    words: list[Token] = []
    origins: list[int] = []
    for index, token in enumerate(tokens):
        for word in _words(text, token, tokens[index + 1] if index + 1 < len(tokens) else None):
            glued = words and words[-1].norm.endswith(("/", ":"))
            if glued and words[-1].end == word.start:
                words[-1] = replace(words[-1], norm=words[-1].norm + word.norm, end=word.end)
            else:
                words.append(word)
                origins.append(index)
    return words, origins


def _words(text: str, token: Token, after: Token | None) -> Iterator[Token]:
    if token.norm not in FILLERS:
        yield from _apart(token, text, after)
    gap = text[token.end : after.start] if after else ""
    between_figures = after is not None and token.norm[-1:].isdigit() and after.norm[:1].isdigit()
    if gap.strip() == "/" and gap != "/":
        yield Token("/", token.end, token.end + 1)
    elif gap in ("-", "–", "—") and between_figures:
        yield Token("-", token.end, token.end + 1)
    elif token.pause and not (gap == ":" and between_figures):
        yield Token(token.pause, token.end, token.end)


def _apart(token: Token, text: str, after: Token | None) -> Iterator[Token]:
    """One token as the words that figures need: "x3" is "x", "3"; "m3" before "/h" and "2" before ":30" stay open."""
    norm = token.norm.replace("²", "2").replace("³", "3")
    if norm == "a" and text[token.start] == "A" and text[max(0, token.start - 9) : token.start].rstrip()[-1:].isdigit():
        norm = "amp"
    gap = text[token.end : after.start] if after else ""
    if norm[0] == "x" and norm[1:].isdigit():
        yield Token("x", token.start, token.start + 1)
        norm, token = norm[1:], replace(token, start=token.start + 1)
    if gap == "/" or (gap == ":" and norm.isdigit() and after is not None and len(after.norm) == 2):
        yield Token(norm + gap, token.start, token.end + 1)
    elif norm == token.norm and not (token.pause or token.clitic or token.asks):
        yield token  # most words: a long talk need not hold each of them twice
    else:
        yield Token(norm, token.start, token.end, clitic=token.clitic)
