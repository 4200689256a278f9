"""Listening: sound first, commands, answers, questions, pauses, losses; with an ear that knows phrases by their loudness."""

from dataclasses import dataclass, field
from datetime import timedelta

import numpy as np
import pytest

from fieldnote.capture.microphone import Block, DeviceLost
from fieldnote.flow import taped
from fieldnote.flow.commands import commands
from fieldnote.flow.hands import Parts
from fieldnote.flow.live import Live
from fieldnote.flow.talk import Source, Talk
from fieldnote.flow.view import view
from fieldnote.flow.window import Window
from fieldnote.records import Check, Evidence, Extraction, Point, Segment, Transcript, Word
from tests import fakes

RATE = 16000
NOTHING = Talk("", (), {})


@dataclass
class Span:
    """Where a phrase stands."""

    first: int
    last: int
    voiced: float


class LoudnessCuts:
    """A phrase is a run of samples that are not zero."""

    def __init__(self):
        self.at, self.open = 0, None

    @property
    def quiet(self):
        """Nobody speaks."""
        return self.open is None

    likely = None

    def feed(self, samples):
        """Phrases that ended here."""
        for value in samples[::1600]:
            if value and self.open is None:
                self.open = self.at
            elif not value and self.open is not None:
                start, self.open = self.open, None
                yield Span(start, self.at, (self.at - start) / RATE)
            self.at += 1600

    def finish(self):
        """The one that was still open."""
        if self.open is not None:
            yield Span(self.open, self.at, 1.0)


@dataclass
class ScriptedEar:
    """Phrase n has loudness n + 1; a word every tenth of a second."""

    script: list

    def cutter(self):
        """For a new recording."""
        return LoudnessCuts()

    def draft(self, samples, voiced):
        """What the script says."""
        from types import SimpleNamespace

        return SimpleNamespace(text=self.script[round(float(samples[0]) * 32768) - 1], unsure="")

    def among(self, draft, hint):
        """The same: it hears everything well."""
        return draft.text

    def odds(self, draft, text, other):
        """The same: it is sure."""
        return 1000.0

    def settle(self, draft):
        """The same, as a transcript."""
        words = tuple(Word(n / 10, (n + 1) / 10, word, 0.9) for n, word in enumerate(draft.text.split()))
        return Transcript(
            draft.text, (Segment(0, len(words) / 10, draft.text, 0.9, words),), "scripted", 2.0, draft.text
        )


@dataclass
class Screen:
    """Remembers what was shown and which tones sounded."""

    events: list = field(default_factory=list)
    tones: list = field(default_factory=list)

    def show(self, event):
        """Keep it."""
        self.events.append(event)

    def tone(self, name):
        """Keep its name."""
        self.tones.append(name)

    def of(self, kind):
        """The texts of one kind."""
        return [event.text for event in self.events if event.kind == kind]


class Reader(fakes.WordReader):
    """As the words reader; also "gas!" is a smell of gas."""

    def read(self, text, *, appliance=None, soft=()):
        """Findings, readings and the smell."""
        found = super().read(text)
        at = text.find("gas!")
        smell = Evidence("gas!", at, at + 4) if at >= 0 else None
        return Extraction(found.findings, found.readings, smell_of_gas=smell)


def checker(said):
    """Unlikely above 100, emergency on a smell, one point unsaid until something was found."""
    points = [Point("emergency", "smell", "Smell of gas", steps=("no flames",))] if said.smell_of_gas else []
    points += [
        Point("unlikely", "much", f"{reading.value} mbar: heard right?", evidence=reading.evidence)
        for reading in said.readings
        if reading.value > 100
    ]
    return Check((), (*points, *(() if said.findings else (Point("unsaid", "e", "electrodes"),))))


@dataclass
class Speech:
    """Phrases of one second with a second of pause behind; `breaks` are numbers of blocks before which the device is lost."""

    script: list
    pauses: dict = field(default_factory=dict)
    breaks: set = field(default_factory=set)
    live = False
    given: int = 0

    def blocks(self):
        """Tenths of a second, going on where the last call stopped."""
        whole = [v for n, _ in enumerate(self.script) for v in [n + 1] * 10 + [0] * int(10 * self.pauses.get(n, 1))]
        while self.given < len(whole):
            if self.given in self.breaks:
                self.breaks.remove(self.given)
                raise DeviceLost("unplugged")
            at = fakes.START + timedelta(seconds=self.given / 10)
            self.given += 1
            yield Block(np.full(1600, whole[self.given - 1], np.int16), at)


@pytest.fixture
def run(tmp_path):
    """Listen to a script; returns the screen and the notebook."""
    with fakes.notebook(tmp_path) as book:
        visit = book.open_visit("JOB-1")

        def listen(script, **options):
            screen, reader = Screen(), Reader()
            window = Window(reader, checker, lambda one: one.evidence.text, lambda: NOTHING)
            parts = Parts(
                book, visit.id, lambda: ScriptedEar(script), lambda: window, screen, commands(), "A. Engineer"
            )
            parts.speaks = options.pop("speaks", False)
            live = Live(parts, grace=options.pop("grace", 30.0), longest=options.pop("longest", 600.0))
            live.run(Speech(script, **options), lambda _: None)
            from fieldnote.flow.process import read_and_check

            read_and_check(book, fakes.WordReader(), fakes.count_checker, visit)
            return screen, book

        yield listen


