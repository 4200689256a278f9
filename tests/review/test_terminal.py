"""The review in the terminal: what is shown, what one key does, how few keys it takes, and that nothing is lost."""

import threading
from datetime import date

import pytest

from fieldnote.errors import MachineLacks
from fieldnote.export import wording
from fieldnote.flow.handover import Handover, hand_over, handover
from fieldnote.review.terminal import AT_THE_END, Terminal
from tests.review.conftest import ScriptedConsole, by_component, desk_of

played: list = []


def terminal(book, *answers, plays=False):
    console = ScriptedConsole(*answers)
    desk = desk_of(book)
    played.clear()

    def play(item, start, end):
        played.append((item.name, start, end))
        return plays

    return Terminal(
        desk, console, lambda line: wording.line(line.current), play, lambda said: hand_over(book, desk.visit, said)
    )


def test_a_visit_that_is_right_takes_few_keys(book):
    """When all is right: a for each card, s for all that is sure; well under the 40 keys that a review may take."""
    sitting = terminal(book, *"aaaaaaaaaaaaaaaaaaaaas")
    keys = 0
    while sitting._next() is not None:
        keys += 1
        sitting.console.answers = ["s" if sitting._next().rank == 6 else "a"]
        sitting._answer(sitting._next())
    assert keys == sitting.console.pressed <= 15
    assert all(line.state == "accepted" for line in sitting.desk.view.lines)


def test_an_amendment_takes_two_keys_and_the_words(book):
    """One key for "change", the words, and Enter."""
    sitting = terminal(book, "c", "damaged", "q")
    sitting.run()
    assert sitting.console.pressed - 1 == 2
    assert sitting.desk.line(by_component(sitting.desk, "hose")).current.condition == "damaged"


def test_a_card_shows_words_doubt_clip_and_photo(book):
    """Each card names its words with the doubtful ones marked, its clip and second, and its photos."""
    sitting = terminal(book, *"dddddddddddd")
    sitting.run()
    text = sitting.console.text()
    assert "[twenty?]" in text
    assert "from: kitchen.wav at 0:16.5" in text
    assert "photo: photo-1.jpg" in text
    assert "Photo photo-2.jpg stands at no line." in text


def test_without_a_sound_device_the_clip_is_named(book):
    """Asked to play where nothing can, it names file and second; where something can, it plays those seconds."""
    sitting = terminal(book, "p", "q")
    sitting.run()
    assert "No sound device here. The clip is kitchen.wav at 0:11.3." in sitting.console.text()
    assert played == [("kitchen.wav", pytest.approx(11.3), pytest.approx(12.5))]
    quiet = terminal(book, "p", "q", plays=True)
    quiet.run()
    assert "No sound device" not in quiet.console.text()


@pytest.mark.parametrize("pressed", range(12))
def test_closed_at_any_moment_nothing_is_lost(book, pressed):
    """Whatever was decided before the terminal closed is kept, and the next sitting goes on with the rest."""
    sitting = terminal(book, *"arcarasuaaa"[:pressed])
    before = len(sitting.desk.queue())
    sitting.console.answers = [*"arnadasua"][:pressed]
    sitting.run()
    decided = before - len(sitting.desk.queue())
    assert len(desk_of(book).queue()) == before - decided
    assert desk_of(book).view.lines == sitting.desk.view.lines


def test_a_card_is_read_out_once(book):
    """Asking why, playing or a wrong key does not read the card out again; a change does, and what is sure is listed once."""
    sitting = terminal(book, "p", "w", "x", "c", "damaged", "q")
    sitting.run()
    assert sitting.console.text().count("Flexible connection: Perished") == 1
    assert sitting.console.text().count("Changed: Flexible connection: Damaged") == 1
    keys = ["a"] * (len(desk_of(book).queue()) - len(desk_of(book).sure()) + 2)
    sure = terminal(book, *keys, "q")
    sure.run()
    assert sure.console.text().count("  Burner cap: Satisfactory") == 1


