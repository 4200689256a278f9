"""A signed bundle of an invented visit, made by hand from records, for tests to write, read and spoil."""

import hashlib
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fieldnote.bundle import Contents, KeyPair, Keyring, Medium
from fieldnote.records import Entry, to_plain
from fieldnote.records.chain import ROOT, content_hash, link_hash

START = datetime(2026, 11, 18, 10, 15, tzinfo=UTC)
NOW = START + timedelta(days=2)


def chain(visit: str, texts: list[str]) -> list[Entry]:
    """Records of one visit, each hanging on the one before."""
    entries: list[Entry] = []
    for number, text in enumerate(texts, 1):
        salt = hashlib.sha256(f"{visit}{number}".encode()).hexdigest()
        payload = {"words": text, "value": "19.8"}
        entry = Entry(
            number, f"{visit}-{number}", "note", visit, None, START + timedelta(minutes=number), payload,
            entries[-1].hash if entries else ROOT, "", content_hash(salt, payload, ()), salt,
        )  # fmt: skip
        entries.append(replace(entry, hash=link_hash(entry)))
    return entries


def contents(folder: Path, visit: str = "v1", sequence: int = 1, previous: str | None = None) -> Contents:
    """What one bundle carries: three records and two media."""
    media = []
    for number in range(2):
        data = f"{visit} sound {number} ".encode() * 400
        sha = hashlib.sha256(data).hexdigest()
        path = folder / f"{sha}.ogg"
        path.write_bytes(data)
        media.append(Medium(sha, path))
    entries = chain(visit, ["front left electrode cracked", "tap stiff", "working pressure nineteen point eight"])
    return Contents(
        visit,
        f"JOB-{visit}",
        "book-1",
        sequence,
        previous,
        START,
        [to_plain(e) for e in entries],
        {"visit": visit},
        media,
    )


@pytest.fixture
def key(tmp_path: Path) -> KeyPair:
    """The engineer's key."""
    return KeyPair.new(tmp_path / "keys", "A. Engineer", START - timedelta(days=100))


@pytest.fixture
def keyring(key: KeyPair) -> Keyring:
    """A supervisor who was given the engineer's public key."""
    return Keyring().trusting(key.public)