def texts(book):
    """The words of each recording, in order."""
    return [entry.payload["text"] for entry in book.entries(kind="transcript")]


def test_words_and_findings_are_shown_and_kept(run):
    """Each phrase is in the transcript with its seconds, and its line leads there."""
    screen, book = run(["front left cracked", "pressure 21"])
    assert texts(book) == ["front left cracked pressure 21"]
    assert screen.of("line") == ["cracked", "pressure 21"]
    assert [round(line.trace.from_second, 1) for line in view(book, "JOB-1").lines] == [0.2, 2.0]
    assert screen.tones == ["understood", "understood", "stopped"]


@pytest.mark.parametrize("word", ["stop", "pause"])
def test_a_false_stop_loses_nothing(run, word):
    """Half a minute goes on being recorded, with a loud tone; who carries on loses no word."""
    screen, book = run([word, "rear one cracked", "carry on", "pressure 21"], pauses={2: 40})
    assert screen.tones[0] == "stopped"
    assert texts(book) == [f"{word} rear one cracked carry on pressure 21"]


def test_a_stop_is_obeyed_after_half_a_minute(run):
    """What is said after it is no more recorded."""
    screen, book = run(["pressure 21", "stop", "one cracked", "pressure 22"], pauses={2: 31})
    assert texts(book) == ["pressure 21 stop one cracked"]
    assert screen.of("state")[-1] == "stopped"


def test_in_a_pause_nothing_is_recorded_until_start(run):
    """Neither sound nor words of the pause are kept; start begins another recording."""
    _, book = run(["pause", "private", "start", "one cracked"], pauses={0: 31})
    assert texts(book) == ["pause", "one cracked"]
    assert sum(item.seconds for item in book.items()) < 40


def test_strike_that_rejects_the_lines_before_it_and_keeps_them_visible(run):
    """The line is rejected by a decision, and both are in the record."""
    screen, book = run(["one cracked", "pressure 21", "strike that"])
    visit = book.visit("JOB-1")
    for item in book.items(visit.id):
        taped.strike(book, item.id, visit.id, "A. Engineer", lambda: fakes.START)
    assert [(line.kind, line.state) for line in view(book, "JOB-1").lines] == [
        ("finding", "open"),
        ("reading", "rejected"),
    ]
    assert screen.of("answer") == ["struck out: pressure 21"]


def test_answers(run):
    """What is left, before and after; what was understood last."""
    screen, _ = run(["what is left", "one cracked", "read that back", "what is left"])
    assert screen.of("answer") == ["1 left: electrodes", "cracked", "nothing on the list is left"]


def test_an_unlikely_number_is_asked_about_once(run):
    """And never again; no answer is needed."""
    screen, _ = run(["pressure 210", "one cracked", "pressure 21", "what is left"])
    assert screen.of("question") == ["210 mbar: heard right?"]


def test_what_the_machine_said_aloud_is_not_dictation(run):
    """Heard back through the microphone it is kept beside the words, and not read."""
    script = ["one cracked", "pressure 210", "210 mbar heard right 210"]
    _, book = run(script, speaks=True)
    assert texts(book) == ["one cracked pressure 210"]
    (live,) = book.entries(kind="live")
    assert [line["echo"]["text"] for line in live.payload["lines"] if "echo" in line] == [script[2]]


def test_a_correction_that_found_no_place_is_asked_about(run):
    """One that was placed is not."""
    screen, _ = run(["pressure 21", "no, make that nineteen point five", "no make that pressure 19"])
    assert len(screen.of("question")) == 1


def test_a_smell_of_gas_brings_the_steps_at_once(run):
    """With its own tone, before anything else of that phrase."""
    screen, _ = run(["i smell gas! one cracked"])
    kinds = [event.kind for event in screen.events]
    assert kinds.index("emergency") < kinds.index("line")
    assert screen.tones[0] == "emergency"


def test_a_lost_device_loses_nothing_that_was_said(run):
    """It is said by tone and on the screen, and it goes on when it can."""
    screen, book = run(["one cracked", "pressure 21"], breaks={20})
    assert texts(book) == ["one cracked", "pressure 21"]
    assert "trouble" in screen.tones
    assert any("unplugged" in text for text in screen.of("trouble"))


def test_a_fault_of_the_reader_costs_no_sound(run, monkeypatch):
    """It is said, the recording is filed whole, and its words wait for `process`."""
    monkeypatch.setattr(Reader, "read", lambda *_, **__: 1 / 0)
    screen, book = run(["one cracked", "pressure 21"])
    assert len(screen.of("trouble")) == 1
    assert (texts(book), [item.seconds for item in book.items()]) == ([], [4.0])


