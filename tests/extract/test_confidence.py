"""Confidence: its table is strictly checked, what is doubtful lowers it, the reasons are told, what nobody trusts is kept apart.

The texts are our own; that a sum of weights stands for odds is logistic regression, as in any textbook of statistics.
"""

import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldnote.extract import Extractor, by_rules
from fieldnote.extract.confidence import FILED, strict, table
from fieldnote.extract.findings import trusted
from fieldnote.records import Finding
from fieldnote.trade.vocabulary import vocabulary

GOOD = ["\t1.5", "hedge\t-0.5\tpresent -1", "says:tap\tstiff 0.25"]


@pytest.mark.parametrize(
    "more",
    [
        "hedge\t-0.5",
        "many-cues",
        "many-cues\t",
        "many-cues\tnan",
        "many-cues\t-50",
        "many-cues\t-1\t-2",
        "x\tpresent  1 2",
    ],
)
def test_a_faulty_table_is_refused(more: str) -> None:
    """A sign that comes twice or weighs nothing, a weight that is none or stands twice, and a file without a base are refused."""
    assert strict(GOOD).sure(["hedge"], "present", "stiff") == pytest.approx(0.5)
    with pytest.raises(ValueError, match=r"confidence.txt"):
        strict([*GOOD, more])
    with pytest.raises(ValueError, match="no sign"):
        strict(GOOD[1:])


@given(
    st.lists(st.sampled_from(["hedge", "says:tap", "no such sign"]), unique=True),
    st.sampled_from(["present", "absent"]),
)
def test_the_sum_of_the_weights_stands_for_odds(signs: list[str], status: str) -> None:
    """The log-odds of the probability are the weights added up; a sign that nobody counted weighs nothing."""
    held = strict(GOOD)
    total = sum(held.weight(sign, status, "stiff") for sign in ("", *signs))
    assert held.sure(signs, status, "stiff") == pytest.approx(1 / (1 + math.exp(-total)), abs=6e-4)


@pytest.mark.parametrize(
    ("plain", "doubtful"),
    [
        ("Front left electrode cracked, replaced.", "Front left. Cracked."),
        ("Hob. Front left tap stiff.", "Hob. Front left tap blimey quartz lemon stiff."),
    ],
)
def test_a_doubtful_finding_is_less_sure_than_a_plain_one(plain: str, doubtful: str) -> None:
    """A part that is not named, or words nobody knows between part and condition make a finding less sure."""
    assert _all(doubtful)[0].confidence < _all(plain)[0].confidence


def test_what_is_not_trusted_is_kept_apart() -> None:
    """Filed is what is sure enough, the rest is kept beside, nothing is in both; a leak is filed however unsure."""
    found = by_rules(
        "Hob, back left tap blimey quartz lemon. The dog was stiff. Hose perished, replaced it. That tap, or the spindle, "
        "she says, was it sticking, no, the knob, I don't know, dirty."
    )
    assert found.findings and found.doubted
    assert all(one.confidence >= FILED or one.condition == "leaking" for one in found.findings)
    assert all(one.confidence < FILED and one.condition != "leaking" for one in found.doubted)


def test_a_leak_is_filed_however_unsure_but_not_that_it_is_gone() -> None:
    """Where it is not trusted that a leak was mended or not there, that is asked about."""
    (leak,) = _all("The union is leaking.")
    unsure = {status: replace(leak, status=status, confidence=0.1) for status in vocabulary().statuses}
    assert {status for status, one in unsure.items() if trusted(one)} == set(vocabulary().statuses) - {
        "resolved",
        "absent",
    }
    assert trusted(replace(leak, status="resolved", confidence=0.9))


def test_the_reasons_are_told() -> None:
    """Each finding says how sure it is and which doubts lowered it, each of which the table knows."""
    finding = _all("Hob. Front left tap blimey quartz lemon stiff.")[0]
    told = next(why for why in finding.why if why.field == "confidence")
    assert told.value == f"{finding.confidence:.2f}"
    assert "unknown-within" in told.rule.split()
    assert told.rule.split() == table().against(told.rule.split(), finding.status, finding.condition)


def test_plain_sentences_are_filed(extractor: Extractor) -> None:
    """Of the golden cases, which are such sentences, at most one finding in thirty is doubted."""
    cases = (Path(__file__).parents[1] / "cases/findings").glob("*.txt")
    read = [extractor.read(path.read_text("utf-8").partition("---\n")[0].strip()) for path in cases]
    doubted, filed = (sum(len(getattr(one, kind)) for one in read) for kind in ("doubted", "findings"))
    assert doubted <= (doubted + filed) / 30


def _all(text: str) -> list[Finding]:
    found = by_rules(text)
    return sorted([*found.findings, *found.doubted], key=lambda one: one.evidence.start)
