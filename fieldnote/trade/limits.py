"""Limits as dated, sourced data. Comes in: the package's files and a supervisor's own. Goes out: `Limits`, checked whole.

Each region is one file of `data/limits/`; "any" holds what belongs to no place. A supervisor's file has the same form and
is laid on top without touching the package. Not allowed to know: how a value was measured, or what a verdict is for.
"""

import functools
import hashlib
import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import combinations
from pathlib import Path
from typing import Any, Literal

from pydantic import Field

from fieldnote.errors import InputProblem
from fieldnote.records import Limit
from fieldnote.trade import tables
from fieldnote.trade.catalogue import calculations
from fieldnote.trade.tables import Grade, Number, Row, Source

TRUSTED = ("P", "K", "user")
YES_NO = ("yes", "no")
ALL_CLEAR = re.compile(r"\bsafe(ly)?\b", re.IGNORECASE)

# What is held against limits, and in which unit a limit of it must stand.
JUDGED = {
    "tightness-drop": "mbar",
    "let-by-rise": "mbar",
    "installation-volume": "m3",
    "pressure-loss": "mbar",
    "against-rated": "%",
    "openable-window": "1",
    "vent-area-flueless": "cm2",
    "vent-area-open-flue": "cm2",
    "co-ratio": "1",
    "co": "ppm",
    "drop-out-time": "s",
    "hold-in-time": "s",
    "thermocouple-output": "mV",
    "earth-continuity": "ohm",
    "insulation-resistance": "Mohm",
    "supply-voltage": "V",
    "fuse-rating": "A",
}
RANGES = ("largest-pipe", "seconds", "volume", "watts")


def words_of(fact: str) -> Collection[str] | None:
    """The words that a fact may be, None when it is no word."""
    inputs = calculations()
    fixed: dict[str, Collection[str]] = {
        "gas": tables.gases(),
        "meter": tables.equipment().meters,
        "appliances": YES_NO,
        "smell": YES_NO,
        "outside-door": YES_NO,
        "circuit": ("open", "closed"),
        "class": inputs["insulation-resistance"].inputs["class"].choices,
        "appliance": {
            *inputs["combustion"].inputs["appliance"].choices,
            *inputs["gas-rate"].inputs["appliance"].choices,
        },
    }
    return fixed.get(fact)


class Range(Row):
    """A range of a figure: above or from, below or up to."""

    above: Number | None = None
    from_: Number | None = None
    below: Number | None = None
    up_to: Number | None = None

    def holds(self, value: Decimal) -> bool:
        """Whether a value lies in it."""
        return (
            (self.above is None or value > self.above)
            and (self.from_ is None or value >= self.from_)
            and (self.below is None or value < self.below)
            and (self.up_to is None or value <= self.up_to)
        )

    def meets(self, other: "Range") -> bool:
        """Whether the two have any value in common."""
        low, low_open = max(self._low(), other._low())
        high, high_open = min(self._high(), other._high())
        return low < high or (low == high and low_open == 0 and high_open == 0)

    def _low(self) -> tuple[Decimal, int]:
        if self.above is not None:
            return self.above, 1
        return (self.from_, 0) if self.from_ is not None else (Decimal("-Infinity"), 1)

    def _high(self) -> tuple[Decimal, int]:
        if self.below is not None:
            return self.below, -1
        return (self.up_to, 0) if self.up_to is not None else (Decimal("Infinity"), -1)


Condition = list[str] | Range
Dated = Literal["source", "memory"]


class Edition(Row):
    """An edition of a standard: when it held, and which other edition held at the same time."""

    id: str
    title: str
    names: list[str] = Field(default=[])
    from_: date
    to: date | None = None
    dated: Dated = "source"
    overlaps: list[str] = Field(default=[])
    source: str


