"""The process that opens foreign bytes: `python -m fieldnote.capture.child`, one JSON object a line in, one out.

In: {"path", "kind", "reader"}. Out: {"sha256", "size", ...facts} or {"refused": reason}. It has a memory limit, may write no
file, and is killed by its parent when it takes too long. It says nothing of where it is and keeps nothing.
"""

import contextlib
import hashlib
import json
import sys
from typing import Any

MEMORY = 3 << 30  # of address space, most of it libraries


def main() -> None:
    """Answer until the input ends."""
    _limit()
    answers = sys.stdout
    sys.stdout = sys.stderr  # whatever a library prints is no answer
    for line in sys.stdin:
        print(json.dumps(_answer(json.loads(line))), file=answers, flush=True)


def _answer(asked: dict[str, str]) -> dict[str, Any]:
    from fieldnote.capture.refusal import Refusal

    try:
        with open(asked["path"], "rb") as file:  # noqa: PTH123 (names that are no text stay as they are)
            sha256 = hashlib.file_digest(file, "sha256").hexdigest()
            size = file.tell()
            file.seek(0)
            return {"sha256": sha256, "size": size} | _facts(asked, file)
    except Refusal as refusal:
        return {"refused": str(refusal)}
    except MemoryError:
        return {"refused": "it takes more memory than a recording or photo may"}
    except OSError as problem:
        return {"refused": problem.strerror or str(problem)}
    except Exception as problem:  # a reader that fails in a new way refuses one file, not all of them
        return {"refused": f"it cannot be read ({type(problem).__name__})"}


def _facts(asked: dict[str, str], file: Any) -> dict[str, Any]:
    if asked["kind"] == "recording":
        from fieldnote.capture import sound

        return sound.facts(file, asked["reader"])
    from fieldnote.capture import picture

    return picture.facts(file, asked["reader"])


def _limit() -> None:
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


if __name__ == "__main__":
    main()
