"""What the network makes of a text. In: text. Out: `Likely`, for the parts that it finds itself and for those it is asked of.

A long text is read in windows that overlap, so that twice the text takes twice the time.
"""

import functools
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from fieldnote.extract.taught.making import MOST
from fieldnote.extract.taught.network import FIELDS, Network
from fieldnote.extract.taught.pieces import END, START, Cutter
from fieldnote.extract.taught.stored import Floats

SPOKEN = 0.3  # from here on a part is taken to be spoken of
_CORE = 200  # pieces of a window that are its own; the rest is there to be heard with them
Asked = tuple[str, int, int]  # a part, and the characters that speak of it


@dataclass(frozen=True, slots=True)
class Likely:
    """What is likely said of a part by the characters `start` to `end`: how likely it is spoken of there (`spoken`), whether
    anything is found of it (`valid`), and for each field its names with their chances; `work` as "kind/state"."""

    component: str
    start: int
    end: int
    spoken: float
    valid: float
    chances: Mapping[str, Mapping[str | None, float]]
    work: tuple[str, ...]

    def best(self, field: str) -> tuple[str | None, float]:
        """The likeliest name of a field, and its chance."""
        chances = self.chances[field]
        name = max(chances, key=chances.__getitem__)
        return name, chances[name]

    def chance(self, field: str, name: str | None) -> float:
        """The chance of a name."""
        return self.chances[field].get(name, 0.0)


class Taught:
    """The taught reader: its network and what cuts texts for it, loaded out of a folder when first needed."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    @functools.cached_property
    def network(self) -> Network:
        """The network."""
        return Network(self.folder)

    @functools.cached_property
    def cutter(self) -> Cutter:
        """What cuts a text into pieces."""
        return Cutter(self.folder / "tokenizer.json")

    def read(self, text: str) -> "Reading":
        """A text as the network reads it."""
        return Reading(text, self.network, self.cutter)


@dataclass(frozen=True, slots=True)
class _Window:
    first: int  # piece of the text at which it starts
    own: range  # pieces of the text that are its own
    meant: Floats
    parts: Floats


class Reading:
    """A text as the network reads it."""

    def __init__(self, text: str, network: Network, cutter: Cutter) -> None:
        self._net = network
        self._pieces = cutter.cut(text)
        self._windows = list(self._read())

    def found(self) -> list[Likely]:
        """What is likely said, by the parts that the network finds spoken of, in order."""
        return self._ask(sorted(self._spoken(), key=lambda one: one[1:]))

    def asked(self, of: Sequence[Asked]) -> list[Likely]:
        """What is likely said of each of some parts by some characters, in their order."""
        known = {name: n for n, name in enumerate(self._net.names["component"])}
        return self._ask([(known[part], *self._pieces.within(start, end)) for part, start, end in of])

    def _read(self) -> Iterator[_Window]:
        length = len(self._pieces.ids)
        core, beside = (_CORE, (MOST - 2 - _CORE) // 2) if length > MOST - 2 else (length, 0)
        for start in range(0, length, max(core, 1)):
            own = range(start, min(start + core, length))
            first, last = max(own.start - beside, 0), min(own.stop + beside, length)
            meant = self._net.encode([START, *self._pieces.ids[first:last], END])
            yield _Window(first, own, meant, self._net.parts(meant))

    def _spoken(self) -> Iterator[tuple[int, int, int]]:
        """Runs of pieces that likely speak of a part, a piece less likely among them left in: part, first piece, last + 1."""
        if not self._windows:
            return
        shares = np.concatenate(
            [window.parts[window.own.start + 1 - window.first :][: len(window.own)] for window in self._windows]
        )
        for part in (shares.max(0) > SPOKEN).nonzero()[0]:
            likely = [*(shares[:, part] > SPOKEN), False, False]
            at = 0
            while at < len(shares):
                end = at
                while likely[end] or (end > at and likely[end + 1]):
                    end += 1
                if end > at:
                    yield int(part), at, end
                at = max(end, at + 1)

    def _ask(self, of: Sequence[tuple[int, int, int]]) -> list[Likely]:
        made: dict[int, Likely] = {}
        each: dict[int, list[int]] = defaultdict(list)  # by window
        for n, (_, first, _) in enumerate(of):
            each[first // len(self._windows[0].own)].append(n)
        for at, here in each.items():
            window = self._windows[at]
            shift = 1 - window.first
            spans = [(of[n][1] + shift, min(of[n][2] + shift, len(window.meant) - 1)) for n in here]
            told = self._net.ask(window.meant, [of[n][0] for n in here], spans)
            for row, (n, (first, last)) in enumerate(zip(here, spans, strict=True)):
                made[n] = self._likely(of[n], float(window.parts[first:last, of[n][0]].max()), told, row)
        return [made[n] for n in range(len(of))]

    def _likely(self, one: tuple[int, int, int], spoken: float, told: dict[str, Floats], row: int) -> Likely:
        part, first, last = one
        work = [name for name, share in zip(self._net.names["acts"], told["acts"][row], strict=True) if share > 0.5]
        return Likely(
            self._net.names["component"][part] or "",
            self._pieces.spans[first][0],
            self._pieces.spans[last - 1][1],
            spoken,
            float(told["valid"][row]),
            {field: dict(zip(self._net.names[field], told[field][row].tolist(), strict=True)) for field in FIELDS},
            tuple(name or "" for name in work),
        )
