"""The demo's photos. In: moments.json (when each was taken, made by sounds.py). Out: one JPEG each, with EXIF time and offset.

Every picture is drawn here; the appliances, plates and numbers are invented and belong to no maker. Wants Pillow, numpy:

    python photos.py [--only electrode]
"""

import argparse
import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
from canvas import BRASS, CERAMIC, HEIGHT, RUBBER, STEEL, WIDTH, Canvas
from PIL import ExifTags, Image

HERE = Path(__file__).parent
CLOTH, WORKTOP, WALL = (86, 104, 128), (176, 150, 118), (224, 219, 207)


def vent() -> Image.Image:
    """A louvred room vent in a kitchen wall."""
    view = Canvas(WALL, 4, 1)
    view.box(300, 250, 680, 440, (240, 239, 234), 14)
    view.box(345, 295, 590, 350, (206, 205, 199), 6, raised=False)
    for n in range(9):
        y = 305 + n * 38
        view.box(355, y, 570, 15, (40, 40, 42), 2, raised=False)
        view.box(355, y + 14, 570, 18, (246, 245, 241), 3, raised=False)
    for x in (322, 958):
        for y in (272, 668):
            view.disc(x, y, 11, STEEL, 0.6)
            view.line([(x - 6, y - 6), (x + 6, y + 6)], (70, 70, 74), 2.5)
    view.specks(380, 520, 520, 120, (150, 146, 136), 40, 2)
    return view.taken(1.2)


def _plate(view: Canvas, rows: list[tuple[str, str]], title: str, colour: tuple[int, int, int]) -> None:
    view.box(170, 150, 940, 660, colour, 18)
    view.text(640, 215, title, 40, anchor="mm")
    view.line([(200, 260), (1080, 260)], (40, 40, 44), 2)
    for n, (name, value) in enumerate(rows):
        y = 312 + n * 68
        view.text(215, y, name, 30)
        view.text(690, y, value, 36)
        view.line([(200, y + 36), (1080, y + 36)], (150, 150, 154), 1)
    for x in (196, 1084):
        for y in (176, 784):
            view.disc(x, y, 13, STEEL, 0.8, raised=True)


def hob_plate() -> Image.Image:
    """The data plate of the hob: riveted metal."""
    view = Canvas((62, 64, 68), 5, 2, streaks=True)
    rows = [
        ("Type", "H4-58, four burners"),
        ("Gas", "2H  G20  20 mbar"),
        ("Heat input, gross", "7.5 kW"),
        ("Burners", "1.0 / 1.75 / 1.75 / 3.0 kW"),
        ("Supply", "230 V  50 Hz  1 W"),
        ("Serial no.", "4417-02931"),
        ("Year", "2019"),
    ]
    _plate(view, rows, "GAS HOB", (190, 192, 194))
    view.specks(220, 620, 800, 260, (150, 128, 84), 26, 4)
    return view.taken(-1.6)


def boiler_plate() -> Image.Image:
    """The data plate of the boiler: a printed label inside a white case."""
    view = Canvas((206, 208, 210), 2, 3)
    rows = [
        ("Type", "C24, room-sealed"),
        ("Gas", "2H  G20  20 mbar"),
        ("Heat input, net", "24.0 kW"),
        ("Heat input, gross", "26.6 kW"),
        ("Water pressure, max", "3 bar"),
        ("Serial no.", "0318-77205"),
        ("Year", "2021"),
    ]
    _plate(view, rows, "COMBINATION BOILER", (250, 250, 247))
    return view.taken(1.0)