class LimitRow(Row):
    """One limit of a file. The columns are explained at the head of gb.toml."""

    id: str
    quantity: str
    text: str
    unit: str
    low: Number | None = None
    high: Number | None = None
    fails: bool = False
    unsure_up_to: Number | None = None
    when: dict[str, Condition] = Field(default={})
    edition: str | None = None
    from_: date | None = None
    to: date | None = None
    dated: Dated = "source"
    source: str
    grade: Grade = "user"
    besides: list[str] = Field(default=[])
    replaces: list[str] = Field(default=[])

    @property
    def empty(self) -> bool:
        """Whether it is a gap: a limit that is known to exist but of which no figure may be quoted."""
        return self.low is None and self.high is None and not self.fails

    @property
    def trusted(self) -> bool:
        """Whether it may give "within" or "outside"."""
        return not self.empty and self.grade in TRUSTED


class RateRow(Row):
    """A requirement that grows with heat input: so much for each kW above the first."""

    id: str
    quantity: str
    text: str
    unit: str
    per_kw: Number
    first_kw: Number
    from_: date
    to: date | None = None
    dated: Dated = "source"
    source: str
    grade: Grade = "user"
    replaces: list[str] = Field(default=[])


class Emergency(Row):
    """Published emergency numbers of a region, for people to confirm."""

    text: str
    source: str


class RegionFile(Row):
    """One file of limits."""

    region: str
    title: str
    emergency: list[Emergency] = Field(default=[])
    edition: list[Edition] = Field(default=[])
    limit: list[LimitRow] = Field(default=[])
    rate: list[RateRow] = Field(default=[])
    sources: dict[str, Source] = Field(default={})


@dataclass(frozen=True)
class Limits:
    """Every limit that is known. `rows` and `rates` are pairs of region and row."""

    rows: tuple[tuple[str, LimitRow], ...]
    rates: tuple[tuple[str, RateRow], ...]
    editions: Mapping[str, Edition]
    edition_region: Mapping[str, str]
    sources: Mapping[str, Source]
    regions: Mapping[str, str]
    emergency: Mapping[str, tuple[str, ...]]
    version: str

    def of(self, quantity: str, region: str | None) -> list[LimitRow]:
        """The limits of one quantity that hold in a region, and those that hold everywhere."""
        return [row for place, row in self.rows if row.quantity == quantity and place in ("any", region)]

    def rate(self, quantity: str, region: str | None, on: date) -> RateRow | None:
        """The requirement of a quantity that grows with heat input, or None. The last one named counts."""
        found = [row for place, row in self.rates if row.quantity == quantity and place in ("any", region)]
        return next((row for row in reversed(found) if row.from_ <= on and (row.to is None or on <= row.to)), None)

    def dates(self, row: LimitRow) -> tuple[date, date | None]:
        """First and last day on which a limit holds: its own, else those of its edition."""
        edition = self.editions[row.edition] if row.edition else None
        first = row.from_ or (edition.from_ if edition else date.max)
        return first, row.to or (edition.to if edition else None)

    def dated(self, row: LimitRow) -> str:
        """How its dates are known: from the source, or from memory."""
        edition = self.editions[row.edition] if row.edition else None
        return row.dated if row.from_ or edition is None else edition.dated

    def named(self, edition: str, region: str | None) -> Edition | None:
        """The edition that a person means by an id, a title or another of its names; None when there is none."""
        wanted = edition.strip().casefold()
        for found in self.editions.values():
            names = [found.id, found.title, *found.names]
            if self.edition_region[found.id] in ("any", region) and wanted in (name.casefold() for name in names):
                return found
        return None

    def record(self, row: LimitRow) -> Limit:
        """A limit as the record keeps it."""
        first, last = self.dates(row)
        return Limit(
            id=row.id,
            text=row.text,
            source=self.sources[row.source].line(),
            grade=row.grade,
            edition=self.editions[row.edition].title if row.edition else None,
            from_date=first,
            to_date=last,
            low=row.low,
            high=row.high,
            unit=row.unit,
        )


