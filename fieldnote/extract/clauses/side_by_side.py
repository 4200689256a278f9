"""Whose a corner is that stands between two statements of run-on talk: "knob loose front left the others fine". In: the name
where it stands, the clause so far. Out: whether it opens a clause, or None. Not allowed to know: what words are names of.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.ahead import followed_by_predicate
from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.phrases.mention import Mention

_DOES_SOMETHING = frozenset("but and pronoun condition not prep".split())  # behind a verb that nobody knows
_TELLING_ON = frozenset(
    "component condition be not no need size pronoun reading same also".split()
)  # what is told of a corner before it


def side_by_side(
    mention: Mention, behind: Mention, at: int, mentions: Sequence[Mention], clause: Clause
) -> bool | None:
    """A corner between two statements: whose it is where what follows has a place of its own, or is all the others."""
    if _across_from(mention, behind, at, mentions) or _which_is(mention, behind, at, mentions):
        return True
    near = behind is mentions[at - 1] and not (mention.gap or mention.pause or behind.clitic)
    after = mentions[at + 1 : at + 4]
    if mention.kind == "component" and near and _is_corner(behind) and not behind.led and at > 1:
        # "knob missing back right knob front right's loose"
        told = at > 1 and mentions[at - 2].kind == "condition" and not _placed_before(behind, clause)
        own = bool(after) and _is_corner(after[0]) and not after[0].pause
        return True if told and own and (after[0].clitic or followed_by_predicate(at + 1, mentions)) else None
    if not _is_corner(mention) or mention.clitic or not near or behind.kind != "condition" or mention.led:
        return None
    if _placed_before(mention, clause) or not any(m.kind == "component" for m in clause.mentions):
        return None
    rest = after[1:2] if after and after[0].kind == "det" else after[:1]
    if rest and rest[0].id in ("others", "rest") and not (after[0].gap or after[0].pause):
        return False  # "knob loose front left the others fine"
    own = [m.kind for m in after[:2]] == ["component", "place"] and _is_corner(after[1])
    if own and not any(m.gap or m.pause for m in after[:2]) and not after[0].clitic:
        # "knob missing back right knob front right loose"
        return False if after[1].clitic or followed_by_predicate(at + 2, mentions) else None
    return False if _corners_last(at + 1, mentions) else None


def _corners_last(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Cap cracked front left tap stiff back right lead nicked back left": who tells each corner behind its fault, as the
    last one shows, of which nothing more is told."""
    start = at
    while [m.kind for m in mentions[at : at + 3]] == ["component", "condition", "place"] and _is_corner(
        mentions[at + 2]
    ):
        if any(m.gap or m.pause for m in mentions[at : at + 3]) or mentions[at + 2].clitic:
            return False
        at += 3
    end = mentions[at] if at < len(mentions) else None
    return at > start and (end is None or bool(end.pause) or end.kind not in _TELLING_ON)


def _is_corner(mention: Mention) -> bool:
    return mention.kind == "place" and "-" in mention.id


def _placed_before(mention: Mention, clause: Clause) -> bool:
    """Whether the clause has a place already, or stands under one."""
    return clause.heading or any(m.kind in ("place", "group") and m is not mention for m in clause.mentions)


def _which_is(mention: Mention, behind: Mention, at: int, mentions: Sequence[Mention]) -> bool:
    """ "All good except the back left that's stiff and the front right which is seized"."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    joined = behind.kind == "and" and _is_corner(mention) and not behind.pause
    which = after is not None and after.kind == "pronoun" and after.first in ("which", "that", "thats", "whichs")
    return joined and which and after is not None and not (after.gap or after.pause)


def _across_from(mention: Mention, behind: Mention, at: int, mentions: Sequence[Mention]) -> bool:
    """ "Nowt up with the back two front right clicks in but won't stay in": the other row, a verb behind."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    corner = mention.kind == "place" and "-" in mention.id and not (mention.gap or mention.pause)
    pair = (
        behind.kind == "group"
        and mentions[at - 1] is behind
        and "-" in behind.id
        and mention.id not in behind.id.split()
    )
    does = after is not None and 0 < after.gap <= len(("clicks", "in")) and not after.pause
    return corner and pair and does and after is not None and after.kind in _DOES_SOMETHING
