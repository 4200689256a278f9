"""How far a clause is meant: seen, guessed, told, past, general or nothing at all. In: a clause and the mode before it.
Out: a `Mode`. Not allowed to know: parts and places.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from fieldnote.extract.clauses.clause import Clause, belies, since_done, trailing_if

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fieldnote.extract.clauses.said import Statement
    from fieldnote.extract.phrases.mention import Mention


_TELLS = frozenset("see tell know say sure check make out".split())
_BARE_TIME = frozenset({"past", "det", "and", "mark", "when", "but", "also", "pronoun", "be", "own", "appliance"})
# times that reach into the present
_LASTING = frozenset("since from used previous history known carried".split())
_PEOPLE = frozenset(
    "engineer engineers lad lads bloke blokes man men fella fellas owner owners tenant tenants fitter fitters installer "
    "installers builder builders plumber previous people lot guy guys firm company outfit occupant occupants lodger "
    "landlord".split()
)
_ELSEWHERE = frozenset({"home"})  # "my mum's got one at home": a remark that is over with its last word
# last words of what is told to be wrong
_COMPLAINING = frozenset("as for of about with complaint complaining down".split())
_IS_NOW = frozenset("is are its theyre thats theres isnt arent has have ive weve".split())
_BEEN = frozenset("was were had been".split())
_WAS_SO = frozenset("was were is wasnt werent isnt".split())
_HAS = frozenset("has have hes its theyve".split())
_WAS = frozenset(
    "was were had hadnt wasnt werent wouldnt didnt couldnt been went fell came blew kept seized burnt stuck broke cut".split()
)


# what leads back from another house
_BACK_HERE = frozenset({"own", "next-burner", "next-appliance", "back-to", "close", "appliance"})


@dataclass(frozen=True, slots=True)
class Mode:
    """The mode of a clause. `left` is how many clauses a silent scope still reaches over; `closed`: a report that is over;
    `complaint`: somebody told what is wrong;
    `led`: a time stands before what is told ("last winter the fan seized")."""

    silent: bool = False
    reported: bool = False
    past: bool = False
    corrects: bool = False
    takes_all: bool = False
    closed: bool = False
    left: int = 0
    bare: bool = False
    led: bool = False
    complaint: bool = False
    cues: tuple[str, ...] = ()

    def status_of(self, statement: Statement) -> str:
        """The status of one statement made in this mode."""
        still_fit = statement.condition_ids == {"ok"} and "still" in statement.cues  # "new last year, still perfect"
        if self.past and statement.condition_ids != {"expired"} and not still_fit:
            return "historical"
        if statement.denied:
            return "absent"
        if self.reported:
            return "reported"
        return "possible" if statement.hedged else "present"


def assess(clause: Clause, before: Mode) -> Mode:
    """The mode of a clause. A scope that was opened before reaches on until something ends it."""
    kinds = clause.kinds()
    today = kinds & {"today"} or _left_so(clause) or _so_now(clause, kinds) or _has_now(clause)
    past = not today and (
        ("past" in kinds and not _of_an_order(clause))
        or _since(clause)
        or (before.past and since_done(clause))
        or ({"past-by", "work"} <= kinds and "condition" not in kinds)
        or (before.past and (_still_past(clause) or _why_then(clause) or _his_work(clause, kinds) or _it_was(clause)))
    )
    led = _leads(clause, kinds) or (not past and before.led and _told_then(clause)) or _heads_notes(clause)
    past = past or led
    corrects = bool(kinds & {"correct", "take-back"})
    if kinds & {"if", "general", "idle"}:
        over = any(m.kind == "general" and m.last in _ELSEWHERE for m in clause.mentions)
        theirs = any(m.id == "their-own" for m in clause.mentions)
        general = "general" in kinds and not over
        reach = 0 if _whether(clause) else 2 if "if" in kinds or theirs else 1 if general else 0
        if clause.mentions[0].first == "unless":
            reach = 0  # it goes with what was said before
        if any(m.kind == "general" and (m.first, m.last) == ("youd", "think") for m in clause.mentions):
            reach = 0  # "that lazy you'd think it was on holiday: the jet was stuffed with hair"
        how = ({"behind"} if trailing_if(clause) else set()) | ({"unreal"} if _unreal(clause) else set())
        how |= {"theirs"} if theirs else set()
        return Mode(silent=True, past=past, left=reach, cues=tuple(sorted(kinds & {"if", "general", "idle"} | how)))
    if _left_open(clause.mentions[0]):
        return Mode(silent=True, cues=("if",))
    ended = (
        (_ends_silence(clause) and not _comes_of_it(clause, before))
        or _guesses(clause, before)
        or _behind_its_if(clause, before)
    )
    ended = ended or _as_it_was(clause, before) or _was_behind_its_if(clause, before)
    if "theirs" in before.cues:  # "my sister's cooker is falling to bits, the door hangs off"
        ended = (
            clause.joint in (".", "mark", "but")
            or bool(kinds & _BACK_HERE)
            or any("-" in m.id for m in clause.mentions[:2])
        )
    if before.silent and "general" in before.cues and clause.mentions[0].first in ("because", "cos", "cause"):
        return Mode(silent=True, left=before.left, cues=before.cues)
    if before.silent and before.left > 0 and not ended:
        # "I'd have capped it, but it didn't, and the joint's tight"
        answers = all(m.kind == "deny" for m in clause.mentions)
        return Mode(silent=True, left=0 if answers else before.left - 1, cues=before.cues)
    if "report" in kinds and not _belied(clause):
        row = clause.mentions
        bare = kinds <= {"report", "past", "det", "and", "mark"}  # "the landlord tells me the last man said"
        bare = bare or _breaks_off(clause)
        closed = row[-1].closing or ([m.kind for m in row[-3:]] == ["work", "report", "past"])
        complaint = any(m.kind == "report" and m.last in _COMPLAINING for m in clause.mentions)
        return Mode(reported=True, past=past, closed=closed, bare=bare, complaint=complaint, cues=("report",))
    if before.reported and not before.closed and (_goes_on(clause) or (before.bare and _told_next(clause))):
        return Mode(reported=True, past=past, complaint=before.complaint, cues=("report",))
    # "scrap that, I never touched the low rate, it was the cap", not "scrub that: knob, not spindle"
    denies = "not" in kinds and not _this_not_that(clause)
    takes_all = "take-back" in kinds and (denies or not (clause.named or clause.said))
    cues = tuple(kind for kind in ("past", "correct") if kind in kinds)
    return Mode(past=past, corrects=corrects, takes_all=takes_all, led=led, cues=cues)


def _belied(clause: Clause) -> bool:
    """ "They told me the seal had been done, it hasn't, it's split": what is said of it is said by the engineer."""
    row = clause.mentions
    at = next((at for at in range(1, len(row)) if belies(row[at : at + 5])), None)
    return at is not None and not any(m.kind in ("condition", "work", "past") for m in row[:at])


def _whether(clause: Clause) -> bool:
    """ "I can't see if there's rust under it": only what was not seen is left open, nothing depends on it."""
    row = clause.mentions
    ifs = [at for at, m in enumerate(row) if m.kind == "if"]
    return bool(ifs) and all(at and not row[at].gap and row[at - 1].last in _TELLS for at in ifs)


def _left_open(first: Mention) -> bool:
    """ "Whether the joint's leaking I'll know when I've tested it": nobody says that it does, nor that it might."""
    return first.first == "whether" and not first.gap and (first.start == 0 or first.pause == ".")


def _leads(clause: Clause, kinds: set[str]) -> bool:
    """Whether a clause is nothing but a time before this visit, and what was so then follows."""
    times = [m for m in clause.mentions if m.kind == "past"]
    told = [m for m in clause.mentions if m.kind == "work"]  # "they were told last year that the lead was too short"
    kinds = kinds - {"work", "them"} if told and all(m.id == "advise" for m in told) else kinds
    if not times or not kinds <= _BARE_TIME or clause.mentions[-1].kind not in ("past", "det"):
        return False
    lasting = times[-1].first in _LASTING or _did_that(clause.mentions)
    return not lasting and not any(m.first == "since" for m in clause.mentions)


def _did_that(row: Sequence[Mention]) -> bool:
    """ "I only did that in the spring": what was done then, and nothing that leads to what was so."""
    last = next((m for m in reversed(row) if m.kind in ("pronoun", "work")), None)
    return last is not None and last.mine and last.gap > 1 and row[-1].kind == "past" and not row[-1].pause


def _heads_notes(clause: Clause) -> bool:
    """ "His sheet from March: gas valve letting by, board renewed": what is listed behind it stands there as well."""
    at = next((i for i, m in enumerate(clause.mentions) if m.id == "notes-heading"), None)
    return at is not None and any(m.pause for m in clause.mentions[at + 1 : at + 2])


def _told_then(clause: Clause) -> bool:
    """Whether a clause behind a leading time tells what was so then: joined to it, in the past tense, with no word of now."""
    row = clause.mentions
    if clause.joint not in ("", ",", "and", "pause") or _left_so(clause):
        return False
    if not clause.joint and any((m.kind, m.first) == ("report", "down") for m in row):
        return True  # "last sheet had the tap down as stiff"
    today = [m for m in row if m.kind in ("today", "cured", "still", "hedge", "need", "report", "general", "if")]
    now = [
        m for m in row[:-1] if m.kind == "now"
    ]  # "was sticking, today it's fine": the last one goes with what follows
    being = {m.first for m in row if m.kind in ("be", "pronoun", "them")}
    if "been" in being:
        being -= {"has", "have"}  # "historically that vent has been blocked"
    if today or now or being & _IS_NOW or any(m.clitic and m.kind == "component" for m in row):
        return False
    verbs = [m.first for m in row if m.kind in ("be", "not", "condition")]
    faulty = [m.kind for m in row[:3]] == ["det", "condition", "component"] and not any(m.gap for m in row[:3])
    if clause.joint == "" and faulty and row[0].first in ("a", "an"):
        return True  # "last year's certificate put it at risk for a broken plate"
    if clause.joint == "," and [m.kind for m in row] == ["component", "condition"]:
        return True  # "on last year's sheet: fan noisy"
    return any(m.done for m in row) or any(verb in _WAS or verb.endswith("ed") for verb in verbs)


def _of_an_order(clause: Clause) -> bool:
    """ "The seal's torn, I ordered one yesterday": the day is that of the order."""
    days = [at for at, m in enumerate(clause.mentions) if m.kind == "past"]
    before = [
        next((m for m in reversed(clause.mentions[:at]) if m.kind not in ("one", "det", "pronoun")), None)
        for at in days
    ]
    return all(m is not None and m.kind == "work" and m.id == "order" for m in before)


def _breaks_off(clause: Clause) -> bool:
    """ "She says it, um, it goes out", "he reckons the fan er the fan's noisy": nothing is said yet of what is named."""
    row = [m for m in clause.mentions if m.kind != "det"]
    return [m.kind for m in row[-2:]] in (["report", "pronoun"], ["report", "component"]) and not clause.said


def _told_next(clause: Clause) -> bool:
    """Whether a clause is what somebody was just said to say: no pause and no strange words between."""
    first = clause.mentions[0]
    if clause.joint == "mark":
        return False  # "she can smell it, so I've been stood here lighting it"
    return first.gap <= 1 and not any(m.pause for m in clause.mentions[:3]) and not clause.kinds() & {"own", "but"}


def _left_so(clause: Clause) -> bool:
    """ "The previous bloke had left the seal off": what somebody left is so now."""
    if any(m.kind == "condition" and m.first == "left" for m in clause.mentions):
        return True
    if any(m.id == "missing" and m.last in ("back", "on") for m in clause.mentions):
        return True  # "the last fitter took it off and it was never put back"
    row = clause.mentions
    who = next((i for i, m in enumerate(row) if m.kind in ("past", "past-by") and m.last in _PEOPLE), None)
    if who is None or any(m.kind == "report" for m in row) or [m.kind for m in row[who + 2 : who + 3]] != ["condition"]:
        return False
    had = next((i for i, m in enumerate(row) if i > who and m.kind == "be" and m.first in ("had", "has", "have")), None)
    return had == who + 1 and row[had].gap <= 1  # "the previous owners had bricked up the vent"


def _so_now(clause: Clause, kinds: set[str]) -> bool:
    """ "The coals are in the wrong pattern, the way the last man left them": who did it is past, what he did is not."""
    times = [m for m in clause.mentions if m.kind in ("past", "past-by")]
    worked = any(m.kind == "work" and m.id != "advise" for m in clause.mentions)
    if not times or worked or "report" in kinds or not all(m.first == "by" for m in times):
        return False
    first = clause.mentions.index(times[0])
    told = clause.mentions[:first]
    present = any((m.kind == "be" and m.first in ("is", "are")) or (m.kind == "component" and m.clitic) for m in told)
    return present and any(m.kind == "condition" for m in told)


def _has_now(clause: Clause) -> bool:
    """ "I advised a new one in March, it has now perished": what has come about since."""
    pairs = pairwise(clause.mentions)
    return any(m.kind == "be" and m.first in _HAS and now.kind == "now" and not now.gap for m, now in pairs)


def _ends_silence(clause: Clause) -> bool:
    if clause.joint == ".":
        return True
    kinds = clause.kinds()
    if kinds & {"own", "next-burner", "next-appliance", "back-to", "close"}:
        return True
    if clause.joint in ("mark", "but") or "place" in kinds or "group" in kinds or clause.mentions[0].done:
        return True
    if clause.mentions[0].this_one and (clause.said or "not" in kinds):
        return True  # "bayonets do weep, this one doesn't"
    if clause.mentions[0].kind == "pronoun" and any(
        m.kind == "now" and m.first in ("at", "currently") for m in clause.mentions
    ):
        return True  # "if it goes again he wants a new one, it's running at the minute"
    row = clause.mentions
    turns = any(a.kind == "but" and b.kind == "pronoun" and not b.gap for a, b in pairwise(row))
    if turns and any(m.kind == "now" for m in row) and "condition" in kinds:
        return True  # "if the board plays up he'll want a new boiler, but that's alright today"
    told = any(m.kind == "component" and m.strong for m in clause.mentions)
    return told and not clause.joint and kinds & {"condition", "work"} != set() and not kinds & {"prep", "pronoun"}


def _comes_of_it(clause: Clause, before: Mode) -> bool:
    """ "If they go thin the flame lifts", "what you want to watch is the crowns going thin": what comes of it, in general."""
    row = clause.mentions
    led = len(row) > 2 and [m.kind for m in row[:3]] == ["det", "component", "condition"] and row[0].first == "the"
    if not led or clause.joint or row[1].clitic or any(m.gap or m.pause for m in row[1:3]):
        return False
    verb = row[2].first
    return verb.endswith("s") if "if" in before.cues else verb.endswith("ing") and "general" in before.cues


def _behind_its_if(clause: Clause, before: Mode) -> bool:
    """ "Wouldn't catch if you begged it: the jet was packed with grease": the condition went with what stands before it."""
    first = next((m for m in clause.mentions if m.kind != "det"), clause.mentions[0])
    told = "condition" in clause.kinds() and "pronoun" not in clause.kinds()
    return "behind" in before.cues and clause.joint == "," and first.kind == "component" and first.strong and told


def _was_behind_its_if(clause: Clause, before: Mode) -> bool:
    """ "It goes out if you breathe on it the bypass was shut": what was found hangs on no "if" that stands behind its clause."""
    row = [m for m in clause.mentions if m.kind != "det"]
    was = (
        len(row) > 2 and row[0].kind == "component" and row[0].strong and row[1].kind == "be" and row[1].first in _BEEN
    )
    return "behind" in before.cues and not clause.joint and was and row[2].kind == "condition" and not row[2].gap


def _unreal(clause: Clause) -> bool:
    """ "If it had been leaking I'd have capped it": what was not so, and what would have come of it."""
    had = [at for at, m in enumerate(clause.mentions[1:4]) if m.kind == "be" and m.first in ("had", "was", "were")]
    return clause.mentions[0].kind == "if" and bool(had) and any(m.kind == "need" for m in clause.mentions[2:])


def _as_it_was(clause: Clause, before: Mode) -> bool:
    """ "If it had been leaking I'd have capped it, it was not leaking": told behind what would have been."""
    row = [m for m in clause.mentions if m.kind not in ("and", "but", "mark")]
    it = next((at for at, m in enumerate(row) if m.kind not in ("pronoun", "them")), 0)
    told = bool(it) and row[it].kind in ("be", "not") and row[it].first in _WAS_SO
    return "unreal" in before.cues and told and any(m.pause for m in row[:it])


def _guesses(clause: Clause, before: Mode) -> bool:
    """ "You have to wait for it to catch, I think the jet's partly blocked": a guess of one's own is of this appliance."""
    first = clause.mentions[0]
    return "general" in before.cues and first.kind == "hedge" and first.first in ("i", "id", "im", "ive")


