"""What stands around a mention where a clause may open: what was left over, guessed, found or named before it. In: mentions and
the clause so far. Out: yes or no.

Not allowed to know: what a condition says of which part.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.ahead import followed_by_predicate, one_of_them, told_next
from fieldnote.extract.clauses.attributes import a_faulty
from fieldnote.extract.clauses.clause import PREDICATES, Clause, is_placed
from fieldnote.extract.phrases.mention import NOMINAL, Mention
from fieldnote.extract.words.hob import FOUR

_IT_IS_THE = frozenset("its thats be was like".split())  # last words of a guess that names what is at fault
# parts with pieces of their own, pieces that many parts have, and parts that lend others their names
_WHOLES = frozenset("burner burner-head appliance meter door lid flue hotplate pipework".split())
_PIECES = frozenset("joint tap-seal case-seal door-seal tap-spindle burner circuit-board".split())
_NAMED_TOGETHER = {
    ("electrode", "ht-lead"), ("spark-generator", "ht-lead"), ("ht-lead", "electrode"), ("magnet-unit", "thermocouple"),
    ("gas-tap", "knob"), ("gas-tap", "low-rate-screw"), ("gas-tap", "magnet-unit"), ("hose", "bayonet"),
    ("fan", "pressure-switch"),
    ("pilot", "injector"), ("pilot", "thermocouple"), ("pilot", "electrode"), ("pilot", "flame"), ("fsd", "thermocouple"),
    ("fsd", "magnet-unit"), ("fsd", "gas-tap"), ("gas-tap", "fsd"), ("mains-plug", "fuse"), ("mains-lead", "mains-plug"),
    ("gas-tap", "isolation-valve"), ("thermostat", "knob"), ("knob", "thermostat"), ("fan", "ht-lead"), ("fan", "mains-lead"),
}  # fmt: skip
_SOUGHT = frozenset({"leaking", "noisy", "misaligned", "unstable"})  # what is heard or smelt first and then found
_IT_ALONE = frozenset({"pronoun", "them", "det", "prep"})  # kinds of which alone talk about nothing in hand is made
_IT_IS = frozenset("its theyre thats hes shes been have".split())
_SHOWN = frozenset("no-spark weak-spark not-lighting not-holding".split())
_FAR = 3  # words that nobody knows
_LEADING = frozenset("of a have be".split())  # last words of a time that lead to what was so then


def stand_where(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Two stiff taps and two mucky electrodes, taps are front left and rear left": what was counted, and where they are."""
    row = mentions[at : at + 4]
    if (
        mention.kind != "component"
        or not mention.plural
        or len(row) < len(("taps", "are", "place"))
        or not clause.named
    ):
        return None
    where = row[3] if len(row) == len(("taps", "are", "the", "pair")) and row[2].kind == "det" else row[2]
    stands = row[1].kind == "be" and row[1].first in ("are", "were") and not (row[1].gap or row[1].pause or row[2].gap)
    corners = where.kind in ("place", "group") and set(where.id.split()) <= set(FOUR)
    led = bool(clause.mentions) and clause.mentions[-1].kind == "prep"
    return True if stands and corners and not (led or where.gap) else None


def fault_ended(at: int, mentions: Sequence[Mention]) -> bool:
    """ "And the leak I stopped by nipping up the gland": the fault itself is what is spoken of."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    named = mentions[at - 1].kind == "det" and mentions[at - 1].first == "the" and not mentions[at].gap
    return named and after is not None and after.kind == "cured" and not (after.gap or after.pause)


def had_then(mention: Mention, clause: Clause) -> bool:
    """ "History of a noisy fan", "used to have a stiff tap": a time that leads to what was so then."""
    led = next((m for m in reversed(clause.mentions) if m.kind != "det"), mention)
    return led.kind == "past" and led.last in _LEADING and not (mention.gap or mention.pause)


def left_over(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "Just spins and never grips the shaft so I've": no more than the object of what was said before."""
    start = at - len(clause.mentions)
    if start < 1 or [m.kind for m in clause.mentions] != ["det", "component"] or mentions[at - 1].clitic:
        return False
    before = mentions[start - 1]
    return before.kind == "condition" and not before.fit and not (mentions[start].gap or mentions[start].pause)


