"""The demo's sound. In: words/*.txt. Out: one compressed recording a file, and moments.json: when each photo was taken.

Not part of the program, and not needed to run the demo: the recordings are kept. To make them again:

    python sounds.py --model kokoro.onnx --styles DIR --vocab vocab.json [--only 2-hob]

wants numpy, scipy, onnxruntime, hibari-tts 0.2.1 (British spelling to sounds) and the ffmpeg program with libopus.
Voices: Kokoro-82M by hexgrad, weights and style vectors under the Apache License 2.0 (style vectors as they come in the
npm package kokoro-js 1.2.1, Apache License 2.0; vocabulary and ONNX export by way of kokoro-onnx, MIT). Nobody real speaks.

A words file: a head of `name: value` lines, an empty line, then lines of speech. `[0.6]` is a pause in seconds,
`[1.6 vent]` a pause in the middle of which the photo `vent` is taken, `bf_isabella: ...` a line in another voice.
What stands there is what is said; only abbreviations are spelt for the voice (SPELT).
"""

import argparse
import json
import re
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np

HERE = Path(__file__).parent
RATE = 24000
SPELT = {"CO2": "C O two", "CO": "C O", "FSDs": "F S Ds"}
SPEECH_LEVEL, ROOM_LEVEL = -24.0, -64.0  # dBFS: a phone at arm's length, and a room that is never digital silence
LEAD, TAIL = 0.6, 0.8
BREATH = 0.18


@dataclass(frozen=True)
class Clip:
    """One words file: its head and its lines."""

    name: str
    head: dict[str, str]
    lines: list[str]

    @property
    def starts(self) -> datetime:
        """When the sound starts."""
        return datetime.fromisoformat(self.head["starts"])


@dataclass(frozen=True)
class Said:
    """A stretch of speech by one voice."""

    voice: str
    text: str


@dataclass(frozen=True)
class Pause:
    """Seconds without speech; `photo` is what was photographed half way through."""

    seconds: float
    photo: str | None


def read(path: Path) -> Clip:
    """A clip from its words file."""
    head, _, body = path.read_text("utf-8").partition("\n\n")
    pairs = (line.split(": ", 1) for line in head.splitlines() if line)
    return Clip(path.stem, dict(pairs), [line for line in body.splitlines() if line])


def parts(clip: Clip) -> Iterator[Said | Pause]:
    """The clip's speech and pauses, in order."""
    for line in clip.lines:
        if pause := re.fullmatch(r"\[([\d.]+)(?: ([\w-]+))?\]", line):
            yield Pause(float(pause[1]), pause[2])
        elif other := re.fullmatch(r"(b[fm]_\w+): (.+)", line):
            yield Said(other[1], other[2])
        else:
            yield Said(clip.head["voice"], line)


def words(clip: Clip) -> str:
    """Everything that is said in a clip, as one text."""
    return " ".join(part.text for part in parts(clip) if isinstance(part, Said))


class Speaker:
    """Text to sound at 24 kHz with the Kokoro model."""

    def __init__(self, model: Path, styles: Path, vocab: Path) -> None:
        import onnxruntime
        from hibari.g2p import G2P

        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = 2
        self.session = onnxruntime.InferenceSession(str(model), options, providers=["CPUExecutionProvider"])
        self.sounds_of = G2P(british=True)
        self.vocab = json.loads(vocab.read_text("utf-8"))["vocab"]
        self.styles = styles

    def say(self, said: Said, speed: float) -> np.ndarray:
        """One stretch of speech, sentence by sentence, as floats."""
        text = re.sub(r"\b(" + "|".join(SPELT) + r")\b", lambda m: SPELT[m[0]], said.text)
        pieces = [self._sentence(said.voice, s, speed) for s in re.split(r"(?<=[.!?]) ", text)]
        gap = np.zeros(int(2 * BREATH * RATE), np.float32)
        return np.concatenate([x for piece in pieces for x in (piece, gap)][:-1])

    def _sentence(self, voice: str, text: str, speed: float) -> np.ndarray:
        tokens = [self.vocab[c] for c in self.sounds_of(text) if c in self.vocab][:500]
        style = np.fromfile(self.styles / f"{voice}.bin", np.float32).reshape(-1, 256)[len(tokens) - 1]
        given = {
            "tokens": np.array([[0, *tokens, 0]], np.int64),
            "style": style.reshape(1, 256),
            "speed": np.array([speed], np.float32),
        }
        return trimmed(self.session.run(None, given)[0].ravel())


def trimmed(sound: np.ndarray) -> np.ndarray:
    """Without the silence before and after."""
    loud = np.flatnonzero(np.abs(sound) > 0.01)
    edge = int(0.03 * RATE)
    return sound[max(0, loud[0] - edge) : loud[-1] + edge].astype(np.float32)


