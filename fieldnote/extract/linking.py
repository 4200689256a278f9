"""What one clause says of what: statements, work, guesses, each with the parts it is said of. In: a clause. Out: `Said`.

A condition looks for its part among the names before it, then behind it; which names fit is known from the trade's limits.
Not allowed to know: earlier clauses.
"""

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from fieldnote.extract.clauses import Clause, in_hand, stands_for_verb, worked_on
from fieldnote.extract.lexicon import Sense
from fieldnote.extract.mentions import NOMINAL, Mention
from fieldnote.extract.subjects import FOUR, KIN, Target, both, targets
from fieldnote.trade.spoken import spoken

# "same cure", "did the same": the work as well as the fault
TREATED = frozenset("cure treatment remedy medicine fix did done".split())
# how a part sits when nobody is said to have put it there
SITS = frozenset("seated clipped hooked tucked seat fastened secured".split())
SYMPTOMS = frozenset(
    "no-spark weak-spark not-lighting not-holding constant-spark lifting yellow-tipping noisy dead weak leaking sticking".split()
)
# symptoms that "it lights", "it holds" contradicts
SILENT = frozenset("no-spark weak-spark not-lighting not-holding".split())
# symptoms that mostly come from another part
SHOWING = SILENT | {"constant-spark", "lifting", "yellow-tipping"}
# the part that a condition is said of when none was named
IMPLIED = {
    "lifting": "flame",
    "yellow-tipping": "flame",
    "no-spark": "electrode",
    "weak-spark": "electrode",
    "constant-spark": "spark-generator",
    "not-lighting": "burner",
    "not-holding": "burner",
}
# what is wrong where the verb is denied ("front left lights, rear left doesn't")
OPPOSITES = {
    "not-lighting": frozenset("light lights lit lighting catches catch".split()),
    "no-spark": frozenset("spark sparks sparking".split()),
    "not-holding": frozenset("hold holds holding stay stays".split()),
}
_SIZED = frozenset({"injector", "fuse"})  # parts whose figure says whether they are the right ones
_WANTS = frozenset("needs need wants want requires needing wanting".split())
_SPARKS = frozenset({"electrode", "burner"})
# the part that a condition is most often said of, where a place is all that was said ("front right's stiff")
_USUAL = {"failed": "fsd", "stiff": "gas-tap", "seized": "gas-tap", "sticking": "gas-tap", "enlarged": "injector"}
_SAID_OF = {
    "lifting": frozenset({"flame"}),
    "yellow-tipping": frozenset({"flame", "pilot"}),
    "no-spark": frozenset({"electrode", "ht-lead", "spark-generator", "ignition-switch"}),
    "weak-spark": frozenset({"electrode", "ht-lead", "spark-generator"}),
    "constant-spark": frozenset({"spark-generator", "ignition-switch", "electrode"}),
    "not-lighting": frozenset({"burner", "pilot", "appliance", "burner-ring"}),
    "not-holding": frozenset({"fsd", "thermocouple", "magnet-unit", "burner", "pilot", "gas-tap", "flame", "knob"}),
}
# "no flame", "no burner" says something else than that the part is missing
_ALWAYS_THERE = frozenset(
    "flame burner pilot pipework joint appliance electrode injector gas-tap thermocouple regulator meter thermostat".split()
)
# what is said of a whole appliance; "seized" or "perished" is said of a part, even where none was understood
_OF_APPLIANCES = frozenset("ok unstable leaking damaged sooted noisy passed failed".split())
# of the meanings that fit a part a fault comes first ("tight"), and a plain "sound" is no test
_LAST = {"ok": 1, "passed": 2}
_FLAME_ONLY = frozenset({"lifting", "yellow-tipping"})


