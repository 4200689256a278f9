"""How fast words become findings, beside a plain spaCy tokenizer on the same text; and how cost grows with length.

Run: python tests/benchmarks/extract_speed.py
"""

import resource
import time
from pathlib import Path

BEGUN = time.perf_counter()


def words(count: int) -> str:
    """So many words of dictation, from the practice texts."""
    import json

    rows = (Path(__file__).parents[1] / "cases/dev.jsonl").read_text("utf-8").splitlines()
    said = " ".join(json.loads(row)["text"] for row in rows).split()
    return " ".join((said * (count // len(said) + 1))[:count])


def seconds(work: object, text: str) -> float:
    """Time of one call."""
    start = time.perf_counter()
    work(text)  # type: ignore[operator]
    return time.perf_counter() - start


def peak() -> float:
    """The most memory so far, in MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    """Print start, rate, growth and memory, each as a ratio to a named alternative where there is one."""
    from fieldnote import bootstrap

    extractor = bootstrap.extractor()  # as the commands have it: the tree of wordings kept from the run before
    extractor.read("front left electrode cracked")
    print(f"start to first result: {time.perf_counter() - BEGUN:.2f} s, {peak():.0f} MB")
    extractor.read(words(100_000))
    print(f"100,000 words read: {peak():.0f} MB")

    import spacy

    plain = spacy.blank("en")
    plain.max_length = 20_000_000
    text = words(20_000)
    extractor.read(text)
    ours, theirs = seconds(extractor.read, text), seconds(plain, text)
    print(f"20,000 words: {20_000 / ours:,.0f} words/s, {ours / theirs:.1f} times a plain spaCy tokenizer")
    costs = [(count, seconds(extractor.read, words(count))) for count in (12_500, 25_000, 50_000, 100_000)]
    for (count, cost), (_, before) in zip(costs[1:], costs, strict=False):
        print(f"{count:,} words: {cost:.2f} s, {cost / before:.2f} times half the text")


if __name__ == "__main__":
    main()
