"""Spoken numbers. In: normalised words of one talk. Out: runs of number words with every value they can mean.

The grammar knows how numbers are said, not what is measured: whether "nineteen eight" is 19.8 or 198 is for the caller, who
knows the quantity. Leading zeros and the words said are kept. Nothing here guesses: a run with two readings has two options.
Not allowed to know: quantities, units, limits.
"""

import functools
import re
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from importlib import resources
from typing import Any

_POINTS = frozenset({"pressure", "test", "sample", "sampling"})  # "test point" is a place
_WRITTEN = re.compile(r"\d+(?:\.\d+)?|\.\d+")
_FIGURE = re.compile("[0-9½¼¾]")
_THOUSANDS = re.compile(r"\d{1,3}(?:,\d{3})+(?:\.\d+)?")
_LED = frozenset("by height width length ceiling is was at of high x".split())  # "to" and "for" after these are figures
_HALVES = {"½": "0.5", "¼": "0.25", "¾": "0.75"}


@dataclass(frozen=True, slots=True)
class Piece:
    """One well-formed piece of a number: digits as said (zeros kept) and the words it came from.

    `kind`: digit, pair (10 to 99), string (double four), whole (with hundred or thousand, or written out), zero-point.
    """

    digits: str
    start: int
    end: int
    kind: str


@dataclass(frozen=True, slots=True)
class Option:
    """One value a run can mean. `style`: plain, string (digits one after another), tenths (a point left out)."""

    value: Decimal
    style: str
    digits: str


@dataclass(frozen=True, slots=True)
class Numeral:
    """Number words in a row. `pieces` stand before the point, `decimals` after it, `added` is "and a half"."""

    start: int
    end: int
    pieces: tuple[Piece, ...]
    decimals: str | None = None
    added: Decimal | None = None
    negative: bool = False
    needs_unit: bool = False

    @property
    def options(self) -> tuple[Option, ...]:
        """Every value that these words can mean, the plainest first."""
        return tuple(_options(self))

    @property
    def whole(self) -> str:
        """The digits before the point, as said."""
        return "".join(piece.digits for piece in self.pieces)

    @property
    def is_year(self) -> bool:
        """Whether the words have the shape of a year: "twenty nineteen", "2014", "nineteen ninety eight"."""
        if self.decimals is not None or self.added is not None:
            return False
        pairs = len(self.pieces) == 2 and all(p.kind == "pair" for p in self.pieces)
        return (pairs or len(self.pieces) == 1) and re.fullmatch(r"(19|20)\d\d", self.whole) is not None


@functools.cache
def _words() -> dict[str, Any]:
    raw = resources.files("fieldnote.extract").joinpath("cues/numbers.toml").read_text("utf-8")
    data = tomllib.loads(raw)
    tables = {
        name: _inverse(data[name]) for name in ("digits", "heard", "teens", "tens", "scales", "repeats", "dialect")
    }
    phrases = {name: _phrases(data["fractions"][name]) for name in ("added", "alone")}
    return tables | phrases | {name: frozenset(data[name]) for name in ("point", "joins", "minus")}


@functools.cache
def _openers() -> frozenset[str]:
    """Every word with which a numeral can begin, figures left out."""
    known = _words()
    tables = ("digits", "heard", "teens", "tens", "scales", "repeats", "point", "minus")
    return frozenset({"a", "an", *_HALVES}.union(*(known[name] for name in (*tables, "added", "alone"))))


def _inverse(table: dict[str, list[str]]) -> dict[str, str]:
    return {word: value for value, words in table.items() for word in words}


def _phrases(table: dict[str, list[str]]) -> dict[str, list[tuple[tuple[str, ...], Decimal]]]:
    """The phrases by their first words, the longest first."""
    rows = [(tuple(phrase.split()), Decimal(value)) for value, phrases in table.items() for phrase in phrases]
    by_first: dict[str, list[tuple[tuple[str, ...], Decimal]]] = {}
    for row in sorted(rows, key=lambda row: -len(row[0])):
        by_first.setdefault(row[0][0], []).append(row)
    return by_first


