"""What work makes of the faults that it was done for. In: work done, needed or declined, and the talk. Out: the facts that it was
done to, changed by it. Not allowed to know: what a symptom points to; which facts are meant, which is in `done_to`.
"""

import functools
from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.said import MENDING, Job, Said
from fieldnote.extract.facts import stating, told_of
from fieldnote.extract.facts.done_to import BEYOND, worked_on
from fieldnote.extract.facts.faults import TIGHTENED, last_fault
from fieldnote.extract.facts.getting_at import only_moved, to_get_at_it
from fieldnote.extract.facts.safety import made_safe
from fieldnote.extract.facts.story import OPEN, SAFETY, Fact, another_unit
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.facts.worked import mend_symptoms, past_work, with_its_other_faults
from fieldnote.extract.words.symptoms import CALLED_FOR, SHOWING
from fieldnote.trade.spoken import spoken

_JOINTS = frozenset({"joint", "joints", "union"})
_LATELY = 6  # facts back to a leak whose joint is remade
_FOUND = frozenset("fished hooked dug winkled".split())  # what was lost is found so
_ON_WHAT_IS_THERE = frozenset("clean regrease tighten refit adjust dry repair".split())
_UNNAMED = frozenset("doing done do".split())  # work that is only said to be wanted
_OBJECTS = frozenset("it him her them that one un new going on in".split())
_FORETOLD = 6  # words of "one going on when I'm"
_TO_COME = frozenset("week time visit month".split())
_COMING = frozenset("im theyre ill".split())
_COMES_WITH = {"gas-tap": ("tap-spindle",)}  # what a new part brings
_NOT_FOR_GOOD = (
    "for now",
    "for the time being",
    "for the moment",
    "for the minute",
    "temporarily",
    "as a temporary",
    "to tide",
)
_DIAL = frozenset("a one two three four five six seven eight nine gas mark max full hundred".split())
_OUT_OF_PLACE = frozenset({"misaligned", "distorted", "out-of-adjustment"})
_GASLESS = frozenset({"co-alarm", "data-plate", "window"})
# what is over when something has been taken away; a lid that is taken off is only made safe
_FILLED = frozenset("blocked partly-blocked dirty sooted".split())
_STAYS = frozenset("ventilation flue terminal catchment appliance hotplate".split())  # nobody takes them out
_ARTICLES = frozenset("the his her their its".split())
_WANTED = frozenset("needed wanted ordered required then on".split())  # "so that's a new one needed"
_TOLD = 5  # words up to the end of what was wrong
_AWAY = frozenset("out off from".split())
_OPENINGS = frozenset("ventilation flue terminal catchment".split())
_TAKEN_AWAY = frozenset(
    "yellow-tipping lifting "
    "blocked partly-blocked dirty sooted wrong-part wet noisy distorted misaligned inadequate sticking seized".split()
)


def _joint_remade(talk: Talk, job: Job, facts: list[Fact]) -> list[Fact]:
    """ "Board was wet from a weeping joint, dried the board and remade the joint": the wording itself names what leaked."""
    names = talk.draft.tokens[job.end - 1].norm in _JOINTS and job.kind == "repair" and job.state == "done"
    told = [f for f in talk.story.facts[-_LATELY:] if f.component == "joint" and f.status in OPEN] if names else []
    return facts if not told or any(f.component == "joint" for f in facts) else told[-1:]


