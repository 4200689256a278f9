"""Which of the faults told before work is done on, where it names no part of its own. In: work, and the talk. Out: facts.

Not allowed to know: how work changes a fact.
"""

from bisect import bisect_left
from collections.abc import Sequence
from itertools import pairwise

from fieldnote.extract.clauses.said import MENDING, Job, Said, Statement
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts.story import OPEN, Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.symptoms import AT_BURNER, SHOWING

TIGHTENED = frozenset("leaking loose unstable detached".split())  # "gave it half a turn" tightens them
# faults that a kind of work mends by itself
SUITS = {
    "clean": frozenset("dirty blocked partly-blocked sooted".split()),
    "dry": frozenset({"wet"}),
    "regrease": frozenset("stiff dry seized sticking".split()),
    "refit": frozenset("detached misaligned loose unstable".split()),
}
_BORNE, _SO_FAR = (
    frozenset("problem problems bother worry issue trouble".split()),
    frozenset("today yet for at now".split()),
)
_AMONG = 12  # facts among which the fault is that work mends
_SUMMING_UP = 6  # clauses that sum up what was told
_LIMBS = frozenset("foot feet leg legs corner corners side end".split())
_UNGREASED = frozenset("blocked partly-blocked loose".split())  # "stiff tap, blocked jet, greased it and cleaned it"
_RUBBED_OFF = frozenset({"corroded", "discoloured"})
_SO = 3  # clauses from a cause to the work on it, where only what follows from it was told between
_NUMBERS = {"two": 2, "pair": 2, "both": 2, "2": 2, "three": 3, "3": 3, "four": 4, "4": 4}


def last_of_each(named: Sequence[Target], told: Sequence[Fact]) -> list[Fact]:
    """ "Glass cracked, seal hard, ordered seal and glass": the fault told last of each."""
    last = (
        next((fact for fact in reversed(told) if fact.component in {name.id for name in target.names}), None)
        for target in named
    )
    return list(dict.fromkeys(fact for fact in last if fact is not None))


def as_many(talk: Talk, target: Target) -> list[Fact]:
    """ "Three knobs on order": as many faults of the part as were told lately."""
    said = [token.norm for token in talk.draft.tokens[max(0, target.start - 3) : target.end]]
    number = next((_NUMBERS[word] for word in reversed(said) if word in _NUMBERS), 0)
    several = any(name.note.endswith("s") for name in target.names) and not talk.draft.tokens[target.end - 1].clitic
    if not (number or several) or target.places or target.group not in (None, "last-two") or target.size:
        return []
    ids = {name.id for name in target.names}
    told = [f for f in talk.story.facts[-16:] if f.component in ids and f.status in OPEN and is_faulty(f)]
    told = [f for f in told if f.component == told[-1].component and f.clause >= talk.state.clause - 12]
    if not number:  # "new thermocouples needed"
        return [f for f in told if (f.clause, f.condition) == (told[-1].clause, told[-1].condition)]
    return told[-number:] if len(told) >= number else []


_HANDLING = 8  # words in which it is told what was handled
_WHEN = frozenset("when whenever if once as until till".split())
_WHOEVER = frozenset("i you we she he they ye yer tha im youre".split())


def a_unit(talk: Talk, target: Target) -> bool:
    """ "Magnet wasn't holding, new unit fitted": what was just told of, no appliance."""
    said = words_between(talk, target)
    return {name.id for name in target.names} == {"appliance"} and bool(said & {"unit", "assembly"}) and len(said) < 3


def _told_at_once(fact: Fact, other: Fact) -> bool:
    """Whether one statement told two facts, of a part at two places."""
    alike = (fact.clause, fact.component, fact.condition) == (other.clause, other.component, other.condition)
    return alike and fact is not other and (fact.start, fact.end) == (other.start, other.end)


def elsewhere(talk: Talk, fact: Fact) -> bool:
    """ "Front left crown's eaten away, front right was a devil to turn, greased it": the talk has moved to another place."""
    places = talk.state.places or ()
    corners = places and all("-" in place for place in places)
    if any(_told_at_once(fact, other) and other.position in places for other in talk.state.focus):
        return False  # "both electrodes are soaked. Dried."
    return bool(corners) and fact.position is not None and fact.component in AT_BURNER and fact.position not in places


def fit_now(talk: Talk, job: Job, pool: Sequence[Fact]) -> list[Fact]:
    """ "The seal's fine now that I've replaced it": the work is what is told."""
    last = pool[-1] if pool else None
    if last is None or last.condition != "ok" or last.actions or job.start - last.end > 6:
        return []
    if not {"now", "since"} & {token.norm for token in talk.draft.tokens[last.start : job.start]}:
        return []
    last.condition = None
    last.turn("resolved", "work-done")
    return [last]


