"""Samples and what was decided about them, in the supervisor's own notebook. In: a sample, decisions. Out: where it stands.

Nothing is ever written to a notebook that is audited.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from fieldnote.audit.sample import Sample
from fieldnote.audit.statistics import Share, share
from fieldnote.errors import UsageProblem
from fieldnote.notebook import Notebook
from fieldnote.records import Entry, from_plain, to_plain

SAMPLE, DECISION = "audit-sample", "audit-decision"
ANSWERS = ("right", "wrong", "unclear")


@dataclass(frozen=True, slots=True)
class Decided:
    """What a supervisor found: the record of this visit is right, wrong or unclear."""

    answer: str
    by: str
    note: str
    at: str


@dataclass(frozen=True, slots=True)
class Worklist:
    """A sample that was kept, and the decision that holds for each number decided so far."""

    id: str
    drawn_at: str
    sample: Sample
    decided: dict[int, Decided]


def keep(own: Notebook, sample: Sample) -> Worklist:
    """Keep a sample."""
    return _worklist(own, own.append(SAMPLE, to_plain(sample)))


def not_among(own: Path, audited: Sequence[str]) -> None:
    """Raises UsageProblem FN-201 when a notebook is one of those that are audited; called before it is opened for writing."""
    if own.resolve() in {Path(path).resolve() for path in audited}:
        reason = "this notebook is itself audited; name your own with --notebook"
        raise UsageProblem("FN-201", what="keeping a sample here", reason=reason)


def newest(own: Notebook, wanted: str | None = None) -> Worklist:
    """The sample whose id begins with `wanted`, or the newest. Raises UsageProblem FN-206 when there is none."""
    found = [entry for entry in own.entries(kind=SAMPLE) if entry.payload and entry.id.startswith(wanted or "")]
    if not found:
        raise UsageProblem("FN-206", id=wanted or "a sample")
    return _worklist(own, found[-1])


def decide(own: Notebook, worklist: Worklist, number: int, answer: str, by: str, note: str = "") -> Worklist:
    """Keep a decision about one visit of a sample; a later one holds instead of an earlier one, which stays on record.

    Raises UsageProblem FN-201 for a number that is not on the list.
    """
    if number not in {one.number for one in worklist.sample.drawn}:
        raise UsageProblem("FN-201", what=f"deciding number {number}", reason="it is not on this work list")
    if answer not in ANSWERS:
        raise UsageProblem("FN-201", what=f"the answer {answer}", reason=f"give {', '.join(ANSWERS)}")
    said = {"sample": worklist.id, "number": number, "answer": answer, "by": by, "note": note}
    own.append(DECISION, said)
    return newest(own, worklist.id)


def _worklist(own: Notebook, entry: Entry) -> Worklist:
    decided = {
        one.payload["number"]: _decided(one.payload, one.at.isoformat())
        for one in own.entries(kind=DECISION)
        if one.payload and one.payload["sample"] == entry.id
    }
    return Worklist(entry.id, entry.at.isoformat(), from_plain(Sample, entry.payload), decided)


def _decided(payload: dict[str, Any], at: str) -> Decided:
    return Decided(payload["answer"], payload["by"], payload["note"], at)


@dataclass(frozen=True, slots=True)
class Outcome:
    """Where one lot stands: how many of its sample are right, wrong, unclear and not yet decided, and what follows.

    `verdict` is "accepted", "not accepted" or "open" for a lot with a plan, else "". An unclear visit counts as not yet decided.
    `wrong` is the share of visits that are wrong, with its interval (as if the lot were endless, so rather too wide); None before
    anything was decided.
    """

    lot: str
    answers: dict[str, int]
    left: int
    verdict: str
    wrong: Share | None


def outcomes(worklist: Worklist) -> list[Outcome]:
    """Where each lot stands."""
    return [_outcome(worklist, lot) for lot in worklist.sample.sizes]


def _outcome(worklist: Worklist, lot: str) -> Outcome:
    mine = [one for one in worklist.sample.drawn if one.lot == lot]
    answers = Counter(worklist.decided[one.number].answer for one in mine if one.number in worklist.decided)
    left = len(mine) - answers["right"] - answers["wrong"]
    plan, verdict = worklist.sample.plans[lot], ""
    if plan:
        verdict = "not accepted" if answers["wrong"] >= plan.reject else "open" if left else "accepted"
    clear = answers["right"] + answers["wrong"]
    return Outcome(lot, dict(answers), left, verdict, share(answers["wrong"], clear) if clear else None)
