"""Parts of which a clause says that they are not there. In: a clause. Out: statements.

Not allowed to know: what was said before in the talk.
"""

import itertools
from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.denials import in_hand
from fieldnote.extract.clauses.said import Job, Statement
from fieldnote.extract.clauses.subjects import targets
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.phrases.mention import NOMINAL, Mention
from fieldnote.extract.words.lexicon import Sense

# "no flame", "no burner" says something else than that the part is missing
_FITTED = frozenset("electrode injector thermocouple".split())  # which "there's no ..." may miss all the same
ALWAYS_THERE = frozenset(
    "flame flue burner pilot pipework joint appliance electrode injector gas-tap thermocouple regulator meter thermostat".split()
)
# what nobody takes away: an appliance without one was made without it
NEVER_TAKEN = frozenset({"fsd", "fan", "pilot", "pump", "diverter-valve"})
# verbs of denials that tell of what goes on, not of what is there
_SENSED = frozenset(
    "hear heard notice noticed spot spotted detect detected trace traced observe observed saw identify identified".split()
)
_NO_OTHER = frozenset("not it this that".split())

# what an appliance should have all the same
_WANTED = frozenset("stability-bracket data-plate co-alarm ventilation".split())
_OF_ITS_KIND = frozenset({"these", "this"})
_NIL = frozenset("nothing none nowt nil neither".split())
_IT_HAS = frozenset("it its hes shes she he theyve they theyre".split())
_TAKEN = frozenset("took taken removed scrapped binned".split())  # not there any more; "pulled off" hangs there
_HAVE = frozenset("have has had hasnt havent".split())


def placed(target: Target, subject: Sequence[Target]) -> Target:
    """ "Front left and rear right need new caps": work on a part at the places that were said before it."""
    if (
        target.places
        or target.group
        or target.which
        or len(subject) != 1
        or subject[0].component not in (None, "burner")
    ):
        return target
    return replace(target, places=subject[0].places, size=target.size or subject[0].size)


def not_there(clause: Clause) -> Statement | None:
    """ "No stability bracket", "there's no alarm", "alarm: none": a part that is not there."""
    rest = list(itertools.dropwhile(lambda m: m.kind != "no-after", clause.mentions))
    advised = bool(rest) and all(m.kind == "work" and m.id in ("advise", "order") for m in rest[1:])  # "none, advised"
    end = clause.mentions.index(rest[0]) + 1 if advised else len(clause.mentions)
    last = clause.mentions[end - 1]
    if last.kind == "no-after" and (last.first == "none" or last.id == "none-answer") and end > 1:
        asked = last.id == "none-answer"  # "is the chain there, no", "is there a lid on it, no"
        row = [m for m in clause.mentions[: end - 1] if not (asked and m.kind in ("prep", "pronoun"))]
        part = row[-1] if row else last
        if part.kind == "component" and part.id not in ALWAYS_THERE and last.gap <= asked:
            missing = (Sense("condition", "missing"),)
            return Statement(missing, last.start, last.end, targets([part]), head=last.start, own=True, cues=["no"])
    if (never := _by_design(clause)) is not None:
        return never
    if (lacked := _not_got(clause)) is not None:
        return lacked
    for at, mention in enumerate(clause.mentions[:-1]):
        noun = next((m for m in clause.mentions[at + 1 : at + 4] if m.kind not in ("det", "size")), None)
        if (
            mention.kind == "no"
            and not in_hand(mention)
            and mention.first not in ("looked", "checked", "had")
            and not (mention.first == "without" and clause.mentions[at + 1].first == "the")
            and not (mention.last == "a" and mention.first in _NO_OTHER and not _anywhere(noun, clause))
            and mention.last not in _SENSED
            and noun is not None
            and noun.kind == "component"
            and (
                noun.strong
                or len(noun.senses) == 1
                or _of_what(noun, clause)
                or _at_a_place(noun, clause)
                or _a_seal(noun)
            )
            and noun.start - mention.end <= 2
            and noun.first != "spillage"  # "no evidence of spillage"
        ):
            flueless = noun.id == "flue" and _on_it(noun, clause)
            told_none = noun.id in _FITTED and _said_to_be_none(mention, noun, clause)
            if noun.id in ALWAYS_THERE and not (flueless or told_none):
                return None
            here = targets(clause.mentions[:at])
            by_design = flueless or noun.id in NEVER_TAKEN or (noun.id not in _WANTED and _on_this_one(noun, clause))
            sense = Sense("condition", "not-fitted" if by_design else "missing")
            run = list(
                itertools.takewhile(
                    lambda m: m.kind in (*NOMINAL, "and", "or", "det", "prep"), clause.mentions[at + 1 :]
                )
            )
            gone = [placed(target, here) for target in targets(run)]  # "the rear two have no flame failure"
            return Statement((sense,), mention.start, noun.end, gone, head=mention.start, own=True, cues=["no"])
    return None