@dataclass(slots=True)
class Statement:
    """A condition that is said, its possible meanings and the targets it is said of."""

    senses: tuple[Sense, ...]
    start: int
    end: int
    targets: list[Target] = field(default_factory=list)
    denied: bool = False
    hedged: bool = False
    now: bool = False
    past_tense: bool = False
    pronoun: bool = False
    listing: bool = False
    head: int = 0
    words: int = 1
    own: bool = False
    again: bool = False
    treated: bool = False
    verb: str = ""
    pointed: bool = False
    left_out: list[Target] = field(default_factory=list)
    cues: list[str] = field(default_factory=list)

    @property
    def is_aside(self) -> bool:
        """Whether it names no part of its own and says that something goes on in spite of a fault."""
        return "still" in self.cues

    @property
    def condition_ids(self) -> set[str]:
        """The conditions it can mean."""
        return {sense.id for sense in self.senses}


@dataclass(slots=True)
class Job:
    """Work that is said: kind, state, and what it names as its object."""

    kind: str
    state: str
    start: int
    end: int
    targets: list[Target] = field(default_factory=list)
    cues: list[str] = field(default_factory=list)
    many: bool = False
    figure: bool = False
    pronoun: bool = False
    kinds: frozenset[str] = frozenset()
    bare: bool = False
    state_of: bool = False
    points_at: Statement | None = None
    now: bool = False
    past_tense: bool = False


@dataclass(slots=True)
class Said:
    """Everything one clause says."""

    subject: list[Target] = field(default_factory=list)
    statements: list[Statement] = field(default_factory=list)
    works: list[Job] = field(default_factory=list)
    guessed: list[Target] = field(default_factory=list)
    cured: bool = False
    outcome: bool = False
    still: bool = False
    declined: bool = False
    reading: bool = False
    led: bool = False
    earlier: bool = False
    start: int = 0
    end: int = 0

    @property
    def every(self) -> list[Target]:
        """All targets of the clause."""
        inner = [t for s in self.statements for t in s.targets] + [t for job in self.works for t in job.targets]
        return [*self.subject, *(t for t in inner if t not in self.subject)]

    def as_statement(self) -> Statement:
        """The clause as a statement without a condition."""
        return Statement((), self.start, self.end, hedged=True, cues=["hedge"])


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
    kinds = clause.kinds() | _contrast(clause)
    said.earlier = "earlier" in kinds
    said.cured = "cured" in kinds and "decline" not in kinds
    said.outcome = "outcome" in kinds and not kinds & {"hedge", "report", "need"}
    said.still = "still" in kinds and not any(head.fit for head, _, _ in chunks) and not _still_reads(clause)
    said.cured = said.cured or _better_now(clause) or (said.outcome and "now" in kinds)
    said.declined = "decline" in kinds
    said.reading = "reading" in kinds
    said.led = bool(lead) and lead[0].kind == "prep"
    hedge_after = "hedge-after" in kinds
    for at, (head, flags, tail) in enumerate(chunks):
        if at and not flags and _goes_on(chunks[at - 1][0], head):
            continue  # "sparks fine" says it once
        if head.fit and _of_a_figure(head, clause, said.subject):
            continue  # "twenty millibar bang on"
        if head.kind == "condition":
            if _causes(head, clause) or _circumstance(head, clause):
                continue
            if said.works and worked_on(clause.mentions.index(head), clause.mentions):
                said.works[-1].points_at = _statement(head, flags, tail, [], kinds, hedge_after)
                continue
            said.statements.append(_statement(head, flags, tail, said.subject, kinds, hedge_after))
            before = said.statements[-2].left_out if len(said.statements) > 1 and not tail else []
            if before or (left_out and any(flag.kind == "pronoun" and flag.first == "which" for flag in flags)):
                _of_the_excepted(said, before or left_out)
            pointed = bool(flags) and flags[-1].kind == "earlier" and head.start == flags[-1].end
            said.statements[-1].pointed = pointed
        elif head.kind in ("same", "no-after"):
            said.statements.append(_copy(head, flags, tail, said.subject, kinds))
        elif head.kind == "work" and not _undone(head, flags) and not _recalled(head, clause):
            said.works.append(_job(head, flags, tail, kinds))
            if head.senses[0].note == "ing" and len(said.works) > 1 and said.works[-2].state == "needed":
                said.works[-1].state = "needed"  # "needs packing out and lining up"
            said.works[-1].many = _several(head, clause)
            said.works[-1].targets = [_placed(t, said.subject) for t in said.works[-1].targets]
            said.works[-1].figure = "reading" in kinds
            said.works[-1].state_of = _describes(head, clause)
            said.works[-1].kinds = frozenset(sense.id for sense in head.senses)
            said.works[-1].bare = head.senses[0].note == "bare"
            said.works[-1].pronoun = any(m.kind == "pronoun" for m in _next(head, clause))
    if not said.works and (wanted := _needs_a_part(clause)):
        said.works.append(wanted)
    if left_out and said.statements:
        said.statements[-1].left_out = left_out
    _coordinate(said, chunks)
    if "in-order" in kinds or len(said.statements) > 2:
        _in_order(said)
    if "hedge" in kinds and said.statements and "or" in kinds:
        _part_guesses(said, lead)
    if not chunks and "hedge" not in kinds and said.subject and (like := _like_before(clause, said.subject)):
        said.statements.append(like)
    if not said.statements and (wrong := _should_be_another(clause, said.subject)):
        said.statements.append(wrong)
    if not said.statements and (absent := _not_there(clause)):
        said.statements.append(absent)
    if "hedge" in kinds and not said.statements:
        said.guessed = _guessed(clause)
    elif hedge_after and not said.statements:
        said.guessed = [target for target in said.subject if target.names]
    if not (said.works or said.cured or "now" in kinds):
        said.statements = [out for out in said.statements if not _overruled(out, said.statements)]
    return said


