"""How many of the ways to say one plain fact are understood: 20,000 sentences by six people who knew none of the tables.

Run: python tests/benchmarks/wordings.py [BATCH | PART ...] [--missed]; --missed prints what is not understood, by part and
condition. Comes in: tests/cases/wordings.tsv (batch, component, condition, sentence). Batches: a1 to a3 unusual wordings that
were learnt from, b1 ordinary ones that were not, n1 names of parts, m1 what a recogniser might write for parts and conditions.
"""

import sys
from collections import Counter, defaultdict
from pathlib import Path

from fieldnote import bootstrap
from fieldnote.extract import Extractor

WORDINGS = Path(__file__).parents[1] / "cases/wordings.tsv"


def understood(extractor: Extractor, component: str, condition: str, sentence: str) -> bool:
    """Whether a sentence gives that one finding and no other."""
    found = [(f.component, f.condition, f.status) for f in extractor.read(sentence).findings]
    return found == [(component, condition, "present")]


def main(wanted: set[str], *, missed: bool) -> None:
    """Prints the share of each batch and part."""
    extractor, shares = bootstrap.extractor(), defaultdict(Counter)
    for line in WORDINGS.read_text("utf-8").splitlines():
        batch, component, condition, sentence = line.split("\t")
        if wanted and not wanted & {batch, component}:
            continue
        right = understood(extractor, component, condition, sentence)
        shares[batch][right] += 1
        shares[component][right] += 1
        if missed and not right:
            print(f"{component}\t{condition}\t{sentence}")
    for name, share in shares.items():
        print(f"{name:20} {share[True]:5} of {share.total():5} {share[True] / share.total():.3f}")


if __name__ == "__main__":
    main({word for word in sys.argv[1:] if word != "--missed"}, missed="--missed" in sys.argv)
