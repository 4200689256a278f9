"""Runs commands of the program, each in a fork of this process, with file faults as the shim makes them.

Started by `harness.py` with the shim loaded. In: one JSON object a line {"argv", "settings"}. Out: one a line {"status", "out",
"err"}; a status below zero is the signal that ended it.
"""

import json
import os
import sys
import tempfile
import traceback

import fieldnote.cli.add
import fieldnote.cli.backup
import fieldnote.cli.erase
import fieldnote.cli.visit
import fieldnote.flow.forget
import fieldnote.flow.take_in
import fieldnote.notebook  # noqa: F401 (what the commands import is loaded once, before the forks)
from fieldnote.cli import main


def child(asked: dict, out: int, err: int) -> None:
    """The command, with its own standard streams."""
    os.dup2(out, 1)
    os.dup2(err, 2)
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
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        pid = os.fork()
        if not pid:
            child(asked, out.fileno(), err.fileno())
        status = os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
        out.seek(0)
        err.seek(0)
        return {"status": status, "out": out.read().decode(), "err": err.read().decode()}


if __name__ == "__main__":
    answers = os.fdopen(os.dup(1), "w")
    for line in sys.stdin:
        print(json.dumps(run(json.loads(line))), file=answers, flush=True)
