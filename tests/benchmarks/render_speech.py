"""Render notes with synthetic voices, and make noisy, long and speechless clips of them. Everything is seeded by name.

    render_speech.py say NOTES.jsonl OUT [--turn N] [--voices kok:bm_george,...]   one voice a note, in turn from N
    render_speech.py made OUT [--count N] [--seed S]                               random readings (numbers)
    render_speech.py noise CLIPS OUT --kinds fan10,tap10,clank5,far,farfan10 [--every N]
    render_speech.py long CLIPS OUT [--seconds S]                                  long dictations: clips in a row with pauses
    render_speech.py silent OUT                                                    30 clips in which nobody speaks

Voices: `kok:NAME` needs the Kokoro-82M model (Apache-2.0) as ONNX, its style vectors and vocabulary in the variables
SPEECH_KOKORO_ONNX, SPEECH_KOKORO_VOICES, SPEECH_KOKORO_VOCAB, and the packages onnxruntime and hibari-tts; `esp:NAME` needs
espeak-ng. Clips are 16 kHz mono, speech at -26 dBFS over a floor of -66 dBFS. OUT/manifest.jsonl names the words of each.
"""

import argparse
import functools
import hashlib
import json
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
import soundfile
from scipy import signal

sys.path.insert(0, str(Path(__file__).parent))
from speech_texts import breathing, made_readings, spoken

RATE = 16000
VOICES = "kok:bm_george,kok:bf_emma,kok:bm_lewis,kok:bf_isabella"
Sound = Any  # numpy arrays; this script also runs where the project is not installed


def seeded(*names: object) -> np.random.Generator:
    """A generator that depends on names alone."""
    return np.random.default_rng(
        int.from_bytes(hashlib.sha256("|".join(map(str, names)).encode()).digest()[:8], "little")
    )


# ---------------------------------------------------------------- voices


@functools.cache
def _kokoro() -> tuple[Any, Any, dict[str, int]]:
    import onnxruntime
    from hibari.g2p import G2P

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = int(os.environ.get("SPEECH_THREADS", "2"))
    options.log_severity_level = 3
    session = onnxruntime.InferenceSession(
        os.environ["SPEECH_KOKORO_ONNX"], options, providers=["CPUExecutionProvider"]
    )
    return session, G2P(british=True), json.loads(Path(os.environ["SPEECH_KOKORO_VOCAB"]).read_text())["vocab"]


def kokoro(name: str, text: str, speed: float) -> tuple[Sound, int]:
    """Kokoro speaks a text, piece by piece of at most 220 phonemes."""
    session, phonemes, vocabulary = _kokoro()
    style = np.fromfile(Path(os.environ["SPEECH_KOKORO_VOICES"]) / f"{name}.bin", np.float32).reshape(-1, 1, 256)
    out = []
    for piece in _pieces(phonemes(text), 220):
        tokens = [vocabulary[sign] for sign in piece if sign in vocabulary][:500]
        if tokens:
            feed = {
                "tokens": np.array([[0, *tokens, 0]], np.int64),
                "style": style[len(tokens) - 1],
                "speed": np.array([speed], np.float32),
            }
            out += [trimmed(session.run(None, feed)[0].ravel(), 24000), np.zeros(4300, np.float32)]
    return np.concatenate(out[:-1]), 24000


def _pieces(text: str, longest: int) -> list[str]:
    """Cut at punctuation, else at a space."""
    pieces = [""]
    for part in re.split(r"(?<=[.,;:!?]) ", text):
        while len(part) > longest:
            cut = part.rfind(" ", 0, longest)
            pieces += [part[:cut], ""]
            part = part[cut + 1 :]
        if len(pieces[-1]) + len(part) > longest:
            pieces.append("")
        pieces[-1] = f"{pieces[-1]} {part}".strip()
    return [piece for piece in pieces if piece]


def espeak(name: str, text: str, speed: float) -> tuple[Sound, int]:
    """espeak-ng speaks a text: odd vowels, a stress test."""
    with tempfile.NamedTemporaryFile(suffix=".wav") as file:
        subprocess.run(["espeak-ng", "-v", name, "-s", str(int(150 * speed)), "-w", file.name, text], check=True)
        return soundfile.read(file.name, dtype="float32")


def say(voice: str, id_: str, text: str) -> Sound:
    """One clip at 16 kHz: speech at -26 dBFS, a little silence around it, a floor of noise."""
    rng = seeded(id_, voice)
    kind, name = voice.split(":")
    sound, rate = {"kok": kokoro, "esp": espeak}[kind](name, breathing(text), float(rng.uniform(1.0, 1.2)))
    sound = levelled(signal.resample_poly(trimmed(sound, rate), RATE, rate))
    sound = np.concatenate([np.zeros(int(0.35 * RATE)), sound, np.zeros(int(0.45 * RATE))])
    return sound + rng.standard_normal(len(sound)) * 10 ** (-66 / 20)


def trimmed(sound: Sound, rate: int) -> Sound:
    """Without the silence at both ends."""
    loud = np.flatnonzero(np.abs(sound) > 0.01)
    pad = int(0.03 * rate)
    return sound[max(0, loud[0] - pad) : loud[-1] + pad] if len(loud) else sound


