"""Which files are taken in: a closed list of formats, told by their first bytes and never by their name.

In: the first bytes of a file and its name. Out: one row of `FORMATS`. The name only helps to say what is wrong.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

HEAD = 64  # bytes that tell a format
MEGA = 1 << 20


@dataclass(frozen=True, slots=True)
class Format:
    """One format: its short name, which is also the ending it is filed with, what it holds, and the reader's name for it."""

    name: str
    kind: str
    reader: str
    starts: Callable[[bytes], bool]


def _brand(*brands: bytes) -> Callable[[bytes], bool]:
    """ISO base media files (ISO/IEC 14496-12) say what they are in their first box."""
    return lambda head: head[4:8] == b"ftyp" and head[8:12] in brands


def _riff(form: bytes) -> Callable[[bytes], bool]:
    return lambda head: head[:4] in (b"RIFF", b"RF64") and head[8:12] == form


def _start(*magic: bytes) -> Callable[[bytes], bool]:
    return lambda head: head.startswith(magic)


def _mpeg(head: bytes) -> bool:
    """An ID3 tag (ID3v2.4), or the sync word of MPEG-1/2 layer III (ISO/IEC 11172-3)."""
    return head[:3] == b"ID3" or (head[:1] == b"\xff" and len(head) > 1 and head[1] & 0xE6 == 0xE2)


def _adts(head: bytes) -> bool:
    """The sync word of an ADTS frame, layer bits zero (ISO/IEC 13818-7)."""
    return head[:1] == b"\xff" and len(head) > 1 and head[1] & 0xF6 == 0xF0


HEIC = _brand(b"heic", b"heix", b"heim", b"heis", b"mif1", b"msf1")
FORMATS = (
    Format("wav", "recording", "wav", _riff(b"WAVE")),
    Format("flac", "recording", "flac", _start(b"fLaC")),
    Format("ogg", "recording", "ogg", _start(b"OggS")),
    Format("aiff", "recording", "aiff", lambda head: head[:4] == b"FORM" and head[8:12] in (b"AIFF", b"AIFC")),
    Format("caf", "recording", "caf", _start(b"caff")),
    Format("amr", "recording", "amr", _start(b"#!AMR")),
    Format("webm", "recording", "matroska", _start(b"\x1a\x45\xdf\xa3")),
    Format("wma", "recording", "asf", _start(bytes.fromhex("3026b2758e66cf11"))),
    Format("heic", "photo", "HEIF", HEIC),
    Format("m4a", "recording", "mov", lambda head: head[4:8] == b"ftyp" and not HEIC(head) and head[8:12] != b"avif"),
    Format("jpeg", "photo", "JPEG", _start(b"\xff\xd8\xff")),
    Format("png", "photo", "PNG", _start(b"\x89PNG\r\n\x1a\n")),
    Format("webp", "photo", "WEBP", _riff(b"WEBP")),
    Format("tiff", "photo", "TIFF", _start(b"II*\x00", b"MM\x00*")),
    Format("aac", "recording", "aac", _adts),
    Format("mp3", "recording", "mp3", _mpeg),
)
NOTE = Format("txt", "note", "text", lambda _: True)
BIGGEST = {"recording": 8 << 30, "photo": 256 * MEGA, "note": 1 * MEGA}
ENDINGS = {
    "recording": "wav wave flac ogg oga opus aif aiff caf amr 3gp 3ga webm weba wma m4a mp4 mp3 aac".split(),
    "photo": "jpg jpeg png webp tif tiff heic heif gif bmp".split(),
    "note": ["txt"],
}
THINGS = {"recording": "sound", "photo": "a picture", "note": "text"}


def recognise(head: bytes, path: Path) -> Format | str:
    """The format of a file by its first bytes, or in plain words why it is not taken in."""
    ending = path.suffix.lower().lstrip(".")
    promised = next((kind for kind, endings in ENDINGS.items() if ending in endings), None)
    found = next((one for one in FORMATS if one.starts(head)), None)
    if found is None:
        return NOTE if promised == "note" else _unknown(ending, promised)
    if promised not in (None, found.kind):
        return f"it is called .{ending} but holds {THINGS[found.kind]} ({found.name})"
    return found


def _unknown(ending: str, promised: str | None) -> str:
    if promised:
        return (
            f"it is called .{ending} but holds no {THINGS[promised].removeprefix('a ')} in a format that is read here"
        )
    return "recordings, photos and notes (.txt) are"
