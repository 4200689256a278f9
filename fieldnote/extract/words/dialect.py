"""Regional speech, and what sounds like it, as plain words. In: normalised words. Out: the plain words for them. Knows no part
and no condition."""

import functools
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from importlib import resources
from typing import Any

_HEAVY = ("is", "have")
SHORTEST = 5  # letters of a word from which a g was dropped: not of "twin", "skin"


@functools.lru_cache(maxsize=1 << 16)  # texts and wordings have few different words
def plain(word: str) -> str:
    """The plain word for a word of regional speech ("wouldnae" is "wouldnt", "clickin" is "clicking"); any other as it is."""
    if word.endswith("in") and len(word) >= SHORTEST and word not in _whole() and not word.endswith("ain"):
        return _words().get(word, word + "g")
    return _words().get(word, word)


def plainly(words: Iterable[str]) -> tuple[str, ...]:
    """Each word as `plain` gives it, and what shorter speech has as one word as that one."""
    said: list[str] = []
    left = [plain(word) for word in words]
    while left:
        one = short(left[0], left[1], len(left) == 2) if len(left) > 1 else None
        said.append(one or left[0])
        left = left[2 if one else 1 :]
    return tuple(said)


def short(word: str, after: str, ends: bool) -> str | None:
    """The one word that two are in shorter speech ("is not": isnt, "I have": ive), or None. What a sentence ends on (`ends`)
    is never shortened so: "yes it is"."""
    return None if ends and after in _HEAVY else _shorter().get((word, after))


def beside(before: str, word: str, after: str) -> str:
    """The plain word for one that is regional speech only beside certain others ("they ay", "ay sparking": isn't)."""
    rule = _beside().get(word)
    if rule is None or before in rule.never or after in rule.unless:
        return word
    led = rule.always or before in rule.behind or (len(before) > len("has") and before.endswith(tuple(rule.ends)))
    return rule.plain if led or after in rule.before or after.endswith(tuple(rule.opens)) else word


@dataclass(frozen=True, slots=True)
class _Rule:
    """What stands `behind` or `before` a word that is read as `plain` there; `ends` and `opens` are endings of these
    neighbours, or it is `always`. Beside a word of `never` or `unless` it stays as it is."""

    plain: str
    behind: frozenset[str] = frozenset()
    before: frozenset[str] = frozenset()
    never: frozenset[str] = frozenset()
    unless: frozenset[str] = frozenset()
    ends: frozenset[str] = frozenset()
    opens: frozenset[str] = frozenset()
    always: bool = False


@functools.cache
def _beside() -> dict[str, _Rule]:
    rules: dict[str, dict[str, Any]] = _table()["beside"]
    return {word: _rule(said) for word, said in rules.items()}


def _rule(said: dict[str, Any]) -> _Rule:
    fields: dict[str, Any] = {key: frozenset(one) if isinstance(one, list) else one for key, one in said.items()}
    return _Rule(**fields)


@functools.cache
def _words() -> dict[str, str]:
    table: dict[str, list[str]] = _table()["words"]
    return {said.replace("'", ""): plain for plain, forms in table.items() for said in forms}


@functools.cache
def _shorter() -> dict[tuple[str, str], str]:
    table: dict[str, str] = _table()["short"]
    return {
        (first, second): one.replace("'", "")
        for first, second, one in ((*said.split(), one) for said, one in table.items())
    }


@functools.cache
def _whole() -> frozenset[str]:
    return frozenset(_table()["whole"]["words"])


@functools.cache
def misheard_states() -> dict[str, str]:
    """Words that a recogniser writes for how a part is, and the words that were said."""
    table: dict[str, list[str]] = _table()["states"]
    return {heard: said for said, forms in table.items() for heard in forms}


@functools.cache
def _table() -> dict[str, Any]:
    text = resources.files("fieldnote.extract").joinpath("cues/dialect.toml").read_text("utf-8")
    table = tomllib.loads(text)
    stray = set(table) - {"words", "whole", "short", "states", "beside"} | set(table["whole"]) - {"words"}
    if stray:  # a word below the last table is lost
        raise ValueError(f"cues/dialect.toml: nothing reads {sorted(stray)}")
    return table
