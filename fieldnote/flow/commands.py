"""Spoken commands. In: the words of one phrase. Out: the id of the command that the whole phrase is, or nothing.

A phrase that holds anything besides the command and a courtesy is dictation, so that no command can swallow a finding.
"""

import functools
import re
from collections.abc import Iterator
from pathlib import Path

from fieldnote.errors import InputProblem
from fieldnote.trade import tables

FILE = Path(__file__).with_name("commands.toml")
IDS = ("start", "pause", "stop", "photo", "next-appliance", "strike", "read-back", "left")


class Courtesies(tables.Row):
    """Words around a command that change nothing."""

    before: list[str]
    behind: list[str]


class Command(tables.Row):
    """One command: the phrases that are it, what the recogniser writes for them, and phrases that are and are not."""

    id: str
    title: str
    says: list[str]
    misheard: list[str]
    yes: list[str]
    no: list[str]


class Table(tables.Row):
    """All commands."""

    hint: str
    mixed_up: dict[str, str]
    courtesies: Courtesies
    alike: dict[str, list[str]]
    command: list[Command]


class Commands:
    """Recognises commands by a table of whole phrases."""

    def __init__(self, table: Table) -> None:
        self.hint = table.hint
        self._phrases = {said.replace(" ", ""): row.id for row in table.command for said in (*row.says, *row.misheard)}
        self._alike = [(re.compile(rf"\b{one}\b"), word) for word, written in table.alike.items() for one in written]
        self._mixed_up = [pair for one in table.mixed_up.items() for pair in (one, one[::-1])]
        self._before = tuple(f"{one} " for one in table.courtesies.before)
        self._behind = tuple(f" {one}" for one in table.courtesies.behind)
        self.titles = {row.id: row.title for row in table.command}

    def match(self, text: str) -> str | None:
        """The command that this phrase is, or None. Said twice it is the same command."""
        parts = [words for part in re.split(r"[.!?]+(?:\s|$)", text) if (words := plain(part))]
        words = parts[0] if len(set(parts)) == 1 else plain(text)
        return self._match(words) or self._match(self._put_right(words))

    def rivals(self, text: str) -> list[str]:
        """The other commands for which a command is easily taken: the same text with another word in it."""
        found = self.match(text)
        others = [_swapped(text, *pair) for pair in self._mixed_up] if found else []
        return [other for other in others if self.match(other) not in (None, found)]

    def _put_right(self, words: str) -> str:
        """With every word that is written for a word of a command read as that word."""
        for written, word in self._alike:
            words = written.sub(word, words)
        return words

    def _match(self, words: str) -> str | None:
        """Also with courtesies taken off, at either end and one after the other."""
        if (whole := words.replace(" ", "")) in self._phrases:  # "carryon": where a word ends is the recogniser's guess
            return self._phrases[whole]
        shorter = [words.removeprefix(one) for one in self._before if words.startswith(one)]
        shorter += [words.removesuffix(one) for one in self._behind if words.endswith(one)]
        return next((found for one in shorter if (found := self._match(one))), None)


def _swapped(text: str, word: str, other: str) -> str:
    """A text with one word for another, capital letters kept."""
    return re.sub(
        rf"\b{word}\b", lambda one: other.capitalize() if one[0][0].isupper() else other, text, flags=re.IGNORECASE
    )


def plain(text: str) -> str:
    """Lower case words without marks and apostrophes, one blank between two."""
    bare = text.casefold().replace("'", "").replace("\u2019", "")
    return " ".join(re.findall(r"[a-z0-9.%]*[a-z0-9%]", bare))


@functools.cache
def commands() -> Commands:
    """The commands that ship with the program. Raises InputProblem FN-304 when the table contradicts itself."""
    return load(FILE)


def load(path: Path) -> Commands:
    """The commands of a file, its own examples checked."""
    table: Table = tables.fit(Table, tables.read(path), path)
    found = Commands(table)
    if wrong := list(_problems(table, found)):
        raise InputProblem("FN-304", path=path, reason="; ".join(wrong))
    return found


def _problems(table: Table, found: Commands) -> Iterator[str]:
    ids = [row.id for row in table.command]
    said = re.split(r"(?<=[.?])\s", table.hint)
    yield from (f"hint: {one!r} is no command" for one in said if found.match(one) is None)
    yield from (f"{id_} is no command that is known" for id_ in ids if id_ not in IDS)
    yield from (f"{id_} is missing" for id_ in IDS if id_ not in ids)
    for row in table.command:
        yield from (
            f"{row.id}: {said!r} is not plain words" for said in (*row.says, *row.misheard) if plain(said) != said
        )
        yield from (f"{row.id}: {text!r} must be obeyed" for text in row.yes if found.match(text) != row.id)
        yield from (f"{row.id}: {text!r} must not be obeyed" for text in row.no if found.match(text) is not None)
