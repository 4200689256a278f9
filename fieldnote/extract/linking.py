"""What one clause says of what: statements, work, guesses, each with the parts it is said of. In: a clause. Out: `Said`.

A condition looks for its part among the names before it, then behind it; which names fit is known from the trade's limits.
Not allowed to know: earlier clauses.
"""

import itertools
from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract import heads, jobs
from fieldnote.extract.clauses import LEADING, Clause, acted_on, done_to, in_hand, stands_for_verb, worked_on
from fieldnote.extract.lexicon import Sense
from fieldnote.extract.mentions import NOMINAL, Mention
from fieldnote.extract.said import Said, Statement
from fieldnote.extract.story import MENDING
from fieldnote.extract.subjects import FOUR, Target, both, targets
from fieldnote.extract.symptoms import SHOWN_BY

# "same cure", "did the same": the work as well as the fault
TREATED = frozenset("cure treatment remedy medicine fix did done".split())
_ABOUT = frozenset("with of by over about".split())  # last words of a doubt that has an object
_SOME = frozenset("some a an".split())
_TOGETHER = frozenset("along together as".split())
_ANYBODY = frozenset("you i we they she he".split())
_OPENINGS = frozenset("door doors lid window cupboard".split())
_NO_MORE = frozenset("isnt arent doesnt dont wasnt didnt".split())
_EXCEPTED = frozenset("which thats that its it where".split())  # "bar the rear left, that's seized"
_IT = frozenset("it its that thats".split())
_TRACED = frozenset("traced tracked narrowed pinned".split())  # what leads to the part that is at fault
_SIZED = frozenset({"injector", "fuse"})  # parts whose figure says whether they are the right ones
# "no flame", "no burner" says something else than that the part is missing
_FITTED = frozenset("electrode injector thermocouple".split())  # which "there's no ..." may miss all the same
_ALWAYS_THERE = frozenset(
    "flame flue burner pilot pipework joint appliance electrode injector gas-tap thermocouple regulator meter thermostat".split()
)


def moves(mention: Mention, clause: Clause) -> bool:
    """Whether naming an appliance moves the talk to it: not when it stands behind a preposition at the end of a statement."""
    at = clause.mentions.index(mention)
    behind = clause.mentions[:at]
    preps = [m for m in behind if m.kind == "prep"]
    if preps and any(m.kind in ("condition", "component", "work") for m in behind):
        return False
    return not any(m.kind in ("if", "general") for m in behind)


