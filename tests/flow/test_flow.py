"""One datum's way: sound in, words, findings, checks, decisions on top, and back to the second."""

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from fieldnote.bundle import KeyPair, Keyring, open_bundle
from fieldnote.errors import UsageProblem
from fieldnote.flow.lines import proposed
from fieldnote.flow.pack import pack
from fieldnote.flow.process import process, recheck
from fieldnote.flow.read import read
from fieldnote.flow.talk import Source, Talk
from fieldnote.flow.view import view
from fieldnote.records import Decision, Evidence, Extraction, Finding, to_plain
from tests import fakes

FIRST = b"one"
SECOND = b"two"
SCRIPT = {FIRST: "front left cracked pressure 21?", SECOND: "rear one is cracked"}


@pytest.fixture
def book(tmp_path: Path):
    """A notebook with one visit, two recordings of it (the later one filed first) and a photo taken at the fourth second."""
    with fakes.notebook(tmp_path) as book:
        visit = book.open_visit("JOB-1", work="hob-service")
        later = fakes.START + timedelta(minutes=5)
        book.file(fakes.incoming(tmp_path, "b.ogg", SECOND, at=later), visit.id)
        book.file(fakes.incoming(tmp_path, "a.ogg", FIRST), visit.id)
        book.file(fakes.incoming(tmp_path, "p.jpg", b"x", "photo", fakes.START + timedelta(seconds=3)), visit.id)
        yield book


def run(book, engine=None, **options):
    """Process what waits; returns the engine."""
    engine = engine or fakes.ScriptedEngine(SCRIPT)
    list(process(book, lambda: engine, fakes.WordReader, fakes.count_checker, **options))
    return engine


def decide(book, kind, target, **fields):
    """A decision, kept."""
    visit = book.visit("JOB-1")
    decision = Decision(kind, target, fakes.START, "A. Engineer", **fields)
    return book.append("decision", to_plain(decision), visit=visit.id)


def test_the_talk_is_read_in_the_order_in_which_it_was_spoken(book):
    """The clip that was filed last was spoken first, and its line stands first."""
    run(book)
    lines = view(book, "JOB-1").lines
    names = {item.id: item.name for item in book.items()}
    assert [(line.kind, names[line.trace.item]) for line in lines] == [
        ("finding", "a.ogg"),
        ("finding", "b.ogg"),
        ("reading", "a.ogg"),
    ]


def test_every_line_leads_to_its_second(book):
    """The third word of a clip that speaks a word a second is found at second two; a doubtful word marks its line."""
    run(book)
    first, _, reading = view(book, "JOB-1").lines
    assert (first.trace.from_second, first.trace.to_second, first.trace.doubtful) == (2.0, 3.0, False)
    assert (reading.trace.from_second, reading.trace.to_second, reading.trace.doubtful) == (3.0, 5.0, True)


def test_a_photo_stands_at_what_was_being_said(book):
    """Taken at the fourth second, it goes to the statement that ended just then."""
    run(book)
    photo = next(item for item in book.items() if item.kind == "photo")
    seen = view(book, "JOB-1")
    assert [(p.photo, p.second) for p in seen.placements] == [(photo.id, 3.0)]
    assert [line.kind for line in seen.lines if photo.id in line.photos] == ["finding"]


def test_a_second_run_does_nothing_twice(book):
    """With nothing new, no record is added and nothing is heard."""
    run(book)
    before = len(list(book.entries()))
    assert run(book).heard == []
    assert len(list(book.entries())) == before


class TaughtReader(fakes.WordReader):
    """Hears more than the rules."""

    version, taught = "words-1-taught", True

    def read(self, text, *, soft=()):
        return super().read(text.replace("pressure", "cracked"), soft=soft)


def test_what_the_taught_reader_heard_stays_where_it_is_not(book):
    """A machine without it takes no line away that it heard in the same talk; new talk is read by the rules."""
    visit = book.visit("JOB-1").id
    run(book)
    more = read(book, TaughtReader(), visit)
    assert len(more.findings) == 3
    assert read(book, fakes.WordReader(), visit) == more
    assert [one.payload["taught"] for one in book.entries(kind="extraction")] == [False, True]
    book.move(next(item for item in book.items() if item.name == "b.ogg").id, book.open_visit("JOB-2").id)
    assert len(read(book, fakes.WordReader(), visit).findings) == 1


def test_stopped_in_the_middle_it_goes_on(book):
    """After one clip the work is stopped; the next run hears only the other."""
    steps = process(book, lambda: fakes.ScriptedEngine(SCRIPT), fakes.WordReader, fakes.count_checker)
    next(steps)
    steps.close()
    assert run(book).heard == ["rear one is cracked"]
    assert len(view(book, "JOB-1").lines) == 3


def test_a_recording_that_cannot_be_heard_is_named_and_the_rest_done(book):
    """The failure is kept as a failed step and shown; the other clip is there."""
    run(book, fakes.ScriptedEngine({SECOND: SCRIPT[SECOND]}))
    seen = view(book, "JOB-1")
    assert [line.kind for line in seen.lines] == ["finding"]
    assert any("no sound in it" in problem for problem in seen.problems)


def test_an_amendment_changes_what_holds_and_keeps_what_was_proposed(book):
    """The line keeps its id and its proposal; the check is worked out anew for what holds now."""
    run(book)
    line = view(book, "JOB-1").lines[2]
    decide(book, "amend", line.id, changes={"value": "20.5"})
    seen = view(book, "JOB-1", fakes.count_checker)
    now = next(one for one in seen.lines if one.id == line.id)
    assert (str(now.proposed.value), str(now.current.value), now.state) == ("21", "20.5", "amended")
    assert "['20.5']" in seen.check.points[0].text


