"""How far `Finding.confidence` can be believed, and the weights behind it.

Run: python tests/benchmarks/calibration.py [--write]; --write makes cues/confidence.txt anew. The weights come from what was
read of each set before anybody had read it (`tests/benchmarks/blind.jsonl`) and, counted less, from what is read today of the
learnt sets and of the golden cases; never from UNREAD or FITTED. The figures leave out a fifth of the blind sets at a time.
`--keep SET COMMIT` prints the lines of a set for that file: run it before the set is read.
"""

import functools
import json
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from ridge import ridge
from scipy.optimize import minimize

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests"))
import score  # noqa: E402

from fieldnote.extract import build, confidence, marks  # noqa: E402
from fieldnote.extract.draft import Draft  # noqa: E402
from fieldnote.extract.facts.reader import Reader  # noqa: E402
from fieldnote.extract.facts.story import Fact  # noqa: E402
from fieldnote.extract.figures import readings  # noqa: E402
from fieldnote.extract.phrases import mentions  # noqa: E402
from fieldnote.extract.signs import Watcher  # noqa: E402
from fieldnote.extract.words import tokens  # noqa: E402
from fieldnote.records import Action  # noqa: E402

UNREAD = frozenset({"own-19", "own-41", "own-43", "own-49", "own-50", "own-54", "own-55"})
_SETS = [*(f"dev-{n}" for n in range(2, 7)), *(f"own-{n}" for n in range(1, 89)), "plain-1", "plain-2"]
FITTED = frozenset({"own-56", "own-57", "own-58", "own-59"})  # unread too: on them `joining` is fitted
LEARNT = [name for name in _SETS if name not in UNREAD | FITTED]
LEARNT_WEIGHT, GOLDEN_WEIGHT = 0.6, 0.3  # of a finding of a learnt set or golden case beside a blind one
RIDGE = 10.0
SEEN = 3  # a sign seen less often weighs nothing
LEAST = 0.03  # logits: smaller weights are left out
BLIND = ROOT / "tests/benchmarks/blind.jsonl"
DATA = ROOT / "fieldnote/extract/cues/confidence.txt"


@dataclass(frozen=True, slots=True)
class Row:
    """One finding: its set, its signs with what they are counted beside, whether all five fields are right."""

    set: str
    names: tuple[tuple[str, str], ...]
    right: bool


def cases(name: str) -> dict[str, Any]:
    """The dictations of a set by their ids."""
    lines = (ROOT / f"tests/cases/{name}.jsonl").read_text("utf-8").splitlines()
    return {case["id"]: case for case in map(json.loads, lines)}


def drafted(text: str) -> Draft:
    """A text with its mentions."""
    draft = Draft(text, tokens.tokens(_language().make_doc(text)))
    for step in (marks.run, readings.measure, mentions.run):
        step(draft)
    return draft


_language = functools.cache(tokens.language)


def same(gold: Any, out: Any) -> bool:
    """Whether all five fields match."""
    return bool(score.same_finding(gold, out, score.FINDING_KEYS))


def rows(name: str, case: Any, draft: Draft, facts: list[Fact]) -> Iterator[Row]:
    """The findings of a dictation, each with its signs."""
    cells = [{key: getattr(fact, key) for key in score.FINDING_KEYS} for fact in facts]
    right = set(score.match(case.get("findings", []), cells, same).values())
    watcher = Watcher(draft, facts)
    for at, fact in enumerate(facts):
        beside = ("", fact.status, fact.condition or "-")
        signs = dict.fromkeys(watcher.signs(fact))
        yield Row(name, (("", ""), *((sign, one) for sign in signs for one in beside)), at in right)


def kept() -> Iterator[Row]:
    """The findings of each set that was scored before it was read, as they were read then."""
    sets: dict[str, dict[str, Any]] = {}
    for line in map(json.loads, BLIND.read_text("utf-8").splitlines()):
        name = line["set"]
        if name in UNREAD | FITTED:
            continue
        if name not in sets:
            sets[name] = cases(name)
        case = sets[name][line["case"]]
        draft = drafted(case["text"])
        yield from rows(name, case, draft, [fact_of(cells, draft) for cells in line["facts"]])


def fact_of(cells: list[Any], draft: Draft) -> Fact:
    """A fact from its line in the file: characters become tokens of today."""
    component, position, burner, condition, status, acts, start, end, cues, corrected = cells
    first = next((at for at, token in enumerate(draft.tokens) if token.end > start), 0)
    last = max((at for at, token in enumerate(draft.tokens) if token.start < end), default=first)
    actions = [Action(*act.split("/")) for act in acts.split()]
    before = "present" if corrected else None
    return Fact(
        component,
        position,
        burner,
        condition,
        status,
        first,
        last + 1,
        None,
        None,
        False,
        actions,
        before,
        cues.split(),
    )


def read_now(names: list[str]) -> Iterator[Row]:
    """The findings of learnt sets as they are read today."""
    for name in names:
        for case in cases(name).values():
            draft = drafted(case["text"])
            yield from rows(name, case, draft, Reader(draft).read())


def golden() -> Iterator[Row]:
    """The findings of the golden cases, sentences of one fact or a few: all right, for a test holds them."""
    for path in sorted((ROOT / "tests/cases/findings").glob("*.txt")):
        draft = drafted(path.read_text("utf-8").partition("---\n")[0].strip())
        for row in rows("golden", {}, draft, Reader(draft).read()):
            yield replace(row, right=True)


