"""What listening works with: an ear that hears phrases, a front that shows them, the reel of a recording under way. In: nothing.
Out: records and protocols.

Not allowed to know: what a phrase means.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from fieldnote.capture.tape import Holds, Tape
from fieldnote.flow.commands import Commands
from fieldnote.flow.window import Window
from fieldnote.notebook import Notebook
from fieldnote.records import Transcript

ALOUD = ("answer", "question", "trouble", "emergency")
Floats = NDArray[np.float32]


class Span(Protocol):
    """A phrase: its first and last sample, and the seconds of voice in it."""

    @property
    def first(self) -> int: ...

    @property
    def last(self) -> int: ...

    @property
    def voiced(self) -> float: ...


class Cuts(Protocol):
    """Finds phrases; `quiet` while nobody speaks, `likely` the phrase that a pause which has just begun may end."""

    @property
    def quiet(self) -> bool: ...

    @property
    def likely(self) -> Span | None: ...

    def feed(self, samples: Floats) -> Iterator[Span]: ...

    def finish(self) -> Iterator[Span]: ...


class Draft(Protocol):
    """The first text of a phrase, or one that is only good enough to be a command."""

    text: str
    unsure: str


class Ear(Protocol):
    """Hears phrases: a draft soon, the words that are kept after it; `among`, what it is when such words were expected; `odds`,
    how many times likelier it is one text than another."""

    def cutter(self) -> Cuts: ...

    def draft(self, samples: Floats, voiced: float) -> Any: ...

    def among(self, draft: Any, hint: str) -> str: ...

    def odds(self, draft: Any, text: str, other: str) -> float: ...

    def settle(self, draft: Any) -> Transcript: ...


@dataclass(frozen=True, slots=True)
class Event:
    """Something to show: state, heard, kept, line, command, answer, question, photo, trouble or emergency. `second` counts
    from the start of the recording."""

    kind: str
    text: str
    second: float | None = None
    steps: tuple[str, ...] = ()


class Front(Protocol):
    """What the engineer sees and hears. Neither may wait for long or fail."""

    def show(self, event: Event) -> None: ...

    def tone(self, name: str) -> None: ...


@dataclass(frozen=True)
class Outward:
    """A front out of a screen and a loudspeaker. What must be heard is also spoken, where the loudspeaker speaks."""

    screen: Callable[[Event], None]
    tone: Callable[[str], None]
    speak: Callable[[str], None]

    def show(self, event: Event) -> None:
        """Show an event; answers, questions and troubles are spoken too."""
        self.screen(event)
        if event.kind in ALOUD:
            self.speak(". ".join((event.text, *event.steps)))


@dataclass
class Reel:
    """One tape with how far it was listened to; `ahead` is a phrase that was heard before its pause was over."""

    tape: Holds
    cuts: Cuts | None = None
    heard: int = 0
    closed: bool = False
    phrases: int = 0
    incomplete: bool = False
    last: tuple[float, float] | None = None
    ahead: tuple[tuple[int, int], Any] | None = None


@dataclass
class Wish:
    """What a command asked of the recording side, and from which moment on."""

    what: str
    at: datetime


@dataclass
class Parts:
    """What the loop is given. `ear` and `window` are made when first needed, on the listening side."""

    book: Notebook
    visit: str
    ear: Callable[[], Ear]
    window: Callable[[], Window]
    front: Front
    commands: Commands
    by: str = ""
    photos: Callable[[], None] = lambda: None
    speaks: bool = False


def reel_time(reel: Reel, second: float) -> datetime:
    """The moment of a second of a reel."""
    assert isinstance(reel.tape, Tape)
    return reel.tape.at + timedelta(seconds=second)