def load(path: Path | None = None) -> Limits:
    """The limits of the package, with a supervisor's own file on top (a plain file of at most a megabyte).

    Raises InputProblem FN-304 that names every fault of a file at once: unknown keys, missing dates or sources, unknown
    editions, units or facts, limits that overlap without saying so.
    """
    files = _package()
    if path is None:
        return _joined(files, tables.version())
    own = tables.fit(RegionFile, tables.read(path), path)
    digest = hashlib.sha256(path.read_bytes()).hexdigest()[:12]
    joined = _joined((*files, own), f"{tables.version()}+{digest}")
    _refuse_faults(path, joined, own, files)
    return joined


@functools.cache
def _package() -> tuple[RegionFile, ...]:
    paths = sorted((tables.folder() / "limits").glob("*.toml"))
    files = tuple(tables.fit(RegionFile, tables.read(path), path) for path in paths)
    for path, file in zip(paths, files, strict=True):
        _refuse_faults(path, _joined((file,), ""), file, ())
    return files


def _refuse_faults(path: Path, joined: Limits, file: RegionFile, below: tuple[RegionFile, ...]) -> None:
    if faults := list(_faults(joined, file, below)):
        raise InputProblem("FN-304", path=path, reason="; ".join(faults))


def _joined(files: tuple[RegionFile, ...], version: str) -> Limits:
    rows = [row.replaces for file in files for row in file.limit] + [
        row.replaces for file in files for row in file.rate
    ]
    replaced = {id_ for ids in rows for id_ in ids}
    return Limits(
        rows=tuple((file.region, row) for file in files for row in file.limit if row.id not in replaced),
        rates=tuple((file.region, row) for file in files for row in file.rate if row.id not in replaced),
        editions={edition.id: edition for file in files for edition in file.edition},
        edition_region={edition.id: file.region for file in files for edition in file.edition},
        sources={**tables.sources(), **{id_: source for file in files for id_, source in file.sources.items()}},
        regions={file.region: file.title for file in reversed(files)},
        emergency={file.region: tuple(e.text for e in file.emergency) for file in reversed(files)},
        version=version,
    )


def _faults(limits: Limits, file: RegionFile, below: tuple[RegionFile, ...]) -> Iterator[str]:
    """Everything that is wrong with one file, seen with those it is laid on."""
    yield from _faults_of_names(file, below)
    for row in file.limit:
        yield from _faults_of_row(limits, row)
        yield from (f"limit {row.id}: {fault}" for fault in _faults_of_facts(row))
    for edition in file.edition:
        yield from _faults_of_edition(limits, edition)
    for rate in file.rate:
        yield from _faults_of_source(limits, f"rate {rate.id}", rate.source)
        yield from _faults_of_quantity(f"rate {rate.id}", rate.quantity, rate.unit, rate.text)
    yield from _undeclared_overlaps(limits, file)


def _faults_of_names(file: RegionFile, below: tuple[RegionFile, ...]) -> Iterator[str]:
    """Ids that are there twice, here or in a file below, and ids that nothing has."""
    files = (*below, file)
    rows = [row.id for one in files for row in one.limit] + [row.id for one in files for row in one.rate]
    editions = [edition.id for one in files for edition in one.edition]
    for what, ids in (("limit", rows), ("edition", editions)):
        yield from (
            f"{what} {id_}: the id is there twice" for id_ in sorted({id_ for id_ in ids if ids.count(id_) > 1})
        )
    yield from (f"source {id_}: the id is there already" for id_ in file.sources if id_ in tables.sources())
    for row in file.limit:
        yield from (
            f"limit {row.id}: no limit is called {id_}" for id_ in (*row.besides, *row.replaces) if id_ not in rows
        )


def _faults_of_edition(limits: Limits, edition: Edition) -> Iterator[str]:
    name = f"edition {edition.id}"
    yield from _faults_of_source(limits, name, edition.source)
    if edition.to is not None and edition.to < edition.from_:
        yield f"{name}: it ends before it begins"
    yield from (f"{name}: no edition is called {id_}" for id_ in _unknown(limits, edition.overlaps))


def _faults_of_source(limits: Limits, name: str, source: str) -> Iterator[str]:
    if source not in limits.sources:
        yield f"{name}: no source is called {source}"


