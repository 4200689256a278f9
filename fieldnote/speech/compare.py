"""Two decodes of the same sound, laid side by side.

Comes in: the plain text and the text that was decoded with the trade's prose as a hint. Goes out: one list of words, with a
doubt at each word on which the two disagree. The plain decode leads: it cannot have been talked into anything. The hinted
one is believed where it hears a word of the trade and the plain one does not; never in a number.
"""

from collections.abc import Set
from dataclasses import dataclass
from difflib import SequenceMatcher

from fieldnote.speech.numbers import atoms, is_number, same


@dataclass(frozen=True, slots=True)
class Token:
    """A written word and why it is doubtful: "number", "decodes-differ", or None."""

    text: str
    doubt: str | None = None


@dataclass(frozen=True, slots=True)
class _Text:
    """Words, their atoms, and which word each atom belongs to."""

    words: list[str]
    atoms: list[str]
    owner: list[int]


def _text(text: str) -> _Text:
    words = text.split()
    pairs = [(atom, index) for index, word in enumerate(words) for atom in atoms(word)]
    return _Text(words, [atom for atom, _ in pairs], [index for _, index in pairs])


def agreement(plain: str, hinted: str) -> float:
    """How much two texts have in common, 0 to 1."""
    return SequenceMatcher(None, _text(plain).atoms, _text(hinted).atoms, autojunk=False).ratio()


def merge(plain: str, hinted: str, lexicon: Set[str]) -> list[Token]:
    """One text out of two. `lexicon` holds the words of the trade, in lower case."""
    left, right = _text(plain), _text(hinted)
    tokens: list[Token] = []
    done = 0
    for ours, theirs in _differences(left, right):
        tokens += [Token(word) for word in left.words[done : ours.start]]
        tokens += _settle(left.words[ours.start : ours.stop], right.words[theirs.start : theirs.stop], lexicon)
        done = ours.stop
    return tokens + [Token(word) for word in left.words[done:]]


def _differences(left: _Text, right: _Text) -> list[tuple[slice, slice]]:
    """Stretches of words that differ, widened to whole words on both sides, in order."""
    matcher = SequenceMatcher(None, left.atoms, right.atoms, autojunk=False)
    found: list[tuple[slice, slice]] = []
    for kind, a, b, c, d in matcher.get_opcodes():
        if kind != "equal":
            _add(found, _words(left, a, b), _words(right, c, d))
    return found


def _words(text: _Text, start: int, end: int) -> slice:
    """The words that atoms start..end belong to; an empty stretch stands before a word."""
    if start == end:
        first = text.owner[start] if start < len(text.owner) else len(text.words)
        inside = 0 < start < len(text.owner) and text.owner[start - 1] == first
        return slice(first, first + 1 if inside else first)
    return slice(text.owner[start], text.owner[end - 1] + 1)


def _add(found: list[tuple[slice, slice]], ours: slice, theirs: slice) -> None:
    """Append a difference, joined to the one before where they share a word."""
    if found and (ours.start < found[-1][0].stop or theirs.start < found[-1][1].stop):
        before = found.pop()
        ours = slice(before[0].start, max(before[0].stop, ours.stop))
        theirs = slice(before[1].start, max(before[1].stop, theirs.stop))
    found.append((ours, theirs))


def _settle(ours: list[str], theirs: list[str], lexicon: Set[str]) -> list[Token]:
    """Choose between two readings of a stretch, and mark what was chosen."""
    left, right = _atoms(ours), _atoms(theirs)
    if same(left, right) or "".join(left) == "".join(right):
        return [Token(word) for word in (theirs if set(right) & lexicon else ours)]
    if any(map(is_number, left + right)):
        return [Token(word, "number") for word in (ours or theirs)]
    trade = bool(set(right) & lexicon - set(left)) and not set(left) & lexicon - set(right)
    return [Token(word, "decodes-differ") for word in (theirs if trade or not ours else ours)]


def _atoms(words: list[str]) -> list[str]:
    return [atom for word in words for atom in atoms(word)]
