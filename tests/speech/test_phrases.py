"""Phrases in a stream: cut at short pauses, likely ends told early, the first text used for the full one."""

import numpy as np
import pytest

from fieldnote.records import Word
from fieldnote.speech.hearing import Recogniser
from fieldnote.speech.phrases import LIKELY, PHRASE_PAUSE, Cutter, Ear
from fieldnote.speech.voice import WINDOW
from tests.speech.engines import ScriptedEngine, guess, same, tone
from tests.speech.test_voice import Scripted, seconds


def fed(cutter: Cutter, duration: float) -> list[object]:
    """The phrases that end while so many seconds go by."""
    return list(cutter.feed(np.zeros(round(duration * 16000 / WINDOW) * WINDOW, np.float32)))


def test_the_likely_end_of_a_phrase_is_its_end() -> None:
    """A quarter of a second into a pause the phrase is told as it will be cut, and no more once speech went on."""
    talk = seconds(2, 0.9) + seconds(LIKELY + 0.05, 0.0) + seconds(1, 0.9) + seconds(PHRASE_PAUSE + 0.1, 0.0)
    cutter = Cutter(Scripted(talk))
    assert fed(cutter, 2) == [] and cutter.likely is None
    assert fed(cutter, LIKELY + 0.05) == []
    early = cutter.likely
    assert early is not None and early.last <= (2 + LIKELY) * 16000
    assert fed(cutter, 1) == [] and cutter.likely is None
    assert fed(cutter, LIKELY + 0.05) == []
    told = cutter.likely
    assert [told] == fed(cutter, PHRASE_PAUSE) and told != early


def test_a_click_is_no_phrase() -> None:
    """A tenth of a second of voice is neither cut nor told."""
    cutter = Cutter(Scripted(seconds(0.1, 0.9) + seconds(1, 0.0)))
    assert fed(cutter, 0.4) == [] and cutter.likely is None
    assert fed(cutter, 0.7) == []


def test_the_decode_of_the_first_text_is_not_made_twice() -> None:
    """The first text takes the hinted decode, the words that are kept only the plain one behind it."""
    engine = ScriptedEngine(same("front left cracked"))
    ear = Ear(Recogniser(engine))
    first = ear.draft(tone(2.0), 1.6)
    assert first.text == "front left cracked" and [a["hint"] for a in engine.asked] == [True]
    assert ear.settle(first).text == "front left cracked" and [a["hint"] for a in engine.asked] == [True, False]


def test_a_phrase_can_be_heard_among_other_words() -> None:
    """With a hint of one's own; nothing when it is unlikely even so, or nobody spoke."""
    engine = ScriptedEngine(lambda asked: guess("photo now", -0.2 if asked["spelled"] else score))
    ear = Ear(Recogniser(engine))
    score = -0.3
    assert ear.among(ear.draft(tone(1.0), 0.8), "Photo now.") == "photo now"
    score = -1.5
    assert ear.among(ear.draft(tone(1.0), 0.8), "Photo now.") == ""
    assert ear.among(ear.draft(np.zeros(16000, np.float32), 0.8), "Photo now.") == ""


def test_one_text_can_be_weighed_against_another() -> None:
    """By the certainty of every word; where nobody spoke neither is likelier."""
    engine = ScriptedEngine(same("stop listening"))
    sure = {"stop": 0.9, "start": 0.1, "listening": 0.8}
    engine.words = lambda _encoded, text: [Word(0, 1, word, sure[word]) for word in text.split()]  # type: ignore[method-assign]
    ear = Ear(Recogniser(engine))
    assert ear.odds(ear.draft(tone(1.0), 0.8), "stop listening", "start listening") == pytest.approx(9.0)
    assert ear.odds(ear.draft(np.zeros(16000, np.float32), 0.8), "stop", "start") == 1.0


def test_silence_has_no_words() -> None:
    """Nothing is asked of the engine, and the words that are kept are none."""
    engine = ScriptedEngine(same("thank you"))
    ear = Ear(Recogniser(engine))
    first = ear.draft(np.zeros(16000, np.float32), 1.0)
    assert (first.text, ear.settle(first).flags, engine.asked) == ("", ("no-speech",), [])
