"""What a clause says by comparing: like another, other than before, no more, still, should be another. In: a clause and what
has been read of it. Out: the same, completed.

Not allowed to know: what was said before in the talk.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.clauses import jobs
from fieldnote.extract.clauses.clause import Clause, but_not, stands_for_verb
from fieldnote.extract.clauses.said import MENDING, Statement
from fieldnote.extract.clauses.statements import statement_of
from fieldnote.extract.clauses.subjects import targets
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.phrases.mention import NOMINAL, Mention
from fieldnote.extract.words.lexicon import Sense

# "same cure", "did the same": the work as well as the fault
TREATED = frozenset("cure treatment remedy medicine fix job operation did done".split())
_ONLY = frozenset("just only".split())
_IT_IS = frozenset("its theyre".split())
_IS_NOT = frozenset("not isnt wasnt".split())
_FELL = frozenset("came went fell dropped popped blew slipped comes falls drops pops keeps".split())
_HAVING = frozenset("hasnt havent hasnae havenae has have".split())
_NO_MORE = frozenset("isnt arent doesnt dont wasnt didnt".split())
_WANTS = frozenset({"wants", "needs", "want", "need"})
_SIZED = frozenset({"injector", "fuse"})  # parts whose figure says whether they are the right ones


def those_meant(lead: list[Mention], clause: Clause) -> list[Mention]:
    """ "Both taps stiff, no, not both, just the front one": a correction names behind "just" the ones that are meant."""
    if clause.mentions[0].kind != "correct":
        return lead
    if other := _not_it_but(lead, clause):
        return other
    only = next((m.start for m in clause.mentions if m.kind == "but" and m.first in _ONLY), 0)
    meant = [m for m in lead if m.start > only]
    return meant if any(m.kind in ("place", "group", "size") for m in meant) else lead


def _not_it_but(lead: list[Mention], clause: Clause) -> list[Mention]:
    """ "No, it's not the tap, it's the union behind it", "not the back left it's the back right": what it is not, what it is."""
    row = [m for m in clause.mentions if m.kind != "det"]
    row = row[:1] + row[3:] if [m.kind for m in row[1:3]] == ["pronoun", "not"] and row[1].first in _IT_IS else row
    denied = [m.kind for m in row[:3]] in (["correct", "component", "pronoun"], ["correct", "place", "pronoun"])
    no = clause.mentions[0].last in _IS_NOT or len(row) < len([m for m in clause.mentions if m.kind != "det"])
    if not (denied and no) or row[2].first not in _IT_IS or row[1].gap:
        return []
    other = [m for m in lead if m.start > row[2].start]
    return (
        other if other and other[0].kind in ("det", row[1].kind) and any(m.kind == row[1].kind for m in other) else []
    )


def done_before(head: Mention, clause: Clause, flags: Sequence[Mention]) -> bool:
    """Whether work right before took the fault away ("changed the washer and it's gone")."""
    at = clause.mentions.index(head)
    joined = clause.mentions[at - 1].kind in ("and", "mark") if at else False
    return joined and any(mention.done for mention in clause.mentions[:at]) and not any(m.kind == "past" for m in flags)


def no_longer(head: Mention, clause: Clause, flags: Sequence[Mention]) -> bool:
    """ "The knob isn't loose any more", "no longer loose": what is denied was so before."""
    after = next((m for m in clause.mentions if m.start >= head.end), None)
    return any(flag.id == "no-longer" for flag in flags) or (
        after is not None and after.id == "any-more" and not after.gap
    )


def since_work(head: Mention, clause: Clause) -> bool:
    """ "Put the lead back on and it came off again", "refitted the seal but it's split": how a part is since the work on it."""
    if head.fit:
        return False
    at = clause.mentions.index(head)
    after = clause.mentions[at + 1] if at + 1 < len(clause.mentions) else None
    if after is not None and after.kind == "now" and after.first == "again" and not (after.gap or after.pause):
        return True
    before = [m for m in clause.mentions[:at] if m.kind not in ("and", "but", "also", "now")]
    if clause.joint not in ("and", "but") or not before or {m.kind for m in before} - {"pronoun", "them", "be", "not"}:
        return False
    return before[0].first in _IT_IS or before[-1].first in ("is", "are") or head.first in _FELL


def either_of(lead: Sequence[Mention], chunks: Sequence[tuple[Mention, list[Mention], list[Mention]]]) -> bool:
    """ "So the vessel's flat or the valve is passing": one of two parts, and nobody knows which."""
    ors = [at for at, m in enumerate(lead) if m.kind == "or" and m.first == "or"]
    head, flags, _ = chunks[0]
    if len(ors) != 1 or head.kind != "condition" or head.fit or any(f.kind in ("no", "not", "same") for f in flags):
        return False
    return all(any(m.kind == "component" for m in side) for side in (lead[: ors[0]], lead[ors[0] :]))


def overruled(statement: Statement, others: Sequence[Statement]) -> bool:
    """ "Turns but doesn't shut off", "labouring to get up to speed": a part with a fault is not fit in the same breath."""
    if statement.condition_ids != {"ok"} or any(sense.of is None for sense in statement.senses):
        return False
    faults = [s for s in others if s.senses and not s.denied and not s.condition_ids & {"ok", "passed"}]
    return any(s.targets and s.targets == statement.targets for s in faults)


def mended_since(clause: Clause) -> bool:
    """ "Still nothing, injector full of crud, unblocked that": work behind "still" was done on what was still so."""
    still = max(i for i, m in enumerate(clause.mentions) if m.kind == "still")
    return any(m.done and m.senses[0].id in MENDING for m in clause.mentions[still:])


def still_reads(clause: Clause) -> bool:
    """ "Still at one and a half an hour later": a figure that holds, no fault that stayed."""
    kinds = [m.kind for m in clause.mentions]
    if not any(m.kind == "still" and m.first == "still" for m in clause.mentions):
        return False
    after = kinds[kinds.index("still") + 1 :]
    return "reading" in after or (after[:1] == ["prep"] and "condition" not in after)


def should_be_another(clause: Clause, subject: list[Target]) -> Statement | None:
    """ "Injector was seventy, should be seventy two": a part of the wrong size."""
    kinds = [m.kind for m in clause.mentions if m.kind != "det"]
    was = kinds[-3:] == ["be", "reading", "now"] and clause.mentions[-3].first in ("was", "were")
    if was and any(t.component == "fuse" for t in subject):  # "fuse was thirteen, now it's a three"
        last = clause.mentions[-1]
        fuse = [t for t in subject if t.component == "fuse"]
        wrong = (Sense("condition", "wrong-part"),)
        return Statement(wrong, last.start, last.end, fuse, head=last.start, cues=["changed-since"])
    for at, need in enumerate(clause.mentions):
        after = next((m for m in clause.mentions[at + 1 :] if m.kind != "det" or m.gap), None)
        figure = after is None or after.kind in ("reading", "one") or after.gap > 0
        sized = [t for t in subject if t.component in _SIZED]
        so = need.kind == "need" and after is None
        if so and [m.kind for m in clause.mentions[max(0, at - 2) : at]] == ["and", "pronoun"]:
            right = (Sense("condition", "ok"),)  # "the fuse is a three and it should be"
            return Statement(right, need.start, need.end, sized, head=need.start, cues=[]) if sized else None
        read = any(m.kind == "reading" for m in clause.mentions[:at])
        if need.kind == "need" and need.first in _WANTS and figure and sized and read and not (after and after.owned):
            # "injector 0.98, wants 0.72, changed"
            return Statement(
                (Sense("condition", "wrong-part"),), need.start, need.end, sized, head=need.start, cues=["need"]
            )
        loose = not subject and any(m.kind == "pronoun" for m in clause.mentions[:at])
        loose = loose and any(m.kind == "reading" for m in clause.mentions[:at])
        if need.kind == "need" and need.first == "should" and figure and loose:
            wrong = (Sense("condition", "wrong-part", _SIZED),)  # "it's marked one forty, should be one twenty"
            return Statement(wrong, need.start, need.end, [], head=need.start, pronoun=True, cues=["need"])
        if need.kind == "need" and need.first == "should" and figure and sized:
            return Statement(
                (Sense("condition", "wrong-part"),), need.start, need.end, sized, head=need.start, cues=["need"]
            )
    return None


def like_before(clause: Clause, lead: Sequence[Mention], subject: list[Target]) -> list[Statement]:
    """ "The knob behind it too", "rear left doesn't": the condition said last, or its opposite, of another part or place."""
    last = lead[-1] if lead else None
    if last is None:
        return []
    at = clause.mentions.index(last)
    if last.kind == "also" and at and clause.mentions[at - 1].kind == "reading" and not last.pause:
        return []  # "rear left thirty five and all": the figure is the same
    nor = last.kind == "also" and last.first == "either" and at and clause.mentions[at - 1].kind == "not"
    if nor and clause.mentions[at - 1].first in _NO_MORE | {"wont", "cant"} and not last.gap:
        return [copy(last, [], [], subject, clause.kinds() - {"not"})]  # "rear left doesn't either"
    if last.kind == "also" and not any(m.kind in ("need", "no", "not", "past", "report") for m in clause.mentions):
        return [copy(last, [], [], subject, clause.kinds())]
    if len(lead) == len(clause.mentions) and but_not(clause):
        out = copy(last, [], [], subject, clause.kinds() - {"no-after"})
        out.verb = "does-not"
        return [out]
    if len(lead) == len(clause.mentions) and not clause.cut and stands_for_verb(clause):
        out = copy(last, [], [], subject, clause.kinds() - {"no-after"})
        out.verb = "does" if last.kind != "not" else "has-not" if last.first in _HAVING else "does-not"
        return [out]  # "left cap has a crack, the right hasn't"
    if len(lead) == len(clause.mentions) and not clause.cut and _that_is(clause):
        out = copy(last, [], [], subject, clause.kinds() - {"no-after"})
        out.verb = "is"
        return [out]
    return []


def _that_is(clause: Clause) -> bool:
    """ "Front left isn't leaking, rear right is": a place and a verb, and what is said was said before."""
    row = [m for m in clause.mentions if m.kind not in ("det", "and")]
    plain = [m.kind for m in row] == ["place", "be"] and clause.joint in ("", ",", "and")
    return plain and row[1].first in ("is", "are") and not (row[1].gap or row[1].pause)


def contrast(clause: Clause) -> set[str]:
    """Whether a bare place stands for the part that was just spoken of: "right one's fine"."""
    ones = ("one", "ones", "un", "uns")
    said = any(mention.kind in ("place", "group", "size") and mention.last in ones for mention in clause.mentions)
    return {"listing"} if said else set()


def not_done(chunks: Sequence[tuple[Mention, list[Mention], list[Mention]]]) -> list[Target]:
    """ "Haven't replaced the pump yet": no work, but the pump is in talk."""
    undone = [targets(tail) for head, flags, tail in chunks if head.kind == "work" and jobs.undone(head, flags)]
    return [target for row in undone[:1] for target in row if target.names]


def no_more(clause: Clause) -> bool:
    """ "But now it isn't", "and it doesn't now": the fault that was told is over."""
    said = [m for m in clause.mentions if m.kind not in ("and", "but", "mark")]
    at = next((i for i, m in enumerate(said) if m.kind == "not"), None)
    if at is None or said[at].first not in _NO_MORE or not {m.kind for m in said[:at]} <= {"now", "pronoun", "them"}:
        return False
    rest = said[at + 1 :]
    after = bool(rest) and rest[0].kind == "now"
    ends = not rest[after:] or rest[after].gap > 0 or bool(rest[after].pause) or rest[after].kind == "reading"
    return ends and (after or any(m.kind == "now" for m in said[:at]))


def _strange(clause: Clause) -> bool:
    """Whether words that nobody knows stand in a clause."""
    return any(mention.gap for mention in clause.mentions[1:])


def better_now(clause: Clause) -> bool:
    """ "Goes round like a dream now", "comes back every time now": something is said of this moment and no fault is named."""
    kinds = clause.kinds()
    if "now" not in kinds or kinds & {
        "condition",
        "still",
        "no",
        "not",
        "need",
        "hedge",
        "report",
        "reading",
        "same",
        "back-to",
    }:
        return False
    if any(m.kind == "work" and m.senses[0].note != "done" for m in clause.mentions):
        return False  # "must be changed, I come again"
    if kinds <= NOMINAL | {"now", "det", "mark", "and"} and not _strange(clause):
        return False  # "fire now", "front left now"
    if (
        kinds <= {"now", "mark", "and", "but", "pronoun", "them"}
        and clause.mentions[-1].kind == "now"
        and not _strange(clause)
    ):
        return False  # "so now it wants doing"
    at = next(i for i, mention in enumerate(clause.mentions) if mention.kind == "now")
    now, rest = clause.mentions[at], clause.mentions[at + 1 :]
    words = now.start - (clause.mentions[at - 1].end if at else now.start)
    return (
        now.first in ("now", "again")
        and not any(m.kind in NOMINAL for m in rest)
        and (words > 0 or "work" not in kinds)
    )


def copy(head: Mention, flags: list[Mention], tail: list[Mention], subject: list[Target], kinds: set[str]) -> Statement:
    """The condition said last, of another part or place ("rear right the same", "none on the hose")."""
    out = statement_of(replace(head, senses=()), flags, tail, subject, kinds - {"no-after"}, False)
    out.again = True
    out.same = head.kind == "same"
    out.treated = head.kind == "same" and bool({head.first, head.last} & TREATED)
    out.denied = head.kind == "no-after"
    return out
