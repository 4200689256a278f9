"""Marks stand where a pause stands."""

import numpy as np
import pytest

from fieldnote.records import Word
from fieldnote.speech.marks import at_pauses


def sound(*parts: float, floor: float = 0.0005) -> np.ndarray:
    """Loud and quiet by turns, so many seconds each."""
    rng = np.random.default_rng(3)
    pieces = [rng.standard_normal(int(s * 16000)) * (floor if n % 2 else 0.1) for n, s in enumerate(parts)]
    return np.concatenate(pieces).astype(np.float32)


def words(*texts: str) -> list[Word]:
    """A word a second."""
    return [Word(n, n + 0.8, text, 0.9) for n, text in enumerate(texts)]


@pytest.mark.parametrize("floor", [0.0005, 0.02])
def test_a_mark_without_a_pause_goes(floor: float) -> None:
    """With its capital behind a full stop; beside a fan (14 dB below the speech) as in a quiet room."""
    heard = at_pauses(words("The", "electrode.", "Was", "dirty.", "Cleaned"), sound(3.7, 0.4, 0.9, 0.3, floor=floor))
    assert [word.text for word in heard] == ["The", "electrode", "was", "dirty.", "Cleaned"]


def test_the_last_mark_names_and_points_stay() -> None:
    """The end of a passage keeps its mark; CO and I keep their capitals; a decimal point is no mark."""
    heard = at_pauses(words("Fine.", "CO", "1.5.", "I'm", "off."), sound(4.7, 0.5))
    assert [word.text for word in heard] == ["Fine", "CO", "1.5", "I'm", "off."]


def test_nothing_heard_is_nothing() -> None:
    """No words, and sound too short to measure."""
    assert at_pauses([], sound(0.01)) == []


def test_a_mark_between_two_figures_stays() -> None:
    """Two readings said in one breath do not become one number."""
    heard = at_pauses(words("nineteen,", "twenty.", "Clean"), sound(2.7, 0.3))
    assert [word.text for word in heard] == ["nineteen,", "twenty", "clean"]


def test_a_mark_within_what_may_be_one_figure_goes_by_its_pause() -> None:
    """ "Nought point one, two" without a pause is one number; with one it may be two."""
    said = words("point", "one,", "two")
    assert [word.text for word in at_pauses(said, sound(2.7, 0.3), {1})] == ["point", "one", "two"]
    assert [word.text for word in at_pauses(said, sound(1.7, 0.4, 0.9, 0.3), {1})] == ["point", "one,", "two"]


def test_where_pauses_cannot_be_told_marks_stay() -> None:
    """Sound of one level throughout says nothing about pauses."""
    assert [word.text for word in at_pauses(words("Cracked.", "Clean"), sound(2.0))] == ["Cracked.", "Clean"]


def test_nobody_ends_behind_the() -> None:
    """A breath in the middle of a phrase leaves no mark; a word that can end one keeps its own, also a small one."""
    heard = at_pauses(
        words("Except", "the.", "Rear", "left", "I've,", "seen", "to.", "Next"), sound(1.7, 0.4, 2.6, 0.4, 1.6, 0.4)
    )
    assert [word.text for word in heard] == ["Except", "the", "rear", "left", "I've", "seen", "to.", "Next"]
