"""A clip made heard, where there is something to hear it with. In: WAV bytes. Out: whether it was played.

Programs that come with common systems are asked first, then a sound library if it is installed. Nothing is fetched.
"""

import shutil
import subprocess
import tempfile
from pathlib import Path

PROGRAMS = (
    ("pw-play",),
    ("paplay",),
    ("aplay", "-q"),
    ("afplay",),
    ("ffplay", "-nodisp", "-autoexit", "-loglevel", "error"),
)
SILENT = b"audio open failed"  # so ffplay says that there is no device, and calls it a success
PATIENCE = 5.0  # seconds that a player may take longer than the clip


def play(wav: bytes, seconds: float) -> bool:
    """Play a clip to its end. False where no program and no device here can."""
    with tempfile.TemporaryDirectory(prefix="fieldnote-") as folder:
        path = Path(folder) / "clip.wav"
        path.write_bytes(wav)
        return any(_run(program, path, seconds) for program in PROGRAMS if shutil.which(program[0]))


def _run(program: tuple[str, ...], path: Path, seconds: float) -> bool:
    try:
        done = subprocess.run([*program, str(path)], timeout=seconds + PATIENCE, capture_output=True, check=False)
    except (subprocess.TimeoutExpired, OSError):
        return False
    return done.returncode == 0 and SILENT not in done.stderr
