"""A fault at each file operation of one command: a kill, a torn write, a full disk, a failing disk, a disk gone read-only."""

import errno
import shutil

import pytest

from tests.faults.desk import again, done, kept
from tests.faults.harness import TALLY, holds

pytestmark = pytest.mark.skipif(shutil.which("cc") is None, reason="needs a C compiler")
STRIDE = 23

# command, and the notebook it starts from
CASES = [
    ("add", "base"), ("add", None), ("close", "base"), ("erase", "base"), ("backup", None), ("process", "waiting"),
    ("review", "base"), ("json", "base"), ("report", "base"), ("zip", "base"), ("bag", "base"), ("upgrade", "old"),
]  # fmt: skip


@pytest.mark.parametrize("kind", ["kill", "torn"])
@pytest.mark.parametrize(("command", "start"), CASES)
def test_a_kill_at_any_operation_loses_nothing(shim, place, command, start, kind):
    """Killed at any file operation: nothing acknowledged is lost, twice or half there, and the same command makes it good."""
    met = place.points(shim, command, start, STRIDE)
    hits = 0
    for at in met:
        place.fresh(start)
        ended = place.run(shim, command, at=at, kind=kind)
        assert ended.status in (-9, 0), (at, ended)
        hits += ended.status == -9
        holds(place.work, ended.told)
        kept(place, command, ended)
        again(shim, place, command)
    TALLY[f"{kind} at an operation of {command}"] += hits
    assert hits >= 0.6 * len(met)  # two notes filed in one go take fewer operations than one after the other


@pytest.mark.parametrize("lasts", [False, True], ids=["once", "for good"])
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO, errno.EROFS], ids=["full", "failing", "read-only"])
@pytest.mark.parametrize(("command", "start"), CASES)
def test_a_failing_disk_is_told_and_loses_nothing(shim, place, command, start, number, lasts):
    """An error at any file operation: no traceback, no success with fewer records, nothing acknowledged is lost."""
    for at in place.points(shim, command, start, 2 * STRIDE + 1):
        place.fresh(start)
        ended = place.run(shim, command, at=at, kind=number, lasts=lasts)
        assert "Traceback" not in ended.err and ended.status not in (70, 97, 98, 99), (at, ended)
        assert ended.status >= 0, (at, ended)
        if ended.status:
            lines = [line for line in ended.err.splitlines() if line.startswith("fieldnote: ")]
            assert len(lines) == 1, (at, ended)
        elif "FN-" not in ended.out:  # a person at the terminal was told, and saw the same card again
            done(place, command)
        holds(place.work, ended.told)
        kept(place, command, ended)
        again(shim, place, command)
        TALLY[f"{errno.errorcode[number]} at an operation of {command}"] += 1
