"""Photos at the words that speak of them. The moments and words are those of the demo visit, which is invented."""

import json
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from fieldnote.bootstrap import extractor
from fieldnote.flow.cues import cues_in, near
from fieldnote.flow.lines import proposed
from fieldnote.flow.photos import at_lines
from fieldnote.flow.talk import Source, Talk
from fieldnote.records import Finding, Placement, Reading, Segment, Transcript, Word

MAKE = Path(__file__).parents[2] / "demo_recordings" / "make"
PACE = 0.36  # seconds of one word, as the demo voices speak


def spoken(text, begin=0.0):
    """A transcript in which every word takes PACE seconds."""
    words = tuple(Word(begin + n * PACE, begin + (n + 1) * PACE, word, 0.9) for n, word in enumerate(text.split()))
    return Transcript(
        " ".join(text.split()), (Segment(begin, words[-1].end, text, 0.9, words),), "written", words[-1].end
    )


def visit():
    """The demo's words with a word's pace, and each photo at the end of the words before its pause."""
    for path in sorted((MAKE / "words").glob("*.txt")):
        said, photos = [], []
        for row in path.read_text("utf-8").split("\n\n", 1)[1].splitlines():
            if row.startswith("[") and len(row.strip("[]").split()) == 2:
                photos.append((row.strip("[]").split()[1], len(said) * PACE))
            elif row and not row.startswith("["):
                said += row.removeprefix("bf_isabella: ").split()
        yield path.stem, spoken(" ".join(said)), photos


EXPECTED = {
    "vent": ("ventilation", "vent-area"), "hob-plate": None, "electrode": "electrode", "injector": "injector", "tap": "gas-tap",
    "flames": "flame", "boiler-plate": ("data-plate", "rated-input", "heat-input", None), "meter": "meter-reading",
    "meter-after": "meter-reading", "hose": "hose", "label": ("label-attached", "isolation-valve"),
}  # fmt: skip


@pytest.fixture(scope="module")
def tied():
    """What each demo photo is tied to, with the photo's clock off by 0.8 s."""
    reader, found = extractor(), {}
    for name, transcript, photos in visit():
        talk = Talk(transcript.text, (Source(name, 0, len(transcript.text)),), {name: transcript})
        lines = proposed(reader.read(transcript.text), talk)
        places = [Placement(photo, name, second + 0.8) for photo, second in photos]
        for photo, _ in photos:
            found[photo] = None
        for line in at_lines(lines, places, {name: cues_in(transcript)}):
            said = line.current
            what = (
                said.component
                if isinstance(said, Finding)
                else said.quantity
                if isinstance(said, Reading)
                else getattr(said, "step", None)
            )
            found |= dict.fromkeys(line.photos, what)
    return found


@pytest.mark.parametrize("photo", EXPECTED)
def test_a_demo_photo_stands_at_what_its_words_name(tied, photo):
    """The words "photo of ..." decide, and a photo whose words name what was not spoken of stands at no line."""
    wanted = EXPECTED[photo]
    assert tied[photo] in (wanted if isinstance(wanted, tuple) else (wanted,))


@pytest.mark.parametrize(
    "text", ["No photo.", "I'll send them a photo.", "The picture rail is loose", "Flame picture is good."]
)
def test_talk_of_pictures_is_no_cue(text):
    """Words that only mention a picture tie nothing."""
    assert cues_in(spoken(text)) == []


@pytest.mark.parametrize(
    "text", ["Hose perished. Photo of that.", "Hose perished. Photo.", "Hose perished. Picture of this one."]
)
def test_pointing_words_name_nothing(text):
    """They speak of the statement before them."""
    (cue,) = cues_in(spoken(text))
    assert cue.names == ()


PARTS = "hose injector electrode gas-tap thermocouple flue case-seal fan regulator heat-exchanger".split()
FAULTS = ("damaged", "dirty", "loose")


@pytest.mark.parametrize("error", [-3600.0, -37.0, 0.0, 95.0])
def test_of_thirty_photos_with_a_wrong_clock_29_are_right(error):
    """Thirty photos, half named, half pointed at, at uneven moments; the camera's clock is wrong by `error`, measured to 1 s."""
    wanted, pieces, at, begin = {}, [], [], 0.0
    for n in range(30):
        part, fault = PARTS[n % 10], FAULTS[n // 10]
        cue = "Photo of that." if n % 2 else f"Photo of the {part.replace('-', ' ')}."
        pieces.append(spoken(f"The {part.replace('-', ' ')} is {fault}. {cue}", begin))
        at.append(pieces[-1].segments[0].end + (n % 5) * 0.3)
        begin = pieces[-1].segments[0].end + 2.5  # the hands are at the camera for that long
        wanted[f"p{n}"] = part, fault
    segments = tuple(piece.segments[0] for piece in pieces)
    transcript = Transcript(" ".join(one.text for one in segments), segments, "written", begin)
    talk = Talk(transcript.text, (Source("r", 0, len(transcript.text)),), {"r": transcript})
    said = extractor().read(
        transcript.text
    )  # three faults of each part one after the other: some are doubted, which is not asked here
    every = sorted((*said.findings, *said.doubted), key=lambda one: one.evidence.start)
    lines = proposed(replace(said, findings=tuple(every)), talk)
    taken = {f"p{n}": second - error for n, second in enumerate(at)}
    measured = error + 0.9
    places = [Placement(photo, "r", second + measured) for photo, second in taken.items()]
    got = {
        photo: (line.current.component, line.current.condition)
        for line in at_lines(lines, places, {"r": cues_in(transcript)})
        for photo in line.photos
    }
    assert sum(got.get(photo) == part for photo, part in wanted.items()) >= 29, {
        p: (got.get(p), w) for p, w in wanted.items() if got.get(p) != w
    }


def test_the_written_moments_of_the_demo_are_where_its_words_are():
    """Every photo of the demo has its pause in the words."""
    moments = json.loads((MAKE / "moments.json").read_text("utf-8"))
    assert sorted(photo for _, _, photos in visit() for photo, _ in photos) == sorted(moments)
    assert all(datetime.fromisoformat(at).utcoffset() == timedelta() for at in moments.values())


def test_the_nearest_cue_wins():
    """Of two cues the one that was just said."""
    transcript = spoken("Photo of the hose. one two three four five six seven eight Photo of the tap.")
    first, second = cues_in(transcript)
    assert near([first, second], second.end + 1) is second
    assert near([first, second], first.end + 1) is first
