"""How what the rules read and what the taught reader hears are joined: fits fieldnote/extract/taught/joining.toml.

Run: python tests/benchmarks/joining.py [--write]; on the sets that neither had seen (FITTED), a set left out at a time; then
what UNREAD gives. --write makes the file anew from all of FITTED.
"""

import json
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from calibration import FITTED, ROOT, UNREAD, cases, report, score
from scipy.optimize import minimize

from fieldnote import bootstrap, settings
from fieldnote.extract import findings
from fieldnote.extract.draft import Draft
from fieldnote.extract.pipeline import STEPS
from fieldnote.extract.taught import joining
from fieldnote.extract.taught.joining import KINDS, RULE, Candidate, what
from fieldnote.extract.taught.reading import Taught
from fieldnote.extract.words import tokens

STRENGTH = 1.0  # of the ridge
Weights = dict[str, dict[str, float]]


@dataclass(frozen=True, slots=True)
class Case:
    """A dictation: its set, its labels, what may be filed of it, and which of that is right."""

    set: str
    labels: list[Any]
    ways: list[list[Candidate]]
    right: list[list[bool]]


def cells(one: Candidate) -> dict[str, str | None]:
    """A candidate's five fields by name."""
    return dict(zip(score.FINDING_KEYS, what(one.finding), strict=True))


def same(label: Any, out: Any) -> bool:
    """Whether all five fields match."""
    return bool(score.same_finding(label, out, score.FINDING_KEYS))


def read(name: str, taught: Taught) -> Iterator[Case]:
    """The dictations of a set with their candidates."""
    steps = STEPS[: [step.name for step in STEPS].index("taught")]
    language = tokens.language()
    for case in cases(name).values():
        draft = Draft(case["text"], tokens.tokens(language.make_doc(case["text"])))
        for step in steps:
            step.run(draft)
        ways = list(joining.candidates(draft, taught))
        ruled = [several[0] for several in ways if several[0].kind == RULE]
        pairs = score.match(case["findings"], [cells(one) for one in ruled], same)
        owner = {id(ruled[out]): label for label, out in pairs.items()}
        left = set(range(len(case["findings"]))) - set(pairs)
        right = []
        for several in ways:
            own = {owner[id(several[0])]} if id(several[0]) in owner else set()
            hits = []
            for one in several:
                of_rule = one.kind == RULE
                among = own if of_rule else own | left
                hit = next((n for n in sorted(among) if same(case["findings"][n], cells(one))), None)
                hits.append(hit is not None)
                if not of_rule:
                    left.discard(-1 if hit is None else hit)
            right.append(hits)
        yield Case(name, case["findings"], ways, right)


def fit(known: Sequence[Case]) -> Weights:
    """Logistic regression for each kind of candidate, with a ridge."""
    made: Weights = {}
    for kind in KINDS:
        rows = [
            (one.signs, hit)
            for case in known
            for several, hits in zip(case.ways, case.right, strict=True)
            for one, hit in zip(several, hits, strict=True)
            if one.kind == kind and one.signs
        ]
        names = sorted({name for signs, _ in rows for name in signs})
        sizes = np.array([[1.0, *(signs.get(name, 0.0) for name in names)] for signs, _ in rows])
        sides = np.array([1.0 if hit else -1.0 for _, hit in rows])

        def loss(w: np.ndarray, sizes: np.ndarray = sizes, sides: np.ndarray = sides) -> tuple[float, np.ndarray]:  # type: ignore[type-arg]
            sums = sides * (sizes @ w)
            ridge = np.array([0.0, *w[1:]])
            slope = -sides / (1 + np.exp(sums))
            return float(
                np.logaddexp(0, -sums).sum() + STRENGTH / 2 * ridge @ ridge
            ), sizes.T @ slope + STRENGTH * ridge

        found = minimize(loss, np.zeros(len(names) + 1), jac=True, method="L-BFGS-B").x
        made[kind] = dict(zip(["bias", *names], (round(float(w), 3) for w in found), strict=True))
    return made


def tallied(some: Sequence[Case], weights: Weights | None) -> dict[str, float]:
    """The scorer's row of findings; without weights as the rules alone file them."""
    tally = score.Tally()
    for case in some:
        if weights:
            outs = [one for one in joining.joined(case.ways, weights) if joining.filed(one)]
        else:
            outs = [ways[0].finding for ways in case.ways if ways[0].kind == RULE and findings.trusted(ways[0].finding)]
        told = [dict(zip(score.FINDING_KEYS, what(one), strict=True)) for one in outs]
        tally.add(case.labels, told, score.match(case.labels, told, same))
    row: dict[str, float] = tally.row()
    return row


def trust(some: Sequence[Case], weights: Weights) -> None:
    """How far the joined confidence can be believed."""
    sure, right, wanted = [], [], 0
    for case in some:
        outs = joining.joined(case.ways, weights)
        told = [dict(zip(score.FINDING_KEYS, what(one), strict=True)) for one in outs]
        hit = set(score.match(case.labels, told, same).values())
        sure += [one.confidence for one in outs]
        right += [n in hit for n in range(len(outs))]
        wanted += sum(not label.get("optional") for label in case.labels)
    report(np.array(sure), np.array(right, float), wanted)


def written(weights: Weights) -> str:
    """The data file."""
    tables = [
        f"[{kind}]\n" + "".join(f"{json.dumps(sign)} = {weight:.3f}\n" for sign, weight in weights[kind].items())
        for kind in KINDS
    ]
    return "\n".join(["# made by tests/benchmarks/joining.py: what each sign counts, in logits", *tables])


def main() -> None:
    """Print the figures; with --write make the file."""
    folder, why = bootstrap.taught(settings.load())
    if folder is None:
        raise SystemExit(why)
    taught = Taught(folder)
    fitted = [case for name in sorted(FITTED) for case in read(name, taught)]
    print("FITTED, rules alone", tallied(fitted, None))
    folds = [
        ([one for one in fitted if one.set != name], [one for one in fitted if one.set == name])
        for name in sorted(FITTED)
    ]
    for name, (others, own) in zip(sorted(FITTED), folds, strict=True):
        print(name, tallied(own, None)["f1"], "joined", tallied(own, fit(others)))
    weights = fit(fitted)
    unread = [case for name in sorted(UNREAD) for case in read(name, taught)]
    print("UNREAD, rules alone", tallied(unread, None), "joined", tallied(unread, weights))
    trust(unread, weights)
    if "--write" in sys.argv:
        text = written(weights)
        joining.strict(text)
        (ROOT / "fieldnote/extract/taught/joining.toml").write_text(text, "utf-8")


if __name__ == "__main__":
    main()
