"""A desk with the sample visit on it, and keys pressed from a list."""

from collections.abc import Callable, Iterable
from pathlib import Path

import pytest

from fieldnote.notebook import Notebook
from fieldnote.records import Action, Declared, Evidence, Extraction, Finding
from fieldnote.review.desk import Desk
from tests.sample_visit import Clock, sample_book, sample_view


@pytest.fixture
def book(tmp_path: Path) -> Notebook:
    return sample_book(tmp_path / "book")


def read(text: str) -> Extraction:
    """A reader that knows four phrases: enough to show that what was not understood by phrase is handed to a reader."""
    all_of_it = Evidence(text, 0, len(text))
    if "needs a new one" in text and "electrode" in text:
        acts = (Action("replace", "needed"),)
        return Extraction((Finding("hob", "electrode", None, None, None, "present", acts, 0.9, all_of_it),))
    if "grommet crazed" in text:
        return Extraction((Finding("hob", "electrode", None, None, "cracked", "present", (), 0.9, all_of_it),))
    if "at risk" in text:
        return Extraction(declared=(Declared("at-risk", "hob", all_of_it),))
    return Extraction()


def desk_of(book: Notebook, reader: Callable[[str], Extraction] = read) -> Desk:
    """A desk over a notebook, looking at the sample visit with the sample check."""
    return Desk(book, book.visit("KITCHEN-1").id, lambda: sample_view(book), reader, "A. Person", Clock())


@pytest.fixture
def desk(book: Notebook) -> Desk:
    return desk_of(book)


class ScriptedConsole:
    """Keys and words from a list; what is said is kept. Counts key presses as the real one does: a line of words is one Enter."""

    def __init__(self, *answers: str) -> None:
        self.answers = list(answers)
        self.said: list[str] = []
        self.pressed = 0

    def say(self, text: object) -> None:
        self.said.append(str(text))

    def key(self) -> str:
        self.pressed += 1
        return self.answers.pop(0) if self.answers else "q"

    def words(self, prompt: str) -> str:
        self.pressed += 1
        self.say(prompt)
        return self.answers.pop(0) if self.answers else ""

    def close(self) -> None:
        pass

    def forget(self) -> None:
        pass

    def text(self) -> str:
        return "\n".join(self.said)


def by_component(desk: Desk, component: str) -> str:
    """The id of the line about a component."""
    return next(line.id for line in desk.view.lines if getattr(line.current, "component", None) == component)


def kinds(decisions: Iterable) -> list[str]:
    return [decision.kind for decision in decisions]
