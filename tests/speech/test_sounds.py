"""Words that sound alike come out as alike, whatever they mean."""

import numpy as np
import pytest

from fieldnote.speech.rehearing import FARTHEST
from fieldnote.speech.sounds import Ear, sound, table


def apart(one: str, other: str) -> float:
    """How far apart two words sound."""
    return float(Ear([one]).apart(other, np.arange(1))[0])


@pytest.mark.parametrize(("one", "other"), table().near)
def test_words_that_are_taken_for_each_other_sound_alike(one: str, other: str) -> None:
    """Near both ways round."""
    assert apart(one, other) <= FARTHEST and apart(other, one) <= FARTHEST


@pytest.mark.parametrize(("one", "other"), table().far)
def test_other_words_do_not(one: str, other: str) -> None:
    """Far both ways round."""
    assert apart(one, other) > FARTHEST and apart(other, one) > FARTHEST


def test_the_same_words_are_no_distance_apart() -> None:
    """Marks, capitals and where one word ends make no difference."""
    assert apart("gas kit", "Gas, kit") == 0 and sound("in jector") == sound("injector")


def test_an_ear_tells_each_of_many_apart() -> None:
    """The distances are those of the words that were asked for, in their order."""
    ear = Ear(["burner", "cap", "barn"])
    far = ear.apart("barner", np.array([2, 0, 1]))
    assert far[1] == far.min() and far[2] == far.max()
