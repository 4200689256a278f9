"""Runs commands of the program, each in a fork of this process, with file faults as the shim makes them.

Started by `harness.py` with the shim loaded. In: one JSON object a line {"argv", "settings", "keys", "kill_after"}. Out: one a
line {"status", "out", "err", "seconds"}; a status below zero is the signal that ended it. Recordings are heard by an engine that
hears one sentence in everything; all else is the program itself, used once before the first fork so that forks start quickly.
"""

import contextlib
import io
import json
import os
import signal
import sys
import tempfile
import time
import traceback
from functools import cache
from pathlib import Path

from fieldnote import bootstrap
from fieldnote.cli import main
from tests import fakes

SAID = "front left electrode cracked, working pressure nineteen point eight millibar"


class OneSentence:
    """Hears the same sentence in every recording."""

    def hear(self, path, *, progress=None):
        return fakes.ScriptedEngine({path.read_bytes(): SAID}).hear(path, progress=progress)


def warm() -> None:
    """Use everything once, on a notebook that is thrown away."""
    bootstrap.recogniser = lambda _: OneSentence()
    bootstrap.extractor = cache(bootstrap.extractor)
    with tempfile.TemporaryDirectory() as folder, Path(os.devnull).open("w") as nowhere:
        os.environ["FIELDNOTE_HOME"] = folder
        (Path(folder) / "a.txt").write_text(SAID)
        book, asked, sys.stdin = f"{folder}/book", sys.stdin, io.StringIO()
        with contextlib.redirect_stdout(nowhere), contextlib.redirect_stderr(nowhere):
            for words in (
                ["visit", "new", "J-1"], ["add", f"{folder}/a.txt"], ["process"], ["keys", "new", "--engineer", "A"],
                ["export", "J-1", "--to", "bundle", "--output", f"{folder}/a.zip"], ["verify", f"{folder}/a.zip"],
                ["export", "--to", "json", "--output", f"{folder}/a.json"], ["review"], ["audit", book],
                ["report", "J-1", "--output", f"{folder}/a.html"], ["backup", f"{folder}/copy"], ["erase", "x", "--reason", "y"],
            ):  # fmt: skip
                with contextlib.suppress(SystemExit):
                    main(["--notebook", book, *words])
        sys.stdin = asked


def child(asked: dict, streams: list[int]) -> None:
    """The command, with its own standard streams."""
    for number, stream in enumerate(streams):
        os.dup2(stream, number)
    sys.stdin = os.fdopen(0, closefd=False)
    os.environ |= asked["settings"]
    try:
        main(asked["argv"])
    except SystemExit as ended:
        sys.stdout.flush()
        os._exit(ended.code if isinstance(ended.code, int) else 99)
    except BaseException:
        traceback.print_exc()
        sys.stderr.flush()
        os._exit(98)
    os._exit(97)


def run(asked: dict) -> dict:
    with tempfile.TemporaryFile() as keys, tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        keys.write(asked["keys"].encode())
        keys.seek(0)
        began = time.monotonic()
        pid = os.fork()
        if not pid:
            child(asked, [keys.fileno(), out.fileno(), err.fileno()])
        if asked["kill_after"] is not None:
            time.sleep(asked["kill_after"])
            os.kill(pid, signal.SIGKILL)
        status = os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
        seconds = time.monotonic() - began
        out.seek(0)
        err.seek(0)
        return {"status": status, "out": out.read().decode(), "err": err.read().decode(), "seconds": seconds}


if __name__ == "__main__":
    answers = os.fdopen(os.dup(1), "w")
    warm()
    for line in sys.stdin:
        print(json.dumps(run(json.loads(line))), file=answers, flush=True)