def parse(clause: Clause) -> Said:
    """What a clause says."""
    said = Said(start=clause.mentions[0].start, end=clause.mentions[-1].end)
    lead, chunks = _chunks(clause)
    bar = next((i for i, mention in enumerate(lead) if mention.kind == "except"), None)
    left_out = targets(lead[bar + 1 :]) if bar is not None else []
    said.subject = [_all_but(target, left_out) for target in targets(lead[:bar])]
    if any(m.first == "where" for m in lead[(bar or 0) :]) and any(t.names for t in left_out):
        said.subject, left_out = (
            left_out,
            [],
        )  # "sparks at all of them except the rear left where the electrode's broken"
    names = next((t.names for t in said.subject if t.names), ())
    said.excepted = [replace(out, names=out.names or names) for out in left_out]
    kinds = clause.kinds() | _contrast(clause)
    said.earlier = "earlier" in kinds
    said.cured = "cured" in kinds and "decline" not in kinds
    said.outcome = "outcome" in kinds and not kinds & {"hedge", "report", "need"}
    said.still = "still" in kinds and not any(head.fit for head, _, _ in chunks) and not _still_reads(clause)
    said.still = said.still and not _mended_since(clause)
    heads_ = [head for head, _, _ in chunks]
    said.still = said.still or any(
        head.first == "still" and head.kind == "condition" and not head.fit and any(h.done for h in heads_[:at])
        for at, head in enumerate(heads_)
        if not any(h.done for h in heads_[at + 1 :] if h.senses[0].id != "order")
    )  # "nipped it up, still passing"
    said.cured = said.cured or _better_now(clause) or (said.outcome and "now" in kinds)
    said.cured = said.cured or _no_more(clause)
    said.declined = "decline" in kinds
    said.carried_out = "carried-out" in kinds
    said.reading = "reading" in kinds
    said.led = next((m.kind for m in lead if m.kind not in ("and", "or")), "") == "prep"
    guess = next((m.start for m in reversed(clause.mentions) if m.kind == "hedge-after"), 0)
    guessed = max((at for at, (head, _, _) in enumerate(chunks) if head.start < guess), default=-1)
    no_answer = clause.mentions[-1].id in ("no-answer", "none-answer")
    for at, (head, flags, tail) in enumerate(chunks):
        before = chunks[at - 1][0] if at and not flags else None
        if before is not None and (heads.goes_on(before, head) or heads.praised(before, head)):
            continue  # "sparks fine" says it once
        same = heads.said_twice(before, head) if before is not None and said.statements else ()
        if same:
            if said.subject or not any(m.kind == "component" for m in tail):
                said.statements[-1].senses = same
                continue
            said.statements.pop()  # "stuffed cling film over both air bricks"
            flags = chunks[at - 1][1]
        if head.fit and _of_a_figure(head, clause, said.subject):
            continue  # "twenty millibar bang on"
        if head.kind == "condition" and head.first in _IT and head.last == "gone" and _done_before(head, clause, flags):
            said.cured = True  # "changed the washer and it's gone"
            continue
        if head.kind == "condition":
            if (
                heads.of_the_cause(head, clause)
                or heads.circumstance(head, clause)
                or heads.sounds_fit(head, chunks[at + 1 : at + 2])
            ):
                continue
            if said.works and worked_on(clause.mentions.index(head), clause.mentions):
                said.works[-1].points_at = _statement(head, flags, tail, [], kinds, at == guessed)
                continue
            if at + 1 < len(chunks) and heads.goes_on(head, chunks[at + 1][0]):
                head, tail = heads.fit_alone(head, chunks[at + 1][0]), [*tail, *chunks[at + 1][2]]
            mine = kinds if _reaches(clause, head) and not _none_of_another(head, clause) else kinds - {"no-after"}
            said.statements.append(_statement(head, flags, tail, said.subject, mine, at == guessed))
            said.statements[-1].senses = same or said.statements[-1].senses
            bare = said.statements[-2].left_out if len(said.statements) > 1 and not tail else []
            if bare or (left_out and any(flag.kind == "pronoun" and flag.first in _EXCEPTED for flag in flags)):
                _of_the_excepted(said, bare or left_out)
            pointed = bool(flags) and flags[-1].kind == "earlier" and head.start == flags[-1].end
            said.statements[-1].pointed = pointed
        elif head.kind in ("same", "no-after"):
            said.statements.append(_copy(head, flags, tail, said.subject, kinds))
        elif head.kind == "work" and not (
            no_answer
            or jobs.undone(head, flags)
            or jobs.recalled(head, clause)
            or jobs.told_to(head, flags, chunks[:at])
        ):
            said.works.append(jobs.job_of(head, flags, tail, kinds))
            before_it = said.works[-2] if head.senses[0].note == "ing" and len(said.works) > 1 else None
            if before_it and (before_it.state == "needed" or before_it.kind == "advise"):
                said.works[-1].state = "needed"  # "needs packing out and lining up", "advised replacing it"
            if tail and tail[0].kind == "and" and tail[0].first in _TOGETHER and said.subject:
                said.works[-1].targets = [
                    *said.subject,
                    *targets(tail[1:]),
                ]  # "electrodes renewed along with the seals"
            said.works[-1].many = jobs.several(head, clause)
            said.works[-1].targets = [placed(t, said.subject) for t in said.works[-1].targets]
            said.works[-1].figure = "reading" in kinds
            said.works[-1].state_of = jobs.describes(head, clause)
            said.works[-1].kinds = frozenset(sense.id for sense in head.senses)
            said.works[-1].bare = head.senses[0].note == "bare"
            said.works[-1].pronoun = any(m.kind == "pronoun" for m in jobs.following(head, clause))
    if not said.works and not said.subject and not said.statements:
        said.subject = _not_done(chunks)
    if not said.works and (wanted := jobs.needs_a_part(clause)):
        said.works.append(wanted)
    if not said.works:
        said.works += [job for head, _, _ in chunks if head.kind == "condition" and (job := jobs.wanted_in(head))]
    if left_out and said.statements:
        said.statements[-1].left_out = left_out
    if said.earlier:
        for out in said.statements:
            out.cues.append("earlier")
    if any(mention.first == "neither" for mention in clause.mentions):
        for out in said.statements:  # "neither of the right ones"
            out.targets = [replace(t, places=both(t.places)) if t.places else t for t in out.targets]
    _coordinate(said, chunks)
    if "in-order" in kinds or len(said.statements) > 2:
        _in_order(said)
    if said.statements and "or" in kinds and ("hedge" in kinds or _either(lead, chunks)):
        _part_guesses(said, lead)
    told = clause.mentions.index(chunks[0][0]) if chunks else len(clause.mentions)
    if not said.statements and "hedge" not in kinds and said.subject:
        said.statements += _like_before(clause, clause.mentions[:told], said.subject)
    if not said.statements and (wrong := _should_be_another(clause, said.subject)):
        said.statements.append(wrong)
    if not said.statements and (absent := _not_there(clause)):
        said.statements.append(absent)
    if "hedge" in kinds and not said.statements:
        said.guessed = _guessed(clause)
    elif guess and not said.statements:
        said.guessed = [target for target in said.subject if target.names]
    if not (said.works or said.cured or "now" in kinds):
        said.statements = [out for out in said.statements if not _overruled(out, said.statements)]
    return said


