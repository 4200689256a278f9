"""What is said back: tones, and words where a speech program is installed. In: names of tones, short texts. Out: sound.

Nothing here waits for the sound to end or fails: somebody who hears nothing still has the screen. One sound at a time; when too
many wait, the oldest gives way.
"""

import io
import shutil
import subprocess
import threading
import wave
from collections import deque
from collections.abc import Callable

from fieldnote.capture import tones

SPEAKS = "espeak-ng"
LONGEST = 300  # characters of one spoken answer
WAITING = 3  # sounds that may wait their turn
Play = Callable[[bytes, float], bool]


class Loudspeaker:
    """Plays in a thread of its own. `play` is given a WAV file and its seconds; `quiet`: no tones, `speaks`: words too."""

    def __init__(self, play: Play, *, quiet: bool = False, speaks: bool = False) -> None:
        self._play, self._quiet = play, quiet
        self._speaks = speaks and shutil.which(SPEAKS) is not None
        self._waiting: deque[tuple[str, str]] = deque(maxlen=WAITING)
        self._work = threading.Semaphore(0)
        self._thread = threading.Thread(target=self._run, daemon=True)
        if not quiet or self._speaks:
            self._thread.start()

    def tone(self, name: str) -> None:
        """Play one of `tones.TONES`."""
        if not self._quiet:
            self._give("tone", name)

    def speak(self, text: str) -> None:
        """Say a text aloud."""
        if self._speaks:
            self._give("text", text[:LONGEST])

    def _give(self, kind: str, what: str) -> None:
        self._waiting.append((kind, what))
        self._work.release()

    def _run(self) -> None:
        while True:
            self._work.acquire()
            if not self._waiting:
                continue
            kind, what = self._waiting.popleft()
            sound = tones.tone(what) if kind == "tone" else spoken(what)
            if sound:
                self._play(sound, length(sound))


def spoken(text: str) -> bytes:
    """A text as a WAV file; empty when the speech program fails."""
    try:
        done = subprocess.run(
            [SPEAKS, "-v", "en-gb", "-s", "165", "--stdin", "--stdout"],
            input=text.encode(),
            capture_output=True,
            timeout=20,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired):
        return b""
    return done.stdout if done.returncode == 0 else b""


def length(wav: bytes) -> float:
    """Seconds of a WAV file; a head that does not know its length is measured by the bytes behind it."""
    with wave.open(io.BytesIO(wav)) as file:
        bytes_a_second: int = file.getframerate() * file.getsampwidth() * file.getnchannels()
    return (len(wav) - 44) / bytes_a_second
