"""Broken and hostile files, made from good ones with fixed seeds. Each comes with what must become of it.

`taken`: it must be filed. `flagged:NAME`: filed, with this flag. `refused`: one line, exit 3. `either`: whichever, but in order.
"""

import io
import random
import struct
import wave
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from PIL import Image, PngImagePlugin

RATE = 16_000
CODECS = {
    "m4a": ("ipod", "aac"),
    "3gp": ("3gp", "aac"),
    "ogg": ("ogg", "libopus"),
    "oga": ("ogg", "flac"),
    "mp3": ("mp3", "libmp3lame"),
    "flac": ("flac", "flac"),
    "webm": ("webm", "libopus"),
    "aac": ("adts", "aac"),
    "caf": ("caf", "pcm_s16le"),
    "aiff": ("aiff", "pcm_s16be"),
    "wma": ("asf", "wmav2"),
}
PICTURES = {"jpg": "JPEG", "png": "PNG", "webp": "WEBP", "tif": "TIFF"}


def tone(seconds: float = 2.0, hertz: float = 330.0) -> np.ndarray:
    """A tone that swells and fades, 16 bit."""
    at = np.arange(int(RATE * seconds)) / RATE
    return (9000 * np.sin(2 * np.pi * hertz * at) * np.abs(np.sin(3 * at))).astype(np.int16)


def wav(*channels: np.ndarray) -> bytes:
    """One or more channels as a WAV file."""
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setnchannels(len(channels))
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(np.stack(channels, axis=1).tobytes())
    return out.getvalue()


def encoded(ending: str, seconds: float = 2.0, metadata: dict[str, str] | None = None) -> bytes:
    """The tone in another format."""
    container, codec = CODECS[ending]
    out = io.BytesIO()
    with av.open(out, "w", format=container) as file:
        file.metadata.update(metadata or {})
        stream = file.add_stream(codec, rate={"libopus": 48_000, "wmav2": 44_100}.get(codec, RATE))
        stream.bit_rate = 64_000
        frame = av.AudioFrame.from_ndarray(tone(seconds)[None, :], format="s16", layout="mono")
        frame.sample_rate, frame.pts, frame.time_base = RATE, 0, Fraction(1, RATE)
        for packet in [*stream.encode(frame), *stream.encode(None)]:
            file.mux(packet)
    return out.getvalue()


def scene(width: int = 640, height: int = 480, seed: int = 1) -> Image.Image:
    """A picture with edges and texture."""
    rng = np.random.default_rng(seed)
    coarse = Image.fromarray(rng.integers(0, 255, (12, 16, 3), dtype=np.uint8)).resize(
        (width, height), Image.Resampling.NEAREST
    )
    return Image.fromarray(
        np.clip(np.asarray(coarse) + rng.integers(-20, 20, (height, width, 1)), 0, 255).astype(np.uint8)
    )


def picture(ending: str = "jpg", image: Image.Image | None = None, **options: object) -> bytes:
    """A picture in a format."""
    out = io.BytesIO()
    (image or scene()).save(out, PICTURES[ending], **options)
    return out.getvalue()


def damaged(content: bytes, seed: int) -> bytes:
    """The content with some bytes other, some gone or some more, reproducibly."""
    chance = random.Random(seed)
    broken = bytearray(content)
    for _ in range(chance.randint(1, 30)):
        at = chance.randrange(len(broken))
        how = chance.random()
        if how < 0.6:
            broken[at] = chance.randrange(256)
        elif how < 0.8:
            del broken[at : at + chance.randint(1, 200)]
        else:
            broken[at:at] = chance.randbytes(chance.randint(1, 200))
        if len(broken) < 2:
            break
    return bytes(broken) or b"x"


