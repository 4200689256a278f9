"""Which facts work is about where it names its part. In: the talk, work and its targets. Out: the facts that it mends.

The fault that was just told of the part, its kin, or a new one. Not allowed to know: what other work does.
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.said import MENDING, Job, Said
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.clauses.wholes import KIN, PIECES
from fieldnote.extract.facts import filing, locating, parts
from fieldnote.extract.facts.faults import SUITS, as_many, is_faulty, last_of_each, words_between
from fieldnote.extract.facts.stating import UNTOLD
from fieldnote.extract.facts.story import OPEN, SAFETY, Fact, another_burner, another_unit
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.phrases.fits_work import helped
from fieldnote.extract.phrases.mention import HEATING
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import AT_BURNER, MENDED_BY, PIECES_OF, SHOWING
from fieldnote.trade.spoken import spoken

GAPS = frozenset({"gap", "gaps"})
_LED = 4  # words from "gap" to the part that has it
_APART = frozenset("and but was were is so".split())
SHOWS = frozenset({"flame", "burner"})  # parts at which other parts' faults show


NO_FINDING = frozenset("test advise monitor label isolate disconnect".split())  # work that alone is none
_NOT_LONG_AGO = 3  # clauses
_TOLD_OF_IT = 2  # clauses between two faults of one part
_ONE_BEFORE, _ONE_BEHIND = 4, 3  # words between "the oven one" and its work
_UNSEATED = frozenset({"misaligned", "unstable", "loose"})  # what a burner is for the sake of its parts
_ALL_ONE_WAY = frozenset({"misaligned", "distorted", "unstable"})  # what a flame is over a cap that is not sat right
_SEATS = frozenset({"burner-head", "burner-cap", "burner-ring"})
_NOT_HERE = frozenset("not havent no none aint".split())
_NONE_WITH_ME = 4  # words of weight in "and I've not got one with me on the van"
_AIR = frozenset("air aeration shutter shutters aerator".split())
# what a flame is for want of air, or too much of it
_OF_AIR = frozenset("lifting yellow-tipping weak noisy unstable out-of-adjustment".split())
_TURNERS = frozenset("spindle spindles stem shaft".split())
_VALVES = frozenset("emergency-control isolation-valve gas-valve diverter-valve relief-valve regulator bayonet".split())
_SET = frozenset({"burner", "appliance", "pipework", "meter"})  # what has a pressure that is set


def turned_by_it(talk: Talk, named: Sequence[Target]) -> list[Fact]:
    """ "Stopcock's stiff, bit of grease on the spindle": that of what was just told to be hard to turn."""
    if not all(words_between(talk, target) & _TURNERS and not target.places for target in named):
        return []
    told = [fact for fact in talk.story.facts[-3:] if fact.condition in SUITS["regrease"] and fact.status == "present"]
    return [
        fact
        for fact in told
        if fact.component in _VALVES | {"gas-tap", "magnet-unit"} and fact.clause >= talk.state.clause - 3
    ][-1:]


def air_of_its_flame(talk: Talk, named: Sequence[Target]) -> list[Fact]:
    """ "Lifting off, shut the air down a touch": what is set at the air was done for the flame that was just told."""
    if not all(target.component == "mixing-tube" and words_between(talk, target) & _AIR for target in named):
        return []
    lately = [fact for fact in talk.story.facts[-4:] if fact.clause >= talk.state.clause - _NOT_LONG_AGO]
    if any(fact.component == "mixing-tube" and is_faulty(fact) for fact in lately):
        return []
    places = {place for target in named for place in target.places or ()}
    return [
        fact
        for fact in lately
        if fact.component in SHOWS and fact.condition in _OF_AIR and fact.status != "historical"
        if not places or fact.position in places
    ][-1:]


def mended_just_now(named: Sequence[Target], pool: Sequence[Fact]) -> list[Fact]:
    """ "I nipped it, well, I tightened the gland", "the leak I stopped by nipping up the gland": the fault just put right."""
    loose = all(name.note.startswith("weak") or name.id == "joint" for target in named for name in target.names)
    ids = {name.id for target in named for name in target.names}
    found = [fact for fact in pool if fact.status == "resolved" and fact.component in ids and fact.condition]
    return found[-1:] if loose and len(ids) > 1 else []


def of_that_oven(talk: Talk, job: Job) -> list[Fact]:
    """ "Oven tap leaking, grill tap leaking, the oven one I tightened": the fault that was told there last."""
    row = [token.norm for token in talk.draft.tokens[max(0, job.start - _ONE_BEFORE) : job.end + _ONE_BEHIND]]
    which = next((oven for oven, one in pairwise(row) if oven in ("oven", "grill") and one in ("one", "un")), None)
    if which is None:
        return []
    told = [
        f for f in talk.story.facts[-12:] if f.status in OPEN and f.clause >= talk.state.clause - 8 and is_faulty(f)
    ]
    there = [fact for fact in told if fact.burner == which or (fact.burner is None and fact.appliance == which)]
    elsewhere = {fact.component for fact in told if fact not in there}
    return [fact for fact in there if fact.component in elsewhere][-1:]


def with_its_other_faults(talk: Talk, facts: Sequence[Fact]) -> list[Fact]:
    """ "Catch is bent and the door's dropped, it needs a new one": a new part is wanted for all that was just told of it."""
    beside = [
        other
        for other in talk.story.facts[-6:]
        for fact in facts
        if (other.component, other.position, other.burner) == (fact.component, fact.position, fact.burner)
        and fact.condition not in SHOWING | {None}
        and other.condition not in SHOWING
        and is_faulty(other)
        and other.status == fact.status == "present"
        and other.appliance == fact.appliance
        and abs(other.clause - fact.clause) <= _TOLD_OF_IT
    ]
    return list(dict.fromkeys([*facts, *beside]))


def each(talk: Talk, named: Sequence[Target]) -> list[Fact]:
    """ "One cap, one electrode and two knobs, all on order": as many faults of each as were told, where one is counted."""
    counted = [as_many(talk, target) for target in named]
    if not any(len(facts) > 1 for facts in counted):
        return []
    singly = [last_of_each([target], talk.story.facts[-16:]) for target in named]
    return list(dict.fromkeys(fact for many, one in zip(counted, singly, strict=True) for fact in many or one))


def new_parts(talk: Talk, named: Sequence[Target], job: Job, mode: Mode) -> list[Fact]:
    """A bare "new seal" mends the fault that was told of one; in a list of new parts ("new hose new bayonet") each is fitted."""
    out: list[Fact] = []
    for target in named:
        ids = {name.id for name in target.names}
        told = [fact for fact in talk.story.facts[-12:] if is_faulty(fact) and fact.component in ids]
        beyond = [token.norm for token in talk.draft.tokens[target.end : target.end + 1]]
        also = beyond[:1] in (["as"], ["too"], ["also"], ["an"])  # "a new hose on and a new bayonet as well"
        alone = len(named) == 1 and not (target.places or also)  # "new thermocouple rear right": it was fitted there
        before = [token.norm for token in talk.draft.tokens[max(0, job.start - 5) : job.start]]
        # "so it's the magnet then new magnet"
        alone = alone and not ({"its", "thats", "must"} & set(before) and "the" in before)
        alone = alone and not helped(talk.draft.tokens, target.end, 0)  # "new lead sorted it"
        alone = alone and not _cured_next(talk, target.end)
        out += told[-1:] if told or alone else facts_for(talk, target, job, mode)
    return out


def _cured_next(talk: Talk, end: int) -> bool:
    """ "Won't stay lit. New thermocouple. Holds now.": what is told right behind came of a part that was fitted."""
    at = bisect_left(talk.draft.mentions, end, key=lambda mention: mention.start)
    behind = talk.draft.mentions[at : at + 1]
    return bool(behind) and behind[0].kind == "cured" and behind[0].start - end <= 1


def facts_for(talk: Talk, target: Target, job: Job, mode: Mode) -> list[Fact]:
    kin = _kin_of_talk(talk, target, job) if not target.component else None
    kin = kin or (_for_what_shows(talk, target) if not target.component else None)
    component = target.component or _spoken_of(talk, target) or kin or parts.any_name(target, talk.state.appliance)
    if component is None:
        return []
    out: list[Fact] = []
    if target.names and job.targets:
        talk.recent = [component, *talk.recent[:3]]
    for place in _where_it_shows(talk, target, component, locating.places_of(talk, target, component)):
        burner = locating.burner_of(talk, component, target, place)
        same = [
            fact
            for fact in talk.story.of(component, place, burner, locating.appliance_of(talk, component, target))
            if fact.condition not in ("ok", "passed") and fact.status not in ("historical", "absent")
        ]
        if not same and not target.places:
            told = [f for f in talk.story.named(component) if f.status in OPEN and f.condition not in ("ok", "passed")]
            same = [f for f in told if f not in out][:1]  # not the one just filed for the other place
        if not same and component == "terminal":  # "the flue on the wall's hanging off, screwed that terminal back on"
            same = [f for f in talk.story.named("flue")[:3] if is_faulty(f) and f.clause >= talk.state.clause - 3]
            same = [f for f in same if f.condition in ("detached", "loose", "broken")][:1] or same[:1]
        if not target.places and job.kind in SUITS and not any(f.condition in SUITS[job.kind] for f in same):
            told = [f for f in talk.story.named(component) if f.status == "present" and f.condition in SUITS[job.kind]]
            same = told[:1] or same  # "tap's stiff ... right one won't hold ... greased the tap"
        if same:
            latest = same[0].clause
            out += [fact for fact in same if fact.clause == latest or (is_faulty(fact) and fact.clause >= latest - 1)]
        elif job.state_of:
            filing.file(talk, component, "ok", place, target, "present", job, mode)
        elif component == "thermostat" and talk.draft.tokens[job.start].norm == "set":
            continue  # "set it at one eighty": how it was tried
        elif job.kind == "remove" or (job.kind == "adjust" and job.figure and component in _SET):
            continue  # "took the cap off", "burner pressure seventeen, set to eighteen": no finding
        elif job.kind == "adjust" and (component == "low-rate-screw" or GAPS & _gap_of(talk, target)):
            condition = "out-of-adjustment"  # "spark gap was eight mil, bent it in to four", "lifted the low rate"
            status = "resolved" if job.state == "done" else "present"
            out.append(filing.file(talk, component, condition, place, target, status, job, mode))
        elif job.kind not in NO_FINDING and (_says_enough(talk, target, job) or kin == component):
            status = "resolved" if job.state == "done" and job.kind in MENDING else "present"
            status = "reported" if mode.reported else status  # "the last man said it wanted a new cowl"
            out.append(filing.file(talk, component, None, place, target, status, job, mode))
            if status == "resolved":
                mend_symptoms(talk, out[-1])
                if job.kind == "replace":
                    _renew_pieces(talk, component, place)
    return out


def _gap_of(talk: Talk, target: Target) -> set[str]:
    """The words in which a part was named, with "gap on the" before it."""
    led = [token.norm for token in talk.draft.tokens[max(0, target.start - _LED) : target.start]]
    at = next((at for at, word in enumerate(led) if word in GAPS), len(led))
    return words_between(talk, target) | (set(led[at:]) if not any(word in _APART for word in led[at:]) else set())


def _for_what_shows(talk: Talk, target: Target) -> str | None:
    """ "Wouldn't stay lit until I bent the probe over": of the parts that a name can mean, the one that what was told comes
    from."""
    told = talk.story.facts[-1] if talk.story.facts else None
    shown = told is not None and told.condition in SHOWING and told.clause >= talk.state.clause - 2
    names = {n.id for n in target.names if told is not None and told.condition in MENDED_BY.get(n.id, ())}
    return names.pop() if shown and len(names) == 1 and len(target.names) > 1 else None


def _where_it_shows(talk: Talk, target: Target, component: str, places: Sequence[str | None]) -> Sequence[str | None]:
    """ "Front right won't light, rear left fine, new electrode in": no place is named, and the burner that was told last is
    fit, so that it is where its fault was told."""
    if target.places or target.size or target.group or len(places) != 1 or component not in MENDED_BY:
        return places
    lately = [fact for fact in talk.story.facts[-6:] if fact.appliance == talk.state.appliance]
    here = [fact for fact in lately if fact.position == places[0]]
    mended = MENDED_BY[component] | ({"not-lighting"} if component in ("electrode", "ht-lead") else set())
    faults = [fact for fact in lately if fact.status == "present" and fact.condition in mended]
    apart = len(faults) == 1 and faults[0].position not in (None, places[0]) and not faults[0].actions
    fit = bool(here) and all(fact.condition == "ok" and fact.status == "present" for fact in here)
    return [faults[0].position] if apart and fit and faults[0].condition in SHOWING else places


def _renew_pieces(talk: Talk, component: str, place: str | None) -> None:
    """ "Magnet was sticking, new tap on": what was told of a piece went with the part that it belongs to."""
    for fact in talk.story.facts[-5:]:
        at = fact.position == place and fact.clause >= talk.state.clause - 3
        if at and fact.component in PIECES_OF.get(component, ()) and is_faulty(fact):
            fact.turn("resolved", "cured")


def mend_symptoms(talk: Talk, mended: Fact) -> None:
    """ "Wouldn't stay in, new thermocouple fitted": what was just told of the burner came from the part that was mended."""
    component = mended.component or ""
    for fact in talk.story.facts[-8:]:
        near = fact.clause >= talk.state.clause - 5 and fact.position in (mended.position, None)
        lately = mended.position is None and fact.clause >= talk.state.clause - 2 and component == "mixing-tube"
        near = (
            (near or lately)
            and fact.status == "present"
            and not (another_burner(fact, mended) or another_unit(fact, mended))
        )
        if fact.condition == "weak" and mended.condition == "loose" and component in _SEATS:
            continue  # dirt starves a flame, play does not
        whole = fact.component == "burner" and fact.condition in _UNSEATED and component in _SEATS
        roars = fact.condition in ("noisy", "unstable") and fact.component in SHOWS and component == "mixing-tube"
        seated = component in _SEATS | {"injector", "mixing-tube"}
        roars = roars or (fact.component == "flame" and fact.condition in _ALL_ONE_WAY and seated)
        if near and "still" not in fact.cues and (whole or roars or fact.condition in MENDED_BY.get(component, ())):
            fact.turn("resolved", "cured")


def _says_enough(talk: Talk, target: Target, job: Job) -> bool:
    """Whether work without a fault is a finding: not when words that nobody knows stand between part and work, for then
    a fault was told ("stat was reading thirty low so I tweaked it"), nor of a part whose name says little."""
    if all(name.note.startswith("weak") for name in target.names) and not _only_here(talk, target, job):
        return job.kind == "replace" and not words_between(talk, target) & PIECES
    figured = job.figure and job.kind in ("replace", "order") and target.component not in _SET | {"flame"}
    if {"doing", "done"} & {token.norm for token in talk.draft.tokens[job.start : job.end]} and job.state == "needed":
        return False  # "other one wants doing": which work, the fault would have to tell
    if target.component == "fuse" or figured:
        return True  # what is wrong is its figure: "thermocouple 6 mV, should be 15, changed it"
    if job.kind == "order" and _NOT_HERE & {t.norm for t in talk.draft.tokens[target.end : job.start]}:
        return talk.untold(target.end, job.start) <= UNTOLD + _NONE_WITH_ME
    return talk.untold(target.end, job.start) <= UNTOLD


def _only_here(talk: Talk, target: Target, job: Job) -> bool:
    """Whether a weak name can mean one part alone of the heater in hand ("rinsed the trap"), or of a burner ("cleaned the
    head")."""
    ids = {name.id for name in target.names}
    heater = talk.state.appliance in HEATING and job.kind in ("clean", "replace", "order")
    head = ids == {"burner-head"} and job.kind == "clean" and words_between(talk, target) & {"head", "heads"}
    return bool(heater or head) and len(ids) == 1 and talk.state.appliance in spoken().found_at(ids.pop())


def _kin_of_talk(talk: Talk, target: Target, job: Job) -> str | None:
    """ "Cleaned the electrode, swapped the lead": the part that belongs to what was just spoken of."""
    names = {name.id for name in target.names}
    if any(token.norm in ("over", "about") for token in talk.draft.tokens[job.start : job.start + 5]):
        return None  # "swapped the leads over": how the fault was looked for
    return next((kin for id_ in talk.recent[:2] for kin in KIN.get(id_, ()) if kin in names and kin != id_), None)


def _spoken_of(talk: Talk, target: Target) -> str | None:
    """Of the parts that a weak name can mean, the one that was just spoken of."""
    return next((id_ for id_ in talk.recent for name in target.names if name.id == id_), None)


def _was_changed(talk: Talk, job: Job) -> bool:
    """ "The boiler was replaced in 2017": said of the whole appliance, where "fitted new" need not be."""
    return talk.draft.tokens[job.start].norm in ("replaced", "renewed", "changed", "swapped") and job.start > 0


def _one_of_those(talk: Talk, target: Target) -> Target:
    """ "Rear left electrode cracked, front left one was changed last year", "front left I changed in the spring": a part like
    the one in talk, at another burner."""
    one = bool({"one", "un"} & {token.norm for token in talk.draft.tokens[max(0, target.end - 1) : target.end + 1]})
    one = one or any("-" in place for place in target.places or ())
    last = talk.story.facts[-1] if talk.story.facts else None
    sits = last is not None and last.component in AT_BURNER - {"burner", "flame"}
    near = last is not None and last.clause >= talk.state.clause - _NOT_LONG_AGO
    if last is None or not (one and sits and near and target.places) or target.names:
        return target
    named = replace(target, names=(Sense("component", str(last.component), None, "strong"),))
    talk.state.topic = (named,)
    return named


def _at_its_corner(target: Target) -> str | None:
    """ "Put a new lead on the rear left then": of the parts that a weak name can mean, the one that sits at a burner."""
    corner = any("-" in place for place in target.places or ())
    return next((name.id for name in target.names if corner and name.id in AT_BURNER), None)


def past_work(talk: Talk, job: Job, said: Said, made: Sequence[Fact], mode: Mode) -> list[Fact]:
    facts: list[Fact] = []
    if job.kind in ("advise", "monitor") and not any(target.names for target in job.targets):
        return []  # "told you last year it hums"
    if job.kind in SAFETY and not any(target.names for target in job.targets) and not made:
        return []  # "some firm tagged it in 2022"
    told = [fact for fact in made if fact.status == "historical" and fact.condition is not None]
    if told and not any(target.names for target in job.targets):
        for fact in told:
            fact.act(job.kind, "done")  # "was noisy last year and I changed it"
        return told
    if not job.targets and not said.subject:
        old = [fact for fact in talk.state.focus if fact.status == "historical"]
        for fact in old:
            fact.act(job.kind, "done")
        if old:
            return old
    whole = (
        [t for t in said.subject if t.appliance and not t.names] if not job.targets and _was_changed(talk, job) else []
    )
    for target in whole[:1] if len(said.subject) == 1 else ():
        # "boiler was replaced in 2017"
        fact = filing.file(talk, "appliance", None, None, target, "historical", job, mode)
        fact.act(job.kind, "done")
        return [fact]
    for target in job.targets or said.subject or list(talk.state.topic):
        target = _one_of_those(talk, target)
        component = target.component or (_kin_of_talk(talk, target, job) if target.names else None)
        if component is None and job.kind == "replace":
            component = _at_its_corner(target)
        if component:
            for place in locating.places_of(talk, target, component):
                fact = filing.file(talk, component, None, place, target, "historical", job, mode)
                fact.act(job.kind, "done")
                facts.append(fact)
    return facts