def _done_before(head: Mention, clause: Clause, flags: Sequence[Mention]) -> bool:
    at = clause.mentions.index(head)
    joined = clause.mentions[at - 1].kind in ("and", "mark") if at else False
    return joined and any(mention.done for mention in clause.mentions[:at]) and not any(m.kind == "past" for m in flags)


def _reaches(clause: Clause, head: Mention) -> bool:
    """Whether a denial behind its part reaches a condition: not over a pronoun ("none there ... it's got a blocked jet")."""
    return any(
        m.kind == "no-after"
        and (
            m.start >= head.start
            or not any(p.kind == "pronoun" and m.end <= p.start < head.start for p in clause.mentions)
        )
        for m in clause.mentions
    )


def _either(lead: Sequence[Mention], chunks: Sequence[tuple[Mention, list[Mention], list[Mention]]]) -> bool:
    """ "So the vessel's flat or the valve is passing": one of two parts, and nobody knows which."""
    ors = [at for at, m in enumerate(lead) if m.kind == "or" and m.first == "or"]
    head, flags, _ = chunks[0]
    if len(ors) != 1 or head.kind != "condition" or head.fit or any(f.kind in ("no", "not", "same") for f in flags):
        return False
    return all(any(m.kind == "component" for m in side) for side in (lead[: ors[0]], lead[ors[0] :]))


def _overruled(statement: Statement, others: Sequence[Statement]) -> bool:
    """ "Turns but doesn't shut off", "labouring to get up to speed": a part with a fault is not fit in the same breath."""
    if statement.condition_ids != {"ok"} or any(sense.of is None for sense in statement.senses):
        return False
    faults = [s for s in others if s.senses and not s.denied and not s.condition_ids & {"ok", "passed"}]
    return any(s.targets and s.targets == statement.targets for s in faults)


def _mended_since(clause: Clause) -> bool:
    """ "Still nothing, injector full of crud, unblocked that": work behind "still" was done on what was still so."""
    still = max(i for i, m in enumerate(clause.mentions) if m.kind == "still")
    return any(m.done and m.senses[0].id in MENDING for m in clause.mentions[still:])


def _still_reads(clause: Clause) -> bool:
    """ "Still at one and a half an hour later": a figure that holds, no fault that stayed."""
    kinds = [m.kind for m in clause.mentions]
    if "still" not in kinds:
        return False
    after = kinds[kinds.index("still") + 1 :]
    return "reading" in after or (after[:1] == ["prep"] and "condition" not in after)


def _of_a_figure(head: Mention, clause: Clause, subject: Sequence[Target]) -> bool:
    """Whether "bang on" is said of the figure right before, and no part is named."""
    at = clause.mentions.index(head)
    figure = at > 0 and clause.mentions[at - 1].kind == "reading" and not head.gap and not head.pause
    return figure and not any(t.names or t.places for t in subject)


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


def _should_be_another(clause: Clause, subject: list[Target]) -> Statement | None:
    """ "Injector was seventy, should be seventy two": a part of the wrong size."""
    for at, need in enumerate(clause.mentions):
        after = next((m for m in clause.mentions[at + 1 :] if m.kind != "det" or m.gap), None)
        figure = after is None or after.kind == "reading" or after.gap > 0
        sized = [t for t in subject if t.component in _SIZED]
        if need.kind == "need" and need.first == "should" and figure and sized:
            return Statement(
                (Sense("condition", "wrong-part"),), need.start, need.end, sized, head=need.start, cues=["need"]
            )
    return None