def fit(known: list[Row], weights: np.ndarray[Any, Any]) -> confidence.Table:
    """The weights of the signs, alone and beside what they stand beside."""
    yes = [row.right for row in known]
    found = ridge([row.names for row in known], yes, weights, ("", ""), seen=SEEN, strength=RIDGE)
    made: dict[str, dict[str, float]] = {}
    for (sign, beside), weight in found.items():
        made.setdefault(sign, {})[beside] = weight
    return confidence.Table(made)


def logits(made: confidence.Table, some: list[Row]) -> np.ndarray[Any, Any]:
    """The sums of the weights."""
    return np.array([sum(made.weights.get(sign, {}).get(one, 0.0) for sign, one in row.names) for row in some])


def level(sums: np.ndarray[Any, Any], right: np.ndarray[Any, Any]) -> tuple[float, float]:
    """The slope and shift that make sums of others' weights true to the share that is right."""

    def loss(line: np.ndarray[Any, Any]) -> float:
        return float(np.logaddexp(0, -(2 * right - 1) * (line[0] * sums + line[1])).sum())

    slope, shift = minimize(loss, np.array([1.0, 0.0]), method="Nelder-Mead").x
    return float(slope), float(shift)


def write(made: confidence.Table, slope: float, shift: float) -> None:
    """The data file: a sign a line, its weights rounded, the smallest left out."""
    lines = []
    for sign, row in sorted(made.weights.items()):
        cells = {one: round(slope * weight + (shift if sign == "" else 0), 2) for one, weight in row.items()}
        told = [
            f"{one} {weight:g}".strip() for one, weight in sorted(cells.items()) if abs(weight) >= LEAST or not sign
        ]
        if told:
            lines.append("\t".join([sign, *told]))
    confidence.strict(lines)
    DATA.write_text("\n".join(lines) + "\n", "utf-8")
    print(f"{len(lines)} signs, {DATA.stat().st_size // 1000} kB")


def report(sure: np.ndarray[Any, Any], right: np.ndarray[Any, Any], wanted: int) -> None:
    """Precision, the surest 80 %, the largest surest share that is 97 % right, the calibration error in ten bins; what is lost
    and won where less sure ones are not filed. `wanted`: how many findings the labels ask for."""
    order = np.argsort(-sure, kind="stable")
    ranked, ends = right[order], np.append(np.diff(sure[order]) != 0, True)
    share = np.cumsum(ranked) / np.arange(1, len(ranked) + 1)
    good = [at + 1 for at in range(len(ranked)) if ends[at] and share[at] >= 0.97]
    slot = np.minimum((sure * 10).astype(int), 9)
    error = sum(abs(sure[slot == n].sum() - right[slot == n].sum()) for n in range(10)) / len(sure)
    print(f"findings {len(right)}, right {right.mean():.3f}, mean confidence {sure.mean():.3f}")
    print(f"surest 80 %: {share[int(0.8 * len(ranked)) - 1]:.3f} right; surest 50 %: {share[len(ranked) // 2 - 1]:.3f}")
    print(f"surest share that is 97 % right: {max(good, default=0) / len(ranked):.3f}; calibration error {error:.3f}")
    for least in (0.8, 0.9, 0.95):
        held = right[sure >= least]
        print(f"at {least} and above: {len(held)} findings, {held.mean() if len(held) else 0:.3f} right")
    for least in (0, 0.3, 0.4, 0.45, 0.5, 0.6):
        held = right[sure >= least]
        surest = right[order][: int(0.8 * len(held))].mean()
        print(
            f"filed from {least}: {len(held)}, {held.mean():.3f} right, F1 about {2 * held.sum() / (len(held) + wanted):.3f}, "
            f"surest 80 % of these {surest:.3f}"
        )


def main() -> None:
    """Print the figures with a fifth of the blind sets left out at a time; with --write make the table from all."""
    build()  # the words and their tree, once
    if "--keep" in sys.argv:
        name, commit = sys.argv[sys.argv.index("--keep") + 1 :][:2]
        for case in cases(name).values():
            print(json.dumps(line_of(name, commit, case), separators=(",", ":")))
        return
    blind = list(kept())
    learnt, examples = list(read_now(LEARNT)), list(golden())
    known = [*blind, *learnt, *examples]
    share = np.repeat([1, LEARNT_WEIGHT, GOLDEN_WEIGHT], [len(blind), len(learnt), len(examples)])
    names = sorted({row.set for row in blind})
    sums, right = np.zeros(len(blind)), np.array([row.right for row in blind], float)
    wanted = sum(
        not gold.get("optional") for name in names for case in cases(name).values() for gold in case["findings"]
    )
    for fold in range(5):
        out = set(names[fold::5])
        held = [n for n, row in enumerate(known) if row.set not in out]
        at = [n for n, row in enumerate(blind) if row.set in out]
        sums[at] = logits(fit([known[n] for n in held], share[held]), [blind[n] for n in at])
    slope, shift = level(sums, right)
    report(1 / (1 + np.exp(-(slope * sums + shift))), right, wanted)
    print(f"slope {slope:.2f}, shift {shift:.2f}")
    if "--write" in sys.argv:
        write(fit(known, share), slope, shift)


def line_of(name: str, commit: str, case: Any) -> dict[str, Any]:
    """What the rules make of a dictation today, as `blind.jsonl` keeps it: `outcome` learns from that what they miss."""
    draft = drafted(case["text"])
    told = []
    for fact in Reader(draft).read():
        words = draft.evidence(fact.start, fact.end)
        acts = " ".join(f"{action.kind}/{action.state}" for action in fact.actions)
        fields = [fact.component, fact.position, fact.burner, fact.condition, fact.status]
        told.append([*fields, acts, words.start, words.end, " ".join(fact.cues), fact.superseded is not None])
    return {"set": name, "case": case["id"], "commit": commit, "facts": told}


if __name__ == "__main__":
    main()