def electrode() -> Image.Image:
    """A spark electrode with a cracked ceramic, and a sound one beside it."""
    view = Canvas(CLOTH, 7, 4)
    for x, worn in ((440, True), (850, False)):
        view.turned(x, [(90, 3), (110, 9), (250, 10)], STEEL, 0.7)
        view.turned(x, [(235, 34), (250, 44), (480, 50)], CERAMIC if not worn else (226, 218, 202), 0.45)
        view.turned(x, [(480, 62), (500, 66), (560, 66), (580, 62)], STEEL, 0.6)
        view.turned(x, [(580, 48), (745, 46), (770, 40)], CERAMIC, 0.4)
        view.turned(x, [(770, 13), (860, 13)], BRASS, 0.6)
        if worn:
            view.specks(x - 50, 225, 100, 80, (74, 58, 44), 60, 4)
            view.crack((x - 46, 318), (x + 47, 398), 5, 7)
            view.crack((x - 6, 356), (x + 16, 470), 4, 4)
            view.crack((x - 40, 420), (x + 2, 400), 4, 3)
    return view.taken(-0.8)


def injector() -> Image.Image:
    """A blocked injector and a clear one, seen from the end, stamped with their bore."""
    view = Canvas((196, 194, 188), 6, 5)
    for x, blocked in ((400, True), (880, False)):
        view.shape(
            [(x + 190 * np.cos(a), 470 + 190 * np.sin(a)) for a in np.arange(6) * np.pi / 3 + 0.15], (172, 130, 58)
        )
        view.disc(x, 470, 152, (204, 160, 82), 0.45)
        view.disc(x, 470, 104, (188, 144, 68), -0.5)
        view.disc(x, 470, 92, (212, 170, 92), 0.3)
        view.text(x, 345, "97", 34, (96, 68, 24), "mm")
        if blocked:
            view.specks(x - 150, 320, 300, 300, (50, 38, 26), 260, 9)
            view.disc(x, 470, 30, (34, 26, 20), 0.5)
            view.specks(x - 60, 410, 120, 120, (26, 20, 16), 90, 8)
        else:
            view.disc(x, 470, 34, (120, 88, 36), -0.8)
            view.disc(x, 470, 21, (6, 6, 8))
    view.text(400, 760, "rear right, as found", 30, (70, 70, 74), "mm")
    view.text(880, 760, "cleaned", 30, (70, 70, 74), "mm")
    return view.taken(0.6)


def tap() -> Image.Image:
    """The taper plug of a gas tap, drawn from its body, with dried grease on it."""
    view = Canvas(CLOTH, 8, 6)
    view.turned(400, [(150, 26), (330, 26), (332, 58), (370, 58)], STEEL, 0.5)
    view.turned(400, [(370, 124), (400, 128), (700, 84), (720, 74)], BRASS, 0.55)
    view.disc(392, 540, 30, (60, 44, 18), -0.9)
    for x, y, w, h in ((300, 400, 150, 130), (380, 560, 130, 130), (330, 480, 170, 190), (420, 390, 90, 110)):
        view.specks(x, y, w, h, (92, 66, 38), 70, 7)
        view.specks(x, y, w, h, (52, 38, 26), 30, 5)
    view.turned(
        870, [(230, 150), (250, 160), (610, 150), (620, 96), (730, 92), (735, 62), (850, 62)], (176, 140, 78), 0.4
    )
    for n in range(9):
        view.line([(810, 748 + n * 11), (930, 742 + n * 11)], (104, 80, 40), 2.5)
    view.disc(870, 430, 34, (24, 20, 14))
    view.turned(870, [(225, 118), (262, 118)], (40, 32, 22), 0.0, raised=False)
    view.box(650, 420, 100, 90, (150, 116, 60), 10)
    view.box(990, 420, 130, 90, (150, 116, 60), 10)
    return view.taken(1.5)


