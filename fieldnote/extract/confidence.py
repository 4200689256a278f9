"""How sure a finding is. In: its signs (`signs`). Out: a probability, and which doubts lowered it.

A sign weighs by itself and beside the status and the condition of the finding; the sum is a logit. The weights are data
(cues/confidence.txt), fitted by `tests/benchmarks/calibration.py`, above all on findings of sets that nobody had read when they
were scored. Not allowed to know: limits.
"""

import functools
import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from importlib import resources

# a finding that is right less often than this is asked about, not filed: there F1 on blind sets is highest
FILED = 0.4
# doubts of a whole reading, not of signs: a status that was weighed, talk without marks that reads otherwise the second time,
# what the taught reader does not hear, hears otherwise or hears alone
OF_READING = WEIGHED, READ_ONCE, READ_WITH_PAUSES, TAUGHT_AGAINST, TAUGHT_OTHERWISE, TAUGHT_ALONE = (
    "weighed",
    "read-once",
    "read-with-pauses",
    "taught-against",
    "taught-otherwise",
    "taught-alone",
)
LEAST = -0.2  # logits: what lowers less is not told
_CELL = re.compile(r"(?:([a-z-]+) )?(-?\d(?:\.\d+)?)")


@dataclass(frozen=True, slots=True)
class Table:
    """For each sign its weight alone ("") and beside a status or condition, in logits."""

    weights: Mapping[str, Mapping[str, float]]

    def weight(self, sign: str, status: str, condition: str | None) -> float:
        """What a sign says for or against a finding of this status and condition."""
        row = self.weights.get(sign)
        return row.get("", 0.0) + row.get(status, 0.0) + row.get(condition or "-", 0.0) if row else 0.0

    def sure(self, signs: Iterable[str], status: str, condition: str | None) -> float:
        """The probability that a finding with these signs is right, between 0.01 and 0.99."""
        total = math.fsum(self.weight(sign, status, condition) for sign in ("", *signs))  # exact in any order
        return round(min(max(1 / (1 + math.exp(-max(min(total, 30), -30))), 0.01), 0.99), 3)

    def against(self, signs: Iterable[str], status: str, condition: str | None) -> list[str]:
        """The doubts among the signs (their names hold no colon) that lower the probability, the heaviest first."""
        weighed = ((self.weight(sign, status, condition), sign) for sign in signs if ":" not in sign)
        return [doubt for weight, doubt in sorted(weighed) if weight < LEAST]


def strict(lines: Iterable[str]) -> Table:
    """The table of a data file: a line a sign, then its weights, each behind what it stands beside, all parted by tabs.
    Raises ValueError when a line is not of that form, a sign comes twice or the line of no sign is missing."""
    weights: dict[str, dict[str, float]] = {}
    for line in lines:
        sign, *cells = line.split("\t")
        if sign in weights or not cells:
            raise ValueError(f"confidence.txt: {line!r} comes twice or says nothing")
        row: dict[str, float] = {}
        for cell in cells:
            found = _CELL.fullmatch(cell)
            if not found or (found[1] or "") in row:
                raise ValueError(f"confidence.txt: {cell!r} of {sign!r}")
            row[found[1] or ""] = float(found[2])
        weights[sign] = row
    if "" not in weights:
        raise ValueError("confidence.txt: the line of no sign is missing")
    return Table(weights)


@functools.cache
def table() -> Table:
    """The table as it ships."""
    return strict(resources.files("fieldnote.extract").joinpath("cues/confidence.txt").read_text("utf-8").splitlines())