def taken_off(clause: Clause, works: Sequence[Job]) -> Statement | None:
    """ "Somebody's pulled the front left lead off", "they've taken the chain off": what others did to it is how it is."""
    for job in works:
        gone = [target for target in job.targets if target.names]
        if job.kind != "remove" or job.state != "theirs" or not gone:
            continue
        verb = next(m for m in clause.mentions if m.start == job.start)
        sense = Sense("condition", "missing" if verb.first in _TAKEN else "detached")
        return Statement((sense,), job.start, max(t.end for t in gone), gone, head=job.start, own=True)
    return None


def heads_nothing(clause: Clause) -> bool:
    """ "Perished: nothing.": a fault that heads a list, and there is nothing in it."""
    row = clause.mentions
    fault = len(row) == 2 and row[0].kind == "condition" and not row[0].fit and clause.joint in ("", ".")
    return fault and row[1].kind in ("no", "no-after") and row[1].first in _NIL and bool(row[1].pause)


def _not_got(clause: Clause) -> Statement | None:
    """ "It's not got a chain", "the cooker hasn't got a data plate"."""
    row = [m for m in clause.mentions if m.kind != "det" and (m.kind, m.first) != ("pronoun", "its")]
    for at, (denial, have, part) in enumerate(zip(row, row[1:], row[2:], strict=False)):
        whose = row[at - 1] if at else None
        had = denial.kind == "not" and have.kind == "be" and have.first in ("got", "have") and part.kind == "component"
        if (
            had
            and whose is not None
            and (whose.kind in ("appliance", "place") or whose.first in _IT_HAS)
            and not denial.gap
            and not (have.gap or part.gap or part.pause)
            and part.id not in ALWAYS_THERE
            and (part.strong or whose.kind == "appliance")
        ):
            run = list(itertools.takewhile(lambda m: m.kind in (*NOMINAL, "and", "or"), row[at + 2 :]))
            here = targets([whose]) if whose.kind == "place" else []  # "back right hasn't got its cap"
            design = any(m.first in _OF_ITS_KIND for m in row[at + 3 :])  # "it's not got radiants, this one"
            sense = Sense("condition", "not-fitted" if design else "missing")
            gone = [placed(target, here) for target in targets(run)]
            return Statement((sense,), denial.start, part.end, gone, head=denial.start, own=True, cues=["no"])
    return None


def _by_design(clause: Clause) -> Statement | None:
    """ "No electrode on this model", "these don't have an igniter": parts that were never meant to be there."""
    row = clause.mentions
    told = any(m.kind == "design" for m in row)
    gone: list[Target] = []
    for at, denial in enumerate(row):
        own = (
            denial.id == "not-supplied"
            or (at > 0 and row[at - 1].first in _OF_ITS_KIND)
            or _so(row[max(0, at - 1) : at + 2])
        )
        if (told or own) and (denial.kind == "no" or (denial.kind == "not" and _having(row[at : at + 2]))):
            behind = list(itertools.dropwhile(lambda m: m.kind in ("be", "det", "appliance"), row[at + 1 :]))
            part = next((m for m in behind if m.kind != "size"), None)  # "no wok cap fitted on this model"
            if (
                part is not None
                and part.kind == "component"
                and part.start - denial.end <= 3
                and part.id != "flame"
                and part.last not in ("test", "tests")  # "so no tightness test"
            ):
                gone += targets(list(itertools.takewhile(lambda m: m.kind in (*NOMINAL, "and", "or", "det"), behind)))
    start, end = min((t.start for t in gone), default=0), max((t.end for t in gone), default=0)
    sense = Sense("condition", "not-fitted")
    if told:  # of the whole model, and not of the burner in talk
        gone = [target if target.places else replace(target, many=True) for target in gone]
    return Statement((sense,), start, end, gone, head=start, own=True, cues=["no"]) if gone else None


