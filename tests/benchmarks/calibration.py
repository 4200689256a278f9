"""How far `Finding.confidence` can be believed: on findings of sets that nobody had read when they were scored.

Run: python tests/benchmarks/calibration.py [--write]; --write makes cues/confidence.toml anew. What a doubt weighs comes from
all sets; what share is right at each sum comes from `tests/benchmarks/blind.jsonl` alone: the doubts of each finding and whether
it was right, kept when the set was scored before it was read. The figures leave out one blind set at a time.
`--keep SET COMMIT` prints the rows of a set for that file: run it before the set is read.
"""

import json
import sys
from collections import Counter
from pathlib import Path
from typing import Any, ClassVar

import numpy as np

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests"))
import score  # noqa: E402

from fieldnote.extract import build, confidence, findings  # noqa: E402
from fieldnote.extract.facts.story import Fact  # noqa: E402

SETS = [*(f"dev-{n}" for n in range(2, 7)), *(f"own-{n}" for n in range(1, 42) if n != 19)]
GROUP = 80
BLIND = ROOT / "tests/benchmarks/blind.jsonl"
DATA = ROOT / "fieldnote/extract/cues/confidence.toml"
HEAD = """# What makes a finding less sure: points for each doubt (tenths of a logit); the sum falls into the first of `bins`
# [up to these points, share of the findings there that were right]. Made by `python tests/benchmarks/calibration.py --write`:
# ridge logistic weights held at or below 0 and rounded, on the practice sets that the script names, then a rising step curve on
# the findings of sets that were scored before anybody read them.
"""
Row = tuple[frozenset[str], bool]


class Watched(confidence.Doubter):
    """A doubter that keeps what it says."""

    said: ClassVar[list[list[str]]] = []

    def doubts(self, fact: Fact) -> list[str]:
        """What is doubtful about a fact; kept too."""
        self.said.append(super().doubts(fact))
        return self.said[-1]


def same(gold: Any, out: Any) -> bool:
    """Whether all five fields match."""
    return bool(score.same_finding(gold, out, score.FINDING_KEYS))


def rows(name: str, extractor: Any) -> list[Row]:
    """The doubts of each finding of a set, and whether it matches the gold in all five fields."""
    found: list[Row] = []
    for line in (ROOT / f"tests/cases/{name}.jsonl").read_text("utf-8").splitlines():
        gold = json.loads(line)
        Watched.said.clear()
        out = extractor.read(gold["text"]).findings
        cells = [{key: getattr(finding, key) for key in score.FINDING_KEYS} for finding in out]
        right = set(score.match(gold.get("findings", []), cells, same).values())
        found += [(frozenset(doubts), at in right) for at, doubts in enumerate(Watched.said)]
    return found


def kept() -> dict[str, list[Row]]:
    """The findings of each set that was scored before it was read."""
    found: dict[str, list[Row]] = {}
    for line in BLIND.read_text("utf-8").splitlines():
        row = json.loads(line)
        found.setdefault(row["set"], []).append((frozenset(row["doubts"]), row["right"]))
    return found


def fit(known: list[Row], blind: list[Row]) -> confidence.Table:
    """A table: weights from all rows for doubts seen 15 times or more, at or below 0 by projected gradient steps, rounded;
    shares from the blind ones."""
    counts = Counter(doubt for doubts, _ in known for doubt in doubts)
    names = sorted(doubt for doubt, count in counts.items() if count >= 15)
    x = np.array([[name in doubts for name in names] for doubts, _ in known], float)
    y = np.array([right for _, right in known], float)
    weights, base = np.zeros(len(names)), 1.0
    for _ in range(2000):
        gap = 1 / (1 + np.exp(-(x @ weights + base))) - y
        weights = np.minimum(weights - 0.5 * (x.T @ gap + 2 * weights) / len(y), 0)
        base -= 0.5 * gap.mean()
    points = {name: round(10 * weight) for name, weight in zip(names, weights, strict=True) if round(10 * weight)}
    return confidence.Table(points, bins(points, blind))


