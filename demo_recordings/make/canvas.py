"""A small drawing table for photos.py: surfaces with grain, turned metal and ceramic with light on them, shadows, text.

In: shapes in pixels of a 1280 x 960 picture. Out: a PIL image that looks taken rather than drawn. Knows nothing of gas.
Drawn at twice the size and brought down at the end. Wants Pillow and numpy.
"""

from collections.abc import Callable, Sequence

import numpy as np
from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont

WIDTH, HEIGHT, FINE = 1280, 960, 2
Colour = tuple[int, int, int]
Spot = tuple[float, float]
BRASS, STEEL, CERAMIC, RUBBER = (196, 152, 74), (150, 153, 158), (236, 231, 220), (44, 44, 47)


class Canvas:
    """One picture. The light comes from the upper left."""

    def __init__(self, colour: Colour, grain: float, seed: int, streaks: bool = False) -> None:
        self.chance = np.random.default_rng(seed)
        noise = self.chance.standard_normal((HEIGHT, WIDTH))
        if streaks:
            noise = np.apply_along_axis(lambda row: np.convolve(row, np.ones(60) / 12, "same"), 1, noise)
        y, x = np.mgrid[0:HEIGHT, 0:WIDTH]
        light = 1.12 - 0.28 * x / WIDTH - 0.18 * y / HEIGHT
        flat = np.clip((np.array(colour) + grain * noise[..., None]) * light[..., None], 0, 255).astype(np.uint8)
        self.image = Image.fromarray(flat).resize((WIDTH * FINE, HEIGHT * FINE), Image.Resampling.BICUBIC)

    def _mask(self, draw: Callable[[ImageDraw.ImageDraw], None]) -> Image.Image:
        mask = Image.new("L", self.image.size, 0)
        draw(ImageDraw.Draw(mask))
        return mask

    def _paste(self, paint: Image.Image | Colour, mask: Image.Image) -> None:
        self.image.paste(paint, (0, 0, *self.image.size), mask)

    def shadow(self, mask: Image.Image, away: int = 14, soft: int = 14, depth: float = 0.5) -> None:
        """The shadow that a shape throws on what is drawn so far."""
        fallen = ImageChops.offset(mask, away * FINE, away * FINE).filter(ImageFilter.GaussianBlur(soft * FINE))
        self._paste((8, 8, 10), fallen.point(lambda v: int(v * depth)))

    def shape(self, spots: Sequence[Spot], colour: Colour, raised: bool = True, soft: float = 0.0) -> Image.Image:
        """A flat polygon; `raised` throws a shadow, `soft` blurs its edge. Returns its mask."""
        mask = self._mask(lambda d: d.polygon([(x * FINE, y * FINE) for x, y in spots], fill=255))
        if raised:
            self.shadow(mask)
        if soft:
            mask = mask.filter(ImageFilter.GaussianBlur(soft * FINE))
        self._paste(colour, mask)
        return mask

    def box(
        self, x: float, y: float, w: float, h: float, colour: Colour, round_: float = 0, raised: bool = True
    ) -> None:
        """A flat rectangle with rounded corners."""
        edge = [v * FINE for v in (x, y, x + w, y + h)]
        mask = self._mask(lambda d: d.rounded_rectangle(edge, round_ * FINE, fill=255))
        if raised:
            self.shadow(mask)
        self._paste(colour, mask)

    def disc(self, x: float, y: float, r: float, colour: Colour, dome: float = 0.0, raised: bool = False) -> None:
        """A round thing seen from above; `dome` from -1 (hollow) over 0 (flat) to 1 (bulging)."""
        mask = self._mask(lambda d: d.ellipse([v * FINE for v in (x - r, y - r, x + r, y + r)], fill=255))
        if raised:
            self.shadow(mask)
        yy, xx = np.mgrid[0 : self.image.height, 0 : self.image.width]
        tilt = ((xx / FINE - x) + (yy / FINE - y)) / (1.414 * r)
        shade = np.clip(1 - 0.55 * dome * tilt, 0.2, 1.7)
        paint = np.clip(np.array(colour) * shade[..., None], 0, 255).astype(np.uint8)
        self._paste(Image.fromarray(paint), mask)

    def turned(
        self, x: float, profile: Sequence[Spot], colour: Colour, gloss: float = 0.5, raised: bool = True
    ) -> None:
        """A turned part standing upright: `profile` is (height in the picture, radius) from top to bottom."""
        yy, xx = np.mgrid[0 : self.image.height, 0 : self.image.width] / FINE
        at, radii = zip(*profile, strict=True)
        radius = np.interp(yy, at, radii, left=0, right=0)
        across = np.divide(xx - x, radius, out=np.full_like(xx, 2.0), where=radius > 0)
        inside = np.abs(across) < 1
        facing = np.clip(-0.55 * across + 0.83 * np.sqrt(np.clip(1 - across**2, 0, 1)), 0, 1)
        paint = np.array(colour) * (0.22 + 0.85 * facing[..., None]) + 255 * gloss * facing[..., None] ** 24
        mask = Image.fromarray((inside * 255).astype(np.uint8))
        if raised:
            self.shadow(mask)
        self._paste(Image.fromarray(np.clip(paint, 0, 255).astype(np.uint8)), mask)

    def tube(self, spots: Sequence[Spot], r: float, colour: Colour, gloss: float = 0.25) -> None:
        """A bent tube along a line of spots: many thin strokes, dark at the rim, light a little off the middle."""
        line = [(x * FINE, y * FINE) for x, y in spots]
        whole = self._mask(lambda d: _thick(d, line, r * FINE, 255))
        self.shadow(whole, 22, 18)
        for step in range(14):
            depth = step / 13
            lit = [(x - 0.3 * r * depth * FINE, y - 0.3 * r * depth * FINE) for x, y in line]
            level = 0.45 + 0.75 * depth
            tint = tuple(min(255, int(c * level + 255 * gloss * max(0.0, depth - 0.8))) for c in colour)
            _thick(ImageDraw.Draw(self.image), lit, r * FINE * (1 - 0.93 * depth), tint)

    def line(self, spots: Sequence[Spot], colour: Colour, width: float) -> None:
        """A plain line."""
        line = [(x * FINE, y * FINE) for x, y in spots]
        ImageDraw.Draw(self.image).line(line, fill=colour, width=max(1, round(width * FINE)), joint="curve")

    def crack(self, start: Spot, end: Spot, wander: float, width: float, lip: Colour = (250, 248, 240)) -> None:
        """A jagged crack: dark, widest in the middle, with a lit lip on the lower side."""
        steps = 16
        path = np.linspace(start, end, steps) + self.chance.normal(0, wander, (steps, 2))
        path[0], path[-1] = start, end
        for n in range(steps - 1):
            wide = width * (0.35 + 0.65 * np.sin(np.pi * (n + 0.5) / steps))
            self.line([(x + 0.7 * wide, y + 0.7 * wide) for x, y in path[n : n + 2]], lip, wide * 0.6)
            self.line([tuple(p) for p in path[n : n + 2]], (14, 11, 9), wide)

    def specks(self, x: float, y: float, w: float, h: float, colour: Colour, count: int, size: float) -> None:
        """Crumbs and stains, scattered around the middle of a box."""
        paint = ImageDraw.Draw(self.image)
        for px, py, r in zip(
            self.chance.normal(x + w / 2, w / 5, count),
            self.chance.normal(y + h / 2, h / 5, count),
            self.chance.gamma(2, size / 2, count),
            strict=True,
        ):
            shade = self.chance.uniform(0.65, 1.35)
            tint = tuple(min(255, int(c * shade)) for c in colour)
            spot = [(px + r * np.cos(a) * f, py + r * np.sin(a) * f) for a, f in _ragged(self.chance)]
            paint.polygon([(a * FINE, b * FINE) for a, b in spot], fill=tint)

    def text(
        self, x: float, y: float, words: str, size: float, colour: Colour = (25, 25, 28), anchor: str = "lm"
    ) -> None:
        """Print."""
        font = ImageFont.load_default(size * FINE)
        ImageDraw.Draw(self.image).text((x * FINE, y * FINE), words, colour, font, anchor)

    def glow(self, light: np.ndarray) -> None:
        """Light added to what is there (flames); `light` is height x width x 3, 0 to 255, of the final size."""
        bright = Image.fromarray(np.clip(light, 0, 255).astype(np.uint8)).resize(self.image.size)
        self.image = ImageChops.screen(self.image, bright)

    def taken(self, tilt: float = 0.0, noise: float = 3.0) -> Image.Image:
        """The finished picture: a little tilted, slightly soft, with the noise and darker corners of a small camera."""
        turned = self.image.rotate(tilt, Image.Resampling.BICUBIC, expand=False)
        inset = 0.035 * min(1.0, abs(tilt) / 2)
        w, h = turned.size
        turned = turned.crop((int(w * inset), int(h * inset), int(w * (1 - inset)), int(h * (1 - inset))))
        small = turned.resize((WIDTH, HEIGHT), Image.Resampling.LANCZOS).filter(ImageFilter.GaussianBlur(0.6))
        y, x = np.mgrid[-1 : 1 : HEIGHT * 1j, -1 : 1 : WIDTH * 1j]
        pixels = np.asarray(small, float) * (1 - 0.16 * (x**2 + y**2))[..., None]
        pixels += self.chance.normal(0, noise, (HEIGHT, WIDTH, 1))
        return Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8))


def _thick(draw: ImageDraw.ImageDraw, line: Sequence[Spot], r: float, fill: int | tuple[int, ...]) -> None:
    draw.line(line, fill=fill, width=max(1, int(2 * r)), joint="curve")
    for x, y in line:
        draw.ellipse((x - r, y - r, x + r, y + r), fill=fill)


def _ragged(chance: np.random.Generator) -> list[tuple[float, float]]:
    return [(a, f) for a, f in zip(np.linspace(0, 6.28, 9), chance.uniform(0.6, 1.3, 9), strict=True)]
