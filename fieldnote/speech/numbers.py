"""Which words are numbers, and whether two ways of writing a number mean the same.

Comes in: words of a transcript. Goes out: comparable forms. It only compares what was heard: reading a value out of speech is
another room's work, and nothing here changes a number.
"""

import re

_UNITS = dict(zip("nought one two three four five six seven eight nine".split(), range(10), strict=True))
_UNITS |= {"zero": 0, "naught": 0, "oh": 0}
_TEENS = "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
_TENS = dict(zip("twenty thirty forty fifty sixty seventy eighty ninety".split(), range(20, 100, 10), strict=True))
_VALUES = _UNITS | dict(zip(_TEENS, range(10, 20), strict=True)) | _TENS
_SCALES = {"hundred": 100, "thousand": 1000}
_JOINS = {"point", "and", "a", "half", "quarter"}
_ATOM = re.compile(r"\d[\d,]*(?:\.\d+)*|\.\d+|[a-z]+(?:'[a-z]+)?")


def atoms(word: str) -> list[str]:
    """A written word in comparable pieces: "CO38ppm," is co, 38, ppm. Commas inside figures are dropped."""
    return [found.replace(",", "") for found in _ATOM.findall(word.lower().replace("’", "'"))]


def is_number(atom: str) -> bool:
    """Whether an atom is a figure or a number word."""
    return atom[0].isdigit() or atom[0] == "." or atom in _VALUES or atom in _SCALES or atom == "point"


def same(left: list[str], right: list[str]) -> bool:
    """Whether two runs of atoms mean the same number, written differently: "thirty eight" and "38", "19 and a half" and
    "19.5". Runs with other words in them are the same only when those are equal too."""
    return canonical(left) == canonical(right)


def canonical(run: list[str]) -> list[str]:
    """Atoms with every run of number words written in figures."""
    out: list[str] = []
    number: list[str] = []
    for atom in run:
        if is_number(atom) or (number and atom in _JOINS):
            number.append(atom)
        else:
            out += [*_figures(number), atom]
            number = []
    return out + _figures(number)


def _figures(run: list[str]) -> list[str]:
    """One run of number atoms as figures; joining words at its end that join nothing are kept as words."""
    tail: list[str] = []
    while run and run[-1] in ("and", "a"):
        tail.insert(0, run[-1])
        run = run[:-1]
    text = ""
    values: list[str] = []
    for atom in run:
        values.append("." if atom == "point" else _written(atom))
    text = _spell(values)
    return ([text] if text else []) + tail


def _written(atom: str) -> str:
    return str(_VALUES[atom]) if atom in _VALUES else atom


def _spell(values: list[str]) -> str:
    """Join written values: 20 and 5 are 25, 100 multiplies, the rest stands side by side."""
    joined = " ".join(values)
    joined = re.sub(r"\b([2-9])0 ([1-9])\b", r"\1\2", joined)
    joined = re.sub(r"\b(\d+) (?:and )?a half\b", r"\1 . 5", joined)
    joined = re.sub(r"\b(\d+) hundred(?: and)? (\d{1,2})\b", lambda m: str(int(m[1]) * 100 + int(m[2])), joined)
    joined = re.sub(r"\b(\d+) hundred\b", r"\g<1>00", joined)
    joined = re.sub(r"\b(\d+) thousand(?: and)? (\d{1,3})\b", lambda m: str(int(m[1]) * 1000 + int(m[2])), joined)
    joined = re.sub(r"\b(\d+) thousand\b", r"\g<1>000", joined)
    return joined.replace(" ", "")
