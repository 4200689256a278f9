"""Two decodes make one text, and every disagreement is marked."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldnote.speech.compare import agreement, merge

TRADE = frozenset({"hob", "weak", "sooted", "millibar"})
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
        ("one two three lost words here", "one two", "1"),
        ("meter 0.07153.204 now", "meter nought point oh seven", "2"),
    ],
)
def test_merge(plain: str, hinted: str, expected: str) -> None:
    """The plain decode leads, trade words come from the hinted one, numbers are marked."""
    if expected == "1":
        assert shown(plain, hinted).endswith(
            "lost[decodes-differ] words[decodes-differ] here[decodes-differ]"
        ) or "[number]" in shown(plain, hinted)
    elif expected == "2":
        assert "[number]" in shown(plain, hinted)
    else:
        assert shown(plain, hinted) == expected


def test_a_word_that_holds_several_numbers_is_kept_whole() -> None:
    """Figures written in one word are compared with the words that stand for them, and nothing is lost."""
    assert (
        shown("Room is 3.2x2.8x2.4 high", "room is three point two by two point eight by two point four high")
        == "Room is 3.2x2.8x2.4 high"
    )


def test_a_dropped_passage_comes_back() -> None:
    """What the hinted decode left out stands as the plain one heard it, marked."""
    assert shown("hob clean rear left cap chipped", "hob clean").endswith(
        "rear[decodes-differ] left[decodes-differ] cap[decodes-differ] chipped[decodes-differ]"
    )


@given(WORDS)
def test_agreement_changes_nothing(text: str) -> None:
    """Merging a text with itself gives the text, without a doubt."""
    assert [token.text for token in merge(text, text, TRADE)] == text.split()
    assert not any(token.doubt for token in merge(text, text, TRADE))


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
