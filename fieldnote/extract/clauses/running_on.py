"""Where one statement ends and the next begins in talk without marks. In: a mention, the row, the clause so far. Out: whether a
clause opens, None where the rule has nothing to say.

What marks would show is read off words alone: of what was named last all has been said, and of the next name something follows.
Not allowed to know: facts.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.clauses.ahead import followed_by_predicate, told_next
from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.phrases.mention import NOMINAL, Mention

# kinds that lead to what follows them
_LEADING = frozenset("prep det and or but mark except report hedge if general need not no when past idle ask".split())
_ACROSS = {"left": "right", "right": "left"}
_OPEN = frozenset("correct take-back swap hedge report if general same except".split())
_WANTING = frozenset("needs need needing needin wants want wanting wantin requires".split())
_AHEAD = 45  # mentions beyond the one in hand that rules look at
_LEDTO = 3  # words behind a preposition of which the first are what it leads to ("ring the office lounge fire")
_ITS = frozenset("its their the a".split())
_I_SHALL = frozenset("ill i id well we im".split())
_PUTTING = frozenset("put stuck popped fitted got".split())
_IT = frozenset("it its that thats".split())
_COOKING = frozenset("oven grill door hob".split())  # first words of a part of a cooker that sits at no burner
_WHOLE_BURNER = frozenset("burner burners ring".split())  # last words of a burner that is named in full


def opens(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """What the first rule says that knows. Where one would open a clause without a mark, it does so behind a comma and behind
    "and" too: they part no less."""
    for rule in RULES:
        verdict = rule(mention, at, mentions, clause)
        if verdict is not None:
            return verdict
    return _parted(mention, at, mentions, clause)


def _parted(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """What the rules say once the comma or "and" right before a mention is away."""
    articles = sum(m.kind == "det" for m in clause.mentions[-1:])
    joint = len(clause.mentions) - 1 - articles
    joined = joint > 0 and clause.mentions[joint].kind == "and" and not clause.mentions[joint].gap
    marked = any(m.pause == "," for m in [mention, *clause.mentions[len(clause.mentions) - articles :]])
    if not (joined or marked) or mention.kind not in NOMINAL:
        return None
    first = max(at - len(clause.mentions), 0)
    row = list(mentions[first : at + _AHEAD])
    for near in range(at - first - articles, at - first + 1):
        row[near] = replace(row[near], pause=row[near].pause.replace(",", ""))
    here = at - first
    said = list(clause.mentions)
    if joined:
        del row[here - 1 - articles], said[joint]
        here -= 1
    if articles:
        said[-1] = replace(said[-1], pause="")
    bare = Clause(said, clause.joint, clause.cut, clause.heading, clause.labels)
    told = (rule(row[here], here, row, bare) for rule in RULES)
    return True if any(told) else None


def somebody_else(mention: Mention, _at: int, _row: Sequence[Mention], clause: Clause) -> bool | None:
    """ "The back pair are lovely somebody's rested a pan on the lid and it's cracked": a person begins what is told next."""
    if not mention.somebody or not clause.said or mention.pause or mention.kind not in NOMINAL | {"prep", "det"}:
        return None
    return None if clause.mentions[-1].kind in _LEADING else True


def behind_what_is_wanted(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "It needs the whole tap left oven seal's perished", "it's a new magnet it wants rear right holds in": the part that is
    wanted has been named, and of the next one something is told."""
    row = clause.mentions[-4:]
    kinds = [m.kind for m in row]
    if mention.done and mention.owned and kinds[-3:] == ["need", "det", "component"] and not mention.pause:
        return True  # "so that wants a burner I've disconnected the grill"
    if mention.kind not in NOMINAL or mention.led or mention.gap or mention.pause or clause.said:
        return None
    if mention.kind == "component" and not mention.strong:
        return None
    behind_it = kinds[-3:] == ["component", "pronoun", "need"] and row[-2].first in ("it", "that")
    behind_it = behind_it and not (row[-1].gap or row[-2].gap)
    wanted = kinds[-3:] == ["need", "det", "component"] or kinds[-2:] == ["need", "component"]
    need = next((m for m in reversed(row) if m.kind == "need"), None)
    led = kinds[-3:] == ["need", "det", "component"] and row[-2].first in ("a", "an", "another")  # "it needs a catch"
    wanted = wanted and need is not None and need.first in _WANTING and row[-1].gap < 2 and (row[-1].strong or led)
    if not (behind_it or wanted):
        return None
    if wanted and mention.kind == "component" and not (led and mention.clitic and mention.id != row[-1].id):
        return None  # "needs a new burner cap"
    return True if _told(at, mentions) else None


