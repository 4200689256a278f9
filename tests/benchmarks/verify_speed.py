"""How long checking a notebook takes beside `sha256sum` of the same media, with a warm file cache.

python tests/benchmarks/verify_speed.py [MEGABYTES RECORDS]
"""

import hashlib
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from fieldnote.notebook import Notebook, verify
from fieldnote.records import Incoming

EACH = 4_000_000


def sums(book: Path) -> None:
    """What is compared with."""
    command = f"find {book}/media -type f | xargs sha256sum"
    subprocess.run(command, shell=True, stdout=subprocess.DEVNULL, check=True)


def seconds(work: Callable[[], None]) -> float:
    """How long it takes."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def main() -> None:
    megabytes, records = (int(word) for word in sys.argv[1:3]) if len(sys.argv) > 2 else (2000, 20_000)
    with tempfile.TemporaryDirectory() as scratch:
        path = Path(scratch) / "one"
        with Notebook.open(Path(scratch) / "book", create=True) as book:
            for _ in range(megabytes * 1_000_000 // EACH):
                content = os.urandom(EACH)
                path.write_bytes(content)
                book.file(
                    Incoming(path, "photo", hashlib.sha256(content).hexdigest(), EACH, facts={"format": "jpeg"}), None
                )
            with book._writing():  # one transaction: what is measured is the check
                for number in range(records):
                    book._append("transcript", {"text": f"cap cracked {number}" * 20}, None, str(number), ())
        before = seconds(lambda: sums(book.path))
        began = time.perf_counter()
        report = verify(book.path)
        ours = time.perf_counter() - began
        plain = min(before, seconds(lambda: sums(book.path)))  # the cache is warmer and the machine other than before
    print(f"{report.media} media, {report.size / 1e6:.0f} MB, {report.records} records, sound: {report.sound}")
    print(f"sha256sum {plain:.2f} s; verify {ours:.2f} s; throughput {plain / ours:.2f} of it")


if __name__ == "__main__":
    main()
