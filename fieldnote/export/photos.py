"""Copies of photos for readers. In: the path of an original. Out: JPEG bytes without position, owner or any other metadata.

The original is never touched. A copy is upright, no larger than asked, and made anew from pixels, so that nothing of the
file's own notes can travel with it.
"""

import base64
import io
from pathlib import Path

FORMATS = ("JPEG", "PNG", "WEBP", "TIFF")
PIXELS = 220_000_000  # more than any telephone takes; a picture that claims more is not opened


def copy(path: Path, side: int = 1400, quality: int = 82) -> bytes | None:
    """A JPEG copy whose longer side is at most `side` pixels; None where the file cannot be shown as a picture."""
    from PIL import Image, ImageOps, UnidentifiedImageError

    Image.MAX_IMAGE_PIXELS = None  # our own limit below is the one that counts; Pillow's would only warn
    try:
        with Image.open(path, formats=_formats()) as original:
            if original.width * original.height > PIXELS:
                return None
            original.draft("RGB", (side, side))
            upright = ImageOps.exif_transpose(original).convert("RGB")
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return None
    upright.thumbnail((side, side))
    bare = Image.new("RGB", upright.size)
    bare.paste(upright)
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=quality, optimize=True)
    return out.getvalue()


def inline(content: bytes) -> str:
    """A picture as an address that carries it, for a page that is one file."""
    return "data:image/jpeg;base64," + base64.b64encode(content).decode("ascii")


def _formats() -> list[str]:
    try:
        import pi_heif
    except ImportError:
        return list(FORMATS)
    pi_heif.register_heif_opener()
    return [*FORMATS, "HEIF"]
