"""Count which words stand side by side in talk of this work, for `fieldnote/speech/company.txt`.

    count_company.py TEXTS.jsonl ... [--without TEXTS.jsonl ...]

Texts are those of practice sets that were learnt from; the trade's own wordings are counted with them. Pairs that stand once only
are left out: they belong to one text, not to how people talk.
"""

import argparse
import json
from collections import Counter
from itertools import pairwise
from pathlib import Path

from fieldnote.speech.company import plain_words
from fieldnote.trade.spoken import wordings

FEWEST = 2  # times that a pair must have been said
OUT = Path(__file__).parents[2] / "fieldnote" / "speech" / "company.txt"


def counted(texts: list[str]) -> str:
    """The file: a line for each word, with how often it was said and what stood behind it how often."""
    words: Counter[str] = Counter()
    behind: dict[str, Counter[str]] = {}
    for row in map(plain_words, [*texts, *wordings()]):
        words.update(row)
        for one, two in pairwise(row):
            behind.setdefault(one, Counter())[two] += 1
    lines = []
    for word in sorted(words):
        pairs = [f"{two} {n}" for two, n in sorted(behind.get(word, {}).items()) if n >= FEWEST]
        if words[word] >= FEWEST:
            lines.append(f"{word} {words[word]}: {', '.join(pairs)}".rstrip(" "))
    return "\n".join(lines) + "\n"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("texts", nargs="+", type=Path)
    parser.add_argument("--without", nargs="*", type=Path, default=[])
    given = parser.parse_args()
    left_out = {path.resolve() for path in given.without}
    files = [path for path in given.texts if path.resolve() not in left_out]
    OUT.write_text(counted([json.loads(line)["text"] for path in files for line in path.open()]), "utf-8")


if __name__ == "__main__":
    main()