def _causes(head: Mention, clause: Clause) -> bool:
    """ "Blocked with sludge": what did it is no second fault."""
    at = clause.mentions.index(head)
    before = clause.mentions[max(0, at - 2) : at]
    return (
        len(before) == 2
        and before[1].cause
        and before[1].kind == "prep"
        and before[0].kind == "condition"
        and not head.fit
    )


def _circumstance(head: Mention, clause: Clause) -> bool:
    """ "Buzzes when it pulls in", "won't lift when you twist it": when something is so, beside what is so."""
    at = clause.mentions.index(head)
    before = clause.mentions[at - 1] if at else None
    if before is None or before.kind != "when" or head.gap > 1:
        return False
    return any(m.kind == "condition" for i, m in enumerate(clause.mentions) if i != at)


def _overruled(statement: Statement, others: Sequence[Statement]) -> bool:
    """ "Turns but doesn't shut off", "labouring to get up to speed": a part with a fault is not fit in the same breath."""
    if statement.condition_ids != {"ok"} or any(sense.of is None for sense in statement.senses):
        return False
    faults = [s for s in others if s.senses and not s.denied and not s.condition_ids & {"ok", "passed"}]
    return any(s.targets and s.targets == statement.targets for s in faults)


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


def _placed(target: Target, subject: Sequence[Target]) -> Target:
    """ "Front left and rear right need new caps": work on a part at the places that were said before it."""
    if target.places or target.group or len(subject) != 1 or subject[0].component not in (None, "burner"):
        return target
    return replace(target, places=subject[0].places, size=target.size or subject[0].size)


def _should_be_another(clause: Clause, subject: list[Target]) -> Statement | None:
    """ "Injector was seventy, should be seventy two": a part of the wrong size."""
    for need, after in zip(clause.mentions, [*clause.mentions[1:], None], strict=True):
        figure = after is None or after.kind == "reading" or after.gap > 0
        sized = [t for t in subject if t.component in _SIZED]
        if need.kind == "need" and need.first == "should" and figure and sized:
            return Statement(
                (Sense("condition", "wrong-part"),), need.start, need.end, sized, head=need.start, cues=["need"]
            )
    return None


