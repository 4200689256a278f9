"""Finding phrases among words. In: phrases with what they stand for, and tokens. Out: hits, longest first, left to right.

One walk over a tree of words, so that the cost does not depend on how many phrases there are. A phrase never runs across the
end of a sentence; `*` in a phrase stands for up to `SLOT` words, `[matter]` for words of the class of that name. Not allowed to
know: what a phrase means.
"""

import functools
import itertools
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Generic, TypeVar

from fieldnote.extract.words.dialect import plainly
from fieldnote.extract.words.tokens import Token

T = TypeVar("T")
SLOT = 4
LISTED = 6  # "new knob and a new spindle wanted"
# words that a star never reaches over
_BARRIERS = frozenset(
    "needed wanted required ordered nothing nowt "
    "and but so then on in at is was its are were no not to for of seconds minutes i ive ill weve theres".split()
)
# what stands inside no name, nor "so" inside a near miss ("the vent, so it")
_PARTING = frozenset("a an the so".split())
_CORNERS = frozenset("front back rear left right".split())
_COUNTED = frozenset("them those these".split())
_END, _ANY, _CLASS = "", "*", "["  # no word is empty, none is a star or a bracket
_RUN = 4  # words of a class, and words before them


@functools.cache
def spell(phrase: str) -> tuple[str, ...]:
    """A phrase of a data file as norms: "Won't hold-in" is ("wont", "hold", "in")."""
    return plainly(phrase.lower().replace("'", "").replace("’", "").replace("-", " ").split())


def built(rows: Iterable[Sequence[Sequence[str]]]) -> list[str]:
    """Phrases of every word of the first list with every one of the second, and so on; "" leaves its place out."""
    chosen = itertools.chain.from_iterable(itertools.product(*lists) for lists in rows)
    return [" ".join(filter(None, words)) for words in chosen]


@dataclass(frozen=True, slots=True)
class Hit(Generic[T]):
    """Words `start` to `end` (exclusive, indices of tokens) are a phrase; `values` is everything it stands for.

    `slot` is the part of it that a star took, or None: words that may be phrases of their own.
    """

    start: int
    end: int
    values: tuple[T, ...]
    slot: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class WordClass:
    """Words that `[name]` stands for, up to `_RUN` in a row, and words that may stand before them ("burnt on fat")."""

    says: frozenset[str]
    before: frozenset[str] = frozenset()

    def end(self, tokens: Sequence[Token], at: int, skip: frozenset[str] = frozenset()) -> int | None:
        """Where words of the class that start at token `at` end (exclusive), words of `skip` before them passed over; None
        where there are none."""
        if at >= len(tokens) or (
            (word := tokens[at].norm) not in self.says and word not in self.before and word not in skip
        ):
            return None  # nearly always
        first = self._over(tokens, at, (self.before | skip) - self.says)
        if first > at and tokens[first - 1].pause == ".":
            return None  # "put it back. Right hand pair fine"
        last = self._over(tokens, first, self.says)
        return last if last > first else None

    def ends(self, tokens: Sequence[Token], at: int, skip: frozenset[str], _within: frozenset[str]) -> Iterator[int]:
        """The same, as phrases that can end at several places tell it."""
        if (end := self.end(tokens, at, skip)) is not None:
            yield end

    def _over(self, tokens: Sequence[Token], at: int, words: frozenset[str]) -> int:
        stop = min(at + _RUN, len(tokens))
        while at < stop and tokens[at].norm in words:
            at += 1
            if tokens[at - 1].pause:
                break
        return at


class PhraseClass:
    """Phrases that `[name]` stands for, any one of them: the parts of which wordings are built."""

    before: frozenset[str] = frozenset()

    def __init__(self, phrases: Iterable[str]) -> None:
        self._root: dict[str, Any] = {}
        for phrase in phrases:
            node = self._root
            for word in spell(phrase):
                node = node.setdefault(word, {})
            node[_END] = {}
        self.says = frozenset(self._root)

    def ends(self, tokens: Sequence[Token], at: int, skip: frozenset[str], within: frozenset[str]) -> Iterator[int]:
        """Where phrases that start at token `at` end (exclusive); words of `skip` may stand before them, of `within` in them."""
        node, i = self._root, at
        while i < len(tokens) and not (i > at and tokens[i - 1].pause == "."):
            below = node.get(tokens[i].norm)
            if below is None and tokens[i].norm not in (within if i > at else skip):
                return
            node, i = (node if below is None else below), i + 1
            if below and _END in below:
                yield i