def work(talk: Talk, job: Job, said: Said, made: list[Fact], mode: Mode) -> list[Fact]:
    """Work done, needed or declined: it goes to the part it names, else to what was just said."""
    state = job.state if not _yet_to_come(talk, job) else "needed"
    if state == "theirs":
        return []
    if mode.reported and state == "done" and not mode.past:
        return []
    if mode.past and state == "done":
        return past_work(talk, job, said, made, mode)
    if _tells_what_follows(talk, job, said):
        talk.ahead.append((talk.state.clause, talk.state.appliance, job))
        return []
    if job.points_at:
        facts = told_of.pointed_at(talk, job.points_at) or stating.facts_of(talk, job.points_at, mode)
    else:
        facts = worked_on(talk, job, said, made, mode)
    facts = _joint_remade(talk, job, facts)
    if _tried(talk, job):
        facts = [fact for fact in facts if fact.component != "thermostat"]
    if not facts and job.kind in SAFETY:
        facts = last_fault(talk)  # whatever was named, made safe is what is wrong
    if job.kind in SAFETY and facts and not any(target.names for target in job.targets):
        facts = made_safe(talk, facts)
    if not facts and job.kind in SAFETY | {"advise"} and state == "done":
        talk.ahead.append((talk.state.clause, talk.state.appliance, job))
    on = job.targets or said.subject  # "cleaned the jet", "the door's been adjusted"
    if not facts and job.kind in MENDING and state == "done" and any(target.names for target in on):
        cues = job.cues if job.targets else [*job.cues, "of-subject"]
        talk.ahead.append((talk.state.clause, talk.state.appliance, replace(job, targets=on, cues=cues)))
    if only_moved(talk, job) or to_get_at_it(talk, job):
        return []
    if job.kind == "remove" and job.targets and all(t.appliance and not t.names for t in job.targets):
        return []  # "no catchment, so I took the fire out"
    if job.kind == "remove" and job.state == "done" and made and all(one.head > job.end for one in said.statements):
        facts = [fact for fact in facts if fact not in made]  # "pulled the cap off and it's bent": how it was seen
    if job.kind == "replace" and state == "needed" and facts and _new_since(talk, job, facts):
        state = "done"
    if job.kind == "replace" or (state != "done" and job.kind == "order"):
        facts = with_its_other_faults(talk, facts)
    for fact in facts:
        if job.kind in ("isolate", "disconnect") and fact.component in _GASLESS:
            continue  # "alarm chirping, turned the fire off"
        kind = _meant(talk, job, fact)
        if kind is None:
            continue
        fact.act(kind, state)
        fact.cues.append(f"work-{state}")
        if fact.condition is None and (kind, state) == ("clean", "done"):
            fact.condition = _cleared_of(talk, job, fact)
        if state == "needed" and kind in ("replace", "order") and _patched(fact):
            fact.turn("present", "for-now")  # "taped it to prove it, it's a new lead wanted"
        if state == "needed" and kind == "replace" and _freed_only(talk, job, fact):
            fact.turn("present", "for-now")  # "it freed off but I don't trust it, so it needs a new valve"
        if state == "done" and kind in MENDING and fact.status in ("present", "reported", "possible"):
            if fact.condition == "ok" or (kind == "remove" and fact.condition not in _TAKEN_AWAY):
                continue
            if fact.condition and _for_now(talk, job):
                continue  # "taped it up for now"
            if fact.condition and "still" in fact.cues and job.end <= fact.end and fact.clause == talk.state.clause:
                continue  # "won't stay tight, tightened it three times still loose"
            fact.turn("resolved", "work-done")
            _fit_since(talk, job, fact)
            mend_symptoms(talk, fact)
            if kind == "replace":
                _with_its_pieces(talk, fact)
            for symptom in talk.story.facts[-8:]:
                shows = symptom.condition in SHOWING and symptom is not fact and fact.condition is not None
                shows = shows and not another_unit(symptom, fact)
                shown = shows and (_same_part(symptom, fact) or (symptom in made and not job.targets))
                if (symptom.cause is fact or shown) and symptom.status == "present" and "still" not in symptom.cues:
                    symptom.turn("resolved", "cured")
    return facts


