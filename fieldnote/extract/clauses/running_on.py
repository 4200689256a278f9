"""Where one statement ends and the next begins in talk without marks. In: a mention, the row, the clause so far. Out: whether a
clause opens, None where the rule has nothing to say.

What marks would show is read off words alone: of what was named last all has been said, and of the next name something follows.
Not allowed to know: facts.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.ahead import followed_by_predicate, told_next
from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.phrases.mention import NOMINAL, Mention

# kinds that lead to what follows them
_LEADING = frozenset("prep det and or but mark except report hedge if general need not no when past idle ask".split())
_ACROSS = {"left": "right", "right": "left"}
_OPEN = frozenset("correct take-back swap hedge report if general same except".split())
_WANTING = frozenset("needs need wants want requires".split())
_ITS = frozenset("its their the a".split())
_WHOLE_BURNER = frozenset("burner burners ring".split())  # last words of a burner that is named in full


def somebody_else(mention: Mention, _at: int, _row: Sequence[Mention], clause: Clause) -> bool | None:
    """ "The back pair are lovely somebody's rested a pan on the lid and it's cracked": a person begins what is told next."""
    if not mention.somebody or not clause.said or mention.pause or mention.kind not in NOMINAL | {"prep", "det"}:
        return None
    return None if clause.mentions[-1].kind in _LEADING else True


def behind_what_is_wanted(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "It needs the whole tap left oven seal's perished", "it's a new magnet it wants rear right holds in": the part that is
    wanted has been named, and of the next one something is told."""
    if mention.kind not in NOMINAL or mention.led or mention.gap or mention.pause or clause.said:
        return None
    if mention.kind == "component" and not mention.strong:
        return None
    row = clause.mentions[-4:]
    kinds = [m.kind for m in row]
    behind_it = kinds[-3:] == ["component", "pronoun", "need"] and row[-2].first in ("it", "that")
    behind_it = behind_it and not (row[-1].gap or row[-2].gap)
    wanted = kinds[-3:] == ["need", "det", "component"] or kinds[-2:] == ["need", "component"]
    need = next((m for m in reversed(row) if m.kind == "need"), None)
    wanted = wanted and need is not None and need.first in _WANTING and row[-1].gap < 2 and row[-1].strong
    if not (behind_it or wanted):
        return None
    if wanted and mention.kind == "component":
        return None  # "needs a new burner cap"
    return True if _told(at, mentions) else None