def _flame(light: np.ndarray, x: float, foot: float, height: float, lean: float, lazy: bool) -> None:
    """One flame as light: a blue cone with a paler heart, and for a lazy one a yellow tip that wanders."""
    yy, xx = np.mgrid[0:HEIGHT, 0:WIDTH]
    up = (foot - yy) / height
    inside = (up > 0) & (up < 1)
    middle = x + lean * np.clip(up, 0, 1) ** 2 * height
    wide = height * 0.13 * np.sqrt(np.clip(1 - up, 0, 1)) * (0.6 + 0.9 * np.clip(up, 0, 0.3))
    body = np.where(inside, np.exp(-(((xx - middle) / np.maximum(wide, 1)) ** 2)), 0)
    heart = body * np.clip(1 - 2.2 * up, 0, 1)
    tip = np.clip((up - 0.38) * 3, 0, 1) * body if lazy else 0 * body
    light += body[..., None] * np.array([26, 70, 215]) * (1 - np.clip(tip, 0, 1))[..., None]
    light += heart[..., None] * np.array([70, 130, 110]) + tip[..., None] * np.array([255, 176, 40])


def flames() -> Image.Image:
    """The same burner before and after: yellow tips, then blue."""
    view = Canvas((26, 26, 30), 3, 7)
    light = np.zeros((HEIGHT, WIDTH, 3))
    for x, lazy in ((330, True), (950, False)):
        for n in range(11):
            spread = (n - 5) / 5
            height = (250 + 60 * view.chance.uniform(-1, 1)) if lazy else 150
            _flame(light, x + 200 * spread, 600 - 14 * (1 - abs(spread)), height, 0.35 * spread, lazy)
    for x in (330, 950):
        view.shape([(x - 260, 760), (x + 260, 760), (x + 215, 650), (x - 215, 650)], (72, 72, 76))
        view.box(x - 215, 590, 430, 62, (104, 104, 108), 8, raised=False)
        for n in range(15):
            view.box(x - 205 + n * 29, 602, 8, 34, (22, 22, 24), 3, raised=False)
        view.box(x - 190, 560, 380, 32, (48, 48, 52), 14, raised=False)
    view.glow(light)
    view.line([(640, 0), (640, 960)], (230, 230, 230), 6)
    view.text(330, 860, "before", 34, (210, 210, 210), "mm")
    view.text(950, 860, "after", 34, (210, 210, 210), "mm")
    return view.taken(noise=4)


def _index(reading: str, seed: int, tilt: float) -> Image.Image:
    """The face of a metric diaphragm meter: five black drums, three red ones, after the decimal mark."""
    view = Canvas((168, 170, 166), 4, seed)
    view.box(150, 170, 980, 560, (232, 232, 226), 26)
    whole, part = reading.split(".")
    view.box(190, 300, 570, 170, (16, 16, 18), 10)
    view.box(770, 300, 336, 170, (176, 26, 28), 10)
    for n, digit in enumerate(whole + part):
        x = 250 + n * 112 + (22 if n >= len(whole) else 0)
        ground = (30, 30, 33) if n < len(whole) else (196, 40, 40)
        view.box(x - 42, 318, 84, 134, ground, 8, raised=False)
        view.text(x, 386, digit, 104, (246, 246, 240), "mm")
    view.text(1086, 500, "m3", 40, anchor="rm")
    view.text(200, 545, "G4    Qmax 6 m3/h    Qmin 0.04 m3/h    V 1.2 dm3", 32)
    view.text(200, 605, "pmax 0.5 bar    dry gas meter", 32)
    view.text(200, 665, "No. 20-118264", 32)
    for x in (172, 1108):
        view.disc(x, 196, 10, STEEL, 0.7)
    return view.taken(tilt)


def meter() -> Image.Image:
    """The meter's index at the first reading."""
    return _index("08436.524", 8, -1.0)


def meter_after() -> Image.Image:
    """The meter's index at the second reading."""
    return _index("08436.606", 9, 0.7)