def bins(points: dict[str, int], known: list[Row]) -> tuple[tuple[int, float], ...]:
    """Rising steps: groups of GROUP or more by points, joined where a better sum was right less often."""
    by_sum: dict[int, list[bool]] = {}
    for doubts, right in known:
        by_sum.setdefault(sum(points.get(doubt, 0) for doubt in doubts), []).append(right)
    steps: list[tuple[int, list[bool]]] = []
    for end in sorted(by_sum):
        group = by_sum[end]
        while steps and (len(steps[-1][1]) < GROUP or np.mean(steps[-1][1]) >= np.mean(group)):
            group = steps.pop()[1] + group
        steps.append((end, group))
    if len(steps) > 1 and len(steps[-1][1]) < GROUP:
        last = steps.pop()[1]
        steps.append((0, steps.pop()[1] + last))
    shares = np.maximum.accumulate([(sum(group) + 1) / (len(group) + 2) for _, group in steps])
    ends = [end for end, _ in steps[:-1]] + [0]
    return tuple((end, round(float(share), 3)) for end, share in zip(ends, shares, strict=True))


def report(sure: np.ndarray[Any, Any], right: np.ndarray[Any, Any]) -> None:
    """Precision, the surest 80 %, the largest surest share that is 97 % right, the calibration error in ten bins."""
    order = np.argsort(-sure, kind="stable")
    ranked, ends = right[order], np.append(np.diff(sure[order]) != 0, True)
    share = np.cumsum(ranked) / np.arange(1, len(ranked) + 1)
    good = [at + 1 for at in range(len(ranked)) if ends[at] and share[at] >= 0.97]
    slot = np.minimum((sure * 10).astype(int), 9)
    error = sum(abs(sure[slot == n].sum() - right[slot == n].sum()) for n in range(10)) / len(sure)
    print(f"findings {len(right)}, right {right.mean():.3f}, mean confidence {sure.mean():.3f}")
    print(f"surest 80 %: {share[int(0.8 * len(ranked)) - 1]:.3f} right; surest 50 %: {share[len(ranked) // 2 - 1]:.3f}")
    print(f"surest share that is 97 % right: {max(good, default=0) / len(ranked):.3f}; calibration error {error:.3f}")
    for least in (0.8, 0.85, 0.9):
        held = right[sure >= least]
        print(f"at {least} and above: {len(held)} findings, {held.mean() if len(held) else 0:.3f} right")


def write(made: confidence.Table) -> None:
    """The data file."""
    cells = "\n".join(f"  [{end}, {share}]," for end, share in made.bins)
    points = "\n".join(f"{name} = {cost}" for name, cost in sorted(made.points.items(), key=lambda item: item[1]))
    DATA.write_text(f"{HEAD}\nbins = [\n{cells}\n]\n\n[points]\n{points}\n", "utf-8")


def main() -> None:
    """Print the figures with one blind set left out at a time; with --write make the table from all."""
    findings.Doubter = Watched  # type: ignore[misc, attr-defined]
    extractor = build()
    if "--keep" in sys.argv:
        name, commit = sys.argv[sys.argv.index("--keep") + 1 :][:2]
        for doubts, is_right in rows(name, extractor):
            print(json.dumps({"set": name, "commit": commit, "doubts": sorted(doubts), "right": is_right}))
        return
    blind = kept()
    known = {name: rows(name, extractor) for name in SETS if name not in blind}
    learnt = [row for name in known for row in known[name]]
    sure, right = [], []
    for name in blind:
        others = [row for other in blind if other != name for row in blind[other]]
        made = fit([*learnt, *others], others)
        own = [made.sure(doubts) for doubts, _ in blind[name]]
        sure, right = sure + own, right + [is_right for _, is_right in blind[name]]
        print(f"{name}: {len(own)} findings, right {np.mean(right[-len(own) :]):.3f}, said {np.mean(own):.3f}")
    report(np.array(sure), np.array(right, float))
    if "--write" in sys.argv:
        all_blind = [row for name in blind for row in blind[name]]
        write(fit([*learnt, *all_blind], all_blind))


if __name__ == "__main__":
    main()
