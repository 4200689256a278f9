"""Regional speech as plain words. In: normalised words. Out: the plain words for them. Knows no part and no condition."""

import functools
import tomllib
from collections.abc import Iterable
from importlib import resources


def plain(word: str) -> str:
    """The plain word for a word of regional speech ("wouldnae" is "wouldnt"); any other word as it is."""
    return _words().get(word, word)


def plainly(words: Iterable[str]) -> tuple[str, ...]:
    """Each word as `plain` gives it."""
    table, said = _words(), tuple(words)
    return said if table.keys().isdisjoint(said) else tuple([table.get(word, word) for word in said])


@functools.cache
def _words() -> dict[str, str]:
    text = resources.files("fieldnote.extract").joinpath("cues/dialect.toml").read_text("utf-8")
    table: dict[str, list[str]] = tomllib.loads(text)["words"]
    return {said.replace("'", ""): plain for plain, forms in table.items() for said in forms}
