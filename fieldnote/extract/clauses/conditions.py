"""Whether what is wrong or right opens a clause: told before its part, denied, or behind another condition. In: the mention where
it stands, the clause so far. Out: yes or no, None where the rule has nothing to say.

Not allowed to know: openers that say nothing of a part, which are in `opening`.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.ahead import at_a_part, fault_noun, followed_by_predicate, placed_alike
from fieldnote.extract.clauses.attributes import attributive, next_of_list, worked_on
from fieldnote.extract.clauses.clause import Clause, nothing_there, since_done
from fieldnote.extract.clauses.denials import denied_elsewhere, denies_ahead, no_part, none_of_them
from fieldnote.extract.clauses.objects import NOUNS, is_object
from fieldnote.extract.clauses.turning import fault_ended, had_then, pending
from fieldnote.extract.phrases.mention import Mention

_IN_THE = frozenset("in the its".split())


def fronted(mention: Mention, _at: int, _row: Sequence[Mention], clause: Clause) -> bool | None:
    """ "Weeping, the safety valve was": the condition opens, and its part belongs to it."""
    if mention.until:
        return True
    return False if any(mention.start < m.until for m in clause.mentions) else None


def denied_anew(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """A denial with what it denies behind it."""
    if mention.kind == "no" and clause.said and at + 1 < len(mentions) and attributive(at + 1, mentions):
        return True  # "no cracked electrodes"
    noun = mentions[at + 1] if at + 1 < len(mentions) else None
    if mention.kind == "not" and mention.first == "no" and mention.last == "not" and clause.said:
        return True  # "no spark, no it's not cracked, the electrode"
    refused = mention.kind == "no" and clause.mentions[-1].kind == "decline" and noun is not None and not noun.fit
    if refused and noun is not None and noun.kind == "condition" and not (noun.gap or noun.pause):
        return True  # "she doesn't want it doing, nothing blocking the vent"
    fault = mentions[at + 2] if at + 2 < len(mentions) else None
    told = fault is not None and fault.kind == "condition" and not (fault.gap or fault.pause)  # "no seal damage"
    of_a_part = noun is not None and noun.kind == "component" and not (noun.gap or noun.pause)
    of_a_part = of_a_part and noun is not None and (noun.strong or told)
    wrong = any(m.kind == "condition" and not m.fit for m in mentions[at + 2 : at + 5])
    if mention.kind == "no" and clause.said and of_a_part and wrong and followed_by_predicate(at + 1, mentions):
        return True  # "front left lights, and no tap is leaking"
    if mention.kind == "no" and (nothing_there(clause) or (clause.said and no_part(at, mentions))):
        return True
    if mention.kind == "no-after" and clause.said and denied_elsewhere(at, mentions):
        return True
    return True if mention.kind == "no" and clause.said and none_of_them(at, mentions) else None


def behind_an_answer(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """ "If it had leaked I'd have capped it, but it did not, and the flue passed": what is told behind a bare answer."""
    row = [m for m in mentions[at + 1 : at + 4] if m.kind != "det"]
    answer = [m.kind for m in clause.mentions] == ["deny"] and clause.mentions[0].first == "but"
    part = len(row) > 1 and row[0].kind == "component" and row[0].strong and row[1].kind in ("condition", "be")
    return True if answer and mention.kind == "and" and part and not row[0].gap else None


def another_condition(mention: Mention, at: int, mentions: Sequence[Mention], clause: Clause) -> bool | None:
    """A condition behind another: of its own part, or of the same."""
    if mention.kind != "condition":
        return None
    kinds = clause.kinds()
    if clause.mentions[-1].kind == "past" and kinds & {"work", "condition"}:
        return True
    if had_then(mention, clause):
        return False
    if mention.fit and since_done(clause):
        return True  # "since replaced, fine today"
    if worked_on(at, mentions):
        return False
    if mention.id == "passed" and clause.said and _with_its_subject(mention, mentions[at - 2 : at]):
        return any(m.done for m in clause.mentions)  # "I've taped that up and the smoke went up lovely"
    if clause.said and fault_ended(at, mentions):
        return True
    if mention.first == "sparks" and not mention.fit and clause.mentions[-1].fit:
        return True  # "the rest is fine spark's weak off the piezo"
    last = clause.mentions[-1]
    if (
        mention.first in ("spark", "sparks")
        and mention.first != mention.last
        and last.kind == "condition"
        and not mention.gap
    ):
        return last.first not in ("spark", "sparks")  # "tap fine, spark good"
    apart = mention.pause or any(m.pause for m in mentions[max(0, at - 2) : at] if m.kind == "det")  # ", a bit of rust"
    if apart and not mention.fit and at_a_part(at, mentions):
        return True  # "flue pulls, a bit of rust on the burner tray"
    denied = mentions[at - 1].kind in ("no", "not")  # "pump's fine, no leaks on the water side"
    if all(sense.note == "alone" for sense in mention.senses) and mention.gap == 0 and not denied:
        if mention.id in ("passed", "failed") and clause.mentions[-1].kind in ("pronoun", "them", "work"):
            return any(m.done for m in clause.mentions)  # "so I cleaned it spill test passed"
        return "condition" in kinds  # "piezo dead, spark gap was closed up"
    if (
        mention.fit
        and mention.first in ("both", "all")
        and clause.mentions[-1].kind == "component"
        and is_object(at - 1, mentions)
    ):
        return True  # "swapped the lead, both light now"
    if fault_noun(at, mentions) and "condition" in kinds:
        return True
    if clause.mentions[-1].kind == "and" and placed_alike(at, mentions):
        return True  # "weak spark on the front left and no spark on the front right"
    if _leak_off_a_part(at, mentions) and any(m.kind == "work" for m in clause.mentions):
        return True  # "put one on order, the leak's off the pump union"
    after = mentions[at + 1] if at + 1 < len(mentions) else mention
    matter = (
        mention.last in _IN_THE and not mention.fit and after.kind == "component" and not (after.gap or after.pause)
    )
    if matter and clause.said and clause.named and mention.gap < 2 and clause.mentions[-1].kind == "condition":
        return True  # "middle two burning yellow cobwebs in the tubes"
    if mention.first in NOUNS and clause.said and mention.gap < 2 and at_a_part(at, mentions):
        return clause.mentions[-1].kind in ("condition", "work", "cured", "mark")  # "freed ok leak at pump union"
    over = clause.mentions[-1].kind == "cured" and clause.mentions[-1].last == "now"
    if over and not mention.fit and any(m.done for m in clause.mentions):
        return True  # "pulled it out, clear now, no guard on it"
    told = attributive(at, mentions) and (not pending(clause) or next_of_list(at, mentions))
    measured = clause.mentions[-1].kind == "reading" and any(m.kind == "component" for m in clause.mentions)
    # "thermocouple on the oven eleven fine on the grill four"
    measured = measured and not (mention.gap or mention.pause)
    return told or (mention.fit and denies_ahead(at, mentions) and not measured)


def _leak_off_a_part(at: int, mentions: Sequence[Mention]) -> bool:
    """Whether "the leak's off", told with its article, leads to the part that leaks."""
    leak, article, row = mentions[at], mentions[at - 1], [m for m in mentions[at + 1 : at + 3] if m.kind != "det"]
    led = leak.first in NOUNS and leak.last in ("off", "from", "at") and leak.end - leak.start > 1
    part = bool(row) and row[0].kind == "component" and not (row[0].gap or row[0].pause)
    return led and part and article.kind == "det" and article.first == "the" and not leak.gap


def _with_its_subject(told: Mention, before: Sequence[Mention]) -> bool:
    """ "And the smoke went up": a verdict with its own subject in it."""
    row = [m.kind for m in before] == ["and", "det"] and before[-1].first == "the"
    return row and told.end - told.start > 1 and not (told.gap or told.pause or before[-1].gap)