def _like_before(clause: Clause, lead: Sequence[Mention], subject: list[Target]) -> list[Statement]:
    """ "The knob behind it too", "rear left doesn't": the condition said last, or its opposite, of another part or place."""
    last = lead[-1] if lead else None
    if last is None:
        return []
    if last.kind == "also" and not any(m.kind in ("need", "no", "not", "past", "report") for m in clause.mentions):
        return [_copy(last, [], [], subject, clause.kinds())]
    if len(lead) == len(clause.mentions) and not clause.cut and stands_for_verb(clause):
        out = _copy(last, [], [], subject, clause.kinds() - {"no-after"})
        out.verb = "does-not" if last.kind == "not" else "does"
        return [out]
    return []


def _contrast(clause: Clause) -> set[str]:
    """Whether a bare place stands for the part that was just spoken of: "right one's fine"."""
    ones = ("one", "ones", "un", "uns")
    said = any(mention.kind in ("place", "group", "size") and mention.last in ones for mention in clause.mentions)
    return {"listing"} if said else set()


def _not_done(chunks: Sequence[tuple[Mention, list[Mention], list[Mention]]]) -> list[Target]:
    """ "Haven't replaced the pump yet": no work, but the pump is in talk."""
    undone = [targets(tail) for head, flags, tail in chunks if head.kind == "work" and jobs.undone(head, flags)]
    return [target for row in undone[:1] for target in row if target.names]


def _no_more(clause: Clause) -> bool:
    """ "But now it isn't", "and it doesn't now": the fault that was told is over."""
    said = [m for m in clause.mentions if m.kind not in ("and", "but", "mark")]
    at = next((i for i, m in enumerate(said) if m.kind == "not"), None)
    if at is None or said[at].first not in _NO_MORE or not {m.kind for m in said[:at]} <= {"now", "pronoun", "them"}:
        return False
    rest = said[at + 1 :]
    after = bool(rest) and rest[0].kind == "now"
    ends = not rest[after:] or rest[after].gap > 0 or bool(rest[after].pause)
    return ends and (after or any(m.kind == "now" for m in said[:at]))


def _strange(clause: Clause) -> bool:
    """Whether words that nobody knows stand in a clause."""
    return any(mention.gap for mention in clause.mentions[1:])


def _better_now(clause: Clause) -> bool:
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


def _not_there(clause: Clause) -> Statement | None:
    """ "No stability bracket", "there's no alarm", "alarm: none": a part that is not there."""
    last = clause.mentions[-1]
    if last.kind == "no-after" and (last.first == "none" or last.id == "none-answer") and len(clause.mentions) > 1:
        part = clause.mentions[-2]
        if part.kind == "component" and part.id not in _ALWAYS_THERE and last.gap == 0:
            missing = (Sense("condition", "missing"),)
            return Statement(missing, last.start, last.end, targets([part]), head=last.start, own=True, cues=["no"])
    for at, mention in enumerate(clause.mentions[:-1]):
        noun = next((m for m in clause.mentions[at + 1 : at + 3] if m.kind != "det"), None)
        if (
            mention.kind == "no"
            and not in_hand(mention)
            and mention.first not in ("looked", "checked", "had")
            and not (mention.first == "without" and clause.mentions[at + 1].first == "the")
            and (mention.first, mention.last) != ("not", "a")  # "it's a rain cap, not a terminal"
            and noun is not None
            and noun.kind == "component"
            and (noun.strong or len(noun.senses) == 1 or _of_what(noun, clause) or _at_a_place(noun, clause))
            and noun.start - mention.end <= 2
            and noun.first != "spillage"  # "no evidence of spillage"
        ):
            if noun.id in _ALWAYS_THERE and not (noun.id in _FITTED and _said_to_be_none(mention, noun, clause)):
                return None
            here = targets(clause.mentions[:at])
            sense = Sense("condition", "not-fitted" if noun.id == "fsd" else "missing")
            run = list(
                itertools.takewhile(
                    lambda m: m.kind in (*NOMINAL, "and", "or", "det", "prep"), clause.mentions[at + 1 :]
                )
            )
            gone = [placed(target, here) for target in targets(run)]  # "the rear two have no flame failure"
            return Statement((sense,), mention.start, noun.end, gone, head=mention.start, own=True, cues=["no"])
    return None


