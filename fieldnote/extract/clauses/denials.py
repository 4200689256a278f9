"""What a denial is said of: the part in hand, one that follows, or none. In: a place in the list of mentions. Out: yes or no.

Not allowed to know: how the talk was cut into clauses.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.ahead import LEADING, followed_by_predicate
from fieldnote.extract.phrases.mention import NOMINAL, Mention


def in_hand(denial: Mention) -> bool:
    """ "I've no seal": none on the van, not none on the appliance."""
    return denial.first in ("ive", "weve", "i", "we") or denial.owned


def no_part(at: int, mentions: Sequence[Mention]) -> bool:
    """ "No alarm": a denial right before a part that is not followed by anything said of it."""
    noun = mentions[at + 1] if at + 1 < len(mentions) else None
    beyond = mentions[at + 2] if at + 2 < len(mentions) else None
    if noun is None or noun.kind != "component" or noun.pause or noun.gap > 1 or in_hand(mentions[at]):
        return False
    same = (
        beyond is not None and beyond.kind == "component" and beyond.id == noun.id and not beyond.gap
    )  # "anti-tilt chain"
    return beyond is None or bool(beyond.pause) or same or beyond.kind not in ("condition", "be", "component")


def none_of_them(at: int, mentions: Sequence[Mention]) -> bool:
    """ "None of the taps pass", "neither of them held": the denial opens what is said of those that it names."""
    noun = mentions[at + 1] if at + 1 < len(mentions) else None
    first = mentions[at].first
    counted = first in ("none", "nane", "neither", "theres", "there") and mentions[at].last in (
        "of",
        "the",
        "them",
        "these",
        "those",
    )
    if noun is None or not counted or noun.gap or noun.pause:
        return False
    return noun.kind == "condition" or (noun.kind in NOMINAL and followed_by_predicate(at + 1, mentions))


def denied_elsewhere(at: int, mentions: Sequence[Mention]) -> bool:
    """ "None on the bayonet", "neither of them needs doing": what is denied of other parts, or of what is wanted."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    if after is None or after.pause or after.gap:
        return False
    if after.kind in ("need", "work"):
        return True
    noun = next((m for m in mentions[at + 2 : at + 4] if m.kind != "det"), None)
    return mentions[at].first == "none" and after.kind == "prep" and noun is not None and noun.kind in NOMINAL


def denies_a_part(at: int, mentions: Sequence[Mention]) -> bool:
    """ "No leaks on any joint": denial, condition and part in one."""
    run = [m for m in mentions[at + 1 : at + 7] if m.kind != "det"]
    run = [m for i, m in enumerate(run) if i == 0 or m.kind != "prep" or run[i - 1].kind != "prep"]  # "on any of the"
    kinds = [m.kind for m in run[:3]]
    return kinds == ["condition", "prep", "component"] and not any(m.pause for m in run[:3])


def denies_ahead(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether "no cracks in the caps" opens: a denial whose noun phrase stands behind it."""
    for i in range(at + 1, min(at + 9, len(mentions))):
        if mentions[i].kind == "prep":
            after = [m.kind for m in mentions[i + 1 : i + 3] if m.kind != "det"]
            return bool(after) and after[0] in NOMINAL
        if mentions[i].led and mentions[i - 1].kind == "condition":
            return True
        leading = mentions[i - 1] if mentions[i - 1].kind != "det" else mentions[i - 2]
        if mentions[i].kind == "component" and leading.kind == "condition" and leading.last in LEADING:
            return not (mentions[i].gap or mentions[i].pause)  # "no trace of water round the pump"
        if mentions[i].kind not in ("condition", "or", "and", "no", "det") or mentions[i].pause == ".":
            return False
    return False
