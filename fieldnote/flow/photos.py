"""Photos on the talk: by the moment they were taken and by words such as "photo of that". In: items, lines and words of a visit.
Out: placements and photos at lines."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from fieldnote.flow.cues import Cue, near
from fieldnote.records import Item, Line, Placement

# A photo belongs to what was being said: a statement that ended up to this long before, or begins this soon after.
BEFORE, AFTER = 20.0, 8.0
NAMED = 60.0  # seconds between a statement and the words that name its part for a photo
NEAR = timedelta(minutes=2)  # a photo between two clips goes to the end of the one that ended this recently


def place(items: Sequence[Item], offset: timedelta = timedelta()) -> tuple[Placement, ...]:
    """Where each photo falls on the talk. `offset` is machine clock minus camera clock, measured once."""
    recordings = [item for item in items if item.kind == "recording" and item.at and item.seconds]
    return tuple(_place(photo, recordings, offset) for photo in items if photo.kind == "photo")


def _place(photo: Item, recordings: Sequence[Item], offset: timedelta) -> Placement:
    if photo.at is None:
        return Placement(photo.id, None, None, "no time")
    taken = photo.at + offset
    for recording in recordings:
        assert recording.at is not None and recording.seconds is not None
        second = (taken - recording.at).total_seconds()
        if 0 <= second <= recording.seconds:
            return Placement(photo.id, recording.id, second, "time")
    return _after_talk(photo, taken, recordings)


def _after_talk(photo: Item, taken: datetime, recordings: Sequence[Item]) -> Placement:
    ended = [(taken - (r.at + timedelta(seconds=r.seconds or 0)), r) for r in recordings if r.at]
    close = [(gap, r) for gap, r in ended if timedelta() <= gap <= NEAR]
    if not close:
        return Placement(photo.id, None, None, "no talk at that time")
    _, recording = min(close, key=lambda pair: pair[0])
    return Placement(photo.id, recording.id, recording.seconds, "just after")


def at_lines(lines: Sequence[Line], placements: Sequence[Placement], cues: Mapping[str, Sequence[Cue]]) -> list[Line]:
    """Lines with their photos: words such as "photo of the hose" near the moment decide, else the nearest statement.

    `cues` are those of each recording.
    """
    photos: dict[str, list[str]] = {}
    for placement in placements:
        cue = near(cues.get(placement.recording or "", []), placement.second)
        line = _of(cue, lines, placement) if cue else _nearest(lines, placement)
        if line is not None:
            photos.setdefault(line.id, []).append(placement.photo)
    return [_with(line, photos) for line in lines]


def _of(cue: Cue, lines: Sequence[Line], placement: Placement) -> Line | None:
    """The line that the words of a cue speak of: what they name, nearby; without a name what was said just before."""
    here = [line for line in lines if line.trace.item == placement.recording and line.trace.from_second is not None]
    if cue.names:
        named = [(_away(line, cue.start), n) for n, line in enumerate(here) if cue.speaks_of(line)]
        close = [one for one in named if one[0] <= NAMED]
        return here[min(close)[1]] if close else None
    before = [
        line for line in here if line.kind in ("finding", "reading") and (line.trace.from_second or 0) <= cue.start
    ]
    last = max(before, key=lambda line: line.trace.to_second or 0, default=None)
    return last if last and _away(last, cue.start) <= BEFORE else None


def _away(line: Line, second: float) -> float:
    """Seconds between a line and a moment; what is said after it counts double, since people name what they have spoken of."""
    start, end = line.trace.from_second or 0.0, line.trace.to_second or 0.0
    return second - end if second > end else max(0.0, 2 * (start - second))


def _nearest(lines: Sequence[Line], placement: Placement) -> Line | None:
    if placement.second is None:
        return None
    near = [
        (_distance(line, placement.second), n) for n, line in enumerate(lines) if line.trace.item == placement.recording
    ]
    near = [(distance, n) for distance, n in near if distance is not None]
    return lines[min(near)[1]] if near else None


def _distance(line: Line, second: float) -> float | None:
    start, end = line.trace.from_second, line.trace.to_second
    if start is None or end is None or line.kind not in ("finding", "reading"):
        return None
    if second > end:
        return second - end if second - end <= BEFORE else None
    return max(0.0, start - second) if start - second <= AFTER else None


def _with(line: Line, photos: Mapping[str, list[str]]) -> Line:
    return replace(line, photos=tuple(photos[line.id])) if line.id in photos else line
