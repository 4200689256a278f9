"""Recordings of the usual kinds become one stream of samples; broken and foreign files are refused in words."""

import wave
from collections.abc import Sequence
from pathlib import Path

import av
import numpy as np
import pytest
from numpy.typing import NDArray

from fieldnote.errors import InputProblem
from fieldnote.speech.sound import Sound

RATE = 44100
TONE = 0.3 * np.sin(2 * np.pi * 440 * np.arange(2 * RATE) / RATE)
SPEECHLIKE = (
    0.3
    * np.sin(2 * np.pi * 300 * np.arange(2 * RATE) / RATE)
    * (1 + np.sin(2 * np.pi * 4 * np.arange(2 * RATE) / RATE))
    / 2
)


def encoded(
    path: Path, container: str, codec: str, channels: Sequence[NDArray[np.float64]] = (TONE,), rate: int = RATE
) -> Path:
    """Write channels with PyAV in a container and codec."""
    with av.open(str(path), "w", format=container) as out:
        stream = out.add_stream(codec, rate=rate, layout="mono" if len(channels) == 1 else "stereo")
        data = np.ascontiguousarray((np.stack(channels).T * 32767).astype(np.int16).reshape(1, -1))
        frame = av.AudioFrame.from_ndarray(data, format="s16", layout="mono" if len(channels) == 1 else "stereo")
        frame.sample_rate = RATE
        for packet in (*stream.encode(frame), *stream.encode(None)):
            out.mux(packet)
    return path


def wav(path: Path, *channels: NDArray[np.float64]) -> Path:
    """A plain WAV file."""
    with wave.open(str(path), "wb") as out:
        out.setnchannels(len(channels))
        out.setsampwidth(2)
        out.setframerate(RATE)
        out.writeframes((np.stack(channels).T * 32767).astype("<i2").tobytes())
    return path


def heard(path: Path) -> tuple[NDArray[np.float32], list[str]]:
    """All samples of a file, and its flags."""
    with Sound(path) as sound:
        samples = np.concatenate(list(sound))
        return samples, sound.flags()


def level(samples: NDArray[np.float32]) -> float:
    """Root mean square."""
    return float(np.sqrt(np.mean(samples**2)))


@pytest.mark.parametrize(
    ("name", "container", "codec", "rate"),
    [
        ("a.wav", "wav", "pcm_s16le", RATE),
        ("a.flac", "flac", "flac", RATE),
        ("a.m4a", "ipod", "aac", RATE),
        ("a.aac", "adts", "aac", RATE),
        ("a.mp3", "mp3", "libmp3lame", RATE),
        ("a.ogg", "ogg", "libopus", 48000),
        ("a.webm", "webm", "libopus", 48000),
        ("a.3gp", "3gp", "aac", RATE),
    ],
)
def test_formats(tmp_path: Path, name: str, container: str, codec: str, rate: int) -> None:
    """Every listed kind of file gives its two seconds at 16 kHz at the level that went in."""
    if codec not in av.codecs_available:
        pytest.skip(f"this build of PyAV has no encoder {codec}")
    samples, flags = heard(encoded(tmp_path / name, container, codec, rate=rate))
    assert 1.95 < len(samples) / 16000 < 2.2
    assert level(samples[8000:24000]) == pytest.approx(0.3 / 2**0.5, rel=0.1)
    assert flags == []


def test_amr_is_opened_as_amr(tmp_path: Path) -> None:
    """An AMR file of 20 ms frames (3GPP TS 26.101: type 7, 12.2 kbit/s, 31 bytes) opens and has its second."""
    path = tmp_path / "a.amr"
    path.write_bytes(b"#!AMR\n" + (b"\x3c" + bytes(31)) * 50)
    samples, _ = heard(path)
    assert len(samples) / 16000 == pytest.approx(1.0, abs=0.1)


def test_one_sided_stereo(tmp_path: Path) -> None:
    """A voice on one side only is heard at full level, and the recording is flagged."""
    samples, flags = heard(wav(tmp_path / "a.wav", np.zeros_like(TONE), SPEECHLIKE))
    assert flags == ["one-sided"]
    assert level(samples) == pytest.approx(level(SPEECHLIKE.astype(np.float32)), rel=0.05)