def _said_to_be_none(no: Mention, noun: Mention, clause: Clause) -> bool:
    """ "There's no jet in the rear left": said of the part itself, not of what comes out of it ("no injector pressure")."""
    return no.first in ("theres", "there") and (noun is clause.mentions[-1] or _at_a_place(noun, clause))


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


def _none_of_another(head: Mention, clause: Clause) -> bool:
    """ "None passing, all turning smooth": "none" denies what stands right behind it and nothing else."""
    for none, denied in itertools.pairwise(clause.mentions):
        if none.kind == "no-after" and denied.kind == "condition" and not denied.gap and not denied.pause:
            return denied is not head
    return False


def _none_of(mention: Mention, clause: Clause) -> bool:
    """ "None on the hose": a denial that says again what was denied."""
    if mention.kind != "no-after" or mention is clause.mentions[-1]:
        return False
    if any(no.kind == "no" and part.kind == "component" for no, part in itertools.pairwise(clause.mentions)):
        return False  # "hasn't got any flame failure, none on that age of thing"
    return clause.mentions[clause.mentions.index(mention) + 1].kind == "prep" and not any(
        m.kind == "condition" for m in clause.mentions
    )


def _copy(
    head: Mention, flags: list[Mention], tail: list[Mention], subject: list[Target], kinds: set[str]
) -> Statement:
    """The condition said last, of another part or place ("rear right the same", "none on the hose")."""
    out = _statement(replace(head, senses=()), flags, tail, subject, kinds - {"no-after"}, False)
    out.again = True
    out.treated = head.kind == "same" and bool({head.first, head.last} & TREATED)
    out.denied = head.kind == "no-after"
    return out


def _coordinate(said: Said, chunks: Sequence[tuple[Mention, list[Mention], list[Mention]]]) -> None:
    """ "No cracks or chips in the caps": what joins two conditions carries the denial on and the noun back."""
    rows = [(flags, tail, head.gap) for head, flags, tail in chunks if head.kind not in ("work",)]
    for at in range(1, min(len(said.statements), len(rows))):
        first, second = said.statements[at - 1], said.statements[at]
        flags, tail, apart = rows[at][0], rows[at - 1][1], rows[at][2]
        joined = {m.kind for m in tail} | {m.kind for m in flags}
        goes_on = not joined & {"be", "pronoun", "but"} and not apart  # "not seized, only stiff" ends the denial
        goes_on = goes_on and first.condition_ids != {"ok"}  # "not so good, lets by"
        goes_on = goes_on and not any(m.kind == "det" and m.first in _SOME for m in tail)
        if first.denied and not second.denied and (joined & {"or"} or goes_on):
            second.denied = not second.condition_ids & {"ok", "passed"}
        if first.hedged and not second.hedged:
            second.hedged = True
    for at in range(len(said.statements) - 2, -1, -1):
        first, second = said.statements[at], said.statements[at + 1]
        if (
            first.condition_ids == {"ok"}
            and any(t.appliance for t in first.targets)
            and "ok" not in second.condition_ids
        ):
            continue  # "everything good, bit of scale on the exchanger"
        if not any(t.names for t in first.targets) and any(t.names for t in second.targets):
            first.targets = second.targets


def _of_the_excepted(said: Said, left_out: Sequence[Target]) -> None:
    """ "All the taps bar the rear left, which is stiff": what is said behind is said of that one."""
    names = next((t.names for t in reversed(said.subject) if t.names), ())
    said.statements[-1].targets = [replace(out, names=out.names or names) for out in left_out]
    said.statements[-1].left_out = list(left_out)  # what follows is said of it as well


def _in_order(said: Said) -> None:
    """ "Front left, front right, rear left: stiff, fine, seized": as many conditions as places belong to them one by one."""
    placed = [place for target in said.subject for place in target.places or ()]
    if len(placed) != len(said.statements) or len(placed) < 2 or len({t.names for t in said.subject if t.names}) > 1:
        return
    names = next((t for t in said.subject if t.names), said.subject[0])
    for place, statement in zip(placed, said.statements, strict=True):
        statement.targets = [replace(names, places=(place,), group=None)]


