"""Where talk without marks pauses: the weights of `extract/pauses.py`, and how well they find the marks of marked texts.

Run: python tests/benchmarks/pauses.py [--write]; --write makes cues/pauses.txt anew instead of telling figures. Marked texts of
the learnt sets are stripped of their marks and capitals and read so; what is to be told is behind which words marks stood. The
figures leave out a fifth of the sets at a time.
"""

import json
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any

import numpy as np
from calibration import LEARNT, ROOT, cases
from ridge import ridge

from fieldnote.extract import build, confidence, pauses
from fieldnote.extract.draft import Draft
from fieldnote.extract.figures import readings
from fieldnote.extract.phrases import mentions
from fieldnote.extract.words import tokens

DATA = ROOT / "fieldnote/extract/cues/pauses.txt"
MARKED = 14  # a text with a mark to every so many words has all its marks
RIDGE = 8.0
SEEN = 8  # a sign seen less often weighs nothing
LEAST = 0.2  # logits: smaller weights are left out
FOLDS = 5
_MARKS = re.compile(r"[.,;:!?](?=\s|$)|(?<=\s)[-\u2013\u2014](?=\s)|[\u2026\"()]")


@dataclass(frozen=True, slots=True)
class Gap:
    """Between two words: the set, the signs, whether a mark stood there."""

    set: str
    names: tuple[str, ...]
    marked: bool


def gaps(name: str) -> Iterator[Gap]:
    """The gaps of the marked texts of a set."""
    language = tokens.language()
    for case in cases(name).values():
        said = tokens.tokens(language.make_doc(case["text"]))
        if sum(1 for token in said if token.pause) * MARKED < len(said):
            continue
        text = _MARKS.sub("", case["text"]).lower()
        draft = Draft(text, tokens.tokens(language.make_doc(text)))
        readings.measure(draft)
        mentions.run(draft)
        here = _same_words([token.norm for token in draft.tokens], [token.norm for token in said])
        for at, signs in enumerate(pauses.gaps(draft.tokens, draft.mentions)):
            if at in here and here.get(at + 1) == here[at] + 1:
                yield Gap(name, ("", *signs), bool(said[here[at]].pause))


def _same_words(plain: list[str], marked: list[str]) -> dict[int, int]:
    """Which word of the marked text each word of the plain one is."""
    blocks = SequenceMatcher(a=plain, b=marked, autojunk=False).get_matching_blocks()
    return {one.a + n: one.b + n for one in blocks for n in range(one.size)}


def fit(known: list[Gap]) -> dict[str, float]:
    """The weights of the signs, the smallest left out."""
    marked, alike = [gap.marked for gap in known], np.ones(len(known))
    found = ridge([gap.names for gap in known], marked, alike, "", seen=SEEN, strength=RIDGE)
    return {name: weight for name, weight in found.items() if abs(weight) >= LEAST or not name}


def likely(weights: dict[str, float], some: list[Gap]) -> np.ndarray[Any, Any]:
    """How likely a mark is in each gap."""
    return np.array([1 / (1 + np.exp(-sum(weights.get(name, 0.0) for name in gap.names))) for gap in some])


def main() -> None:
    """Tell the figures, or write the data file."""
    build()
    known = [gap for name in LEARNT if not name.startswith("plain") for gap in gaps(name)]
    if "--write" in sys.argv:
        lines = [f"{name}\t{round(weight, 2):g}" for name, weight in sorted(fit(known).items())]
        confidence.strict(lines)
        DATA.write_text("\n".join(lines) + "\n", "utf-8")
        print(f"{len(lines)} signs, {DATA.stat().st_size // 1000} kB, from {len(known)} gaps")
        return
    sets = sorted({gap.set for gap in known})
    found, marked, size = [], [], 0
    for fold in range(FOLDS):
        out = set(sets[fold::FOLDS])
        weights = fit([gap for gap in known if gap.set not in out])
        left = [gap for gap in known if gap.set in out]
        found.append(likely(weights, left))
        marked.append(np.array([gap.marked for gap in left]))
        size = max(size, len(weights))
    chance, right = np.concatenate(found), np.concatenate(marked)
    print(json.dumps({"gaps": len(right), "marked": round(float(right.mean()), 3), "signs": size}))
    for least in (0.4, 0.5, pauses.LIKELY, 0.7, 0.8, 0.9):
        made = chance >= least
        print(
            f"from {least}: {right[made].mean():.3f} of the pauses made are marks, {made[right].mean():.3f} of the marks are made"
        )


if __name__ == "__main__":
    main()
