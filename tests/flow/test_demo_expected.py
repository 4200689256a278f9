"""The demo recordings are what their README says: whole, timed, and labelled with ids that the findings contract has."""

import itertools
import json
import tomllib
from datetime import UTC, datetime, timedelta
from pathlib import Path

import av
import pytest
from PIL import ExifTags, Image

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "demo_recordings"
CLIPS = sorted(p for p in DEMO.iterdir() if p.suffix in (".ogg", ".opus", ".m4a"))
PHOTOS = sorted(DEMO.glob("*.jpg"))
LABELS = [json.loads(line) for line in (DEMO / "expected" / "findings.jsonl").read_text("utf-8").splitlines()]
IDS = tomllib.loads((ROOT / "fieldnote" / "trade" / "data" / "vocabulary.toml").read_text("utf-8"))
COMPONENTS = {id_ for group in IDS["components"].values() for id_ in group}
FOUR = {"front-left", "front-right", "rear-left", "rear-right"}
PLACES = FOUR | {"centre", "left", "right", "front", "rear", "all", "others", None}
MAKE = DEMO / "make"


def seconds(clip):
    """Decode every frame and count what came out."""
    with av.open(str(clip)) as sound:
        return sum(frame.samples / frame.sample_rate for frame in sound.decode(audio=0))


def starts(clip):
    """From metadata where there is any, else from the name, which is in UTC."""
    with av.open(str(clip)) as sound:
        said = sound.metadata.get("creation_time")
    if said:
        return datetime.fromisoformat(said)
    return datetime.strptime(clip.name[6:21], "%Y%m%d-%H%M%S").replace(tzinfo=UTC)


def taken(photo):
    """From EXIF, with its offset."""
    with Image.open(photo) as picture:
        inner = picture.getexif().get_ifd(ExifTags.IFD.Exif)
    text = inner[ExifTags.Base.DateTimeOriginal] + inner[ExifTags.Base.OffsetTimeOriginal]
    return datetime.strptime(text, "%Y:%m:%d %H:%M:%S%z")


@pytest.fixture(scope="module")
def spans():
    """Start and end of each clip."""
    return {clip.name: (starts(clip), starts(clip) + timedelta(seconds=seconds(clip))) for clip in CLIPS}


def test_clips_decode_and_fill_four_to_six_minutes(spans):
    """At least five clips, none empty, four to six minutes together."""
    lengths = [(end - start).total_seconds() for start, end in spans.values()]
    assert len(lengths) >= 5
    assert min(lengths) > 20
    assert 240 <= sum(lengths) <= 360


def test_clips_do_not_overlap_and_their_names_tell_their_start(spans):
    """Each clip starts after the one before has ended, at the moment that stands in its name."""
    ordered = sorted(spans.items(), key=lambda clip: clip[1])
    assert [name for name, _ in ordered] == sorted(spans)
    assert all(a[1][1] < b[1][0] for a, b in itertools.pairwise(ordered))
    assert all(start.strftime("visit-%Y%m%d-%H%M%SZ-") == name[:23] for name, (start, _) in spans.items())


@pytest.mark.parametrize("photo", PHOTOS, ids=lambda p: p.stem)
def test_every_photo_was_taken_while_somebody_talked(photo, spans):
    """Each photo's own time falls inside a clip."""
    assert any(start <= taken(photo) <= end for start, end in spans.values())


def test_there_are_at_least_eight_photos_and_they_can_be_drawn_again():
    """Eight photos or more, each at the moment that the sound script wrote down."""
    moments = json.loads((MAKE / "moments.json").read_text("utf-8"))
    assert len(PHOTOS) >= 8
    assert sorted(p.stem.split("Z-", 1)[1] for p in PHOTOS) == sorted(moments)
    assert {p.stem.split("Z-", 1)[1]: taken(p).isoformat() for p in PHOTOS} == moments


def test_the_folder_stays_small():
    """All that is kept for the demo is under 3 MB."""
    assert sum(p.stat().st_size for p in DEMO.rglob("*") if p.is_file() and "__pycache__" not in p.parts) < 3_000_000


def test_the_readme_names_every_recording_and_photo():
    """Nothing lies in the folder that the README does not explain."""
    told = (DEMO / "README.md").read_text("utf-8")
    assert all(f"`{clip.name}`" in told for clip in CLIPS)
    assert all(f"`...-{photo.name.split('Z-', 1)[1]}`" in told for photo in PHOTOS)


def test_every_clip_is_labelled_with_the_words_that_were_read_out():
    """One line a clip, in order, and its text is the words file without its head, its pauses and its voices."""
    assert [label["id"] for label in LABELS] == [clip.name for clip in CLIPS]
    said = []
    for path in sorted((MAKE / "words").glob("*.txt")):
        lines = path.read_text("utf-8").split("\n\n", 1)[1].splitlines()
        said.append(" ".join(line.removeprefix("bf_isabella: ") for line in lines if line and not line.startswith("[")))
    assert [label["text"] for label in LABELS] == said


@pytest.mark.parametrize("label", LABELS, ids=lambda label: label["id"])
def test_expected_ids_are_in_the_vocabulary(label):
    """Findings, actions, readings with their unit, classes and follow-ups use the contract's ids only."""
    for finding in label["findings"]:
        assert finding["appliance"] in IDS["appliances"]
        assert finding["component"] in COMPONENTS
        assert finding["position"] in PLACES
        assert finding["condition"] in IDS["conditions"]
        assert finding["status"] in IDS["statuses"]
        assert all(
            a["kind"] in IDS["actions"] and a["state"] in ("done", "needed", "declined") for a in finding["actions"]
        )
    assert all(IDS["quantities"][reading["quantity"]][1] == reading["unit"] for reading in label["readings"])
    assert all(declared["class"] in IDS["classes"] for declared in label["declared"])
    assert all(followup["kind"] in IDS["followups"] for followup in label["followups"])


def test_idle_talk_expects_nothing():
    """One clip is only idle talk, and nothing may be found in it."""
    tea = next(label for label in LABELS if label["id"].endswith("tea.ogg"))
    assert not any(tea[kind] for kind in ("findings", "readings", "declared", "followups"))
