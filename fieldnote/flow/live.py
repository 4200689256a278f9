"""Hands-free: sound comes in, is safe on the disk at once, and becomes words, findings and answers while the talk goes on.

Two sides that share one queue of tapes. `Live.take` is the recording side: it writes and never waits for anything but the disk.
`Live.work` is the listening side: it reads the tapes back, cuts phrases, hears and reads them, obeys commands, asks. With sound
that cannot wait the two run in threads of their own, else one after the other. It knows no terminal, device or engine.
"""

import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np

from fieldnote.capture.microphone import Block, DeviceLost, Source
from fieldnote.capture.tape import RATE, Loop, Tape
from fieldnote.flow import taped
from fieldnote.flow.commands import plain
from fieldnote.flow.hands import ALOUD, Draft, Ear, Event, Floats, Parts, Reel, Span, Wish, reel_time
from fieldnote.flow.window import Window
from fieldnote.records import Transcript, to_plain

GRACE = 30.0  # seconds that go on being recorded after a heard stop or pause
LONGEST = 600.0  # seconds of one recording; the next pause then begins another
GAP = 2.0  # seconds of clock without sound that are said and begin another recording
# words, and the share of them in the last spoken answer, that make a phrase the machine's own voice
ECHO_WORDS = 5
ECHO = 0.8
SHORT = 1.6  # seconds of voice up to which a phrase may be a command that was not understood at first
SURE = 13.0  # times that a command must be likelier than the one for which it can be taken
RETRY = 2.0  # seconds between two attempts to find a lost device