def scan(words: Sequence[str]) -> list[Numeral]:
    """All numerals of a talk, in order, never overlapping. Linear in the number of words."""
    found, at = [], 0
    while at < len(words):
        numeral = numeral_at(words, at)
        if numeral:
            found.append(numeral)
        at = numeral.end if numeral else at + 1
    return found


def numeral_at(words: Sequence[str], at: int) -> Numeral | None:
    """The longest numeral that starts at word `at`, or None."""
    if words[at] not in _openers() and not _FIGURE.search(words[at]):
        return None  # nearly always
    start, negative = at, False
    if words[at] in _words()["minus"]:
        at, negative = at + 1, True
    alone = _phrase(words, at, "alone")
    if alone and not _continues(words, alone[1]):
        piece = Piece(str(alone[0]), at, alone[1], "whole")
        return Numeral(start, alone[1], (piece,), negative=negative, needs_unit=True)
    pieces, end = _pieces(words, at)
    decimals, end = _decimals(words, end, bool(pieces))
    if not pieces and decimals is None:
        return None
    added = None
    if decimals is None and (fraction := _phrase(words, end, "added")):
        added, end = fraction
    return Numeral(start, end, tuple(pieces), decimals, added, negative)


def fraction_after(words: Sequence[str], at: int) -> tuple[Decimal, int] | None:
    """ "and a half", "and three quarters" at word `at`: what it adds and where it ends."""
    return _phrase(words, at, "added")


def _continues(words: Sequence[str], at: int) -> bool:
    """Whether a number follows: "a quarter twenty" is no quarter."""
    return at < len(words) and _piece(words, at) is not None


def _phrase(words: Sequence[str], at: int, table: str) -> tuple[Decimal, int] | None:
    if at >= len(words):
        return None
    for phrase, value in _words()[table].get(words[at], ()):
        if tuple(words[at : at + len(phrase)]) == phrase:
            return value, at + len(phrase)
    if table == "added" and words[at] in _HALVES:
        return Decimal(_HALVES[words[at]]), at + 1
    return None


def _pieces(words: Sequence[str], at: int) -> tuple[list[Piece], int]:
    pieces: list[Piece] = []
    while at < len(words):
        if pieces and _phrase(words, at, "added"):
            break  # "fourteen three quarters"
        piece = _piece(words, at) or _heard_piece(words, at, bool(pieces))
        if piece is None or (pieces and "." in piece.digits):
            break
        pieces.append(piece)
        at = piece.end
        if "." in piece.digits:
            if re.fullmatch(r"0\.0+", piece.digits):
                digits, at = _spelled_digits(words, at)
                pieces[-1] = replace(piece, digits=piece.digits + digits, end=at)
            break
    return pieces, at


def _spelled_digits(words: Sequence[str], at: int) -> tuple[str, int]:
    """The digits in words behind "0.00": whoever was heard so had not ended ("0.00 zero eight")."""
    digits = ""
    while at < len(words) and (digit := _words()["digits"].get(words[at])):
        digits, at = digits + digit, at + 1
    return digits, at


def _piece(words: Sequence[str], at: int) -> Piece | None:
    word, known = words[at], _words()
    if word in known["repeats"] and at + 1 < len(words):
        digit = _digit(words[at + 1])
        return Piece(digit * int(known["repeats"][word]), at, at + 2, "string") if digit else None
    small = _small(words, at)
    cardinal = _cardinal(words, at)
    if cardinal and (small is None or cardinal[1] > small[1]):
        return Piece(str(cardinal[0]), at, cardinal[1], "whole")
    if small:
        return Piece(str(small[0]), at, small[1], small[2])
    return _written(words, at)


def _cardinal(words: Sequence[str], at: int) -> tuple[int, int] | None:
    """A whole number with hundreds or thousands: value and end."""
    if (first := _hundreds(words, at)) is None:
        return None
    value, end = first
    if _word(words, end) != "thousand":
        return value, end
    value, end = value * 1000, end + 1
    rest = _hundreds(words, _past_and(words, end))
    return (value + rest[0], rest[1]) if rest and 0 < rest[0] < 1000 else (value, end)