class Phrases(Generic[T]):
    """A set of phrases, each standing for one or more values. Words of `skip` may stand inside a phrase unasked, but an
    article or "so" where `firm` says no of a value: "spark lead" is a name, "spark the lead" is none. `undoes` tells
    which value takes back another of a phrase with a gap that is as long, `joins` which goes beside that of one."""

    def __init__(
        self,
        skip: Iterable[str] = (),
        classes: Mapping[str, WordClass | PhraseClass] | None = None,
        firm: Callable[[T, str], bool] | None = None,
        undoes: Callable[[T, T], bool] | None = None,
        joins: Callable[[T], bool] | None = None,
    ) -> None:
        self._root: dict[
            str, Any
        ] = {}  # word -> dictionary of the words behind it, or the number of what it stands for
        self._values: list[tuple[T, ...]] = []  # what ends of phrases point at
        self._known: dict[tuple[T, ...], int] = {}
        self._skip = frozenset(skip)
        self._classes = classes or {}
        self._firm = firm or (lambda _value, _word: False)
        self._undoes = undoes or (lambda _value, _other: False)
        self._joins = joins or (lambda _value: False)
        self._in_classes: dict[str, tuple[str, ...]] = {}
        self._openers: set[str] = set()  # words of the classes with which phrases begin

    def _class_of(self, word: str) -> tuple[str, ...]:
        """The classes with phrases of which a word may be the first, in the order of the tables."""
        known = self._in_classes.get(word)
        if known is None:
            found = (name for name, one in self._classes.items() if word in one.says or word in one.before)
            known = self._in_classes[word] = tuple(found)
        return known

    def add(self, phrase: str | Sequence[str], value: T) -> None:
        """Let a phrase stand for a value. Raises ValueError when the phrase has no word."""
        words = spell(phrase) if isinstance(phrase, str) else phrase
        if not words:
            raise ValueError("a phrase needs a word")
        if words[0].startswith("[") and (first := self._classes.get(words[0].strip("[]"))):
            self._openers |= first.says | first.before
        node = self._root
        for word in words[:-1]:
            node = _below(*_branch(node, word))
        node, word = _branch(node, words[-1])
        last = node.get(word)
        known = _end(last)
        end = self._with(() if known is None else self._values[known], value)
        if isinstance(last, dict):
            last[_END] = end
        else:
            node[word] = end  # most phrases end where no longer one goes on: a number takes a tenth of a dictionary

    def _with(self, values: tuple[T, ...], value: T) -> int:
        """Where values and one more stand; phrases that stand for the same share them."""
        longer = values if value in values else (*values, value)
        if longer not in self._known:
            self._known[longer] = len(self._values)
            self._values.append(longer)
        return self._known[longer]

    def plain(self) -> dict[str, Any]:
        """All of it as plain values, to be kept: the tree of words, whose ends are numbers of `values`, and these."""
        return {"tree": self._root, "values": self._values, "openers": sorted(self._openers)}

    def restore(self, tree: dict[str, Any], values: Iterable[tuple[T, ...]], openers: Iterable[str]) -> None:
        """Take what `plain` gave, its values made again."""
        self._root, self._values, self._openers = tree, list(values), set(openers)
        self._known = {value: at for at, value in enumerate(self._values)}

    def at(self, tokens: Sequence[Token], at: int, limit: int | None = None) -> Hit[T] | None:
        """The longest phrase that starts at token `at` and ends at `limit` at the latest."""
        if tokens[at].norm not in self._root and tokens[at].norm not in self._openers:
            return None
        best: Hit[T] | None = None
        for hit in self._reach(tokens, at, at, self._root, None):
            if limit is not None and hit.end > limit:
                continue
            if best is None or hit.end > best.end or (hit.end == best.end and best.slot and self._undone(best, hit)):
                best = hit
            elif hit.end == best.end and (hit.slot == best.slot or self._both(best, hit)):
                # told by itself and by a class, or word for word and with a gap: it stands for both
                best = replace(best, values=tuple(dict.fromkeys((*hit.values, *best.values))))
        return best

    def _reach(
        self, tokens: Sequence[Token], start: int, i: int, node: Any, slot: tuple[int, int] | None
    ) -> Iterator[Hit[T]]:
        parted = ""
        while i < len(tokens):
            word = tokens[i].norm
            if i > start and _ANY in node and slot is None and not (tokens[i - 1].pause or tokens[i - 1].norm == "so"):
                yield from self._leap(tokens, start, i, node[_ANY])
            if _CLASS in node and (i > start or word in self._openers):
                yield from self._of_class(tokens, start, i, node[_CLASS], slot)
            if word in node:
                node = node[word]
                if (end := _end(node)) is not None:
                    values = self._values[end]
                    if values := self._loose(values, parted) if parted else values:
                        yield Hit(start, i + 1, values, slot)
                if node is end:
                    return
            elif i == start or word not in self._skip or (word == "well" and tokens[i - 1].pause):
                return  # "it was blocked, well it isn't"
            else:
                parted = parted or (word if word in _PARTING else "")
            if tokens[i].pause == ".":
                return
            i += 1

    def _undone(self, best: Hit[T], hit: Hit[T]) -> bool:
        """Whether what is said word for word undoes it: "took your hand off" is no work, whatever "took * off" is."""
        return hit.slot is None and all(self._undoes(mine, its) for mine in hit.values for its in best.values)

    def _both(self, best: Hit[T], hit: Hit[T]) -> bool:
        """ "Lost their enamel" told word for word of any part, "lost * enamel" of some of them."""
        return hit.slot is None and all(self._joins(value) for value in (*hit.values, *best.values))

    def _loose(self, values: tuple[T, ...], parted: str) -> tuple[T, ...]:
        return tuple(value for value in values if not self._firm(value, parted))

    def _begins(self, tokens: Sequence[Token], at: int, node: dict[str, Any]) -> bool:
        """Whether words of a class that may come next stand at a token."""
        skip = self._skip
        return any(True for name in node.get(_CLASS, ()) for _ in self._classes[name].ends(tokens, at, skip, skip))

    def _of_class(
        self, tokens: Sequence[Token], start: int, i: int, nodes: dict[str, Any], slot: tuple[int, int] | None
    ) -> Iterator[Hit[T]]:
        skipped = i > start and tokens[i].norm in self._skip
        for name in nodes if skipped else self._class_of(tokens[i].norm):
            node = nodes.get(name)
            if node is None:
                continue
            skip = self._skip if i > start else frozenset()
            for stop in self._classes[name].ends(tokens, i, skip, self._skip):
                if (end := _end(node)) is not None:
                    yield Hit(start, stop, self._values[end], slot)
                if node is not end and tokens[stop - 1].pause != ".":
                    yield from self._reach(tokens, start, stop, node, slot)

    def _leap(self, tokens: Sequence[Token], start: int, i: int, node: Any) -> Iterator[Hit[T]]:
        if not isinstance(node, dict):
            return  # nothing stands behind the star
        listed = tokens[start].norm == "new"  # "new leads and seals fitted"
        stop, reach = i, i + (LISTED if listed else SLOT)
        while stop <= min(reach, len(tokens) - 1):
            if tokens[stop].norm in node or (_CLASS in node and self._begins(tokens, stop, node)):
                found = list(self._reach(tokens, start, stop, node, (i, stop) if stop > i else None))
                yield from found
                if found:
                    return
            word = tokens[stop].norm
            reach += _of_them(tokens, stop)  # "gave all four of those bits a scrub"
            reach += word in _CORNERS  # "gave the front left tap some grease": where a part is counts for nothing
            if tokens[stop].pause or (
                word in _BARRIERS
                and not _of_them(tokens, stop)
                and not (listed and word == "and")
                and not (stop == i and _owning(tokens[stop]))
            ):
                return
            stop += 1

    def find(self, tokens: Sequence[Token]) -> list[Hit[T]]:
        """All hits that do not overlap, left to right, the longest at each place."""
        return list(self.within(tokens, 0, len(tokens)))

    def within(self, tokens: Sequence[Token], at: int, end: int) -> Iterator[Hit[T]]:
        """Hits that start between two tokens; what stands in the slot of one is searched as well."""
        while at < end:
            hit = self.at(tokens, at, end)
            if hit:
                yield hit
                if hit.slot:
                    yield from self.within(tokens, *hit.slot)
                at = hit.end
            else:
                at += 1


def _end(node: Any) -> int | None:
    """What a phrase that ends at a node stands for."""
    return node.get(_END) if isinstance(node, dict) else node


def _branch(node: dict[str, Any], word: str) -> tuple[dict[str, Any], str]:
    """Where a word of a phrase is kept: classes in a dictionary of their own."""
    return (node.setdefault(_CLASS, {}), word.strip("[]")) if word.startswith("[") else (node, word)


def _below(node: dict[str, Any], word: str) -> dict[str, Any]:
    """The dictionary behind a word; a phrase that ended there goes on from now."""
    below = node.get(word)
    if not isinstance(below, dict):
        below = node[word] = {} if below is None else {_END: below}
    found: dict[str, Any] = below
    return found


def _owning(token: Token) -> bool:
    """ "Blew its jet through": "its" without an apostrophe owns the object of a verb right before it."""
    return token.norm == "its" and token.end - token.start == len("its")


def _of_them(tokens: Sequence[Token], at: int) -> bool:
    """ "Gave the two of them a scrub": what is counted is one thing."""
    return tokens[at].norm == "of" and at + 1 < len(tokens) and tokens[at + 1].norm in _COUNTED
