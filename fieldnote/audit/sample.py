"""A fair sample of visits. In: visits, how many or which plan, a seed. Out: a work list in the order of drawing.

Strata are engineer and risk. Whatever looks like chance comes from SHA-256 of the seed and a name: the same seed draws the same
visits on any machine and from any order of paths, so that anybody who knows the seed can check that nobody chose.
"""

import hashlib
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from fieldnote.audit.picture import Asking
from fieldnote.audit.plans import Plan, plan
from fieldnote.errors import UsageProblem

EVERYBODY = "everybody"
RISKS = ("immediately-dangerous", "at-risk", "smell-of-gas", "outside", "question", "other")  # what `facts.risk` says


@dataclass(frozen=True, slots=True)
class Candidate:
    """A visit that may be drawn."""

    visit: str
    ref: str
    engineer: str
    day: str
    risk: str
    path: str


@dataclass(frozen=True, slots=True)
class Drawn:
    """One visit of a work list: its place, and the lot that it speaks for."""

    number: int
    lot: str
    candidate: Candidate


@dataclass(frozen=True, slots=True)
class Sample:
    """A work list: its seed, the plan of each lot (None where only a size was given), and the visits drawn."""

    seed: int
    sizes: Mapping[str, int]
    plans: Mapping[str, Plan | None]
    drawn: tuple[Drawn, ...]


def candidates(asking: Asking, since: date | None = None, until: date | None = None) -> list[Candidate]:
    """Every visit that counts and holds anything to look at, made in a stretch of days (both ends included)."""
    rows = asking.rows(
        "select v.id, v.ref, v.engineer, v.day, v.risk, s.path "
        "from visit v join source s on s.number = v.source where v.source in chosen and v.lines > 0 "
        "and v.day between :since and :until order by v.id",
        since=(since or date.min).isoformat(),
        until=(until or date.max).isoformat(),
    )
    return [Candidate(*map(str, row)) for row in rows]


def draw_size(visits: Sequence[Candidate], size: int, seed: int) -> Sample:
    """`size` visits of all. Raises UsageProblem FN-201 when there is nothing to draw from."""
    if not visits:
        raise UsageProblem("FN-201", what="a sample", reason="there are no visits to draw from")
    return _sample({EVERYBODY: visits}, {EVERYBODY: min(size, len(visits))}, {EVERYBODY: None}, seed)


def draw_plan(visits: Sequence[Candidate], aql: str, level: str, seed: int, *, each_engineer: bool = False) -> Sample:
    """Samples by an acceptance plan: one lot of all visits, or one for each engineer with two visits or more.

    Raises UsageProblem FN-201 when there is no such plan, or no lot large enough for one.
    """
    lots: dict[str, list[Candidate]] = defaultdict(list)
    for one in visits:
        lots[one.engineer if each_engineer else EVERYBODY].append(one)
    plans: dict[str, Plan | None] = {name: plan(len(lot), aql, level) for name, lot in lots.items() if len(lot) > 1}
    if not plans:
        raise UsageProblem("FN-201", what="an acceptance sample", reason="it needs two visits or more")
    sizes = {name: one.size for name, one in plans.items() if one}
    return _sample({name: lots[name] for name in plans}, sizes, plans, seed)


def _sample(
    lots: Mapping[str, Sequence[Candidate]], sizes: Mapping[str, int], plans: Mapping[str, Plan | None], seed: int
) -> Sample:
    drawn = [(name, one) for name in sorted(lots) for one in spread(lots[name], sizes[name], seed, name)]
    numbered = tuple(Drawn(number, name, one) for number, (name, one) in enumerate(drawn, 1))
    return Sample(seed, {name: len(lot) for name, lot in lots.items()}, plans, numbered)


def spread(visits: Sequence[Candidate], size: int, seed: int, lot: str = EVERYBODY) -> list[Candidate]:
    """Systematic sampling: in order of risk, engineer and chance, every so-manyth visit from a start that chance sets.

    Each visit is as likely as any other to be drawn, and each stratum gets its share of the sample, rounded up or down.
    """
    order = sorted(visits, key=lambda one: (RISKS.index(one.risk), _rank(seed, one.engineer), _rank(seed, one.visit)))
    start = int.from_bytes(_rank(seed, ("start", lot))[:8]) / 2**64
    step = len(order) / size
    drawn = [order[min(len(order) - 1, int((start + place) * step))] for place in range(size)]
    return sorted(drawn, key=lambda one: _rank(seed, one.visit))


def _rank(seed: int, what: object) -> bytes:
    return hashlib.sha256(f"{seed} {what}".encode("utf-8", "surrogatepass")).digest()