def test_undo_takes_one_decision_back(book):
    """After undo the line is as it was proposed, and both decisions stay in the record."""
    run(book)
    line = view(book, "JOB-1").lines[0]
    rejected = decide(book, "reject", line.id)
    assert view(book, "JOB-1").lines[0].state == "rejected"
    decide(book, "undo", rejected.id)
    assert view(book, "JOB-1").lines[0].state == "open"
    assert len(list(book.entries(kind="decision"))) == 2


def test_a_rejected_line_is_not_checked(book):
    """What a person took out no longer counts."""
    run(book)
    decide(book, "reject", view(book, "JOB-1").lines[0].id)
    assert view(book, "JOB-1", fakes.count_checker).check.points[0].text.startswith("1 findings")


def test_a_line_can_be_added_by_a_person(book):
    """An added line says that a person added it."""
    run(book)
    changes = {"line": "finding", "component": "gas-tap", "condition": "stiff", "actions": "regrease/done"}
    decide(book, "add", None, changes=changes)
    added = view(book, "JOB-1").lines[-1]
    assert (added.state, added.proposed, added.current.component) == ("added", None, "gas-tap")
    assert added.current.actions[0].kind == "regrease"


@pytest.mark.parametrize(
    "changes", [{"component": "flux"}, {"value": "lots"}, {"evidence": "x"}, {"actions": "polish"}, {"nonsense": "1"}]
)
def test_an_amendment_that_is_no_id_is_refused(book, changes):
    """Nothing outside the vocabulary gets into a line."""
    from fieldnote.flow.lines import amended

    run(book)
    with pytest.raises(UsageProblem):
        amended(view(book, "JOB-1").lines[0].current, changes)


def test_a_decision_on_a_line_that_is_no_longer_read_is_told(book):
    """It is not dropped in silence."""
    run(book)
    decide(book, "accept", "f-0000000000")
    assert any("no longer read" in problem for problem in view(book, "JOB-1").problems)


def test_results_that_are_older_than_the_last_decision_say_so(book):
    """Without a checker at hand the view says that the results are old; checking again mends it."""
    run(book)
    decide(book, "reject", view(book, "JOB-1").lines[0].id)
    assert any("before the last decisions" in problem for problem in view(book, "JOB-1").problems)
    recheck(book, fakes.count_checker, book.visit("JOB-1"))
    assert view(book, "JOB-1").problems == ()


def test_a_clip_moved_to_another_visit_takes_its_words_along(book):
    """After the move each visit reads its own talk."""
    run(book)
    other = book.open_visit("JOB-2")
    clip = next(item for item in book.items() if item.name == "b.ogg")
    book.move(clip.id, other.id)
    run(book)
    assert len(view(book, "JOB-1").lines) == 2
    assert len(view(book, "JOB-2").lines) == 1


def test_a_camera_clock_that_is_off_is_put_right(book):
    """The camera ran an hour fast: with the difference kept, its photo falls on the talk."""
    run(book)
    visit = book.visit("JOB-1")
    book.append("camera-offset", {"seconds": "5"}, visit=visit.id)
    assert view(book, "JOB-1").placements[0].second == 8.0


def test_a_visit_is_handed_over_as_a_bundle_that_checks(book, tmp_path):
    """Bundle after bundle, numbered and linked; the notebook keeps what left; a moved clip is no stranger."""
    run(book)
    other = book.open_visit("JOB-2")
    book.move(next(item for item in book.items() if item.name == "b.ogg").id, other.id)
    run(book)
    key = KeyPair.new(tmp_path / "keys", "A. Engineer", fakes.START)
    keyring = Keyring().trusting(key.public)
    now = fakes.START + timedelta(hours=1)
    for number, ref in enumerate(("JOB-1", "JOB-2"), 1):
        seen = view(book, ref)
        written = pack(book, seen, key, tmp_path / f"{ref}.zip", recipient="the office", now=now)
        read = open_bundle(written.path, keyring, now)
        assert read.problems == ()
        assert (read.facts["sequence"], read.view()["visit"]["ref"]) == (number, ref)
        keyring = read.remembered(keyring)
    assert [entry.payload["for"] for entry in book.entries(kind="packed")] == ["the office"] * 2


def test_a_view_knows_what_still_waits(book):
    """Before processing, both recordings wait and there is no line."""
    seen = view(book, "JOB-1")
    assert (len(seen.waiting), seen.lines) == (2, ())
    assert replace(seen.visit, ref="x").ref == "x"


def test_the_day_is_that_of_the_work(book, tmp_path):
    """Sound that was made weeks before the visit was opened here is checked by the limits of its own day."""
    old = fakes.START - timedelta(days=60)
    book.file(fakes.incoming(tmp_path, "old.ogg", b"three", at=old), book.visit("JOB-1").id)
    run(book, fakes.ScriptedEngine({**SCRIPT, b"three": "nothing"}))
    seen = view(book, "JOB-1")
    assert seen.day == old.date()
    assert seen.check.points[0].text.endswith(str(old.date()))


def test_a_doubted_finding_is_a_line_only_where_somebody_decided_on_it():
    """What nobody should trust is no line; where it was one when a person decided on it, it stays."""
    found = Finding("hob", "gas-tap", None, None, "stiff", "present", (), 0.5, Evidence("tap stiff", 0, 9))
    talk = Talk("tap stiff", (Source("note", 0, 9),), {})
    (before,) = proposed(Extraction(findings=(found,)), talk)
    assert proposed(Extraction(doubted=(found,)), talk) == []
    assert [line.id for line in proposed(Extraction(doubted=(found,)), talk, {before.id})] == [before.id]