def hose() -> Image.Image:
    """A perished rubber hose: cracks across the outside of the bend."""
    view = Canvas((146, 140, 130), 6, 10)
    turn = np.linspace(np.pi, 0, 40)
    bend = [(640 + 330 * np.cos(a), 520 - 330 * np.sin(a)) for a in turn]
    view.tube([(310, 960), (310, 740), *bend, (970, 620)], 62, RUBBER, 0.12)
    for n, a in enumerate(np.linspace(2.5, 0.65, 17)):
        inner, outer = 322 + 20 * (n % 3), 386
        start = (640 + inner * np.cos(a), 520 - inner * np.sin(a))
        end = (640 + outer * np.cos(a + 0.04), 520 - outer * np.sin(a + 0.04))
        view.crack(start, end, 2.5, 5 + n % 3, (104, 102, 100))
    view.turned(970, [(610, 74), (640, 78), (730, 78), (740, 70)], BRASS, 0.5)
    view.turned(970, [(740, 96), (750, 100), (850, 100), (860, 94)], BRASS, 0.5)
    view.turned(970, [(860, 56), (960, 56)], STEEL, 0.4)
    return view.taken(-0.7)


def label() -> Image.Image:
    """A card tied to the closed isolation valve, written by hand."""
    view = Canvas((188, 182, 170), 5, 11)
    view.tube([(0, 300), (1280, 300)], 44, (186, 110, 66), 0.3)
    view.box(520, 225, 240, 150, (190, 150, 78), 22)
    view.disc(640, 300, 66, (206, 164, 90), 0.5, raised=True)
    view.box(616, 70, 48, 260, (178, 60, 46), 18)
    view.line([(640, 330), (600, 440), (560, 520)], (232, 226, 206), 5)
    view.shape([(330, 520), (900, 500), (950, 560), (940, 860), (345, 880), (300, 590)], (206, 176, 128))
    view.disc(560, 545, 17, (238, 232, 216), -0.6)
    for n, words in enumerate(("HOB TURNED OFF", "hose perished - do not use", "18 Nov, back on 25 Nov")):
        view.text(625, 625 + n * 84, words, 54 if n == 0 else 42, (38, 42, 92), "mm")
    return view.taken(1.0)


PICTURES: dict[str, Callable[[], Image.Image]] = {
    "vent": vent,
    "hob-plate": hob_plate,
    "electrode": electrode,
    "injector": injector,
    "tap": tap,
    "flames": flames,
    "boiler-plate": boiler_plate,
    "meter": meter,
    "meter-after": meter_after,
    "hose": hose,
    "label": label,
}


def keep(picture: Image.Image, name: str, taken: datetime) -> Path:
    """Write one photo with the EXIF fields that a phone writes: original time, its offset from UTC, camera."""
    exif = Image.Exif()
    exif[ExifTags.Base.Make], exif[ExifTags.Base.Model] = "Invented", "Pocket camera"
    exif[ExifTags.Base.Orientation] = 1
    inner = exif.get_ifd(ExifTags.IFD.Exif)
    stamp, offset = taken.strftime("%Y:%m:%d %H:%M:%S"), taken.strftime("%z")
    for field in (ExifTags.Base.DateTimeOriginal, ExifTags.Base.DateTimeDigitized):
        inner[field] = stamp
    for field in (ExifTags.Base.OffsetTimeOriginal, ExifTags.Base.OffsetTimeDigitized):
        inner[field] = f"{offset[:3]}:{offset[3:]}"
    to = HERE.parent / f"photo-{taken.astimezone(UTC):%Y%m%d-%H%M%S}Z-{name}.jpg"
    picture.save(to, "JPEG", quality=76, exif=exif)
    return to


def main() -> None:
    """Draw all photos, or one."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--only", choices=PICTURES)
    only = asked.parse_args().only
    moments = json.loads((HERE / "moments.json").read_text("utf-8"))
    for name, draw in PICTURES.items():
        if only in (None, name):
            for old in HERE.parent.glob(f"photo-????????-??????Z-{name}.jpg"):
                old.unlink()
            to = keep(draw(), name, datetime.fromisoformat(moments[name]))
            print(f"{to.name}: {to.stat().st_size // 1024} kB")


if __name__ == "__main__":
    main()
