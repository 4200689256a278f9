"""What was noticed about an item is told to whoever looks at its visit."""

from dataclasses import replace

from fieldnote.flow.flags import WORDS, flagged
from fieldnote.flow.view import view
from tests import fakes
from tests.capture import corpus


def test_a_flagged_item_is_a_problem_of_its_visit(tmp_path):
    """Flags of intake and of hearing stand among what is not in order, by the item's name, each once."""
    with fakes.notebook(tmp_path) as book:
        visit = book.open_visit("JOB-1")
        looked = fakes.incoming(tmp_path, "one-side.ogg", b"x")
        book.file(replace(looked, flags=("one-sided",)), visit.id)
        book.file(fakes.incoming(tmp_path, "whole.ogg", b"y"), visit.id)
        assert view(book, "JOB-1").problems == ("one-side.ogg: sound on one side only",)


def test_every_flag_has_words():
    """Each flag that broken and odd files of the corpus bring up is told in words."""
    asked = {
        becomes.partition(":")[2] for kind in (corpus.sounds, corpus.photos, corpus.texts) for *_, becomes in kind()
    }
    assert asked - {""} <= WORDS.keys()


def test_a_whole_item_is_not_told(tmp_path):
    """An item without a flag gives no sentence."""
    with fakes.notebook(tmp_path) as book:
        book.file(fakes.incoming(tmp_path, "a.ogg", b"x"), book.open_visit("JOB-1").id)
        assert list(flagged(book.items(), {})) == []