def _part_guesses(said: Said, lead: Sequence[Mention]) -> None:
    """ "Might be the magnet or the thermocouple's weak": what stands before "or" is guessed by itself."""
    at = next((i for i, mention in enumerate(lead) if mention.kind == "or"), None)
    if at is None:
        return
    before, behind = targets(lead[:at]), targets(lead[at + 1 :])
    if not any(t.names for t in before) or not any(t.names for t in behind):
        return
    said.guessed = [t for t in before if t.names]
    for statement in said.statements:
        if statement.targets == said.subject:
            statement.targets, statement.hedged = behind, True
    said.subject = behind


def _chunks(clause: Clause) -> tuple[list[Mention], list[tuple[Mention, list[Mention], list[Mention]]]]:
    """The names before anything is said, then each thing said with the cues before it and the names behind it."""
    lead: list[Mention] = []
    chunks: list[tuple[Mention, list[Mention], list[Mention]]] = []
    flags: list[Mention] = []
    figure = False
    for before, mention in zip([None, *clause.mentions], clause.mentions, strict=False):
        if mention.kind in ("condition", "work", "same") or _none_of(mention, clause):
            if before is not None and before.kind == "det" and mention.kind == "condition":
                flags.append(before)  # "that's the wrong cap"
            chunks.append((mention, flags, []))
            flags, figure = [], False
        elif mention.kind == "component" and _ruled_out(mention, lead, flags):
            flags = flags[:-1]
            continue  # "turned out to be the pump, not the fan"
        elif mention.kind == "component" and _at_what_time(mention, clause):
            continue  # "goes out when the door shuts"
        elif figure and mention.kind in NOMINAL and chunks[-1][0].kind == "condition":
            continue  # "won't hold, fourteen millivolts off the thermocouple"
        elif mention.kind in NOMINAL or mention.kind in ("prep", "and", "or", "one", "det", "except"):
            if not chunks and _taken_off(mention, lead, clause):
                lead = []
                continue
            if not chunks and (_taken_out(mention, lead, clause) or _told_again(mention, lead, flags)):
                lead = [m for m in lead if m.kind == "component"] if mention.kind == "place" else []
            (chunks[-1][2] if chunks else lead).append(mention)
            if mention.kind == "or":
                flags.append(mention)
        else:
            figure = figure or (bool(chunks) and mention.kind == "reading")
            flags.append(mention)
    return lead, chunks


def _ruled_out(part: Mention, lead: Sequence[Mention], flags: Sequence[Mention]) -> bool:
    """Whether a part is named only to say that it is not the one that was meant."""
    denied = bool(flags) and flags[-1].kind == "not" and flags[-1].first == "not" and part.start - flags[-1].end <= 1
    before = [m for m in lead if m.end <= flags[-1].start] if denied else []
    return denied and not part.gap and bool(before) and before[-1].kind == "component"


def _at_what_time(part: Mention, clause: Clause) -> bool:
    """Whether a part only tells when something is so."""
    at = clause.mentions.index(part)
    before = [m for m in clause.mentions[max(0, at - 2) : at] if m.kind != "det"]
    if at < 2 or not before or before[-1].kind != "when":
        return False
    by_somebody = before[-1].last in _ANYBODY and part.gap <= 1  # "moves when you put the cap on"
    return by_somebody or (not part.gap and part.last in _OPENINGS)


def _taken_out(joint: Mention, lead: Sequence[Mention], clause: Clause) -> bool:
    """ "Had the burner out and the injector was coked up": what was only taken out to get at the rest is no subject."""
    if joint.kind == "and" and lead and lead[-1].kind == "component" and lead[-1].last in ("cupboard", "cabinet"):
        return not joint.gap  # "opened the meter cupboard and the bonding wire fell off"
    if joint.kind != "and" or joint.gap != 1 or not lead or lead[-1].kind != "component":
        return False
    at = clause.mentions.index(lead[-1])
    had = next((m for m in reversed(clause.mentions[:at]) if m.kind != "det"), None)
    after = next((m for m in clause.mentions[clause.mentions.index(joint) + 1 :] if m.kind != "det"), None)
    if after is None or after.kind != "component":
        return False
    return had is not None and had.kind == "be" and had.first == "had"


