"""Pictures drawn by hand as SVG. In: numbers with their names. Out: markup that needs nothing else.

They say everything by place, length and shape, never by colour alone; each has a title and a description in words.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from html import escape
from itertools import count
from typing import NamedTuple

from fieldnote.audit.statistics import wilson

WIDTH, LEFT, RIGHT, ROW, TOP = 860, 250, 150, 24, 30
WIDE = 8  # room for a letter of 13 px
_numbers = count(1)


class Mark(NamedTuple):
    """One row of an interval picture: its label, the point, both ends, and the words behind it."""

    label: str
    at: float
    low: float
    high: float
    words: str


def svg(height: float, title: str, description: str, parts: Iterable[str]) -> str:
    name = f"picture-{next(_numbers)}"
    return (
        f'<svg role="img" aria-labelledby="{name}-t {name}-d" viewBox="0 0 {WIDTH} {height:.0f}" xmlns="http://www.w3.org/2000/svg">'
        f'<title id="{name}-t">{escape(title)}</title><desc id="{name}-d">{escape(description)}</desc>{"".join(parts)}</svg>'
    )


def text(x: float, y: float, words: object, kind: str = "", anchor: str = "start") -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" class="{kind}" text-anchor="{anchor}">{escape(str(words))}</text>'


def line(x: float, y: float, to_x: float, to_y: float, kind: str = "") -> str:
    return f'<line x1="{x:.1f}" y1="{y:.1f}" x2="{to_x:.1f}" y2="{to_y:.1f}" class="{kind}"/>'


def short(words: object, most: int = 30) -> str:
    text = " ".join(str(words).split())
    return text if len(text) <= most else f"{text[: most - 1]}…"


def bars(rows: Sequence[tuple[str, int]], title: str, what: str, left: float = LEFT) -> str:
    """Bars from the left in the order given, each with its number; `left` is how much room the names take."""
    most = max(n for _, n in rows)
    scale = (WIDTH - left - RIGHT) / most
    parts = []
    for place, (name, n) in enumerate(rows):
        y = 6 + place * ROW
        parts.append(text(left - 10, y + 15, short(name, int(left / WIDE)), anchor="end"))
        parts.append(f'<rect x="{left}" y="{y}" width="{max(1.5, n * scale):.1f}" height="{ROW - 8}" class="bar"/>')
        parts.append(text(left + n * scale + 8, y + 14, f"{n:,}", "number"))
    longest = max(rows, key=lambda row: row[1])
    description = f"{len(rows)} bars, {what}. The longest: {longest[0]}, {longest[1]}."
    return svg(12 + len(rows) * ROW, title, description, parts)


def _percent(value: float) -> str:
    return f"{value:.0%}"


def whiskers(rows: Sequence[Mark], title: str, what: str, as_text: Callable[[float], str] = _percent) -> str:
    """A dot for each share with its 95 % interval as a line, on one axis whose marks read as `as_text` has them."""
    most = min(1.0, max(row.high for row in rows)) or 1.0
    axis = Axis.upto(most)
    bottom = TOP + len(rows) * ROW
    parts = axis.drawn(bottom, as_text)
    for place, row in enumerate(rows):
        y = TOP + place * ROW + ROW / 2
        parts.append(text(LEFT - 10, y + 5, short(row.label), anchor="end"))
        parts.append(line(axis.x(row.low), y, axis.x(row.high), y, "whisker"))
        parts += [line(axis.x(end), y - 5, axis.x(end), y + 5, "whisker") for end in (row.low, row.high)]
        parts.append(f'<circle cx="{axis.x(row.at):.1f}" cy="{y}" r="5" class="dot"/>')
        parts.append(text(WIDTH - RIGHT + 14, y + 5, row.words, "number"))
    top = max(rows, key=lambda row: row.at)
    description = (
        f"{len(rows)} rows, {what}; a dot with its 95 % interval for each. The highest: {top.label}, {top.words}."
    )
    return svg(bottom + 34, title, description, parts)


class Axis(NamedTuple):
    """A horizontal axis from nothing to `end`, with a mark at every `step`."""

    end: float
    step: float

    @classmethod
    def upto(cls, most: float) -> "Axis":
        """An axis that holds `most`, with three to ten round marks."""
        rough = most / 5
        power = 10 ** math.floor(math.log10(rough))
        step = next(power * n for n in (1, 2, 5, 10) if power * n >= rough)
        return cls(math.ceil(most / step - 1e-9) * step, step)

    def x(self, value: float) -> float:
        """Where a value stands."""
        return LEFT + (WIDTH - LEFT - RIGHT) * min(value, self.end) / self.end

    def drawn(self, bottom: float, as_text: Callable[[float], str]) -> list[str]:
        """Marks, thin lines and figures."""
        parts = []
        for n in range(round(self.end / self.step) + 1):
            x = self.x(n * self.step)
            parts += [
                line(x, TOP - 6, x, bottom, "grid"),
                text(x, bottom + 18, as_text(n * self.step), "axis", "middle"),
            ]
        return parts


class Plane(NamedTuple):
    """Where a number of lines and a share stand in a funnel picture: the number on a logarithmic axis."""

    least: float
    most: float
    top: float
    left: float = 70
    right: float = WIDTH - 40
    height: float = 300

    def at(self, total: float, share: float) -> tuple[float, float]:
        """The point of a share of `total`."""
        along = math.log(total / self.least) / math.log(self.most / self.least)
        return self.left + (self.right - self.left) * along, 20 + self.height * (1 - min(share, self.top) / self.top)


def funnel(rows: Sequence[tuple[str, int, int]], title: str) -> str:
    """Each one's share against how many were decided, between the limits within which chance alone would leave nearly all of
    them (Wilson's interval round the share of all, 95 % and 99.8 %; D. J. Spiegelhalter, Stat. Med. 24, 2005, on such plots)."""
    rows = [row for row in rows if row[2]]
    whole = sum(part for _, part, _ in rows) / sum(total for *_, total in rows)
    totals = [total for *_, total in rows]
    top = min(1.0, max(0.05, 1.1 * max(part / total for _, part, total in rows)))
    plane = Plane(max(0.7, min(totals) / 1.4), max(totals) * 1.4 + 1, top)
    outside = [row for row in rows if not _within(row[1] / row[2], whole, row[2])]
    far = sorted(outside, key=lambda row: -abs(row[1] / row[2] - whole))[:12]
    parts = [*_limits(plane, whole), *_axes(plane)]
    for row in rows:
        x, y = plane.at(row[2], row[1] / row[2])
        parts.append(_diamond(x, y) if row in outside else f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4" class="near"/>')
    parts += _names(plane, far)
    named = ", ".join(row[0] for row in far) or "none"
    description = (
        f"{len(rows)} engineers; {whole:.1%} of all. Diamonds, outside the 99.8 % limits: {len(outside)} ({named})."
    )
    return svg(plane.height + 72, title, description, parts)


def _limits(plane: Plane, whole: float) -> list[str]:
    parts = [line(*plane.at(plane.least, whole), *plane.at(plane.most, whole), "whole")]
    steps = [plane.least * (plane.most / plane.least) ** (n / 60) for n in range(61)]
    for z, kind in ((1.959964, "inner"), (3.090232, "outer")):
        for side in (0, 1):
            ends = [plane.at(n, wilson(whole, n, z)[side]) for n in steps]
            parts.append(f'<polyline class="{kind}" points="{" ".join(f"{x:.1f},{y:.1f}" for x, y in ends)}"/>')
    return parts


def _axes(plane: Plane) -> list[str]:
    parts = []
    step = Axis.upto(plane.top).step
    for n in range(int(plane.top / step) + 1):
        parts.append(text(plane.left - 8, plane.at(plane.most, n * step)[1] + 4, f"{n * step:.0%}", "axis", "end"))
    for mark in [n * 10**power for power in range(7) for n in (1, 2, 5)]:
        if plane.least <= mark <= plane.most:
            parts.append(text(plane.at(mark, 0)[0], plane.height + 42, f"{mark:,}", "axis", "middle"))
    return [*parts, text((plane.left + plane.right) / 2, plane.height + 62, "lines decided", "axis", "middle")]


def _names(plane: Plane, rows: Sequence[tuple[str, int, int]]) -> list[str]:
    """Names left of their marks, pushed apart where they would lie on each other."""
    parts, below = [], -math.inf
    for name, part, total in sorted(rows, key=lambda row: -row[1] / row[2]):
        x, y = plane.at(total, part / total)
        below = max(y + 4, below + 13)
        parts.append(text(x - 10, below, short(name, 24), "axis", "end"))
    return parts


def _within(share: float, whole: float, total: int) -> bool:
    low, high = wilson(whole, total, 3.090232)
    return bool(low <= share <= high)


def _diamond(x: float, y: float) -> str:
    return f'<path class="far" d="M{x:.1f},{y - 7:.1f} l7,7 l-7,7 l-7,-7 z"/>'