def _hundreds(words: Sequence[str], at: int) -> tuple[int, int] | None:
    """Up to 9,999 with at most one "hundred" ("fifteen hundred and six"), or one to three written figures."""
    if _word(words, at) in ("a", "an") and _word(words, at + 1) in _words()["scales"]:
        at += 1
    if _word(words, at) in _words()["scales"]:
        first: tuple[int, int] | None = (1, at)
    else:
        small = _small(words, at)
        figures = re.fullmatch(r"[1-9]\d{0,2}", _word(words, at))
        first = small[:2] if small else (int(words[at]), at + 1) if figures else None
    if first is None or first[0] == 0 or _word(words, first[1]) != "hundred":
        return first
    value, end = first[0] * 100, first[1] + 1
    rest = _small(words, _past_and(words, end))
    return (value + rest[0], rest[1]) if rest and rest[0] > 0 else (value, end)


def _past_and(words: Sequence[str], at: int) -> int:
    return at + 1 if _word(words, at) in _words()["joins"] else at


def _word(words: Sequence[str], at: int) -> str:
    return words[at] if at < len(words) else ""


def _small(words: Sequence[str], at: int) -> tuple[int, int, str] | None:
    """A number below 100 in words or in one or two figures: value, end, kind."""
    word, known = _word(words, at), _words()
    if (digit := _digit(word)) is not None:
        return int(digit), at + 1, "digit"
    if word in known["teens"]:
        return int(known["teens"][word]), at + 1, "pair"
    if word in known["tens"]:
        value = int(known["tens"][word])
        unit = _digit(words[at + 1]) or known["dialect"].get(words[at + 1]) if at + 1 < len(words) else None
        if unit not in (None, "0"):
            return value + int(unit or 0), at + 2, "pair"
        return value, at + 1, "pair"
    if re.fullmatch(r"[1-9]\d", word):
        return int(word), at + 1, "pair"
    return None


def _written(words: Sequence[str], at: int) -> Piece | None:
    word = words[at]
    if _THOUSANDS.fullmatch(word):
        word = word.replace(",", "")
    if not _WRITTEN.fullmatch(word):
        return None
    return Piece("0" + word if word.startswith(".") else word, at, at + 1, "whole")


def _digit(word: str) -> str | None:
    if re.fullmatch(r"[0-9]", word):
        return word
    digit: str | None = _words()["digits"].get(word)
    return digit


def _heard_piece(words: Sequence[str], at: int, inside: bool) -> Piece | None:
    """A digit under another spelling, where digits stand on both sides or a point with a digit follows."""
    digit = _words()["heard"].get(words[at])
    if digit is None or at + 1 >= len(words):
        return None
    after = words[at + 1]
    if inside and digit != "0" and _digit(after) is not None and _digit(words[at - 1]) is not None:
        return Piece(digit, at, at + 1, "digit") if words[at] not in ("to", "for") else None
    if digit == "0" and after in _words()["point"] and at + 2 < len(words):
        return Piece("0", at, at + 1, "digit") if _digit(words[at + 2]) or words[at + 2] in _words()["heard"] else None
    led = words[at] not in ("to", "for") or at == 0 or words[at - 1] in _LED
    if led and after in _words()["point"] and at + 2 < len(words) and _digit(words[at + 2]) is not None:
        return Piece(digit, at, at + 1, "digit")
    return None


def _decimals(words: Sequence[str], at: int, has_whole: bool) -> tuple[str | None, int]:
    """The digits after a point word; (None, at) where there are none."""
    if at >= len(words):
        return None, at
    word = words[at]
    if re.fullmatch(r"\.\d+", word) and has_whole:
        return word[1:], at + 1
    if word not in _words()["point"] or at + 1 >= len(words):
        return None, at
    if not has_whole and at and words[at - 1] in _POINTS:
        return None, at  # "at the pressure point fourteen point eight"
    digits, end = _decimal_digits(words, at + 1)
    return (digits, end) if digits else (None, at)


