"""Words that nobody says there are asked of the sound, and only what the sound bears out is read."""

from itertools import pairwise

import pytest

from fieldnote.records import Word
from fieldnote.speech.company import Company, company
from fieldnote.speech.rehearing import Change, Likelihoods, put, reheard, wanted
from fieldnote.speech.repair import BY_SOUND, repaired

ROARS = "the burner roars like a jet".split()
HEARD = "the burner raws like a jet".split()


def said(*texts: str, times: int = 5) -> Company:
    """What is counted in some texts."""
    words: dict[str, int] = {}
    behind: dict[str, dict[str, int]] = {}
    for row in (text.split() for text in texts):
        for word in row:
            words[word] = words.get(word, 0) + times
        for one, two in pairwise(row):
            behind.setdefault(one, {}).setdefault(two, 0)
            behind[one][two] += times
    return Company(words, behind)


KNOWN = said(" ".join(ROARS), "the cap is cracked", "the flame is not blue", "it is now blue", times=40)


def bearing(gain: float) -> Likelihoods:
    """An engine to which every other text is that much likelier by the sound."""
    return lambda texts: [-20.0, *(gain - 20.0 for _ in texts[1:])]


def test_a_word_that_sounds_alike_and_fits_is_read() -> None:
    """What the sound bears out takes the place of what was heard."""
    assert [change.read for change in reheard(HEARD, bearing(1.0), KNOWN)] == [("roars",)]


def test_what_the_sound_does_not_bear_out_is_left() -> None:
    """However well it fits."""
    assert reheard(HEARD, bearing(-30.0), KNOWN) == []


def test_a_word_that_was_heard_surely_is_not_asked_for() -> None:
    """Asking costs time: only what the recogniser itself is not sure of is asked again."""
    assert reheard(HEARD, bearing(1.0), KNOWN, sure=[0.99] * len(HEARD)) == []
    assert reheard(HEARD, bearing(1.0), KNOWN, sure=[0.99, 0.99, 0.3, 0.99, 0.99, 0.99]) != []


def test_a_swallowed_ending_is_asked_for_however_surely_the_word_was_heard() -> None:
    """ "Cleaned the" sounds like "clean the": how sure the word is says nothing of its ending."""
    known = said("blocked cleaned the pair", "wants a clean", times=40)
    heard = "blocked clean the pair".split()
    assert [change.read for change in wanted(heard, known, [0.99] * 4)] == [("cleaned",)]
    assert wanted("wants a clean".split(), known, [0.99] * 3) == []


def test_words_that_fit_are_not_asked_for() -> None:
    """The engine is asked nothing where everything was heard as people say it."""
    assert wanted(ROARS, KNOWN) == []


@pytest.mark.parametrize(
    "heard", ["the flame is now blue", "the flame is nought blue", "the cap isn't cracked", "it is 3 blue"]
)
def test_no_denial_and_no_figure_comes_or_goes(heard: str) -> None:
    """ "now" for "not" would turn a finding round."""
    read = {word for change in wanted(heard.split(), KNOWN) for word in change.read}
    assert not read & {"not", "no"}
    gone = [heard.split()[n] for change in wanted(heard.split(), KNOWN) for n in range(change.first, change.last)]
    assert not {"isn't", "nought", "3"} & set(gone)


@pytest.mark.parametrize(
    "heard", ["it mite be the cap", "the lift burner leaks", "it might bee the cap", "then both rears leak"]
)
def test_no_side_and_no_guess_comes_or_goes(heard: str) -> None:
    """ "Might" heard for something else would make a guess of a fault, and one side of another."""
    known = said("it might be the cap", "the left burner leaks", "it must be the cap", "then both bears leak", times=40)
    changes = wanted(heard.split(), known)
    gone = {heard.split()[n] for change in changes for n in range(change.first, change.last)}
    assert not ({word for change in changes for word in change.read} | gone) & {"might", "must", "left", "rears"}


def test_capitals_and_marks_stay() -> None:
    """Only the word is read otherwise."""
    assert put("Raws, it does".split(), Change(0, 1, ("roars",), 1.0)) == ["Roars,", "it", "does"]


def test_what_was_read_by_sound_is_shown_and_doubtful() -> None:
    """The heard words are kept in the repair, and the word carries a doubt."""
    words = [Word(float(n), n + 0.9, text, 0.9) for n, text in enumerate(HEARD)]
    read, repairs = repaired(words, [Change(2, 3, ("roars",), 1.0)])
    assert [word.text for word in read] == ROARS and read[2].doubt == "low" and read[1].doubt is None
    assert [(one.heard, one.read, one.rule) for one in repairs] == [("raws", "roars", BY_SOUND)]
    assert " ".join(ROARS)[repairs[0].start : repairs[0].end] == "roars"


def test_two_words_may_have_been_one() -> None:
    """ "Gas kit" is read as one word, and the words behind keep their times."""
    words = [Word(float(n), n + 0.9, text, 0.9) for n, text in enumerate("the gas kit leaks".split())]
    read, _ = repaired(words, [Change(1, 3, ("gasket",), 1.0)])
    assert [word.text for word in read] == ["the", "gasket", "leaks"] and read[2].start == 3.0


def test_the_counts_are_in_order() -> None:
    """Common talk is likelier than chance, and every pair is of counted words."""
    known = company()
    assert known.likely("front", "left") > 100 * known.likely("front", "electrode")
    assert all(word in known.words for word in known.behind)
