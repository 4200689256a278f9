"""`fieldnote transcribe` and `fieldnote models`: the shapes that scripts rely on, and what happens when something is missing."""

import json
from pathlib import Path

import numpy as np
import pytest

from fieldnote import cli, speech
from fieldnote.speech.hearing import Recogniser
from tests.speech.engines import ScriptedEngine, two
from tests.speech.test_sound import wav


def run(*arguments: str) -> int:
    """The command's exit status."""
    with pytest.raises(SystemExit) as end:
        cli.main(arguments)
    assert isinstance(end.value.code, int)
    return end.value.code


@pytest.fixture
def scripted(monkeypatch: pytest.MonkeyPatch) -> None:
    """A recogniser whose two decodes differ in a number, wherever the voice detector finds speech."""
    recogniser = Recogniser(ScriptedEngine(two("Hobb working 1.2", "hobb working one point eight")))
    monkeypatch.setattr(speech, "build", lambda _: recogniser)


def speechlike(path: Path) -> Path:
    """A clip that the voice detector takes for speech: one of the test clips, as it is."""
    path.write_bytes((Path(__file__).parent.parent / "speech" / "clips" / "made-2-01.ogg").read_bytes())
    return path


@pytest.mark.usefixtures("scripted")
def test_jsonl_has_the_promised_shape(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One line a recording with id, text, segments, model, duration, repairs and flags."""
    assert run("transcribe", str(speechlike(tmp_path / "a.ogg")), "--format", "jsonl") == 0
    (line,) = capsys.readouterr().out.splitlines()
    row = json.loads(line)
    assert {"id", "text", "segments", "model", "duration", "repairs", "flags"} <= row.keys()
    assert row["id"] == "a.ogg" and row["model"] == "scripted" and row["duration"] > 9
    assert {"start", "end", "text", "confidence", "words"} <= row["segments"][0].keys()
    words = [word for segment in row["segments"] for word in segment["words"]]
    assert {"start", "end", "text", "confidence", "doubt"} == set(words[0])
    assert {word["doubt"] for word in words if word["text"] in ("one", "point", "eight")} == {"number"}
    assert {"heard", "read", "rule"} <= row["repairs"][0].keys()


@pytest.mark.usefixtures("scripted")
def test_no_speech_is_an_answer(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A silent recording is exit 0 with an empty text and its flag."""
    assert run("transcribe", str(wav(tmp_path / "a.wav", np.zeros(44100))), "--format", "jsonl") == 0
    row = json.loads(capsys.readouterr().out)
    assert row["text"] == "" and row["segments"] == [] and "no-speech" in row["flags"]


@pytest.mark.usefixtures("scripted")
def test_a_file_that_cannot_be_used_does_not_stop_the_others(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit 3, one line on standard error that names the file, and the other recording is done."""
    bad = tmp_path / "bad.ogg"
    bad.write_bytes(b"not sound")
    assert run("transcribe", str(bad), str(speechlike(tmp_path / "a.ogg")), "--format", "jsonl") == 3
    shown = capsys.readouterr()
    assert len(shown.out.splitlines()) == 1
    assert shown.err.count("\n") == 1 and "bad.ogg" in shown.err


@pytest.mark.usefixtures("scripted")
def test_text_shows_doubts_and_repairs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """For people: the text, each doubtful word with its second, each repair with its rule."""
    run("transcribe", str(speechlike(tmp_path / "a.ogg")))
    shown = capsys.readouterr().out
    assert "(number)" in shown and "heard 'Hobb', read as 'Hob' (hob)" in shown


def test_missing_weights_name_the_command(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit 4 and the command that mends it."""
    monkeypatch.setenv("FIELDNOTE_MODELS", str(tmp_path / "none"))
    assert run("transcribe", str(wav(tmp_path / "a.wav", np.zeros(4410)))) == 4
    assert "fieldnote models fetch base" in capsys.readouterr().err


def test_models_lists_what_is_known(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Models that are not here are listed with the way to get them; the chosen one is marked."""
    monkeypatch.setenv("FIELDNOTE_MODELS", str(tmp_path / "none"))
    assert run("models", "--json") == 0
    rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [(row["name"], row["state"], row["chosen"]) for row in rows] == [
        ("base", "absent", True),
        ("tiny.en", "absent", False),
        ("reader", "absent", False),
    ]
    assert run("models") == 0
    assert "* base         not here: fieldnote models fetch base" in capsys.readouterr().out


def test_damaged_weights_are_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """`models check` ends with 1 when a checksum differs and says which."""
    monkeypatch.setenv("FIELDNOTE_MODELS", str(tmp_path))
    (tmp_path / "base").mkdir()
    for name in ("model.bin", "config.json", "tokenizer.json", "vocabulary.txt"):
        (tmp_path / "base" / name).write_text("x")
    assert run("models", "check") == 1
    assert "DAMAGED: the checksum of model.bin differs" in capsys.readouterr().out
