"""Whether faults were put right, as the words behind them weigh: the weights of `extract/outcome.py`, and what they are worth.

Run: python tests/benchmarks/outcome.py [--write]; --write makes cues/outcome.txt anew instead of telling figures. The rows are
faults of sets as the rules read them before anybody had read them (`blind.jsonl`), right in all but perhaps their status, and,
counted less, of every third dictation of the learnt sets and every third golden case as the rules read them today. The figures
leave out a quarter of the blind sets at a time; what is unread is left out.
"""

import json
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from calibration import BLIND, LEARNT, ROOT, cases, drafted, fact_of, score
from ridge import ridge

from fieldnote.extract import build, confidence, outcome
from fieldnote.extract.draft import Draft
from fieldnote.extract.facts.reader import Reader
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.words import tokens

DATA = ROOT / "fieldnote/extract/cues/outcome.txt"
LEARNT_WEIGHT, GOLDEN_WEIGHT = 0.5, 0.5
EVERY = 3  # of the learnt dictations and golden cases so many are one that is counted
RIDGE = 2.0
SEEN = 4  # a sign seen less often weighs nothing
LEAST = 0.04  # logits: smaller weights are left out
FOLDS = 4
LOOSE = [key for key in score.FINDING_KEYS if key != "status"]


@dataclass(frozen=True, slots=True)
class Row:
    """One fault: its set, its signs with what they are counted beside, how it was read and whether it was put right."""

    set: str
    names: tuple[tuple[str, str], ...]
    read: str
    resolved: bool


def rows(name: str, golds: list[Any], words: Any, facts: list[Fact]) -> Iterator[Row]:
    """The faults of a dictation that the labels have too, whatever their status."""
    cells = [{key: getattr(fact, key) for key in score.FINDING_KEYS} for fact in facts]
    whole = score.match(golds, cells, lambda gold, out: score.same_finding(gold, out, score.FINDING_KEYS))
    loose = score.match(golds, cells, lambda gold, out: score.same_finding(gold, out, LOOSE))
    pairs = {at: gold for gold, at in loose.items()} | {at: gold for gold, at in whole.items()}
    weigher = outcome.Weigher(words, facts)
    for at, gold in pairs.items():
        fact, said = facts[at], golds[gold]["status"]
        meant = outcome.SIDES & set(said if isinstance(said, list) else [said])
        if outcome.open_to_doubt(fact) and len(meant) == 1:
            beside = ("", fact.status, fact.condition or "-")
            names = (("", ""), *((sign, one) for sign in dict.fromkeys(weigher.signs(fact)) for one in beside))
            yield Row(name, names, fact.status, meant == {"resolved"})


def blind() -> Iterator[Row]:
    """The faults of each set that was scored before it was read, as they were read then."""
    language, held = tokens.language(), {}
    for line in map(json.loads, BLIND.read_text("utf-8").splitlines()):
        name = line["set"]
        if name not in LEARNT:
            continue
        held.setdefault(name, cases(name) if name not in held else None)
        case = held[name][line["case"]]
        draft = Draft(case["text"], tokens.tokens(language.make_doc(case["text"])))
        yield from rows(name, case["findings"], draft.tokens, [fact_of(cells, draft) for cells in line["facts"]])


def today(name: str, text: str, golds: list[Any] | None = None) -> Iterator[Row]:
    """The faults of a dictation as the rules read it today; without labels all are right, for a test holds them."""
    draft = drafted(text)
    facts = Reader(draft).read()
    if golds is None:
        golds = [{key: getattr(fact, key) for key in score.FINDING_KEYS} for fact in facts]
    yield from rows(name, golds, draft.tokens, facts)


def fit(known: list[Row], weights: np.ndarray[Any, Any]) -> confidence.Table:
    """The weights of the signs, alone and beside what they stand beside."""
    yes = [row.resolved for row in known]
    found = ridge([row.names for row in known], yes, weights, ("", ""), seen=SEEN, strength=RIDGE, steps=120)
    made: dict[str, dict[str, float]] = {}
    for (sign, beside), weight in found.items():
        made.setdefault(sign, {})[beside] = weight
    return confidence.Table(made)


def chances(made: confidence.Table, some: list[Row]) -> np.ndarray[Any, Any]:
    """How likely each fault is to have been put right."""
    sums = [sum(made.weights.get(sign, {}).get(one, 0.0) for sign, one in row.names) for row in some]
    return 1 / (1 + np.exp(-np.array(sums)))


def report(likely: np.ndarray[Any, Any], known: list[Row]) -> None:
    """How many statuses the weights would put right and how many they would spoil, from which chance on."""
    left = np.array([row.read == "present" for row in known])
    mended = np.array([row.resolved for row in known])
    print(f"faults {len(known)}, read with the wrong status {(left == mended).sum()}")
    for sure in (0.5, 0.6, 0.7, 0.8, 0.9):
        turned = left & (likely > sure)
        print(f"from {sure}: to resolved {(turned & mended).sum()} right {(turned & ~mended).sum()} wrong")


def write(made: confidence.Table) -> None:
    """The data file: a sign a line, its weights rounded, the smallest left out."""
    lines = []
    for sign, row in sorted(made.weights.items()):
        cells = {one: round(weight, 2) for one, weight in row.items()}
        told = [
            f"{one} {weight:g}".strip() for one, weight in sorted(cells.items()) if abs(weight) >= LEAST or not sign
        ]
        if told:
            lines.append("\t".join([sign, *told]))
    confidence.strict(lines)
    DATA.write_text("\n".join(lines) + "\n", "utf-8")
    print(f"{len(lines)} signs, {DATA.stat().st_size // 1000} kB")


def everything(known: list[Row]) -> tuple[list[Row], np.ndarray[Any, Any]]:
    """All rows and what each counts."""
    learnt = [
        row
        for name in LEARNT
        for case in list(cases(name).values())[::EVERY]
        for row in today(name, case["text"], case["findings"])
    ]
    held = sorted(Path(ROOT / "tests/cases/findings").glob("*.txt"))[::EVERY]
    golden = [row for path in held for row in today("golden", path.read_text("utf-8").partition("---\n")[0].strip())]
    return [*known, *learnt, *golden], np.repeat(
        [1, LEARNT_WEIGHT, GOLDEN_WEIGHT], [len(known), len(learnt), len(golden)]
    )


def main() -> None:
    """Print the figures with a quarter of the blind sets left out at a time; with --write make the table from all instead."""
    build()  # the words and their tree, once
    known = list(blind())
    if "--write" in sys.argv:
        write(fit(*everything(known)))
        return
    names = sorted({row.set for row in known})
    likely = np.zeros(len(known))
    for fold in range(FOLDS):
        out = set(names[fold::FOLDS])
        held = [row for row in known if row.set not in out]
        at = [n for n, row in enumerate(known) if row.set in out]
        likely[at] = chances(fit(held, np.ones(len(held))), [known[n] for n in at])
    report(likely, known)


if __name__ == "__main__":
    main()