def _needs_a_part(clause: Clause) -> Job | None:
    """ "Front right needs an electrode": a part is wanted, no work is named."""
    for need, det, part in zip(clause.mentions, clause.mentions[1:], clause.mentions[2:], strict=False):
        close = not det.gap and not part.gap and not det.pause and not part.pause
        wants = need.kind == "need" and need.first in _WANTS and det.first in ("a", "an", "another") and close
        if wants and part.kind == "component" and part.strong and part is clause.mentions[-1]:
            wanted = [_placed(targets([part])[0], _places_before(clause, need))]
            return Job("replace", "needed", need.start, part.end, wanted)
    return None


def _places_before(clause: Clause, need: Mention) -> list[Target]:
    return targets([m for m in clause.mentions[: clause.mentions.index(need)] if m.kind in NOMINAL or m.kind == "and"])


def _goes_on(verb: Mention, adverb: Mention) -> bool:
    """Whether "fine" stands right behind a verb that says as much."""
    if not adverb.fit or verb.kind != "condition" or adverb.gap or adverb.pause:
        return False
    if not verb.fit:  # "a gap all the way round"
        return all(sense.of is not None for sense in adverb.senses) and adverb.first in ("all", "right", "round")
    return verb.senses[0].of is not None and adverb.senses[0].of is None


def _like_before(clause: Clause, subject: list[Target]) -> Statement | None:
    """ "The knob behind it too", "rear left doesn't": the condition said last, or its opposite, of another part or place."""
    last = clause.mentions[-1]
    if last.kind == "also" and not any(m.kind in ("need", "no", "not", "past", "report") for m in clause.mentions):
        out = _copy(last, [], [], subject, clause.kinds())
    elif stands_for_verb(clause):
        out = _copy(last, [], [], subject, clause.kinds() - {"no-after"})
        out.verb = "does-not" if last.kind == "not" else "does"
    else:
        return None
    return out


def _contrast(clause: Clause) -> set[str]:
    """Whether a bare place stands for the part that was just spoken of: "right one's fine"."""
    ones = ("one", "ones", "un", "uns")
    said = any(mention.kind in ("place", "group", "size") and mention.last in ones for mention in clause.mentions)
    return {"listing"} if said else set()


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
    if last.kind == "no-after" and last.first == "none" and len(clause.mentions) > 1:
        part = clause.mentions[-2]
        if part.kind == "component" and part.id not in _ALWAYS_THERE and last.gap == 0:
            missing = (Sense("condition", "missing"),)
            return Statement(missing, last.start, last.end, targets([part]), head=last.start, own=True, cues=["no"])
    for at, mention in enumerate(clause.mentions[:-1]):
        noun = next((m for m in clause.mentions[at + 1 : at + 3] if m.kind != "det"), None)
        if (
            mention.kind == "no"
            and not in_hand(mention)
            and noun is not None
            and noun.kind == "component"
            and (noun.strong or len(noun.senses) == 1)
            and noun.start - mention.end <= 2
        ):
            if noun.id in _ALWAYS_THERE:
                return None
            sense = Sense("condition", "missing")
            run = list(
                itertools.takewhile(lambda m: m.kind in (*NOMINAL, "and", "or", "det"), clause.mentions[at + 1 :])
            )
            return Statement((sense,), mention.start, noun.end, targets(run), head=mention.start, own=True, cues=["no"])
    return None


def _none_of(mention: Mention, clause: Clause) -> bool:
    """ "None on the hose": a denial that says again what was denied."""
    if mention.kind != "no-after" or mention is clause.mentions[-1]:
        return False
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
        if first.denied and not second.denied and (joined & {"or"} or goes_on):
            second.denied = "ok" not in second.condition_ids
        if first.hedged and not second.hedged:
            second.hedged = True
    for at in range(len(said.statements) - 2, -1, -1):
        first, second = said.statements[at], said.statements[at + 1]
        if not any(t.names for t in first.targets) and any(t.names for t in second.targets):
            first.targets = second.targets


