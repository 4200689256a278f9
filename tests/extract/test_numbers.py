"""Spoken numbers, against num2words (a general-purpose reference library) and against tables of usual wordings."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from num2words import num2words

from fieldnote.extract.figures.numbers import numeral_at, scan, split

# How figures are said in the trade: common practice, no source.
SAID = {
    "nought point oh oh four": "0.004",
    "twenty point five": "20.5",
    "oh seven one five three point two oh four": "7153.204",
    "double four": "44",
    "a hundred and twenty": "120",
    "twenty and a half": "20.5",
    "fifteen hundred": "1500",
    "one point two five": "1.25",
    "zero point zero zero four": "0.004",
    "point six": "0.6",
    "treble nine": "999",
    "two thousand and nineteen": "2019",
    "three and three quarters": "3.75",
    "nine eight point six": "98.6",
    "minus point two": "-0.2",
    "one oh five": "105",
    "two thirty eight": "238",
    "20 point 5": "20.5",
    "07153.204": "7153.204",
    "0.004": "0.004",
    "0.00 zero eight": "0.0008",
    "1,234": "1234",
    "1 hundred and 20": "120",
    "point double oh four": "0.004",
    "nought point seven double five": "0.755",
    "point twenty five": "0.25",
    "half a": "0.5",
    "five thousand and twelve point eight": "5012.8",
    "nought point to": "0.2",
    "to point four": "2.4",
}


@pytest.mark.parametrize(("said", "value"), SAID.items())
def test_the_plainest_meaning_of_a_usual_wording(said: str, value: str) -> None:
    """Each usual wording is one numeral, read whole, with that value first."""
    words = said.split()
    (numeral,) = scan(words)
    assert (numeral.start, numeral.end) == (0, len(words))
    assert numeral.options[0].value == Decimal(value)


@pytest.mark.parametrize(
    ("said", "values"),
    [
        ("nineteen eight", {"198", "19.8"}),
        ("nought four", {"4", "0.4", "0.04"}),
        ("triple oh four", {"4", "0.4", "0.0004", "0.04", "0.004"}),
        ("three five", {"35", "3.5"}),
    ],
)
def test_a_wording_with_two_meanings_keeps_both(said: str, values: set[str]) -> None:
    """Where a point may have been left out no value is chosen: all are options."""
    (numeral,) = scan(said.split())
    assert {o.value for o in numeral.options} <= {Decimal(v) for v in values}
    assert len({o.value for o in numeral.options}) > 1


def test_leading_zeros_are_kept_as_said() -> None:
    """The digits of a meter keep their noughts."""
    (numeral,) = scan("oh seven one five three point two oh four".split())
    assert numeral.options[0].digits == "07153.204"


@pytest.mark.parametrize(
    "words",
    ["for the customer", "to the left", "too stiff", "won't light", "at this stage", "the second ring", "not pointing"],
)
def test_ordinary_words_are_no_numbers(words: str) -> None:
    """Words that only sound like digits stay words."""
    assert scan(words.split()) == []


def test_two_numbers_that_meet_are_cut() -> None:
    """Two figures said without a break are two, unless they are digits of one string."""
    (run,) = scan("twenty two nineteen five".split())
    assert [part.options[-1].value for part in split(run)] == [Decimal(22), Decimal("19.5")]


def _spoken(text: str) -> list[str]:
    return text.replace("-", " ").replace(",", "").split()


@settings(deadline=None)
@given(st.integers(min_value=0, max_value=999_999))
def test_whole_numbers_read_back(value: int) -> None:
    """What num2words says for a whole number is read back as that number."""
    words = _spoken(num2words(value))
    (numeral,) = scan(words)
    assert numeral.end == len(words)
    assert numeral.options[0].value == value


@settings(deadline=None)
@given(st.decimals(min_value=0, max_value=999, places=3))
def test_decimals_read_back(value: Decimal) -> None:
    """What num2words says for a decimal is read back exactly, with every decimal said kept."""
    words = _spoken(num2words(value))
    (numeral,) = scan(words)
    assert numeral.end == len(words)
    assert numeral.options[0].value == value


@settings(deadline=None)
@given(st.text(alphabet="0123456789", min_size=2, max_size=9))
def test_digits_one_by_one_read_back(digits: str) -> None:
    """Digits said one after another keep their order and their noughts."""
    names = "oh one two three four five six seven eight nine".split()
    (numeral,) = scan([names[int(d)] for d in digits])
    assert numeral.whole == digits


@settings(deadline=None)
@given(st.lists(st.sampled_from("twenty five and a half point oh double hundred to for mil minus 20 0.5 ,".split())))
def test_any_heap_of_words_is_read(words: list[str]) -> None:
    """No heap of words stops the grammar, and numerals never overlap."""
    at = 0
    for numeral in scan(words):
        assert at <= numeral.start < numeral.end
        assert numeral.options
        at = numeral.end


def test_no_numeral_starts_inside_a_word() -> None:
    """A numeral starts only where a number word stands."""
    assert numeral_at(["often"], 0) is None