def sounds() -> Iterator[tuple[str, bytes, str]]:
    """Recordings, whole and broken."""
    plain, silent = tone(), np.zeros(2 * RATE, np.int16)
    yield "good.wav", wav(plain), "taken"
    yield "one-side.wav", wav(plain, silent), "flagged:one-sided"
    yield "other-side.wav", wav(silent, plain), "flagged:one-sided"
    yield "antiphase.wav", wav(plain, -plain), "flagged:antiphase"
    yield "silent.wav", wav(silent), "flagged:silent"
    yield "clipped.wav", wav(np.clip(plain.astype(int) * 20, -32768, 32767).astype(np.int16)), "flagged:clipped"
    yield "cut.wav", wav(plain)[: RATE * 2], "flagged:cut-short"
    yield "header-only.wav", wav(plain)[:44], "refused"
    zero = bytearray(wav(plain))
    zero[40:44] = bytes(4)
    yield "data-size-0.wav", bytes(zero), "flagged:cut-short"
    zero[40:44] = b"\xff" * 4
    yield "data-size-endless.wav", bytes(zero), "flagged:cut-short"
    yield "lying-rate.wav", wav(plain)[:24] + struct.pack("<I", 0) + wav(plain)[28:], "either"
    yield "many-channels.wav", wav(plain)[:22] + struct.pack("<H", 60000) + wav(plain)[24:], "either"
    yield "RIFF.wav", b"RIFF", "refused"
    yield "text.wav", b"this is no sound", "refused"
    yield "photo.wav", picture(), "refused"
    yield "photo.m4a", picture("png"), "refused"
    yield "wav.mp3", wav(plain), "taken"
    yield "no-ending", wav(plain, plain), "taken"
    for ending in CODECS:
        content = encoded(ending)
        yield f"good.{ending}", content, "taken"
        yield f"half.{ending}", content[: len(content) // 2], "refused" if ending in ("m4a", "3gp") else "either"
        yield f"head.{ending}", content[:40], "refused"
        yield f"zeros.{ending}", content[:32] + bytes(len(content)), "either"
        for seed in range(3):
            yield f"damaged-{seed}.{ending}", damaged(content, seed), "either"
    yield "playlist.m4a", b"#EXTM3U\nhttp://127.0.0.1:9/canary\n/etc/passwd\n", "refused"
    yield "concat.ogg", b"ffconcat version 1.0\nfile /etc/passwd\n", "refused"
    yield "session.wav", b"v=0\no=- 0 0 IN IP4 127.0.0.1\nc=IN IP4 127.0.0.1\nm=audio 9 RTP/AVP 0\n", "refused"
    yield "film.mp4", film(), "refused"


def film() -> bytes:
    """Moving pictures without sound."""
    out = io.BytesIO()
    with av.open(out, "w", format="mp4") as file:
        stream = file.add_stream("mpeg4", rate=5)
        stream.width, stream.height, stream.pix_fmt = 64, 48, "yuv420p"
        for _ in range(5):
            for packet in stream.encode(av.VideoFrame.from_image(scene(64, 48))):
                file.mux(packet)
        for packet in stream.encode(None):
            file.mux(packet)
    return out.getvalue()


def photos() -> Iterator[tuple[str, bytes, str]]:
    """Photos, whole and broken."""
    yield "dark.jpg", picture(image=Image.new("RGB", (640, 480), (3, 3, 3))), "flagged:too-dark"
    soft = (
        scene(64, 48)
        .resize((640, 480), Image.Resampling.BICUBIC)
        .resize((8, 6))
        .resize((640, 480), Image.Resampling.BICUBIC)
    )
    yield "soft.jpg", picture(image=soft), "flagged:blurred"
    bomb = io.BytesIO()
    Image.new("1", (20_000, 20_000)).save(bomb, "PNG")
    yield "bomb.png", bomb.getvalue(), "refused"
    notes = PngImagePlugin.PngInfo()
    notes.add_text("XML:com.adobe.xmp", "<x:xmpmeta xmlns:x='adobe:ns:meta/'>http://127.0.0.1:9/canary</x:xmpmeta>")
    yield "refers.png", picture("png", pnginfo=notes), "taken"
    yield (
        "drawing.svg",
        b"<svg xmlns='http://www.w3.org/2000/svg'><image href='http://127.0.0.1:9/canary'/></svg>",
        "refused",
    )
    yield (
        "drawing.jpg",
        b"<svg xmlns='http://www.w3.org/2000/svg'><image href='http://127.0.0.1:9/canary'/></svg>",
        "refused",
    )
    yield "drawing.png", b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n", "refused"
    yield "sound.jpg", wav(tone()), "refused"
    yield "broken.heic", b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic" + bytes(200), "refused"
    yield "odd.gif", b"GIF89a" + bytes(40), "refused"
    for ending in PICTURES:
        content = picture(ending)
        yield f"good.{ending}", content, "taken"
        yield f"half.{ending}", content[: len(content) // 2], "refused"
        yield f"head.{ending}", content[:30], "refused"
        for seed in range(10):
            yield f"damaged-{seed}.{ending}", damaged(content, seed), "either"


def texts() -> Iterator[tuple[str, bytes, str]]:
    """Written notes, whole and broken."""
    yield "good.txt", "washer perished, 20 mbar, ½ inch\n".encode(), "taken"
    yield "mark.txt", b"\xef\xbb\xbfwasher perished\r\n", "taken"
    yield "hidden.txt", "cap\u200b cra\u202ecked\u202c \x1b[2J\x07 fine\n".encode(), "taken"
    yield "long-line.txt", b"washer " * 20_000, "taken"
    yield "zeros.txt", b"washer\x00perished", "refused"
    yield "latin.txt", "Prüfung".encode("latin-1"), "refused"
    yield "wide.txt", "washer".encode("utf-16"), "refused"
    yield "blank.txt", b" \n\t\n", "refused"
    yield "huge.txt", b"a" * (1 << 20) + b"b", "refused"
    yield "sheet.csv", b"a,b\n1,2\n", "refused"
    yield "page.html", b"<script>alert(1)</script>", "refused"
    yield "archive.zip", b"PK\x03\x04" + bytes(40), "refused"
    for seed in range(38):
        yield f"noise-{seed}.txt", random.Random(seed).randbytes(200), "either"


NAMES = (
    "a b.txt", " leading.txt", "trailing .txt", "-rf.txt", "--json.txt", "*.txt", "$(id).txt", "`id`.txt", "a;b.txt", "a|b.txt",
    "quote'.txt", 'quote".txt', "back\\slash.txt", "new\nline.txt", "tab\there.txt", "esc\x1b[31m.txt", "bell\x07.txt",
    "del\x7f.txt", "ünï.txt", "u\u0308.txt", "日本.txt", "🔥.txt", "rtl\u202egpj.txt", "zero\u200bwidth.txt", "=1+1.txt",
    "<b>.txt", "&amp;.txt", "%s%n.txt", "raw\udcff\udcfe.txt", "x" * 250 + ".txt",
)  # fmt: skip


def put(folder: Path) -> dict[Path, str]:
    """All of them as files under `folder`, with what must become of each."""
    folder.mkdir()
    made = {}
    for kind in (sounds, photos, texts):
        (folder / kind.__name__).mkdir()
        for name, content, becomes in kind():
            (folder / kind.__name__ / name).write_bytes(content)
            made[folder / kind.__name__ / name] = becomes
    return made
