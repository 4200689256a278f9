"""A visit that is watched while decisions are made shows what a fresh look at the notebook shows."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldnote.flow.view import OUTDATED, Watch, view
from fieldnote.records import Decision, to_plain
from tests.sample_visit import START, check, file, sample_book, tone, transcript

CHANGES = ({"condition": "damaged"}, {"position": "rear-left"}, {"actions": "clean/done"})
KINDS = ("accept", "accept-sure", "reject", "defer", "amend", "add", "undo")


def keep(book, visit, decision):
    plain = {name: value for name, value in to_plain(decision).items() if name != "id"}
    return book.append("decision", plain, visit=visit).id


def decided(book, visit, kind, which, kept):
    """One decision about a finding, or about an earlier decision; returns its id."""
    lines = [line.id for line in view(book, visit).lines if line.kind == "finding"]
    target = {"add": None, "undo": kept[which % len(kept)] if kept else "nothing"}.get(kind, lines[which % len(lines)])
    changes = {"line": "finding", "component": "hose"} if kind == "add" else {}
    changes = CHANGES[which % len(CHANGES)] if kind == "amend" else changes
    return keep(book, visit, Decision(kind, target, START, "A. Person", changes))


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.sampled_from(KINDS), st.integers(0, 20)), max_size=6))
def test_a_watched_visit_is_a_fresh_one(tmp_path_factory, choices):
    """Whatever is decided in whatever order, the watch shows lines, photos, results and problems as a fresh look does."""
    book = sample_book(tmp_path_factory.mktemp("watch") / "book")
    visit, kept = book.visit("KITCHEN-1").id, []
    watch = Watch(book, visit, check)
    watch.look()
    for kind, which in choices:
        kept.append(decided(book, visit, kind, which, kept))
        assert watch.look() == view(book, visit, check)


def test_what_came_in_meanwhile_is_seen_afresh(tmp_path):
    """A recording or a transcript that another process added is there at the next look."""
    book = sample_book(tmp_path / "book")
    watch = Watch(book, "KITCHEN-1", check)
    before = watch.look()
    late = file(book, "recording", "late.wav", tone(2), before.visit.id, seconds=2.0)
    assert watch.look().waiting == (late,)
    book.append("transcript", to_plain(transcript("Late words.")), visit=before.visit.id, item=late)
    after = watch.look()
    assert after.transcripts[late].text == "Late words." and after.waiting == ()


def test_what_lies_under_the_decisions_is_read_once(tmp_path, monkeypatch):
    """After a decision no transcript and no extraction is read again."""
    book = sample_book(tmp_path / "book")
    watch = Watch(book, "KITCHEN-1", check)
    line = watch.look().lines[0]
    asked, entries = [], book.entries
    monkeypatch.setattr(book, "entries", lambda **chosen: (asked.append(chosen["kind"]), entries(**chosen))[1])
    keep(book, watch.look().visit.id, Decision("accept", line.id, START, "A. Person"))
    assert watch.look().lines[0].state == "accepted"
    assert set(asked) == {"decision"}


def test_results_older_than_the_decisions_say_so(tmp_path):
    """Without a checker, results that were worked out before a line changed are shown with that warning."""
    book = sample_book(tmp_path / "book")
    watch = Watch(book, "KITCHEN-1")
    line = next(line for line in watch.look().lines if line.kind == "finding")
    assert OUTDATED not in watch.look().problems
    keep(book, watch.look().visit.id, Decision("reject", line.id, START, "A. Person"))
    assert OUTDATED in watch.look().problems


def test_words_of_other_visits_are_not_read(tmp_path, monkeypatch):
    """Looking at one visit decodes no transcript of another, so that it stays quick in a notebook of years."""
    book = sample_book(tmp_path / "book")
    other = book.open_visit("OTHER")
    clip = file(book, "recording", "other.wav", tone(1), other.id, seconds=1.0)
    book.append("transcript", to_plain(transcript("Other words.")), visit=other.id, item=clip)
    asked = []
    entries = book.entries

    def watched(**chosen):
        for entry in entries(**chosen):
            asked.append(entry.item)
            yield entry

    monkeypatch.setattr(book, "entries", watched)
    view(book, "KITCHEN-1")
    assert asked and clip not in asked