def suited(talk: Talk, job: Job, faults: Sequence[Fact]) -> list[Fact]:
    """ "Electrode dirty on the front one, lead damp on the back one, dried and cleaned": each work mends its own fault."""
    mends = SUITS.get(job.kind, frozenset())
    if job.kind == "tighten" and not job.many and (slack := [f for f in faults if f.condition in TIGHTENED]):
        parts = {(fact.component, fact.position) for fact in slack}
        before = [f for f in talk.story.facts[-4:] if (f.component, f.position) in parts and f not in slack]
        before = [f for f in before if f.status == "present" and f.condition in TIGHTENED]
        return [
            *before,
            *slack,
        ]  # "glass cracked, handle loose, tightened", "left finger tight, it was leaking, nipped it up"
    if job.pronoun or any(fact.condition in mends or fact.condition is None for fact in faults):
        return []
    recent = [f for f in talk.story.facts[-5:] if f.clause >= talk.state.clause - 4 and f not in faults]
    return [f for f in recent if f.status == "present" and f.condition in mends and not f.actions][-1:]


def better_suited(talk: Talk, job: Job, facts: Sequence[Fact]) -> list[Fact]:
    """ "Front caps don't sit right, rear left cap's chipped, the caps are back on": the faults of such parts that the work can
    mend, where those told last are none."""
    mends, parts = SUITS.get(job.kind, frozenset()), {fact.component for fact in facts}
    if job.state != "done" or any(fact.condition in mends or fact.condition is None for fact in facts):
        return list(facts)
    told = [f for f in talk.story.facts[-_AMONG:] if f.component in parts and f.status == "present" and not f.actions]
    return [fact for fact in told if fact.condition in mends] or list(facts)


def instead(talk: Talk, job: Job, faults: Sequence[Fact], beyond: frozenset[str]) -> list[Fact]:
    """ "Cooker's rocking, no chain on it, shoved it back square": what was told last is beyond such work, so that "it" is
    what was told before."""
    suits = TIGHTENED if job.kind == "tighten" else SUITS.get(job.kind, frozenset())
    over = [fact for fact in faults if suits and fact.worked and fact.condition not in suits]  # by the "it" before this
    left = [fact for fact in faults if not fact.worked and fact.condition in suits]
    if over and left:
        return left  # "electrode was sooty and the lead was off, cleaned it and pushed it back on"
    beyond = beyond | _UNGREASED if job.kind == "regrease" else beyond
    if not faults or not (len(over) == len(faults) or all(fact.condition in beyond for fact in faults)):
        return []
    recent = [f for f in talk.story.facts[-5:] if f.clause >= talk.state.clause - 4 and f.status == "present"]
    recent = [f for f in recent if talk.state.appliance in (None, f.appliance) and not f.actions]
    rubbed = [f for f in recent if job.kind == "clean" and f in talk.story.facts[-2:] and f.condition in _RUBBED_OFF]
    return [f for f in recent if f.condition in suits or f in rubbed][-1:]


def beside_the_point(talk: Talk, said: Said) -> bool:
    """ "It was lying on the oven floor, clipped it back": a place was named, no part that has anything."""
    names = {name.id for target in said.subject for name in target.names}
    return said.led and bool(names) and not any(fact.component in names for fact in talk.story.facts[-16:])


def only_to_see(talk: Talk, target: Target) -> bool:
    """ "It dribbled when I pulled the hose", "goes out as soon as you let go of the knob": what was handled to see the fault."""
    words: list[str] = []
    for at in range(target.start - 1, max(-1, target.start - _HANDLING), -1):
        if talk.draft.tokens[at].pause:
            break
        words.append(talk.draft.tokens[at].norm)
    return any(when in _WHEN and who in _WHOEVER for who, when in pairwise(words))


def is_faulty(fact: Fact) -> bool:
    """Whether it tells of something wrong that is not put right."""
    return fact.status in OPEN and fact.condition not in (None, "ok", "passed")


def borne(talk: Talk, statement: Statement | Job) -> bool:
    """ "It's cracked, not a problem today", "no bother for now": a fault that is left as it is, not one that is over."""
    words = [token.norm for token in talk.draft.tokens[statement.start : statement.end + 2]]
    return any(a in _BORNE and b in _SO_FAR for a, b in pairwise(words))


def summed_up(talk: Talk, job: Job, said: Said) -> list[Fact]:
    """ "So to recap that's one tap changed, one crown reseated": the work that was told before, and nothing more."""
    on = [target for target in job.targets or said.subject if target.names]
    if talk.state.clause - talk.recap > _SUMMING_UP or len(on) != 1 or on[0].places or job.state != "done":
        return []
    ids = {name.id for name in on[0].names}
    return [
        fact
        for fact in talk.story.facts
        if fact.component in ids and any((a.kind, a.state) == (job.kind, "done") for a in fact.actions)
    ][-1:]


