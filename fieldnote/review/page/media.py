"""Sound and pictures for the page, each by its item's id and with a type that is fixed here. In: an item. Out: type and bytes.

A browser plays some formats as they are; of any other it gets a WAV copy, made once for each run and gone with it.
"""

import tempfile
import threading
from collections.abc import Callable
from pathlib import Path

from fieldnote.records import Item

# format -> (type, codecs a browser plays in it). Common practice of current browsers, no source; tried in Chromium.
PLAYABLE: dict[str, tuple[str, tuple[str, ...]]] = {
    "wav": ("audio/wav", ("pcm_s16le", "pcm_u8", "pcm_s24le", "pcm_f32le")),
    "mp3": ("audio/mpeg", ("mp3", "mp3float")),
    "ogg": ("audio/ogg", ("opus", "vorbis", "flac")),
    "webm": ("audio/webm", ("opus", "vorbis")),
    "m4a": ("audio/mp4", ("aac",)),
    "flac": ("audio/flac", ("flac",)),
}
WAV = "audio/wav"


class Sounds:
    """Where to find a file that a browser can play. `copy` makes the WAV copy of an item."""

    def __init__(self, original: Callable[[Item], Path], copy: Callable[[Item], bytes]) -> None:
        self._original = original
        self._copy = copy
        self._lock = threading.Lock()
        self._folder = tempfile.TemporaryDirectory(prefix="fieldnote-")

    def playable(self, item: Item) -> tuple[Path, str]:
        """The file and its type. Raises InputProblem when the sound cannot be decoded."""
        kind, codecs = PLAYABLE.get(item.facts.get("format", ""), ("", ()))
        if item.facts.get("codec", "") in codecs:
            return self._original(item), kind
        return self._wav(item), WAV

    def _wav(self, item: Item) -> Path:
        place = Path(self._folder.name) / f"{item.sha256}.wav"
        with self._lock:
            if not place.exists():
                place.write_bytes(self._copy(item))
        return place

    def close(self) -> None:
        """Remove the copies."""
        self._folder.cleanup()
