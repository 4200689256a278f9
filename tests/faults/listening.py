"""The whole command `fieldnote listen` with a recogniser that hears "part N cracked" in the loudness of each phrase, at once.

    python -m tests.faults.listening ARGUMENTS...

All else is the program itself. A phrase is a second of tone of loudness N + 1 with a second of silence behind it.
"""

import sys

import numpy as np

from fieldnote import bootstrap
from fieldnote.cli import main
from fieldnote.speech import phrases
from tests.fakes import ScriptedEngine
from tests.flow.test_live import LoudnessCuts, ScriptedEar

STEP = 1 / 400  # loudness between one phrase and the next


class Ear(ScriptedEar):
    """Tells phrases apart by how loud they are."""

    def __init__(self, _recogniser: object = None) -> None:
        super().__init__([f"part {n} cracked" for n in range(400)])

    def cutter(self) -> LoudnessCuts:
        """For a new recording."""
        return LoudnessCuts()

    def draft(self, samples, voiced):
        """What the script says for this loudness."""
        return super().draft(
            np.array([round(float(np.abs(samples[: len(samples) // 2]).max()) / STEP) / 32768]), voiced
        )


if __name__ == "__main__":
    phrases.Ear = Ear
    bootstrap.recogniser = lambda _: ScriptedEngine({})
    main(sys.argv[1:])
