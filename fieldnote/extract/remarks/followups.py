"""What is to be done after the visit. In: the draft. Out: `Draft.followups`, with the days until then where a time was said.

Not allowed to know: the calendar; a weekday or "by Friday" has no number of days.
"""

import functools
import re
from typing import Any

from fieldnote.extract.draft import Draft
from fieldnote.extract.figures.numbers import numeral_at
from fieldnote.extract.remarks.announcements import Announcement, standing, wordings
from fieldnote.extract.words.matcher import Phrases
from fieldnote.records import FollowUp, Why

AHEAD = 14
BEHIND = 8
SOON = 3
LONGEST = 36_500  # days, weeks or months that anybody means


def run(draft: Draft) -> None:
    """Find the follow-ups that stand; the same kind with the same or no time is one."""
    timed = wordings("followups").timed
    said = [one for one in standing(draft, "followups") if one.id not in timed or _timed(draft, one)]
    found: list[FollowUp] = []
    for index, one in enumerate(said):
        until = said[index + 1].start if index + 1 < len(said) else len(draft.tokens)
        since = said[index - 1].end if index else 0
        _add(found, _followup(draft, one, since, until))
    draft.followups = found


def _timed(draft: Draft, said: Announcement) -> bool:
    """Whether a time follows at once: "back Tuesday week", "see you in a fortnight"."""
    ahead = range(said.end, min(said.end + SOON, len(draft.tokens)))
    if any(draft.tokens[at].pause == "." for at in range(said.end - 1, said.end)):
        return False
    return any(_time_at(draft, at) for at in ahead)


def _add(found: list[FollowUp], new: FollowUp) -> None:
    for index, earlier in enumerate(found):
        if earlier.kind == new.kind and (earlier.due_days == new.due_days or None in (earlier.due_days, new.due_days)):
            if earlier.due_days is None:
                found[index] = new
            return
    found.append(new)


def _followup(draft: Draft, said: Announcement, since: int, until: int) -> FollowUp:
    time = _time_after(draft, said, until) or _time_before(draft, said, since)
    start = min(said.start, time[0]) if time else said.start
    end = max(said.end, time[1]) if time else said.end
    evidence = draft.evidence(start, end)
    why = [Why("kind", said.kind, said.id, draft.evidence(said.start, said.end))]
    if time and time[2] is not None:
        why.append(Why("due_days", str(time[2]), "time said", draft.evidence(time[0], time[1])))
    return FollowUp(said.kind, time[2] if time else None, evidence, tuple(why))


Time = tuple[int, int, int | None]


def _time_after(draft: Draft, said: Announcement, until: int) -> Time | None:
    """The first time in the rest of the sentence; the wording may hold it itself ("back tomorrow")."""
    for at in range(said.start, min(said.end + AHEAD, len(draft.tokens))):
        time = _time_at(draft, at)
        if time and time[1] > said.end - 1 and time[0] < max(until, said.end):
            return _corrected(draft, time)
        if at >= said.end - 1 and draft.tokens[at].pause == ".":
            return None
    return None


def _corrected(draft: Draft, time: Time) -> Time:
    """The time that stands: "in a fortnight, no, make that three weeks"."""
    for at in range(time[1], min(time[1] + SOON, len(draft.tokens))):
        hit = wordings("classes").corrections.at(draft.tokens, at)
        later = _time_at(draft, hit.end) if hit and hit.end < len(draft.tokens) else None
        if later:
            return time[0], later[1], later[2]
    return time


def _time_before(draft: Draft, said: Announcement, since: int) -> Time | None:
    for at in range(said.start - 1, max(since, said.start - BEHIND) - 1, -1):
        if draft.tokens[at].pause == ".":
            return None
        if (time := _time_at(draft, at)) and time[1] <= said.start:
            if time[2] == 0 and time[1] < said.start - 1:
                return None  # "I'm not touching that today, they want a power flush, I'll send a price"
            longer = _time_at(draft, at - 1) if at else None
            return longer if longer and longer[1] == time[1] else time
    return None


def _time_at(draft: Draft, at: int) -> Time | None:
    """A time that starts at a token: its words, and the days, None where they cannot be counted."""
    known = _times()
    if re.fullmatch(r"\d{1,2}(st|nd|rd|th)", draft.tokens[at].norm):
        return at, at + 1, None
    hit = known.at(draft.tokens, at)
    counted = _counted(draft, at)
    if counted and (hit is None or counted[1] >= hit.end):
        return counted
    return (at, hit.end, hit.values[0]) if hit else None


def _counted(draft: Draft, at: int) -> Time | None:
    """ "in ten days", "a month", "2 weeks"; a range or "a few" is no number."""
    words = [token.norm for token in draft.tokens[at : at + 8]]
    if words[:1] in (["a"], ["an"], ["one"]) and len(words) > 1 and words[1] in _unit_days():
        count, end = 1, 1
    else:
        numeral = numeral_at(words, 0) if words else None
        if numeral is None or numeral.decimals is not None or numeral.options[0].value != int(numeral.options[0].value):
            return None
        if numeral.options[0].value > LONGEST:
            return None
        count, end = int(numeral.options[0].value), numeral.end
    working = end < len(words) and words[end] in ("working", "clear")
    end += working
    if end >= len(words) or words[end] not in _unit_days() or _is_range(draft, at):
        return None
    if end + 1 < len(words) and words[end + 1] in ("ago", "old", "later"):
        return None
    return at, at + end + 1, _calendar_days(count, words[end], bool(working))


def _calendar_days(count: int, unit: str, working: bool) -> int:
    """Days on the calendar: twelve months are a year, five working days a week."""
    days = count * _unit_days()[unit]
    if working:
        return days + 2 * (days // 5)
    return 365 * count // 12 if unit.startswith("month") and count % 12 == 0 else days


def _is_range(draft: Draft, at: int) -> bool:
    return (
        at >= 2 and draft.tokens[at - 1].norm in ("or", "to") and numeral_at([draft.tokens[at - 2].norm], 0) is not None
    )


@functools.cache
def _unit_days() -> dict[str, int]:
    return {word: int(days) for days, words in wordings("followups").due["units"].items() for word in words}


@functools.cache
def _times() -> Phrases[int | None]:
    due: dict[str, Any] = wordings("followups").due
    times: Phrases[int | None] = Phrases()
    for phrase, days in due["days"].items():
        times.add(phrase, days)
    for phrase in due["uncounted"]:
        times.add(phrase, None)
    return times