def _this_not_that(clause: Clause) -> bool:
    """ "Knob, not spindle": nothing but what is meant and what is not."""
    row = [m.kind for m in clause.mentions if m.kind not in ("det", "mark", "pronoun")]
    return row[1:] == ["component", "not", "component"]


def _since(clause: Clause) -> bool:
    """ "Since the chimney was swept": work that had been done before this visit."""
    first = clause.mentions[0]
    if first.kind != "mark" or first.first != "since" or any(m.pause for m in clause.mentions[1:2]):
        return False  # "it's gone noisy since. The tap was greased"
    row = [m for m in clause.mentions if m.kind not in ("pronoun", "them", "det", "component", "past", "now")]
    # "since I had hair the seal's gone" tells of no work
    return any(be.kind == "be" and be.first in _BEEN and work.kind == "work" for be, work in pairwise(row))


def _still_past(clause: Clause) -> bool:
    """ "It was sticking last visit and I fitted a new one": the past goes on while no part and no present is named."""
    kinds = clause.kinds()
    if kinds & {"now", "cured", "component", "place", "group", "size", "reading", "still"} or clause.joint == ".":
        return False
    if clause.mentions[0].kind == "work" and not clause.joint:
        return False  # "I changed that in March | put another one in"
    works = [m for m in clause.mentions if m.kind == "work"]
    if works and works[0].ive:
        return False  # "last cleaned in 2016, I've brushed it out"
    return bool(works) and "condition" not in kinds and not all(m.id == "test" for m in works)


