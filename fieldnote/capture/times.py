"""When something was made. In: what the file says of itself, its name, its time on disk. Out: a moment and how it is known."""

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

# 20261125_143005, 2026-11-25 14.30.05, IMG-20261125T143005Z ...
IN_NAME = re.compile(
    r"(?<!\d)(20\d\d)[-_.]?(\d\d)[-_.]?(\d\d)[-_ T.]{0,3}(\d\d)[-_.:h]?(\d\d)[-_.:m]?(\d\d)(?:\d{3})?(Z)?(?!\d)"
)
OLDEST = datetime(2000, 1, 1, tzinfo=UTC)  # before this, a device had not been told the date


def made(path: Path, mtime: float, said: str | None, seconds: float | None) -> tuple[datetime, str]:
    """When a photo was taken or a recording began, with this machine's zone where the file names none.

    `said` is the file's own ISO 8601 time. `seconds` is the length of a recording, whose time on disk is that of its end.
    """
    if said and (moment := _plausible(said)):
        return moment, "metadata"
    if moment := in_name(path.name):
        return moment, "name"
    end = datetime.fromtimestamp(mtime, UTC).astimezone()
    return end - timedelta(seconds=seconds or 0), "file-time"


def in_name(name: str) -> datetime | None:
    """The moment in a file name such as 20261125_143005.m4a, or None."""
    found = IN_NAME.search(name)
    if not found:
        return None
    try:
        year, month, day, hour, minute, second = (int(part) for part in found.groups()[:6])
        moment = datetime(year, month, day, hour, minute, second, tzinfo=UTC if found[7] else None)
    except ValueError:
        return None
    return moment.astimezone()


def _plausible(said: str) -> datetime | None:
    try:
        moment = datetime.fromisoformat(said)
        moment = moment if moment.tzinfo else moment.astimezone()
        return moment if moment >= OLDEST else None
    except (ValueError, OverflowError, OSError):
        return None
