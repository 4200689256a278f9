"""What is read quickly is what the notebook itself says: the same lines, states, days and answers, whatever was decided."""

import contextlib
import random
from datetime import timedelta

import pytest

from fieldnote.audit.fold import fold
from fieldnote.audit.raw import Source, read
from fieldnote.bundle import Keyring
from fieldnote.errors import UsageProblem
from fieldnote.flow.check import day_of, stored
from fieldnote.flow.closing import close
from fieldnote.flow.points import of_visit
from fieldnote.flow.view import lines_now, view
from fieldnote.notebook import Notebook
from fieldnote.records import Extraction, to_plain
from fieldnote.review.desk import Desk
from tests.audit.conftest import NOW
from tests.sample_visit import START, check, extraction, file, sample_book

AMENDMENTS = (
    "condition: worn", "condition: none", "position: rear-left", "actions: clean/done, replace/needed", "value: 19.40",
    "quantity: standing-pressure", "phase: as-left", "due_days: 3", "kind: call-customer", "class: immediately-dangerous",
    "step: notice-signed",
)  # fmt: skip


def source_of(book: Notebook) -> Source:
    """A notebook as the audit reads it."""
    source = read(book.path, "notebook", Keyring(), NOW)
    assert source.problems == ()
    return source


def agree(book: Notebook) -> None:
    """Every visit stands in the fold as in the notebook."""
    folded = {visit.id: visit for visit in fold(source_of(book).rows)}
    assert folded.keys() == {visit.id for visit in book.visits()}
    for visit in book.visits():
        lines, said, _ = lines_now(book, visit.id)
        mine, seen = folded[visit.id], view(book, visit.id)
        expected = {line.id: (line.kind, line.state, to_plain(line.proposed), to_plain(line.current)) for line in lines}
        assert {i: (one.kind, one.state, one.proposed, one.current) for i, one in mine.lines.items()} == expected
        assert list(mine.lines) == [line.id for line in lines]
        assert mine.day == day_of(book, visit)
        assert mine.waiting == len(seen.waiting)
        assert mine.items.keys() == {item.id for item in seen.items}
        assert {k: one["kind"] for k, one in mine.answers.items()} == {
            k: d.kind for k, d in of_visit(book, visit.id).items()
        }
        if lines:
            assert mine.stale is not stored(book, visit, lines, said).fresh


def random_decision(desk: Desk, chance: random.Random) -> None:
    """One thing that a person may do at a desk."""
    targets = [card.target for card in desk.queue()] + [line.id for line in desk.view.lines]
    target = chance.choice(targets)
    act = chance.choice(["accept", "reject", "defer", "amend", "add", "undo", "sure"])
    if act == "amend":
        with contextlib.suppress(UsageProblem):  # not every field is on every line, nor every value new
            desk.amend(target, chance.choice(AMENDMENTS))
    elif act in ("add", "undo", "sure"):
        {"add": lambda: desk.add("words"), "undo": desk.undo, "sure": desk.accept_sure}[act]()
    else:
        getattr(desk, act)(target)


@pytest.mark.parametrize("seed", range(12))
def test_any_decisions_stand_alike(tmp_path, seed):
    """After any sequence of decisions, lines, answers and the staleness of the check are the same both ways."""
    chance = random.Random(seed)
    moment = START + timedelta(minutes=30)

    def reader(_: str) -> Extraction:
        some = extraction()
        return Extraction(
            findings=chance.sample(some.findings, 1), readings=chance.sample(some.readings, chance.choice([0, 1]))
        )

    with sample_book(tmp_path / "notebook") as book:
        visit = book.visits()[0]
        desk = Desk(book, visit.id, lambda *_: view(book, visit.id, check), reader, "A. Engineer", lambda: moment)
        agree(book)
        for _ in range(chance.randint(5, 30)):
            random_decision(desk, chance)
        agree(book)


def test_moves_erasures_and_closings(tmp_path):
    """An item that was moved, one that was erased, a visit without words, a follow-up that was closed: the same both ways."""
    with sample_book(tmp_path / "notebook") as book:
        first = book.visits()[0]
        other = book.open_visit("NOBODY-1")
        file(book, "recording", "late.wav", b"RIFF late", first.id, at=START - timedelta(days=1), seconds=2.0)
        book.move(book.items(first.id)[1].id, other.id)
        book.erase(book.items(first.id)[1].id, reason="asked for", by="A. Engineer")
        book.close_visit(other.id, no_access=True)
        agree(book)
        (followup,) = [line.id for line in lines_now(book, first.id)[0] if line.kind == "followup"]
        close(book, followup, other.id, "A. Engineer", frozenset([followup]))
        folded = {visit.id: visit for visit in fold(source_of(book).rows)}
    assert folded[first.id].shut == {followup}
    assert folded[other.id].no_access


def test_names_that_are_no_text_are_read(tmp_path):
    """A file name with bytes that no encoding explains leaves its notebook readable."""
    with sample_book(tmp_path / "notebook") as book:
        file(book, "note", "a\udcff.txt", b"x", book.visits()[0].id)
        agree(book)