def test_antiphase_stereo(tmp_path: Path) -> None:
    """Sides in antiphase would cancel: they are subtracted, and the recording is flagged."""
    samples, flags = heard(wav(tmp_path / "a.wav", SPEECHLIKE, -SPEECHLIKE))
    assert flags == ["antiphase"]
    assert level(samples) == pytest.approx(level(SPEECHLIKE.astype(np.float32)), rel=0.05)


def test_ordinary_stereo(tmp_path: Path) -> None:
    """Equal sides are averaged without a flag."""
    samples, flags = heard(wav(tmp_path / "a.wav", TONE, TONE))
    assert flags == []
    assert level(samples) == pytest.approx(0.3 / 2**0.5, rel=0.05)


def test_clipped(tmp_path: Path) -> None:
    """A recording that was driven against full scale is flagged."""
    assert heard(wav(tmp_path / "a.wav", np.clip(TONE * 10, -1, 1)))[1] == ["clipped"]


def test_a_recorder_that_died_left_no_length(tmp_path: Path) -> None:
    """A WAV whose header says that it holds no data is read to its end."""
    path = wav(tmp_path / "a.wav", TONE)
    raw = bytearray(path.read_bytes())
    raw[4:8] = raw[40:44] = b"\0\0\0\0"
    path.write_bytes(raw)
    assert len(heard(path)[0]) / 16000 == pytest.approx(2.0, abs=0.05)


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "empty"),
        (b"just some words", "not a sound format"),
        (b"#EXTM3U\nhttp://127.0.0.1:9/a.mp3\n", "not a sound format"),
        (b"ffconcat version 1.0\nfile '/etc/passwd'\n", "not a sound format"),
        (b"v=0\r\no=- 0 0 IN IP4 127.0.0.1\r\n", "not a sound format"),
        (b"\xff\xd8\xff\xe0\0\x10JFIF\0" + b"\0" * 100, "not a sound format"),
        (b"RIFF\x24\0\0\0WAVEfmt ", "damaged or cut off"),
        (b"\0\0\0\x20ftypM4A " + b"\0" * 200, "cut off"),
        (b"OggS" + b"\0" * 300, "damaged or cut off"),
        (b"ID3" + b"\0" * 300, ""),
    ],
)
def test_refusals(tmp_path: Path, data: bytes, reason: str) -> None:
    """Empty, foreign, referring and broken files are refused in one sentence that names the file."""
    path = tmp_path / "clip\n.wav"
    path.write_bytes(data)
    with pytest.raises(InputProblem) as problem:
        heard(path)
    assert problem.value.exit_status == 3
    assert reason in problem.value.line() and "\n" not in problem.value.line()


def test_truncated_m4a(tmp_path: Path) -> None:
    """A phone recording that was cut off before its index says so."""
    path = encoded(tmp_path / "a.m4a", "ipod", "aac")
    path.write_bytes(path.read_bytes()[:5000])
    with pytest.raises(InputProblem, match="cut off"):
        heard(path)


def test_missing_file(tmp_path: Path) -> None:
    """A path without a file is named."""
    with pytest.raises(InputProblem, match="no such file"):
        heard(tmp_path / "no.wav")


def test_stopping_half_way_leaves_no_child(tmp_path: Path) -> None:
    """Whoever stops listening leaves no process behind."""
    sound = Sound(wav(tmp_path / "a.wav", *[np.tile(TONE, 30)]))
    with sound:
        next(iter(sound))
    assert sound._child.poll() is not None


def test_the_input_is_not_touched(tmp_path: Path) -> None:
    """Bytes and times of the file are what they were."""
    path = wav(tmp_path / "a.wav", TONE)
    before = (path.read_bytes(), path.stat().st_mtime_ns, path.stat().st_mode)
    heard(path)
    assert (path.read_bytes(), path.stat().st_mtime_ns, path.stat().st_mode) == before