def test_an_unknown_key_decides_nothing(book):
    """A key that means nothing shows the keys and leaves the card as it is."""
    sitting = terminal(book, "x", "\x1b", "", "q")
    before = [card.target for card in sitting.desk.queue()]
    sitting.run()
    assert [card.target for card in sitting.desk.queue()] == before
    assert sitting.console.text().count("Keys: a accept") == 4


def test_words_that_do_not_fit_are_told_and_the_card_stays(book):
    """An amendment that is not understood is answered with one sentence, and the same card comes again."""
    sitting = terminal(book, "c", "flibbertigibbet", "a", "q")
    sitting.run()
    assert "nothing new was understood" in sitting.console.text()
    assert sitting.desk.line(by_component(sitting.desk, "hose")).state == "accepted"


def test_a_disk_that_keeps_nothing_ends_the_review(book, monkeypatch):
    """A decision that could not be stored is no message among others: the review stops with that error."""
    sitting = terminal(book, "a", "a", "q")

    def full(*_: object) -> None:
        raise MachineLacks("FN-403", path="notebook")

    monkeypatch.setattr(sitting.desk, "accept", full)
    with pytest.raises(MachineLacks):
        sitting.run()


def test_handing_over_keeps_date_and_refusal(book):
    """The next due date and the refused signature are kept as a record; a date that is none is refused."""
    sitting = terminal(book, "h", "2027-11-25", "r", "h", "soon", "x", "q")
    sitting.run()
    assert handover(book, sitting.desk.visit) == Handover(date(2027, 11, 25), "refused")
    assert "soon is no date" in sitting.console.text()


def test_with_nothing_left_there_is_still_the_handing_over(book):
    """When all is decided, the due date and the signature can be given, something added and taken back; then it is left."""
    sitting = terminal(book)
    sitting.desk.accept_sure()
    for card in sitting.desk.queue():
        sitting.desk.accept(card.target)
    sitting.console.answers = ["x", "h", "2027-11-17", "r", "u", "a", "q"]
    sitting.run()
    assert handover(book, sitting.desk.visit) == Handover(date(2027, 11, 17), "refused")
    assert sitting.console.said.count(f"Nothing is left to decide. Keys: {AT_THE_END}.") == 4
    assert sitting.ended and sitting.desk.queue() == []


def test_what_was_left_for_later_is_counted_at_the_end(book):
    """With cards put off, the end says how many; they are asked again by the next review."""
    sitting = terminal(book)
    sitting.console.answers = ["d"] * 40 + ["q"]
    sitting.run()
    assert any("left for later: the next review asks again." in line for line in sitting.console.said)


def test_a_question_is_played_and_explained_as_what_it_is_about(book):
    """Asked to play at a point, the clip of the first line that it is about plays; asked why, its kind and source are told."""
    sitting = terminal(book, plays=True)
    card = next(card for card in sitting.desk.queue() if card.point and card.about)
    sitting.console.answers = ["p", "w"]
    sitting._answer(card)
    assert len(played) == 1
    sitting._answer(card)
    assert card.point.kind in sitting.console.said[-1] and "tell tell" not in sitting.console.text()


def test_at_a_point_words_are_added(book):
    """A point has no fields to change: what is typed there is asked for and taken as something new."""
    sitting = terminal(book, "c", "grommet crazed")
    card = next(card for card in sitting.desk.queue() if card.point)
    sitting._answer(card)
    assert "Say what is to be added" in sitting.console.text()
    assert sitting.desk.view.lines[-1].state == "added"


def test_words_are_made_ready_for_at_the_prompt(book, monkeypatch):
    """The reader of words is built while they are typed, not after Enter."""
    sitting, asked = terminal(book, "n", "grommet crazed"), threading.Event()
    monkeypatch.setattr(sitting.desk, "prepare", asked.set)
    sitting._answer(sitting.desk.queue()[0])
    assert asked.wait(5)
