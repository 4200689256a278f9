"""Confidence: the table is strictly checked and rising, doubts lower it, and the reasons are told.

The texts are our own; that a doubt never raises a probability is what the word means, no source needed.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldnote.extract import extract
from fieldnote.extract.confidence import strict, table

GOOD = {"bins": [(-10, 0.2), (0, 0.9)], "points": {"weak-name": -10}}


@pytest.mark.parametrize(
    "spoilt",
    [
        {"points": {"weak-name": 3}},
        {"points": {"weak-name": -1.5}},
        {"bins": []},
        {"bins": [(-10, 0.9), (0, 0.2)]},
        {"bins": [(0, 0.2), (-10, 0.9)]},
        {"bins": [(-10, 0.2)]},
        {"bins": [(0, 1.2)]},
        {"more": 1},
    ],
)
def test_a_faulty_table_is_refused(spoilt: dict[str, object]) -> None:
    """A table whose points raise, whose bins do not rise to 0 points, or with anything else in it is not taken."""
    assert strict(GOOD).sure(["weak-name"]) == 0.2
    with pytest.raises(ValueError, match=r"."):
        strict({**GOOD, **spoilt})


@given(st.lists(st.sampled_from(sorted(table().points)), unique=True), st.sampled_from(sorted(table().points)))
def test_one_more_doubt_never_makes_surer(doubts: list[str], more: str) -> None:
    """Whatever is doubtful already, another doubt leaves the probability or lowers it."""
    assert table().sure([*doubts, more]) <= table().sure(doubts)


@pytest.mark.parametrize(
    ("plain", "doubtful"),
    [
        ("Front left electrode cracked, replaced.", "Front left. Cracked."),
        ("Hob. Front left tap stiff.", "Hob. Front left tap blimey quartz lemon stiff."),
    ],
)
def test_a_doubtful_finding_is_less_sure_than_a_plain_one(plain: str, doubtful: str) -> None:
    """A part that is not named, or words nobody knows between part and condition make a finding less sure."""
    assert extract(doubtful).findings[0].confidence < extract(plain).findings[0].confidence


def test_the_reasons_are_told() -> None:
    """Each finding says how sure it is and which doubts of the table lowered it."""
    finding = extract("Front left electrode might be cracked.").findings[0]
    told = next(why for why in finding.why if why.field == "confidence")
    assert told.value == f"{finding.confidence:.2f}"
    assert "status-possible" in told.rule.split()
    assert set(told.rule.split()) <= table().points.keys()
