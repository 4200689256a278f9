"""What stands around one mention of a talk: whether something is said of it, whether it stands before its own noun, whether a
place ends what was said. In: a place in the list of mentions. Out: yes or no.

Not allowed to know: how the talk was cut into clauses, but for the one in hand.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.phrases.mention import NOMINAL, Mention

# last words of what is cured
MENDS = frozenset("sorted cured resolved rectified right with to fixed mended good".split())
ITSELF = frozenset("itself themselves".split())  # last words of a name that is whole
_SHE_IS = frozenset("shes hes theyre theyve".split())  # a person, and what that one does
_ANEW = frozenset("same ditto likewise exactly did done the".split())  # begin what was done once more
_COOKING = frozenset({"oven", "grill", "hob"})
_TURNING = frozenset("in on with at inside under".split())  # what leads to the oven or grill that is spoken of next
_SOMEBODY = frozenset("he she they we".split())
_TAGS = frozenset("is are was were has have does do did will".split())
AHEAD = 40  # mentions looked at beyond the one in hand: nobody says more in one statement, and the time stays linear
# last words of a wording that lead to its part ("nest built in the flue"), and those that do so with an article only
LEADING = frozenset(
    "off from to of on in round at the past over under behind across through onto into against around".split()
)
_IS_OR_WAS = frozenset("is was".split())


def new_object(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """Whether work stands before a part with its article that the clause has not named."""
    row = [m for m in mentions[at + 1 : at + 4] if m.kind not in ("place", "size")][:2]
    if len(row) < 2 or [m.kind for m in row] != ["det", "component"] or any(m.gap or m.pause for m in row):
        return False
    named = {sense.id for m in clause.mentions if m.kind == "component" for sense in m.senses}
    told = bool(named) or clause.mentions[0].kind == "pronoun"
    return told and row[1].strong and not named & {sense.id for sense in row[1].senses}


def at_a_part(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a preposition and a part stand right behind."""
    row = [m for m in mentions[at + 1 : at + 6] if m.kind not in ("det", "place", "size")][:2]
    led = len(row) == 2 and row[0].kind == "prep" and row[0].id == "prep" and not any(m.pause or m.gap > 1 for m in row)
    return led and row[1].kind == "component" and row[1].strong