def _of_the_excepted(said: Said, left_out: Sequence[Target]) -> None:
    """ "All the taps bar the rear left, which is stiff": what is said behind is said of that one."""
    names = next((t.names for t in reversed(said.subject) if t.names), ())
    said.statements[-1].targets = [replace(out, names=out.names or names) for out in left_out]


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
            statement.targets = behind
    said.subject = behind


def _chunks(clause: Clause) -> tuple[list[Mention], list[tuple[Mention, list[Mention], list[Mention]]]]:
    """The names before anything is said, then each thing said with the cues before it and the names behind it."""
    lead: list[Mention] = []
    chunks: list[tuple[Mention, list[Mention], list[Mention]]] = []
    flags: list[Mention] = []
    figure = False
    for mention in clause.mentions:
        if mention.kind in ("condition", "work", "same") or _none_of(mention, clause):
            chunks.append((mention, flags, []))
            flags, figure = [], False
        elif figure and mention.kind in NOMINAL and chunks[-1][0].kind == "condition":
            continue  # "won't hold, fourteen millivolts off the thermocouple"
        elif mention.kind in NOMINAL or mention.kind in ("prep", "and", "or", "one", "det", "except"):
            (chunks[-1][2] if chunks else lead).append(mention)
            if mention.kind == "or":
                flags.append(mention)
        else:
            figure = figure or (bool(chunks) and mention.kind == "reading")
            flags.append(mention)
    return lead, chunks


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
    out.hedged = any(flag.kind == "hedge" and not _heard(flag, head) for flag in flags) or hedge_after
    out.pronoun = any(flag.kind in ("pronoun", "them") for flag in flags)
    out.listing = "one" in kinds or "them" in kinds or "listing" in kinds
    out.cues = sorted({flag.kind for flag in flags} & {"no", "not", "hedge", "still"})
    bar = next((i for i, mention in enumerate(tail) if mention.kind == "except"), None)
    left_out = targets(tail[bar + 1 :]) if bar is not None else []
    tail = tail[:bar] if bar is not None else tail
    behind = [replace(t, many=t.many or any(n.note.endswith("s") for n in t.names)) for t in targets(tail)]
    if out.pronoun and not subject:
        behind = [replace(t, names=()) for t in behind if t.places or t.group or t.size]
    elif not out.denied and "ok" not in out.condition_ids and _by_cause(tail):
        behind = []  # "blocked with grease": what it is blocked with is no part
    out.own = any(t.names for t in behind)
    out.targets = _joined(subject, behind)
    if left_out:
        listed = out.targets or [Target()]
        wide = listed if not any(m.kind == "or" for m in tail) else listed[-1:]  # "nor the caps bar the rear left"
        out.targets = [_all_but(t, left_out) if t in wide else t for t in listed]
        out.left_out = left_out
    if out.targets:
        spans = [t for t in out.targets if t.end]
        out.start = min([out.start, *(t.start for t in spans)])
        out.end = max([out.end, *(t.end for t in spans)])
    return out


def _heard(hedge: Mention, head: Mention) -> bool:
    """ "Sounds like gravel", "smells like gas": what is noticed by ear or nose is no guess."""
    wanted = {"sounds": "noisy", "sound": "noisy", "smells": "leaking"}.get(hedge.first)
    return wanted is not None and {sense.id for sense in head.senses} == {wanted}


def _all_but(target: Target, left_out: Sequence[Target]) -> Target:
    """ "All the caps are fine bar the rear right": the other places of the usual four."""
    out = {place for t in left_out for place in t.places or ()}
    if not out or not out <= set(FOUR) or target.places not in (None, ("all",)):
        return target
    return replace(target, places=tuple(place for place in FOUR if place not in out))


