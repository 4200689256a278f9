"""The way from sound to transcript, around an engine that says what its script says."""

from typing import Any

import numpy as np
import pytest

from fieldnote.records import Transcript
from fieldnote.speech import hearing
from fieldnote.speech.engine import Guess
from fieldnote.speech.hearing import Recogniser
from fieldnote.speech.sound import Samples
from fieldnote.speech.voice import Passage
from tests.speech.engines import Script, ScriptedEngine, guess, same, tone, two


@pytest.fixture
def listen(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Hear passages of given lengths (seconds), one second apart, with a script; returns the transcript and the engine."""

    def run(script: Script, *lengths: float, level: float = 0.1) -> tuple[Transcript, ScriptedEngine]:
        def cut(sound: Any, detector: Any) -> Any:
            blocks = list(sound)
            at = 0.0
            for length in lengths:
                yield Passage(at, tone(length, level), ((0.0, length),))
                at += length + 1
            assert blocks

        monkeypatch.setattr(hearing, "passages", cut)
        engine = ScriptedEngine(script)
        total: Samples = np.zeros(int(sum(lengths) * 16000 + 16000), np.float32)
        return Recogniser(engine).hear_samples(total), engine

    return run


def test_words_carry_the_seconds_of_the_recording(listen: Any) -> None:
    """Words of a later passage count from the start of the recording, and pauses part segments."""
    heard, _ = listen(same("front left cracked"), 3.0, 3.0)
    assert heard.text == "front left cracked front left cracked"
    assert [word.start for word in heard.segments[1].words] == [4.0, 5.0, 6.0]
    assert len(heard.segments) == 2 and heard.flags == ("silent",)


def test_every_passage_is_decoded_plain_and_hinted(listen: Any) -> None:
    """One look through a short window, two decodes: plain, and hinted with numbers spelled."""
    _, engine = listen(same("front left cracked"), 3.0)
    assert sorted((a["hint"], a["spelled"], a["window"]) for a in engine.asked) == [(False, False, 8), (True, True, 8)]


def test_a_disagreement_is_a_doubt(listen: Any) -> None:
    """A number on which the decodes differ is marked in the transcript."""
    heard, _ = listen(two("working pressure 1.2", "working pressure one point eight"), 3.0)
    assert [(w.text, w.doubt) for w in heard.segments[0].words if w.doubt] == [
        (t, "number") for t in ("one", "point", "eight")
    ]


def test_a_loop_is_heard_again_through_the_full_window(listen: Any) -> None:
    """A decode that runs in circles is done again with 30 s, where it behaves."""

    def script(asked: dict[str, Any]) -> Guess:
        return guess(
            "rear left cap chipped " * 8 if asked["hint"] and asked["window"] < 30 else "rear left cap chipped"
        )

    heard, engine = listen(script, 3.0)
    assert heard.text == "rear left cap chipped" and not any(word.doubt for word in heard.segments[0].words)
    assert {asked["window"] for asked in engine.asked} == {8, 30}


def test_a_hint_that_only_loops_leaves_the_plain_words(listen: Any) -> None:
    """Without a second witness the plain words stand, each one doubtful."""
    heard, _ = listen(two("rear left cap chipped", "rear left cap chipped " * 8), 3.0)
    assert heard.text == "rear left cap chipped"
    assert {word.doubt for word in heard.segments[0].words} == {"low"}


def test_a_plain_decode_that_only_loops_is_searched_carefully(listen: Any) -> None:
    """The careful decode forbids repetition; what it finds is compared with the hinted one."""
    heard, engine = listen(
        lambda a: guess("hob clean" if a["hint"] or a["careful"] else "next station please " * 9), 3.0
    )
    assert heard.text == "hob clean" and any(asked["careful"] for asked in engine.asked)


@pytest.mark.parametrize(
    "script",
    [
        lambda _: guess("I'm going to the next station", -1.3),
        lambda _: guess("you", -0.8, 0.7),
        lambda asked: guess("Rear right burner." if asked["hint"] else "I never went to the sea", -0.85),
        lambda _: guess("going to the next station " * 9),
        lambda _: guess(""),
    ],
    ids=["unlikely", "nobody", "two inventions", "loops", "nothing"],
)
def test_invented_text_is_not_written(listen: Any, script: Script) -> None:
    """What nobody said is not in the transcript, and somebody's voice that gave no words is flagged."""
    heard, _ = listen(script, 3.0)
    assert heard.text == "" and {"no-speech", "passage-missing"} <= set(heard.flags)


def test_near_silence_is_not_even_decoded(listen: Any) -> None:
    """A passage below -60 dBFS never reaches the engine."""
    heard, engine = listen(same("thank you"), 3.0, level=1e-4)
    assert heard.text == "" and engine.asked == []


def test_a_missing_passage_is_heard_again(listen: Any) -> None:
    """Voiced sound without words is listened to on its own; what it says is put in its place, marked."""

    def script(asked: dict[str, Any]) -> Guess:
        return guess("rear left cap chipped" if asked["careful"] else "hob clean now done")

    heard, _ = listen(script, 16.0)
    assert "rear left cap chipped" in heard.text
    assert {w.doubt for s in heard.segments for w in s.words if w.text in ("rear", "cap")} == {"decodes-differ"}


def test_a_passage_that_stays_missing_is_flagged(listen: Any) -> None:
    """Where listening again finds nothing to be believed, the transcript says that something is missing."""
    heard, _ = listen(lambda a: guess("la la", -1.5) if a["careful"] else guess("hob clean now done"), 16.0)
    assert heard.text == "hob clean now done" and "passage-missing" in heard.flags


def test_repairs_keep_the_raw_words(listen: Any) -> None:
    """A repaired transcript still says what was heard."""
    heard, _ = listen(same("Hobb front left week spark"), 3.0)
    assert heard.text == "Hob front left weak spark" and heard.raw == "Hobb front left week spark"
    assert [(one.heard, one.read) for one in heard.repairs] == [("Hobb", "Hob"), ("week", "weak")]


def test_progress_reaches_the_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """Progress tells seconds done and seconds in all."""
    monkeypatch.setattr(hearing, "passages", lambda sound, _: [Passage(0.0, tone(2), ((0.0, 2.0),)) for _ in sound][:1])
    told: list[tuple[float, float]] = []
    Recogniser(ScriptedEngine(same("hob clean"))).hear_samples(
        tone(2), progress=lambda done, total: told.append((done, total))
    )
    assert told == [(2.0, 2.0)]
