"""A talk cut into clauses: at most one subject with what is said of it. In: mentions. Out: `Clause`s in order.

Speech has no full stops: a clause ends where a new subject opens after something was said of the one before. Not allowed to
know: what the words are names of.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from fieldnote.extract.mentions import NOMINAL, Mention

LONGEST = 60  # mentions in a clause: nobody says more in one, and the time for a text stays linear
AHEAD = 40
# kinds that say something of a subject, and kinds that open a clause whatever stands before
PREDICATES = frozenset({"condition", "work", "cured", "carried-out", "outcome", "reading", "same", "past"})
_OPENERS = frozenset(
    {"next-burner", "next-appliance", "back-to", "close", "correct", "take-back", "swap", "idle", "ask"}
)
_CLAIMS = frozenset({"report", "if", "general"})
_NOTED = frozenset("down logged booked reported recorded entered".split())  # a report told behind its part
_JOINTS = frozenset({"and", "or", "but"})
_AUXILIARIES = frozenset("doesnt dont didnt doesnae does isnt arent wont".split())
_STANDING = frozenset({"them", "pair", "lot", "em"})
_OF_FLAMES = frozenset({"flame", "burner", "burner-ring", "burner-head", "pilot"})
_BY_THE_WAY = frozenset("apparently supposedly allegedly".split())
_HAVING = frozenset("got has had".split())
# last words of a wording that lead to its part ("nest built in the flue"), and those that do so with an article only
LEADING = frozenset(
    "off from to of on in round at the past over under behind across through onto into against around".split()
)
_PARTICLES = frozenset("off on in round over under behind across through around".split())
_ACTING = frozenset("blocking covering choking".split())  # what something does to the part that follows
_BEING = frozenset("is was were thats been".split())  # "the lead was off": off leads nowhere
_ON = frozenset("on with in".split())
_HAVE = frozenset("have has had got".split())
_OUTCOMES = frozenset(
    "holds hold lights light sparks spark works runs burns turns holding lighting sparking working burning turning".split()
)
_PAUSE_WORDS = frozenset({"um", "er", "erm", "uh", "hmm"})


@dataclass(slots=True)
class Clause:
    """Mentions that belong together. `joint` is how the clause began: ".", ",", "and", "or", "but", "mark" (right, so, next),
    "pause" (um, then) or "". `cut`: words that nobody knows followed its last verb."""

    mentions: list[Mention] = field(default_factory=list)
    joint: str = ""
    cut: bool = False

    @property
    def said(self) -> bool:
        """Whether something is said of a subject already."""
        return any(m.kind in PREDICATES or (m.kind == "now" and i > 0) for i, m in enumerate(self.mentions))

    @property
    def named(self) -> bool:
        """Whether a component, place or the like stands in it."""
        return any(mention.kind in NOMINAL for mention in self.mentions)

    def kinds(self) -> set[str]:
        """The kinds of its mentions."""
        return {mention.kind for mention in self.mentions}


def split(mentions: Sequence[Mention]) -> list[Clause]:
    """The clauses of a talk. Linear in the number of mentions."""
    done: list[Clause] = []
    clause = Clause()
    for at, mention in enumerate(mentions):
        if len(clause.mentions) >= LONGEST or (clause.mentions and _opens(mention, at, mentions, clause)):
            trailing = _trailing_joints(clause)
            done.append(clause)
            clause = Clause(trailing, _joint(mention, trailing))
        clause.mentions.append(mention)
    if clause.mentions:
        done.append(clause)
    return _denials_together([clause for clause in done if clause.mentions])


_BARE = frozenset({"no", "condition", "mark", "det", "and", "or"})


def _denials_together(clauses: Sequence[Clause]) -> list[Clause]:
    """ "No cracks, no chips, nothing missing on the caps": the part is named once, behind the last denial."""
    done: list[Clause] = []
    for clause in clauses:
        before = done[-1] if done else None
        if before and clause.joint != "." and _bare_denial(before) and clause.mentions[0].kind == "no" and clause.said:
            before.mentions.extend(clause.mentions)
        else:
            done.append(clause)
    return done


def _bare_denial(clause: Clause) -> bool:
    kinds = clause.kinds()
    return {"no", "condition"} <= kinds <= _BARE


def _trailing_joints(clause: Clause) -> list[Mention]:
    """Joints and articles at the end of a clause belong to the one that follows."""
    moved: list[Mention] = []
    while clause.mentions and (
        clause.mentions[-1].kind in _JOINTS | {"det", "hedge", "mark"} or _counts_one(clause.mentions)
    ):
        moved.insert(0, clause.mentions.pop())
    return moved


def _counts_one(mentions: Sequence[Mention]) -> bool:
    """Whether "one" at the end of a clause counts what follows ("one cap was cracked")."""
    last = mentions[-1]
    return last.kind == "one" and last.start == last.end - 1 and last.first == "one" and len(mentions) > 1


def _joint(mention: Mention, trailing: Sequence[Mention]) -> str:
    pause = max((m.pause for m in [*trailing, mention]), key=" ,.".find)
    if pause == ".":
        return "."
    for joint in trailing:
        if joint.kind in _JOINTS:
            return joint.kind
    if mention.kind == "mark":
        return mention.id
    return "but" if mention.kind == "but" else pause


def _opens(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    if mention.pause == ".":
        return True
    if mention.kind in _OPENERS:
        return True
    if mention.kind == "own":
        return any(m.kind == "report" for m in clause.mentions)
    if mention.kind == "mark" and mention.first == "so" and any(m.kind == "report" for m in clause.mentions):
        return any(m.kind in NOMINAL or m.kind == "pronoun" for m in clause.mentions)  # "she says it clicks, so I ..."
    if mention.kind == "place" and "-" in mention.id and any(m.kind == "idle" for m in clause.mentions):
        return True
    if mention.kind in NOMINAL and any(m.kind in ("idle", "general") for m in clause.mentions):
        weak = mention.kind == "component" and not mention.strong and clause.mentions[-1].kind != "pronoun"
        return _followed_by_predicate(at, mentions) and not weak  # "you have to lift it to close it, hinges worn"
    if mention.kind in NOMINAL and any(m.kind == "decline" for m in clause.mentions):
        return _followed_by_predicate(at, mentions)  # "she'll not hear of it, grill burner's greasy"
    unless = clause.mentions[0].first == "unless" and len(clause.mentions) == 1 and mention.gap > 1
    if mention.kind == "component" and (unless or _condition_told(clause)) and mention.strong:
        return _followed_by_predicate(at, mentions)  # "unless you hold the knob in, the thermocouple was loose"
    if mention.kind == "no" and clause.said and at + 1 < len(mentions) and _attributive(at + 1, mentions):
        return True  # "no cracked electrodes"
    if mention.kind == "no" and (_nothing_there(clause) or (clause.said and _no_part(at, mentions))):
        return True
    if mention.kind == "no-after" and clause.said and _denied_elsewhere(at, mentions):
        return True
    if mention.kind == "no" and clause.said and _none_of_them(at, mentions):
        return True
    if mention.kind in ("confirm", "deny", "normal") or _over(clause):
        return True
    if mention.kind == "past" and clause.said and any(m.first in ("is", "are") for m in clause.mentions):
        return True  # "relief is dry, last year he changed the fan"
    if mention.pause and clause.mentions[-1].kind == "report" and clause.mentions[-1].first in ("so", "or"):
        return True  # "she's never been right, so I'm told; the head's bent"
    if mention.kind == "component" and _nobodys(mention, clause) and _followed_by_predicate(at, mentions):
        return True
    if mention.kind == "be" and mention.first in ("is", "are") and _past_told(clause):
        return True  # "the tap that leaked last time is dry today", "it was replaced in March and is fine"
    if mention.kind == "but" and any(m.kind in ("if", "general", "need") for m in clause.mentions):
        return True
    if mention.first == "so" and mention.kind == "mark" and _so_done(at, mentions, clause):
        return True
    if mention.kind == "work" and mention.done and (_figure_of_rule(clause) or _own_work(mention, clause)):
        return True
    if mention.kind == "own" and any(m.kind == "hedge" for m in clause.mentions):
        return True
    if mention.kind == "but" and clause.named and any(m.kind in ("hedge", "report") for m in clause.mentions):
        return True
    if mention.kind == "but" and clause.kinds() <= {"pronoun", "them", "det"}:
        return True
    if mention.kind == "place" and _place_told_anew(at, mentions, clause):
        return True
    if mention.kind == "but" and any(m.kind == "component" for m in clause.mentions) and _part_told(at, mentions):
        return True  # "left the flue as it was but the terminal's been knocked"
    if mention.kind == "pronoun" and _nothing_there(clause) and clause.mentions[-1].kind in ("appliance", "pronoun"):
        return True  # "no flame failure on this hob, it's that old, nothing wrong with it"
    if mention.kind in NOMINAL and _nothing_there(clause) and _followed_by_predicate(at, mentions):
        return True
    if mention.kind == "report" and mention.first in _BY_THE_WAY and _work_next(at, mentions):
        return False  # "it already had a crack apparently, took it off"
    if mention.done and clause.mentions[-1].kind == "report" and clause.mentions[-1].first in _BY_THE_WAY:
        return clause.said
    if mention.kind == "report" and mention.first in _NOTED and mention.last == "as" and _right_behind(mention, clause):
        return False  # "their note has the ignition down as dead"
    if mention.kind == "hedge" and any(m.kind == "hedge" and m.first == mention.first for m in clause.mentions):
        return clause.named  # "might be the vessel, might be a leak"
    if mention.kind in _CLAIMS or (mention.kind == "hedge" and clause.said):
        return (clause.said or clause.named) and not (mention.closing and _tells(clause, mention))
    if mention.gap and stands_for_verb(clause):
        clause.cut = True  # "flame doesn't carry all the way": a verb that nobody knows
    elif mention.kind in ("place", "group", "size", "component") and stands_for_verb(clause):
        return mention.kind != "component" or _followed_by_predicate(at, mentions)
    if mention.kind in ("mark", "but") and not clause.cut and stands_for_verb(clause):
        return True  # "the right hand two do, so it's the module"
    if mention.kind == "no" and _denies_a_part(at, mentions) and any(m.kind == "component" for m in clause.mentions):
        return True
    if mention.kind == "be" and mention.first == "theres" and _nothing_there(clause):
        return True  # "no vent in the kitchen, there's a window that opens"
    if mention.kind == "which" and any(m.kind == "which" for m in clause.mentions) and mentions[at - 1].kind == "det":
        return True  # "the stiff one's the front left and the seized one the rear left"
    if mention.kind == "be" and mention.first == "found" and clause.mentions[-1].kind == "and" and clause.named:
        return [m.kind for m in mentions[at + 1 : at + 2]] in (
            ["det"],
            ["component"],
        )  # "sprayed the lot and found the tap passing"
    if mention.kind == "place" and mention.last in ("one", "ones", "un") and mention.gap and not clause.said:
        placed = any(m.kind == "place" for m in clause.mentions)  # "back burners need attention, left one's stiff"
        if placed and _followed_by_predicate(at, mentions):
            return True
    if not clause.said and _behind_a_remark(at, mentions, clause):
        return True
    if not clause.said:
        return mention.kind == "mark" and mention.id != "mark"
    if mention.kind == "be" and mention.first in ("theres", "there"):
        return True
    if mention.kind in ("mark", "but"):
        return True
    if mention.kind in NOMINAL:
        return _opens_nominal(mention, at, mentions, clause)
    if mention.kind == "same" or (mention.kind == "one" and (_the_one(at, mentions) or _one_of_them(at, mentions))):
        return True
    if (
        mention.kind == "condition"
        and clause.mentions[-1].kind == "past"
        and any(m.kind in ("work", "condition") for m in clause.mentions)
    ):
        return True
    if mention.kind == "condition" and worked_on(at, mentions):
        return False
    apart = mention.pause or any(m.pause for m in mentions[max(0, at - 2) : at] if m.kind == "det")  # ", a bit of rust"
    if mention.kind == "condition" and apart and not mention.fit and _at_a_part(at, mentions):
        return True  # "flue pulls, a bit of rust on the burner tray"
    if mention.kind == "condition" and all(sense.note == "alone" for sense in mention.senses) and mention.gap == 0:
        return any(m.kind == "condition" for m in clause.mentions)  # "piezo dead, spark gap was closed up"
    if mention.kind == "condition":
        if _fault_noun(at, mentions) and any(m.kind == "condition" for m in clause.mentions):
            return True
        opens = _attributive(at, mentions) and (not _pending(clause) or _next_of_list(at, mentions))
        return opens or (mention.fit and _denies_ahead(at, mentions))
    if mention.kind in ("no", "not"):
        return _denies_ahead(at, mentions) and any(m.kind in ("component", "pronoun", "them") for m in clause.mentions)
    if mention.kind in ("pronoun", "them"):
        if clause.kinds() <= {"and", "but", "now"}:
            return False  # "but now it isn't"
        behind = _behind(at, mentions)
        led = behind is not None and not mention.gap and (behind.kind in ("prep", "decline", "need") or _has_it(behind))
        return not _is_object(at, mentions) and not led
    return False


def _own_work(work: Mention, clause: Clause) -> bool:
    """ "She says the alarm went off, tested it": work right behind what was told is the engineer's own."""
    behind = clause.mentions[-1]
    told = "report" in clause.kinds() and clause.said
    return (
        told and behind.kind not in ("be", "pronoun", "them", "no", "not", "and", "need", "decline") and work.gap == 0
    )