def _recalled(head: Mention, clause: Clause) -> bool:
    """ "That cap I cleaned, it's got a hairline in it": work that only says which part is meant."""
    at = clause.mentions.index(head)
    named = at > 0 and clause.mentions[at - 1].kind == "component" and not head.pause
    rest = clause.mentions[at + 1 :]
    fault = next((i for i, m in enumerate(rest) if m.kind == "condition" and not m.fit), 0)
    return named and head.owned and head.gap == 1 and any(m.kind in ("be", "pronoun") for m in rest[:fault])


def _undone(head: Mention, flags: Sequence[Mention]) -> bool:
    """ "Not tested", "didn't change it", "no need to": no work."""
    near = [flag for flag in flags if flag.kind in ("no", "not") and head.start - flag.end <= 1]
    return bool(near) and not head.pause


def _denied(head: Mention, flags: Sequence[Mention], subject: Sequence[Target]) -> bool:
    """Whether a denial reaches the condition: close before it, with no pronoun, moment or other part between."""
    for flag in reversed(flags):
        if flag.kind in ("pronoun", "them", "mark", "but") or (flag.first in ("nothing", "nowt") and head.pause):
            return False
        if flag.kind == "not" and any(flag.end <= t.start and t.names and t.end < head.start for t in subject):
            return False
        if flag.kind in ("no", "not"):
            return head.start - flag.end <= 3
    return False


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
    if named and after and all(n.note.startswith("weak") for t in named for n in t.names):
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
    return [t for t in behind if t.places or t.group or t.size]


def _job(head: Mention, flags: list[Mention], tail: list[Mention], kinds: set[str]) -> Job:
    note = head.senses[0].note
    wanted = _wanted(head, flags) or note == "needed"
    state = "needed" if wanted or (note == "base" and not head.owned) else "done"
    refused = note != "done" or wanted or any(flag.kind == "decline" for flag in flags)
    if "decline" in kinds and refused and head.senses[0].id not in ("advise", "label", "test", "isolate", "disconnect"):
        state = "declined"
    if head.senses[0].id == "monitor" and state == "done":
        state = "needed"
    job = Job(head.senses[0].id, state, head.start, head.end)
    objects = list(tail)
    if objects and (objects[0].pause or not head.takes_object) and objects[0].kind != "prep":
        objects = []
    if _direct(head, objects) or _part_of(head, objects):
        job.targets = [t for t in targets(objects) if t.names or t.places or t.group or t.which]
    return job


def _part_of(head: Mention, tail: Sequence[Mention]) -> bool:
    """ "Nipped up the grub screw on that knob": a piece without a name of its own is of the part that is named."""
    bare = [m for m in tail if m.kind != "det"]
    if len(bare) < 2 or bare[0].kind != "prep" or bare[1].kind != "component" or bare[0].cause or bare[1].gap:
        return False
    articles = sum(m.end - m.start for m in tail[: tail.index(bare[0])])
    piece = bare[0].start - head.end - articles
    return 1 <= piece <= 2 and piece == bare[0].gap and not (bare[0].pause or bare[1].pause)


def _next(head: Mention, clause: Clause) -> list[Mention]:
    at = clause.mentions.index(head) + 1
    return clause.mentions[at : at + 2]


def _describes(head: Mention, clause: Clause) -> bool:
    """ "Caps all seated", "phial clipped properly": how a part sits, no work on it."""
    at = clause.mentions.index(head)
    before = [m for m in clause.mentions[:at] if m.kind not in ("det", "group", "place", "be")]
    named = bool(before) and before[-1].kind == "component" and not head.owned
    return named and head.first in SITS and not any(m.kind in ("pronoun", "them") for m in _next(head, clause))


def _several(head: Mention, clause: Clause) -> bool:
    """ "Greased them both", "cleaned the three of them": work on all that was told, whatever parts they are."""
    if head.crowd:
        return True  # "new pair ordered"
    after = next((m for m in _next(head, clause) if m.kind != "det"), None)
    return after is not None and after.kind in ("them", "group") and not after.pause and after.gap <= 1