def says_both(talk: Talk, job: Job) -> bool:
    """ "Offered both": the number stands in the wording of the work itself."""
    return any(token.norm in ("both", "pair") for token in talk.draft.tokens[job.start : job.end + 2])


def told_together(
    talk: Talk, targets: Sequence[Target], said_both: bool, mends: frozenset[str] = frozenset()
) -> list[Fact]:
    """The open faults that were told one after the other, of one part or of one kind, or that the same work `mends`: what
    "both", "them", "the lot" are."""
    out: list[Fact] = []
    if any(target.places and target.places != ("all",) for target in targets):
        return out
    for fact in reversed(talk.story.facts[-12:]):
        wanted = any(action.state == "needed" for action in fact.actions)
        if (fact.condition is None and not wanted) or fact.condition in ("ok", "passed") or fact.status == "absent":
            continue
        alike = not out or fact.component == out[0].component or fact.condition == out[0].condition
        alike = alike or (fact.condition in mends and out[0].condition in mends and fact.appliance == out[0].appliance)
        if fact.status not in OPEN or not alike or fact.clause < talk.state.clause - 8:
            break
        out.append(fact)
    if len(out) == len(
        ("burners", "caps")
    ):  # "back burners are sooty and the caps want a scrub, gave them both a scrub"
        places = [fact.position for fact in reversed(out)]
        before = [f for f in talk.story.facts[-4:-2] if is_open(f) and f.clause >= out[0].clause - 1]
        out += before[::-1] if None not in places and [f.position for f in before] == places else []
    return out[::-1] if len(out) != 1 else _last_two(talk, targets, said_both) or out


def _last_two(talk: Talk, targets: Sequence[Target], said_both: bool) -> list[Fact]:
    """ "Frets burnt, knob cracked, both need replacing": the two faults told last, whatever parts they are of."""
    told = [fact for fact in talk.story.facts[-2:] if is_open(fact) and fact.clause >= talk.state.clause - 3]
    both = said_both or any(target.group == "last-two" for target in targets)
    if not both or len(told) != 2:
        return []
    if any(fact.condition in SHOWING for fact in told) and not all(fact.condition in SHOWING for fact in told):
        return []  # a symptom and its cause: nobody orders for the symptom
    same = (told[0].clause, told[0].component, told[0].condition)  # at all its places
    return [f for f in talk.story.facts[-6:-2] if (f.clause, f.component, f.condition) == same] + told


def is_open(fact: Fact) -> bool:
    """Whether something is still to be done about a fact: a fault, or work that is wanted."""
    return is_faulty(fact) or (fact.condition is None and any(action.state == "needed" for action in fact.actions))


def causes_of(talk: Talk, faults: Sequence[Fact]) -> list[Fact]:
    """ "The lead was off so it wouldn't spark, pushed it home": nobody works on a symptom where its cause was told."""
    if not all(_shows(fact) for fact in faults):
        return []
    places = {fact.position for fact in faults}
    rocks = all((fact.component, fact.condition) == ("appliance", "unstable") for fact in faults)
    shown = min((fault.clause for fault in faults), default=talk.state.clause)
    return [
        fact
        for fact in talk.story.facts[-6:]
        if is_faulty(fact)
        and not _shows(fact)
        and (fact.component == "stability-bracket" or not rocks)
        and fact.position in places | {None}
        and fact.clause
        >= min(
            talk.state.clause - max(_behind(fact, faults) + rocks, _SO * _right_before(talk, fact, faults)),
            shown - _behind(fact, faults) - rocks,
        )
    ][-1:]


def _right_before(talk: Talk, cause: Fact, faults: Sequence[Fact]) -> bool:
    """ "It's bent, it wasn't in the flame, so it wouldn't hold": whether nothing but the symptom was told since, which follows
    from it."""
    lately = talk.story.facts[-6:]
    since = lately[lately.index(cause) + 1 :]
    led = any(talk.draft.tokens[at].norm == "so" for fact in faults for at in range(max(0, fact.start - 2), fact.end))
    return led and bool(since) and all(fact in faults for fact in since)


def _behind(fact: Fact, faults: Sequence[Fact]) -> int:
    """How many clauses back a cause may have been told: a setting, or what all burners hang on, two."""
    wide = fact.condition == "out-of-adjustment" or any(fault.position == "all" for fault in faults)
    return 2 if wide else 1


def _shows(fact: Fact) -> bool:
    """Whether a fault is one that another part causes: nobody works on a flame."""
    rocks = (fact.component, fact.condition) == ("appliance", "unstable")  # "its bracket's too high so it tips"
    return fact.condition in SHOWING or fact.component == "flame" or rocks


