"""Names that stand before what is said of them, as headings do. In: a name where it stands, the clause so far. Out: yes or no.

Where a mark is missing, a place or part between two statements may end the one or head the next; who told the last one first goes
on to do so. Not allowed to know: facts.
"""

import itertools
from collections.abc import Sequence

from fieldnote.extract.clauses.clause import PREDICATES, Clause
from fieldnote.extract.phrases.mention import NOMINAL, Mention

_PLACES = frozenset({"place", "group", "size"})
_LEADING = frozenset({"prep", "except", "and", "or", "same"})
_TOLD = frozenset("condition reading no not be place group".split())  # what stands behind a label


def heads(clause: Clause) -> bool:
    """Whether a place stands before what is said of it, in the clause or, where it names none, in the last one that did."""
    for at, mention in enumerate(clause.mentions):
        if mention.kind in PREDICATES and any(m.kind in _PLACES for m in clause.mentions[at:]):
            return False
        if mention.kind in _PLACES and not mention.led:
            return True
    return clause.heading


def labels(clause: Clause) -> bool:
    """Whether a part stands as a label before what is said of it ("electrode: gap wide"), in the clause or, where it names none,
    in the last one that did."""
    for part, told in itertools.pairwise(clause.mentions):
        if part.kind in PREDICATES:
            break
        if part.kind == "component":
            return told.pause == "," and not part.clitic
    return clause.labels


def headed(mention: Mention, behind: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Front left: crown cracked, cleaned front right: tap stiff": who told the last place first tells the next so."""
    if not clause.heading or mention.led or mention.kind not in _PLACES or _led_to(behind, at, mentions):
        return None
    return True if _headed_next(at, mentions) else None


def labelled(mention: Mention, behind: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Burner: sooted, brushed electrode: gap wide": who has a mark behind the last part's name has one behind the next's. So
    has anyone who told a fault and its work and now tells a fault again ("hose scuffed, replaced data plate: worn away")."""
    told = mentions[at + 1] if at + 1 < len(mentions) else None
    if mention.kind not in ("component", "appliance", "size") or mention.pause or told is None or told.pause != ",":
        return None
    if _led_to(behind, at, mentions) or not any(m.kind in NOMINAL for m in clause.mentions):
        return None
    faulty = any(m.kind == "condition" and not m.fit for m in clause.mentions) and behind.done
    again = faulty and mentions[at - 1] is behind and told.kind == "condition" and not told.fit
    return True if again or (clause.labels and (told.kind in _TOLD or told.gap)) else None


def _led_to(behind: Mention, at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a word right before leads to the name: not one that leads to a thing nobody knows ("nothing to report to the bridge
    knobs, all four tight")."""
    article = mentions[at - 1].kind == "det" and mentions[at - 1].gap == 0
    return behind.kind in _LEADING and not (mentions[at].gap and (article or mentions[at].gap > 1))


def _headed_next(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a place has a mark behind it and then a part, a figure or a verdict, as a heading has ("tap fine rear left, no
    faults", "crown cracked front right: tap stiff"). Who tells the place last says so too: it is for one who tells it first."""
    behind = next((i for i in range(at + 1, min(at + 5, len(mentions))) if mentions[i].pause or mentions[i].gap), at)
    if behind == at or mentions[behind].pause != ",":
        return False
    if any(m.kind not in ("place", "group", "size", "and") for m in mentions[at + 1 : behind]):
        return False
    while behind + 1 < len(mentions) and mentions[behind].kind in ("det", "size", "group") and behind < at + 6:
        behind += 1
    told, article = mentions[behind], mentions[behind - 1].kind == "det"
    return told.kind in ("component", "reading", "no") or told.fit or (article and told.kind == "condition")
