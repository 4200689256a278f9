"""A clause parted into what stands before anything is said, and each thing said with its cues and the names behind it.

In: a clause. Out: mentions in lists. Not allowed to know: what was said before in the talk.
"""

import itertools
from collections.abc import Sequence

from fieldnote.extract.clauses.ahead import is_tail
from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.phrases.mention import NOMINAL, Mention

_ANYBODY = frozenset("you i we they she he".split())
_OPENINGS = frozenset("door doors lid window cupboard".split())


def _none_of(mention: Mention, clause: Clause) -> bool:
    """ "None on the hose": a denial that says again what was denied."""
    if mention.kind != "no-after" or mention is clause.mentions[-1]:
        return False
    if any(no.kind == "no" and part.kind == "component" for no, part in itertools.pairwise(clause.mentions)):
        return False  # "hasn't got any flame failure, none on that age of thing"
    return clause.mentions[clause.mentions.index(mention) + 1].kind == "prep" and not any(
        m.kind == "condition" for m in clause.mentions
    )


def chunked(clause: Clause) -> tuple[list[Mention], list[tuple[Mention, list[Mention], list[Mention]]]]:
    """The names before anything is said, then each thing said with the cues before it and the names behind it."""
    lead: list[Mention] = []
    chunks: list[tuple[Mention, list[Mention], list[Mention]]] = []
    flags: list[Mention] = []
    figure = False
    for before, mention in zip([None, *clause.mentions], clause.mentions, strict=False):
        if mention.kind in ("condition", "work", "same") or _none_of(mention, clause):
            if before is not None and before.kind == "det" and mention.kind == "condition":
                flags.append(before)  # "that's the wrong cap"
            chunks.append((mention, flags, []))
            flags, figure = [], False
        elif chunks and mention.kind == "component" and is_tail(clause.mentions.index(mention), clause.mentions):
            # "gas tap back left, it's come off has its knob": the name told last is the subject
            lead = [*(m for m in lead if m.kind != "component"), mention]
        elif mention.kind == "component" and (
            _ruled_out(mention, lead if not chunks else [chunks[-1][0]], flags) or _not_that_but(mention, flags, clause)
        ):
            flags = flags[:-1]
            continue  # "turned out to be the pump, not the fan"
        elif mention.kind == "component" and _at_what_time(mention, clause):
            continue  # "goes out when the door shuts"
        elif figure and mention.kind in NOMINAL and chunks[-1][0].kind == "condition":
            continue  # "won't hold, fourteen millivolts off the thermocouple"
        elif not chunks and mention.kind == "component" and _behind_its_figure(mention, lead, flags):
            lead = [*(m for m in lead if m.kind != "component"), mention]
        elif not chunks and mention.many and _behind_a_figure_there(mention, lead, flags):
            lead = [mention]
        elif mention.kind in NOMINAL or mention.kind in ("prep", "and", "or", "one", "det", "except"):
            if not chunks and _taken_off(mention, lead, clause):
                lead = []
                continue
            if not chunks and _set_right(mention, lead, flags):
                lead = []
            if not chunks and (_taken_out(mention, lead, clause) or _told_again(mention, lead, flags)):
                lead = [m for m in lead if m.kind == "component"] if mention.kind == "place" else []
            (chunks[-1][2] if chunks else lead).append(mention)
            if mention.kind == "one" and mention.clitic and mention.gap > 1:
                flags = [
                    flag for flag in flags if flag.kind != "not"
                ]  # "don't belong together, one's off another make"
            if mention.kind == "or":
                flags.append(mention)
        else:
            figure = figure or (bool(chunks) and mention.kind == "reading")
            flags.append(mention)
    return lead, chunks


def _behind_its_figure(part: Mention, lead: Sequence[Mention], flags: Sequence[Mention]) -> bool:
    """ "The meter is a G4, bonding fine": a figure was said of the part before, and that was all."""
    figure = next((flag for flag in reversed(flags) if flag.kind == "reading"), None)
    named = bool(lead) and any(m.kind == "component" for m in lead) and lead[-1].kind in ("component", "det", "place")
    return figure is not None and named and part.strong and not part.gap and figure.end == part.start


def _behind_a_figure_there(part: Mention, lead: Sequence[Mention], flags: Sequence[Mention]) -> bool:
    """ "Rear right twenty eight, taps are fine": the place was that of a figure."""
    figure = flags[-1] if flags else None
    there = figure is not None and figure.kind == "reading" and figure.end == part.start and not part.gap
    there = there or (part.figured and not part.pause)  # one of a row of figures, whose unit was said before
    return there and bool(lead) and lead[-1].kind == "place" and all(m.kind != "component" for m in lead)


