"""Whether a name is what work, a preposition or a verdict leads to, and so no new subject. In: a place in the list of mentions.
Out: yes or no.

Not allowed to know: how the talk was cut into clauses.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.ahead import LEADING, followed_by_predicate, name_behind, passive
from fieldnote.extract.clauses.said import MENDING
from fieldnote.extract.phrases.mention import NOMINAL, Mention

# of faults
NOUNS = frozenset("leak leaks weep weeps crack cracks chip split hole rust corrosion soot drip seep".split())
STANDING = frozenset({"them", "pair", "lot", "em"})
_TESTS = frozenset("test tests check".split())
_PARTICLES = frozenset("off on in round over under behind across through around".split())
_BEING = frozenset("is was were thats been".split())  # "the lead was off": off leads nowhere
_TAKING_UP = frozenset("it they that which".split())
_HAD_BEEN = frozenset("was were had been wasnt werent wouldnt didnt couldnt".split())
_SIDES = frozenset("front rear back left right".split())
_ITS_DONE = frozenset("thats its theyre".split())
_OWNED = frozenset("its a one their her his".split())
_HAVE = frozenset("have has had got".split())
_OUTCOMES = frozenset(
    "holds hold lights light sparks spark works runs burns turns holding lighting sparking working burning turning".split()
)


def reached(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a fault is said at a part ("weeps at the spindle, had the spray on it", "rust on the supports, nothing to
    worry about")."""
    noted, prep = mentions[max(0, at - 2) : at] if at > 1 else (None, None)
    if noted is not None and prep is not None and noted.kind == "condition" and prep.kind == "prep":
        # "leak at pump union nipped dry", as notes have it
        return not noted.fit and noted.first in NOUNS and not any(m.gap or m.pause for m in (prep, mentions[at]))
    fault, led, article, mention = mentions[max(0, at - 3) : at + 1] if at > 2 else (None,) * 4
    if fault is None or led is None or article is None or mention is None:
        return False
    beside = led.id == "prep" or led.first == "by"
    near = led.kind == "prep" and beside and not any(m.gap or m.pause for m in (led, article, mention))
    return (
        near
        and fault.kind == "condition"
        and not fault.fit
        and article.first in ("the", "that", "this")
        and not mention.clitic
    )


