"""When something was made: metadata before name before the file's time."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fieldnote.capture.times import in_name, made


@pytest.mark.parametrize(
    "name",
    [
        "20261125_143005.m4a",
        "IMG_20261125_143005.jpg",
        "2026-11-25 14.30.05.jpg",
        "Recording 2026-11-25T14-30-05.wav",
        "PXL_20261125_143005123.jpg",
        "20261125143005.ogg",
    ],
)
def test_names_that_hold_a_moment(name):
    """Usual ways of writing a moment into a name are read, in this machine's zone."""
    found = in_name(name)
    assert found is not None and found.replace(tzinfo=None) == datetime(2026, 11, 25, 14, 30, 5)


def test_a_name_in_utc():
    """A moment that ends in Z is in UTC."""
    assert in_name("20261125T143005Z.m4a") == datetime(2026, 11, 25, 14, 30, 5, tzinfo=UTC)


@pytest.mark.parametrize(
    "name", ["20261325_143005.m4a", "20261125_253005.m4a", "07153204.jpg", "a.wav", "120261125143005.wav"]
)
def test_names_that_hold_none(name):
    """Months, hours and digits that cannot be a moment are not read as one."""
    assert in_name(name) is None


def test_what_says_when():
    """Metadata first; a device that was never told the date is not believed; then the name; then the end minus the length."""
    path, end = Path("20261125_143005.wav"), datetime(2026, 11, 25, 16, 0, tzinfo=UTC)
    said = "2026-11-18T09:30:15+00:00"
    assert made(path, end.timestamp(), said, 60)[1] == "metadata"
    assert made(path, end.timestamp(), "1970-01-01T00:00:00+00:00", 60)[1] == "name"
    assert made(path, end.timestamp(), "nonsense", 60)[1] == "name"
    assert made(Path("a.wav"), end.timestamp(), None, 60) == (end - timedelta(seconds=60), "file-time")
    assert made(Path("a.jpg"), end.timestamp(), None, None) == (end, "file-time")