def _yet_to_come(talk: Talk, job: Job) -> bool:
    """ "Thermocouple is finish, new one I put tomorrow", "I clean it next week": told like done, and still to do."""
    if job.state != "done" or job.kind not in MENDING or talk.draft.tokens[job.end - 1].pause:
        return False
    behind = talk.draft.tokens[job.end : job.end + _FORETOLD]
    while behind and behind[0].norm in _OBJECTS and not behind[0].pause:
        behind = behind[1:]
    words = [token.norm for token in behind[:2]]
    then = words[:1] in (["when"], ["once"]) and words[1:] != [] and words[1] in _COMING  # "when I'm back"
    return words[:1] == ["tomorrow"] or then or (words[:1] == ["next"] and words[1:] != [] and words[1] in _TO_COME)


def _with_its_pieces(talk: Talk, new: Fact) -> None:
    """ "Tap's stiff, the spindle's bent and all, so I put a new tap on": what comes with a new part is new as well."""
    for piece in _COMES_WITH.get(new.component or "", ()):
        for fact in talk.story.named(piece):
            if fact.position == new.position and fact.status == "present" and fact.condition not in (None, "ok"):
                fact.turn("resolved", "cured")


def _tells_what_follows(talk: Talk, job: Job, said: Said) -> bool:
    """ "Case seal refitted. Told him the vessel's dead": what he was told is said behind it, not before."""
    tokens = talk.draft.tokens
    alone = job.kind == "advise" and job.state == "done" and not (job.targets or said.statements or said.subject)
    begins = not job.start or tokens[job.start - 1].pause == "."
    goes_on = job.end + 1 < len(tokens) and not tokens[job.end - 1].pause and tokens[job.end].norm in _ARTICLES
    return alone and len(said.works) == 1 and begins and goes_on


def _new_since(talk: Talk, job: Job, facts: Sequence[Fact]) -> bool:
    """ "The seal was perished so that's a new one": it was, so the new one is in; "it's perished, so that's a new one" is not."""
    words = [token.norm for token in talk.draft.tokens[job.start : job.end + 3]]
    last, behind = talk.draft.tokens[job.end - 1], talk.draft.tokens[job.end : job.end + 1]
    ended = (
        last.pause == "." or not behind or behind[0].norm in ("in", "on", "fitted")
    )  # not "... to get", "... at sixty quid"
    led = ended and words[:4] == ["so", "thats", "a", "new"] and _WANTED.isdisjoint(words)
    told = [token.norm for token in talk.draft.tokens[max(0, facts[-1].end - _TOLD) : facts[-1].end]]
    return led and bool({"was", "were"} & set(told))


def _cleared_of(talk: Talk, job: Job, fact: Fact) -> str | None:
    """ "Hoovered the fluff out of the venturi", "brushed the soot off the exchanger": what was there says what was wrong."""
    ends = [target.start for target in job.targets if target.names and target.start > job.start]
    words = [token.norm for token in talk.draft.tokens[job.start : ends[0]]] if ends else []
    out = next((at for at, word in enumerate(words) if word in _AWAY), 0)
    for said, condition in (("carbon", "sooted"), ("matter", "dirty"), ("nest", "blocked")):
        fits = (fact.component or "") not in spoken().impossible(condition)
        if fits and not _matter(said).isdisjoint(words[1:out]):
            return "blocked" if condition == "dirty" and fact.component in _OPENINGS else condition
    return None


@functools.cache
def _matter(name: str) -> frozenset[str]:
    return frozenset(word for word in spoken().classes[name].says if " " not in word)


