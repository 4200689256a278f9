"""Work spread over processes: every thing once and in order, even when a process dies."""

import os
import signal
from collections.abc import Sequence
from functools import partial

import pytest

from fieldnote.audit.pool import spread


def squares(things: Sequence[int]) -> list[int]:
    """What is done."""
    return [thing * thing for thing in things]


def deadly(parent: int, things: Sequence[int]) -> list[int]:
    """The same, but 9 kills any process other than the first."""
    if 9 in things and os.getpid() != parent:
        os.kill(os.getpid(), signal.SIGKILL)
    return squares(things)


@pytest.mark.parametrize("count", [0, 1, 4, 5, 33])
def test_every_thing_once_and_in_order(count):
    """Results come in the order of the things, whether one process or several did them."""
    assert list(spread(squares, range(count), 2)) == [(n, n * n) for n in range(count)]


def test_a_process_that_dies_stops_nothing():
    """What a process that died had in hand, and all that was to follow, is done all the same."""
    assert list(spread(partial(deadly, os.getpid()), range(60), 2)) == [(n, n * n) for n in range(60)]
