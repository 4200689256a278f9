"""Whether a clause opens behind talk that says nothing of the appliance, or in the midst of a general remark.

In: a mention, the row, the clause so far. Out: yes or no, None where the rule has nothing to say. Not allowed to know: facts.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.ahead import (
    followed_by_predicate,
)
from fieldnote.extract.clauses.clause import (
    Clause,
    condition_told,
    trailing_if,
)
from fieldnote.extract.phrases.mention import NOMINAL, Mention

IT_IS = frozenset("its theyre hes shes".split())
_OFFERING = frozenset("do would shall".split())  # first words of an offer ("do you want that seal doing, it's split")
# "nothing to do with us, the plug's sound"
_NOBODYS = frozenset("me us gas job department business concern matter".split())
_GOING_ON = frozenset("okay ok right anyway".split())
_REMARK = 10  # words of a remark on all parts of a kind


def in_a_remark(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "A cracked electrode gives you a weak spark", "make sure the knob's not loose": what a general remark speaks of."""
    remark = next((m for m in clause.mentions if m.kind == "general"), None)
    if remark is not None and mention.kind == "mark" and mention.first in _GOING_ON and mentions[at + 1 : at + 2]:
        # "on bottled gas, okay, hob"
        return True if mentions[at + 1].kind in NOMINAL and not mentions[at + 1].gap else None
    if remark is not None and remark.id == "habit" and clause.said and mention.this_one:
        return True  # "bayonets do weep this one doesn't"
    if remark is not None and mention.done and mention.owned and clause.said and remark.id != "habit":
        return True  # "you get a spark one time in three, I gave it a clean"
    if remark is None or mention.pause or (mention.kind == "place" and "-" in mention.id):
        return None
    row = [m for m in clause.mentions if m.kind != "det"]
    if remark.last in ("where", "with") and mention.kind in NOMINAL and not mention.gap and not clause.said:
        return False  # "I've seen hobs where all four taps leak"
    if _advised_on(remark, mention, clause):
        return False
    led = row[-1] is remark and mention.kind == "component" and not (mention.gap or clause.mentions[-1].gap)
    return False if led or (remark.id == "habit" and mention.start - remark.start <= _REMARK) else None


def _advised_on(remark: Mention, mention: Mention, clause: Clause) -> bool:
    """ "You want to keep that window open when you cook": one verb stands between the advice and what it is about."""
    at = clause.mentions.index(remark)
    row = [*clause.mentions[at + 1 :], mention]
    pointed = [m.kind for m in row[:-1]] in (["det"], ["pronoun"]) and row[0].first not in IT_IS
    return (
        remark.last == "to"
        and pointed
        and mention.kind == "component"
        and row[0].gap == 1
        and not (mention.gap or any(m.pause for m in row))
    )


def behind_idle(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """A name of which something is said, behind talk that says nothing of the appliance."""
    if mention.kind == "place" and "-" in mention.id and any(m.kind == "idle" for m in clause.mentions):
        return True
    if mention.kind == "decline" and any(m.kind == "idle" for m in clause.mentions):
        return True  # "I can fit one today he said leave it"
    if mention.kind in ("pronoun", "them") and clause.mentions[-1].id == "cannot-tell":
        return True  # "might be the magnet i don't know it drops out"
    if (
        mention.kind == "mark"
        and mention.first == "so"
        and mentions[at + 1 : at + 2]
        and mentions[at + 1].kind == "work"
    ):
        # "I can get me finger through, so I've capped it"
        return any(m.kind == "idle" for m in clause.mentions) or None
    offer = next((m for m in clause.mentions if m.kind == "idle" and m.first in _OFFERING), None)
    if offer is not None and mention.kind == "pronoun" and mention.first in IT_IS:
        noun = mentions[at + 1] if at + 1 < len(mentions) else None
        return (
            noun is not None and noun.kind == "condition" and not noun.fit and clause.mentions[-1].kind == "component"
        )
    if mention.kind in NOMINAL and any(m.kind in ("idle", "general") for m in clause.mentions):
        weak = mention.kind == "component" and not mention.strong and clause.mentions[-1].kind != "pronoun"
        weak = weak and not any(m.kind == "idle" and m.last in _NOBODYS for m in clause.mentions)
        if any(m.kind == "general" and m.last == "for" for m in clause.mentions) and clause.mentions[-1].first in (
            "a",
            "an",
        ):
            return False  # "what do we look for on a cap, chips and cracks"
        if clause.mentions[-1].kind == "if" and not (mention.gap or mention.pause):
            return False  # "I always say if the flame's yellow you open the windows"
        return followed_by_predicate(at, mentions) and not weak  # "you have to lift it to close it, hinges worn"
    if mention.kind in NOMINAL and any(m.kind == "decline" for m in clause.mentions):
        offered = [m.kind for m in clause.mentions[-2:]] == ["decline", "det"] and clause.mentions[-1].first in (
            "a",
            "an",
        )
        if offered and not (mention.pause or clause.mentions[-1].pause):
            return False  # "landlord's refused a new thermocouple, it's weak"
        told = mentions[at + 1] if at + 1 < len(mentions) else mention
        label = (
            mention.kind == "component"
            and told.kind == "condition"
            and told.pause == ","
            and mentions[at - 1].kind != "det"
        )
        # "she'll not hear of it, grill burner's greasy", "offered and declined case seal: fine"
        return label or followed_by_predicate(at, mentions)
    apart = mention.pause or (mentions[at - 1].kind == "det" and mentions[at - 1].pause)
    if mention.kind == "component" and mention.strong and apart and trailing_if(clause):
        return followed_by_predicate(at, mentions)  # "wouldn't catch if you begged it: the jet was packed with grease"
    unless = clause.mentions[0].first == "unless" and len(clause.mentions) == 1 and mention.gap > 1
    if mention.kind == "component" and (unless or condition_told(clause)) and mention.strong:
        return followed_by_predicate(at, mentions)  # "unless you hold the knob in, the thermocouple was loose"
    return None
