"""The demo visit reviewed with the real reader and the real checks, and the keys counted."""

from pathlib import Path

import pytest

from fieldnote import bootstrap, settings
from fieldnote.export import wording
from fieldnote.flow.process import read_and_check
from fieldnote.notebook import Notebook
from fieldnote.review.queue import CERTAIN
from fieldnote.review.terminal import Terminal
from tests.review.conftest import ScriptedConsole
from tests.sample_visit import Clock, file

WORDS = sorted((Path(__file__).parent.parent.parent / "demo_recordings" / "make" / "words").glob("*.txt"))


@pytest.fixture
def sitting(tmp_path):
    """A terminal before the demo's words, written down as notes: what remains of the demo without its sound."""
    chosen = settings.load(tmp_path / "book")
    book = Notebook.open(tmp_path / "book", create=True, clock=Clock())
    visit = book.open_visit("DEMO", work="service", appliances=["hob", "boiler"], gas="natural", region="GB")
    for path in WORDS:
        file(book, "note", path.name, path.read_bytes(), visit.id)
    read_and_check(book, bootstrap.extractor(), bootstrap.checker(chosen), visit)
    desk = bootstrap.desk(chosen, book, visit, "A. Person")
    return Terminal(desk, ScriptedConsole(), lambda line: wording.line(line.current), lambda *_: False, lambda _: None)


def test_the_whole_demo_takes_at_most_forty_keys(sitting):
    """When all is right: one key for each card, one for all that is sure; at most 40 for the whole visit."""
    assert len(sitting.desk.view.lines) > 30
    while (card := sitting._next()) is not None:
        sitting.console.answers = ["s" if card.rank == CERTAIN else "a"]
        sitting._answer(card)
    print(f"\n{len(sitting.desk.view.lines)} lines, {sitting.console.pressed} keys")
    assert sitting.console.pressed <= 40
    assert {line.state for line in sitting.desk.view.lines} == {"accepted"}


def test_an_amendment_takes_at_most_six_keys_and_the_words(sitting):
    """One key and Enter change a line: "rear left, not right" moves a finding with the real reader behind it."""
    target = next(
        line.id for line in sitting.desk.view.lines if getattr(line.current, "position", None) == "front-right"
    )
    card = next(card for card in sitting.desk.queue() if card.target == target)
    sitting.console.answers = ["c", "rear left, not right"]
    sitting._answer(card)
    assert sitting.console.pressed <= 6
    assert sitting.desk.line(target).current.position == "rear-left"
    sitting.console.answers = ["c", "needs a new one"]
    sitting._answer(card)
    assert "replace/needed" in sitting.desk.line(target).decisions[-1].changes.get("actions", "")