def _taken_off(off: Mention, lead: Sequence[Mention], clause: Clause) -> bool:
    """ "Pulled the knob off, water in the switch": what was taken off to get at the rest is no subject."""
    if off.kind != "prep" or off.first != "off" or off.gap or len(lead) < 2:
        return False
    article, part = lead[-2:]
    acted = article.kind == "det" and article.gap > 0 and part.kind == "component" and not part.gap and not part.pause
    behind = clause.mentions[clause.mentions.index(off) + 1 :]
    return acted and bool(behind) and (bool(behind[0].pause) or behind[0].kind not in ("det", "component", "pronoun"))


def _told_again(place: Mention, lead: Sequence[Mention], flags: Sequence[Mention]) -> bool:
    """ "Front left eighteen, front right six, so the front right's weak": what is said is said of the place told again."""
    if place.kind != "place" or not flags or flags[-1].kind not in ("reading", "mark"):
        return False
    return any(m.kind == "place" and m.id == place.id for m in lead)


def _statement(
    head: Mention, flags: list[Mention], tail: list[Mention], subject: list[Target], kinds: set[str], hedge_after: bool
) -> Statement:
    out = Statement(
        head.senses,
        head.start,
        head.end,
        head=head.start,
        words=head.end - head.start,
        now="now" in kinds,
        past_tense="be" in kinds,
    )
    out.denied = _denied(head, flags, subject) or "no-after" in kinds
    out.hedged = any(flag.kind == "hedge" and not _of_a_part(flag, head, subject) for flag in flags) or hedge_after
    out.pronoun = any(flag.kind in ("pronoun", "them") for flag in flags)
    out.listing = "one" in kinds or "them" in kinds or "listing" in kinds
    out.cues = sorted({flag.kind for flag in flags} & {"no", "not", "hedge", "still"})
    bar = next((i for i, mention in enumerate(tail) if mention.kind == "except"), None)
    left_out = targets(tail[bar + 1 :]) if bar is not None else []
    tail = tail[:bar] if bar is not None else tail
    behind = [replace(t, many=t.many or any(n.note.endswith("s") for n in t.names)) for t in targets(tail)]
    names_it = bool(tail) and tail[0].kind == "component" and not tail[0].gap and not head.pause
    names_it = names_it and bool(flags) and flags[-1].kind == "det"  # "that's the wrong cap"
    names_it = names_it or done_to([head, *tail[:2]])  # "he's put a telly up and covered the vent"
    if out.pronoun and not subject and not names_it and (head.fit or head.last not in LEADING):
        # "it was muck on the electrode"
        behind = [replace(t, names=()) for t in behind if t.places or t.group or t.size]
    elif not out.denied and "ok" not in out.condition_ids and _by_cause(tail) and not _smelt_by(out, tail):
        behind = []  # "blocked with grease": what it is blocked with is no part
    if subject:
        behind = [t for t in behind if not t.names or _shown_by(out, t)]
    if "not-holding" in out.condition_ids and not out.denied:  # "dies the minute you let go of the knob"
        behind = [replace(t, names=()) if t.component == "knob" else t for t in behind]
        behind = [t for t in behind if t.names or t.places or t.group or t.size]
    if "ok" in out.condition_ids:  # "nothing to report on the hob" says it of no part
        behind = [t for t in behind if t.names or t.places or t.group or t.size]
    out.own = any(t.names for t in behind)
    led = acted_on(head, tail[:2]) or head.first in _TRACED  # "test failed, traced it to the elbow"
    out.targets = _joined([] if led and out.own else subject, behind)
    if left_out:
        corners = any(t.places for t in left_out)
        listed = out.targets or ([Target()] if corners else [])
        wide = listed if not any(m.kind == "or" for m in tail) else listed[-1:]  # "nor the caps bar the rear left"
        out.targets = [_all_but(t, left_out) if t in wide else t for t in listed]
        out.left_out = left_out
    if out.targets:
        spans = [t for t in out.targets if t.end]
        out.start = min([out.start, *(t.start for t in spans)])
        out.end = max([out.end, *(t.end for t in spans)])
    return out


def _of_a_part(hedge: Mention, head: Mention, subject: Sequence[Target]) -> bool:
    """ "Not happy with the flue, the joint isn't pushed home": the doubt is about a part, what is wrong is seen. Nor is it
    a guess what is noticed by ear or nose ("sounds like gravel", "smells like gas")."""
    if hedge.last in _ABOUT and any(t.names and hedge.end <= t.end <= head.start for t in subject):
        return True
    wanted = {"sounds": "noisy", "sound": "noisy", "smells": "leaking"}.get(hedge.first)
    return wanted is not None and {sense.id for sense in head.senses} == {wanted}


