"""Places in a clause: whether they belong to what was said or to what comes. In: mentions and the clause in hand. Out: yes or no,
or the mentions that the next clause begins with.

Not allowed to know: what the words are names of.
"""

from collections.abc import Sequence
from itertools import pairwise

from fieldnote.extract.clauses.ahead import followed_by_predicate, told_next
from fieldnote.extract.clauses.clause import Clause, at_no_burner
from fieldnote.extract.phrases.mention import Mention

_ONES = frozenset("one ones un uns yin yins".split())
_I = frozenset("i ive id im".split())


def leads_from_a_fault(prep: Mention, place: Mention, mentions: Sequence[Mention]) -> bool:
    """Whether a preposition leads from a fault to a place: "a crack in the front left"."""
    at = mentions.index(prep)
    row = mentions[at + 1 : mentions.index(place, at) + 1]
    fault = mentions[at - 1] if at else None
    near = prep.kind == "prep" and not any(m.gap or m.pause for m in (prep, *row))
    return near and fault is not None and fault.kind == "condition" and not fault.fit


def tells_which_it_is(behind: Mention, clause: Clause) -> bool:
    """Whether "is", behind a part that is told by its fault, leads to where it is: "the knob that's loose is"."""
    row = [m for m in clause.mentions if m.kind not in ("det", "and", "mark")]
    if [m.kind for m in row] != ["component", "pronoun", "condition", "be"]:
        return False
    return behind is row[-1] and behind.first in ("is", "was") and row[1].first in ("thats", "that", "which")


def another_next(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether, behind which ones are meant, another one follows of which something else is told."""
    place = at + 2 if mentions[at + 1 : at + 2] and mentions[at + 1].kind == "det" else at + 1
    if mentions[at - 1].kind != "condition" or place + 1 >= len(mentions):
        return False
    other = mentions[place]
    return other.kind == "place" and other.clitic and not (other.gap or other.pause) and told_next(place, mentions)


def _corner_behind(mention: Mention, clause: Clause) -> bool:
    """Whether a corner stands right behind what was told, without a word that leads to it."""
    corner = mention.kind == "place" and "-" in mention.id
    return corner and not (mention.led or mention.gap or mention.pause) and bool(clause.said)


def i_tell_of_it_next(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "That's grand back right I haven't touched", "couldn't fault rear left I couldn't get lit": a corner behind a verdict, or
    behind what was told of another corner, and what I did or think of it."""
    if not _corner_behind(mention, clause):
        return None
    last, told = clause.mentions[-1], mentions[at + 1] if at + 1 < len(mentions) else None
    mine = told is not None and not told.pause and (told.mine or (told.first in _I and told.kind in ("hedge", "own")))
    another = any(m.kind == "place" and "-" in m.id and m.id != mention.id for m in clause.mentions)
    over = last.fit or last.kind in ("cured", "outcome") or (another and (last.kind == "condition" or last.done))
    return True if mine and over else None


def behind_a_new_one_on(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Electrode's broke in two, new un on back right the tap's tight": the new one is on, and at the next corner is news."""
    if not _corner_behind(mention, clause):
        return None
    another = any(m.kind == "place" and "-" in m.id and m.id != mention.id for m in clause.mentions)
    part = at + 2 if mentions[at + 1 : at + 2] and mentions[at + 1].kind == "det" else at + 1
    told = followed_by_predicate(at, mentions) or (part < len(mentions) and told_next(part, mentions))
    return True if is_new_one_on(clause.mentions[-1]) and another and told else None


def the_other_after_work(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Greased the left one the right one's no better": work on the one, and how the other is."""
    row = [m for m in clause.mentions if m.kind != "det"]
    other = mention.kind == "place" and mention.clitic and mention.last in _ONES and not (mention.gap or mention.pause)
    if not other or len(row) < 2 or not row[-2].done or row[-1].kind != "place" or row[-1].last not in _ONES:
        return None
    told = mentions[at + 1] if at + 1 < len(mentions) else None
    return True if told is not None and told.kind in ("still", "not", "cured", "condition") and not told.gap else None


def it_is_another_part(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Sprayed round the meter and it's the union, it's weeping": where somebody looked, and which part it is."""
    if mention.kind != "pronoun" or mention.first not in ("its", "thats") or mention.pause or clause.said:
        return None
    looked = [
        m.id for led, m in pairwise(m for m in clause.mentions if m.kind != "det") if led.kind == "prep" and m.strong
    ]
    part = [m for m in mentions[at + 1 : at + 4] if m.kind != "det"][:2]
    is_it = (
        len(part) > 1
        and part[0].kind == "component"
        and part[0].id not in looked
        and not (part[0].gap or part[0].pause)
    )
    return True if is_it and any(m.kind == "component" and m.id in looked for m in clause.mentions) else None


def is_new_one_on(work: Mention) -> bool:
    """Whether work is told as "new one on", "new un in", so that nothing behind it is its object."""
    return work.done and work.first in ("new", "another", "fresh") and work.last in ("on", "in") and not work.around


def corner_of_what_there_is(clause: Clause, opener: Mention) -> list[Mention]:
    """ "Front right tap stiff, on the back left there's a crack in the crown": the corner is that of what there is."""
    if opener.kind != "be" or opener.first not in ("theres", "there") or opener.gap or opener.pause or not clause.said:
        return []
    row = clause.mentions
    at = len(row) - 1
    if row[at].kind != "place" or "-" not in row[at].id:
        return []
    at -= row[at - 1].kind == "det"
    at -= row[at - 1].kind == "prep"
    before, moved = row[:at], row[at:]
    if len(moved) < 2 or any(m.gap or m.pause for m in moved[1:]) or moved[0].kind != "prep":
        return []
    placed = moved[0].pause or any(m.kind in ("place", "group") for m in before)
    if not placed and not at_no_burner(clause):
        return []  # "tap stiff on the back left, there's ..."
    del row[at:]
    return moved
