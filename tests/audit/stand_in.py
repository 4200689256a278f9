"""A stand-in for an engine of speech, for other processes: keeps a processor busy for a while, then says what the bytes say.

Bytes that begin with "bad" cannot be heard, with "odd" break the engine, with "deadly" kill the process that hears them, with
"once" kill it the first time only.
"""

import os
import signal
import time
from dataclasses import dataclass
from pathlib import Path

from fieldnote.errors import InputProblem
from fieldnote.flow.hear import Progress
from fieldnote.records import Transcript


@dataclass(frozen=True)
class StandIn:
    """`folder` is where it leaves word: `heard` holds a line for each recording that was heard to its end."""

    folder: str
    seconds: float = 0.0

    def hear(self, path: Path, *, progress: Progress | None = None) -> Transcript:
        """The bytes as text. Raises InputProblem FN-301 for bad ones."""
        text = path.read_bytes().decode("ascii")
        end = time.thread_time() + self.seconds
        while time.thread_time() < end:
            sum(range(1000))
        if text.startswith("bad"):
            raise InputProblem("FN-301", path=path.name, reason="no sound in it")
        if text.startswith("odd"):
            raise ZeroDivisionError("odd")
        if text.startswith("deadly") or (text.startswith("once") and self._first(text)):
            os.kill(os.getpid(), signal.SIGKILL)
        with (Path(self.folder) / "heard").open("a") as file:
            file.write(f"{text}\n")
        return Transcript(text, (), "stand-in", 1.0, text)

    def _first(self, text: str) -> bool:
        try:
            (Path(self.folder) / text).touch(exist_ok=False)
        except FileExistsError:
            return False
        return True


def recordings(folder: Path, texts: list[str]) -> Path:
    """Files of sound that hold these texts."""
    folder.mkdir(exist_ok=True)
    for number, text in enumerate(texts):
        (folder / f"{number:04}.wav").write_text(text)
    return folder