def pair_told(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether two places follow of which one thing is said ("no spark, rear left and rear right both good")."""
    row = mentions[at : at + 4]
    told = (
        [m.kind for m in row[:3]] == ["place", "and", "place"] and len(row) == 4 and not any(m.pause for m in row[1:])
    )
    return told and (row[3].id == "last-two" or row[3].first in ("are", "were"))


def is_tail(at: int, mentions: Sequence[Mention]) -> bool:
    """ "It's got a crack has its electrode", "they're stiff are them taps": the subject, told behind what is said of it."""
    if mentions[at].kind not in ("component", "appliance") or at < 2:
        return False
    verb = at - 1 - (mentions[at - 1].kind in ("det", "pronoun", "them"))
    said = mentions[verb - 1] if verb > 0 else None
    near = not any(m.gap or m.pause for m in mentions[max(verb, 0) : at + 1])
    tag = mentions[verb].kind in ("be", "does", "need") and mentions[verb].first in _TAGS
    if said is None or not near or not tag:
        return False
    return said.kind == "condition" or (said.kind == "work" and mentions[verb].first in ("does", "do", "will"))


def spoken_of_next(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Checked the lead, that's fine": a name behind words that nobody knows, and what is said of it by a pronoun."""
    unknown = mentions[at].gap or (mentions[at - 1].kind == "det" and mentions[at - 1].gap)
    after = [m.kind for m in mentions[at + 1 : at + 3] if not m.gap]
    told = after in (["pronoun", "condition"], ["pronoun", "be"], ["pronoun", "not"])
    return bool(unknown) and told and mentions[at + 1].first in ("thats", "that", "its", "it", "which")


def one_of_them(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Both regreased, one still passing": one of those that were just spoken of."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    close = at > 0 and mentions[at].gap == 0 and mentions[at - 1].kind in ("work", "condition", "group", "now", "cured")
    told = after is not None and not after.gap and not after.pause and after.kind in ("condition", "be", "still")
    it = at > 1 and mentions[at].gap in (1, 2) and [m.kind for m in mentions[at - 2 : at]] == ["work", "pronoun"]
    close = close or (
        it and told and after is not None and after.kind == "condition"
    )  # "set it square, same one goes out"
    return (close and told and mentions[at].first == "one") or _one_is_not(at, mentions)


def _one_is_not(at: int, mentions: Sequence[Mention]) -> bool:
    """ "All the caps sound, one's chipped, back left", "three fine and one's weak": one of those that were just praised."""
    behind = at - 1 - (at > 1 and mentions[at - 1].kind in ("and", "but"))
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    article = after is not None and ((after.kind, after.first) == ("det", "a") or after.first in _IS_OR_WAS)
    fault = mentions[at + 1 + article] if at + 1 + article < len(mentions) else None
    praised = behind >= 0 and (mentions[behind].fit or mentions[behind].kind in ("cured", "outcome", "group"))
    praised = praised or mentions[at - 1].kind == "but"
    is_ = mentions[at].first == "ones" or (after is not None and after.first in _IS_OR_WAS)
    faulty = fault is not None and fault.kind == "condition" and not fault.fit and fault.gap <= article
    return praised and is_ and faulty and not mentions[at].gap and not (fault is not None and fault.pause)


def the_one(at: int, mentions: Sequence[Mention]) -> bool:
    """ "The one in the middle": a subject of its own, led by its article."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    article = at > 0 and mentions[at - 1].kind == "det" and mentions[at - 1].first == "the"
    if at > 1 and mentions[at - 2].kind == "same":
        return False  # "as is the one on the front left"
    if after is not None and after.kind == "prep" and not after.gap and not after.pause:
        where = next((m for m in mentions[at + 2 : at + 4] if m.kind != "det"), None)
        return article and where is not None and where.kind in ("place", "size") and not where.gap
    return article and after is not None and after.kind == "place" and after.led and not after.pause


def work_next(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether work that was done stands right behind a mention."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    return after is not None and after.done and after.gap <= 1


def told_next(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a fault or a form of "be" stands right behind a name."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    if after is None or after.gap or after.pause or _got_it(at + 1, mentions):
        return False
    return after.kind in ("be", "not", "condition")


def _got_it(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Stuffed foil in the venturi, got that out": somebody got it, the part has got nothing."""
    thing = mentions[at + 1] if at + 1 < len(mentions) else None
    got = mentions[at].kind == "be" and mentions[at].first == "got" and not mentions[at].pause
    return got and thing is not None and thing.kind in ("pronoun", "them") and not thing.gap


def _taken_up(pronoun: Mention) -> bool:
    """Whether "it" takes up the name right before it, as some speakers do."""
    return pronoun.kind == "pronoun" and pronoun.last == "it" and not (pronoun.gap or pronoun.pause)


def _told_of(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Oven seal it's gone flat": what "it's" says of the name right before it."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    taken = mentions[at].first in ("its", "hes", "theyre") and mentions[at].kind in ("pronoun", "them")
    near = not (mentions[at].gap or mentions[at].pause)
    return taken and near and after is not None and after.kind in ("condition", "not", "no") and not after.gap


def name_behind(at: int, mentions: Sequence[Mention]) -> Mention | None:
    """The mention before the `at`-th, articles left out."""
    at -= 1
    while at >= 0 and mentions[at].kind == "det":
        at -= 1
    return mentions[at] if at >= 0 else None


def passive(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether work that has been done stands right behind a part ("trap rinsed", "trap out and rinsed")."""
    part, rest = mentions[at], mentions[at + 1 : at + 4]
    out = len(rest) > 1 and rest[0].kind == "and" and rest[0].gap == 1
    work = rest[1] if out else rest[0] if rest else None  # "trap out and rinsed"
    return part.kind == "component" and work is not None and work.done and work.gap <= 1 and not work.pause


def _done_back_then(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether work of an earlier day is told."""
    row = mentions[at : at + 2]
    return len(row) == 2 and row[0].done and row[1].kind == "past" and not any(m.gap or m.pause for m in row)


def followed_by_predicate(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether something is said of the `at`-th mention by what follows it."""
    for i, mention in enumerate(mentions[at : at + AHEAD], at):
        if _of_it(i, mentions):
            continue  # "the seal on it isn't"
        if i > at and mentions[i - 1].kind == "component" and _taken_up(mention):
            continue  # "the valve it is hard"
        if i > at and mentions[i - 1].kind == "component" and (_told_of(i, mentions) or _that_is(i, at, mentions)):
            return (
                True  # "ordered a tap, back left knob it's slipping", "cleaned the jet, rear right cap that's missing"
            )
        if i > at and mentions[i - 1].last in ITSELF and mention.kind in NOMINAL:
            return False  # "nothing found on the cooker itself, alarm passed"
        if mention.kind == "one" and mention.first == "one" and i > at and i + 1 < len(mentions):
            after = mentions[i + 1]
            if after.kind == "component" and not after.gap and not after.pause:
                return False  # "cleaned the caps on every one, one cap was cracked"
        if i == at + 1 and "-" in mentions[at].id and mentions[at].kind == "place" and _told_of(i, mentions):
            return mentions[i + 1].fit  # "I've one ordered, front left he's good as gold"
        if i == at and mention.clitic and mention.kind == "component" and _unknown_next(i, mentions):
            return True  # "lid's coming down on the knobs"
        if (mention.kind == "cured" and mention.gap > (mention.first != "gone")) or _unknown_denied(i, mentions):
            return False
        if mention.kind == "condition" and fault_noun(i, mentions):
            return False  # "a crack in the cap, a chip in the one beside it"
        if i == at + 1 and mention.first in _SOMEBODY and _done_back_then(i + 1, mentions):
            return True  # "never looked, hose he changed in the spring"
        if mention.kind == "work" and mention.owned and i == at + 1 and mentions[i + 1 : i + 2]:
            return mentions[i + 1].kind == "past"  # "the seal I replaced last month"
        if i > at and mention.kind == "appliance" and is_whole(mentions[i - 1]) and not mention.gap:
            return False  # "nice flames, grill slow to take"
        led_by = i - 1 - (mentions[i - 1].kind == "appliance")
        led_by -= mentions[led_by].kind == "det"
        placed = led_by > at and mentions[at].kind == "component" and mentions[led_by].kind in ("place", "group")
        cornered = placed and "-" in mentions[led_by].id and mention.id != mentions[at].id and not mention.gap
        if placed and mention.kind == "component" and mention.strong and (mention.clitic or cornered):
            return False  # "nice blue flames on all of them, hotplate's filthy", "order the cap, front right burner is dirty"
        if i > at and mention.kind == "component" and mention.strong and _apart(i, mentions):
            return False  # "nice blue flames, hose dated twenty two, regulator's new"
        if (
            i > at
            and mention.kind == "work"
            and (mention.senses[0].note == "needed" or (mention.senses[0].note == "done" and mentions[i - 1].clitic))
            and not (mention.gap or mention.pause)
        ):
            return True  # "prv wants swapping", "sump's on order"
        if mention.kind == "no" and mention.first in ("have", "has", "had", "hasnt", "havent") and not mention.pause:
            return True  # "the rear two have no flame failure"
        if _got_it(i, mentions):
            return False
        if i > at + 2 and _another(i, mentions):
            return False  # "blocked injector on the pilot, the thermocouple's fine"
        if i == at + 1 and mention.id == "hedge-before" and mention.last in ("be", "been") and not mention.gap:
            return not mention.pause  # "eases it lovely, pipe might be corroded"
        if mention.kind == "reading" and _verdict_on(i, mentions):
            return True  # "that magnet on the main oven let go in thirty six seconds so that's all right"
        if mention.first in ("found", "seen") and mention.kind == "be" and mentions[i + 1 : i + 2] == []:
            return False  # "no weak thermocouple found"
        if mention.first == "theres" and mention.kind == "be" and [m.id for m in mentions[i + 1 : i + 2]] == ["order"]:
            return False  # "lost her cap, there's one on its way"
        if mention.kind == "same" and i == at + 1 and mention.first in _ANEW and _done_to(at, mentions):
            return False  # "greased the tap and tightened the knob, same two jobs on the front right"
        if mention.kind in ("be", "not", "condition", "need", "cured", "same", "outcome") and not mention.pause:
            return mention.first not in ("it", "its", "that", "thats", "theyre")
        cornered = mentions[at].kind == "place" and "-" in mentions[at].id and mentions[i - 1].kind == "component"
        on_a_place = mention.kind == "prep" and (mentions[at].kind == "component" or cornered)
        on_a_place = on_a_place and (mention.id == "prep" or (mention.first == "by" and _name_next(i, mentions)))
        on_a_place = on_a_place and not (mention.first == "of" and mention.gap)  # "the trap, two handfuls of soot"
        if not (on_a_place or mention.kind in NOMINAL | {"det", "one"}) or (
            mention.pause and mention is not mentions[at]
        ):
            return False
    return False


def _done_to(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a part is what was just worked on ("tightened the knob")."""
    article = at > 0 and mentions[at - 1].kind == "det"
    before = mentions[at - 1 - article] if at > article else None
    done = before is not None and before.kind == "work" and before.done
    return done and not any(m.gap or m.pause for m in mentions[at - article : at + 1])


def _that_is(at: int, corner: int, mentions: Sequence[Mention]) -> bool:
    """Whether "that's" behind a corner and its part takes them up with what is wrong with them."""
    that, told = mentions[at], mentions[at + 1] if at + 1 < len(mentions) else None
    placed = mentions[corner].kind == "place" and "-" in mentions[corner].id and at == corner + 2
    close = told is not None and told.kind == "condition" and not (that.gap or that.pause or told.gap or told.pause)
    return placed and that.kind == "pronoun" and that.first == "thats" and close


def _verdict_on(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a verdict stands right behind a figure."""
    verdict = mentions[at + 1] if at + 1 < len(mentions) else None
    return (
        verdict is not None and verdict.kind == "condition" and not (verdict.gap or verdict.pause or mentions[at].pause)
    )


def _name_next(at: int, mentions: Sequence[Mention]) -> bool:
    """ "The joint by the cooker": what stands behind a preposition is where the part is."""
    noun = next((m for m in mentions[at + 1 : at + 3] if m.kind != "det"), None)
    return noun is not None and noun.kind in NOMINAL and not noun.gap


def _apart(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether words that nobody knows part a name from the whole name before it ("gave the fins a brush, the fan's worn")."""
    article = mentions[at - 1].kind == "det"
    gap = mentions[at].gap or (article and mentions[at - 1].gap) or _plural_next(mentions[at - 1])
    return bool(gap) and at > article and is_whole(mentions[at - 1 - article])


def _plural_next(mention: Mention) -> bool:
    """ "Blocking the air holes, flames all yellow": a plural goes with no name behind it."""
    return mention.kind == "component" and mention.plural and mention.last.endswith("s") and not mention.clitic


def is_whole(mention: Mention) -> bool:
    """Whether a name of a part is enough by itself."""
    return mention.kind == "component" and mention.strong


def _another(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether an article opens a new subject behind a part that a preposition led to."""
    led, part, article, noun = (mentions[at - 3], mentions[at - 2], mentions[at - 1], mentions[at])
    if led.kind == "det" and at > 3:
        led = mentions[at - 4]
    named = part.kind in ("component", "place") and noun.kind == "component" and noun.strong
    return named and led.kind == "prep" and article.kind == "det" and article.first == "the" and not article.gap


def _unknown_denied(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Under the rear right knob, not essential but": nothing is denied of the part."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    return mentions[at].first == "not" and after is not None and after.gap > 0 and after.kind == "but"


def _unknown_next(at: int, mentions: Sequence[Mention]) -> bool:
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    return after is not None and after.gap > 0 and not after.pause


def _of_it(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether "on it", "round it" stands here: it says no more than whose part is meant."""
    first, last = (at, at + 1) if mentions[at].kind == "prep" else (at - 1, at)
    if first < 0 or last >= len(mentions) or mentions[first].kind != "prep" or mentions[last].kind != "pronoun":
        return False
    return mentions[last].first in ("it", "its", "that", "this") and not mentions[last].pause and not mentions[last].gap


def closes(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a place stands at the end of what is said ("tap's stiff rear right"), not at the start of the next."""
    for i, mention in enumerate(mentions[at + 1 : at + AHEAD], at + 1):
        if i == at + 1 and mention.gap > 2 and mention.kind in ("pronoun", "prep"):
            return True  # "tap stiff front right WD forty on it"
        if i == at + 1 and mention.first in _SHE_IS and mention.kind == "pronoun" and mentions[i + 1 : i + 2]:
            return mentions[i + 1].gap > 0  # "knob missing back left she's using pliers"
        if i == at + 1 and mention.kind == "prep" and _leads_nowhere(i, mentions):
            return True  # "electrode cracked rear left on the sheet but"
        if mention.kind == "and" and not mention.pause and _place_next(i, mentions):
            continue  # "middle and right ones are fine"
        if mention.first == "which" and mention.kind == "pronoun":
            return True  # "a stiff tap front left which I've eased"
        if mention.kind == "need" and mentions[at].kind == "group" and mentions[at].id == "last-two":
            return False  # "knob cracked, both need replacing"
        if mention.kind == "report" and mentions[at].last == "ones":
            return True  # "two caps are missing, the rear ones, she says"
        if mention.kind == "same" and mention.last in ("as", "the") and mention.first != "ditto" and i == at + 1:
            return False  # "cap's fine front right same as the front left"
        if mention.kind == "same" and i == at + 1 and _another_told(i, mentions):
            return False  # "cap needs a new one front right same back left injector's blocked"
        if mention.kind == "same" and _place_next(i, mentions):
            return True  # "jet bunged up front left, ditto rear left"
        if (
            mention.kind == "mark"
            and mention.id == "pause"
            and [m.kind for m in mentions[i + 1 : i + 3]] == ["correct", "place"]
        ):
            return False  # "jet clear front right um no sorry back left electrode's bent"
        corner = mention.kind == "place" and "-" in mention.id and not (mention.led or mention.gap)
        if i == at + 1 and _faulty(at - 2, mentions) and (corner or _faulty(i, mentions)):
            return True  # "seized tap front left stiff tap front right"
        if i == at + 1 and mention.kind == "det" and _a_fault(at - 3, mentions) and _a_fault(i, mentions):
            return True  # "a cracked cap rear left a blocked jet rear right"
        if mention.kind in ("det", "component") and of_several(at, i, mentions):
            return True  # "caps chipped front left and rear left the knob is melted"
        if mention.kind == "but" and mention.first in ("just", "only") and _condition_next(i, mentions):
            return False  # "crown broke, bringing one, back burners just dirty"
        if mention.kind == "need" and _condition_next(i, mentions) and mentions[i + 1].fit:
            return False  # "turned it over, and near right I'd nothing to do on"
        if mention.kind == "hedge" and _told_soon(i + 1, mentions):
            return False  # "told him he needs a new pair, front right I reckon jet's part blocked"
        if mention.pause or mention.kind in (
            "mark",
            "and",
            "but",
            "next-burner",
            "correct",
            "take-back",
            "work",
            "hedge",
            "need",
        ):
            return True
        if mention.kind == "cured" and {mention.first, mention.last} & MENDS:
            return True  # "blocked injector rear right dealt with"
        if mention.kind == "group" and mention.id == "rest":
            return True  # "electrode cracked rear right the other three sound"
        if mention.kind not in ("place", "group", "size", "det", "one"):
            return False
    return True


def _another_told(same: int, mentions: Sequence[Mention]) -> bool:
    """Whether a bare "same" ends what is said, and of the place behind it something else is told."""
    row = mentions[same : same + 3]
    bare = len(row) == len(mentions[same : same + 2]) + 1 and row[0].first == row[0].last == "same"
    corner = bare and row[1].kind == "place" and "-" in row[1].id and not (row[1].led or row[1].gap or row[1].pause)
    return corner and row[2].kind in ("component", "condition") and not (row[2].gap or row[2].pause)


def _faulty(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Seized tap": a fault and its part, and a corner behind it."""
    row = mentions[at : at + 3] if at >= 0 else []
    alike = [m.kind for m in row] == ["condition", "component", "place"] and not row[0].fit and row[1].strong
    return alike and "-" in row[2].id and not any(m.gap or m.pause for m in row[1:])


def _a_fault(at: int, mentions: Sequence[Mention]) -> bool:
    """ "A cracked cap": an article, a fault and its part."""
    row = mentions[at : at + 3] if at >= 0 else []
    alike = [m.kind for m in row] == ["det", "condition", "component"] and row[0].first in ("a", "an")
    return alike and not any(m.gap or m.pause for m in row[1:])


def of_several(first: int, at: int, mentions: Sequence[Mention]) -> bool:
    """Whether one part is named behind two corners: they are those of what was said before of several parts of a kind."""
    row = [m for m in mentions[first:at] if m.kind != "and"]
    if at >= len(mentions):
        return False
    corners = len(row) > 1 and at - first > len(row) and all(m.kind == "place" and "-" in m.id for m in row)
    part = mentions[min(at + (mentions[at].kind == "det"), len(mentions) - 1)]
    one = part.kind == "component" and not part.plural and part.strong and not (part.gap or mentions[at].gap)
    if not (corners and one) or first < 2 or mentions[first - 1].kind != "condition":
        return False
    told = next((m for m in reversed(mentions[max(0, first - 4) : first - 1]) if m.kind == "component"), None)
    return told is not None and told.plural and not told.clitic and told.id != part.id


def _leads_nowhere(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a preposition leads to something that nobody knows ("on the sheet")."""
    article, beyond = mentions[at + 1 : at + 2], mentions[at + 2 : at + 3]
    unknown = bool(article) and article[0].kind == "det" and not article[0].gap
    return unknown and (not beyond or (beyond[0].gap > 0 and beyond[0].kind not in NOMINAL))


def _condition_next(at: int, mentions: Sequence[Mention]) -> bool:
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    return after is not None and after.kind == "condition" and not (after.gap or after.pause)


def _told_soon(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a part of which something is said stands here."""
    part = at + 1 if at < len(mentions) and mentions[at].kind == "det" else at
    named = part < len(mentions) and mentions[part].kind == "component" and not mentions[part].pause
    return named and followed_by_predicate(part, mentions)


def _place_next(at: int, mentions: Sequence[Mention]) -> bool:
    noun = next((m for m in mentions[at + 1 : at + 3] if m.kind != "det"), None)
    return noun is not None and noun.kind in ("place", "group", "size") and not noun.pause


def fault_noun(at: int, mentions: Sequence[Mention]) -> bool:
    """ "A chip in the front right one": a fault by its noun, its part or place behind it."""
    article = mentions[at - 1] if at else None
    leads = at + 1 < len(mentions) and mentions[at + 1].kind == "prep" and not mentions[at + 1].gap
    return (
        leads
        and article is not None
        and article.kind == "det"
        and article.first in ("a", "an")
        and not mentions[at].gap
    )


def placed_alike(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a fault is told at a place as the one before it was: "stiff on the front left and seized on the rear left"."""
    before, behind = _at_a_place(at - 4, mentions) or _at_a_place(at - 5, mentions), _at_a_place(at, mentions)
    return before != "" and behind != "" and before != behind


def _at_a_place(at: int, mentions: Sequence[Mention]) -> str:
    """The corner at which a fault is said by a preposition; "" where it is none."""
    row = [m for m in mentions[at : at + 4] if m.kind != "det"][:3] if at >= 0 else []
    near = [m.kind for m in row] == ["condition", "prep", "place"] and not any(m.gap or m.pause for m in row[1:])
    return row[2].id if near and "-" in row[2].id and not row[0].fit else ""


def part_told(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a part with something said of it follows."""
    first = next((i for i in range(at + 1, min(at + 3, len(mentions))) if mentions[i].kind != "det"), None)
    named = first is not None and mentions[first].kind in ("component", "place")
    return named and first is not None and followed_by_predicate(first, mentions)


def turns_to_an_oven(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Stat's dead, with the grill the burner won't light": an oven or grill is led to, and something is said of its part."""
    row = mentions[at : at + 5]
    read = len(row) > 4 and [m.kind for m in row[1:5]] == ["det", "appliance", "reading", "condition"]
    if read and mentions[at - 1].fit and row[2].id in _COOKING and not any(m.pause for m in row):
        return True  # "thermocouple on the oven eleven fine, on the grill four weak"
    led = len(row) > 3 and row[0].first in _TURNING and [m.kind for m in row[1:4]] == ["det", "appliance", "det"]
    if not led or row[2].id not in _COOKING or any(m.gap or m.pause for m in row[1:5]):
        return False
    if len(row) > 4 and row[4].kind == "condition":
        return not row[4].fit and row[4].end - row[4].start > 1  # "and on the grill the spark was orange"
    return len(row) > 4 and row[4].kind == "component" and followed_by_predicate(at + 4, mentions)
