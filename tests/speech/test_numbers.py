"""Two ways of writing one number compare as equal, and different numbers do not."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words

from fieldnote.speech.numbers import comparable, odd, one_by_one


def flat(text: str) -> list[str]:
    """The comparable form as plain text."""
    return [atom.text for atom in comparable(text.split())]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("thirty eight ppm", "38 ppm"),
        ("twenty-two point four", "22.4"),
        ("nineteen and a half", "19.5"),
        ("eight eight oh two point one one four to start", "8802.114 to start"),
        ("nought point nought nought four", "0.004"),
        ("ratio not point not not four", "ratio 0.004"),
        ("ratio not.0.0.4", "ratio 0.004"),
        ("point six", "0.6"),
        ("five thousand square millimetres", "5,000 square mm"),
        ("CO two five point two percent", "CO25.2%"),
        ("CO to five point two percent", "CO 2 5.2%"),
        ("three point two by two point eight", "3.2x2.8"),
        ("oh seven one five three", "07153"),
        ("a hundred and ninety six ppm", "196 ppm"),
        ("a hundred ohms", "100 ohms"),
    ],
)
def test_the_same_number(one: str, other: str) -> None:
    """Words and figures of one number have one comparable form."""
    assert "".join(flat(one)) == "".join(flat(other))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("1.2", "1.8"),
        ("nought point nought four", "0.004"),
        ("thirteen", "thirty"),
        ("one oh five", "15"),
        ("two", "to"),
    ],
)
def test_different_numbers(one: str, other: str) -> None:
    """Numbers that differ by a digit, a nought or a tone of voice stay different."""
    assert flat(one) != flat(other)


@given(st.integers(0, 9999))
def test_british_number_words_equal_figures(number: int) -> None:
    """The words of num2words (a general library) for any number up to 9999 compare as its figures."""
    words = num2words(number).replace(",", "").replace("zero", "nought")
    assert flat(words) == [str(number)]


@pytest.mark.parametrize("text", ["is not cracked", "the point is taken", "a half turn", "not the first one's"])
def test_ordinary_words_stay_words(text: str) -> None:
    """Words that only look like numbers are no figures."""
    assert not any(atom.number for atom in comparable(text.split()) if atom.text != "1")


@pytest.mark.parametrize(
    ("text", "expected"), [("0.07153.204", True), ("64-11", True), ("22.4", False), ("5,000", False), ("1,50", True)]
)
def test_figures_written_as_nobody_says_them(text: str, expected: bool) -> None:
    """A figure with two points, a dash or a stray comma is odd."""
    assert odd(text) is expected


@pytest.mark.parametrize(
    ("said", "joined"),
    [
        ("index oh, four, one, eight, point two, six", "index oh four one eight point two six"),
        ("burners one, two, three, four, five are fine", "burners one, two, three, four, five are fine"),
        ("set at eight point five, one minute", "set at eight point five, one minute"),
        ("nought, one, gone", "nought, one, gone"),
    ],
)
def test_a_figure_that_is_read_one_by_one_has_no_commas(said: str, joined: str) -> None:
    """Commas go between the digits of a meter, not between things that are counted."""
    assert " ".join(one_by_one(said.split())) == joined
