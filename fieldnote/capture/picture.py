"""What a photo holds, read in the child process. In: an open file and the one reader allowed for it. Out: plain values.

Position, owner and serial number stay in the original; only the time and the camera's model are read out.
"""

from typing import Any, BinaryIO

from PIL import Image, UnidentifiedImageError

from fieldnote.capture.refusal import Refusal

MOST_PIXELS = 250_000_000
LOOK = 360  # pixels on the long side that are enough to judge
TOO_DARK = 24  # mean of 0..255
BLURRED = 12.0  # spread of the second differences of 0..255; common practice, no source
EXIF, MODEL, ORIGINAL, OFFSET, FRACTION = 0x8769, 0x0110, 0x9003, 0x9011, 0x9291  # Exif 2.32


def facts(file: BinaryIO, reader: str) -> dict[str, Any]:
    """The photo's own time, flags and facts. Raises Refusal when it cannot be decoded to its last line."""
    Image.MAX_IMAGE_PIXELS = None  # the limit is this module's own, and it refuses instead of warning
    if reader == "HEIF":
        _allow_heif()
    try:
        with Image.open(file, formats=[reader]) as image:
            return _facts(image)
    except UnidentifiedImageError:
        raise Refusal("it cannot be read as a picture") from None
    except (OSError, ValueError, SyntaxError, EOFError, IndexError, KeyError, TypeError, OverflowError) as problem:
        raise Refusal(f"it is cut short or damaged ({problem})") from None


def _allow_heif() -> None:
    try:
        from pi_heif import register_heif_opener
    except ImportError:
        raise Refusal("HEIC pictures need the part 'heic': pip install 'fieldnote[heic]'") from None
    register_heif_opener()


def _facts(image: Image.Image) -> dict[str, Any]:
    width, height = image.size
    if width * height > MOST_PIXELS:
        raise Refusal(f"it has {width} x {height} pixels, more than {MOST_PIXELS // 1_000_000} million")
    exif = image.getexif()
    image.draft("L", (LOOK, LOOK))
    grey = image.convert("L")
    grey.thumbnail((LOOK, LOOK), Image.Resampling.BOX)
    camera = str(exif.get(MODEL, "")).strip("\x00 ")[:60]
    return {
        "at": _time(exif.get_ifd(EXIF)),
        "flags": _flags(grey),
        "facts": {"width": str(width), "height": str(height), "look": look(grey)}
        | ({"camera": camera} if camera else {}),
    }


def _time(exif: dict[int, Any]) -> str | None:
    taken = str(exif.get(ORIGINAL, "")).strip("\x00 ")
    if len(taken) != 19:
        return None
    offset = str(exif.get(OFFSET, "")).strip("\x00 ")
    return taken[:10].replace(":", "-") + "T" + taken[11:] + (offset if len(offset) == 6 else "")


def _flags(grey: Image.Image) -> list[str]:
    import numpy as np

    values = np.asarray(grey, dtype=np.float32)
    if values.mean() < TOO_DARK:
        return ["too-dark"]
    if min(values.shape) < 16:
        return []
    around = values[:-2, 1:-1] + values[2:, 1:-1] + values[1:-1, :-2] + values[1:-1, 2:] - 4 * values[1:-1, 1:-1]
    return ["blurred"] if around.var() < BLURRED else []


def look(grey: Image.Image) -> str:
    """A 64-bit print of how a picture looks: whether each of 8 x 8 fields is lighter than the one to its right."""
    small = grey.resize((9, 8), Image.Resampling.BOX)
    values = list(small.tobytes())
    bits = [values[row * 9 + column] > values[row * 9 + column + 1] for row in range(8) for column in range(8)]
    return f"{sum(bit << place for place, bit in enumerate(bits)):016x}"
