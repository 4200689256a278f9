"""Two decodes of the same sound, laid side by side.

Comes in: the plain text, and the text that was decoded with the trade's prose as a hint and numbers spelled out. Goes out: one
list of words, with a doubt at each word on which the two disagree. The plain decode leads: it cannot have been talked into
anything. The hinted one is believed where it hears a word of the trade, or fewer words that nobody says in this work, and
where it is far more likely as a whole. Of two numbers the spelled one stands, since figures hide how a number was said; both
ways it is marked.
"""

from collections.abc import Set
from dataclasses import dataclass
from difflib import SequenceMatcher

from fieldnote.speech.numbers import Atom, comparable, in_pieces, is_digit, noughts, odd, one_by_one, parted

MOST_LOST = 2  # words of a stretch that the hinted decode may lack and still be believed


@dataclass(frozen=True, slots=True)
class Token:
    """A written word and why it is doubtful: "number", "decodes-differ", or None. `within` tells that its mark stands inside
    what the other decode wrote as one figure."""

    text: str
    doubt: str | None = None
    within: bool = False


def agreement(plain: str, hinted: str) -> float:
    """How much two texts have in common, 0 to 1."""
    left, right = ([atom.text for atom in comparable(text.split())] for text in (plain, hinted))
    return SequenceMatcher(None, left, right, autojunk=False).ratio()


@dataclass(frozen=True, slots=True)
class Known:
    """Words in lower case: `trade` are words of the trade, `familiar` all in which people talk about this work."""

    trade: Set[str]
    familiar: Set[str] = frozenset()

    def strange(self, atoms: list[Atom]) -> int:
        """How many of these nobody says in this work; none when nothing is familiar."""
        return sum(not self._says(atom.text) for atom in atoms if not atom.number) if self.familiar else 0

    def _says(self, word: str) -> bool:
        return bool({word, word.split("'")[0], word.rstrip("s")} & self.familiar)


def merge(plain: str, hinted: str, known: Known, *, likelier: bool = False) -> list[Token]:
    """One text out of two. `likelier` tells that the hinted text is far more likely than the plain one."""
    left, right = plain.split(), one_by_one(hinted.split())
    tokens: list[Token] = []
    for agreed, ours, theirs in _groups(left, right):
        tokens += _agreed(ours, theirs) if agreed else _settle(ours, theirs, known, likelier)
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
    """Words on which both agree; figures that nobody says so, that are torn into several, or that hide in which pieces they
    were said ("196" is nineteen six or a hundred and ninety six) are taken as they were spelled."""
    if parted(ours, theirs):
        return [Token(word, "number", within=_inside(theirs, n)) for n, word in enumerate(theirs)]
    torn = sum(any(letter.isdigit() for letter in word) for word in ours) > 1
    words = theirs if theirs and (torn or any(map(odd, ours)) or in_pieces(ours, theirs)) else ours
    return [Token(word, "number" if odd(word) else None) for word in words]


def _inside(spelled: list[str], n: int) -> bool:
    """Whether the mark of a word stands between digits behind a point, which are read one by one: "nought point one, two"."""
    marked = spelled[n][-1] in ",.;" and n < len(spelled) - 1
    return marked and spelled[n - 1] == "point" and all(is_digit(word) for word in spelled[n:])


def _settle(ours: list[str], theirs: list[str], known: Known, likelier: bool) -> list[Token]:
    """Choose between two readings of a stretch, and mark what was chosen."""
    left, right = comparable(ours), comparable(theirs)
    if "".join(atom.text for atom in left) == "".join(atom.text for atom in right):
        trade = bool({atom.text for atom in right} & known.trade) and not any(atom.number for atom in right)
        return _agreed(theirs if trade else ours, theirs)
    if any(atom.number for atom in left + right):
        return [Token(word, "number") for word in (theirs if _spelled_stands(left, right) else ours or theirs)]
    return [
        Token(word, "decodes-differ") for word in (theirs if _hinted_stands(left, right, known, likelier) else ours)
    ]


def _hinted_stands(left: list[Atom], right: list[Atom], known: Known, likelier: bool) -> bool:
    """Whether the hinted reading of words without a number is taken: by what it adds, by strange words, by trade words."""
    if not left or not right or len(left) > len(right) + MOST_LOST:
        return not left
    strange = known.strange(left) - known.strange(right)
    if strange:
        return strange > 0
    heard, hinted = ({atom.text for atom in atoms} & known.trade for atoms in (left, right))
    return hinted > heard or (likelier and not hinted < heard)


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
