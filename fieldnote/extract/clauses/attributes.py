"""Faults that stand before their part ("a cracked cap"). In: a place in the list of mentions. Out: yes or no.

Not allowed to know: the clause in hand.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.ahead import MENDS, followed_by_predicate, name_behind
from fieldnote.extract.phrases.mention import Mention

_THE = frozenset("the that this her his their".split())
_LYING = frozenset("lying laying lay sat sitting hanging dangling resting trapped".split())
# last words of a fault that stand before no noun
_MATTER = frozenset(
    "dusting coating layer film soot muck rust corrosion leak leaks crack cracks chip chips hole holes".split()
)
# verbs: what they say is said of a part before them ("wouldn't light, probe was white")
_VERBS = frozenset("wont wouldnt doesnt dont didnt isnt wasnt keeps kept".split())
_OF_FLAMES = frozenset({"flame", "burner", "burner-ring", "burner-head", "pilot"})


def attributive(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a condition stands before its own noun ("a cracked electrode")."""
    if mentions[at].kind != "condition" or at + 1 >= len(mentions):
        return False
    noun = mentions[at + 1]
    if mentions[at].last in _MATTER or mentions[at].first in _VERBS:
        return False  # "they had a light dusting, fan spins"
    if mentions[at].fit and mentions[at].end - mentions[at].start > 2:
        return False  # "nothing to moan about, gas hose"
    if noun.kind == "appliance" and noun.first in ("oven", "grill") and at + 2 < len(mentions) and not noun.gap:
        noun = mentions[at + 2]  # "a stiff oven tap"
    if noun.kind != "component" or noun.pause or noun.gap or not noun.strong or not _sayable(mentions[at], noun):
        return False
    if mentions[at].last == "the" and mentions[at].first in _LYING and noun.id == "appliance":
        return False  # "lying on the oven floor": where it lies
    behind = mentions[at - 1] if at else None
    if behind is not None and behind.kind == "no" and behind.first in ("nothing", "nowt"):
        return False  # "coals in place, nothing broken, chimney pulls"
    if behind is not None and behind.kind == "not" and not mentions[at].gap:
        return False  # "no kinks, not perished bayonet was leaking", "isn't leaking heat exchanger no cracks"
    if behind is not None and behind.kind == "no" and behind.last == "a":
        return True  # "it wasn't a blocked injector, it was a dirty burner"
    if behind is not None and behind.kind == "be" and behind.first in ("is", "are") and mentions[at].fit:
        return False  # "spark is good trap of condense is half of sand"
    after = next((m for m in mentions[at + 2 : at + 4] if m.kind != "be"), noun)
    # "that cracked electrode needs changing", "that cracked cap I'll order"
    wanted = after.kind == "need" or (after.kind == "work" and not (after.gap or after.pause))
    if behind is not None and behind.kind == "det" and (behind.id == "det" or wanted):
        return at < 2 or mentions[at - 2].kind != "be"  # "front left's got a split knob"
    if noun.id == "flame" and mentions[at].fit and at + 2 < len(mentions) and mentions[at + 2].kind == "place":
        return True  # "lights fine, nice flame, front right won't light"
    return not followed_by_predicate(at + 1, mentions) or _row_of_faulty(at, mentions)


def _row_of_faulty(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Rear left cracked cap dirty jet": each fault stands before its part, and nothing is said of the last part."""
    start = at
    while start > 1 and [m.kind for m in mentions[start - 2 : start]] == ["condition", "component"]:
        start -= 2
    # "rear right medium blocked jet"
    sized = start > 1 and mentions[start - 1].kind == "size" and not mentions[start - 1].clitic
    place = mentions[start - 1 - sized] if start else None
    same = place is not None and place.kind == "same"  # "rear left's the same, tiny flame dirty jet"
    if place is None or not (same or (place.kind == "place" and "-" in place.id and not place.clitic)):
        return False
    end = start
    while [m.kind for m in mentions[end : end + 2]] == ["condition", "component"]:
        part = mentions[end + 1]
        if any(m.gap or m.pause or m.fit for m in mentions[end : end + 2]) or part.last.endswith("s"):
            return False
        end += 2
    follows = mentions[end] if end < len(mentions) else None
    anew = follows is None or follows.pause == "." or follows.kind in ("and", "but", "mark")
    anew = anew or (follows is not None and follows.kind == "place" and "-" in follows.id)
    return anew and end > at


def _sayable(condition: Mention, noun: Mention) -> bool:
    """Whether a condition can be said of a part: "floppy and yellow" is said of no air hole that follows."""
    ids = {sense.id for sense in noun.senses}
    told = [_OF_FLAMES if sense.id in ("lifting", "yellow-tipping") else sense.of for sense in condition.senses]
    return any(of is None or bool(of & ids) for of in told)


def worked_on(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a condition says which part the work before it was done on ("replaced the cracked cap")."""
    behind = name_behind(at, mentions)
    if behind is None or not attributive(at, mentions):
        return False
    if behind.kind == "cured":  # "sorted the loose knob"
        the = mentions[at - 1]
        return behind.last in MENDS and the.kind == "det" and the.first in _THE and not the.pause
    if behind.kind != "work" or not behind.takes_object:
        return False
    return not any(mention.pause or mention.gap for mention in (mentions[at], mentions[at + 1]))


def a_faulty(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a name ends "a cracked cap": article, fault and part."""
    fault, part = mentions[at - 1] if at else None, mentions[at]
    if fault is None or fault.kind != "condition" or fault.fit or part.gap or part.pause or not part.strong:
        return False
    if fault.last in _MATTER or fault.first in _VERBS:
        return False
    before = mentions[at - 2] if at > 1 else None
    if before is not None and before.kind in ("place", "component", "size") and _row_of_faulty(at - 1, mentions):
        return True
    if before is None or before.kind == "and" or fault.pause:
        return before is None or before.kind != "and" or not _fault_next(at, mentions)
    if before.kind == "det" and fault.gap > 1 and at > 2 and mentions[at - 3].kind == "prep":
        return True  # "hob in the rented flat, loose knob"
    if before.kind == "det":
        return (before.first in ("a", "an", "one", "another") or fault.first == "wrong") and not fault.gap
    return before.kind == "be" and fault.gap > 0  # "hob's got two faults, cracked cap"


def _fault_next(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Kettling, and heat exchanger full of sludge": what stands before the part was said of something else."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    told = after is not None and after.kind in ("condition", "be", "not")
    return told and after is not None and not (after.gap or after.pause or after.fit)


def next_of_list(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a fault with its article goes on with a list ("a perished seal and a slack knob")."""
    joined = at > 1 and mentions[at - 1].kind == "det" and mentions[at - 1].first in ("a", "an")
    return joined and mentions[at - 2].kind == "and" and not mentions[at - 1].gap