def _ruled_out(part: Mention, lead: Sequence[Mention], flags: Sequence[Mention]) -> bool:
    """Whether a part is named only to say that it is not the one that was meant."""
    denied = bool(flags) and flags[-1].kind == "not" and flags[-1].first == "not" and part.start - flags[-1].end <= 1
    before = [m for m in lead if m.end <= flags[-1].start] if denied else []
    return denied and not part.gap and bool(before) and before[-1].kind in ("component", "condition")


def _not_that_but(part: Mention, flags: Sequence[Mention], clause: Clause) -> bool:
    """ "It isn't the fan at all, it's the pump making that din": the part that it is comes behind."""
    denied = len(flags) > 1 and flags[-1].kind == "not" and flags[-1].last in ("not", "isnt", "wasnt")
    if not denied or flags[-2].kind != "pronoun" or part.gap or part.start - flags[-1].end > 1:
        return False
    row = clause.mentions[clause.mentions.index(part) + 1 :]
    its = next((at for at, m in enumerate(row) if m.kind == "pronoun"), len(row))
    led = [m.kind for m in row[its : its + 3] if m.kind != "det"]
    return row[its : its + 1] != [] and row[its].first in ("its", "thats") and led[:2] == ["pronoun", "component"]


def _at_what_time(part: Mention, clause: Clause) -> bool:
    """Whether a part only tells when something is so."""
    at = clause.mentions.index(part)
    before = [m for m in clause.mentions[max(0, at - 2) : at] if m.kind != "det"]
    if at < 2 or not before or before[-1].kind != "when":
        return False
    after = clause.mentions[at + 1] if at + 1 < len(clause.mentions) else None
    if after is not None and after.first == "it" and not after.gap and part.strong and at < 5:
        return False  # "when you lift the relief valve it doesn't drop water"
    by_somebody = before[-1].last in _ANYBODY and part.gap <= 1  # "moves when you put the cap on"
    return by_somebody or (not part.gap and part.last in _OPENINGS)


def _taken_out(joint: Mention, lead: Sequence[Mention], clause: Clause) -> bool:
    """ "Had the burner out and the injector was coked up": what was only taken out to get at the rest is no subject."""
    if joint.kind == "and" and lead and lead[-1].kind == "component" and lead[-1].last in ("cupboard", "cabinet"):
        return not joint.gap  # "opened the meter cupboard and the bonding wire fell off"
    if joint.kind != "and" or joint.gap != 1 or not lead or lead[-1].kind != "component":
        return False
    at = clause.mentions.index(lead[-1])
    had = next((m for m in reversed(clause.mentions[:at]) if m.kind != "det"), None)
    after = next((m for m in clause.mentions[clause.mentions.index(joint) + 1 :] if m.kind != "det"), None)
    if after is None or after.kind != "component":
        return False
    return had is not None and had.kind == "be" and had.first == "had"


def _taken_off(off: Mention, lead: Sequence[Mention], clause: Clause) -> bool:
    """ "Pulled the knob off, water in the switch": what was taken off to get at the rest is no subject."""
    if off.kind != "prep" or off.first != "off" or off.gap or len(lead) < 2:
        return False
    article, part = lead[-2:]
    acted = article.kind == "det" and article.gap > 0 and part.kind == "component" and not part.gap and not part.pause
    behind = clause.mentions[clause.mentions.index(off) + 1 :]
    return acted and bool(behind) and (bool(behind[0].pause) or behind[0].kind not in ("det", "component", "pronoun"))


def _set_right(place: Mention, lead: Sequence[Mention], flags: Sequence[Mention]) -> bool:
    """ "I did say the left one but it was the right hand burner that went out": the place that was meant."""
    but = next((i for i, flag in enumerate(flags) if flag.kind == "but"), len(flags))
    it_was = [flag.kind for flag in flags[but + 1 : but + 3]] == ["pronoun", "be"] or (
        but + 1 < len(flags) and flags[but + 1].first in ("its", "thats")
    )
    return place.kind == "place" and it_was and any(m.kind == "place" for m in lead)


def _told_again(place: Mention, lead: Sequence[Mention], flags: Sequence[Mention]) -> bool:
    """ "Front left eighteen, front right six, so the front right's weak": what is said is said of the place told again."""
    if place.kind != "place" or not flags or flags[-1].kind not in ("reading", "mark"):
        return False
    return any(m.kind == "place" and m.id == place.id for m in lead)
