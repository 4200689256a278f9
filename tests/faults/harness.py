"""Faults on purpose: the shim built and loaded, commands run under it, and what must hold afterwards.

`FAULTS=full` in the environment means every point and every round; without it a fixed slice of them is run.
"""

import json
import os
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from fieldnote.notebook import Notebook, verify

HERE = Path(__file__).parent
FULL = os.environ.get("FAULTS") == "full"
TALLY: Counter[str] = Counter()  # what was done, for the summary at the end of a run


@dataclass(frozen=True)
class Ended:
    """How a command ended."""

    status: int
    out: str
    err: str
    seconds: float = 0.0

    @property
    def told(self) -> list[dict[str, Any]]:
        """The acknowledged records: whole lines of standard output."""
        return [
            json.loads(line) for line in self.out.splitlines(keepends=True) if line.endswith("\n") and line[0] == "{"
        ]


class Shim:
    """Commands under the shim. One process has the program loaded and forks for each command."""

    def __init__(self, build: Path) -> None:
        library = build / "shim.so"
        subprocess.run(["cc", "-O1", "-shared", "-fPIC", "-o", library, HERE / "shim.c", "-ldl"], check=True)
        pipe = subprocess.PIPE
        self._runner = subprocess.Popen(
            [sys.executable, "-m", "tests.faults.runner"],
            stdin=pipe,
            stdout=pipe,
            text=True,
            cwd=HERE.parent.parent,
            env=os.environ | {"LD_PRELOAD": str(library)},
        )

    def close(self) -> None:
        assert self._runner.stdin and self._runner.stdout
        self._runner.stdin.close()
        self._runner.wait()
        self._runner.stdout.close()

    def run(
        self,
        argv: Sequence[object],
        under: Path,
        *,
        at: int = 0,
        kind: object = "",
        lasts: bool = False,
        log: Path | None = None,
        keys: str = "",
        kill_after: float | None = None,
    ) -> Ended:
        """Run one command; the fault, if any, meets the `at`-th file operation under the folder `under`.

        `keys` is what stands on its standard input; after `kill_after` seconds it is killed.
        """
        settings = {
            "FAULT_UNDER": str(under),
            "FAULT_AT": str(at),
            "FAULT_KIND": str(kind),
            "FAULT_LASTS": "1" if lasts else "0",
            "FAULT_LOG": str(log or ""),
            "FIELDNOTE_HOME": os.environ["FIELDNOTE_HOME"],
        }
        asked = {"argv": [str(a) for a in argv], "settings": settings, "keys": keys, "kill_after": kill_after}
        assert self._runner.stdin and self._runner.stdout
        print(json.dumps(asked), file=self._runner.stdin, flush=True)
        return Ended(**json.loads(self._runner.stdout.readline()))


def points(shim: Shim, argv: Sequence[object], folder: Path, log: Path, stride: int, keys: str = "") -> range:
    """The numbers of the file operations of a command, all of them in a full run, else every `stride`-th."""
    log.unlink(missing_ok=True)
    ended = shim.run(argv, folder, log=log, keys=keys)
    assert ended.status == 0, ended.err
    count = sum(1 for line in log.read_text().splitlines() if not line.startswith("told"))
    assert count > 5
    return range(1, count + 1, 1 if FULL else stride)


def fresh(base: Path | None, folder: Path) -> None:
    """Put the notebook in `folder` back to what it was before."""
    shutil.rmtree(folder, ignore_errors=True)
    if base is not None:
        shutil.copytree(base, folder)


def holds(folder: Path, told: Sequence[dict[str, Any]]) -> None:
    """Whatever happened: what was acknowledged is there, once, whole; the check passes; nothing stands in the way."""
    if not (folder / "notebook.db").exists():
        assert not told
        return
    if (folder / "notebook.db").stat().st_size and (before := check(folder)) is not None:
        assert before.sound, before.damage
    with Notebook.open(folder, create=True) as book:
        kept = [item.sha256 for item in book.items()]
        assert sorted(kept) == sorted(set(kept))
        for line in told:
            if line.get("status") in ("added", "already-here"):
                item = book.item(line["id"])
                assert item.sha256 == line["sha256"]
                assert book.media(item.sha256).stat().st_size == item.size
    assert list((folder / "drafts").iterdir()) == []
    report = verify(folder)
    assert report.sound, report.damage


def check(folder: Path):
    """The report on a notebook, or None where its making was cut off before the first record."""
    from fieldnote.errors import NotebookProblem

    try:
        report = verify(folder)
    except NotebookProblem as problem:
        assert problem.code in ("FN-503",), problem
        return None
    return report if report.records else None
