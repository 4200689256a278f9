"""Which words are numbers, and whether two ways of writing a number mean the same.

Comes in: words of a transcript. Goes out: comparable forms. It only compares what was heard: reading a value out of speech is
another room's work, and nothing here changes a number.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

_UNITS = dict(zip("nought one two three four five six seven eight nine".split(), range(10), strict=True))
_UNITS |= {"zero": 0, "naught": 0, "oh": 0}
_TEENS = dict(
    zip(
        "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split(),
        range(10, 20),
        strict=True,
    )
)
_TENS = dict(zip("twenty thirty forty fifty sixty seventy eighty ninety".split(), range(20, 100, 10), strict=True))
_VALUES = _UNITS | _TEENS | _TENS
_SCALES = {"hundred": 100, "thousand": 1000}
_LIKE_NOUGHT = {"not", "nor", "knot"}  # what the recogniser writes for "nought"
_SAME = {
    "mil": "mm", "mill": "mm", "mils": "mm", "mills": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm",
    "millimeters": "mm", "millivolt": "mv", "millivolts": "mv", "millibar": "mbar", "millibars": "mbar", "mb": "mbar",
    "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm", "metre": "m", "metres": "m", "meter": "m",
    "meters": "m", "kilowatt": "kw", "kilowatts": "kw", "okay": "ok", "%": "percent", "x": "by",
}  # fmt: skip
FEWEST_DIGITS = 5  # digits and point of a figure that is read one by one
_ATOM = re.compile(r"\d[\d,]*(?:\.\d+)*|\.\d+|[a-z]+(?:'[a-z]+)?|%")


@dataclass(frozen=True, slots=True)
class Atom:
    """A comparable piece of text, and the words first..last that it came from."""

    text: str
    first: int
    last: int

    @property
    def number(self) -> bool:
        """Whether it is a figure."""
        return self.text[0].isdigit() or self.text[0] == "."


def atoms(word: str) -> list[str]:
    """A written word in pieces: "CO38ppm," is co, 38, ppm. Commas inside figures are dropped."""
    found = (piece.replace(",", "") for piece in _ATOM.findall(word.lower().replace("’", "'")))
    return [_SAME.get(piece, piece) for piece in found]


def comparable(words: list[str]) -> list[Atom]:
    """The atoms of a text, every number in figures however it was written: "thirty eight" is 38, "19 and a half" 19.5."""
    loose = [(atom, index) for index, word in enumerate(words) for atom in atoms(word)]
    texts = _noughts([atom for atom, _ in loose])
    out: list[Atom] = []
    at = 0
    while at < len(texts):
        end = _end_of_number(texts, at)
        text = _figures(texts[at:end]) if end > at else texts[at]
        end = max(end, at + 1)
        out.append(Atom(text, loose[at][1], loose[end - 1][1]))
        at = end
    return out


def odd(text: str) -> bool:
    """Whether a figure is written as no one would say it: two points, torn apart by a dash, or stuck to a word (CO38ppm)."""
    stuck = re.search(r"[A-Za-z%]\d", re.sub(r"CO2(?![\d.])", "", text))
    return bool(stuck or re.search(r"\d\.\d+\.|\d-\d|\d,\d(?!\d\d(?!\d))", text))


def one_by_one(words: Sequence[str]) -> list[str]:
    """The same words without commas between the digits of a meter that was read one by one: "oh, four, one, eight, point two"."""
    out = list(words)
    for first, last in _digit_runs(words):
        run = [word.rstrip(",").lower() for word in words[first:last]]
        if len(run) >= FEWEST_DIGITS and ("point" in run or _UNITS.get(run[0]) == 0):
            out[first:last] = [*(word.rstrip(",") for word in words[first : last - 1]), words[last - 1]]
    return out


def is_digit(word: str) -> bool:
    """Whether a word, marks aside, is a digit that is spelled."""
    return word.rstrip(",.;").lower() in _UNITS


def _digit_runs(words: Sequence[str]) -> Iterator[tuple[int, int]]:
    """Where digits in words stand in a row, with a point among them or not."""
    single = [is_digit(word) or word.rstrip(",").lower() == "point" for word in words]
    first = 0
    for together, run in groupby(single):
        last = first + len(list(run))
        if together:
            yield first, last
        first = last


def parted(figures: Sequence[str], spelled: Sequence[str]) -> bool:
    """Whether one figure was said as two, with a pause between them: "8.51" for "eight point five, one"."""
    pauses = sum(word[-1] in ",.;" for word in spelled[:-1])
    return len(figures) == 1 and len(spelled) > 1 and pauses == 1 and bool(re.fullmatch(r"[\d.]+\W*", figures[0]))


def in_pieces(figures: list[str], spelled: list[str]) -> bool:
    """Whether a figure of three digits or more was said in pieces: "nineteen six", not "a hundred and ninety six"."""
    said = [text for word in spelled for text in atoms(word)]
    long = any(re.fullmatch(r"\d{3,}\W*", word) for word in figures)
    return long and not set(_SCALES) & set(said) and sum(text in _VALUES for text in said) > 1


def _noughts(texts: list[str]) -> list[str]:
    """ "not point not not four" is nought point nought nought four: nobody says "point not"."""
    out = list(texts)
    for at, text in enumerate(texts):
        if text == "to" and out[at - 1 : at] == ["co"] and _is_number(_at(texts, at + 1)):
            out[at] = "two"  # CO2 is said "C O two"
        elif text in _LIKE_NOUGHT and (
            out[at - 1 : at] == ["point"]
            or texts[at + 1 : at + 2] == ["point"]
            or _at(texts, at + 1).startswith(".")
            or _after_noughts(out, at)
        ):
            out[at] = "nought"
    return out


def _after_noughts(out: list[str], at: int) -> bool:
    while at and out[at - 1] in ("nought", "naught", "oh", "zero"):
        at -= 1
    return at > 0 and out[at - 1] == "point"


def _end_of_number(texts: list[str], at: int) -> int:
    """Where the number that begins at `at` ends; `at` itself when none begins there."""
    led = texts[at] == "a" and _at(texts, at + 1) in _SCALES  # "a hundred and ninety six"
    if not (led or _is_number(texts[at]) or (texts[at] == "point" and _is_number(_at(texts, at + 1)))):
        return at
    end = at + 1 + led
    while end < len(texts):
        if _is_number(texts[end]) or texts[end] in _SCALES:
            end += 1
        elif texts[end] == "point" and _is_number(_at(texts, end + 1)):
            end += 2
        elif texts[end : end + 3] == ["and", "a", "half"]:
            return end + 3
        elif texts[end] == "and" and texts[end - 1] in _SCALES and _is_number(_at(texts, end + 1)):
            end += 2
        else:
            break
    return end


def _at(texts: list[str], index: int) -> str:
    return texts[index] if index < len(texts) else " "


def _is_number(text: str) -> bool:
    return text in _VALUES or text[0].isdigit() or text[0] == "."


def _figures(run: list[str]) -> str:
    """One run of number atoms in figures: 20 and 5 are 25, a hundred multiplies, the rest stands side by side."""
    run = ["one", *run[1:]] if run[0] == "a" else run
    text = " ".join("." if atom == "point" else str(_VALUES.get(atom, atom)) for atom in run)
    text = re.sub(r"\b([2-9])0 ([1-9])(?!\S)", r"\1\2", text)
    text = re.sub(
        r"\b(\d+) thousand(?: and)? (\d{1,3})(?! hundred)\b", lambda m: str(int(m[1]) * 1000 + int(m[2])), text
    )
    text = re.sub(r"\b(\d+) hundred(?: and)? (\d{1,2})\b", lambda m: str(int(m[1]) * 100 + int(m[2])), text)
    text = re.sub(r"\b(\d+) hundred\b", r"\g<1>00", text)
    text = re.sub(r"\b(\d+) thousand(?: and)? (\d{1,3})\b", lambda m: str(int(m[1]) * 1000 + int(m[2])), text)
    text = re.sub(r"\b(\d+) thousand\b", r"\g<1>000", text)
    text = text.replace(" and a half", " . 5").replace(" ", "")
    text = re.sub(r"^(0\.[0.]*)\.?", lambda m: "0." + m[1][2:].replace(".", ""), text)
    return "0" + text if text.startswith(".") else text


def noughts(figure: str) -> tuple[int, str]:
    """How many noughts follow the point of a figure below one, and the rest of it: 0.0047 is (2, "47"). Others have none."""
    found = re.fullmatch(r"0\.(0*)(\d*)", figure)
    return (len(found[1]), found[2]) if found else (0, figure)
