"""Sound as it is made. In: a sound device, or blocks of an older recording. Out: `Block`s with the moment of their first sample.

The device library is asked for through three names only (`InputStream`, `query_devices`, `PortAudioError`), so that a stand-in
can take its place. Not allowed to know: what becomes of the sound.
"""

import queue
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from types import ModuleType
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from fieldnote.capture.tape import RATE, Samples
from fieldnote.errors import MachineLacks

BLOCK = 0.1  # seconds
SILENT = 2.0  # seconds without a block after which a device is taken for lost


class DeviceLost(Exception):
    """The device stopped giving sound; the message says how that showed."""


@dataclass(frozen=True, slots=True)
class Block:
    """Some sound: 16-bit mono at 16 kHz, when it began, and whether the device says that some before it was dropped."""

    samples: Samples
    at: datetime
    dropped: bool = False


class Source(Protocol):
    """Where sound comes from. `blocks` may be called again after DeviceLost; `live` sound cannot wait."""

    live: bool

    def blocks(self) -> Iterator[Block]: ...


def now_here() -> datetime:
    """The moment, with this machine's offset from UTC."""
    return datetime.now().astimezone()


def library() -> ModuleType:
    """The device library. Raises MachineLacks FN-402 without the extra `mic`, FN-404 without its system part."""
    try:
        import sounddevice
    except ImportError:
        raise MachineLacks("FN-402", extra="mic") from None
    except OSError as problem:
        raise MachineLacks("FN-404", reason=f"{problem}: the system's PortAudio is missing") from None
    found: ModuleType = sounddevice
    return found


class Microphone:
    """A sound device. `device` is its number or part of its name, None for the usual one."""

    live = True

    def __init__(
        self,
        device: int | str | None = None,
        *,
        devices: Any = None,
        clock: Callable[[], datetime] = now_here,
        silent: float = SILENT,
    ) -> None:
        self._device = device
        self._devices = devices or library()
        self._clock = clock
        self._silent = silent

    def blocks(self) -> Iterator[Block]:
        """Blocks of a tenth of a second. Raises DeviceLost when it cannot be opened or stops."""
        heard: queue.SimpleQueue[tuple[Any, bool]] = queue.SimpleQueue()

        def take(data: Any, _frames: int, _time: Any, status: Any) -> None:
            heard.put((data[:, 0].copy(), bool(status and status.input_overflow)))

        try:
            stream, rate = self._opened(take)
        except (self._devices.PortAudioError, ValueError, OSError) as problem:
            raise DeviceLost(str(problem)) from None
        with stream:
            yield from self._given(heard, stream, rate)

    def _given(self, heard: "queue.SimpleQueue[tuple[Any, bool]]", stream: Any, rate: int) -> Iterator[Block]:
        slow = Slower(rate)
        while True:
            try:
                data, dropped = heard.get(timeout=self._silent)
            except queue.Empty:
                raise DeviceLost("it gives no sound any more") from None
            samples = slow(data)
            yield Block(samples, self._clock() - timedelta(seconds=len(samples) / RATE), dropped)

    def _opened(self, take: Callable[[Any, int, Any, Any], None]) -> tuple[Any, int]:
        """A running stream at 16 kHz, or at three times that where the device knows no lower rate."""
        options: dict[str, Any] = {"device": self._device, "channels": 1, "dtype": "int16", "callback": take}
        try:
            return self._devices.InputStream(samplerate=RATE, blocksize=int(BLOCK * RATE), **options), RATE
        except self._devices.PortAudioError:
            rate = 3 * RATE
            return self._devices.InputStream(samplerate=rate, blocksize=int(BLOCK * rate), **options), rate


class Slower:
    """From `rate` to 16 kHz: a windowed low pass at 7.2 kHz, then every third sample. Keeps what it needs between blocks."""

    def __init__(self, rate: int) -> None:
        self._step = rate // RATE
        n = np.arange(-47, 48)
        taps = np.sinc(n * 2 * 7200 / rate) * np.hamming(95)
        self._taps = taps / taps.sum()
        self._before = np.zeros(94)

    def __call__(self, data: NDArray[Any]) -> Samples:
        """The same sound at 16 kHz; a block's length must be a multiple of the step."""
        if self._step == 1:
            return np.asarray(data, np.int16)
        whole = np.concatenate([self._before, data.astype(np.float64)])
        self._before = whole[-94:]
        return np.clip(np.convolve(whole, self._taps, "valid")[:: self._step], -32768, 32767).astype(np.int16)


def names(devices: Any = None) -> list[str]:
    """The devices that can hear, one line each, by number."""
    found = enumerate((devices or library()).query_devices())
    return [f"{number}  {one['name']}" for number, one in found if one["max_input_channels"] > 0]


class Played:
    """An older recording given as if it were spoken now: in real time at `pace` 1, `pace` times as fast, or unhindered at 0.

    In: its samples as float32 blocks of any size, and when it began. Its own clock runs on, so that photos find their place.
    """

    def __init__(
        self, sound: Iterable[NDArray[np.float32]], at: datetime, pace: float = 1.0, tail: float = 1.0
    ) -> None:
        self.live = pace > 0
        self._sound, self._at, self._pace, self._tail = sound, at, pace, tail

    def blocks(self) -> Iterator[Block]:
        """Blocks of a tenth of a second, then a second of silence behind them."""
        begun, done = time.monotonic(), 0
        for samples in self._cut():
            if self._pace:
                time.sleep(max(0.0, begun + (done + len(samples)) / RATE / self._pace - time.monotonic()))
            yield Block(samples, self._at + timedelta(seconds=done / RATE))
            done += len(samples)

    def _cut(self) -> Iterator[Samples]:
        size = int(BLOCK * RATE)
        for part in self._sound:
            whole = (np.clip(part, -1.0, 1.0) * 32767).astype(np.int16)
            yield from (whole[at : at + size] for at in range(0, len(whole), size))
        yield from (np.zeros(size, np.int16) for _ in range(int(self._tail / BLOCK)))