def _his_work(clause: Clause, kinds: set[str]) -> bool:
    """ "Our Dai did this hob two years back; he changed the rear left tap then": what he did goes on being of that day."""
    row = [m for m in clause.mentions if m.kind not in ("and", "mark", "but", "det")]
    his = len(row) > 1 and row[0].kind in ("pronoun", "them") and row[0].first in ("he", "she", "they")
    return his and row[1].done and not (row[1].gap or kinds & {"now", "cured", "still", "today", "condition"})


def _why_then(clause: Clause) -> bool:
    """ "The joint was repaired in April because it was leaking": the reason is as old as the work."""
    was = any(m.first in ("was", "were", "had") and m.kind in ("be", "pronoun") for m in clause.mentions[:4])
    return clause.mentions[0].first in ("because", "cos", "as") and was


def _it_was(clause: Clause) -> bool:
    """ "When I was here in spring it wouldn't hold, that was the magnet and I put one in": what it came from then."""
    row = [m for m in clause.mentions if m.kind not in ("and", "mark", "det")]
    was = [m.kind for m in row[:1]] == ["pronoun"] and row[0].last == "was"
    was = was or ([m.kind for m in row[:2]] == ["pronoun", "be"] and row[1].first == "was")
    part = next((m for m in row[:3] if m.kind == "component"), None)
    at = clause.mentions.index(part) if part else 0
    before = clause.mentions[at - 1 : at]
    named = bool(before) and before[0].kind == "det" and before[0].first == "the" and part is not None and not part.gap
    return was and named and clause.joint in ("", ",", "and") and not clause.kinds() & {"reading", "still"}


def _goes_on(clause: Clause) -> bool:
    """Whether a report reaches into this clause: joined by and/or, no place of its own, no work, no own account."""
    kinds = clause.kinds()
    first = next((m for m in clause.mentions if m.kind != "det"), clause.mentions[0])
    if clause.joint not in ("and", "or", "") or first.kind == "hedge" or any(m.mine for m in clause.mentions[:2]):
        return False
    if kinds & {"own", "work", "place", "group", "cured", "but", "no-after", "confirm", "deny"} or belies(
        clause.mentions
    ):
        return False
    return clause.joint in ("and", "or") or "component" not in kinds