def cleft(mention: Mention, clause: Clause) -> bool:
    """ "It's the bottom hinge now that's gone slack"."""
    row = clause.mentions[-2:]
    told = [m.kind for m in row] == ["component", "now"] and clause.mentions[0].first in ("its", "it")
    return told and mention.first in ("thats", "which") and not (mention.gap or mention.pause)


def names_what(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "Found the leak, it was the union", "there's a rattle, it's the fan": the part of what was just told."""
    told, row = clause.mentions[-1], [m for m in mentions[at : at + 5] if m.kind != "det"]
    if told.kind != "condition" or told.id not in _SOUGHT or any(m.kind == "component" for m in clause.mentions):
        return False
    if any(m.kind in ("no", "not", "report", "if") for m in clause.mentions) or mentions[at].gap or len(row) < 2:
        return False
    at_part = next((i for i, m in enumerate(row) if i and m.kind not in ("be", "prep", "appliance", "place")), 0)
    named = row[at_part].kind == "component" and row[at_part].strong
    it_is = row[1].kind == "be" or mentions[at].first in ("its", "thats")
    return named and it_is and not any(m.gap or m.pause for m in row[1 : at_part + 1])


def has_it(behind: Mention) -> bool:
    """ "Won't have it mended": work that somebody else is to do."""
    return behind.kind == "be" and behind.first in ("have", "having")


def so_done(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "It weeps if you lean on it, so replaced the elbow": the work stands outside the condition."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    wanted = mentions[at + 2] if after is not None and after.kind == "pronoun" and at + 2 < len(mentions) else after
    told = after is not None and wanted is not None and not (after.gap or wanted.gap)
    needed = told and wanted is not None and wanted.kind == "work" and wanted.senses[0].note == "needed"
    return after is not None and (after.done or needed) and any(m.kind == "if" for m in clause.mentions)


def place_told_anew(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "No sorry that's the rear left, front left's just dirty", "no, just the front one, the rear's fine": a corrected place,
    then the next one with its own news."""
    mention = mentions[at]
    led = mentions[at - 1].kind == "det" and not mentions[at - 1].gap
    behind = mentions[at - 1 - (led and (mention.clitic or mention.last in ("one", "ones")))]
    corrected = any(m.kind in ("correct", "take-back", "swap") for m in clause.mentions)
    corrected = corrected and behind.kind in ("place", "group")
    part = mentions[at + 1] if at + 1 < len(mentions) else None
    told = part is not None and part.kind == "component" and not part.gap and told_next(at + 1, mentions)
    return corrected and not clause.said and (mention.clitic or told or told_next(at, mentions))


def named_anew(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "Cap's cracked, I mean the crown, the cap's alright", "stiff, no, rear right, and the knob's split": what was told has its
    name or place anew, and the next part has its own news."""
    start, mention = at - len(clause.mentions), mentions[at]
    first = next((m for m in clause.mentions if m.kind != "det"), mention)
    if start < 1 or first.kind != "correct" or clause.said or mentions[start - 1].kind not in PREDICATES:
        return False
    row = [m for m in clause.mentions if m.kind not in ("det", "and", "correct")]
    behind = clause.mentions.index(row[-1]) + 1 if row else 1
    apart = max((m.pause for m in [*clause.mentions[behind:], mention]), key=" ,.".find)
    led = mentions[at - 1].kind == "det" and not any(m.kind == "and" for m in mentions[start + 1 : at])
    if mention.kind != "component" and (not row or row[-1].kind != "component" or not apart):
        return False  # "no, the cap on the rear left", "no sorry, rear left, the front one's fine"
    meant = bool(row) and all(m.kind in ("place", "size", "component") for m in row) and row[-1].id != mention.id
    return meant and bool(apart or led) and (told_next(at, mentions) or followed_by_predicate(at, mentions))


def told_unknown(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "Rear left magnet to come, rear right sorted": words that nobody knows were said of a part at its corner, and the next
    corner follows."""
    mention, behind = mentions[at], mentions[at - 1]
    if behind.kind == "not" and mention.kind == "component" and mention.strong and mention.gap > 2:
        return is_placed(clause)  # "rear right couldn't get my meter on it, magnet unit on that's fine"
    if at > 1 and behind.kind == "prep" and behind.first == "to":
        behind = mentions[at - 2]
    if mention.kind != "place" or "-" not in mention.id or not mention.gap or mention.led:
        return False
    corners = [m.id for m in clause.mentions if m.kind == "place" and "-" in m.id]
    return bool(corners) and mention.id not in corners and behind.kind == "component" and behind.strong


def behind_a_remark(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "The meter, it's in a cupboard with bleach round it, the regulator's corroded": what comes is another subject."""
    mention = mentions[at]
    if mention.kind != "component" or not mention.strong or at < 2 or mentions[at - 1].kind != "det":
        return False
    if mentions[at - 1].gap > 1 and {m.kind for m in clause.mentions} <= _IT_ALONE:
        return followed_by_predicate(at, mentions)  # "it reflects it all back up, the flame's not lifting"
    remark = mentions[at - 2].kind == "pronoun" and mentions[at - 3].kind == "prep" if at > 2 else False
    other = any(m.kind == "component" and m.id != mention.id for m in clause.mentions)
    return remark and other and followed_by_predicate(at, mentions)


def never_had(at: int, mentions: Sequence[Mention]) -> bool:
    """ "No lid on this hob, never had one": said once more of the part that is not there."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    return after is not None and after.kind == "condition" and after.first == "never" and not (after.gap or after.pause)


def counted_before(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "Three burners on it, all three injectors are the wrong size": how many burners there are heads nothing."""
    part = mentions[at + 1] if at + 1 < len(mentions) else None
    counted = [m for m in clause.mentions if m.kind == "component"]
    on_it = mentions[at - 1].kind in ("pronoun", "appliance") and at > 1 and mentions[at - 2].kind == "prep"
    if part is None or part.kind != "component" or part.id == "burner" or not (counted and on_it):
        return False
    return all(m.id == "burner" for m in counted) and followed_by_predicate(at + 1, mentions)


def turns_to_another(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "The spark's there so I looked at the tap and it's passing": what was named before has been told of in words that nobody
    knows."""
    named = [m for m in clause.mentions if m.kind == "component"]
    nouns = [m for m in mentions[at : at + 3] if m.kind not in ("prep", "det")][:1]
    other = bool(nouns) and nouns[0].kind == "component" and nouns[0].strong
    return bool(named) and other and all(m.id != nouns[0].id for m in named)


def stands_there(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "Meter in the porch": a clause that says no more than where the meter stands, and words that nobody knows behind it."""
    row = [m for m in clause.mentions if m.kind not in ("det", "be", "appliance", "and")]
    told = [m.kind for m in row] in (["component"], ["component", "prep"]) and row[0].id == "meter"
    article = mentions[at - 1].kind == "det" and mentions[at - 1].gap
    return told and mentions[at].id != "meter" and bool(mentions[at].gap > (len(row) == 1) or article)


def guess_ended(clause: Clause) -> bool:
    """ "So it's the magnet I'd say": what it is, and that it is guessed."""
    row = clause.mentions[-2:]
    told = [m.kind for m in row] == ["component", "hedge-after"] and not (row[1].gap or clause.said)
    return told and any(m.kind == "pronoun" for m in clause.mentions)


def guess_untold(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "I'd say it's had a dish on it and the flame's lifting": what was guessed is told in words that nobody knows, and a part
    is joined to it of which something is seen."""
    row = mentions[max(0, at - 2) : at]
    joined = [m.kind for m in row[-2:]] == ["and", "det"] or [m.kind for m in row[-1:]] == ["and"]
    opens = next((i for i, m in enumerate(clause.mentions) if m.kind == "hedge"), None)
    if opens is None or not joined or clause.said or mentions[at].gap or mentions[at].pause:
        return False
    guess = clause.mentions[opens + 1 : -1]
    about = not any(m.kind in ("component", "or") for m in guess) and any(m.gap for m in guess)
    return about and clause.mentions[opens].last in _IT_IS and followed_by_predicate(at, mentions)


def guessed_before(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """Whether a part was guessed at, and words that nobody knows lead to another one."""
    if _guess_told(at, mentions, clause):
        return True
    mention, kinds = mentions[at], [m.kind for m in clause.mentions]
    ended = clause.mentions[-1].kind == "hedge-after"  # "could be the board, I'd not swear to that, fan sounds worn"
    apart = mention.gap > 0 or ended or mention.kind == "place"
    if "hedge" not in kinds or clause.said or not mention.strong or not apart or len(mention.senses) > 2:
        return False
    guess = [m for m in clause.mentions[kinds.index("hedge") + 1 :] if m.kind != "det"]
    failing = mention.clitic and followed_by_predicate(at, mentions)  # "might be the motor going, pump's fine"
    named = bool(guess) and guess[0].kind == "component" and (guess[0].strong or failing) and not guess[0].gap
    apart = not {m.kind for m in guess} & {"or", "and", "but"} and mention.id != guess[0].id if guess else False
    return named and apart and (ended or failing or any(m.gap for m in guess[1:]))


def _guess_told(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "Could be the bearings going, fan's clean": a guess that says all there is to say, and the next part with its own."""
    mention, last = mentions[at], clause.mentions[-1]
    guessed = any(m.kind == "hedge" for m in clause.mentions) and last.kind == "condition" and last is mentions[at - 1]
    told = guessed and last.last.endswith("ing") and not mention.gap
    return told and mention.kind == "component" and mention.clitic and followed_by_predicate(at, mentions)


def symptom_behind_guesses(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "Might be the lead, might be the electrode, front left won't spark": what is seen stands behind what is guessed of it."""
    mention, behind = mentions[at], mentions[at - 1]
    told = mentions[at + 1] if at + 1 < len(mentions) else None
    guessed = [m.kind for m in clause.mentions if m.kind in ("hedge", "hedge-after", "component", "det", "or")]
    only = len(guessed) == len(clause.mentions) and "hedge" in guessed
    named = (behind.kind == "component" and behind.strong) or (behind.kind.startswith("hedge") and mention.gap > 0)
    corner = mention.kind == "place" and "-" in mention.id and not mention.led
    seen = (
        told is not None
        and told.kind == "condition"
        and {s.id for s in told.senses} & _SHOWN
        and not (told.gap or told.pause)
    )
    return only and named and corner and bool(seen)


def diagnosed(mention: Mention, clause: Clause) -> bool:
    """ "I reckon that's the regulator, flames weak", "I reckon it's the generator lid's loose": "that is the part" says all there
    is to say of it."""
    row = clause.mentions[-3:]
    guess = clause.mentions[-3:-2] or row[:1]
    if [m.kind for m in row[1:]] != ["det", "component"] or "hedge" not in clause.kinds() or clause.said:
        return False
    by_itself = row[0].kind == "pronoun" and row[0].first in ("thats", "its")
    in_its_words = guess[0].kind == "hedge" and guess[0].last in _IT_IS_THE and not _goes_with(row[2], mention)
    named = (by_itself or in_its_words) and row[1].first == "the" and not (row[1].gap or row[2].gap or row[2].clitic)
    other = not {sense.id for sense in mention.senses} & {sense.id for sense in row[2].senses}
    return named and mention.strong and other and not mention.gap and (by_itself or not row[1].pause)


def _goes_with(whole: Mention, mention: Mention) -> bool:
    """Whether two names may be one: "the meter regulator", "the pump union", "the burner cap"."""
    piece = all(sense.id in _PIECES for sense in mention.senses)
    return whole.id in _WHOLES or piece or (whole.id, mention.id) in _NAMED_TOGETHER


def comes_anew(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """A name of which something is said, behind an "if" that trails ("it stops if you hold it leave it bond clamp's loose") or
    behind words that nobody knows ("the magnet or the stat, I'll find out Tuesday, oven fine")."""
    behind = clause.mentions[-1]
    if mention.kind == "component":
        open_if = next((i for i, m in enumerate(clause.mentions) if m.kind == "if"), 0)
        over = open_if > 0 and behind.kind == "pronoun" and behind.gap > 0 and not mention.gap
        over = over and behind is mentions[at - 1]
        return (over or _bare_if_over(open_if, clause)) and followed_by_predicate(at, mentions)
    next_ = mentions[at + 1] if at + 1 < len(mentions) else None
    fit = next_ is not None and next_.kind == "condition" and next_.fit and not (next_.gap or next_.pause)
    led = behind.kind in ("prep", "det", "and", "or", "when", "if")
    return fit and mention.gap > _FAR and not led and any(m.kind == "component" for m in clause.mentions)


def _bare_if_over(open_if: int, clause: Clause) -> bool:
    """ "It goes out if you breathe on it the bypass was shut": all that hangs on it has been said, and no part was named."""
    row = clause.mentions[open_if + 1 :]
    named = any(m.kind not in ("prep", "pronoun", "det") for m in row)
    led = [m.kind for m in row[-2:]] == ["pronoun", "det"] and row[-1].first == "the" and row[-2].first == "it"
    first = clause.mentions[0].kind == "if" and clause.mentions[0].start > 0
    return led and not named and (open_if > 0 or first)


def is_the_part(clause: Clause) -> bool:
    """ "I reckon it's the magnet": a guess that ends with its part."""
    row = [m for m in clause.mentions[-3:] if not m.pause]
    led = [m.kind for m in row] == ["pronoun", "det", "component"] and row[0].first in ("its", "thats")
    led = led and "hedge" in clause.kinds()  # "so I'd think it's the spark box"
    told = [m.kind for m in row] == ["hedge", "det", "component"] and row[0].last in ("its", "s", "thats")
    return (told or led) and not clause.said and not any(m.gap for m in row[1:])


def it_was_the_part(mention: Mention, clause: Clause) -> bool:
    """ "So it was the magnet, the other three hold in": what was at fault, and then those that are not."""
    row = clause.mentions[-4:]
    told = [m.kind for m in row] == ["pronoun", "be", "det", "component"] and row[0].first in ("it", "that")
    rest = mention.kind == "group" and mention.id == "rest" and not (mention.gap or mention.led)
    return rest and told and row[1].first in ("was", "were") and not any(m.gap or m.pause for m in row[1:])


def or_a_faulty(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "Could be the fan slowing or a blocked flue": fault and part in one, beside another part."""
    beyond = mentions[at + 1] if at + 1 < len(mentions) else None
    if beyond is None or beyond.kind != "component" or not a_faulty(at + 1, mentions) or at < 3:
        return False
    joined = mentions[at - 1].kind == "det" and mentions[at - 2].kind == "or" and not mentions[at - 1].gap
    return joined and any(m.kind == "component" for m in clause.mentions)


def wanted_in_it(clause: Clause) -> bool:
    """ "That wants a thermocouple in it, oven door's fine": a part that is wanted, and where: all has been said."""
    row = [m for m in clause.mentions if m.kind not in ("det", "place", "size", "appliance")]
    wants = [m.kind for m in row[-4:]] == ["need", "component", "prep", "pronoun"]
    return wants and row[-2].first in ("in", "on") and not any(m.gap or m.pause for m in row[-3:])


def wanted_there(mention: Mention, clause: Clause) -> bool:
    """ "Front left burner needs a cap, front right needs a crown": a part that is wanted at its corner, and the next corner."""
    row = clause.mentions[-3:]
    wants = [m.kind for m in row] == ["need", "det", "component"] and row[1].first in ("a", "an")
    wants = wants and not any(m.gap or m.pause for m in row[1:])
    return wants and is_placed(clause) and mention.kind == "place" and "-" in mention.id and not mention.led


def one_of_several(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """Whether "the front left one" tells which one of several was just spoken of, and another name follows."""
    counted = next((m for m in clause.mentions if m.kind in NOMINAL | {"det", "one", "group"}), None)
    if counted is None or counted.first not in ("one", "two") or counted.end - counted.start < 2:
        return False
    told = mentions[at - 1] if mentions[at - 1].kind != "det" else mentions[at - 2]
    named = "-" in mention.id and mention.last in ("one", "un", "ones") and not mention.led and not mention.clitic
    after = mentions[at + 1 : at + 3]
    anew = (
        not after or after[0].kind == "mark" or (after[0].kind in NOMINAL | {"det"} and bool(after[-1].kind in NOMINAL))
    )
    return named and told.kind == "condition" and not mention.gap and anew


def pending(clause: Clause) -> bool:
    """Whether a component was named and nothing was said of it yet."""
    for at, mention in reversed(list(enumerate(clause.mentions))):
        if mention.kind in PREDICATES:
            return False
        if mention.kind == "component":
            return not a_faulty(at, clause.mentions)
    return False


def stands_apart(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """Which one of several it is, and what is told behind what somebody would have done, stand apart."""
    if mention.kind == "cured" and mention.first == "thats" and mentions[at - 1].kind in ("pronoun", "work", "them"):
        row = [m.kind for m in mentions[at + 1 : at + 3] if not m.pause]  # "cleared it, that's cured the lazy flame"
        return True if row[:1] == ["det"] and row[1:] and any(m.done for m in clause.mentions) else None
    this_one = _its_this_one(mention, at, mentions, clause)
    return _behind_an_order(mention, at, mentions, clause) if this_one is None else this_one


def _its_this_one(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "One spark out of four, the others tick, it's the front left, lead's off", "all four lit but one's weak": which one it
    is stands apart from the rest."""
    if mention.kind == "one" and mentions[at - 1].kind == "but" and one_of_them(at, mentions):
        return any(m.kind == "group" or m.id == "all" for m in clause.mentions) or None
    row = mentions[at : at + 3]
    if mention.first not in _IT_IS or not mention.pause or [m.kind for m in row] != ["pronoun", "det", "place"]:
        return None
    others = any(m.kind == "group" or (m.kind == "place" and m.id in ("others", "all")) for m in clause.mentions)
    told = clause.said or any(m.kind == "component" for m in clause.mentions)
    return True if others and not told and "-" in row[2].id and not (row[1].gap or row[2].gap) else None


def _behind_an_order(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Customer says fit it next time, board fine": what somebody would have done with it, and what is told of the next part."""
    if mention.kind != "component" or clause.said or mentions[at - 1].kind == "pronoun":
        return None
    pairs = zip(clause.mentions, clause.mentions[1:], strict=False)
    ordered = any(
        who.kind == "report"
        and it.first in ("it", "that", "them")
        and it.gap == 1
        and it.kind in ("pronoun", "them", "det")
        for who, it in pairs
    )
    return True if ordered and followed_by_predicate(at, mentions) and (mention.pause or mention.gap > 1) else None
