"""A visit and what belongs to it: recordings, photos, written notes."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Visit:
    """What recordings and photos belong to. `id` is its identity; `ref` is for people and may repeat between engineers."""

    id: str
    ref: str
    opened_at: datetime
    work: str | None = None
    appliances: tuple[str, ...] = ()
    gas: str | None = None
    meter: str | None = None
    region: str | None = None
    edition: str | None = None
    closed_at: datetime | None = None
    no_access: bool = False


@dataclass(frozen=True, slots=True)
class Item:
    """One thing taken in: a recording, a photo or a written note. The bytes are filed under `sha256`, untouched.

    `name` is the file's own name as found (surrogateescape kept), `at` when it was made (recordings: when the sound
    starts), `at_source` how that is known: "metadata", "name", "file-time", "said", "clock".
    `seconds` is the length of a recording. `flags` are what intake noticed ("too-dark", "blurred", "duplicate-look", ...).
    `facts` are further things read from the file that a person may want to see (format, width, height, camera, ...).
    """

    id: str
    kind: str
    sha256: str
    size: int
    name: str
    visit: str | None
    added_at: datetime
    at: datetime | None = None
    at_source: str | None = None
    seconds: float | None = None
    flags: tuple[str, ...] = ()
    facts: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Incoming:
    """A file that was looked at and may be taken in. Fields as in `Item`; `sha256` and `size` are those of the bytes read.

    `facts["format"]` names the format that was found in the bytes, whatever the file is called.
    """

    path: Path
    kind: str
    sha256: str
    size: int
    at: datetime | None = None
    at_source: str | None = None
    seconds: float | None = None
    flags: tuple[str, ...] = ()
    facts: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Receipt:
    """The answer for one path that was offered: `status` is "added", "already-here" or "refused"."""

    path: str
    id: str | None
    kind: str | None
    sha256: str | None
    status: str
    reason: str | None = None
