"""Invented and looping text is recognised; ordinary dictation is not taken for it."""

import pytest

from fieldnote.records import Word
from fieldnote.speech.filters import fault, invented, looped, unheard
from tests.speech.engines import guess


@pytest.mark.parametrize(
    "text",
    [
        "I'm going to the next station. I'm going to the next station. I'm going to the next",
        "rear left cap chipped rear left cap chipped rear left cap chipped",
        "sorry, sorry, sorry, sorry, sorry, sorry",
        "O-C-O " + "C-C-C-C-C-C-" * 20,
    ],
)
def test_loops(text: str) -> None:
    """A phrase or a word that is said again and again is a loop."""
    assert looped(text)


@pytest.mark.parametrize(
    "text",
    [
        "nought point nought nought nought four",
        "eight eight oh two, eight eight oh two point one",
        "front left cap cracked, front right cap cracked, rear left cap cracked",
        "4, 17, 22, 30, 31 and 45",
        "0 0 0 0 0 0",
    ],
)
def test_dictation_is_no_loop(text: str) -> None:
    """Lists, figures and noughts repeat without being loops."""
    assert not looped(text)


@pytest.mark.parametrize(
    ("text", "likelihood", "no_speech", "voiced", "expected"),
    [
        ("rear right", -1.3, 0.4, 2.0, "unlikely"),
        ("you", -0.77, 0.68, 2.0, "nobody"),
        ("one two three four five six seven eight nine ten eleven twelve", -0.2, 0.0, 1.0, "too-many-words"),
        ("hob clean", -0.3, 0.7, 2.0, ""),
        ("hob clean", -0.3, 0.1, 1.0, ""),
    ],
)
def test_fault(text: str, likelihood: float, no_speech: float, voiced: float, expected: str) -> None:
    """Each sign has its name; speech has none."""
    assert fault(guess(text, likelihood, no_speech), voiced) == expected


def test_two_unlikely_texts_with_nothing_in_common_were_not_said() -> None:
    """Noise makes each decode invent something else."""
    assert invented(guess("I'm going to the station", -0.8), guess("Rear right burner", -0.9))
    assert not invented(guess("front left burner", -0.8), guess("front left burner cap", -0.9))
    assert not invented(guess("week spark", -0.3), guess("weak burner", -0.2))


def test_voiced_sound_without_words_is_found() -> None:
    """A stretch of voice longer than 1.2 s that no word covers is missing; covered stretches are not."""
    words = [Word(0.0, 0.5, "hob", 0.9), Word(0.5, 1.0, "clean", 0.9), Word(5.0, 5.5, "done", 0.9)]
    assert unheard(words, ((0.0, 5.5),)) == [(pytest.approx(1.1), pytest.approx(4.9))]
    assert unheard(words, ((0.0, 1.2), (4.8, 5.5))) == []


def test_a_stretched_word_does_not_hide_a_gap() -> None:
    """Alignment stretches the word before a hole; a short word covers only the time that it can take."""
    assert unheard([Word(0.0, 6.0, "hob", 0.9)], ((0.0, 6.0),))


def test_figures_take_their_time() -> None:
    """A meter reading said digit by digit is no hole."""
    assert not unheard([Word(0.0, 4.0, "8802.114", 0.9)], ((0.0, 4.0),))
