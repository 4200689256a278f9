"""Sound to words: comes in a recording, goes out a `Transcript`. This room may not know what the words mean.

Everything heavy is imported when it is first needed: `build` loads the weights.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fieldnote.settings import Settings
    from fieldnote.speech.hearing import Recogniser

__all__ = ["build"]


def build(settings: Settings) -> Recogniser:
    """The recogniser for `settings.model`, weights checked and loaded.

    Raises MachineLacks FN-401 when the weights are not on this machine, FN-405 when they are damaged.
    """
    from fieldnote.speech import weights
    from fieldnote.speech.engine import WhisperEngine
    from fieldnote.speech.hearing import Recogniser

    folder, sha256 = weights.ready(settings, settings.model)
    return Recogniser(WhisperEngine(folder, sha256, settings.model, settings.threads))
