"""An engine that says what its script says: a real, small implementation for tests of the way around it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from fieldnote.records import Word
from fieldnote.speech.engine import Engine, Guess
from fieldnote.speech.sound import Samples

Script = Callable[[dict[str, Any]], Guess]


@dataclass
class ScriptedEngine(Engine):
    """Calls its script with what it is asked (hint, spelled, careful, window, seconds); spreads words evenly over the sound."""

    script: Script
    model: str = "scripted"
    asked: list[dict[str, Any]] = field(default_factory=list)
    borne_out: dict[str, float] = field(default_factory=dict)  # texts that the sound bears out, and by how much

    def provenance(self) -> dict[str, str]:
        return {"engine": "scripted"}

    def encode(self, samples: Samples, window: float) -> Any:
        return {"seconds": len(samples) / 16000, "window": window}

    def decode(self, encoded: Any, hint: str = "", *, spelled: bool = False, careful: bool = False) -> Guess:
        asked = {**encoded, "hint": bool(hint), "spelled": spelled, "careful": careful}
        self.asked.append(asked)
        return self.script(asked)

    def words(self, encoded: Any, text: str) -> list[Word]:
        said = text.split()
        step = encoded["seconds"] / max(1, len(said))
        return [Word(i * step, (i + 1) * step, word, 0.9) for i, word in enumerate(said)]

    def likelihoods(self, encoded: Any, texts: Sequence[str]) -> list[float]:
        return [0.0, *(self.borne_out.get(text, -99.0) for text in texts[1:])]


def guess(text: str, likelihood: float = -0.2, no_speech: float = 0.02) -> Guess:
    """A guess with good scores unless told otherwise."""
    return Guess(text, likelihood, no_speech)


def same(text: str) -> Script:
    """A script that says one thing however it is asked."""
    return lambda _: guess(text)


def two(plain: str, hinted: str) -> Script:
    """A script whose hinted decode differs from the plain one."""
    return lambda asked: guess(hinted if asked["hint"] else plain)


def tone(seconds: float, level: float = 0.1) -> Samples:
    """A sound that is loud enough for the level gate."""
    return (level * np.sin(np.arange(int(seconds * 16000)) * 0.2)).astype(np.float32)