def _decimal_digits(words: Sequence[str], at: int) -> tuple[str, int]:
    digits, end = "", at
    while end < len(words):
        part = _decimal_part(words, end, not digits)
        if part is None:
            break
        if digits and _starts_another(words, part[1]):
            break
        digits, end = digits + part[0], part[1]
    return digits, end


def _starts_another(words: Sequence[str], end: int) -> bool:
    """Whether a digit after a point begins the next number: "... one zero two point five" is ".10" and "2.5"."""
    return (
        _word(words, end) in _words()["point"]
        and end + 1 < len(words)
        and _decimal_part(words, end + 1, True) is not None
    )


def _decimal_part(words: Sequence[str], at: int, first: bool) -> tuple[str, int] | None:
    word, known = words[at], _words()
    if (digit := _digit(word)) is not None:
        return digit, at + 1
    if first and word in known["heard"]:
        return known["heard"][word], at + 1
    if not first and word in ("not", "ate", "won", "too") and word in known["heard"]:
        return known["heard"][word], at + 1
    if word in known["repeats"] and at + 1 < len(words) and (digit := _digit(words[at + 1])):
        return digit * int(known["repeats"][word]), at + 2
    small = _small(words, at)
    if first and small and small[2] == "pair":
        return str(small[0]), small[1]
    if word.isdigit() and word.isascii() and (first or len(word) <= 3):
        return word, at + 1
    return None


def _options(numeral: Numeral) -> Iterator[Option]:
    sign = -1 if numeral.negative else 1
    whole = numeral.whole or "0"
    if numeral.decimals is not None:
        digits = f"{whole}.{numeral.decimals}" if "." not in whole else whole + numeral.decimals
        yield Option(sign * Decimal(digits), "plain", digits)
        return
    if numeral.added is not None:
        yield Option(sign * (Decimal(whole) + numeral.added), "plain", whole)
        return
    yield Option(sign * Decimal(whole), "plain" if len(numeral.pieces) == 1 else "string", whole)
    yield from _pointless(numeral, sign)


def _pointless(numeral: Numeral, sign: int) -> Iterator[Option]:
    """Values with a point that was not said: "nineteen eight", "two thirty eight", "nought nought four"."""
    parts = [piece.digits for piece in numeral.pieces]
    if len(parts) == 1 and numeral.pieces[0].kind == "string" and len(parts[0]) > 1:
        parts = list(parts[0])
    if "." in "".join(parts) or any(p.kind == "whole" and len(p.digits) > 2 for p in numeral.pieces[1:]):
        return
    for cut in range(1, len(parts)):
        digits = "".join(parts[:cut]) + "." + "".join(parts[cut:])
        yield Option(sign * Decimal(digits), "tenths", digits)
    if len(parts) > 1 and parts[0].startswith("0"):
        digits = "0." + "".join(parts)
        yield Option(sign * Decimal(digits), "tenths", digits)


def split(numeral: Numeral) -> list[Numeral]:
    """A run cut where two numbers must meet when it is no string of digits: "twenty two nineteen five" is 22 and 19.5."""
    groups: list[list[Piece]] = []
    for piece in numeral.pieces:
        if groups and _belongs(groups[-1], piece):
            groups[-1].append(piece)
        else:
            groups.append([piece])
    if len(groups) < 2:
        return [numeral]
    cut = [Numeral(group[0].start, group[-1].end, tuple(group)) for group in groups[:-1]]
    last = groups[-1]
    tail = Numeral(last[0].start, numeral.end, tuple(last), numeral.decimals, numeral.added)
    return [*cut, tail]


def _belongs(group: list[Piece], piece: Piece) -> bool:
    kinds = [p.kind for p in group]
    if any("." in p.digits for p in group) or piece.kind == "whole" or "whole" in kinds:
        return False
    if piece.kind == "pair":
        return len(group) == 1 and kinds[0] == "digit" and group[0].digits != "0"
    return len(group) <= 2 if kinds[0] == "pair" else True
