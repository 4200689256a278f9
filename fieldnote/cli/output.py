"""Printing: data on standard output, everything else on standard error; control characters of data never reach a terminal.

`say` and `complain` clean what they print; `data` prints one JSON value a line and flushes, so that a printed line is a
promise already kept.
"""

import json
import os
import re
import signal
import sys
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fieldnote.settings import Settings

# C0 but newline and tab, DEL, C1, and the marks that reorder or hide text
_UNPRINTABLE = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ud800-\udfff]")


def clean(text: object) -> str:
    """Text with control and hiding characters shown as visible escapes."""
    return _UNPRINTABLE.sub(lambda found: found[0].encode("unicode_escape", "surrogatepass").decode("ascii"), str(text))


def one_line(text: object) -> str:
    """`clean`, on one line."""
    return clean(str(text).replace("\n", "\\n").replace("\t", "\\t"))


def say(text: object = "") -> None:
    """A line for people, on standard output."""
    print(clean(text), flush=True)


def note(text: object) -> None:
    """Progress and messages, on standard error."""
    print(clean(text), file=sys.stderr, flush=True)


def complain(text: object) -> None:
    """An error: exactly one line on standard error."""
    print(f"fieldnote: {one_line(text)}", file=sys.stderr, flush=True)


def data(value: Any) -> None:
    """One JSON value on one line of standard output, flushed."""
    print(json.dumps(value, ensure_ascii=True, allow_nan=False), flush=True)


def tell_if_rules_alone(settings: "Settings") -> None:
    """A note where findings are read without the taught reader, and why."""
    from fieldnote import bootstrap

    _, why = bootstrap.taught(settings)
    if why:
        note(f"the rules read alone: {why}")


def colourful() -> bool:
    """Whether colour and progress belong on this output."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def lively() -> bool:
    """Whether progress may be drawn on standard error."""
    return sys.stderr.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def prepare() -> None:
    """UTF-8 on both streams whatever the locale; SIGTERM and SIGHUP end the program as Ctrl-C does."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), _interrupt)


def _interrupt(_number: int, _frame: object) -> None:
    raise KeyboardInterrupt


def close(status: int) -> int:
    """Flush standard output; a closed pipe ends quietly with its own status."""
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return status or 141
    return status
