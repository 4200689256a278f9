"""Seconds from the last voiced sample of a phrase to its text, beside a plain decode of faster-whisper in the same run.

    python tests/benchmarks/live_latency.py [ROUNDS]

Phrases of about 3, 6 and 12 s are cut out of the demo recordings by the live cutter itself. A phrase is heard from LIKELY
seconds of pause on and shown when its pause is over: "text" is the first text (one decode), "words" the compared words that are
kept, "plain" faster-whisper as it comes (beam 5, 30 s window) behind the whole pause.
"""

import statistics
import sys
import time
from pathlib import Path

import numpy as np

from fieldnote import bootstrap, settings
from fieldnote.speech.phrases import LIKELY, PHRASE_PAUSE, Ear
from fieldnote.speech.sound import Sound
from fieldnote.speech.voice import PAD

RATE = 16000
DEMO = Path(__file__).parents[2] / "demo_recordings"


def phrases(ear):
    """(samples, voiced seconds) of every phrase of the demo."""
    for clip in sorted(DEMO.glob("visit-*.*g*")) + sorted(DEMO.glob("visit-*.m4a")):
        with Sound(clip) as sound:
            whole = np.concatenate(list(sound))
        cutter = ear.cutter()
        for span in [*cutter.feed(whole), *cutter.finish()]:
            yield whole[span.first : span.last], span.voiced


def timed(work):
    """Seconds of wall time and what came out."""
    begun = time.perf_counter()
    out = work()
    return time.perf_counter() - begun, out


def main():
    """Print one line a length."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 3
    recogniser = bootstrap.recogniser(settings.load())
    ear, plain = Ear(recogniser), recogniser._engine._whisper
    every = list(phrases(ear))
    ear.settle(ear.draft(*every[0]))
    print("phrase  n  to text  to words  plain (pause + decode)  text/plain of the work alone")
    for length in (3, 6, 12):
        chosen = sorted(every, key=lambda one: abs(one[1] - length))[:3]
        rows = []
        for samples, voiced in chosen * rounds:
            first, draft = timed(lambda s=samples, v=voiced: ear.draft(s, v))
            rest, _ = timed(lambda d=draft: ear.settle(d))
            base, _ = timed(lambda s=samples: list(plain.transcribe(s, language="en", beam_size=5)[0]))
            rows.append((first, rest, base))
        first, rest, base = (statistics.median(column) for column in zip(*rows, strict=True))
        wait = PHRASE_PAUSE + 0.1  # a block of a tenth of a second has to fill first
        text = max(wait, LIKELY + 0.1 + first)
        voiced = statistics.median(voiced for _, voiced in chosen)
        print(
            f"{voiced:5.1f}s {len(rows):3d}  {text:6.2f}  {text + rest:8.2f}"
            f"  {wait + base:10.2f}  {first / base:20.2f}   (pad {PAD} s)"
        )


if __name__ == "__main__":
    main()