def _past_told(clause: Clause) -> bool:
    """Whether a clause has told something of the past and ends with its time."""
    told = clause.mentions[:-1] if clause.mentions[-1].kind == "and" else clause.mentions
    return bool(told) and told[-1].kind == "past" and any(m.kind in ("condition", "work") for m in told)


def _has_it(behind: Mention) -> bool:
    """ "Won't have it mended": work that somebody else is to do."""
    return behind.kind == "be" and behind.first in ("have", "having")


def _over(clause: Clause) -> bool:
    """Whether a clause ends with its answer, or with the words that say who told it."""
    last = clause.mentions[-1]
    return last.closing and (clause.said or last.kind != "report")


def _tells(clause: Clause, report: Mention) -> bool:
    """Whether a fault is told, so that "she says" behind it is said of it, not of "been there years"."""
    told = [m for m in clause.mentions if m.kind in PREDICATES]
    if not told or told[-1].kind not in ("condition", "past"):
        return False
    between = [*clause.mentions[clause.mentions.index(told[-1]) + 1 :], report]
    return not (any(m.pause for m in between) and any(m.gap for m in between))


def _right_behind(mention: Mention, clause: Clause) -> bool:
    """Whether a part of which nothing was said yet stands right before."""
    part = clause.mentions[-1] if clause.mentions else None
    return part is not None and part.kind == "component" and not (clause.said or mention.pause or mention.gap)


