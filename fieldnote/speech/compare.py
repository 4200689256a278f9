"""Two decodes of the same sound, laid side by side.

Comes in: the plain text, and the text that was decoded with the trade's prose as a hint and numbers spelled out. Goes out: one
list of words, with a doubt at each word on which the two disagree. The plain decode leads: it cannot have been talked into
anything. The hinted one is believed where it hears a word of the trade and the plain one does not. Of two numbers the
spelled one stands, since figures hide how a number was said; both ways it is marked.
"""

from collections.abc import Set
from dataclasses import dataclass
from difflib import SequenceMatcher

from fieldnote.speech.numbers import Atom, comparable, noughts, odd


@dataclass(frozen=True, slots=True)
class Token:
    """A written word and why it is doubtful: "number", "decodes-differ", or None."""

    text: str
    doubt: str | None = None


def agreement(plain: str, hinted: str) -> float:
    """How much two texts have in common, 0 to 1."""
    left, right = ([atom.text for atom in comparable(text.split())] for text in (plain, hinted))
    return SequenceMatcher(None, left, right, autojunk=False).ratio()


def merge(plain: str, hinted: str, lexicon: Set[str]) -> list[Token]:
    """One text out of two. `lexicon` holds the words of the trade, in lower case."""
    left, right = plain.split(), hinted.split()
    tokens: list[Token] = []
    for agreed, ours, theirs in _groups(left, right):
        tokens += _agreed(ours, theirs) if agreed else _settle(ours, theirs, lexicon)
    return tokens or _agreed(left, right)


def _groups(left: list[str], right: list[str]) -> list[tuple[bool, list[str], list[str]]]:
    """Both texts in stretches that agree or differ, each of whole words on both sides."""
    ours, theirs = comparable(left), comparable(right)
    groups: list[tuple[bool, list[int], list[int]]] = []
    for i, j, equal in _columns(ours, theirs):
        starts = (i is None or _begins(ours, i)) and (j is None or _begins(theirs, j))
        if not groups or (starts and (equal or groups[-1][0])):
            groups.append((equal, [], []))
        same, a, b = groups[-1]
        groups[-1] = (same and equal, a + ([] if i is None else [i]), b + ([] if j is None else [j]))
    return [(same, _words(left, ours, a), _words(right, theirs, b)) for same, a, b in groups]


def _columns(ours: list[Atom], theirs: list[Atom]) -> list[tuple[int | None, int | None, bool]]:
    """The alignment, atom by atom: index on the left, index on the right (None where there is none), and whether they match."""
    columns: list[tuple[int | None, int | None, bool]] = []
    matcher = SequenceMatcher(None, [atom.text for atom in ours], [atom.text for atom in theirs], autojunk=False)
    for kind, a, b, c, d in matcher.get_opcodes():
        if kind == "equal":
            columns += [(a + k, c + k, True) for k in range(b - a)]
        else:
            columns += [(i, None, False) for i in range(a, b)] + [(None, j, False) for j in range(c, d)]
    return columns


def _begins(atoms: list[Atom], index: int) -> bool:
    """Whether an atom begins a word."""
    return index == 0 or atoms[index].first > atoms[index - 1].last


def _words(words: list[str], atoms: list[Atom], indexes: list[int]) -> list[str]:
    """The words of a stretch of atoms, with words around it that hold no atom (a lone mark)."""
    if not indexes:
        return []
    before = 0 if indexes[0] == 0 else atoms[indexes[0]].first
    after = atoms[indexes[-1] + 1].first if indexes[-1] + 1 < len(atoms) else len(words)
    return words[before : max(after, atoms[indexes[-1]].last + 1)]


def _agreed(ours: list[str], theirs: list[str]) -> list[Token]:
    """Words on which both agree; figures that nobody says so, or that are torn into several, are taken as they were spelled."""
    torn = sum(any(letter.isdigit() for letter in word) for word in ours) > 1
    words = theirs if theirs and (torn or any(map(odd, ours))) else ours
    return [Token(word, "number" if odd(word) else None) for word in words]


def _settle(ours: list[str], theirs: list[str], lexicon: Set[str]) -> list[Token]:
    """Choose between two readings of a stretch, and mark what was chosen."""
    left, right = comparable(ours), comparable(theirs)
    heard, hinted = {atom.text for atom in left}, {atom.text for atom in right}
    if "".join(atom.text for atom in left) == "".join(atom.text for atom in right):
        return _agreed(theirs if hinted & lexicon and not any(atom.number for atom in right) else ours, theirs)
    if any(atom.number for atom in left + right):
        return [Token(word, "number") for word in (theirs if _spelled_stands(left, right) else ours or theirs)]
    trade = bool(hinted & lexicon - heard) and not heard & lexicon - hinted
    return [Token(word, "decodes-differ") for word in (theirs if trade or not ours else ours)]


def _spelled_stands(left: list[Atom], right: list[Atom]) -> bool:
    """Whether the spelled reading of a number is taken: unless it has none, or only lost a nought.

    A nought that follows a nought is often left out, and hardly ever made up.
    """
    if not any(atom.number for atom in right):
        return False
    pairs = zip((a for a in left if a.number), (a for a in right if a.number), strict=False)
    return not any(_lost_nought(figure.text, spelled.text) for figure, spelled in pairs)


def _lost_nought(figure: str, spelled: str) -> bool:
    (many, digits), (few, rest) = noughts(figure), noughts(spelled)
    return digits == rest and many > few
