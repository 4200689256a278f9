"""Keys and lines of words from whoever is there: a terminal, or a pipe. Out: one key or one line at a time.

What is typed while the program still works is neither shown nor lost, until it is told to forget it; and a key that a terminal
sends as several characters (an arrow) is one key that means nothing, never the letters that it is sent as.
"""

import os
import re
import sys
from collections import deque
from collections.abc import Callable
from typing import Any

import click

_KEY = re.compile("\x1b(?:[\\[O][0-9;?]*[@-~]|.)?|.", re.DOTALL)  # ECMA-48: control sequences begin with ESC [
_ENOUGH = 1024  # bytes taken at a time


class Console:
    """Where questions are put and answered. Counts key presses; `close` leaves the terminal as it was."""

    def __init__(self, say: Callable[[object], None]) -> None:
        self.say = say
        self.pressed = 0
        self._typed: deque[str] = deque()
        self._before: list[Any] | None = None

    def key(self) -> str:
        """One key, without Enter at a terminal. "q" at the end of a pipe."""
        self.pressed += 1
        if not sys.stdin.isatty():
            while (char := sys.stdin.read(1)) in ("\n", "\r"):
                pass
            return char or "q"
        return self._typed.popleft() if self._typed else self._pressed()

    def words(self, prompt: str) -> str:
        """A line of words, asked for by a line; empty when nothing is said."""
        self.pressed += 1  # Enter
        self.close()
        self.say(f"{prompt}:")
        ahead = "".join(self._typed)
        self._typed.clear()
        line, enter, rest = ahead.replace("\r", "\n").partition("\n")
        self._typed.extend(rest)
        return (line if enter else line + sys.stdin.readline()).strip()

    def close(self) -> None:
        """Leave the terminal as it was found."""
        if self._before is not None:
            import termios

            termios.tcsetattr(sys.stdin, termios.TCSADRAIN, self._before)
            self._before = None

    def forget(self) -> None:
        """Drop what was typed ahead at a terminal."""
        self._typed.clear()
        if self._before is not None:
            import termios

            termios.tcflush(sys.stdin, termios.TCIFLUSH)

    def _pressed(self) -> str:
        try:
            import termios
            import tty
        except ImportError:  # a system without them has its own way
            return click.getchar()
        if self._before is None:
            self._before = termios.tcgetattr(sys.stdin)
            tty.setcbreak(sys.stdin, termios.TCSADRAIN)
        self._typed.extend(_KEY.findall(os.read(sys.stdin.fileno(), _ENOUGH).decode("utf-8", "replace")))
        return self._typed.popleft() if self._typed else "q"