def test_a_long_talk_becomes_several_recordings(run):
    """Cut in pauses: no word is lost between them."""
    _, book = run(script := [f"part {n} cracked" for n in range(24)], longest=12.0)
    assert len(texts(book)) == 4
    assert " ".join(texts(book)) == " ".join(script)


def test_what_a_kill_left_is_filed_with_its_words(tmp_path):
    """Filed by the next start, once, whatever step was cut off; the unheard rest waits to be heard."""
    from fieldnote.capture.tape import Tape
    from fieldnote.records import to_plain

    with fakes.notebook(tmp_path) as book:
        visit = book.open_visit("JOB-1")
        tape = Tape(taped.folder_of(book), fakes.START)
        tape.note({"visit": visit.id})
        tape.write(np.full(RATE, 900, np.int16))
        heard = ScriptedEar(["one cracked"])
        tape.note({"phrase": to_plain(taped.moved(heard.settle(heard.draft(np.array([1 / 32768]), 1)), 0.6))})
        import os

        os.close(tape._file)
        (kept,) = taped.recover(book)
        assert (kept.complete, texts(book)) == (True, ["one cracked"])
        assert list(taped.recover(book)) == []
        (item,) = book.items(visit.id)
        assert (item.at, item.seconds) == (fakes.START, 1.0)


def test_a_word_too_unlikely_to_be_kept_can_be_a_command(run, monkeypatch):
    """A bare "stop" is obeyed; any other unlikely text is neither kept nor obeyed."""
    from types import SimpleNamespace

    hear = ScriptedEar.draft
    unsure = lambda ear, samples, voiced: SimpleNamespace(text="", unsure=hear(ear, samples, voiced).text)  # noqa: E731
    monkeypatch.setattr(ScriptedEar, "draft", unsure)
    screen, book = run(["stop", "one cracked"])
    assert screen.of("command") == ["stop"] and screen.of("line") == []
    assert all("cracked" not in text for text in texts(book))


def test_a_short_phrase_is_heard_again_among_commands(run, monkeypatch):
    """What was first heard as something else is obeyed when it is a command once commands are expected."""
    monkeypatch.setattr(ScriptedEar, "among", lambda _, draft, _hint: draft.text.replace("motor", "photo"))
    screen, _ = run(["motor now", "one cracked"])
    assert (screen.of("command"), screen.of("line")) == (["photo"], ["cracked"])


@pytest.mark.parametrize(("odds", "obeyed", "tones"), [(5.0, [], 1), (50.0, ["stop"], 0)])
def test_a_command_that_may_be_another_is_not_obeyed(run, monkeypatch, odds, obeyed, tones):
    """ "Stop listening" that may well be "start listening" is left alone with a tone; the words are kept either way."""
    monkeypatch.setattr(ScriptedEar, "odds", lambda *_: odds)
    screen, book = run(["Stop listening."])
    assert screen.of("command") == obeyed and screen.tones.count("not-understood") == tones
    assert any("Stop listening." in text for text in texts(book))


def test_a_phrase_heard_in_advance_is_not_heard_again(tmp_path):
    """While a pause runs the phrase is heard; it is heard anew only when speech went on after all."""
    heard = []

    class Ahead(ScriptedEar):
        def draft(self, samples, voiced):
            heard.append(len(samples))
            return super().draft(samples, voiced)

        def cutter(self):
            return Cuts()

    class Cuts(LoudnessCuts):
        @property
        def likely(self):
            return Span(self.open, self.at, 1.0) if self.open is not None and self.at in (16000, 32000) else None

    with fakes.notebook(tmp_path) as book:
        window = Window(Reader(), checker, lambda one: one.evidence.text, lambda: NOTHING)
        ear = Ahead(["one cracked"])
        live = Live(Parts(book, book.open_visit("J").id, lambda: ear, lambda: window, Screen(), commands()))
        live._live = True
        for second, value in enumerate([1, 1, 0]):
            live.take(Block(np.full(RATE, value, np.int16), fakes.START + timedelta(seconds=second)))
            live.work()
            live.work()
    assert heard == [16000, 32000]


def test_marks_of_what_is_heard_are_unsure():
    """Each phrase is read with its marks in doubt; of what was filed before only those of recordings are, not of typed notes."""
    doubted = []

    class Marks(Reader):
        def read(self, text, *, appliance=None, soft=()):
            doubted.append([text[: at + 1].split()[-1] for at in soft])
            return super().read(text, appliance=appliance)

    heard = Transcript("the tap, is stiff", (), "a model", 1.0)
    before = Talk(
        "all done, sir\n\nthe tap, is stiff", (Source("note", 0, 13), Source("tape", 15, 32)), {"tape": heard}
    )
    window = Window(Marks(), checker, lambda one: one.evidence.text, lambda: before)
    window.add("the cap, is one")
    window.add("cracked. And chipped")
    window.left()
    assert doubted == [["cap,"], ["cap,", "cracked."], ["tap,", "cap,", "cracked."]]
