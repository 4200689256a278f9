"""How sure a finding is. In: a fact with the cues that shaped it. Out: a number between 0 and 1.

A score is the product of one factor for each doubt (cues/confidence.toml), then mapped to the share of such findings that
were right on texts nobody had learnt from (the table `calibration` there). Not allowed to know: limits.
"""

import functools
import math
import tomllib
from collections.abc import Sequence
from importlib import resources
from typing import Any

from fieldnote.extract.story import Fact


@functools.cache
def _tables() -> dict[str, Any]:
    raw = resources.files("fieldnote.extract").joinpath("cues/confidence.toml").read_text("utf-8")
    return tomllib.loads(raw)


def score(fact: Fact, punctuated: bool = True) -> float:
    """The product of the factors of everything that is doubtful about a fact, before calibration."""
    factors = _tables()["doubts"]
    doubts = {*fact.cues, f"status-{fact.status}", _span(fact.end - fact.start)}
    doubts |= {"condition-unsaid"} if fact.condition is None else set()
    doubts |= set() if punctuated else {"unpunctuated"}
    return float(math.prod(factors.get(doubt, 1.0) for doubt in doubts))


def _span(words: int) -> str:
    """How close together the words of a finding stand."""
    return "one-word" if words == 1 else "wide-span" if words > 7 else "middling-span" if words > 5 else "close-span"


def confidence(fact: Fact, punctuated: bool = True) -> float:
    """The calibrated score: the table's points are joined by straight lines."""
    return round(_between(score(fact, punctuated), _tables()["calibration"]), 3)


def _between(value: float, points: Sequence[Sequence[float]]) -> float:
    before = points[0]
    for point in points:
        if value <= point[0]:
            span = point[0] - before[0]
            share = (value - before[0]) / span if span else 1.0
            return before[1] + share * (point[1] - before[1])
        before = point
    return before[1]