def _all_but(target: Target, left_out: Sequence[Target]) -> Target:
    """ "All the caps are fine bar the rear right": the other places of the usual four."""
    out = {place for t in left_out for place in t.places or ()}
    if not out or not out <= set(FOUR) or target.places not in (None, ("all",)):
        return target
    return replace(target, places=tuple(place for place in FOUR if place not in out))


def _denied(head: Mention, flags: Sequence[Mention], subject: Sequence[Target]) -> bool:
    """Whether a denial reaches the condition: close before it, with no pronoun, moment or other part between."""
    for flag in reversed(flags):
        if flag.first == "neither" and flag.kind in ("no", "not"):
            return head.start - flag.end <= 8  # "neither burner on the right would light"
        if flag.kind in ("pronoun", "them", "mark", "but") or (flag.first in ("nothing", "nowt") and head.pause):
            return False
        if flag.kind == "not" and any(flag.end <= t.start and t.names and t.end <= head.start for t in subject):
            return False
        if flag.kind in ("no", "not"):
            return head.start - flag.end <= 3
    return False


def _shown_by(statement: Statement, target: Target) -> bool:
    """ "Back burner's not lighting from the ignition": what a symptom is not said of is no subject behind it."""
    limits = [SHOWN_BY.get(id_) for id_ in statement.condition_ids]
    return not all(limit is not None and not limit & {name.id for name in target.names} for limit in limits)


def _smelt_by(out: Statement, tail: Sequence[Mention]) -> bool:
    """ "A smell by the meter": where it is, not what did it."""
    return "leaking" in out.condition_ids and tail[0].first == "by"


def _by_cause(tail: Sequence[Mention]) -> bool:
    return bool(tail) and tail[0].kind == "prep" and tail[0].cause


def _joined(subject: list[Target], behind: list[Target]) -> list[Target]:
    """The targets of a condition: the subject before it, completed by what stands behind it."""
    named = [t for t in subject if t.names]
    after = [t for t in behind if t.names]
    places = next((t for t in behind if t.places or t.group or t.size), None)
    if named and after and {t.component for t in named} == {"burner"}:
        return [
            t
            if t.places or t.group
            else replace(t, places=named[0].places, group=named[0].group, size=t.size or named[0].size)
            for t in after
        ]
    if named and after and all(_loosely(t) for t in named):
        wanted = {n.id for t in named for n in t.names}  # "lever missing off the emergency control"
        owners = [t for t in after if {n.id for n in t.names} & wanted and t.component]
        if owners:
            return owners
    if named:
        if places and places.places and all(t.group == "last-two" for t in named):
            named = [replace(t, group=None) for t in named]  # "both seals gone on the left"
            places = replace(places, places=both(places.places))
        if places and not any(t.places or t.group for t in named):
            return [replace(t, places=places.places, group=places.group, size=t.size or places.size) for t in named]
        return named
    if after:
        where = next((t for t in subject if t.places or t.group or t.size), None)
        if where:
            return [
                t
                if t.places or t.group
                else replace(t, places=where.places, group=where.group, size=t.size or where.size)
                for t in after
            ]
        return after
    if subject:
        return subject
    return [t for t in behind if t.places or t.group or t.size or t.appliance]


def _loosely(target: Target) -> bool:
    """Whether a name may mean several parts ("the ceramic"), or says little by itself."""
    return len({n.id for n in target.names}) > 1 or all(n.note.startswith("weak") for n in target.names)


def _guessed(clause: Clause) -> list[Target]:
    """The parts behind a hedge."""
    at = next(i for i, mention in enumerate(clause.mentions) if mention.kind == "hedge")
    if any(m.kind == "be" and m.first in ("could", "can") for m in clause.mentions[at : at + 3]):
        return []  # "I thought I could smell gas at the meter"
    behind = [m for m in clause.mentions[at:] if m.kind in NOMINAL or m.kind in ("prep", "and", "or", "one")]
    named = next((m.start for m in behind if m.kind == "component"), 0)
    if any(m.kind == "not" and m.start < named for m in clause.mentions[at + 1 :]):
        return []  # "might not have been the vessel after all"
    return [target for target in targets(behind) if target.names]
