"""Names that stand before what is said of them, as headings do. In: a name where it stands, the clause so far. Out: yes or no.

Where a mark is missing, a place or part between two statements may end the one or head the next; who told the last one first goes
on to do so. Not allowed to know: facts.
"""

import itertools
from collections.abc import Sequence

from fieldnote.extract.clauses.ahead import LEADING, followed_by_predicate
from fieldnote.extract.clauses.clause import PREDICATES, Clause
from fieldnote.extract.clauses.objects import is_object
from fieldnote.extract.phrases.mention import NOMINAL, Mention

_PLACES = frozenset({"place", "group", "size"})
_PARTS = frozenset({"component", "appliance", "size"})
_PARTICLES = frozenset("on off in up out back down over".split())
_RINGS = frozenset(
    "ring rings burner burners".split()
)  # last words of a place with its burner ("right ring, magnet's weak")
_WHICH = frozenset("appliance component det mark".split())
_HEADED = frozenset("component reading no same report".split())  # what stands behind a place that is a heading
_LEADING = frozenset({"prep", "except", "and", "or", "same"})
_TOLD = frozenset("condition reading no not be place group appliance".split())  # what stands behind a label


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
        if part.kind in _PARTS and (told.pause == "," or part.kind == "component"):
            return told.pause == "," and not part.clitic
    return clause.labels