def _wanted(head: Mention, flags: Sequence[Mention]) -> bool:
    """Whether "needs" reaches the work: not over a figure ("should be eighty, put the right one in") or a turn of the talk."""
    for flag in reversed(flags):
        if flag.kind in ("reading", "but", "mark"):
            return False
        if flag.kind == "need":
            return flag.first != "should" or head.start == flag.end  # "should be three amp, changed it"
    return False


def _direct(head: Mention, tail: Sequence[Mention]) -> bool:
    first = next((m for m in tail if m.kind != "det"), None)
    articles = sum(m.end - m.start for m in tail if m.kind == "det" and first is not None and m.start < first.start)
    if first is None or first.kind not in NOMINAL:
        return False
    between = first.start - head.end - articles
    return between <= min(1, sum(m.gap for m in tail[: list(tail).index(first) + 1]))  # a pronoun between is the object


def _guessed(clause: Clause) -> list[Target]:
    """The parts behind a hedge."""
    at = next(i for i, mention in enumerate(clause.mentions) if mention.kind == "hedge")
    behind = [m for m in clause.mentions[at:] if m.kind in NOMINAL or m.kind in ("prep", "and", "or", "one")]
    return [target for target in targets(behind) if target.names]


def only_said_of(target: Target, statement: Statement, topic: Sequence[Target]) -> bool:
    """Whether the condition brings its own part (lifting: the flame; an oven that won't light: its burner)."""
    implied_by = [sense.id for sense in statement.senses if sense.id in IMPLIED]
    if not implied_by:
        return bool(target.appliance)
    names = {name.id for name in topic[-1].names} if topic else set()
    return bool(target.size or target.appliance) or not names & _SAID_OF[implied_by[0]]


def goes_with(topic: Sequence[Target], statement: Statement) -> bool:
    """Whether a condition without a part can be said of what the talk was about."""
    for sense in statement.senses:
        said_of = _SAID_OF.get(sense.id)
        for name in topic[-1].names:
            if _allows(sense, name.id) and (said_of is None or name.id in said_of):
                return True
    return not topic[-1].names


def implied(statement: Statement) -> list[Target]:
    """The target of a condition that needs no part named: "won't light", "no spark", but not a bare "yellow"."""
    if part := next((part for sense in statement.senses if sense.note == "alone" for part in sense.of or ()), None):
        return [Target((Sense("component", part, None, "strong"),))]
    return [Target()] if statement.words > 1 and statement.condition_ids & IMPLIED.keys() else []


def elliptical(target: Target, topic: Sequence[Target], statement: Statement) -> bool:
    """Whether a place without a part speaks of the part before ("front left tap stiff, rear right seized")."""
    names = topic[-1].names
    if not names:
        return False
    open_group = target.group is not None and not target.places
    pairs = (
        len(target.places or ()) > 1 and len(topic[-1].places or ()) > 1
    )  # "both right knobs cracked, left pair fine"
    several = statement.again or topic[-1].many or open_group or pairs or "others" in (target.places or ())
    if statement.condition_ids == {"ok"} and not statement.listing and not several:
        return False  # "front right no problems" says it of the burner
    return any(_allows(sense, name.id) for sense in statement.senses for name in names)


def _tiers(target: Target, kin: Sequence[str], ids: set[str], appliance: str | None) -> Iterator[list[Sense]]:
    """The names of a target, strong ones first, and of each those whose neighbours were spoken of ("the seal" after the door)."""
    if target.size in ("oven", "grill") or appliance in ("oven", "grill"):
        kin = [*kin[:1], "door", *kin[1:]]
    near = [relative for name in kin[:3] for relative in KIN.get(name, ())]
    fault = bool(ids - IMPLIED.keys() - {"ok"})
    # "ring" is the burner when it won't light, the crown when it is cracked
    names = sorted(target.names, key=lambda name: (fault and name.id == "burner", _common(name, appliance)))
    for weak in (False, True):
        row = [name for name in names if name.note.startswith("weak") == weak]
        yield from ([name for name in row if name.id == relative] for relative in near)
        yield [name for name in row if name.id not in near]