def _meant(talk: Talk, job: Job, fact: Fact) -> str | None:
    """The kind of work as it is meant of a fault: "screwed it up" tightens, "pulled that out" of what is blocked cleans it;
    None where a blocked part was only taken out to get at it."""
    if fact.condition == "not-fitted" and job.kind in _ON_WHAT_IS_THERE:
        return None
    if "tighten" in job.kinds and fact.condition in TIGHTENED:
        return "tighten"
    if (job.kind, job.state) == ("replace", "needed") and _UNNAMED & {
        t.norm for t in talk.draft.tokens[job.start : job.end]
    }:
        return CALLED_FOR.get(fact.condition or "", job.kind)  # "that tap's stiff and wants doing"
    if job.kind == "clean" and talk.draft.tokens[job.start].norm in _FOUND and fact.condition in BEYOND["clean"]:
        return None  # "gone down the back, fished it out and pressed it on"
    if job.kind == "adjust" and fact.component == "ventilation":
        return "clean"  # "the vent's been boarded over, that'll want opening up"
    moved = talk.draft.tokens[job.start : job.end]
    if job.kind == "remove" and any(t.norm in ("moved", "shifted") for t in moved) and fact.condition in _OUT_OF_PLACE:
        return "adjust"
    if job.kind == "remove" and job.state == "done" and fact.condition in _FILLED:
        named = any(name.id == fact.component for target in job.targets for name in target.names)
        words = [token.norm for token in talk.draft.tokens[job.start : job.end + 2]]
        it = "it" in words[: job.end + 1 - job.start] and "all" not in words  # "full of rice, I took it all out"
        return None if named or (it and fact.component not in _STAYS) else "clean"
    return job.kind


def _patched(fact: Fact) -> bool:
    """Whether a fault was mended in a makeshift way only."""
    done = {action.kind for action in fact.actions if action.state == "done" and action.kind in MENDING}
    return fact.status == "resolved" and done == {"repair"} and fact.condition is not None


def _freed_only(talk: Talk, job: Job, fact: Fact) -> bool:
    """Whether a part was worked on a moment ago, and a new one is needed all the same."""
    done = {action.kind for action in fact.actions if action.state == "done" and action.kind in MENDING}
    lately = fact.clause >= talk.state.clause - 4 and not talk.another_named(fact, job.start)
    return fact.status == "resolved" and bool(done) and "replace" not in done and fact.condition is not None and lately


def _for_now(talk: Talk, job: Job) -> bool:
    """Whether words right behind work say that it will not last."""
    behind = " ".join(token.norm for token in talk.draft.tokens[job.end : job.end + 5])
    return any(f" {said} " in f" {behind} " for said in _NOT_FOR_GOOD)


def _tried(talk: Talk, job: Job) -> bool:
    """ "Set it to two hundred": how a thermostat was tried, no work on it."""
    words = [token.norm for token in talk.draft.tokens[job.start : job.start + 4]]
    if words[0] not in ("set", "turned", "put") or len(words) < 4 or words[2] not in ("to", "at", "on"):
        return False
    return words[3][0].isdigit() or words[3] in _DIAL


def _fit_since(talk: Talk, job: Job, mended: Fact) -> None:
    """ "The joint is gas tight since I nipped it": that it is fit is what the work came to."""
    said = {token.norm for token in talk.draft.tokens[max(0, job.start - 3) : job.start]}
    for fact in talk.story.facts[-3:] if said & {"since", "after"} else ():
        fit = fact.condition in ("ok", "passed") and fact.status == "present" and not fact.actions
        if fit and _same_part(fact, mended) and fact.clause >= talk.state.clause - 1:
            talk.story.drop(fact)


def _same_part(one: Fact, other: Fact) -> bool:
    return (one.component, one.position, one.burner) == (other.component, other.position, other.burner)


def charged(talk: Talk, clause: Clause) -> None:
    """ "Vessel low, pumped to 0.9": the figure and the work are told by the same words."""
    for figure in (m for m in clause.mentions if m.kind == "reading"):
        if talk.draft.tokens[figure.start].norm not in ("pumped", "charged", "recharged"):
            continue
        for fact in talk.story.facts[-3:]:
            low = fact.condition in ("weak", "dead") and fact.status == "present" and not fact.actions
            if fact.component == "expansion-vessel" and low and fact.clause >= talk.state.clause - 2:
                fact.act("adjust", "done")
                fact.turn("resolved", "work-done")
