"""Short tones, each with a meaning of its own, as WAV bytes. In: the name of a tone. Out: sound that any player plays."""

import array
import functools
import io
import math
import wave

RATE = 16000
EDGE = 0.008  # seconds over which a tone rises and falls, so that it does not click

# name -> (pitch in Hz or 0 for silence, seconds) in order, and how loud (1 is full scale)
TONES: dict[str, tuple[tuple[tuple[int, float], ...], float]] = {
    "listening": (((523, 0.09), (659, 0.09), (784, 0.12)), 0.5),  # rises
    "understood": (((880, 0.07),), 0.3),  # one short high
    "doubtful": (((660, 0.09), (0, 0.05), (620, 0.12)), 0.4),  # two, falling a little
    "not-understood": (((330, 0.22),), 0.4),  # one low
    "question": (((587, 0.08), (880, 0.14)), 0.4),
    "stopped": (((784, 0.18), (0, 0.06), (523, 0.18), (0, 0.06), (392, 0.35)), 0.95),  # loud, falls
    "trouble": (((294, 0.2), (0, 0.08)) * 3, 0.95),
    "emergency": (((1047, 0.16), (784, 0.16)) * 4, 1.0),
}


@functools.cache
def tone(name: str) -> bytes:
    """The tone as a WAV file. Raises KeyError for a name that is not in `TONES`."""
    parts, loud = TONES[name]
    samples = array.array("h", (value for pitch, seconds in parts for value in _part(pitch, seconds, loud)))
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(samples.tobytes())
    return out.getvalue()


def seconds(name: str) -> float:
    """How long a tone lasts."""
    return sum(length for _, length in TONES[name][0])


def _part(pitch: int, length: float, loud: float) -> list[int]:
    count, edge = int(length * RATE), int(EDGE * RATE)
    return [
        int(32767 * loud * min(1.0, n / edge, (count - n) / edge) * math.sin(2 * math.pi * pitch * n / RATE))
        for n in range(count)
    ]