def last_fault(talk: Talk) -> list[Fact]:
    """The fault that was told last of this appliance: what is made safe."""
    told = [f for f in talk.story.facts[-10:] if f.status == "present" and is_faulty(f) and f.condition != "not-fitted"]
    whole = ("installation", "hob", "oven", "grill") if talk.state.appliance == "cooker" else ("installation",)
    here = [f for f in told if f.appliance in (talk.state.appliance, *whole)]  # "grill tap leaks, shut the cooker off"
    alike = (here[-1].clause, here[-1].component, here[-1].condition) if here else ()
    return [f for f in here if (f.clause, f.component, f.condition) == alike]


def faults_beside(talk: Talk, fit: Fact) -> list[Fact]:
    """Faults just told of a part that something good was said of last ("greasy but sound, wiped it down")."""
    return [
        fact
        for fact in talk.story.of(fit.component, fit.position, fit.burner, fit.appliance)
        if fact.status in OPEN and fact.condition not in (None, "ok", "passed") and fact.clause >= fit.clause - 2
    ]


def faults_alike(talk: Talk, job: Job, pool: Sequence[Fact]) -> list[Fact]:
    """ "Middle radiant cracked, the others sound, one on order", "left and right cracked, middle fine, pair on order"."""
    told = [fact for fact in talk.story.facts[-8:] if is_faulty(fact) and fact.clause >= talk.state.clause - 5]
    alike = [fact for fact in told if pool and fact.component == pool[-1].component and not fact.actions]
    several = {token.norm for token in talk.draft.tokens[max(0, job.start - 2) : job.end]} & {
        "pair",
        "both",
        "two",
        "ones",
    }
    return alike if job.many or several else alike[-1:]


def faults_at(talk: Talk, job: Job, beyond: frozenset[str]) -> list[Fact]:
    """ "Front left tap's stiff, front right cap dirty, greased the front left": the fault told at a place that work names, where
    the part in talk has none there."""
    places = {place for target in job.targets for place in target.places or ()}
    if not places or any(target.group for target in job.targets) or job.kind not in MENDING:
        return []
    told = [f for f in talk.story.facts[-60:] if f.position in places and is_faulty(f) and f.status == "present"]
    told = [f for f in told if f.appliance == talk.state.appliance and f.condition not in beyond | SHOWING]
    topic = {name.id for target in talk.state.topic for name in target.names}
    mends = SUITS.get(job.kind, frozenset())
    told = [f for f in told if f.condition in mends] or told
    if {f.position for f in told} != places or any(f.component in topic for f in told):
        return []
    return [next(f for f in reversed(told) if f.position == place) for place in sorted(places)]


def share(talk: Talk, faults: list[Fact]) -> list[Fact]:
    """Work without an object goes to the last part spoken of, at all its places."""
    # "bypass was too low, it goes out, turned it up": nobody works on a symptom
    last = next((fact for fact in reversed(faults) if fact.condition not in SHOWING), faults[-1])
    beside = [  # "tap was stiff, the grease had dried out, regreased it" mends both
        fact
        for fact in talk.story.facts[-6:]
        if (fact.component, fact.position, fact.burner) == (last.component, last.position, last.burner)
        and fact.status == "present"
        and fact.condition not in (None, "ok", "passed")
        and fact.clause >= talk.state.clause - 2
    ]
    causes = any(fact.condition not in SHOWING for fact in [*faults, *beside])  # nobody works on a symptom
    mended = [
        fact
        for fact in dict.fromkeys([*faults, *beside])
        if not (causes and fact.condition in SHOWING)
        if (fact.component == last.component or (fact.condition == last.condition and fact.clause == last.clause))
        and fact.status not in ("historical", "absent")
    ]
    # "low screw's set too low, it goes out when you turn it down, opened it up": the cause of what was told last
    return mended or [f for f in faults if f.condition not in SHOWING and f.status not in ("historical", "absent")][-1:]


def words_between(talk: Talk, target: Target) -> set[str]:
    """The words in which a target was named."""
    return {token.norm for token in talk.draft.tokens[target.start : target.end]}


def to_a_figure(talk: Talk, job: Job) -> bool:
    """ "Set to 65 °C", "turned down to sixty": a figure that is no reading, right behind the work."""
    row = talk.draft.measures[0][0] if talk.draft.measures else None
    if row is None:
        return False
    counted = {token.norm for token in talk.draft.tokens[job.end : job.end + 3]} & _LIMBS
    if counted:
        return False  # "wound one foot down"
    at = bisect_left(row.figures, job.end, key=lambda figure: row.origins[figure.start])
    return at < len(row.figures) and row.origins[row.figures[at].start] - job.end <= 1