def _at_a_part(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a preposition and a part stand right behind."""
    row = [m for m in mentions[at + 1 : at + 4] if m.kind != "det"][:2]
    led = len(row) == 2 and row[0].kind == "prep" and row[0].id == "prep" and not any(m.pause or m.gap > 1 for m in row)
    return led and row[1].kind == "component" and row[1].strong


def _reached(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a fault is said at a part ("weeps at the spindle, had the spray on it", "rust on the supports, nothing to
    worry about")."""
    fault, led, article, mention = mentions[max(0, at - 3) : at + 1] if at > 2 else (None,) * 4
    if fault is None or led is None or article is None or mention is None:
        return False
    beside = led.id == "prep" or led.first == "by"
    near = led.kind == "prep" and beside and not any(m.gap or m.pause for m in (led, article, mention))
    return near and fault.kind == "condition" and not fault.fit and article.first == "the" and not mention.clitic


def _opens_nominal(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    behind = _behind(at, mentions)
    joined = behind is not None and behind.kind in ("prep", "except") and mention.start - behind.end <= 2
    wrong_with = behind is not None and behind.cause and any(m.fit for m in clause.mentions)
    sure = mention.strong or mention.gap == 1  # "perished at the bottom, hinges ok"
    if joined and not wrong_with and mention.kind == "component" and sure and _told_next(at, mentions):
        joined = _reached(at, mentions)  # "order one for her, heat exchanger's sooted"
    if joined and behind is mentions[at - 1] and mention.gap and mention.strong:
        joined = False  # "isn't making in time, fan wants changing"
    if (joined or mention.led) and not mention.pause:
        return False
    if (
        behind is not None
        and not mention.gap
        and not mention.pause
        and ((behind.last == "the" and behind.kind == "when") or _gets(behind))
    ):
        return False  # "goes out when the door shuts", "couldn't get the tap to turn"
    if _row_of_work(at, mentions, clause):
        return True
    if (
        _had_by_them(at, mentions)
        and not _told_next(at, mentions)
        and not any(m.kind == "component" for m in clause.mentions)
    ):
        return False  # "the right hand pair both have stiff taps"
    if _needed_before(behind, mention, clause) and _followed_by_predicate(at, mentions):
        return True
    corner = mention.kind == "place" and at > 1 and mentions[at - 1].kind == "component" and not mention.gap
    if corner and _two_places_behind(at - 1, mentions) and _is_object(at - 1, mentions):
        return False
    if _is_object(at, mentions) or _test_taken(at, mentions) or _compound(at, mentions):
        return False
    if behind is not None and behind.kind == "group" and behind.last in _STANDING:
        return True  # "swapped the pair of them, pipe's fine": whose number was said is named no more
    if behind is not None and behind.kind in NOMINAL and not mention.pause and _object_run(at, mentions):
        return False
    if behind is not None and behind.kind in ("and", "or") and _lists_objects(at, mentions):
        return False
    acting = behind is not None and behind.kind == "condition" and behind.last in _ACTING
    if acting and mentions[at - 1].kind == "det" and not mention.gap and not mention.pause:
        return False  # "nothing blocking the vent"
    acted = behind is not None and (acted_on(behind, mentions[at - 1 : at + 1]) or _done_to(at, mentions, clause))
    if acted and not _followed_by_predicate(at, mentions):
        return False
    if clause.kinds() & {"outcome"}:
        return True
    chained = behind is not None and behind is mentions[at - 1] and behind.kind == "work" and _passive(at - 2, mentions)
    if mention.kind == "component" and chained and _passive(at, mentions) and not mention.gap:
        return True  # "heat exchanger vacuumed trap flushed"
    if (
        behind is not None
        and mention.id == "flame"
        and behind.kind == "condition"
        and not behind.fit
        and not mention.gap
    ):
        coloured = any(sense.id in ("yellow-tipping", "lifting", "weak") for sense in behind.senses)
        if coloured and mentions[at - 1] is behind and not mention.pause and not _told_next(at, mentions):
            return False  # "front left yellow flame, mixing tube full of fluff"
    if mention.kind == "component" and not mention.strong and not _followed_by_predicate(at, mentions):
        return _spoken_of_next(at, mentions)
    if mention.kind == "component" and _from_what(at, mentions) and not _told_next(at, mentions):
        return False
    if mention.kind == "component" and mention.id == "appliance" and behind is not None and behind.kind == "condition":
        return mention.clitic or _followed_by_predicate(at, mentions)  # "knob rubs the fascia, straightened it"
    if behind is not None and behind.fit and _passive(at, mentions) and not mention.pause:
        return True  # "no faults, electrodes renewed"
    if _fronted(clause) and not (_followed_by_predicate(at, mentions) or _pair_told(at, mentions)):
        return False
    if behind is not None and behind.kind == "place" and behind.led and _to_what(at, mentions):
        return False  # "the lead to the rear left electrode was frayed"
    if mention.kind == "place" and at > 1 and _bar_one(at, mentions):
        return False  # "all ok bar one, the front left"
    if mention.kind == "place" and _apposed(at, mentions):
        return False  # "cracked on two of them, back left, front right"
    if mention.last == "round" and behind is not None and behind.fit and not mention.gap:
        return False  # "flame good all round, no leaks"
    group = at - 1 if mentions[at - 1].kind == "group" and not (mention.gap or mention.pause) else at
    if mentions[group].kind == "group" and _from_what(group, mentions) and not _followed_by_predicate(at, mentions):
        return False  # "stuffed cling film over both air bricks"
    if mention.kind == "place" and not _placed(clause) and _in_parallel(at, mentions):
        return False  # "cap cracked front left, cap cracked rear left"
    if mention.kind in ("place", "group", "size"):
        return _placed(clause) or not _closes(at, mentions)
    if behind is not None and behind.kind == "condition" and worked_on(at - 1, mentions):
        return False
    if (
        behind is not None
        and behind.kind == "condition"
        and behind.first in _HAVING
        and not mention.gap
        and mention.strong
    ):
        return any(m.kind == "component" for m in clause.mentions)  # "front left's got a split knob"
    if mention.kind == "component" and _a_faulty(at, mentions):
        return any(m.kind == "component" for m in clause.mentions[:-1])  # "front left a cracked cap"
    if behind is not None and behind.kind == "condition" and _attributive(at - 1, mentions):
        return not any(m is behind for m in clause.mentions[:1]) and _pending_before(behind, clause)
    return True


def _had_by_them(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether "have" and a fault stand right before a part."""
    behind, mention = _behind(at, mentions), mentions[at]
    if behind is None or behind.kind != "condition" or mention.kind != "component" or mention.gap or mention.pause:
        return False
    first = at - 1
    while mentions[first] is not behind:
        first -= 1  # not `index`: it would walk the whole talk
    having = _behind(first, mentions)
    return having is not None and having.kind == "be" and having.first in _HAVE and not behind.gap


def _needed_before(behind: Mention | None, mention: Mention, clause: Clause) -> bool:
    """ "The cap's cracked, needs replacing, the right hand pair are stiff": what needs it stands before it."""
    if behind is None or behind.kind != "work" or behind.senses[0].note != "needed" or not clause.named:
        return False
    return mention.kind in ("place", "group") and behind.last.endswith("ing")


def _pair_told(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether two places follow of which one thing is said ("no spark, rear left and rear right both good")."""
    row = mentions[at : at + 4]
    told = (
        [m.kind for m in row[:3]] == ["place", "and", "place"] and len(row) == 4 and not any(m.pause for m in row[1:])
    )
    return told and (row[3].id == "last-two" or row[3].first in ("are", "were"))


def _condition_told(clause: Clause) -> bool:
    """Whether a part was named behind "unless"."""
    first = clause.mentions[0]
    told = any(m.kind == "component" for m in clause.mentions) or clause.mentions[-1].kind == "pronoun"
    return first.kind == "if" and first.first == "unless" and told


def acted_on(wording: Mention, behind: Sequence[Mention]) -> bool:
    """ "Someone's opened up the jet": somebody that nobody knows did what is wrong to the part that follows."""
    first, noun = (behind[0], behind[-1]) if len(behind) > 1 else (None, None)
    if first is None or noun is None or first.kind != "det" or noun.kind != "component" or not noun.strong:
        return False
    return (
        wording.kind == "condition"
        and not wording.fit
        and (wording.gap > 0 or (wording.last in ("missing", "lost") and first.first in ("its", "a", "one", "their")))
        and not any(m.gap or m.pause for m in behind)
    )


def _done_to(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "He's put a telly up and covered the vent": a fault told as an act, of the part behind it, where no part stands before."""
    return at > 1 and done_to(mentions[at - 2 : at + 1]) and not clause.named


def done_to(row: Sequence[Mention]) -> bool:
    """Whether a fault told as an act stands right before its part ("covered the vent")."""
    if len(row) < 3 or row[1].kind != "det" or row[1].first not in ("the", "their", "his", "her"):
        return False
    told = row[0].kind == "condition" and not row[0].fit and row[0].last.endswith("ed") and row[2].strong
    return told and row[2].kind == "component" and not any(m.gap or m.pause for m in row[1:])


def stands_for_verb(clause: Clause) -> bool:
    """Whether all that a clause says of a place is "does" or "doesn't": what was said before, or its opposite."""
    names = [m for m in clause.mentions if m.kind in NOMINAL]
    last = next((m for m in reversed(clause.mentions) if m.kind != "det"), clause.mentions[-1])
    auxiliary = last.kind == "does" or (last.kind == "not" and last.first in _AUXILIARIES)
    auxiliary = auxiliary or (
        last.kind == "be" and last.first in ("is", "are", "was", "were") and clause.joint == "but"
    )
    return auxiliary and not clause.said and bool(names) and not last.pause and last.gap == 0


def _so_done(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "It weeps if you lean on it, so replaced the elbow": the work stands outside the condition."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    return after is not None and after.done and any(m.kind == "if" for m in clause.mentions)


def _figure_of_rule(clause: Clause) -> bool:
    """Whether a rule has been told up to its figure ("the book says seventy eight, changed it")."""
    kinds = [m.kind for m in clause.mentions]
    return "general" in kinds and kinds[-1] == "reading"


def _nobodys(mention: Mention, clause: Clause) -> bool:
    """Whether a denial before a part was said of something nobody knows ("that's not my department, fan's noisy")."""
    return bool(mention.gap) and not clause.named and any(m.kind == "not" for m in clause.mentions)


def _from_what(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Had dropped off the electrode": the wording's last word leads to the part."""
    mention, behind = mentions[at], _behind(at, mentions)
    if behind is None or behind.kind != "condition" or behind.fit or mention.pause or mention.gap > 1:
        return False  # nor "magnets hold in, taps turn"
    adverb = behind.last in _PARTICLES and mentions[at - 1].kind != "det" and mention.kind != "group"
    # "burner won't come in, gas valve was dead"
    return behind.last in LEADING and not adverb and behind.first not in _BEING


def in_hand(denial: Mention) -> bool:
    """ "I've no seal": none on the van, not none on the appliance."""
    return denial.first in ("ive", "weve", "i", "we") or denial.owned


def _no_part(at: int, mentions: Sequence[Mention]) -> bool:
    """ "No alarm": a denial right before a part that is not followed by anything said of it."""
    noun = mentions[at + 1] if at + 1 < len(mentions) else None
    beyond = mentions[at + 2] if at + 2 < len(mentions) else None
    if noun is None or noun.kind != "component" or noun.pause or noun.gap > 1 or in_hand(mentions[at]):
        return False
    return beyond is None or bool(beyond.pause) or beyond.kind not in ("condition", "be", "component")


def _placed(clause: Clause) -> bool:
    """Whether the clause has begun with its place: then another place is that of the next one."""
    for mention in clause.mentions:
        if mention.kind in PREDICATES:
            return False
        if mention.kind in ("place", "group"):
            return True
    return False


def _spoken_of_next(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Checked the lead, that's fine": a name behind words that nobody knows, and what is said of it by a pronoun."""
    unknown = mentions[at].gap or (mentions[at - 1].kind == "det" and mentions[at - 1].gap)
    after = [m.kind for m in mentions[at + 1 : at + 3] if not m.gap]
    told = after in (["pronoun", "condition"], ["pronoun", "be"], ["pronoun", "not"])
    return bool(unknown) and told and mentions[at + 1].first in ("thats", "that", "its", "it", "which")


def _one_of_them(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Both regreased, one still passing": one of those that were just spoken of."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    close = at > 0 and mentions[at].gap == 0 and mentions[at - 1].kind in ("work", "condition", "group", "now", "cured")
    told = after is not None and not after.gap and not after.pause and after.kind in ("condition", "be", "still")
    return close and told and mentions[at].first == "one"


def _the_one(at: int, mentions: Sequence[Mention]) -> bool:
    """ "The one in the middle": a subject of its own, led by its article."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    article = at > 0 and mentions[at - 1].kind == "det" and mentions[at - 1].first == "the"
    if at > 1 and mentions[at - 2].kind == "same":
        return False  # "as is the one on the front left"
    if after is not None and after.kind == "prep" and not after.gap and not after.pause:
        where = next((m for m in mentions[at + 2 : at + 4] if m.kind != "det"), None)
        return article and where is not None and where.kind in ("place", "size") and not where.gap
    return article and after is not None and after.kind == "place" and after.led and not after.pause


def _work_next(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether work that was done stands right behind a mention."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    return after is not None and after.done and after.gap <= 1


def _told_next(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a fault or a form of "be" stands right behind a name."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    return after is not None and not after.gap and not after.pause and after.kind in ("be", "not", "condition")


def _place_told_anew(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "No sorry that's the rear left, front left's just dirty": a corrected place, then the next one with its own news."""
    behind = mentions[at - 1]
    corrected = any(m.kind in ("correct", "take-back") for m in clause.mentions) and behind.kind == "place"
    return corrected and not clause.said and (mentions[at].clitic or _told_next(at, mentions))


def _none_of_them(at: int, mentions: Sequence[Mention]) -> bool:
    """ "None of the taps pass", "neither of them held": the denial opens what is said of those that it names."""
    noun = mentions[at + 1] if at + 1 < len(mentions) else None
    counted = mentions[at].first in ("none", "neither") and mentions[at].last in ("of", "the", "them", "these", "those")
    if noun is None or not counted or noun.gap or noun.pause:
        return False
    return noun.kind == "condition" or (noun.kind in NOMINAL and _followed_by_predicate(at + 1, mentions))


def _denied_elsewhere(at: int, mentions: Sequence[Mention]) -> bool:
    """ "None on the bayonet", "neither of them needs doing": what is denied of other parts, or of what is wanted."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    if after is None or after.pause or after.gap:
        return False
    if after.kind in ("need", "work"):
        return True
    noun = next((m for m in mentions[at + 2 : at + 4] if m.kind != "det"), None)
    return mentions[at].first == "none" and after.kind == "prep" and noun is not None and noun.kind in NOMINAL


def _nothing_there(clause: Clause) -> bool:
    """Whether the clause says that a part is not there ("no stability bracket on it")."""
    return (
        any(
            first.kind == "no" and second.kind == "component"
            for first, second in zip(clause.mentions, clause.mentions[1:], strict=False)
        )
        and not clause.said
    )


def _fronted(clause: Clause) -> bool:
    """Whether a condition opened the clause and its part is still to come ("Cracked: front left cap")."""
    said = [m for m in clause.mentions if m.kind in PREDICATES]
    rest = [m for m in clause.mentions if m.kind in NOMINAL | {"pronoun", "them"}]
    return (
        len(said) == 1
        and said[0].kind == "condition"
        and not said[0].fit
        and all(m.start > said[0].start for m in rest)
        and (not any(m.kind == "component" for m in rest))
    )


def _pending_before(condition: Mention, clause: Clause) -> bool:
    """Whether the clause has a subject before this condition, so that the condition belongs to that one."""
    before = [m for m in clause.mentions if m.kind in NOMINAL and m.start < condition.start]
    return any(m.kind != "appliance" for m in before) or (bool(before) and condition.gap > 0)


def _behind(at: int, mentions: Sequence[Mention]) -> Mention | None:
    at -= 1
    while at >= 0 and mentions[at].kind == "det":
        at -= 1
    return mentions[at] if at >= 0 else None


def _is_object(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether work stands right before ("cleaned the injector", "cleaned it")."""
    behind = _behind(at, mentions)
    mention = mentions[at]
    if behind is None or behind.kind != "work" or mention.pause or mention.gap > 1:
        return False
    if not behind.takes_object:
        return False
    if mentions[at - 1] is behind and at > 1 and _passive(at - 2, mentions) and _passive(at, mentions):
        return False  # "gaskets renewed siphon cleaned"
    if behind.last == "new" and mention.kind == "component":
        return True
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    rest_told = mention.id == "rest" and _followed_by_predicate(at, mentions)
    if mention.kind == "which" or (mention.kind == "group" and after is not None and after.kind == "component"):
        return not rest_told  # "greased the stiff one", "scrubbed the two of them, electrode's fine"
    if mention.kind == "group" and mention.last in _STANDING:
        return True  # "cleared the three of them, front right was fine"
    if mention.kind == "component" and behind.done and _plainly_object(at, mentions):
        return True
    if mention.kind == "component" and mention.strong and _another_subject(at, mentions):
        return True  # "took the cap off, the mixing tube was full of grease"
    if mention.kind == "component" and _two_places_behind(at, mentions):
        return True  # "adjusted electrode front left, rear left fine"
    if after is not None and mention.kind == after.kind == "component" and not after.gap:
        return True  # "wants a new fan, diverter was stuck": the second name is the subject
    return not (mention.kind in NOMINAL and _followed_by_predicate(at, mentions))


def _behind_a_remark(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "The meter, it's in a cupboard with bleach round it, the regulator's corroded": what comes is another subject."""
    mention = mentions[at]
    if mention.kind != "component" or not mention.strong or at < 2 or mentions[at - 1].kind != "det":
        return False
    remark = mentions[at - 2].kind == "pronoun" and mentions[at - 3].kind == "prep" if at > 2 else False
    other = any(m.kind == "component" and m.id != mention.id for m in clause.mentions)
    return remark and other and _followed_by_predicate(at, mentions)


def _row_of_work(at: int, mentions: Sequence[Mention], clause: Clause) -> bool:
    """ "Burner brushed, pilot jet pricked": each part stands before what was done to it."""
    end = at
    while end < len(mentions) and mentions[end].kind == "component" and not (end > at and mentions[end].gap):
        end += 1
    if end == at or end == len(mentions) or not mentions[end].done or mentions[end].gap or mentions[end].pause:
        return False
    said = [m for m in clause.mentions if m.kind != "and"]
    works = [m for m in said if m.done]
    return (
        len(said) > len(works) > 0
        and said[-len(works) :] == works
        and all(m.kind in ("component", "place") for m in said[: -len(works)])
    )


def _two_places_behind(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether two corners follow a part, the second of them that of the next statement."""
    row = mentions[at + 1 : at + 3]
    return len(row) == 2 and all(m.kind == "place" and "-" in m.id and not m.gap for m in row)


def _to_what(at: int, mentions: Sequence[Mention]) -> bool:
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


def _in_parallel(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether part, fault and place come in the same order before and behind."""
    before, behind = mentions[max(0, at - 2) : at], mentions[at + 1 : at + 4]
    if [m.kind for m in before] != ["component", "condition"] or [m.kind for m in behind] != [
        "component",
        "condition",
        "place",
    ]:
        return False
    return before[0].id == behind[0].id and not any(m.gap for m in behind)


def _bar_one(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether "bar one" stands before a place."""
    row = [m for m in mentions[max(0, at - 4) : at] if m.kind not in ("det", "pronoun")]
    return [m.kind for m in row[-2:]] == ["except", "one"] and not mentions[at].gap


def _apposed(at: int, mentions: Sequence[Mention]) -> bool:
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
    return after.kind == "cured" or after.first == "still" or (after.fit and after.first in _OUTCOMES)


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
    return article.gap == 1 and _followed_by_predicate(at + 2, mentions)


def _compound(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Burner" and "caps" right behind it are one name."""
    whole, mention = mentions[at - 1], mentions[at]
    if at == 0 or mention.kind != "component" or mention.gap or mention.pause:
        return False
    before = _behind(at - 1, mentions) if at > 1 else None
    if before is not None and before.kind == "prep" and _followed_by_predicate(at, mentions):
        return False  # "no spark at the burner, lead's come adrift"
    return whole.kind == "component" and whole.id == "burner" and not whole.clitic


def _test_taken(at: int, mentions: Sequence[Mention]) -> bool:
    """ "Passed the spillage test": the test that was passed."""
    behind = _behind(at, mentions)
    verdict = behind is not None and any(sense.id in ("passed", "failed") for sense in behind.senses)
    return verdict and mentions[at - 1].kind == "det" and not mentions[at].pause


def _object_run(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether the names right before are the object of work or of a preposition, and this one goes on with them."""
    i = at - 1
    if (
        mentions[i].kind == "component"
        and mentions[at].gap
        and i
        and mentions[i - 1].done
        and mentions[i - 1].last == "new"
    ):
        return False  # "new electrode fitted, fan needs ordering"
    while i >= 0 and mentions[i].kind in NOMINAL | {"det"} and not mentions[i + 1].pause:
        if mentions[i].led:
            return not _followed_by_predicate(at, mentions)
        i -= 1
    governs = i >= 0 and (mentions[i].kind in ("prep", "work") or _gets(mentions[i]))
    return governs and not _followed_by_predicate(at, mentions)


def _gets(mention: Mention) -> bool:
    """ "Couldn't get the tap to turn", "left the seal off": the part stands inside what is said of it."""
    return mention.kind == "condition" and mention.last in ("get", "left", "fault", "with")


def _lists_objects(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether "and" joins one more object ("no leaks on the joints or the valve", "cleaned the cap and the ring")."""
    i = at - 1
    while i >= 0 and mentions[i].kind in NOMINAL | {"det", "and", "or"}:
        i -= 1
    if i > 0 and _passive(i - 1, mentions) and _passive(at, mentions):
        return False  # "injector changed and thermocouple tightened"
    led = i >= 0 and (mentions[i].kind in ("prep", "work") or _gets(mentions[i]))
    return led and not _followed_by_predicate(at, mentions)


def _passive(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether work that has been done stands right behind a part ("trap rinsed", "trap out and rinsed")."""
    part, rest = mentions[at], mentions[at + 1 : at + 4]
    out = len(rest) > 1 and rest[0].kind == "and" and rest[0].gap == 1
    work = rest[1] if out else rest[0] if rest else None  # "trap out and rinsed"
    return part.kind == "component" and work is not None and work.done and work.gap <= 1 and not work.pause


def _followed_by_predicate(at: int, mentions: Sequence[Mention]) -> bool:
    for i, mention in enumerate(mentions[at : at + AHEAD], at):
        if _of_it(i, mentions):
            continue  # "the seal on it isn't"
        if mention.kind == "one" and mention.first == "one" and i > at and i + 1 < len(mentions):
            after = mentions[i + 1]
            if after.kind == "component" and not after.gap and not after.pause:
                return False  # "cleaned the caps on every one, one cap was cracked"
        if i == at and mention.clitic and mention.kind == "component" and _unknown_next(i, mentions):
            return True  # "lid's coming down on the knobs"
        if (mention.kind == "cured" and mention.gap > 1) or _unknown_denied(i, mentions):
            return False
        if mention.kind == "condition" and _fault_noun(i, mentions):
            return False  # "a crack in the cap, a chip in the one beside it"
        if mention.kind == "work" and mention.owned and i == at + 1 and mentions[i + 1 : i + 2]:
            return mentions[i + 1].kind == "past"  # "the seal I replaced last month"
        if i > at and mention.kind == "appliance" and _whole(mentions[i - 1]) and not mention.gap:
            return False  # "nice flames, grill slow to take"
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
        if i > at + 2 and _another(i, mentions):
            return False  # "blocked injector on the pilot, the thermocouple's fine"
        if mention.kind in ("be", "not", "condition", "need", "cured", "same") and not mention.pause:
            return mention.first not in ("it", "its", "that", "thats", "theyre")
        on_a_place = mention.kind == "prep" and mention.id == "prep" and mentions[at].kind == "component"
        if not (on_a_place or mention.kind in NOMINAL | {"det", "one"}) or (
            mention.pause and mention is not mentions[at]
        ):
            return False
    return False


def _leads(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a verdict is led to what it is said of by the word behind it."""
    after = mentions[at + 1] if at + 1 < len(mentions) else None
    return mentions[at].kind == "condition" and after is not None and after.kind == "prep" and after.first in _ON


def _apart(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether words that nobody knows part a name from the whole name before it ("gave the fins a brush, the fan's worn")."""
    article = mentions[at - 1].kind == "det"
    gap = mentions[at].gap or (article and mentions[at - 1].gap) or _plural_next(mentions[at - 1])
    return bool(gap) and at > article and _whole(mentions[at - 1 - article])


def _plural_next(mention: Mention) -> bool:
    """ "Blocking the air holes, flames all yellow": a plural goes with no name behind it."""
    return mention.kind == "component" and mention.plural and mention.last.endswith("s") and not mention.clitic


def _whole(mention: Mention) -> bool:
    """Whether a name of a part is enough by itself."""
    return mention.kind == "component" and mention.strong


def _another(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether an article opens a new subject behind a part that a preposition led to."""
    led, part, article, noun = (mentions[at - 3], mentions[at - 2], mentions[at - 1], mentions[at])
    if led.kind == "det" and at > 3:
        led = mentions[at - 4]
    named = part.kind == "component" and noun.kind == "component" and noun.strong
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
    return mentions[last].first in ("it", "that", "this") and not mentions[last].pause and not mentions[last].gap


def _closes(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a place stands at the end of what is said ("tap's stiff rear right"), not at the start of the next."""
    for i, mention in enumerate(mentions[at + 1 : at + AHEAD], at + 1):
        if i == at + 1 and mention.gap > 2 and mention.kind in ("pronoun", "prep"):
            return True  # "tap stiff front right WD forty on it"
        if mention.kind == "and" and not mention.pause and _place_next(i, mentions):
            continue  # "middle and right ones are fine"
        if mention.first == "which" and mention.kind == "pronoun":
            return True  # "a stiff tap front left which I've eased"
        if mention.kind == "need" and mentions[at].kind == "group" and mentions[at].id == "last-two":
            return False  # "knob cracked, both need replacing"
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
        if mention.kind == "group" and mention.id == "rest":
            return True  # "electrode cracked rear right the other three sound"
        if mention.kind not in ("place", "group", "size", "det", "one"):
            return False
    return True


def _place_next(at: int, mentions: Sequence[Mention]) -> bool:
    noun = next((m for m in mentions[at + 1 : at + 3] if m.kind != "det"), None)
    return noun is not None and noun.kind in ("place", "group", "size") and not noun.pause


def _attributive(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a condition stands before its own noun ("a cracked electrode")."""
    if mentions[at].kind != "condition" or at + 1 >= len(mentions):
        return False
    noun = mentions[at + 1]
    if noun.kind == "appliance" and noun.first in ("oven", "grill") and at + 2 < len(mentions) and not noun.gap:
        noun = mentions[at + 2]  # "a stiff oven tap"
    if noun.kind != "component" or noun.pause or noun.gap or not noun.strong or not _sayable(mentions[at], noun):
        return False
    behind = mentions[at - 1] if at else None
    if behind is not None and behind.kind == "det" and behind.id == "det":
        return at < 2 or mentions[at - 2].kind != "be"  # "front left's got a split knob"
    if noun.id == "flame" and mentions[at].fit and at + 2 < len(mentions) and mentions[at + 2].kind == "place":
        return True  # "lights fine, nice flame, front right won't light"
    return not _followed_by_predicate(at + 1, mentions)


def _sayable(condition: Mention, noun: Mention) -> bool:
    """Whether a condition can be said of a part: "floppy and yellow" is said of no air hole that follows."""
    ids = {sense.id for sense in noun.senses}
    told = [_OF_FLAMES if sense.id in ("lifting", "yellow-tipping") else sense.of for sense in condition.senses]
    return any(of is None or bool(of & ids) for of in told)


def worked_on(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a condition says which part the work before it was done on ("replaced the cracked cap")."""
    behind = _behind(at, mentions)
    if behind is None or behind.kind != "work" or not behind.takes_object or not _attributive(at, mentions):
        return False
    return not any(mention.pause or mention.gap for mention in (mentions[at], mentions[at + 1]))


def _pending(clause: Clause) -> bool:
    """Whether a component was named and nothing was said of it yet."""
    for at, mention in reversed(list(enumerate(clause.mentions))):
        if mention.kind in PREDICATES:
            return False
        if mention.kind == "component":
            return not _a_faulty(at, clause.mentions)
    return False


def _a_faulty(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a name ends "a cracked cap": article, fault and part."""
    fault, part = mentions[at - 1] if at else None, mentions[at]
    if fault is None or fault.kind != "condition" or fault.fit or part.gap or part.pause or not part.strong:
        return False
    before = mentions[at - 2] if at > 1 else None
    if before is None or before.kind == "and" or fault.pause:
        return True
    if before.kind == "det":
        return (before.first in ("a", "an", "one", "another") or fault.first == "wrong") and not fault.gap
    return before.kind == "be" and fault.gap > 0  # "hob's got two faults, cracked cap"


def _fault_noun(at: int, mentions: Sequence[Mention]) -> bool:
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


def _next_of_list(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a fault with its article goes on with a list ("a perished seal and a slack knob")."""
    joined = at > 1 and mentions[at - 1].kind == "det" and mentions[at - 1].first in ("a", "an")
    return joined and mentions[at - 2].kind == "and" and not mentions[at - 1].gap


def _part_told(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether a part with something said of it follows."""
    first = next((i for i in range(at + 1, min(at + 3, len(mentions))) if mentions[i].kind != "det"), None)
    named = first is not None and mentions[first].kind in ("component", "place")
    return named and first is not None and _followed_by_predicate(first, mentions)


def _denies_a_part(at: int, mentions: Sequence[Mention]) -> bool:
    """ "No leaks on any joint": denial, condition and part in one."""
    run = [m for m in mentions[at + 1 : at + 7] if m.kind != "det"]
    run = [m for i, m in enumerate(run) if i == 0 or m.kind != "prep" or run[i - 1].kind != "prep"]  # "on any of the"
    kinds = [m.kind for m in run[:3]]
    return kinds == ["condition", "prep", "component"] and not any(m.pause for m in run[:3])


def _denies_ahead(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether "no cracks in the caps" opens: a denial whose noun phrase stands behind it."""
    for i in range(at + 1, min(at + 9, len(mentions))):
        if mentions[i].kind == "prep":
            after = [m.kind for m in mentions[i + 1 : i + 3] if m.kind != "det"]
            return bool(after) and after[0] in NOMINAL
        if mentions[i].led and mentions[i - 1].kind == "condition":
            return True
        if mentions[i].kind not in ("condition", "or", "and", "no", "det") or mentions[i].pause == ".":
            return False
    return False
