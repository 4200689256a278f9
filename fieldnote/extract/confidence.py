"""How sure a finding is. In: a fact with the cues that shaped it, and the words around it. Out: a probability and its doubts.

Each doubt costs points (cues/confidence.toml); the sum falls into a bin, whose value is the share of such findings that were
right on the practice sets. `tests/benchmarks/calibration.py` makes the table. Not allowed to know: limits.
"""

import functools
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from importlib import resources
from itertools import accumulate
from typing import Any

from fieldnote.extract.draft import Draft
from fieldnote.extract.facts.story import Fact


@dataclass(frozen=True, slots=True)
class Table:
    """`points` of each doubt, none above 0; `bins` from the worst: (the sum it ends at, inclusive; the share right)."""

    points: dict[str, int]
    bins: tuple[tuple[int, float], ...]

    def sure(self, doubts: Iterable[str]) -> float:
        """The probability that a finding with these doubts is right."""
        total = sum(self.points.get(doubt, 0) for doubt in doubts)
        return next(share for end, share in self.bins if total <= end)


def strict(raw: dict[str, Any]) -> Table:
    """The table of a data file. Raises ValueError (pydantic's among them) when it is not of its form or not monotone."""
    data = _form().model_validate(raw)
    ends, shares = [end for end, _ in data.bins], [share for _, share in data.bins]
    if sorted(set(ends)) != ends or sorted(shares) != shares or not ends or ends[-1] != 0:
        raise ValueError("bins must rise in points and in share, and end at 0 points")
    return Table(dict(data.points), tuple(data.bins))


@functools.cache
def _form() -> Any:
    from typing import Annotated

    from pydantic import BaseModel, ConfigDict, Field

    class File(BaseModel):
        model_config = ConfigDict(extra="forbid", frozen=True)
        points: dict[str, Annotated[int, Field(le=0, strict=True)]]
        bins: list[tuple[int, Annotated[float, Field(ge=0, le=1)]]]

    return File


@functools.cache
def table() -> Table:
    """The table as it ships."""
    raw = resources.files("fieldnote.extract").joinpath("cues/confidence.toml").read_text("utf-8")
    return strict(tomllib.loads(raw))


class Doubter:
    """Names the doubts about the facts of one talk; what it needs of the words is counted once."""

    def __init__(self, draft: Draft, facts: list[Fact]) -> None:
        tokens = draft.tokens
        known = bytearray(len(tokens))
        for mention in draft.mentions:
            known[mention.start : mention.end] = b"\1" * (mention.end - mention.start)
        self._unknown = [0, *accumulate(1 - flag for flag in known)]
        self._plain = sum(token.pause != "" for token in tokens) * 20 < len(tokens)
        self._held: dict[tuple[str | None, str | None], int] = {}
        for fact in facts:
            key = fact.component, fact.position
            self._held[key] = self._held.get(key, 0) + 1

    def doubts(self, fact: Fact) -> list[str]:
        """What is doubtful about a fact, each by its name in the table."""
        near = max(fact.start - 4, 0), min(fact.end + 4, len(self._unknown) - 1)
        signs = {
            "condition-unsaid": fact.condition is None,
            "no-action": not fact.actions,
            "corrected-later": fact.superseded is not None,
            "place-unsaid": fact.position is None,
            "unpunctuated": self._plain,
            "competing": self._held[fact.component, fact.position] > 1,
            "unknown-within": self._share(fact.start, fact.end) > 0.25,
            "unknown-near": self._share(*near) > 0.5,
            "many-cues": len(set(fact.cues)) > 2,
        }
        span = _span(fact.end - fact.start)
        return [
            *dict.fromkeys(fact.cues),
            f"status-{fact.status}",
            span,
            *(sign for sign, is_so in signs.items() if is_so),
        ]

    def _share(self, start: int, end: int) -> float:
        """The share of the words that no phrase covers."""
        return (self._unknown[end] - self._unknown[start]) / max(end - start, 1)


def _span(words: int) -> str:
    """How close together the words of a finding stand."""
    return "one-word" if words == 1 else "wide-span" if words > 7 else "middling-span" if words > 5 else "close-span"