def fitting(
    target: Target, statement: Statement, appliance: str | None, kin: Sequence[str] = ()
) -> tuple[str, str] | None:
    """The component and the condition that fit each other best; None when nothing does."""
    if not target.names:
        return _without_name(target, statement)
    senses = sorted(statement.senses, key=lambda sense: _LAST.get(sense.id, 0))
    for names in _tiers(target, kin, statement.condition_ids, appliance):
        for limited in (True, False):
            for name in names:
                for sense in senses:
                    if (sense.of is not None) == limited and _allows(sense, name.id) and _has(name, appliance):
                        return _told(name.id, sense.id)
    strong = [name for name in target.names if not name.note.startswith("weak")]
    if not strong:
        return None
    free = next((sense for sense in statement.senses if sense.of is None or _widely_fit(sense)), None)
    if free is None and statement.words < 3:
        return None  # "flat" of a cap says nothing; "hanging on by one screw" says the same of anything
    free = free or statement.senses[0]
    return _told(strong[0].id, free.id)


def _common(name: Sense, appliance: str | None) -> int:
    """At how many appliances a part is found: of a fire, "the plate" is rather its closure plate than its data plate."""
    if not name.note.startswith("weak") or appliance not in ("boiler", "fire", "water-heater"):
        return 0
    found_at = spoken().components[name.id].of if name.id != "appliance" else ()
    if "installation" in found_at:
        return 50
    return len(found_at) if appliance in found_at else 99


def _widely_fit(sense: Sense) -> bool:
    """Whether it says of several parts that they are fit, so that others are, too; "silky" is said of fans alone."""
    return sense.id == "ok" and sense.of is not None and len(sense.of) > 1


def _told(component: str, condition: str) -> tuple[str, str]:
    if condition in _FLAME_ONLY and component in ("burner", "burner-ring", "burner-head"):
        return "flame", condition
    return component, condition


def _without_name(target: Target, statement: Statement) -> tuple[str, str] | None:
    for sense in statement.senses:
        if sense.note == "alone" and sense.of:
            return next(iter(sense.of)), sense.id
    if target.appliance and not (target.places or target.group):
        for sense in statement.senses:
            if _allows(sense, "appliance") and sense.id in _OF_APPLIANCES and target.appliance != "installation":
                return (
                    "burner" if target.size and _allows(sense, "burner") and sense.id == "ok" else "appliance"
                ), sense.id
    plain = any(
        sense.id == "dirty" and sense.of is None for sense in statement.senses
    )  # "front left's dirty": no flame
    for sense in statement.senses:
        if sense.id in IMPLIED and not plain:
            return IMPLIED[sense.id], sense.id
    if target.appliance and not (target.places or target.group or target.size):
        return None
    for sense in statement.senses:
        if sense.id == "ok" and sense.of == _SPARKS and target.places:
            return "electrode", sense.id  # "rear left sparking"
        if sense.id in _USUAL and _allows(sense, _USUAL[sense.id]):
            return _USUAL[sense.id], sense.id
    for sense in statement.senses:
        if sense.of is None or "burner" in sense.of:
            return "burner", sense.id
    return None


def _allows(sense: Sense, component: str) -> bool:
    return sense.of is None or component in sense.of


def _has(name: Sense, appliance: str | None) -> bool:
    if not name.note.startswith("weak") or appliance is None:
        return True
    return appliance in spoken().components[name.id].of


def any_name(target: Target, appliance: str | None) -> str | None:
    """The first component that a weak name can mean at this appliance."""
    return next((name.id for name in target.names if _has(name, appliance)), None)