def behind_a_burner_that_is_wanted(
    mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause
) -> bool | None:
    """ "It wants a new grill burner oven lights fine": the burner that is wanted has been named in full."""
    row = clause.mentions[-2:]
    wanted = [m.kind for m in row] == ["work", "size"] and row[0].senses[0].note == "needed" and not row[1].clitic
    if not wanted or row[1].last not in _WHOLE_BURNER or mention.kind not in NOMINAL or mention.gap or mention.pause:
        return None
    figure = [m.kind for m in mentions[at + 1 : at + 3]] == ["component", "reading"]
    return True if figure or _told(at, mentions) else None


def one_and_one(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Electrodes: there's a pair, one's cracked, one's fine": each of the two is told of by itself."""
    row = [m for m in mentions[at : at + 4] if m.kind not in ("and", "but")]
    behind = [m.kind for m in clause.mentions if m.kind not in ("and", "but", "det")]
    if mention.first in ("one", "ones") and behind == ["one", "condition"] and not mention.gap:
        told = mentions[at + 1] if at + 1 < len(mentions) else None
        return True if told is not None and told.kind == "condition" and not told.gap else None
    each = [m.kind for m in row[:2]] == ["one", "condition"] and mention.first in ("one", "ones") and not row[1].gap
    if not each or clause.said or mention.start + 1 != mention.end:
        return None
    other = row[2] if len(row) > 2 else None
    return (
        True
        if other is not None and other.kind == "one" and any(m.kind == "component" for m in clause.mentions)
        else None
    )


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
    if mention.led or mention.gap or mention.pause:
        return None
    if mention.kind == "group" and mention.id == "rest":
        return True if followed_by_predicate(at, mentions) else None  # "I'll order a magnet unit other three hold in"
    named = mention.kind in ("place", "size", "appliance")
    return True if named and mention.clitic and told_next(at, mentions) else None


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


def it_is_not_the_part(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "It isn't the stat the flame failure device had seized": which part it is not has been said."""
    row = clause.mentions[-5:]
    while row and row[-1].kind == "det":
        row = row[:-1]
    not_it = [m.kind for m in row[-4:]] == ["pronoun", "not", "det", "component"] and row[-4].first in _IT
    if not not_it or row[-1].clitic or mention.kind not in NOMINAL or mention.led or mention.gap or mention.pause:
        return None
    if mention.kind == "component" and not (mention.strong and mention.id != row[-1].id):
        return None
    return True if _told(at, mentions) else None


def named_instead(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Scrub that, knob, not spindle hose is fine": one part for another, and the next has its own news."""
    row = clause.mentions[-3:]
    instead = [m.kind for m in row] == ["component", "not", "component"] and row[1].first == row[1].last == "not"
    if not instead or any(m.gap for m in row[1:]) or row[2].clitic or mention.kind != "component" or clause.said:
        return None
    return True if mention.strong and not (mention.gap or mention.pause) and _told(at, mentions) else None


def appliance_as_heading(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "He's to ring the office lounge fire, coals aren't sooted": an appliance with a mark behind it, and its part."""
    part = at + 1 if at + 1 < len(mentions) else at
    if mention.kind != "appliance" or mention.led or mention.pause or mentions[part].pause != ",":
        return None
    over = clause.said or any(m.kind == "if" for m in clause.mentions)
    led = clause.mentions[-1].kind in _LEADING | {"work", "need", "decline", *NOMINAL}
    elsewhere = clause.mentions[-1].kind == "prep" and mention.gap >= _LEDTO
    if not elsewhere and (led or not over):
        return None
    part += mentions[part].kind == "det" and part + 1 < len(mentions)
    named = mentions[part].kind == "component" and mentions[part].strong
    return True if named and followed_by_predicate(part, mentions) else None


def behind_the_whereabouts(mention: Mention, _at: int, _row: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Slot-in cooker two up on the left oven door won't shut", "end terrace kitchen at the back front right electrode's bent":
    where the house or its kitchen is, told by words that nobody knows."""
    if (
        mention.kind not in ("place", "component", "appliance")
        or mention.led
        or mention.gap
        or mention.pause
        or clause.said
    ):
        return None
    where = clause.mentions[-1]
    unknown = where.kind == "place" and where.led and where.gap > 1 and "-" not in where.id
    # not "hob, over on the left cap's cracked"
    named = (
        all(m.kind in ("appliance", "mark", "det", "and") for m in clause.mentions[:-1]) and len(clause.mentions) > 1
    )
    whole = mention.kind != "component" or (mention.strong and mention.first in _COOKING)
    corner = mention.kind != "place" or "-" in mention.id
    return True if unknown and named and whole and corner else None


def of_another_thing(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "I've put it back on the markings on the knob are worn": work with its object, and the name of a thing that nobody knows,
    with the part that it is on and what is said of it."""
    row = mentions[at : at + 6]
    if mention.kind != "det" or mention.first != "the" or mention.pause or len(row) < 4 or row[1].gap != 1:
        return None
    if row[1].kind != "prep" or row[1].first not in ("on", "of") or clause.mentions[-1].kind not in ("pronoun", "work"):
        return None
    part = next((i for i, m in enumerate(row[2:], 2) if m.kind not in ("det", "appliance", "place", "size")), 0)
    near = part and row[part].kind == "component" and not any(m.gap or m.pause for m in row[2 : part + 1])
    done = any(m.done for m in clause.mentions[-3:])
    return True if near and done and followed_by_predicate(at + part, mentions) else None


def a_pair_next(_mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "She'd rather leave it as it is burner and flame both good": two parts of which one thing is said."""
    row = mentions[at : at + 4]
    pair = [m.kind for m in row[:3]] == ["component", "and", "component"] and len(row) > 3
    if not pair or any(m.gap or m.pause for m in row) or clause.mentions[-1].kind in _LEADING | {"work", *NOMINAL}:
        return None
    return True if row[3].id == "last-two" or row[3].first in ("are", "were") else None


def what_i_shall_do(mention: Mention, _at: int, _row: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Grill burner's fine I'll send her a quote for the catch": what is fine wants nothing."""
    last = clause.mentions[-1]
    denied = last.kind == "condition" and len(clause.mentions) > 1 and clause.mentions[-2].kind == "not"
    fit = (last.fit or denied) and not (mention.gap or mention.pause)
    return True if fit and mention.kind == "need" and mention.first in _I_SHALL else None


def no_fault_found(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "It held so no fault found window over the sink is painted shut": what was found has been said."""
    found = (
        clause.mentions[-1].kind == "own" and clause.mentions[-1].first == "no" and clause.mentions[-1].last == "found"
    )
    return (
        True if found and mention.kind in NOMINAL and not (mention.gap or mention.led) and _told(at, mentions) else None
    )


def not_any_more(_mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Last year they had the exchanger cleaned not dirty now": work of another day, and how it is today."""
    row = mentions[at : at + 3]
    today = [m.kind for m in row] == ["not", "condition", "now"] and not any(m.gap or m.pause for m in row[1:])
    return True if today and (clause.mentions[-1].done or clause.mentions[-1].kind == "past") else None


def appliance_with_its_verb(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "It's an older one and never had it the oven's electric": an appliance and its verb, whatever is said of it."""
    article = clause.mentions[-1].kind == "det" and clause.mentions[-1].first == "the" and len(clause.mentions) > 1
    if mention.kind != "appliance" or not (mention.clitic and article) or mention.gap or mention.pause or mention.led:
        return None
    if clause.mentions[-1].gap or clause.mentions[-2].kind in _LEADING | {"work", "be", "not"}:
        return None
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    return True if after is None or after.gap or after.kind in ("condition", "not") else None


def there_is_behind_the_unknown(mention: Mention, _at: int, _row: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Rear left never used there's a wasp nest in the venturi": what was found, behind a verb that nobody knows."""
    there = mention.kind == "be" and mention.first in ("theres", "there") and mention.gap and not mention.pause
    denied = any(m.kind == "not" for m in clause.mentions)
    return True if there and denied and clause.named and not clause.said else None


def new_one_on(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Put a new flex on plug's fine", "put a new knob on back left never lit": the new part is on, and the next has its own
    news."""
    row = clause.mentions[-3:]
    on = (
        [m.kind for m in row] == ["work", "component", "prep"]
        and row[2].first == "on"
        and not (row[1].gap or row[2].gap)
    )
    if not on or not row[0].done or mention.gap or mention.pause:
        return None
    if mention.kind == "place" and "-" in mention.id and row[0].first in _PUTTING and not mention.led:
        told = mentions[at + 1] if at + 1 < len(mentions) else None
        return True if told is not None and told.kind == "condition" and not (told.gap or told.pause) else None
    if row[0].last != "new" or mention.kind != "component":
        return None
    return True if mention.clitic and told_next(at, mentions) else None


def behind_what_i_lack(mention: Mention, _at: int, _row: Sequence[Mention], clause: Clause) -> bool | None:
    """ "It's the magnet which I haven't got the other two lit": what is not at hand ends in its verb."""
    row = clause.mentions[-3:]
    lacking = (
        [m.kind for m in row] == ["pronoun", "not", "be"] and row[0].first in ("which", "that") and row[1].gap == 1
    )
    if not lacking or row[2].first not in ("got", "have") or mention.kind not in ("place", "group") or mention.pause:
        return None
    return True


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
    what_i_shall_do,
    no_fault_found,
    not_any_more,
    appliance_with_its_verb,
    somebody_else,
    one_and_one,
    behind_what_is_wanted,
    behind_a_burner_that_is_wanted,
    appliance_anew,
    behind_what_is_ordered,
    all_then_one_by_one,
    it_is_the_part,
    it_is_not_the_part,
    named_instead,
    appliance_as_heading,
    behind_the_whereabouts,
    of_another_thing,
    there_is_behind_the_unknown,
    new_one_on,
    behind_what_i_lack,
    another_corner,
    in_its_place,
    behind_where_it_is,
    told_one_by_one,
    the_other_wants_it,
    behind_a_part_it_came_off,
    behind_what_was_asked_for,
)