def headed(mention: Mention, behind: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Front left: crown cracked, cleaned front right: tap stiff": who told the last place first tells the next so."""
    if not clause.heading or mention.led or mention.kind not in _PLACES or _led_to(behind, at, mentions):
        return None
    if behind.id == "advise" and mentions[at - 1] is behind and at + 1 < len(mentions) and mentions[at + 1].pause:
        return True  # "I've told him, front left, nowt to say about it"
    return True if _headed_next(at, mentions) else None


def first_headed(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Gas hob, glass top front left: ring cracked", "my first cooker, student house front left: cap's chipped": the first place
    behind the appliance. So is the first part: "the meter first the lever is stiff"."""
    if (
        mention.kind in ("det", "component")
        and _begun_with(clause)
        and not (mention.gap or mention.pause or clause.said)
    ):
        part = at + (mention.kind == "det")
        return True if part < len(mentions) and followed_by_predicate(part, mentions) else None
    if mention.kind != "place" or "-" not in mention.id or mention.led or mention.pause or clause.said:
        return None
    which = all(m.kind in _WHICH for m in clause.mentions) and clause.mentions[-1].kind == "component"
    which = which and clause.mentions[0].kind == "appliance"
    unknown = mention.gap > 1 and clause.mentions[-1].kind == "general"
    return True if (which or unknown) and _headed_next(at, mentions) else None


def _begun_with(clause: Clause) -> bool:
    """ "The meter first"."""
    row = [m for m in clause.mentions if m.kind != "det"]
    named = [m.kind for m in row[-2:]] == ["component", "mark"] and row[-1].first == row[-1].last == "first"
    return named and not row[-1].gap and all(m.kind == "mark" for m in row[:-2])


def labelled(mention: Mention, behind: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Burner: sooted, brushed electrode: gap wide": who has a mark behind the last part's name has one behind the next's. So
    has anyone who told a fault and its work and now tells a fault again ("hose scuffed, replaced data plate: worn away")."""
    told = mentions[at + 1] if at + 1 < len(mentions) else None
    if mention.kind not in _PARTS or mention.pause or told is None or told.pause != ",":
        return None
    if behind.id == "advise" and mentions[at - 1] is behind:
        return True  # "so I've told her closure plate, there isn't one"
    if (
        behind.last == "new"
        or _led_to(behind, at, mentions)
        or not any(m.kind in NOMINAL | {"pronoun"} for m in clause.mentions)
    ):
        return None
    faulty = any(m.kind == "condition" and not m.fit for m in clause.mentions) and behind.done
    # "crowns: front pair corroded"
    fault = mentions[at + 2] if told.kind in ("place", "group") and at + 2 < len(mentions) else told
    again = faulty and mentions[at - 1] is behind and fault.kind == "condition" and not fault.fit
    one_name = told.kind == "component" and told.id == mention.id  # "closure plate refitted ventilation, louvre choked"
    return True if again or (clause.labels and (told.kind in _TOLD or told.gap or one_name)) else None


def _led_to(behind: Mention, at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a word right before leads to the name: not one that leads to a thing nobody knows ("nothing to report to the bridge
    knobs, all four tight"), nor "and" behind anything but a name ("crown cracked and front right, tap stiff")."""
    article = mentions[at - 1].kind == "det" and mentions[at - 1].gap == 0
    if behind.kind == "and" and mentions[at - 1] is behind and at > 1 and not behind.pause:
        return mentions[at - 2].kind in NOMINAL or (mentions[at - 2].kind in _LEADING and not behind.gap)
    if (
        behind is mentions[at - 1]
        and at > 2
        and behind.first in _PARTICLES
        and mentions[at - 2].kind in ("pronoun", "them")
    ):
        return not (mentions[at - 3].done or mentions[at].gap)  # "hooked it on hose, dated 2021"
    return behind.kind in _LEADING and not (mentions[at].gap and (article or mentions[at].gap > 1))


def _headed_next(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a place has a mark behind it and then a part, a figure or a verdict, as a heading has ("tap fine rear left, no
    faults", "crown cracked front right: tap stiff"). Who tells the place last says so too: it is for one who tells it first."""
    behind = next((i for i in range(at + 1, min(at + 5, len(mentions))) if mentions[i].pause or mentions[i].gap), at)
    if behind == at or mentions[behind].pause != ",":
        return False
    if any(m.kind not in _PLACES | {"and"} and m.last not in _RINGS for m in mentions[at + 1 : behind]):
        return False
    while behind + 1 < len(mentions) and mentions[behind].kind in ("det", "size", "group") and behind < at + 6:
        behind += 1
    told, article = mentions[behind], mentions[behind - 1].kind == "det"
    return told.kind in _HEADED or told.fit or (article and told.kind == "condition")


def introduced(at: int, mentions: Sequence[Mention]) -> bool:
    """ "In the middle that's the wok one", "in the middle the triple ring": a place, and which burner stands there."""
    row = mentions[at : at + 4]
    if row[0].kind != "place" or not row[0].led or any(m.gap or m.pause for m in row[1:2]):
        return False
    which = 2 if len(row) > 1 and row[1].kind == "pronoun" and row[1].first in ("thats", "its") else 1
    named = which + (len(row) > which and row[which].kind == "det")
    return named > 1 and len(row) > named and row[named].kind == "size" and not (row[named].gap or row[named].pause)


def taken_up(behind: Mention, at: int, mentions: Sequence[Mention]) -> bool:
    """ "Door was catching, the seal though, that's gone hard": a part that "that" takes up, and what is said of it."""
    row = list(mentions[at : at + 4])
    though = (
        len(row) > 1
        and row[1].kind == "but"
        and row[1].first in ("though", "mind")
        and not (row[1].gap or row[1].pause)
    )
    if though:
        del row[1]  # "the front right though it lit and went out"
    if len(row) < 3 or row[0].kind not in ("component", "place") or row[1].kind != "pronoun":
        return False
    part, that, told = row[:3]
    led = mentions[at - 1].kind == "det" and mentions[at - 1].first in ("the", "that", "this") and not part.gap
    said = told.kind in ("condition", "not", "need", "work") and not (told.gap or told.pause)
    corner = part.kind == "place" and though and that.first in ("it", "its", "that", "thats")
    takes_up = corner or (part.kind == "component" and that.first in ("that", "thats"))
    acting = behind.kind == "condition" and (behind.last.endswith(("ing", "up")) or behind.last in LEADING)
    object_ = acting or behind.kind in ("prep", "except") or is_object(at, mentions)
    return led and takes_up and that.gap <= 1 and said and not object_
