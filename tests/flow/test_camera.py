"""A camera's wrong clock is measured once and moves every photo of the visit."""

from datetime import UTC, datetime, time, timedelta

import pytest

from fieldnote.errors import UsageProblem
from fieldnote.flow import camera
from fieldnote.flow.view import view
from tests import fakes


@pytest.mark.parametrize(
    ("shown", "taken", "seconds"),
    [
        ("10:00:37", "10:00:00", 37),
        ("09:59:00", "10:00:00", -60),
        ("00:00:10", "23:59:50", 20),
        ("23:59:50", "00:00:10", -20),
    ],
)
def test_the_offset_is_what_the_photo_shows_less_what_it_says(shown, taken, seconds):
    """Also across midnight."""
    said = datetime.combine(datetime(2026, 11, 18), time.fromisoformat(taken), UTC)
    assert camera.measured(time.fromisoformat(shown), said) == seconds


def test_a_kept_offset_places_a_photo_on_the_talk(tmp_path):
    """A photo from a camera that is an hour behind falls where the talk was."""
    with fakes.notebook(tmp_path) as book:
        visit = book.open_visit("JOB-1")
        book.file(fakes.incoming(tmp_path, "a.ogg", b"x"), visit.id)
        taken = fakes.START + timedelta(seconds=4) - timedelta(hours=1)
        book.file(fakes.incoming(tmp_path, "p.jpg", b"y", "photo", taken), visit.id)
        assert [place.second for place in view(book, visit.id).placements] == [None]
        camera.keep(book, visit.id, 3600)
        assert [place.second for place in view(book, visit.id).placements] == [4.0]


@pytest.mark.parametrize("text", ["soon", "25:00:00", "nan", "inf", "1e12"])
def test_what_is_no_difference_is_refused(tmp_path, text):
    """In one sentence, and nothing is kept."""
    with fakes.notebook(tmp_path) as book, pytest.raises(UsageProblem):
        camera.keep(book, book.open_visit("JOB-1").id, camera.parsed(text, fakes.START))