def _so(row: Sequence[Mention]) -> bool:
    """ "Gravity system so no pump"."""
    if len(row) < 3 or row[1].kind != "no" or row[2].kind != "component":
        return False
    opens = row[0].pause == "." and not row[0].gap
    return row[0].first == row[0].last == "so" and not (opens or any(m.pause or m.gap for m in row[1:]))


def _having(row: Sequence[Mention]) -> bool:
    """ "Doesn't have", "never had", "hasn't"."""
    return any(m.first in _HAVE or m.last in _HAVE for m in row)


def _said_to_be_none(no: Mention, noun: Mention, clause: Clause) -> bool:
    """ "There's no jet in the rear left", "no thermocouple on the wok": said of the part itself, not of what comes out of it
    ("no injector pressure")."""
    if _at_a_place(noun, clause) or _in_it(noun, clause):
        return True
    return no.first in ("theres", "there") and noun is clause.mentions[-1]


def _in_it(noun: Mention, clause: Clause) -> bool:
    """ "No jet in it"."""
    behind = clause.mentions[clause.mentions.index(noun) + 1 :]
    kinds, close = [m.kind for m in behind], not any(m.gap or m.pause for m in behind)
    return kinds == ["prep", "pronoun"] and behind[0].first in ("in", "on", "to") and behind[1].first == "it" and close


def _on_this_one(noun: Mention, clause: Clause) -> bool:
    """ "No bayonet on this one, it's a fixed connection", "no lid on this hob": how it was made."""
    behind = clause.mentions[clause.mentions.index(noun) + 1 :][:2]
    led = len(behind) == 2 and behind[0].kind == "prep" and behind[0].first in ("on", "with", "to")
    return led and behind[1].first in _OF_ITS_KIND and not any(m.gap or m.pause for m in behind)


def _on_it(noun: Mention, clause: Clause) -> bool:
    """ "Water heater over the bath, no flue on it at all"."""
    behind = clause.mentions[clause.mentions.index(noun) + 1 :][:2]
    led = len(behind) == 2 and behind[0].kind == "prep" and behind[0].first in ("on", "to", "off")
    return led and behind[1].kind == "pronoun" and behind[1].first == "it" and not any(m.gap or m.pause for m in behind)


def _at_a_place(noun: Mention, clause: Clause) -> bool:
    """ "No ring on the rear left"."""
    behind = [m for m in clause.mentions[clause.mentions.index(noun) + 1 :] if m.kind != "det"]
    return len(behind) == 2 and behind[0].kind == "prep" and behind[1].kind in ("place", "size") and not behind[1].gap


def _of_what(noun: Mention, clause: Clause) -> bool:
    """ "No seal round the oven door": a loose name that is settled by what it belongs to."""
    behind = clause.mentions[clause.mentions.index(noun) + 1 :]
    whole = next((m for m in behind if m.kind != "det"), None)
    rest = [m for m in behind if m.kind not in ("det", "prep", "place", "size")]
    return whole is not None and whole.kind == "prep" and bool(rest) and rest[0].kind == "component" and rest[0].strong


def _a_seal(noun: Mention) -> bool:
    """ "There's no seal on it": a seal is missed whatever it is the seal of."""
    return any(sense.id == "door-seal" for sense in noun.senses)


def _anywhere(noun: Mention | None, clause: Clause) -> bool:
    """ "And not a vent anywhere in the room" misses one; "it's a rain cap, not a terminal" tells what it is."""
    behind = clause.mentions[clause.mentions.index(noun) + 1 :][:1] if noun is not None else []
    return bool(behind) and behind[0].kind == "prep" and behind[0].first in ("in", "on", "to") and not behind[0].pause


def none_of_another(head: Mention, clause: Clause) -> bool:
    """ "None passing, all turning smooth": "none" denies what stands right behind it and nothing else."""
    for none, denied in itertools.pairwise(clause.mentions):
        if none.kind == "no-after" and denied.kind == "condition" and not denied.gap and not denied.pause:
            return denied is not head
    return False