@dataclass
class Live:
    """One run of listening. `recording` tells whether sound is being kept now."""

    parts: Parts
    grace: float = GRACE
    longest: float = LONGEST
    recording: bool = True
    done: bool = False
    reels: deque[Reel] = field(default_factory=deque)
    _wish: Wish | None = None
    _next: datetime | None = None
    _trouble: str = ""
    _spoken: set[str] = field(default_factory=set)
    _lost: bool = False
    _failed: str = ""
    _ear: Ear | None = None
    _window: Window | None = None
    _live: bool = False
    _work: threading.Lock = field(default_factory=threading.Lock)

    # ---- the recording side

    def run(self, source: Source, wait: Callable[[float], Any]) -> None:
        """Listen until stopped, the sound ends, or an exception (Ctrl-C) comes; what was recorded is filed in any case."""
        self._live = source.live
        worker = threading.Thread(target=self._keep_working, daemon=True)
        if source.live:
            worker.start()
        try:
            self._record(source, wait)
        finally:
            self._close()
            self.done = True
            if source.live:
                worker.join()
            self.work()
        self.parts.front.tone("stopped")

    def _record(self, source: Source, wait: Callable[[float], Any]) -> None:
        while True:
            try:
                for block in source.blocks():
                    if self._lost:
                        self._lost = False
                        self._say("state", "the sound device answers again; recording")
                    self.take(block)
                    if not source.live:
                        self.work()
                    if self.done:
                        return
                return
            except DeviceLost as problem:
                if not self._lost:
                    self._close()
                    self._say("trouble", f"no sound comes in: {problem}. What was recorded is safe; trying again")
                    self.parts.front.tone("trouble")
                self._lost, self._next = True, None
                wait(RETRY)

    def take(self, block: Block) -> None:
        """Put sound on the tape, before anything else is done with it."""
        if self._next and abs((block.at - self._next).total_seconds()) > GAP:
            self._close()
            gap = (block.at - self._next).total_seconds()
            self._say("trouble", f"no sound for {gap:.0f} s by the clock; a new recording begins")
            self.parts.front.tone("trouble")
        self._next = block.at + timedelta(seconds=len(block.samples) / RATE)
        self._obey(block.at)
        if self.done:
            return
        reel = self._reel(block.at)
        reel.tape.write(block.samples)
        if block.dropped:
            self._say("trouble", "the machine was too busy: a moment of sound is missing")
        self._look_at(reel)

    def _reel(self, at: datetime) -> Reel:
        """The reel that is running, or a new one; a long one is ended in a pause."""
        running = self.reels[-1] if self.reels and not self.reels[-1].closed else None
        if running and self._long(running):
            running.closed, running = True, None
        if running is None:
            running = Reel(self._tape(at) if self.recording else Loop())
            self.reels.append(running)
        return running

    def _long(self, reel: Reel) -> bool:
        """Whether a recording is long enough to be ended, in a pause if there is one soon."""
        seconds = reel.tape.frames / RATE if isinstance(reel.tape, Tape) else 0.0
        between = reel.cuts is None or reel.cuts.quiet
        return seconds >= self.longest and (between or seconds >= 1.1 * self.longest)

    def _tape(self, at: datetime) -> Tape:
        tape = Tape(taped.folder_of(self.parts.book), at)
        tape.note({"visit": self.parts.visit, "at": at.isoformat()})
        return tape

    def _look_at(self, reel: Reel) -> None:
        """Say it when the disk stops taking sound, and when it takes it again."""
        trouble = getattr(reel.tape, "trouble", "")
        if bool(trouble) != bool(self._trouble):
            text = (
                f"the disk takes nothing ({trouble}); the sound is held in memory"
                if trouble
                else "the disk takes sound again"
            )
            self._say("trouble" if trouble else "state", text)
            self.parts.front.tone("trouble" if trouble else "listening")
        self._trouble = trouble

    def _obey(self, now: datetime) -> None:
        wish = self._wish
        if wish is None or now < wish.at:
            return
        self._wish = None
        self._close()
        if wish.what == "stop":
            self.done = True
        self.recording = wish.what == "start"
        self._say(
            "state",
            {"stop": "stopped", "pause": "paused: nothing is recorded; say start", "start": "recording"}[wish.what],
        )
        if wish.what == "start":
            self.parts.front.tone("listening")

    def _close(self) -> None:
        if self.reels:
            self.reels[-1].closed = True

    def _say(self, kind: str, text: str, second: float | None = None, steps: tuple[str, ...] = ()) -> None:
        if self.parts.speaks and kind in ALOUD:
            self._spoken = set(plain(" ".join((text, *steps))).split())
        self.parts.front.show(Event(kind, text, second, steps))

    # ---- the listening side

    def _keep_working(self) -> None:
        import time

        while not (self.done and all(reel.closed for reel in self.reels)):
            self.work()
            time.sleep(0.05)

    def work(self) -> None:
        """Listen to everything that is on the tapes and was not listened to; file what is at its end."""
        with self._work:
            self.parts.photos()
            while self.reels:
                reel = self.reels[0]
                closed = reel.closed
                self._try(reel, closed)
                if not closed:
                    return
                self._file(reel)
                self.reels.popleft()

    def _try(self, reel: Reel, closed: bool) -> None:
        """Listen; whatever goes wrong is said, the recording goes on, and `process` hears it whole later."""
        try:
            self._listen(reel, closed)
        except Exception as problem:
            reel.incomplete, reel.heard = True, reel.tape.frames
            if str(problem) != self._failed:
                self._failed = str(problem)
                self._say("trouble", f"recorded, but not understood: {problem}")
                self.parts.front.tone("trouble")

    def _listen(self, reel: Reel, closed: bool) -> None:
        self._ear = self._ear or self.parts.ear()
        if reel.cuts is None:
            reel.cuts = self._ear.cutter()
        while reel.heard < reel.tape.frames:
            last = min(reel.tape.frames, reel.heard + RATE)
            piece = _floats(reel.tape.take(reel.heard, last))
            reel.heard = last
            for span in reel.cuts.feed(piece):
                self._phrase(reel, span)
        for span in reel.cuts.finish() if closed else ():
            self._phrase(reel, span)
        if self._live and not closed and (likely := reel.cuts.likely):
            self._draft(reel, likely)

    def _draft(self, reel: Reel, span: Span) -> Any:
        """The first text of a phrase; one that was heard in advance is used when speech did not go on after all."""
        assert self._ear is not None
        place = (span.first, span.last)
        if reel.ahead is None or reel.ahead[0] != place:
            reel.ahead = (place, self._ear.draft(_floats(reel.tape.take(*place)), span.voiced))
        return reel.ahead[1]

    def _phrase(self, reel: Reel, span: Span) -> None:
        """Hear one phrase, obey it or read it, and keep it before anything is said about it."""
        assert self._ear is not None
        draft = self._draft(reel, span)
        start = span.first / RATE
        command = self._command_in(draft, span)
        if not isinstance(reel.tape, Tape):
            self._while_paused(command)
            return
        if draft.text:
            self._say("heard", draft.text, start)
        words = taped.moved(self._ear.settle(draft), start)
        command = command or self._sure(draft, words.text)
        if not words.text and not command:
            if span.voiced > 0.7:
                self.parts.front.tone("not-understood")
            return
        if self._echo(words.text):
            self._keep(reel, {"echo": to_plain(words)})
            return
        note: dict[str, Any] = {"phrase": to_plain(words)}
        if command:
            note |= {"command": command}
        self._keep(reel, note)
        if command:
            self._command(command, reel, words, span.last / RATE)
            return
        if self.parts.commands.match(words.text):
            self.parts.front.tone("not-understood")
        reel.last = (start, span.last / RATE)
        self._read(words, start)

    def _command_in(self, draft: Draft, span: Span) -> str | None:
        """The command that a phrase is, by its first text; a short one also by what it is when commands are expected."""
        assert self._ear is not None
        commands = self.parts.commands
        heard = draft.text or draft.unsure
        if commands.match(heard) is None and span.voiced <= SHORT:
            heard = self._ear.among(draft, commands.hint)
        return self._sure(draft, heard)

    def _sure(self, draft: Draft, heard: str) -> str | None:
        """The command that these words are, unless the sound may as well be that of another command."""
        assert self._ear is not None
        commands = self.parts.commands
        found = commands.match(heard)
        doubted = any(self._ear.odds(draft, heard, other) < SURE for other in commands.rivals(heard))
        return None if doubted else found

    def _echo(self, text: str) -> bool:
        """Whether a phrase is what was just spoken aloud: kept in the record, not read."""
        heard = plain(text).split()
        return len(heard) >= ECHO_WORDS and sum(word in self._spoken for word in heard) >= ECHO * len(heard)

    def _keep(self, reel: Reel, line: dict[str, Any]) -> None:
        assert isinstance(reel.tape, Tape)
        try:
            reel.tape.note(line)
        except OSError:
            reel.incomplete = True

    def _read(self, words: Transcript, start: float) -> None:
        """Show what a phrase means, in the order in which it matters: danger, lines, one question."""
        front, said = self.parts.front, self._reading().add(words.text)
        if said.emergency:
            front.tone("emergency")
            self._say("emergency", said.emergency.text, start, said.emergency.steps)
        for line in said.lines:
            self._say("line", line, start)
        doubtful = any(word.doubt for segment in words.segments for word in segment.words)
        if said.lines or doubtful:
            front.tone("doubtful" if doubtful else "understood")
        self._ask(said.question)

    def _ask(self, question: str | None) -> None:
        if question:
            self._note({"asked": question})
            self._say("question", question)

    def _reading(self) -> Window:
        self._window = self._window or self.parts.window()
        return self._window

    def _note(self, line: dict[str, Any]) -> None:
        reel = self.reels[0]
        if isinstance(reel.tape, Tape):
            self._keep(reel, line)

    def _while_paused(self, command: str | None) -> None:
        """Of what is said in a pause only two commands are obeyed; nothing is kept."""
        if command in ("start", "stop"):
            self._wish = Wish(command, self._now())

    def _now(self) -> datetime:
        assert self._next is not None
        return self._next

    def _command(self, command: str, reel: Reel, words: Transcript, end: float) -> None:
        self._say("command", self.parts.commands.titles[command], end)
        if command in ("stop", "pause"):
            self.parts.front.tone("stopped")
            self._wish = Wish(command, reel_time(reel, end) + timedelta(seconds=self.grace))
            self._say(
                "state", f"{command} was heard; recording goes on for {self.grace:.0f} s more, say start to carry on"
            )
        elif command == "start":
            self._wish = None
            self._say("state", "recording")
            self.parts.front.tone("listening")
        else:
            self.parts.front.tone("understood")
            getattr(self, "_" + command.replace("-", "_"))(reel, words)
        if command in ("stop", "next-appliance", "left"):
            self._ask(self._reading().question(patient=False))

    def _photo(self, reel: Reel, words: Transcript) -> None:
        self._reading().hold(words.text)

    def _next_appliance(self, reel: Reel, words: Transcript) -> None:
        self._reading().hold(words.text)

    def _strike(self, reel: Reel, words: Transcript) -> None:
        """The phrase before is struck out: its lines are rejected when it is filed, and stay in the record as such."""
        if reel.last is None:
            self._say("answer", "there is nothing to strike out")
            return
        self._keep(reel, {"struck": list(reel.last)})
        self._say("answer", f"struck out: {self._reading().strike()}")
        reel.last = None

    def _read_back(self, reel: Reel, words: Transcript) -> None:
        self._say("answer", self._reading().last_lines() or "nothing was found yet")

    def _left(self, reel: Reel, words: Transcript) -> None:
        unsaid = self._reading().left()
        self._say("answer", f"{len(unsaid)} left: {'; '.join(unsaid)}" if unsaid else "nothing on the list is left")

    def _file(self, reel: Reel) -> None:
        """A recording has come to its end: into the notebook with it."""
        if not isinstance(reel.tape, Tape):
            return
        path = self._whole(reel.tape)
        if reel.tape.frames == 0:
            discard(path)
            return
        kept = taped.file(self.parts.book, path, complete=not reel.incomplete)
        if self._window:
            self._window.filed()
        self._say("kept", f"{kept.item}  {reel.tape.seconds:.0f} s of sound")

    def _whole(self, tape: Tape) -> Path:
        """The finished file; waits for as long as the disk takes nothing."""
        import time

        while True:
            try:
                return tape.close()
            except OSError:
                self._look_at(Reel(tape))
                time.sleep(1.0)


def discard(path: Path) -> None:
    """Take away a recording in which there is no sound."""
    from fieldnote.capture import tape

    tape.remove(path)


def _floats(samples: Any) -> Floats:
    return np.asarray(samples, np.float32) / np.float32(32768)