def active(sound: Sound) -> float:
    """Level of the frames that hold speech: within 30 dB of the loudest 20 ms."""
    frames = sound[: len(sound) // 320 * 320].reshape(-1, 320)
    power = (frames**2).mean(axis=1) + 1e-12
    return float(np.sqrt(power[power > power.max() / 1000].mean()))


def levelled(sound: Sound, decibels: float = -26.0) -> Sound:
    """At that active level, full scale being 0."""
    return sound / active(sound) * 10 ** (decibels / 20)


# ---------------------------------------------------------------- noises, at a level of 1


def coloured(n: int, rng: np.random.Generator, slope: float) -> Sound:
    """Noise whose power falls with frequency: slope 1 pink, 2 brown."""
    spectrum = np.fft.rfft(rng.standard_normal(n))
    spectrum[1:] /= np.maximum(np.fft.rfftfreq(n, 1 / RATE)[1:], 20) ** (slope / 2)
    spectrum[0] = 0
    sound = np.fft.irfft(spectrum, n)
    return sound / sound.std()


def fan(n: int, rng: np.random.Generator) -> Sound:
    """A kitchen extractor: air, motor hum, blade tone, slow wow."""
    t = np.arange(n) / RATE
    hum = sum(rng.uniform(0.2, 0.6) / k * np.sin(2 * np.pi * 100 * k * t + rng.uniform(0, 6.28)) for k in (1, 2, 3))
    blade = 0.35 * np.sin(2 * np.pi * rng.uniform(230, 290) * t + 2 * np.sin(2.5 * t))
    return (0.8 * coloured(n, rng, 2) + 0.8 * coloured(n, rng, 1) + hum + blade) * (1 + 0.1 * np.sin(4.4 * t))


def tap(n: int, rng: np.random.Generator) -> Sound:
    """Water into a sink: band noise with splashes."""
    air = signal.sosfilt(signal.butter(2, [800, 7000], "band", fs=RATE, output="sos"), rng.standard_normal(n))
    splash = np.abs(signal.sosfilt(signal.butter(2, 9, fs=RATE, output="sos"), rng.standard_normal(n)))
    return air / air.std() * (0.6 + 0.4 * splash / splash.mean())


def clank(n: int, rng: np.random.Generator) -> Sound:
    """Metal on metal, more than once a second: decaying inharmonic partials."""
    sound, at = 0.02 * coloured(n, rng, 1), int(rng.exponential(0.4) * RATE)
    while at < n:
        t = np.arange(min(n - at, int(0.9 * RATE))) / RATE
        base = rng.uniform(500, 1800)
        partials = (
            rng.uniform(0.3, 1) * np.exp(-t * rng.uniform(6, 26)) * np.sin(2 * np.pi * min(base * k, 7600) * t)
            for k in (1, 1.47, 2.09, 2.56, 3.4, 4.1)
        )
        sound[at : at + len(t)] += sum(partials) * rng.uniform(0.4, 1)
        at += int((0.1 + rng.exponential(0.75)) * RATE)
    return sound / np.sqrt((sound**2).mean())


def far(sound: Sound, rng: np.random.Generator) -> Sound:
    """The same speech from across a kitchen: early reflections, a tail of 0.55 s, a phone's band."""
    t = np.arange(int(0.55 * RATE)) / RATE
    tail = rng.standard_normal(len(t)) * np.exp(-6.91 * t / 0.55)
    tail[: int(0.004 * RATE)] = 0
    for delay in rng.uniform(0.004, 0.03, 6):
        tail[int(delay * RATE)] += rng.choice([-1, 1]) * 4
    tail = signal.sosfilt(signal.butter(1, 4500, fs=RATE, output="sos"), tail)
    tail *= np.sqrt(10**0.1 / (tail**2).sum())
    tail[0] += 1
    heard = signal.fftconvolve(sound, tail)[: len(sound) + RATE // 5]
    return levelled(signal.sosfilt(signal.butter(2, [120, 6500], "band", fs=RATE, output="sos"), heard))


NOISES = {"fan": fan, "tap": tap, "clank": clank}


def noisy(sound: Sound, kind: str, id_: str) -> Sound:
    """A clip with a noise: `fan10` is a fan 10 dB below the speech, `farfan10` the same from afar."""
    distant, noise, decibels = re.fullmatch(r"(far)?(fan|tap|clank)?(\d+)?", kind).groups()  # type: ignore[union-attr]
    rng = seeded(id_, kind)
    if distant:
        sound = far(sound, rng)
    if noise:
        made = NOISES[noise](len(sound), rng)
        sound = sound + made / np.sqrt((made**2).mean()) * active(sound) * 10 ** (-float(decibels) / 20)
    return sound


def speechless(kind: str, seed: int) -> Sound:
    """20 s in which nobody speaks."""
    rng, n = seeded("silent", kind, seed), 20 * RATE
    t = np.arange(n) / RATE
    makers = {
        "digital": lambda: np.zeros(n),
        "room": lambda: coloured(n, rng, 1.5),
        "fan": lambda: fan(n, rng),
        "tap": lambda: tap(n, rng),
        "clank": lambda: clank(n, rng),
        "hiss": lambda: rng.standard_normal(n),
        "clicks": lambda: (rng.random(n) < 1e-4) * 20.0,
        "breath": lambda: coloured(n, rng, 0.7) * np.maximum(0, np.sin(1.9 * t)) ** 3,
        "sparks": lambda: signal.lfilter(
            [1], [1, -0.9], (np.sin(2 * np.pi * 3.1 * t) > 0.999) * rng.standard_normal(n)
        ),
        "beeps": lambda: np.sin(2 * np.pi * rng.uniform(900, 2500) * t) * (np.sin(2 * np.pi * t) > 0.6),
    }
    sound = makers[kind]()
    loud = (-30, -40, -52)[seed % 3]
    return sound / sound.std() * 10 ** (loud / 20) if sound.std() else sound


SPEECHLESS = ("digital", "room", "fan", "tap", "clank", "hiss", "clicks", "breath", "sparks", "beeps")

# ---------------------------------------------------------------- jobs


class Out:
    """A folder of clips with its manifest; clips that are already there are not made again."""

    def __init__(self, folder: Path) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.folder, self.manifest = folder, folder / "manifest.jsonl"
        self.have = {json.loads(line)["file"] for line in self.manifest.open()} if self.manifest.exists() else set()

    def add(self, name: str, make: Any, **facts: object) -> None:
        """Make and write one clip and its line."""
        if name in self.have:
            return
        sound = make()
        peak = np.abs(sound).max(initial=0)
        soundfile.write(self.folder / name, sound * (0.98 / peak if peak > 0.98 else 1), RATE, subtype="PCM_16")
        with self.manifest.open("a") as file:
            file.write(json.dumps({"file": name, "sec": round(len(sound) / RATE, 2), **facts}) + "\n")


def clips(folder: Path) -> list[dict[str, Any]]:
    """The lines of a folder's manifest."""
    return [json.loads(line) for line in (folder / "manifest.jsonl").open()]


def read(folder: Path, row: dict[str, Any]) -> Sound:
    """The samples of one clip."""
    return soundfile.read(folder / row["file"])[0]


def main() -> None:
    """Do one job."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("job", choices=["say", "made", "noise", "long", "silent"])
    parser.add_argument("paths", nargs="+", type=Path)
    parser.add_argument("--voices", default=VOICES)
    parser.add_argument("--kinds", default="fan10")
    for name, value in (("turn", 0), ("count", 30), ("seed", 1), ("every", 1), ("seconds", 120)):
        parser.add_argument(f"--{name}", type=int, default=value)
    given = parser.parse_args()
    out = Out(given.paths[-1])
    {"say": _say, "made": _say, "noise": _noise, "long": _long, "silent": _silent}[given.job](given, out)


def _say(given: argparse.Namespace, out: Out) -> None:
    voices = given.voices.split(",")
    notes = (
        made_readings(given.count, given.seed)
        if given.job == "made"
        else [json.loads(line) for line in given.paths[0].open()]
    )
    for index, row in enumerate(notes):
        words = row.get("spoken") or spoken(row["text"])
        voice = voices[(index + given.turn) % len(voices)]
        name = f"{row['id']}.{voice.replace(':', '-')}.wav"
        out.add(
            name, functools.partial(say, voice, row["id"], words), id=row["id"], voice=voice, cond="clean", ref=words
        )


def _noise(given: argparse.Namespace, out: Out) -> None:
    for row in clips(given.paths[0])[:: given.every]:
        for kind in given.kinds.split(","):
            facts = {"id": row["id"], "voice": row["voice"], "cond": kind, "ref": row["ref"]}
            name = row["file"].replace(".wav", f".{kind}.wav")
            out.add(name, lambda row=row, kind=kind: noisy(read(given.paths[0], row), kind, row["file"]), **facts)


def _long(given: argparse.Namespace, out: Out) -> None:
    for voice in given.voices.split(","):
        rows = [row for row in clips(given.paths[0]) if row["voice"] == voice]
        rng, parts, words = seeded("long", voice), [], []
        for row in rows:
            pause = rng.standard_normal(int(rng.uniform(0.6, 2.5) * RATE)) * 10 ** (-66 / 20)
            parts += [read(given.paths[0], row), pause]
            words.append(row["ref"].rstrip(".") + ".")
            if sum(map(len, parts)) >= given.seconds * RATE:
                break
        if parts:
            facts = {"id": f"long-{voice[4:]}", "voice": voice, "cond": "long", "ref": " ".join(words)}
            out.add(f"long.{voice.replace(':', '-')}.wav", functools.partial(np.concatenate, parts), **facts)


def _silent(given: argparse.Namespace, out: Out) -> None:
    assert given.job == "silent"
    for kind in SPEECHLESS:
        for seed in range(3):
            out.add(
                f"{kind}{seed}.wav",
                functools.partial(speechless, kind, seed),
                id=f"{kind}{seed}",
                voice="-",
                cond="silent",
                ref="",
            )


if __name__ == "__main__":
    main()