def speech_power(sound: np.ndarray) -> float:
    """Mean power of the 20 ms frames within 30 dB of the loudest: pauses do not count."""
    frames = sound[: len(sound) // 480 * 480].reshape(-1, 480)
    power = (frames**2).mean(1)
    return float(power[power > power.max() / 1000].mean())


def kitchen_fan(length: int, chance: np.random.Generator) -> np.ndarray:
    """An extractor fan at full: rushing air (falling with frequency), motor hum at 100 Hz and its multiples, blade tone."""
    from scipy import fft

    pitch = np.maximum(fft.rfftfreq(length, 1 / RATE), 30)
    air = fft.irfft(fft.rfft(chance.standard_normal(length)) * pitch**-0.75, length)
    t = np.arange(length) / RATE
    hum = sum(np.sin(2 * np.pi * 100 * k * t + k) / k for k in (1, 2, 3))
    blades = np.sin(2 * np.pi * 265 * t + 2 * np.sin(2 * np.pi * 0.4 * t))
    return (air / air.std() + 0.3 * hum + 0.25 * blades) * (1 + 0.08 * np.sin(2 * np.pi * 0.6 * t))


def dressed(speech: np.ndarray, noise: str, seed: int) -> np.ndarray:
    """Speech at its level, over room tone, with the noise that the head asks for ("none" or "fan 10 dB")."""
    chance = np.random.default_rng(seed)
    sound = speech * np.sqrt(10 ** (SPEECH_LEVEL / 10) / speech_power(speech))
    sound = sound + chance.standard_normal(len(sound)) * 10 ** (ROOM_LEVEL / 20)
    if fan := re.fullmatch(r"fan (\d+) dB", noise):
        hiss = kitchen_fan(len(sound), chance)
        sound = sound + hiss / hiss.std() * np.sqrt(speech_power(sound)) * 10 ** (-int(fan[1]) / 20)
    return (sound * min(1.0, 0.97 / np.abs(sound).max())).astype(np.float32)


def render(clip: Clip, speaker: Speaker) -> tuple[np.ndarray, dict[str, str]]:
    """A clip's sound, and the moment of each photo as local time with offset."""
    speed = float(clip.head.get("speed", "1.0"))
    pieces, moments, at = [np.zeros(int(LEAD * RATE))], {}, LEAD
    for part in parts(clip):
        if isinstance(part, Pause):
            piece = np.zeros(int(part.seconds * RATE))
            if part.photo:
                moments[part.photo] = (clip.starts + timedelta(seconds=round(at + part.seconds / 2))).isoformat()
        else:
            piece = speaker.say(part, speed)
        pieces.append(piece)
        at += len(piece) / RATE
    speech = np.concatenate([*pieces, np.zeros(int(TAIL * RATE))])
    return dressed(speech, clip.head["noise"], seed=int(clip.starts.timestamp())), moments


def compress(sound: np.ndarray, clip: Clip, to: Path) -> None:
    """As a phone would keep it: AAC in .m4a with creation_time, or Opus in .ogg and .opus with the time in the name."""
    codec = ["-c:a", "aac", "-b:a", "40k"] if to.suffix == ".m4a" else ["-c:a", "libopus", "-b:a", "24k"]
    stamp = ["-metadata", f"creation_time={clip.head['starts']}"] if to.suffix == ".m4a" else []
    kind = ["-f", "mp4" if to.suffix == ".m4a" else "ogg"]
    raw = ["-f", "f32le", "-ar", str(RATE), "-ac", "1", "-i", "-"]
    exact = ["-fflags", "+bitexact", "-flags:a", "+bitexact"]
    command = ["ffmpeg", "-v", "error", "-y", *raw, *codec, *stamp, *exact, *kind, str(to)]
    subprocess.run(command, input=sound.astype("<f4").tobytes(), check=True)


def main() -> None:
    """Render all clips, or one."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    for name in ("--model", "--styles", "--vocab"):
        asked.add_argument(name, type=Path, required=True)
    asked.add_argument("--only")
    given = asked.parse_args()
    speaker, kept = Speaker(given.model, given.styles, given.vocab), HERE / "moments.json"
    moments = json.loads(kept.read_text("utf-8")) if kept.exists() else {}
    for path in sorted((HERE / "words").glob("*.txt")):
        if given.only not in (None, path.stem):
            continue
        clip = read(path)
        sound, taken = render(clip, speaker)
        compress(sound, clip, HERE.parent / clip.head["file"])
        moments |= taken
        print(f"{clip.head['file']}: {len(sound) / RATE:.1f} s")
    kept.write_text(json.dumps(dict(sorted(moments.items(), key=lambda m: m[1])), indent=1) + "\n", "utf-8")


if __name__ == "__main__":
    main()
