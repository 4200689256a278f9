"""How long the first 20 hits take over a million lines, beside `grep -m 20` over the same lines in a file.

python tests/benchmarks/search_speed.py [LINES]
"""

import random
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from fieldnote.notebook import Notebook

PARTS = "burner cap injector spindle thermocouple electrode seal washer flue baffle hotplate knob valve jet pan grid".split()
STATES = "cracked worn loose perished corroded blocked clean tight seized missing bent scorched".split()
BATCH = 2_000
ASKED = ("cracked", "burner cracked", "thermocouple seized rear", "perish*", "rare", "cap bent 777*")


def line(chance: random.Random, number: int) -> str:
    words = [chance.choice(some) for some in (PARTS, STATES, ("front", "rear"), ("left", "right"))]
    return f"{' '.join(words)} {number} mbar" + (" rare" if number % 100_000 == 7 else "")


def main() -> None:
    lines = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    chance = random.Random(1)
    with tempfile.TemporaryDirectory() as scratch:
        plain = Path(scratch) / "lines.txt"
        with Notebook.open(Path(scratch) / "book", create=True) as book, plain.open("w") as file:
            for start in range(0, lines, BATCH):
                texts = [(str(n), line(chance, n)) for n in range(start, min(lines, start + BATCH))]
                book.append("note", {}, texts=texts)
                file.writelines(f"{words}\n" for _, words in texts)
        worst = 0.0
        with Notebook.open(Path(scratch) / "book", write=False) as book:
            for asked in ASKED:
                times = []
                for _ in range(5):
                    began = time.perf_counter()
                    hits = book.search(asked, 20)
                    times.append(time.perf_counter() - began)
                worst = max(worst, max(times))
                print(f"{asked!r}: {len(hits)} hits, median {1000 * statistics.median(times):.1f} ms")
        began = time.perf_counter()
        subprocess.run(["grep", "-m", "20", "rare", plain], stdout=subprocess.DEVNULL, check=True)
        beside = time.perf_counter() - began
    print(f"{lines} lines: worst {1000 * worst:.1f} ms; grep 'rare' {1000 * beside:.1f} ms; ratio {worst / beside:.2f}")


if __name__ == "__main__":
    main()
