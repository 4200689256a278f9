"""A visit as a line of time: talk, photos and lines in step. In: a view. Out: tracks of moments, in order."""

import bisect
from dataclasses import dataclass, field

from fieldnote.flow.hear import when
from fieldnote.records import Item, Line, VisitView


@dataclass
class Moment:
    """A stretch of one clip: its first second, its words, and the lines and photos that fall on it."""

    second: float | None
    text: str
    lines: list[Line] = field(default_factory=list)
    photos: list[Item] = field(default_factory=list)


@dataclass
class Track:
    """One recording or note with its moments; `item` is None for what stands at no talk at all."""

    item: Item | None
    title: str
    moments: list[Moment]

    @property
    def id(self) -> str:
        """The id of its element on the page."""
        return f"track-{self.item.id}" if self.item else "track-elsewhere"


def tracks(view: VisitView) -> list[Track]:
    """Recordings and notes in the order in which they were made, then what stands at none of them."""
    talks = sorted((item for item in view.items if item.kind in ("recording", "note")), key=when)
    made = [Track(item, item.name, _moments(item, view)) for item in talks]
    table = {track.item.id: track for track in made if track.item}
    elsewhere = Track(None, "At no talk", [])
    for line in view.lines:
        _place_line(line, table.get(line.trace.item or ""), elsewhere)
    photos = {item.id: item for item in view.items if item.kind == "photo"}
    for placement in view.placements:
        _place_photo(photos[placement.photo], placement.second, table.get(placement.recording or ""), elsewhere)
    placed = {placement.photo for placement in view.placements}
    for photo in photos.values():
        if photo.id not in placed:
            _place_photo(photo, None, None, elsewhere)
    return [*made, elsewhere]


def _moments(item: Item, view: VisitView) -> list[Moment]:
    transcript = view.transcripts.get(item.id)
    if transcript is None:
        return [Moment(None, "not listened to yet" if item.kind == "recording" else "a written note")]
    return [Moment(segment.start, segment.text) for segment in transcript.segments] or [Moment(0.0, "no speech in it")]


def _place_line(line: Line, track: Track | None, elsewhere: Track) -> None:
    if track is None:
        elsewhere.moments.append(Moment(None, "", [line]))
    else:
        _at(track, line.trace.from_second).lines.append(line)


def _place_photo(photo: Item, second: float | None, track: Track | None, elsewhere: Track) -> None:
    if track is None:
        elsewhere.moments.append(Moment(None, "", photos=[photo]))
    else:
        _at(track, second).photos.append(photo)


def _at(track: Track, second: float | None) -> Moment:
    """The moment that was going on at a second: the last one that had begun."""
    starts = [moment.second or 0.0 for moment in track.moments]
    return track.moments[max(0, bisect.bisect_right(starts, second or 0.0) - 1)]
