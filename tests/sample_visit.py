"""An invented visit, built by hand: a notebook with sound, photos, words, an extraction and a check.

Nothing of it is real: no person, no place, no appliance.
"""

import hashlib
import io
import struct
import wave
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from PIL import Image

from fieldnote.flow.process import recheck
from fieldnote.flow.view import view
from fieldnote.notebook import Notebook
from fieldnote.records import (
    Action,
    Check,
    Declared,
    Evidence,
    Extraction,
    Finding,
    FollowUp,
    Incoming,
    Limit,
    Point,
    ProcedureStep,
    Quantity,
    Reading,
    Result,
    Segment,
    Transcript,
    Visit,
    VisitView,
    Word,
    digest,
    to_plain,
)

START = datetime(2026, 11, 25, 9, 10, tzinfo=UTC)


def tone(seconds: float, rate: int = 8000) -> bytes:
    """A WAV of a quiet saw-tooth, so that a player has something to play."""
    out = io.BytesIO()
    with wave.open(out, "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(rate)
        sound.writeframes(b"".join(struct.pack("<h", (n % 40) * 20) for n in range(int(seconds * rate))))
    return out.getvalue()


def picture(colour: tuple[int, int, int], size: tuple[int, int] = (800, 600)) -> bytes:
    """A JPEG of one colour that carries a position and an owner's name in its metadata."""
    exif = Image.Exif()
    exif[0x013B] = "Olive Owner"
    exif[0xA430] = "Olive Owner"
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 0.0), 3: "W", 4: (0.0, 7.0, 0.0)})
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, "JPEG", exif=exif)
    return out.getvalue()


def transcript(
    text: str, *, doubtful: Iterable[str] = (), seconds_a_word: float = 0.4, start: float = 0.5
) -> Transcript:
    """Words at an even pace; a sentence end closes a segment; the words named are doubtful."""
    segments: list[Segment] = []
    words: list[Word] = []
    at = start
    for bare in text.split():
        doubt = "number" if bare.strip(".,") in doubtful else None
        words.append(Word(at, at + seconds_a_word, bare, 0.5 if doubt else 0.95, doubt))
        at += seconds_a_word
        if bare.endswith("."):
            segments.append(_segment(words))
            words = []
    if words:
        segments.append(_segment(words))
    return Transcript(" ".join(s.text for s in segments), tuple(segments), "sample", at + 0.5, raw=text)


def _segment(words: list[Word]) -> Segment:
    return Segment(words[0].start, words[-1].end, " ".join(w.text for w in words), 0.9, tuple(words))


TALK = (
    "Natural gas hob in the kitchen. The front left electrode is cracked and needs a new one. "
    "Rear right injector was blocked, cleaned it, clear now. The hose is perished. That's at risk. "
    "Told the customer and left a notice. Working pressure twenty point five. "
    "Meter reading one two three four point five six seven. Burner caps are fine. "
    "Might be the magnet unit on the rear left. I'll come back in a fortnight."
)


def said(words: str, text: str = TALK) -> Evidence:
    """The evidence of words that stand in a text."""
    start = text.index(words)
    return Evidence(words, start, start + len(words))


def extraction() -> Extraction:
    """What was read out of `TALK`."""

    def hob(
        component: str, position: str | None, condition: str | None, status: str, sure: float, words: str, *acts: Action
    ) -> Finding:
        return Finding("hob", component, position, None, condition, status, acts, sure, said(words))

    return Extraction(
        findings=(
            hob(
                "electrode",
                "front-left",
                "cracked",
                "present",
                0.95,
                "front left electrode is cracked",
                Action("replace", "needed"),
            ),
            hob(
                "injector",
                "rear-right",
                "blocked",
                "resolved",
                0.94,
                "Rear right injector was blocked",
                Action("clean", "done"),
            ),
            hob("hose", None, "perished", "present", 0.93, "hose is perished"),
            hob("burner-cap", None, "ok", "present", 0.96, "Burner caps are fine"),
            hob("magnet-unit", "rear-left", None, "possible", 0.55, "Might be the magnet unit on the rear left"),
        ),
        readings=(
            _reading("working-pressure", "20.5", "mbar", "Working pressure twenty point five"),
            _reading("meter-reading", "1234.567", "m3", "Meter reading one two three four point five six seven"),
        ),
        declared=(Declared("at-risk", "hob", said("That's at risk")),),
        followups=(FollowUp("revisit", 14, said("come back in a fortnight")),),
        procedure=(
            ProcedureStep("responsible-person-told", None, said("Told the customer")),
            ProcedureStep("notice-left", None, said("left a notice")),
        ),
        gas="natural",
    )