def appliance_anew(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Capped off the cooker and left a notice oven tap's sound", "a couple of feet missing that's all oven lights": words that
    nobody knows, and an appliance of which something is told."""
    enough = 2  # words of a thing and its verb
    if mention.kind != "appliance" or mention.gap < enough or mention.pause or not (clause.said or clause.named):
        return None
    if clause.mentions[-1].kind in _LEADING - {"and"}:
        return None
    part = mentions[at + 1] if at + 1 < len(mentions) else None
    close = part is not None and not (part.gap or part.pause)
    told = (
        close
        and part is not None
        and (part.fit or (part.kind == "component" and followed_by_predicate(at + 1, mentions)))
    )
    return True if told else None


def behind_what_is_ordered(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "I'll order the proper jet grill burner's okay": all that the clause holds is what was worked on before it."""
    start = at - len(clause.mentions)
    if start < 1 or [m.kind for m in clause.mentions] != ["det", "component"] or clause.mentions[1].clitic:
        return None
    if mentions[start - 1].kind != "work" or mentions[start].gap or mentions[start].pause:
        return None
    if mention.kind not in ("place", "size", "appliance") or mention.led or mention.gap or mention.pause:
        return None
    return True if mention.clitic and told_next(at, mentions) else None


def all_then_one_by_one(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "I checked all the electrodes front left's fine": all of them were looked at, and then each is told of."""
    row = [m for m in clause.mentions if m.kind != "det"]
    all_ = [m.kind for m in row[-2:]] == ["place", "component"] and row[-2].id == "all" and row[-1].plural
    if not all_ or clause.mentions[0].kind not in ("own", "work") or mention.gap or mention.pause or mention.led:
        return None
    corner = mention.kind == "place" and "-" in mention.id
    return True if corner and _told(at, mentions) else None


def it_is_the_part(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Electrode's fine it's the lead rear left is fine", "that's a new stat grill burner has a hole in it": which part it
    is says all there is to say of it."""
    if mention.kind not in ("place", "size", "appliance") or mention.led or mention.gap or mention.pause or clause.said:
        return None
    row = clause.mentions[-3:]
    it_is = [m.kind for m in row] == ["pronoun", "det", "component"] and row[0].first in ("its", "thats")
    told = it_is and not (row[1].gap or row[2].clitic) and row[2].gap <= (row[1].first != "the")
    if not told or (mention.kind == "place" and "-" not in mention.id):
        return None
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    relative = after is not None and after.first in (
        "thats",
        "which",
        "that",
    )  # "it's the cap front left that's cracked"
    whole = mention.kind == "size" and mention.last.removesuffix("s") not in _WHOLE_BURNER
    return True if not (relative or whole) and _told(at, mentions) else None


def there_is_behind_the_unknown(mention: Mention, _at: int, _row: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Rear left never used there's a wasp nest in the venturi": what was found, behind a verb that nobody knows."""
    there = mention.kind == "be" and mention.first in ("theres", "there") and mention.gap and not mention.pause
    denied = any(m.kind == "not" for m in clause.mentions)
    return True if there and denied and clause.named and not clause.said else None


def new_one_on(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Put a new flex on plug's fine": the new part is on, and the next has its own news."""
    row = clause.mentions[-3:]
    on = (
        [m.kind for m in row] == ["work", "component", "prep"]
        and row[2].first == "on"
        and not (row[1].gap or row[2].gap)
    )
    if not on or not row[0].done or row[0].last != "new" or mention.kind != "component" or mention.gap or mention.pause:
        return None
    return True if mention.clitic and told_next(at, mentions) else None


def another_corner(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Rear left ring's been bodged with a bit of wire front right won't light": of the one corner something was said in words
    that nobody knows, and the next has its own news."""
    if mention.kind != "place" or mention.led or mention.pause or clause.said:
        return None
    row = [m for m in clause.mentions if m.kind != "det"]
    if "-" not in mention.id and (not row or _ACROSS.get(mention.id) != row[0].id):
        return None
    corners = [m for m in row if m.kind in ("place", "group")]
    named = len(row) > 1 and row[0].kind == "place" and row[1].kind == "component" and len(corners) == 1
    if not named or corners[0].id == mention.id or clause.kinds() & _OPEN or mentions[at - 1].kind in _LEADING:
        return None
    unknown = bool(mention.gap) or any(m.gap for m in row[2:])
    return True if unknown and _told(at, mentions) else None


def in_its_place(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Phial's in its clip oven flame's lovely": of the first part something is said in words that nobody knows, and of the
    next one in words that are known."""
    if mention.kind not in NOMINAL or mention.led or mention.pause or not mention.gap or clause.said:
        return None
    row = [m for m in clause.mentions if m.kind not in ("and", "mark", "place", "size", "appliance")]
    if len(row) != 3 or row[0].kind != "component" or not row[0].clitic or row[1].kind != "prep":
        return None
    where = row[2].kind in ("pronoun", "det") and row[2].first in _ITS and not (row[1].gap or row[2].gap)
    if not where or (mention.kind == "component" and (not mention.strong or mention.id == row[0].id)):
        return None
    return True if _told(at, mentions) else None


def behind_where_it_is(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "She's got a roast in it plug's scorched": words that nobody knows, "in it", and a part with its own news."""
    row = clause.mentions[-2:]
    led = [m.kind for m in row] == ["prep", "pronoun"] and row[1].first == "it" and not row[1].gap
    if not led or mention.kind != "component" or not mention.clitic or mention.gap or mention.pause or clause.said:
        return None
    unknown = row[0].gap > 0 and any(m.kind in ("be", "pronoun", "mark") for m in clause.mentions[:-2])
    named = any(m.kind == "component" for m in clause.mentions)
    return True if unknown and not named and told_next(at, mentions) else None


def told_one_by_one(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Two of them yellow front right and rear right front right it was the venturi": the places of what was said, and then the
    first of them with what was wrong there."""
    if mention.kind != "place" or "-" not in mention.id or mention.led or mention.gap or mention.pause:
        return None
    row = mentions[at : at + 4]
    pair = [m.kind for m in row] == ["place", "and", "place", "place"] and not any(m.gap or m.pause for m in row[1:])
    if pair and row[3].id == mention.id and mentions[at - 1].kind == "condition":
        return False
    said_of = [m.id for m in clause.mentions if m.kind == "place"]
    it = mentions[at + 1] if at + 1 < len(mentions) else None
    again = clause.said and mentions[at - 1].kind == "place" and mention.id in said_of[:-1]
    return True if again and it is not None and it.kind in ("pronoun", "component", "det") and not it.gap else None


def the_other_wants_it(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "I've greased it and that's free other one wants doing next visit": of the other one work is told that it needs."""
    if (
        mention.kind != "group"
        or mention.id != "rest"
        or mention.led
        or mention.gap
        or mention.pause
        or not clause.said
    ):
        return None
    wanted = mentions[at + 1] if at + 1 < len(mentions) else None
    if wanted is None or wanted.gap or wanted.pause or clause.mentions[-1].kind not in ("condition", "cured", "now"):
        return None
    return True if wanted.kind == "need" or (wanted.kind == "work" and wanted.senses[0].note == "needed") else None


def behind_a_part_it_came_off(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "The numbers have rubbed off the oven knob oven burner's spot on": a fault and the part it is on, then a whole burner."""
    whole = mention.kind == "size" and mention.last.removesuffix("s") in _WHOLE_BURNER
    if not whole or mention.gap or mention.pause or not clause.said or at < 2:
        return None
    part = mentions[at - 1]
    return True if part.kind == "component" and part.strong and not part.gap and _told_or_joined(at, mentions) else None


def behind_what_was_asked_for(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "She asked me to look at the oven door seal's worn flat": what he was to look at, and what he saw of it."""
    row = [m for m in clause.mentions if m.kind != "det"]
    asked = [m.kind for m in row[-2:]] in (["report", "appliance"], ["report", "component"]) and row[
        -2
    ].id == "asked-to-see"
    if not asked or mention.kind != "component" or not mention.strong or mention.gap or mention.pause:
        return None
    return True if mention.clitic and told_next(at, mentions) else None


def _told(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether something is said of a name by what follows."""
    if mentions[at].clitic and told_next(at, mentions):
        return True
    return followed_by_predicate(at, mentions)


def _told_or_joined(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether something is said of a name, or of it and another ("oven burner and its flame are right")."""
    return _told(at, mentions) or [m.kind for m in mentions[at + 1 : at + 3]] == ["and", "det"]


RULES = (
    somebody_else,
    behind_what_is_wanted,
    appliance_anew,
    behind_what_is_ordered,
    all_then_one_by_one,
    it_is_the_part,
    there_is_behind_the_unknown,
    new_one_on,
    another_corner,
    in_its_place,
    behind_where_it_is,
    told_one_by_one,
    the_other_wants_it,
    behind_a_part_it_came_off,
    behind_what_was_asked_for,
)
