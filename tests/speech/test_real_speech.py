"""The whole room with real weights on a few short clips. Skips by name where the weights are not on this machine."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from fieldnote import settings, speech
from fieldnote.records import Transcript
from fieldnote.speech import hints
from fieldnote.speech.engine import HINT_TOKENS
from fieldnote.speech.hearing import Recogniser
from fieldnote.speech.numbers import comparable
from tests.conftest import REAL_MODELS

CLIPS = Path(__file__).parent / "clips"
ROWS = [json.loads(line) for line in (CLIPS / "manifest.jsonl").read_text("utf-8").splitlines()]

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not (REAL_MODELS / "base" / "int8").is_dir(), reason="no weights: fieldnote models fetch base"),
]


@pytest.fixture(scope="module")
def recogniser() -> Recogniser:
    """The recogniser that everybody gets, loaded once. Sockets are blocked: loading needs none."""
    return speech.build(replace(settings.load(), models=REAL_MODELS))


@pytest.fixture(scope="module")
def heard(recogniser: Recogniser) -> dict[str, Transcript]:
    """All clips, heard once."""
    return {row["file"]: recogniser.hear(CLIPS / row["file"]) for row in ROWS}


def figures(text: str) -> list[str]:
    """The numbers of a text."""
    return [atom.text for atom in comparable(text.replace("C O two", "CO").split()) if atom.number]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["file"])
def test_numbers_are_right_or_marked(heard: dict[str, Transcript], row: dict[str, str]) -> None:
    """Every number that was said stands in the transcript, or a number in it is marked as doubtful."""
    transcript = heard[row["file"]]
    missing = set(figures(row["words"])) - set(figures(transcript.text.replace("CO2", "CO ")))
    marked = [word for segment in transcript.segments for word in segment.words if word.doubt]
    assert not missing or marked, (missing, transcript.text)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["file"])
def test_most_words_are_right(heard: dict[str, Transcript], row: dict[str, str]) -> None:
    """At least nine in ten of the pieces that were said are written."""
    said = [atom.text for atom in comparable(row["words"].replace("C O", "CO").replace("P P M", "ppm").split())]
    written = {atom.text for atom in comparable(heard[row["file"]].text.split())}
    assert sum(piece in written for piece in said) >= 0.9 * len(said), heard[row["file"]].text


def test_times_and_confidences_fit(heard: dict[str, Transcript]) -> None:
    """Words are in order, inside the recording, and their confidence is a share."""
    for transcript in heard.values():
        words = [word for segment in transcript.segments for word in segment.words]
        assert all(
            0 <= word.start <= word.end <= transcript.duration + 0.05 and 0 <= word.confidence <= 1 for word in words
        )
        assert [word.start for word in words] == sorted(word.start for word in words)
        assert " ".join(word.text for word in words) == transcript.text


def test_the_same_sound_gives_the_same_text(recogniser: Recogniser, heard: dict[str, Transcript]) -> None:
    """Nothing is sampled: a second hearing is equal in every field."""
    first = ROWS[0]["file"]
    assert recogniser.hear(CLIPS / first) == heard[first]


def test_provenance_names_weights_and_options(heard: dict[str, Transcript]) -> None:
    """The record says which engine, which weights by hash, which options."""
    provenance = heard[ROWS[0]["file"]].provenance
    assert len(provenance["weights-sha256"]) == 64
    assert {"engine", "versions", "weights", "compute", "hint-sha256", "recipe"} <= provenance.keys()


@pytest.mark.parametrize("kind", ["digital", "noise", "hum", "clicks"])
def test_no_text_where_nobody_speaks(recogniser: Recogniser, kind: str) -> None:
    """Half a minute of silence, noise, hum or clicks gives no word, and says so."""
    rng, n = np.random.default_rng(11), 30 * 16000
    sound = {
        "digital": np.zeros(n),
        "noise": 0.02 * rng.standard_normal(n),
        "hum": 0.05 * np.sin(2 * np.pi * 100 * np.arange(n) / 16000),
        "clicks": (rng.random(n) < 1e-4) * 0.5,
    }[kind].astype(np.float32)
    transcript = recogniser.hear_samples(sound)
    assert transcript.text == "" and "no-speech" in transcript.flags


def test_the_hint_fits(recogniser: Recogniser) -> None:
    """The whole hint is used: it is not cut off."""
    tokens = recogniser._engine._tokenizer.encode(" " + hints.prose())  # type: ignore[attr-defined]
    assert len(tokens) <= HINT_TOKENS


def test_a_word_that_begins_with_t_is_one_piece(recogniser: Recogniser) -> None:
    """The mended tokenizer makes the pieces that the network was trained on."""
    tokenizer = recogniser._engine._tokenizer  # type: ignore[attr-defined]
    assert len(tokenizer.encode(" the tap test")) == 3
