"""Acceptance sampling plans. In: a lot's size, a level, an acceptable quality level. Out: how many to look at, how many may fail.

The tables are data in `plans.toml`, which names their standard; this module only finds its way through them.
"""

import math
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from fieldnote.errors import UsageProblem

STANDARD = "ISO 2859-1:1999, single sampling, normal inspection (tables written from memory)"
LEVELS = ("I", "II", "III")


@dataclass(frozen=True, slots=True)
class Plan:
    """Look at `size` of a lot of `lot`; accept it with at most `accept` wrong. `letter` is the plan's code letter."""

    lot: int
    level: str
    aql: str
    letter: str
    size: int
    accept: int

    @property
    def reject(self) -> int:
        """So many wrong, or more, and the lot is not accepted."""
        return self.accept + 1


@cache
def _tables() -> dict[str, Any]:
    found = tomllib.loads(Path(__file__).with_name("plans.toml").read_text("utf-8"))
    letters = [*found["sizes"]]
    if found.keys() != {"lots", "accept", "sizes", "zero"} or [*found["sizes"].values()] != sorted(
        found["sizes"].values()
    ):
        raise ValueError("plans.toml does not hold what its head says")
    if unknown := {*found["zero"].values(), *(one for row in found["lots"] for one in row[1:])} - {*letters}:
        raise ValueError(f"plans.toml: letters without a size: {unknown}")
    return found


def levels() -> tuple[str, ...]:
    """The acceptable quality levels that there are plans for, in percent, lowest first."""
    return tuple(_tables()["zero"])


def plan(lot: int, aql: str, level: str = "II") -> Plan:
    """The plan for a lot. A sample that the lot cannot fill is the whole lot, as the standard has it.

    Raises UsageProblem FN-201 for an unknown quality level or inspection level, or a lot of fewer than two.
    """
    tables, named = _tables(), {float(one): one for one in levels()}
    if _number(aql) not in named or level not in LEVELS:
        raise UsageProblem(
            "FN-201", what=f"AQL {aql}, level {level}", reason=f"there are AQL {', '.join(levels())}; levels I, II, III"
        )
    if lot < 2:
        raise UsageProblem("FN-201", what="an acceptance sample", reason=f"a lot of {lot} has no plan")
    row = next(row for row in tables["lots"] if lot <= row[0])
    aql = named[_number(aql)]
    letter, accept = _followed(row[1 + LEVELS.index(level)], tables["zero"][aql])
    return Plan(lot, level, aql, letter, min(lot, tables["sizes"][letter]), accept)


def _number(aql: str) -> float:
    try:
        return float(aql)
    except ValueError:
        return math.nan


def _followed(letter: str, zero: str) -> tuple[str, int]:
    """Follow the arrows of the table from a code letter to the plan that is used, and its acceptance number."""
    letters, accept = [*_tables()["sizes"]], _tables()["accept"]
    first = letters.index(zero)
    steps = letters.index(letter) - first
    if steps <= 1:
        return zero, 0
    steps = min(max(steps, 3), 2 + len(accept), len(letters) - 1 - first)
    if steps < 3:  # the table ends before the next plan
        return zero, 0
    return letters[first + steps], accept[steps - 3]


def chance_of_acceptance(plan: Plan, wrong: int) -> float:
    """How likely a lot with `wrong` nonconforming items is accepted: the hypergeometric distribution, without approximation."""
    ways = math.comb(plan.lot, plan.size)
    good = plan.lot - wrong
    accepted = sum(
        math.comb(wrong, bad) * math.comb(good, plan.size - bad) for bad in range(min(plan.accept, wrong) + 1)
    )
    return accepted / ways
