"""The child process that opens sound files: `python -m fieldnote.speech.decoding < FILE`.

Comes in: a sound file on standard input, whose name it never sees. Goes out on standard output: one line of JSON (channels,
seconds), then signed 16-bit samples at 16 kHz, interleaved; on standard error one line of JSON that says what was wrong. It
may know nothing else of the project: files come from strangers, so it runs under limits of memory and time, opens only the
formats listed here, and follows no reference inside a file (no playlist, no second protocol).
"""

import json
import os
import sys
from collections.abc import Iterator
from typing import Any

RATE = 16000
MEMORY = 2 << 30
MAGIC = (  # offset, bytes, demuxer, what it is
    (8, b"WAVE", "wav", "wav"),
    (0, b"OggS", "ogg", "ogg"),
    (0, b"fLaC", "flac", "flac"),
    (0, b"\x1a\x45\xdf\xa3", "matroska", "webm"),
    (4, b"ftyp", "mov", "m4a or 3gp"),
    (0, b"#!AMR", "amr", "amr"),
    (0, b"ID3", "mp3", "mp3"),
)


class Unusable(Exception):
    """The file cannot be used; the message is for people."""


def demuxer(head: bytes) -> str:
    """The one demuxer that may open a file that begins like this. Raises Unusable for anything that is not listed."""
    if not head:
        raise Unusable("the file is empty")
    for offset, magic, name, _ in MAGIC:
        if head[offset : offset + len(magic)] == magic:
            return name
    if head[0] == 0xFF and head[1:2] and head[1] & 0xE0 == 0xE0:
        return "aac" if head[1] & 0x06 == 0 else "mp3"
    raise Unusable("not a sound format that is read (wav, m4a, aac, mp3, ogg, opus, webm, flac, amr, 3gp)")


def decode(file: Any, out: Any) -> dict[str, int]:
    """Decode a seekable binary file to `out`; returns how many damaged packets were passed over.

    Raises Unusable when there is no sound to be had.
    """
    import av

    name = demuxer(file.read(16))
    file.seek(0)
    try:
        with av.open(file, format=name, metadata_errors="ignore", options={"protocol_whitelist": "none"}) as container:
            if not container.streams.audio:
                raise Unusable("there is no sound in it")
            return _stream(container, container.streams.audio[0], out)
    except (av.error.FFmpegError, IndexError, ValueError, EOFError) as problem:
        raise Unusable(_in_words(name, problem)) from None


def _stream(container: Any, stream: Any, out: Any) -> dict[str, int]:
    import av

    channels = min(2, stream.codec_context.channels or 1)
    seconds = float(container.duration / av.time_base) if container.duration else 0.0
    out.write((json.dumps({"channels": channels, "seconds": max(0.0, seconds)}) + "\n").encode())
    resampler = av.AudioResampler(format="s16", layout="mono" if channels == 1 else "stereo", rate=RATE)
    bad = {"damaged": 0, "frames": 0}
    for frame in _frames(container, stream, bad):
        for piece in resampler.resample(frame):
            out.write(bytes(piece.planes[0])[: piece.samples * 2 * channels])
    if not bad["frames"]:
        raise Unusable("no sound could be read out of it")
    return bad


def _frames(container: Any, stream: Any, bad: dict[str, int]) -> Iterator[Any]:
    """Decoded frames, then None to flush the resampler; damaged packets are counted and passed over."""
    import av

    for packet in container.demux(stream):
        try:
            frames = packet.decode()
        except av.error.FFmpegError:
            bad["damaged"] += 1
            continue
        for frame in frames:
            bad["frames"] += 1
            frame.pts = None
            yield frame
    yield None


def _in_words(name: str, problem: Exception) -> str:
    if name == "mov":
        return "the recording was cut off before its index was written, or it is damaged"
    return f"the sound is damaged or cut off ({str(problem) or type(problem).__name__})"


def _limit() -> None:
    """Bound memory and processor time where the system can do that."""
    try:
        import resource
    except ImportError:
        return
    allowed = 60 + os.fstat(0).st_size // 100_000
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (allowed, allowed))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def main() -> int:
    """Decode standard input to standard output; 0 done, 3 unusable."""
    import av

    av.logging.set_level(None)
    _limit()
    try:
        report: dict[str, Any] = decode(sys.stdin.buffer, sys.stdout.buffer)
        sys.stdout.buffer.flush()
    except (Unusable, MemoryError) as problem:
        report = {"error": str(problem) or "it needs too much memory"}
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        return 0
    print(json.dumps(report), file=sys.stderr)
    return 3 if "error" in report else 0


if __name__ == "__main__":
    sys.exit(main())
