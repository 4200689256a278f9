"""Two decodes make one text, and every disagreement is marked."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldnote.speech.compare import Known, agreement, merge
from fieldnote.speech.numbers import odd

TRADE = Known(frozenset({"hob", "weak", "sooted", "millibar"}))
WORDS = st.lists(
    st.sampled_from("the hob week weak is 4 four point 22.4 CO25.2% , not nought left-hand".split()), max_size=12
).map(" ".join)


def shown(plain: str, hinted: str) -> str:
    """The merged text with doubts in brackets."""
    return " ".join(token.text + (f"[{token.doubt}]" if token.doubt else "") for token in merge(plain, hinted, TRADE))


@pytest.mark.parametrize(
    ("plain", "hinted", "expected"),
    [
        ("Front left burner.", "front left burner", "Front left burner."),
        ("It was week, nine", "it was weak nine", "It was weak[decodes-differ] nine"),
        ("No cracks in it", "know cracks in it", "No[decodes-differ] cracks in it"),
        (
            "working 1.2 millibar",
            "working one point eight millibar",
            "working one[number] point[number] eight[number] millibar",
        ),
        ("working 1.2 millibar", "working one point two millibar", "working 1.2 millibar"),
        ("down to 196 at the end", "down to nineteen six at the end", "down to nineteen six at the end"),
        ("left at 196 ppm", "left at one hundred and ninety six ppm", "left at 196 ppm"),
        ("left at 196 ppm", "left at one ninety six ppm", "left at one ninety six ppm"),
        (
            "high end 100 and 85 ppm",
            "high end a hundred, and eighty five ppm",
            "a[number] hundred,[number] and[number] eighty[number] five[number] ppm",
        ),
        ("set at 8.51 minute", "set at eight point five, one minute", "five,[number] one[number] minute"),
        (
            "ratio, not.0.0.4, room naught",
            "ratio, not point not not not four, room not",
            "ratio, not[number] point[number] not[number] not[number] not[number] four,[number] room naught[number]",
        ),
        ("index 04418.2", "index oh, four, four, one, eight, point two", "index 04418.2"),
        ("meter 0.07153.204 now", "meter oh seven one five three point two oh four now", "oh[number]"),
    ],
)
def test_merge(plain: str, hinted: str, expected: str) -> None:
    """The plain decode leads, trade words come from the hinted one, numbers are marked."""
    assert expected in shown(plain, hinted)


@pytest.mark.parametrize(
    ("plain", "hinted", "inside"),
    [
        ("earth 0.12 ohms", "earth nought point one, two ohms", ["one,"]),
        ("set at 8.51 minute", "set at eight point five, one minute", ["five,"]),
        ("new 125 now", "new one, twenty five now", []),
        ("earth 0.12 ohms", "earth nought point one two, ohms", []),
    ],
)
def test_a_mark_between_digits_that_are_one_figure_to_the_other(plain: str, hinted: str, inside: list[str]) -> None:
    """Digits behind a point may be one figure: there the pause decides."""
    assert [token.text for token in merge(plain, hinted, TRADE) if token.within] == inside


@pytest.mark.parametrize(
    ("plain", "hinted"),
    [
        ("3.2x2.8x2.4 high", "three point two by two point eight by two point four high"),
        ("CO38ppm. Ratio", "CO thirty eight ppm Ratio"),
        ("045 12.361 now", "oh four five one two point three six one now"),
        ("CO25.2% ratio", "CO two five point two percent ratio"),
    ],
)
def test_figures_that_are_stuck_or_torn_are_spelled(plain: str, hinted: str) -> None:
    """Where both agree, a figure that is stuck to a word or torn apart stands as it was said, without a doubt."""
    assert shown(plain, hinted) == hinted


@pytest.mark.parametrize(
    ("plain", "hinted", "likelier", "expected"),
    [
        ("cap stands croaked now", "cap stands crooked now", False, "cap stands crooked now"),
        ("cap stands crooked now", "cap stands croaked now", True, "cap stands crooked now"),
        ("cap's seated again", "cap's straight again", False, "cap's seated again"),
        ("cap's seated again", "cap's straight again", True, "cap's straight again"),
        ("weak seated again", "week straight again", True, "weak seated again"),
        ("cap seated again and level now", "cap straight now", True, "cap seated again and level now"),
    ],
)
def test_strange_words_lose_and_a_likelier_text_leads(plain: str, hinted: str, likelier: bool, expected: str) -> None:
    """Fewer words that nobody says win; else a far likelier hinted text, unless it lacks a trade word or more than two words."""
    known = Known(TRADE.trade, frozenset("cap stands crooked seated straight again week weak level now and".split()))
    assert " ".join(token.text for token in merge(plain, hinted, known, likelier=likelier)) == expected


def test_a_dropped_passage_comes_back() -> None:
    """What the hinted decode left out stands as the plain one heard it, marked."""
    assert shown("hob clean rear left cap chipped", "hob clean").endswith(
        "rear[decodes-differ] left[decodes-differ] cap[decodes-differ] chipped[decodes-differ]"
    )


@given(WORDS)
def test_agreement_changes_nothing(text: str) -> None:
    """Merging a text with itself gives the text, with no doubt but at a figure that nobody says so."""
    assert [token.text for token in merge(text, text, TRADE)] == text.split()
    assert all(odd(token.text) for token in merge(text, text, TRADE) if token.doubt)


@given(WORDS, WORDS)
def test_every_difference_is_marked(plain: str, hinted: str) -> None:
    """A merged text without any doubt compares as equal to both decodes."""
    merged = merge(plain, hinted, TRADE)
    if not any(token.doubt for token in merged):
        text = " ".join(token.text for token in merged)
        assert agreement(text, plain) == agreement(text, hinted) == 1.0


@given(WORDS, WORDS)
def test_no_word_is_made_up(plain: str, hinted: str) -> None:
    """Every word of the merged text stands in one of the two decodes."""
    assert {token.text for token in merge(plain, hinted, TRADE)} <= {*plain.split(), *hinted.split()}