def _reading(quantity: str, value: str, unit: str, words: str) -> Reading:
    return Reading(
        quantity, Decimal(value), unit, "hob", None, None, None, 0.97, said(words), said=words.split(maxsplit=2)[2]
    )


def check(asked: Extraction, visit: Visit, day: date) -> Check:
    """A check by hand: one result inside its limit, one with none, and one point of each kind that a person must see."""
    pressures = [n for n, r in enumerate(asked.readings) if r.quantity == "working-pressure"]
    hoses = [n for n, f in enumerate(asked.findings) if f.component == "hose"]
    results = [_pressure(asked.readings[n], n) for n in pressures]
    results.append(
        Result(
            "gas-rate",
            {"first": "1234.567 m3"},
            {},
            "(second - first) / time",
            None,
            "no-verdict",
            "missing-input",
            "a second meter reading and the time between",
            appliance="hob",
            trade_version="sample-1",
        )
    )
    points = [
        Point(
            "question",
            "hose-perished",
            "A perished hose: consider whether this is at risk.",
            "common practice, no source",
            findings=tuple(hoses),
        ),
        Point(
            "unlikely",
            "no-phase",
            "The working pressure was given without saying as found or as left.",
            readings=tuple(pressures),
        ),
        Point("unsaid", "hob-tightness", "Tightness test"),
        Point("unsaid", "hob-ventilation", "Openable window or ventilation"),
        Point("symptom", "electrode-cracked", "A cracked electrode can stop the spark.", findings=(0,)),
    ]
    return Check(tuple(results), tuple(points), "sample-1")


def _pressure(reading: Reading, index: int) -> Result:
    limit = Limit(
        "sample",
        "18.5 to 23 mbar at the appliance",
        "an invented limit for tests",
        "user",
        low=Decimal("18.5"),
        high=Decimal(23),
        unit="mbar",
    )
    inside = limit.low is not None and limit.high is not None and limit.low <= reading.value <= limit.high
    value = Quantity(reading.value, "mbar", Decimal("0.1"))
    return Result(
        "working-pressure",
        {"value": f"{reading.value} mbar"},
        {"working-pressure": value},
        "as read",
        limit,
        "within" if inside else "outside",
        sources=("an invented limit for tests",),
        from_readings=(index,),
        appliance="hob",
        trade_version="sample-1",
    )


@dataclass
class Clock:
    """A clock that stands still until it is moved on."""

    now: datetime = START

    def __call__(self) -> datetime:
        return self.now


def file(book: Notebook, kind: str, name: str, content: bytes, visit: str, **known: Any) -> str:
    """File bytes as an item of a visit; returns its id."""
    path = book.path / name
    path.write_bytes(content)
    known.setdefault("facts", {"format": name.rpartition(".")[2]})
    incoming = Incoming(path, kind, hashlib.sha256(content).hexdigest(), len(content), **known)
    receipt = book.file(incoming, visit)
    path.unlink()
    assert receipt.id is not None
    return receipt.id


def sample_book(folder: Path, read: Callable[[], Extraction] = extraction, heard: Transcript | None = None) -> Notebook:
    """A notebook with one visit: a clip, two photos (one at the electrode, one long after), all of it read and checked."""
    heard = heard or transcript(TALK, doubtful=("twenty",))
    book = Notebook.open(folder, create=True, clock=Clock())
    visit = book.open_visit("KITCHEN-1", work="service", appliances=["hob"], gas="natural", meter="G4", region="GB")
    clip = file(book, "recording", "kitchen.wav", tone(heard.duration), visit.id, at=START, seconds=heard.duration)
    file(book, "photo", "photo-1.jpg", picture((180, 60, 40)), visit.id, at=START + timedelta(seconds=5))
    file(book, "photo", "photo-2.jpg", picture((40, 60, 180), (600, 800)), visit.id, at=START + timedelta(hours=2))
    book.append("transcript", to_plain(heard), visit=visit.id, item=clip)
    sources = [{"item": clip, "start": 0, "end": len(heard.text)}]
    book.append(
        "extraction", {"basis": digest("x"), "sources": sources, "extraction": to_plain(read())}, visit=visit.id
    )
    recheck(book, check, visit)
    return book


def sample_view(book: Notebook, ref: str = "KITCHEN-1") -> VisitView:
    """The sample visit as it stands, its check worked out for what holds now."""
    return view(book, ref, check)
