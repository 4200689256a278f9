"""What `fieldnote --help` costs beside `python -c 'import click'`: medians of alternating runs, and their ratio."""

import statistics
import subprocess
import sys
import time
from pathlib import Path

RUNS = 15
OURS = [str(Path(sys.executable).parent / "fieldnote"), "--help"]
THEIRS = [sys.executable, "-c", "import click"]


def seconds(command: list[str]) -> float:
    """Wall seconds of one run."""
    started = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - started


if __name__ == "__main__":
    pairs = [(seconds(OURS), seconds(THEIRS)) for _ in range(RUNS + 1)][1:]
    ours, theirs = (statistics.median(side) for side in zip(*pairs, strict=True))
    print(f"fieldnote --help {ours:.3f} s, import click {theirs:.3f} s, ratio {ours / theirs:.2f}")