def _faults_of_quantity(name: str, quantity: str, unit: str, text: str) -> Iterator[str]:
    if quantity not in JUDGED:
        yield f"{name}: nothing is judged as {quantity} (known: {', '.join(JUDGED)})"
    elif unit != JUDGED[quantity]:
        yield f"{name}: {quantity} is judged in {JUDGED[quantity]}, not in {unit}"
    if ALL_CLEAR.search(text):
        yield f"{name}: its text gives an all-clear, which no limit does"


def _unknown(limits: Limits, editions: list[str]) -> list[str]:
    return [id_ for id_ in editions if id_ not in limits.editions]


def _faults_of_row(limits: Limits, row: LimitRow) -> Iterator[str]:
    name = f"limit {row.id}"
    if row.edition is not None and row.edition not in limits.editions:
        yield f"{name}: no edition is called {row.edition}"
    elif row.edition is None and row.from_ is None:
        yield f"{name}: it has neither a date nor an edition"
    elif (last := limits.dates(row)[1]) is not None and last < limits.dates(row)[0]:
        yield f"{name}: it ends before it begins"
    yield from _faults_of_source(limits, name, row.source)
    yield from _faults_of_quantity(name, row.quantity, row.unit, row.text)
    if row.low is not None and row.high is not None and row.low > row.high:
        yield f"{name}: its low lies above its high"


def _faults_of_facts(row: LimitRow) -> Iterator[str]:
    """A condition must be on a fact that is known, and in the form and words of that fact: else it would never apply."""
    for fact, condition in row.when.items():
        words = words_of(fact)
        if words is None and fact not in RANGES:
            yield f"nothing is known as {fact}"
        elif words is None and isinstance(condition, list):
            yield f"{fact} is a figure: give a range"
        elif words is not None and isinstance(condition, Range):
            yield f"{fact} is a word: give a list"
        elif words is not None and isinstance(condition, list):
            yield from (f"{fact} is never {word}" for word in condition if word not in words)


def _undeclared_overlaps(limits: Limits, file: RegionFile) -> Iterator[str]:
    for (place, first), (other_place, second) in combinations(limits.rates, 2):
        if (place, first.quantity) == (other_place, second.quantity) and second in file.rate:
            yield f"rate {second.id} and rate {first.id} are for the same and do not say so"
    own = {row.id for row in file.limit}
    for (place, one), (other_place, other) in combinations(limits.rows, 2):
        if one.quantity != other.quantity or not own & {one.id, other.id}:
            continue
        if "any" not in (place, other_place) and place != other_place:
            continue
        if not _declared(limits, one, other) and _overlap(limits, one, other):
            yield f"limit {one.id} and limit {other.id} hold at the same time and do not say so"


def _declared(limits: Limits, one: LimitRow, other: LimitRow) -> bool:
    if other.id in one.besides or one.id in other.besides:
        return True
    if "user" in (one.grade, other.grade) and not (one.trusted and other.trusted):
        return True  # a figure of one's own may always fill a gap or stand before one from memory
    if (
        one.edition
        and other.edition
        and one.edition != other.edition
        and not _unknown(limits, [one.edition, other.edition])
    ):
        editions = limits.editions
        return other.edition in editions[one.edition].overlaps or one.edition in editions[other.edition].overlaps
    return False


def _overlap(limits: Limits, one: LimitRow, other: LimitRow) -> bool:
    if _unknown(limits, [id_ for id_ in (one.edition, other.edition) if id_]):
        return False  # said already
    (first, last), (other_first, other_last) = limits.dates(one), limits.dates(other)
    in_time = first <= (other_last or date.max) and other_first <= (last or date.max)
    return in_time and all(
        _compatible(one.when[fact], other.when[fact]) for fact in one.when.keys() & other.when.keys()
    )


def _compatible(one: Any, other: Any) -> bool:
    if isinstance(one, Range) and isinstance(other, Range):
        return one.meets(other)
    if isinstance(one, list) and isinstance(other, list):
        return bool(set(one) & set(other))
    return True
