"""Real, small stand-ins: an engine that says what its script says, a reader and a checker that work on plain words, a clock."""

import hashlib
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

from fieldnote.errors import InputProblem
from fieldnote.flow.hear import Progress
from fieldnote.notebook import Notebook
from fieldnote.records import (
    Check,
    Evidence,
    Extraction,
    Finding,
    Incoming,
    Point,
    Reading,
    Segment,
    Transcript,
    Visit,
    Word,
)

START = datetime(2026, 11, 18, 10, 0, tzinfo=UTC)


@dataclass
class Clock:
    """A clock that moves a second at each look."""

    now: datetime = START
    step: timedelta = timedelta(seconds=1)

    def __call__(self) -> datetime:
        self.now += self.step
        return self.now


@dataclass
class ScriptedEngine:
    """Hears what its script says for the bytes of a file; a word a second; bytes that are not in it cannot be heard."""

    script: Mapping[bytes, str]
    heard: list[str] = field(default_factory=list)

    def hear(self, path: Path, *, progress: Progress | None = None) -> Transcript:
        """The script's text for these bytes. Raises InputProblem FN-301 otherwise."""
        data = path.read_bytes()
        if data not in self.script:
            raise InputProblem("FN-301", path=path.name, reason="no sound in it")
        text = self.script[data]
        self.heard.append(text)
        words = tuple(
            Word(n, n + 1, word.strip("?"), 0.9, "number" if word.endswith("?") else None)
            for n, word in enumerate(text.split())
        )
        plain = text.replace("?", "")
        if progress:
            progress(len(words), len(words))
        segments = (Segment(0, len(words), plain, 0.9, words),) if words else ()
        return Transcript(plain, segments, "scripted", float(len(words)), plain)


class WordReader:
    """Finds the word "cracked" (an electrode) and "pressure N" (a working pressure), wherever they stand."""

    version = "words-1"
    taught = False

    def read(self, text: str, *, soft: Collection[int] = ()) -> Extraction:
        """One finding for each "cracked", one reading for each "pressure N"."""
        findings, readings, at = [], [], 0
        words = text.split()
        for n, word in enumerate(words):
            at = text.index(word, at)
            if word == "cracked":
                evidence = Evidence(word, at, at + len(word))
                findings.append(Finding("hob", "electrode", None, None, "cracked", "present", (), 0.9, evidence))
            if word == "pressure" and n + 1 < len(words):
                end = text.index(words[n + 1], at) + len(words[n + 1])
                value = Decimal(words[n + 1])
                evidence = Evidence(text[at:end], at, end)
                readings.append(Reading("working-pressure", value, "mbar", "hob", None, None, None, 0.8, evidence))
            at += len(word)
        return Extraction(tuple(findings), tuple(readings))


def count_checker(extraction: Extraction, visit: Visit, day: date) -> Check:
    """A check that says how many findings and readings it was asked about, and for which day."""
    text = f"{len(extraction.findings)} findings, {[str(r.value) for r in extraction.readings]} at {visit.ref} on {day}"
    return Check((), (Point("unsaid", "count", text),), "trade-1")


def incoming(
    folder: Path, name: str, data: bytes, kind: str = "recording", at: datetime = START, seconds: float = 10
) -> Incoming:
    """A file that was looked at."""
    path = folder / name
    path.write_bytes(data)
    return Incoming(
        path=path,
        kind=kind,
        sha256=hashlib.sha256(data).hexdigest(),
        size=len(data),
        at=at,
        at_source="metadata",
        seconds=seconds if kind == "recording" else None,
        facts={"format": {"recording": "ogg", "photo": "jpeg", "note": "text"}[kind]},
    )


def notebook(folder: Path) -> Notebook:
    """A fresh notebook with a clock of its own."""
    return Notebook.open(folder / "notebook", create=True, clock=Clock())
