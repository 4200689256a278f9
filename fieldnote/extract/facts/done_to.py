"""What work was done to, in the order in which it is looked for. In: work, what was said in its clause, and the talk. Out: the
facts that it was done to.

The parts that it names, those counted, the fault that was just told, what was taken out before. Not allowed to know: what the
work makes of them.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.said import MENDING, Job, Said
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts import groups
from fieldnote.extract.facts.faults import (
    SUITS,
    a_unit,
    as_many,
    beside_the_point,
    better_suited,
    causes_of,
    elsewhere,
    faults_alike,
    faults_at,
    faults_beside,
    fit_now,
    instead,
    is_faulty,
    last_fault,
    last_of_each,
    only_to_see,
    says_both,
    share,
    suited,
    summed_up,
    to_a_figure,
    told_together,
)
from fieldnote.extract.facts.story import OPEN, SAFETY, Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.facts.worked import (
    GAPS,
    SHOWS,
    air_of_its_flame,
    each,
    facts_for,
    mended_just_now,
    new_parts,
    of_that_oven,
    turned_by_it,
)
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import AT_BURNER, SHOWING

_SETTINGS = frozenset("out-of-adjustment lifting yellow-tipping weak noisy not-holding".split())  # what a setting mends
_BROKEN = frozenset(
    "missing not-fitted expired cracked broken chipped perished worn kinked wrong-part enlarged".split()
)
# faults that a kind of work cannot have been done for, where it names no object
BEYOND = {
    "clean": _BROKEN | {"loose", "detached", "distorted", "inadequate"},
    "dry": _BROKEN | {"loose", "detached", "distorted", "inadequate"},
    "regrease": _BROKEN | {"detached", "distorted", "inadequate", "sooted"},
    "tighten": frozenset(
        "missing not-fitted expired cracked chipped perished dirty sooted blocked partly-blocked burnt discoloured "
        "corroded".split()
    ),
    "adjust": _BROKEN - {"worn", "wrong-part", "kinked"} | {"dirty", "sooted", "blocked", "burnt"},
    "refit": frozenset("missing not-fitted expired cracked chipped perished worn enlarged".split()),
}
_IT = frozenset("it him un them".split())
_IT_IS = frozenset("its theyre hes shes".split())
_HEADED = 15  # words between parts named alone and work on the lot of them
_GAP_AGO = 24  # words within which a gap is still what was told


def _on_another(job: Job, said: Said, made: Sequence[Fact]) -> bool:
    """ "Thermocouple changed, retest passed": the part before its work is not the one that what follows is said of."""
    named = {name.id for target in said.subject for name in target.names if not name.note.startswith("weak")}
    passed = all(fact.condition == "passed" and fact.component not in named for fact in made)
    return passed and bool(named) and all(target.end <= job.start for target in said.subject)


def _just_named(talk: Talk, job: Job, made: list[Fact]) -> list[Target]:
    """ "Won't stay lit. Thermocouple. Changed it.": the part that a sentence of its own named as the cause."""
    alone = talk.bare == (talk.state.clause - 1, "component") and job.pronoun and job.kind in MENDING and not made
    topic = list(talk.state.topic[-1:]) if alone else []
    fault = talk.state.focus[-1] if talk.state.focus else None
    return topic if topic and topic[0].component and fault is not None and fault.condition in SHOWING else []


def worked_on(talk: Talk, job: Job, said: Said, made: list[Fact], mode: Mode) -> list[Fact]:
    """The facts that work was done to: of the parts that it names, else those that were just told."""
    if again := summed_up(talk, job, said):
        return again
    if there := of_that_oven(talk, job) or groups.one_and_other(talk, job, said) or groups.counted(talk, job):
        return there
    aside = bool(made) and not _on_another(job, said, made)
    targets = job.targets or _taken_out(talk, job, said, made) or _just_named(talk, job, made)
    targets = targets or ([] if aside or beside_the_point(talk, said) else said.subject)
    if not job.targets and talk.state.focus:
        targets = [target for target in targets if not only_to_see(talk, target)]
    named = [target for target in targets if target.names]
    if named and len(targets) == 1 and (counted := as_many(talk, named[0])):
        return better_suited(talk, job, counted)
    sound = job.kind == "order" and bool(made) and all(fact.condition == "ok" for fact in made)
    if sound and len(named) == 1 and (counted := as_many(talk, replace(named[0], places=None, group=None))):
        return counted  # "front pair of magnets weak, rear two fine, ordered two magnets"
    if len(named) > 1 and len(named) == len(targets) and (counted := each(talk, named)):
        return counted
    if job.bare:  # "casing seal tore, new seal": said of a fault, or a mere description
        return new_parts(talk, named, job, mode)
    both = any(target.group == "last-two" and not target.places for target in targets)  # "both need replacing"
    if both and not named and made and any(t.names and (t.group == "last-two" or t.many) for t in said.subject):
        return made  # "both hoses are out of date, swapped the pair of them"
    if job.many and not both and not named and (headed := _headed(talk, job)):
        named = [headed]  # "crowns now, these wanted a good clean so cleaned the lot"
    elif (job.many or both or _counted(talk, job)) and not named and (together := _all_told(talk, job, targets)):
        return together
    if not named and (there := faults_at(talk, job, BEYOND.get(job.kind, frozenset()))):
        return there
    if (
        not named
        and targets
        and any(t.places or t.group or t.size for t in targets)
        and talk.state.topic
        and talk.state.topic[-1].names
    ):
        named = [replace(target, names=talk.state.topic[-1].names) for target in targets]
    if not named and job.kind == "adjust" and (gap := _gap_told(talk, job)):
        named = [gap]
    pool = made or [fact for fact in talk.state.focus if not elsewhere(talk, fact)]
    if (
        named
        and all(n.note.startswith("weak") or n.id == "joint" for t in named for n in t.names)
        and not any(t.places for t in named)
    ) and any(is_faulty(fact) and fact.condition not in SHOWING for fact in pool):
        meant = {name.id for target in named for name in target.names}
        told = [fact for fact in talk.story.facts[-8:] if fact.component in meant and fact.status in OPEN]
        if told and job.targets:
            here = [f for f in told if f.clause == talk.state.clause and f.component == told[-1].component]
            if job.kind == "refit" and len(here) > 1 and any(f.condition in SUITS["refit"] for f in here):
                return here  # "guard was hanging and a nest in it, pulled the twigs out and screwed the guard back on"
            return last_of_each(named, told)  # "cleaned the burner and ordered a seal"
        led = 0 <= job.start - named[-1].end <= len(("has", "now", "been")) and not job.pronoun
        if told and led and not any(fact.component in meant for fact in pool):
            return last_of_each(named, told)  # "lead burnt, cap chipped, so that lead's been renewed"
        anew = said.start > 0 and talk.draft.tokens[said.start - 1].pause == "." and not job.targets
        # "Weeping at the vent. Outlet union: nipped, dry."
        # "tap's weeping, nipped up the gland": the fault that was just told is meant
        named = named if anew and meant == {"joint"} and talk.draft.tokens[named[0].end - 1].pause else []
    if named and job.kind in ("regrease", "clean") and (stiff := turned_by_it(talk, named)):
        return stiff
    if named and job.kind == "adjust" and (flame := air_of_its_flame(talk, named)):
        return flame
    if named and (mended := mended_just_now(named, pool)):
        return mended
    if named and all(a_unit(talk, target) for target in named) and any(is_faulty(fact) for fact in pool):
        named = []
    if not named and not made and job.kind not in SAFETY and talk.forgotten(job):
        return []
    if not named and job.kind == "test":
        return [fact for fact in pool[-1:] if fact.status != "historical"]
    if not named:
        faults = [fact for fact in pool if fact.condition not in ("ok", "passed") and fact.status != "absent"]
        corners = {place for target in targets for place in target.places or ()}
        # "the back ones were both tight to turn, the left one I greased"
        faults = [fact for fact in faults if fact.position in corners] or faults
        faults = faults or [fault for fact in pool for fault in faults_beside(talk, fact)]
        faults = faults or (faults_alike(talk, job, pool) if job.kind == "order" or job.state == "needed" else [])
        beyond = BEYOND.get(job.kind, frozenset())
        it = job.pronoun or bool(_IT & {token.norm for token in talk.draft.tokens[job.start : job.end]})
        if it and job.state == "done" and (mended := instead(talk, job, faults, beyond)):
            return mended
        it_is = talk.draft.tokens[job.start].norm in _IT_IS  # "was missing, found it in the sink, it's back on"
        faults = [fact for fact in faults if job.pronoun or it_is or fact.condition not in beyond]
        faults = faults or (last_fault(talk) if job.kind in SAFETY else [])
        figured = (job.figure or to_a_figure(talk, job)) and not any(target.names for target in said.subject)
        that = it or "that" in {token.norm for token in talk.draft.tokens[job.start : job.end]}
        if figured and job.kind == "adjust" and not that:
            faults = [fact for fact in faults if fact.condition in _SETTINGS]  # "flow set to 65"
        if faults:
            why = [fact for fact in causes_of(talk, faults) if fact.condition not in beyond]
            return suited(talk, job, faults) or share(
                talk, why or faults
            )  # "no chain on it and it rocks, wound a foot down"
        if job.state == "done" and job.kind in MENDING and (fit := fit_now(talk, job, pool)):
            return fit
        denied = [fact for fact in made if fact.status == "absent"]
        if (
            denied
            and job.state == "done"
            and job.kind in MENDING
            and any(t.names and t.end <= job.start for t in said.subject)
        ):
            named = [target for target in said.subject if target.names]  # "tap cleaned and greased, no leaks"
        elif made or talk.state.focus:
            return []
        named = named or [target for target in talk.state.topic if target.names]
    found = [fact for target in named for fact in facts_for(talk, target, job, mode)]
    if not found and not job.targets and not made and all(t.component in SHOWS for t in named):
        told = [fact for fact in talk.state.focus if is_faulty(fact) and fact.component in AT_BURNER - {"flame"}]
        found = share(talk, told) if told else []
    if not found and job.kind == "adjust" and (job.figure or job.pronoun):
        told = [fact for fact in talk.story.facts[-4:] if is_faulty(fact) and fact.condition in _SETTINGS]
        return told[-1:]  # "flame lifting, regulator pressure was nineteen, set it to fifteen"
    return found  # "cap was on skew so the flame was all up one side, sat it right"


def _gap_told(talk: Talk, job: Job) -> Target | None:
    """ "The gap on the front right was seven, so I bent it in": the electrode, of which the gap alone is named."""
    tokens = talk.draft.tokens
    at = next((i for i in range(job.start - 1, max(-1, job.start - _GAP_AGO), -1) if tokens[i].norm in GAPS), None)
    corner = "-" in (talk.one_place() or "")  # else it may be one behind a cooker
    if at is None or not (job.pronoun or job.figure):
        return None
    named = [m for m in talk.draft.mentions if m.kind == "component" and at < m.start < job.start]
    electrode = (Sense("component", "electrode", None, "strong"),)
    if [m.id for m in named] == ["electrode"]:  # "gap on the oven electrode was eight, closed it up to four"
        return Target(electrode, start=named[0].start, end=named[0].end)
    if not corner:
        return None
    return None if named else Target(electrode, start=at, end=at + 1)


def _counted(talk: Talk, job: Job) -> list[Fact]:
    """ "Tap seals all perished bar the rear right. Changed three": as many faults of one part as are counted behind the work."""
    behind = [token.norm for token in talk.draft.tokens[job.end : job.end + 2]]
    pair = behind[-2:] == ["a", "pair"]  # "front left knob's cracked, rear left's missing, ordered a pair"
    number = 2 if pair else {"two": 2, "three": 3, "four": 4, "2": 2, "3": 3, "4": 4}.get("".join(behind[:1]), 0)
    told = [fact for fact in talk.story.facts[-6:] if is_faulty(fact) and fact.clause >= talk.state.clause - 3]
    alike = [f for f in told if f.component == told[-1].component and (pair or f.condition == told[-1].condition)]
    return alike if number and len(alike) == number else []


def _taken_out(talk: Talk, job: Job, said: Said, made: Sequence[Fact]) -> list[Target]:
    """ "No spark back left, took the lead off and put a new one on", "cleaned the couple and tightened it": what was taken out
    or worked on, where the fault told is a symptom."""
    before = [one for one in said.works if one.end <= job.start]
    out = before[-1] if before and job.state == "done" else None
    again = out is not None and out.kind in MENDING - {"remove", "replace"} and job.kind in MENDING and job.pronoun
    taken = out is not None and out.kind == "remove" and job.kind == "replace"
    if out is None or out.state != "done" or not (taken or again):
        return []
    faults = [fact for fact in made or talk.state.focus if is_faulty(fact)]
    shown = all(fact.condition in SHOWING for fact in faults)
    return [target for target in out.targets if target.names] if shown else []


def _all_told(talk: Talk, job: Job, targets: Sequence[Target]) -> list[Fact]:
    """ "Coals sooted, catchment full of soot, hoovered the lot": what the work is done on together."""
    counted = _counted(talk, job)
    if counted:
        return counted
    lot = any(token.norm in ("lot", "everything", "all") for token in talk.draft.tokens[job.start : job.end + 2])
    mends = SUITS.get(job.kind, frozenset())
    found = told_together(talk, targets, says_both(talk, job), mends if lot else frozenset())
    if any(fact.condition in mends for fact in found):  # "caps chipped, jets greasy, wiped them": no chip goes by that
        return [fact for fact in found if fact.condition not in BEYOND.get(job.kind, ())]
    return found


def _headed(talk: Talk, job: Job) -> Target | None:
    """The parts that were just named alone, in the plural, and of which nothing has been told yet."""
    head, last = talk.state.topic[-1] if talk.state.topic else None, talk.story.facts[-1] if talk.story.facts else None
    if head is None or not head.names or head.places or (last is not None and last.end > head.start):
        return None
    word = talk.draft.tokens[head.end - 1]
    several = head.component is not None and word.norm.endswith("s") and not word.clitic
    if not several or job.start - head.end > _HEADED:
        return None
    # what was said of them between, if anything, is why it was done
    there = next((target.places for target in job.targets if target.places), None)  # "the taps I greased the back two"
    return replace(head, places=there or ("all",), end=job.start)
