"""Sound that is being recorded survives a kill, a full disk and a second start."""

import os
import random
import signal
import subprocess
import sys
import time
import wave
from datetime import UTC, datetime

import numpy as np
import pytest

from fieldnote.capture import microphone, tape, tones

AT = datetime(2026, 11, 18, 10, 0, 0, 250000, tzinfo=UTC)
SPEAKER = """
import sys, time, pathlib, datetime, numpy as np
from fieldnote.capture.tape import Tape
tape = Tape(pathlib.Path(sys.argv[1]), datetime.datetime(2026, 11, 18, tzinfo=datetime.UTC))
for n in range(10_000):
    tape.write(np.full(1600, n % 30000, np.int16))
    if n % 10 == 0:
        tape.note({"n": n})
    print(n, flush=True)
    time.sleep(0.002)
"""


@pytest.mark.parametrize("seed", range(6))
def test_a_kill_takes_nothing_that_was_written(tmp_path, seed):
    """Killed at a random moment, every block that was acknowledged is there, in a file that any reader of WAV opens."""
    child = subprocess.Popen([sys.executable, "-c", SPEAKER, str(tmp_path / "t")], stdout=subprocess.PIPE, text=True)
    child.stdout.readline()
    time.sleep(random.Random(seed).uniform(0.01, 0.3))
    os.kill(child.pid, signal.SIGKILL)
    last = int((child.communicate()[0].split() or ["0"])[-1])
    (path,) = tape.left_behind(tmp_path / "t")
    with wave.open(str(path)) as sound:
        samples = np.frombuffer(sound.readframes(sound.getnframes()), "<i2")
    assert list(samples[::1600][: last + 1]) == [n % 30000 for n in range(last + 1)]
    assert [line["n"] for line in tape.journal(path)][: last // 10 + 1] == list(range(0, last + 1, 10))


def test_what_is_still_being_recorded_is_left_alone(tmp_path):
    """A second start does not take a running recording for one that was left behind."""
    running = tape.Tape(tmp_path / "t", AT)
    running.write(np.zeros(1600, np.int16))
    assert list(tape.left_behind(tmp_path / "t")) == []
    running.close()
    assert len(list(tape.left_behind(tmp_path / "t"))) == 1


def test_a_full_disk_costs_nothing_once_there_is_room(tmp_path, monkeypatch):
    """The sound waits in memory, the trouble is told, and all of it is in the file afterwards, in order."""
    now = [0.0]
    one = tape.Tape(tmp_path / "t", AT, clock=lambda: now[0])
    real, full = os.write, [False]

    def write(file, data):
        if full[0]:
            raise OSError(28, "No space left on device")
        return real(file, data[: max(1, len(data) // 2)])

    monkeypatch.setattr(tape.os, "write", write)
    for n in range(30):
        full[0], now[0] = 10 <= n < 20, float(n)
        one.write(np.full(1600, n, np.int16))
        assert bool(one.trouble) == full[0]
        assert list(one.take(n * 1600, n * 1600 + 3)) == [n] * 3
    path = one.close()
    with wave.open(str(path)) as sound:
        samples = np.frombuffer(sound.readframes(sound.getnframes()), "<i2")
    assert list(samples[::1600]) == list(range(30))


def test_the_name_tells_the_moment_to_the_thousandth(tmp_path):
    """And a second recording of the same moment gets a name of its own."""
    first, second = tape.Tape(tmp_path / "t", AT), tape.Tape(tmp_path / "t", AT)
    assert tape.started(first.path) == AT
    assert (tape.started(second.path) - AT).total_seconds() == 0.001


@pytest.mark.parametrize("name", tones.TONES)
def test_a_tone_is_sound_that_does_not_clip(name):
    """Audible, at most full scale, and as long as it says."""
    raw = np.frombuffer(tones.tone(name)[44:], "<i2").astype(int)
    assert 3000 < abs(raw).max() <= 32767
    assert len(raw) / tones.RATE == pytest.approx(tones.seconds(name), abs=0.01)


def test_tones_differ():
    """No two sound the same."""
    assert len({tones.tone(name) for name in tones.TONES}) == len(tones.TONES)


class Devices:
    """The three names of the sound library, with a device that speaks for a while and then falls silent."""

    class PortAudioError(Exception):
        """As the library raises."""

    def __init__(self, rates=(16000,), blocks=5):
        self.rates, self.blocks = rates, blocks

    def query_devices(self):
        """One that hears, one that does not."""
        return [{"name": "Headset", "max_input_channels": 1}, {"name": "Speaker", "max_input_channels": 0}]

    def InputStream(self, *, samplerate, blocksize, device, channels, dtype, callback):
        """A stream; refuses rates that the device does not know."""
        if samplerate not in self.rates:
            raise self.PortAudioError("Invalid sample rate")
        t = np.arange(blocksize) / samplerate
        sound = (10000 * np.sin(2 * np.pi * 500 * t)).astype(np.int16).reshape(-1, 1)
        devices = self

        class Stream:
            """Gives its blocks as soon as it is entered."""

            def __enter__(self):
                for _ in range(devices.blocks):
                    callback(sound, blocksize, None, None)

            def __exit__(self, *_):
                pass

        return Stream()


@pytest.mark.parametrize("rates", [(16000,), (48000,)])
def test_a_microphone_gives_blocks_and_tells_when_it_is_lost(rates):
    """Five tenths of a second of a 500 Hz tone at 16 kHz, whatever the device knows; then the loss."""
    ears = microphone.Microphone(devices=Devices(rates), clock=lambda: AT, silent=0.05)
    whole = np.concatenate([block.samples for block in _until_lost(ears)])
    assert len(whole) == 5 * 1600
    assert np.abs(np.fft.rfft(whole)).argmax() / (len(whole) / 16000) == pytest.approx(500, abs=3)


def _until_lost(ears):
    blocks = ears.blocks()
    while True:
        try:
            yield next(blocks)
        except microphone.DeviceLost:
            return


def test_devices_that_cannot_hear_are_not_listed():
    """Only inputs have a line."""
    assert microphone.names(Devices()) == ["0  Headset"]