def had_by_them(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether "have" and a fault stand right before a part."""
    behind, mention = name_behind(at, mentions), mentions[at]
    if behind is None or behind.kind != "condition" or mention.kind != "component" or mention.gap or mention.pause:
        return False
    first = at - 1
    while mentions[first] is not behind:
        first -= 1  # not `index`: it would walk the whole talk
    having = name_behind(first, mentions)
    return having is not None and having.kind == "be" and having.first in _HAVE and not behind.gap


def acted_on(wording: Mention, behind: Sequence[Mention]) -> bool:
    """ "Someone's opened up the jet": somebody that nobody knows did what is wrong to the part that follows."""
    first, noun = (behind[0], behind[-1]) if len(behind) > 1 else (None, None)
    if first is None or noun is None or first.kind != "det" or noun.kind != "component" or not noun.strong:
        return False
    return (
        wording.kind == "condition"
        and not wording.fit
        and (wording.gap > 0 or (wording.last in ("missing", "lost") and first.first in _OWNED))
        and not any(m.gap or m.pause for m in behind)
    )


def done_to(row: Sequence[Mention]) -> bool:
    """Whether a fault told as an act stands right before its part ("covered the vent")."""
    if len(row) < 3 or row[1].kind != "det" or row[1].first not in ("the", "their", "his", "her"):
        return False
    told = row[0].kind == "condition" and not row[0].fit and row[0].last.endswith("ed") and row[2].strong
    return told and row[2].kind == "component" and not any(m.gap or m.pause for m in row[1:])


def from_what(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Had dropped off the electrode": the wording's last word leads to the part."""
    mention, behind = mentions[at], name_behind(at, mentions)
    if behind is None or behind.kind != "condition" or mention.pause or mention.gap > 1:
        return False
    if behind.fit and behind.last != "through":
        return False  # "magnets hold in, taps turn", but "can see daylight through the jets"
    adverb = behind.last in _PARTICLES and mentions[at - 1].kind != "det" and mention.kind != "group"
    # "burner won't come in, gas valve was dead"
    return behind.last in LEADING and not adverb and behind.first not in _BEING


def onto_what(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Gravy on the front left electrode": the wording's last word leads to the place of the part."""
    part = mentions[at + 1] if at + 1 < len(mentions) else None
    near = part is not None and part.kind == "component" and not (part.gap or part.pause or mentions[at].gap)
    return near and mentions[at - 1].kind == "det" and from_what(at, mentions)


def _to_be_done(work: Mention, at: int, mentions: Sequence[Mention]) -> bool:
    """ "The seal will have to be replaced, the oven FSD let go in twenty": it is done to what stands before it."""
    first = at - 1
    while mentions[first] is not work:
        first -= 1
    need = mentions[first - 1] if first else None
    return need is not None and need.kind == "need" and work.gap == 1 and work.first.endswith(("ed", "ne", "wn", "de"))


def is_object(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether work stands right before ("cleaned the injector", "cleaned it")."""
    behind = name_behind(at, mentions)
    mention = mentions[at]
    if behind is None or behind.kind != "work" or mention.pause or mention.gap > 1:
        return False
    if mention.start < behind.around and mention.kind == "component" and mentions[at - 1].kind == "det":
        return True  # "turned the bypass up": nothing is said of it by what follows
    if mention.start < behind.around and mention.kind in ("group", "place"):
        return True  # "gave all four a scrub, the two at the back are fine", "a new front left tap has been fitted"
    if _to_be_done(behind, at, mentions):
        return False
    if not behind.takes_object or _object_told(behind, at, mentions):
        return False
    if mentions[at - 1] is behind and at > 1 and passive(at - 2, mentions) and passive(at, mentions):
        return False  # "gaskets renewed siphon cleaned"
    if _its_own_work(behind, at, mentions) or _mended_before(at, mentions):
        return False
    told_of = mentions[at - 2] if at > 1 and mentions[at - 1] is behind else None
    its = told_of is not None and told_of.kind != "condition" and told_of.first in _ITS_DONE  # not "that's a fail, new"
    if its and not (behind.gap or behind.pause):
        return False  # "that's ordered, stats read right", "it's replaced hinges greased"
    if behind.last == "new" and mention.kind == "component":
        # nor "needs a new clamp, emergency control's fine", "pump leaks, must be new, fan is good"
        again = any(m.id == mention.id for m in mentions[max(0, at - 12) : at])  # "fan is noisy, must be new fan"
        whole = behind.first == "must" and behind.end - behind.start == len(("must", "be", "new")) and not again
        return not ((mention.gap or whole) and followed_by_predicate(at, mentions))
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    rest_told = mention.id == "rest" and followed_by_predicate(at, mentions)
    if mention.kind == "which" or (mention.kind == "group" and after is not None and after.kind == "component"):
        return not rest_told  # "greased the stiff one", "scrubbed the two of them, electrode's fine"
    sided = mention.first in _SIDES and followed_by_predicate(at, mentions)  # "stiff, greased, right pair fine"
    if mention.kind in ("group", "place") and mention.last in STANDING and not sided:
        return True  # "cleared the three of them, front right was fine"
    if mention.kind == "component" and behind.done and _plainly_object(at, mentions):
        return True
    if told_why(at, mentions) or _told_bare(at, mentions) or (not behind.done and _wanted_because(at, mentions)):
        return True
    if mention.kind == "component" and mention.strong and _another_subject(at, mentions):
        return True  # "took the cap off, the mixing tube was full of grease"
    if mention.kind == "component" and two_places_behind(at, mentions):
        return True  # "adjusted electrode front left, rear left fine"
    if after is not None and mention.kind == "appliance" and after.kind == "component" and after.gap and after.strong:
        return True  # "pulled the fire out, closure plate tape had come away"
    if after is not None and mention.kind == after.kind == "component" and not after.gap:
        return True  # "wants a new fan, diverter was stuck": the second name is the subject
    if mention.kind == "place" and _two_names(mentions[at + 1 : at + 3]):
        return True  # "cleaned the rear left cap window fine"
    return not (mention.kind in NOMINAL and followed_by_predicate(at, mentions))


def _two_names(row: Sequence[Mention]) -> bool:
    """Whether two parts stand side by side."""
    names = len(row) > 1 and all(m.kind == "component" and m.strong and not (m.gap or m.pause) for m in row)
    return names and not row[0].clitic


def in_its_slot(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a name stands, behind its place, in the midst of a wording of work: "gave the front left tap a clean"."""
    i = at - 1
    while i > 0 and mentions[i].kind in ("place", "size", "det"):
        i -= 1
    return mentions[i].kind == "work" and mentions[at].start < mentions[i].around


def _its_own_work(work: Mention, at: int, mentions: Sequence[Mention]) -> bool:
    """ "That tap's been greased, the cap I've ordered": a part with its own work behind one whose work has been told of it."""
    done = mentions.index(work, max(0, at - 3), at)
    part = done - 1 - (done > 1 and mentions[done - 1].kind == "be" and mentions[done - 1].last in _HAD_BEEN)
    next_ = mentions[at + 1] if at + 1 < len(mentions) else None
    row = [mentions[part], work, mentions[at]] if part >= 0 else []
    named = bool(row) and row[0].kind == mentions[at].kind == "component" and work.done and not work.owned
    close = named and not any(m.gap or m.pause for m in mentions[part + 1 : done + 1])
    own = (
        next_ is not None
        and next_.kind == "work"
        and (next_.owned or next_.first in ("i", "ive", "weve"))
        and next_.gap <= 1
        and not next_.pause
    )
    return close and own


def _mended_before(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Pilot was sooted, cleaned, thermocouple 20 millivolts": a part with its fault and the work on it, then the next part,
    of which something else is told."""
    row = [m for m in mentions[max(0, at - 6) : at] if m.kind not in ("be", "det")]
    if [m.kind for m in row[-3:-1]] == ["work", "and"] and row[-3].done:
        del row[-3:-1]  # "dismantled and cleaned"
    if len(row) < 3 or mentions[at].gap or mentions[at - 1] is not row[-1]:
        return False
    if row[-2].kind == "and" and len(row) > 3 and not row[-2].pause:
        del row[-2]  # "taken down and cleaned", whatever was taken down
    part, fault, work = row[-3:]
    told = part.kind in NOMINAL and fault.kind == "condition" and not fault.fit
    mended = told and work.done and not (work.owned or work.gap or work.pause == ".") and work.id in MENDING
    named = mentions[at].kind == "component" and mentions[at].id != part.id
    return mended and named and _told_of_next(at, mentions)


def _told_of_next(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a name, or one that goes on with another, has a figure, a guess or anything else said of it."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    if after is None or after.pause:
        return False
    if after.kind == "component" and not after.gap and followed_by_predicate(at + 1, mentions):
        return True  # "air pressure switch tube perished"
    if after.kind == "reading":
        return after.gap <= 1  # "thermocouple output 19"
    if passive(at, mentions) and not after.gap:
        return True  # "renewed, chain hooked up and sound"
    return mentions[at].strong and ((after.kind == "hedge" and not after.gap) or followed_by_predicate(at, mentions))


def _object_told(work: Mention, at: int, mentions: Sequence[Mention]) -> bool:
    """ "Taped that back on the space behind was packed": what was worked on stands inside the wording of the work."""
    inside = [m for m in mentions[max(0, at - 3) : at] if work.start < m.start and m.end <= work.around]
    it = any(m.kind in ("pronoun", "them") for m in inside)
    return it and mentions[at].kind == "component" and followed_by_predicate(at, mentions)


def told_why(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Had to swap the electrode, it was cracked": what the part that was worked on had been is told by a pronoun."""
    while at + 3 < len(mentions) and mentions[at].kind in ("place", "size") and not mentions[at + 1].gap:
        at += 1
    part, pronoun, verb = mentions[at : at + 3] if at + 2 < len(mentions) else (None, None, None)
    if part is None or pronoun is None or verb is None or part.kind != "component":
        return False
    taken_up = (
        pronoun.kind in ("pronoun", "them") and pronoun.first in _TAKING_UP and not (pronoun.gap or pronoun.pause)
    )
    return taken_up and verb.kind in ("be", "not") and verb.first in _HAD_BEEN and not (verb.gap or verb.pause)


def _wanted_because(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Need to swap the electrode it's cracked": why work is wanted is told by a pronoun."""
    part, pronoun, fault = mentions[at : at + 3] if at + 2 < len(mentions) else (None, None, None)
    if part is None or pronoun is None or fault is None or part.kind != "component" or fault.kind != "condition":
        return False
    taken_up = pronoun.kind in ("pronoun", "them") and pronoun.first in ("its", "theyre")
    return taken_up and not (fault.fit or pronoun.gap or pronoun.pause or fault.gap or fault.pause)


def _told_bare(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Swapped the thermocouple weak": a sentence that begins with the work, the part and what was wrong with it."""
    work, article, fault = at - 2, mentions[at - 1], mentions[at + 1] if at + 1 < len(mentions) else None
    if work < 0 or fault is None or fault.kind != "condition" or fault.fit or fault.first in _BEING:
        return False
    begins = work == 0 or mentions[work].pause == "." or mentions[work - 1].kind == "and"
    named = article.kind == "det" and article.first == "the" and mentions[at].kind == "component"
    done = mentions[work].done and mentions[work].id in MENDING
    return begins and named and done and not any(m.gap or m.pause for m in (article, mentions[at], fault))


def two_places_behind(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether two corners follow a part, the second of them that of the next statement."""
    row = mentions[at + 1 : at + 3]
    return len(row) == 2 and all(m.kind == "place" and "-" in m.id and not m.gap for m in row)


def to_what(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a name goes on with "to the rear left", which says whose part was just named."""
    place, part = mentions[at - 1], mentions[at - 2] if at > 1 else None
    close = not any(m.gap or m.pause for m in (place, mentions[at]))
    return (
        place.first in ("to", "of", "for")
        and close
        and part is not None
        and part.kind == "component"
        and not part.strong
    )


def in_parallel(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether part, fault and place come in the same order before and behind."""
    before, behind = mentions[max(0, at - 2) : at], mentions[at + 1 : at + 4]
    if [m.kind for m in before] != ["component", "condition"] or [m.kind for m in behind] != [
        "component",
        "condition",
        "place",
    ]:
        return False
    return before[0].id == behind[0].id and not any(m.gap for m in behind)


def bar_one(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether "bar one" stands before a place."""
    row = [m for m in mentions[max(0, at - 4) : at] if m.kind not in ("det", "pronoun")]
    return [m.kind for m in row[-2:]] == ["except", "one"] and not mentions[at].gap


def apposed(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a corner names those that were counted right before ("on two of them")."""
    i = at
    while i > 0 and mentions[i].kind in ("place", "and") and not mentions[i].gap:
        i -= 1
    them, of = mentions[i], mentions[i - 1] if i else None
    return i < at and them.kind == "them" and of is not None and of.last == "of" and "-" in mentions[at].id


def _plainly_object(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether work with its article and part is followed by its outcome ("swapped the magnet, holds every time now",
    "nipped the gland, still passing"), or names a new part ("ordered a thermocouple for that, oven lights ok")."""
    article = mentions[at - 1]
    if article.kind != "det" or article.gap or mentions[at].gap or mentions[at].clitic:
        return False
    if article.first in ("a", "an"):
        return True
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    if after is None or after.pause or after.gap or article.first != "the":
        return False
    them = (
        mentions[at + 2]
        if after.kind in ("group", "place") and after.first in ("both", "all") and at + 2 < len(mentions)
        else None
    )
    if (
        them is not None
        and them.kind == "cured"
        and not them.gap
        and (after.kind == "group" or not mentions[at].plural)
    ):
        return True  # "swapped the lead, both lighting now"
    if after.kind == "outcome" and after.first in ("it", "they", "both"):
        return True  # "cleaned the jets, they both light now"
    both = after.first in ("both", "all") and not mentions[at].plural  # "swapped the lead, both light now"
    return (
        after.kind in ("cured", "still") or after.first == "still" or (after.fit and (after.first in _OUTCOMES or both))
    )


def _another_subject(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a name with its article and something said of it stands behind one word that belongs to the work before."""
    article, noun = mentions[at + 1 : at + 3] if at + 2 < len(mentions) else (None, None)
    if (
        article is None
        or noun is None
        or article.kind != "det"
        or noun.kind != "component"
        or noun.gap
        or not noun.strong
    ):
        return False
    return article.gap == 1 and followed_by_predicate(at + 2, mentions)


def is_compound(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Burner" and "caps" right behind it are one name."""
    whole, mention = mentions[at - 1], mentions[at]
    if at == 0 or mention.kind != "component" or mention.gap or mention.pause:
        return False
    before = name_behind(at - 1, mentions) if at > 1 else None
    if before is not None and before.kind == "prep" and followed_by_predicate(at, mentions):
        return False  # "no spark at the burner, lead's come adrift"
    piped = whole.id == "pipework" and mention.id == "joint"  # "the hob tail union"
    return whole.kind == "component" and (whole.id == "burner" or piped) and not whole.clitic


def test_taken(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Passed the spillage test": the test that was passed."""
    behind = name_behind(at, mentions)
    verdict = behind is not None and any(sense.id in ("passed", "failed") for sense in behind.senses)
    return verdict and mentions[at - 1].kind == "det" and not mentions[at].pause and mentions[at].last in _TESTS


def object_run(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether the names right before are the object of work or of a preposition, and this one goes on with them."""
    i = at - 1
    if mentions[i].kind == "det" and mentions[i].gap and not mentions[at].gap and mentions[at].kind == "component":
        return False  # "weak on the rear two, checked the earth"
    if (
        mentions[i].kind == "component"
        and mentions[at].gap
        and i
        and mentions[i - 1].done
        and mentions[i - 1].last == "new"
    ):
        return False  # "new electrode fitted, fan needs ordering"
    # "changed the front left thermocouple and the rear left electrode"
    listed = {"and"} if mentions[at].kind == "component" and mentions[i].kind == "place" else set()
    while i >= 0 and mentions[i].kind in NOMINAL | {"det"} | listed and not mentions[i + 1].pause:
        if mentions[i].led:
            return not (followed_by_predicate(at, mentions) or figure_told(at, mentions))
        i -= 1
    governs = i >= 0 and (mentions[i].kind in ("prep", "work") or gets(mentions[i]))
    if governs and mentions[i].kind == "work" and told_why(at, mentions):
        return True  # "greased the front left tap it had gone stiff"
    if governs and mentions[i].kind == "work" and _two_names(mentions[at : at + 2]):
        return True  # "cleaned the rear left cap window fine"
    return governs and not (
        followed_by_predicate(at, mentions) or (mentions[i].kind == "prep" and figure_told(at, mentions))
    )


def figure_told(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Won't stay lit on the left hand oven, thermocouple reads six": a figure is said of the part."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    named = mentions[at].kind == "component" and mentions[at].strong
    return named and after is not None and after.kind == "reading" and after.gap in (1, 2) and not after.pause


def gets(mention: Mention) -> bool:
    """ "Couldn't get the tap to turn", "left the seal off": the part stands inside what is said of it."""
    if mention.last == "fault" and mention.first in ("no", "not", "without"):
        return False  # "front right no fault back right medium tap stiff"
    about = mention.last in ("about", "against") and mention.first not in ("nothing", "nowt", "not")
    return mention.kind == "condition" and (about or mention.last in ("get", "left", "fault", "with"))


def lists_objects(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether "and" joins one more object ("no leaks on the joints or the valve", "cleaned the cap and the ring")."""
    i = at - 1
    while i >= 0 and mentions[i].kind in NOMINAL | {"det", "and", "or"}:
        i -= 1
    if i > 0 and passive(i - 1, mentions) and passive(at, mentions):
        return False  # "injector changed and thermocouple tightened"
    if i >= 0 and mentions[i].kind == "work" and mentions[i + 1].kind in ("and", "or") and not mentions[i + 1].gap:
        return False  # "it wants another and oven seal that's flat": no first object to go on from
    led = i >= 0 and (mentions[i].kind in ("prep", "work") or gets(mentions[i]))
    denied = (
        i > 0 and [m.kind for m in mentions[i - 1 : i + 1]] == ["no", "condition"] and mentions[at - 1].kind == "or"
    )
    led = led or (denied and not mentions[i].gap)  # "no leaks bayonet or hose"
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    if after is not None and after.kind == "now" and after.gap:
        return False  # "replaced the board and the fan runs now"
    part_next = after is not None and after.kind == "component" and after.strong and not (after.gap or after.pause)
    if mentions[at].kind in ("place", "group") and part_next and followed_by_predicate(at + 1, mentions):
        return False  # "turned the regulator down and all flames are steady"
    if led and part_next:
        return True  # "cleaned the burner and exchanger, flue is pulling": the name behind is the subject
    return led and not followed_by_predicate(at, mentions)
