"""What a recording holds, read in the child process. In: an open file and the one reader allowed for it. Out: plain values.

The reader is given a file handle, not a name, so that nothing a file refers to is ever opened.
"""

import os
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, BinaryIO

import av
import numpy as np

from fieldnote.capture.refusal import Refusal

SILENT = 10 ** (-70 / 20)  # of full scale: below this there is nothing but the noise of the converter
FULL = 0.999
TOGETHER = 1 << 15  # samples added up at a time; frame by frame, most of the time goes into starting each sum
ONE_SIDED = 10 ** (-50 / 20)  # one channel quieter than the other by this much carries nothing


@dataclass
class Levels:
    """Running sums over all samples, enough to tell silence, a dead channel and channels that cancel."""

    samples: int = 0
    peak: float = 0.0
    clipped: int = 0
    energy: Any = None
    both: float = 0.0
    broken: int = 0
    flags: list[str] = field(default_factory=list)

    def add(self, block: Any) -> None:
        """Take in one block, shape (channels, samples), full scale 1."""
        self.samples += block.shape[1]
        if not block.size:
            return
        loud = np.abs(block)
        self.peak = max(self.peak, float(loud.max()))
        self.clipped += int((loud >= FULL).sum())
        energy = np.einsum("cs,cs->c", block, block, dtype=np.float64)
        self.energy = energy if self.energy is None else self.energy + energy
        if block.shape[0] == 2:
            self.both += float(np.einsum("s,s->", block[0], block[1], dtype=np.float64))


def facts(file: BinaryIO, reader: str) -> dict[str, Any]:
    """Length in seconds, the file's own time, flags and facts. Raises Refusal when there is no sound in it to be had."""
    try:
        unfinished = reader == "wav" and _unfinished(file)
        with av.open(file, mode="r", format=reader, metadata_errors="replace") as container:
            return _facts(container, unfinished)
    except (av.error.FFmpegError, IndexError, ValueError, EOFError) as problem:
        raise Refusal(_plainly(problem)) from None


def _unfinished(file: BinaryIO) -> bool:
    """Whether a WAV file promises more sound than it holds, or was never told how much (RIFF, "data" chunk)."""
    end = file.seek(0, os.SEEK_END)
    file.seek(0)
    plain = file.read(12)[:4] == b"RIFF"  # RF64 (EBU Tech 3306) keeps its sizes elsewhere
    while plain and len(header := file.read(8)) == 8:
        size = int.from_bytes(header[4:], "little")
        if header[:4] == b"data":
            short = file.tell() + size > end or (not size and file.tell() < end)
            file.seek(0)
            return short
        file.seek(size + size % 2, os.SEEK_CUR)
    file.seek(0)
    return False


def _facts(container: Any, unfinished: bool) -> dict[str, Any]:
    if not container.streams.audio:
        raise Refusal("there is no sound in it")
    if any(not _cover(stream) for stream in container.streams.video):
        raise Refusal("it is a film; only its sound or single photos can be taken in")
    stream = container.streams.audio[0]
    levels = _listen(container, stream)
    seconds = levels.samples / stream.rate if stream.rate else 0.0
    if not levels.samples:
        raise Refusal("it is cut short or damaged: no sound can be read from it")
    said = _length(container, stream)
    short = unfinished or (said is not None and seconds < said - max(0.5, said / 50))
    return {
        "seconds": round(seconds, 3),
        "at": _time(container, stream),
        "flags": _flags(levels, short),
        "facts": {
            "codec": stream.codec_context.name,
            "channels": str(stream.codec_context.channels),
            "rate": str(stream.rate),
        },
    }


def _cover(stream: Any) -> bool:
    return "attached_pic" in str(getattr(stream.disposition, "name", "")).lower()


def _listen(container: Any, stream: Any) -> Levels:
    levels = Levels()
    resampler = av.AudioResampler(format="fltp", frame_size=TOGETHER)
    for packet in container.demux(stream):
        try:
            blocks = [block for frame in packet.decode() for block in resampler.resample(frame)]
        except (av.error.FFmpegError, ValueError):  # ValueError: from here on the frames have another form
            levels.broken += 1
            continue
        for block in blocks:
            levels.add(block.to_ndarray())
    for block in resampler.resample(None):
        levels.add(block.to_ndarray())
    return levels


def _length(container: Any, stream: Any) -> float | None:
    if stream.duration and stream.time_base:
        return float(stream.duration * Fraction(stream.time_base))
    return container.duration / 1e6 if container.duration else None


def _flags(levels: Levels, short: bool) -> list[str]:
    flags = []
    if levels.peak < SILENT:
        flags.append("silent")
    elif levels.energy is not None and len(levels.energy) == 2:
        quiet, loud = sorted(float(energy) for energy in levels.energy)
        if quiet < loud * ONE_SIDED**2:
            flags.append("one-sided")
        elif levels.both < -0.9 * (quiet * loud) ** 0.5:
            flags.append("antiphase")
    if levels.clipped > levels.samples / 1000:
        flags.append("clipped")
    if short:
        flags.append("cut-short")
    if levels.broken:
        flags.append("damaged-passage")
    return flags


def _time(container: Any, stream: Any) -> str | None:
    tags = {**stream.metadata, **container.metadata}
    made = tags.get("creation_time") or ""
    if len(made) == 8 and tags.get("date"):  # Broadcast Wave keeps date and time apart (EBU Tech 3285)
        return f"{tags['date']}T{made}"
    return made.replace("Z", "+00:00") or None


def _plainly(problem: Exception) -> str:
    if isinstance(problem, av.error.InvalidDataError):
        return "it is cut short or damaged: it cannot be read as sound"
    return f"it cannot be read as sound ({getattr(problem, 'strerror', None) or problem})"
