"""What a phrase does not mean beside its neighbours: "the alarm passed on the button" tells of nothing that is past its time.

In: a phrase with its neighbours; `cues/beside.toml`, a row for each such way of speaking. Out: the row that holds. What needs
more than the words and phrases right beside is code, in the `fits` modules. Not allowed to know: what was said earlier.
"""

import functools
import tomllib
from dataclasses import dataclass
from importlib import resources
from typing import Any, Literal

from fieldnote.extract.phrases.several import several_before
from fieldnote.extract.phrases.spot import Spot

_FURTHEST = 3  # words on either side
_FIGURE = "#"  # in a row: a word of figures


@dataclass(frozen=True, slots=True)
class Row:
    """One way of speaking in which a phrase does not mean what it does elsewhere. What is None or empty is not asked.

    `first` and `last` are its own words, the others what stands around it: words (up to three in a row, "" where nothing
    stands or, before it, a pause), kinds of the phrase right behind, a pause behind. `only`: it has no other meaning of its
    kind; `elided`: its first word carries an 's; `owned`: the word before does; `many`: several are spoken of before.
    `taken` is the kind that it is taken as here, None when it means nothing.
    """

    id: str
    of: str
    taken: str | None
    first: frozenset[str]
    last: frozenset[str]
    before: tuple[tuple[str, ...], ...]
    not_before: tuple[tuple[str, ...], ...]
    after: tuple[tuple[str, ...], ...]
    not_after: tuple[tuple[str, ...], ...]
    then: tuple[str, ...]
    not_then: tuple[str, ...]
    only: frozenset[str]
    alone: bool | None
    pause: bool | None
    elided: bool | None
    owned: bool | None
    many: bool | None

    def holds(self, spot: Spot) -> bool:
        """Whether the phrase stands so; its first or last word has been looked at."""
        return (
            (self.alone is None or self.alone == spot.single)
            and (self.pause is None or self.pause == bool(spot.pause))
            and (not self.first or spot.first in self.first)
            and (not self.last or spot.tokens[spot.hit.end - 1].norm in self.last)
            and (not self.after or _stand(self.after, _after(spot)))
            and not (self.not_after and _stand(self.not_after, _after(spot)))
            and (not self.before or _stand(self.before, _before(spot)))
            and not (self.not_before and _stand(self.not_before, _before(spot)))
            and (self.elided is None or self.elided == spot.tokens[spot.hit.start].clitic)
            and (self.owned is None or self.owned == spot.owned)
            and (not self.then or spot.followed_by(*self.then))
            and not (self.not_then and spot.followed_by(*self.not_then))
            and (not self.only or all(sense.id in self.only for sense in spot.senses(self.of)))
            and (self.many is None or self.many == several_before(spot))
        )


def row_beside(spot: Spot, kind: str) -> Row | None:
    """The row by which the phrase does not mean `kind` here; None when no row speaks against it."""
    return _found(spot, "beside", kind)


def row_instead(spot: Spot, kind: str) -> Row | None:
    """The row by which a phrase that has no other kind than `kind` means nothing here, or something else."""
    return _found(spot, "instead", kind)


def _found(spot: Spot, table: str, kind: str) -> Row | None:
    by_words = _by_words()
    for words in ((spot.first, ""), ("", spot.tokens[spot.hit.end - 1].norm), ("", "")):
        for row in by_words.get((table, kind, *words), ()):
            if row.holds(spot):
                return row
    return None


@functools.cache
def rows() -> tuple[tuple[str, Row, str, str], ...]:
    """All rows: their table, the row, an example in which it holds and one in which it does not. Raises ValueError (pydantic)
    when the file does not have its form."""
    raw = tomllib.loads(resources.files("fieldnote.extract").joinpath("cues/beside.toml").read_text("utf-8"))
    tables = _form().model_validate(raw).model_dump()
    return tuple((name, _row(one), one["yes"], one["no"]) for name, table in tables.items() for one in table)


@functools.cache
def _by_words() -> dict[tuple[str, str, str, str], list[Row]]:
    """The rows by table, kind and first word, else by last word, else for every phrase of the kind."""
    found: dict[tuple[str, str, str, str], list[Row]] = {}
    for table, row, _, _ in rows():
        words = [(word, "") for word in row.first] or [("", word) for word in row.last] or [("", "")]
        for pair in words:
            found.setdefault((table, row.of, *pair), []).append(row)
    return found


def _stand(wanted: tuple[tuple[str, ...], ...], there: list[str]) -> bool:
    return any(len(words) <= len(there) and all(map(_same, words, there)) for words in wanted)


def _same(wanted: str, word: str) -> bool:
    return word[:1].isdigit() if wanted == _FIGURE else word == wanted


def _after(spot: Spot) -> list[str]:
    return [token.norm for token in spot.tokens[spot.hit.end : spot.hit.end + _FURTHEST]] or [""]


def _before(spot: Spot) -> list[str]:
    """The words before it, the nearest first."""
    if not spot.before:
        return [""]
    return [token.norm for token in reversed(spot.tokens[max(0, spot.hit.start - _FURTHEST) : spot.hit.start])]


def _row(raw: dict[str, Any]) -> Row:
    return Row(
        id=raw["id"],
        of=raw["of"],
        taken=raw.get("taken"),
        first=frozenset(raw["first"]),
        last=frozenset(raw["last"]),
        before=_backwards(raw["before"]),
        not_before=_backwards(raw["not_before"]),
        after=_forwards(raw["after"]),
        not_after=_forwards(raw["not_after"]),
        then=raw["then"],
        not_then=raw["not_then"],
        only=frozenset(raw["only"]),
        alone=raw["alone"],
        pause=raw["pause"],
        elided=raw["elided"],
        owned=raw["owned"],
        many=raw["many"],
    )


def _forwards(wordings: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(words.split()) or ("",) for words in wordings)


def _backwards(wordings: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(reversed(words)) for words in _forwards(wordings))


@functools.cache
def _form() -> Any:
    from pydantic import BaseModel, ConfigDict

    class Neighbours(BaseModel):
        model_config = ConfigDict(extra="forbid", frozen=True)
        id: str
        first: tuple[str, ...] = ()
        last: tuple[str, ...] = ()
        before: tuple[str, ...] = ()
        not_before: tuple[str, ...] = ()
        after: tuple[str, ...] = ()
        not_after: tuple[str, ...] = ()
        then: tuple[str, ...] = ()
        not_then: tuple[str, ...] = ()
        only: tuple[str, ...] = ()
        alone: bool | None = None
        pause: bool | None = None
        elided: bool | None = None
        owned: bool | None = None
        many: bool | None = None
        yes: str
        no: str

    class Beside(Neighbours):
        of: Literal["condition", "work"]

    class Instead(Neighbours):
        of: str
        taken: str | None = None

    class Tables(BaseModel):
        model_config = ConfigDict(extra="forbid", frozen=True)
        beside: tuple[Beside, ...]
        instead: tuple[Instead, ...]

    return Tables
