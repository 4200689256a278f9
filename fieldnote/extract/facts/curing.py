"""What comes right when work is told or a part is seen to work. In: the talk, a clause. Out: facts that are resolved.

Not allowed to know: how work is told.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.said import Said, Statement
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts import filing, locating, parts
from fieldnote.extract.facts.story import OPEN, Fact, another_burner
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.facts.updating import contradicted
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import AT_BURNER, SHOWING, SILENT, STOPPED, SYMPTOMS

# what a flame hangs on besides its burner
# what holds gas or its products: no leak of these is over because some dripping has stopped
_GAS_TIGHT = frozenset(
    "hose bayonet gas-tap tap-spindle tap-seal joint pipework isolation-valve meter regulator gas-valve emergency-control "
    "injector flue terminal catchment case-seal".split()
)
_NO_CONTACT = frozenset("loose detached dirty corroded misaligned".split())  # what a part gives nothing for
_FEEDS = frozenset({"pilot", "regulator", "gas-valve", "flue", "ventilation"})
_POWER = frozenset({"fuse", "mains-plug", "mains-lead"})
_POWERED = frozenset({"circuit-board", "spark-generator", "ignition-switch", "fan", "pump", "appliance"})
_OVENS = frozenset({"oven", "grill"})
_CAME = frozenset("came come comes coming scrubbed".split())  # "came up lovely": by work
_FIT = frozenset(
    "fine good ok okay grand clear new blue perfect lovely sound quiet".split()
)  # said of what may never have been at fault
_DONE_IT_WAS = ("done", "it", "was")
_THATS = frozenset({"thats", "its"})
_SORTED = frozenset("sorted fixed mended cured done repaired finished".split())
_THEY = frozenset("they theyre theyve".split())
_SHOWS = frozenset({"flame", "burner", "pilot"})  # parts whose faults show what is wrong with others


def _elsewhere(said: Said, found: Sequence[Fact]) -> bool:
    """ "Grill knob's missing, oven lit fine": the oven burns, and nothing was told of it."""
    ovens = {target.appliance for target in said.subject if not target.names and target.appliance in _OVENS}
    return len(ovens) == 1 and bool(found) and all(fact.burner in _OVENS - ovens for fact in found)


def cured(talk: Talk, said: Said, made: list[Fact]) -> list[Fact]:
    """ "Clear now", "lights every time now": what is open of the part in talk is put right."""
    named = [target for target in said.subject if target.component]
    if _mended_by_them(talk, said):
        return list(talk.state.focus)
    if not made and any(target.group == "last-two" and not target.places for target in said.subject):
        # "a perished seal and a stiff tap, both sorted"
        found = [fact for fact in talk.story.facts[-4:] if fact.status in OPEN and fact.condition != "ok"][-2:]
    elif together := _with_what_was_told(talk, said, made):
        found = together
    elif named:
        found = [fact for target in named for fact in _open_of(talk, target)]
        found += [fact for fact in _neighbours(talk, made or list(talk.state.focus)) if fact not in found]
    else:
        found = [f for f in made or talk.state.focus if f.status in OPEN and f.condition not in ("ok", "passed")]
        found = _worked_there(talk, said, made, found)
        where = {place for target in said.subject for place in target.places or ()}
        found = [f for f in found if not where or _is_there(f, where)]
        found += [fact for fact in _neighbours(talk, made or list(talk.state.focus)) if fact not in found]
        if {token.norm for token in talk.draft.tokens[said.start : said.end]} & _SORTED:
            found = found or _come_back_to(talk, where, made)
    if any(target.group == "last-two" or target.places == ("all",) for target in said.subject):
        lately = [*found, *(fact for fact in talk.story.facts[-8:] if fact.status == "resolved")]
        found += [fact for fact in talk.story.facts[-8:] if _shows_with(fact, lately) and fact not in found]
        _worked_on_both(lately)
    said_words = {token.norm for token in talk.draft.tokens[said.start : said.end]}
    if (_of_all(talk, said) and not said.subject) or ("both" in said_words and (said.outcome or not said.subject)):
        shown = [fact for fact in talk.story.facts[-8:] if fact.status == "present" and fact.condition in SHOWING]
        found += [
            f for f in shown if f.condition == shown[-1].condition and f not in found
        ]  # "and they're all fine now", "they both light now"
    everywhere = [target.component for target in named if target.places == ("all",)]
    wrong = [fact for part in everywhere for fact in talk.story.named(part)[:8] if fact.status in OPEN]
    found += [fact for fact in wrong if fact.condition not in (None, "ok", "passed") and fact not in found]
    found += [fact for fact in contradicted(talk, said, made) if fact not in found]
    found += [fact for fact in _shown_with(talk, found) if fact not in found]
    if {"stopped", "gone", "no"} & said_words:  # "pumped the vessel up and the dripping has stopped": the valve's
        over = {condition for condition, words in STOPPED.items() if words & said_words}
        lately = talk.story.facts[-8:]
        over -= {fact.condition for fact in lately if fact.status == "resolved" or fact in found}  # that one it was
        told = [fact for fact in lately if fact.condition in over and fact.status == "present"][-1:]
        told = [fact for fact in told if fact.condition != "leaking" or fact.component not in _GAS_TIGHT]
        found += [fact for fact in told if fact not in found]
    if "relit" in {token.norm for token in talk.draft.tokens[said.start : said.end]}:
        # "the cowl's missing, that'd be why, relit the pilot": what was out burns again, nothing else is cured
        found = [fact for fact in found if fact.condition in SILENT] or [
            fact for fact in talk.story.facts[-8:] if fact.component in _SHOWS and fact.condition in SILENT
        ][-1:]
        if not found:
            return []
    found = [fact for fact in found if None in (fact.unit, talk.story.unit) or fact.unit == talk.story.unit]
    found = [fact for fact in found if fact.condition != "not-fitted"]  # "diverter: none on these. Probe like new"
    found = [fact for fact in found if not _only_heard_of(talk, fact)]
    if _elsewhere(said, found):
        return []
    for fact in found:
        fact.turn("resolved", "cured")
    return (
        found
        or _fit_since(talk, said)
        or _left_fit(talk, said)
        or _as_new(talk, said, made)
        or list(made or talk.state.focus)
    )


def _only_heard_of(talk: Talk, fact: Fact) -> bool:
    """ "She says it keeps going out, it's been on twenty minutes now": nobody saw it and no work was done."""
    since = [one for one in talk.story.facts[-8:] if one.number >= fact.number]
    complaint = fact.status == "reported" and fact.condition in SHOWING | {"noisy", "sticking"}
    return complaint and not any(one.actions for one in since)


def _with_what_was_told(talk: Talk, said: Said, made: Sequence[Fact]) -> list[Fact]:
    """ "Electrode was cracked and the lead was off, both sorted": the fault before this one is put right too."""
    last = made[-1] if made else None
    if last is None or last is not talk.story.facts[-1]:
        return []
    words = {token.norm for token in talk.draft.tokens[last.end : said.end]}
    if not words & {"both", "all"} or not words & (_SORTED | {"right"}):
        return []
    here = [
        fact for fact in talk.story.facts[-6:] if fact.status in OPEN and fact.condition not in (None, "ok", "passed")
    ]
    here = [fact for fact in here if fact.clause >= talk.state.clause - (1 if "both" in words else 3)]
    return here if len({(fact.component, fact.condition) for fact in here}) > 1 else []


def done_already(talk: Talk, statement: Statement, told: Sequence[Fact]) -> None:
    """ "That's the knob done, it was loose": what was wrong with it is over."""
    row = [token.norm for token in talk.draft.tokens[max(0, statement.head - len(_DONE_IT_WAS)) : statement.head]]
    if row not in (list(_DONE_IT_WAS), ["done", "they", "were"]):
        return
    for fact in told:
        if fact.status == "present" and fact.condition not in ("ok", "passed"):
            fact.turn("resolved", "work-done")


def _worked_on_both(lately: Sequence[Fact]) -> None:
    """ "Front right stiff, back right stiff too, I put grease, both turning now": the work was on both."""
    for fact in lately:
        like = [
            one for one in lately if one.worked and (one.component, one.condition) == (fact.component, fact.condition)
        ]
        done = [action for action in like[-1].actions if action.state == "done"] if like and not fact.actions else []
        for action in done:
            fact.act(action.kind, action.state)


def _worked_there(talk: Talk, said: Said, made: Sequence[Fact], found: list[Fact]) -> list[Fact]:
    """ "Greased the front one and it's fine": of the two taps only the one that was worked on has come right."""
    worked = {fact.position for fact in made or talk.state.focus if fact.worked and fact.status == "resolved"}
    one = {token.norm for token in talk.draft.tokens[said.start : said.end]} & {
        "it",
        "its",
        "that",
        "thats",
        "hes",
        "shes",
    }
    where = {place for job in said.works[-1:] for target in job.targets for place in target.places or ()}
    they = {token.norm for token in talk.draft.tokens[said.start : said.end]} & _THEY
    if they and where and where <= worked:  # "rear right seized, greased the two front ones and they're free"
        return [fact for fact in found if fact.position in where]
    if said.subject or not one or not worked or not all(place and "-" in place for place in worked):
        return found
    return [
        fact
        for fact in found
        if fact.worked or fact.position in worked or not fact.position or "-" not in fact.position
    ]


def _is_there(fact: Fact, where: set[str]) -> bool:
    """Whether a fault can be at these places: at a corner of the hob is nothing but what sits at a burner."""
    if fact.position is None:
        return fact.component not in ("door", "door-seal", "lid") or not any("-" in place for place in where)
    return bool(where & {fact.position, "all", "others"})


def _come_back_to(talk: Talk, where: set[str], made: Sequence[Fact]) -> list[Fact]:
    """ "Found a thermocouple in the van so back left's sorted": all that was open at a corner that the talk had left."""
    if made or not where or any("-" not in place for place in where):
        return []
    if any(fact.position in where for fact in talk.state.focus):
        return []
    told = [fact for fact in talk.story.facts[-40:] if fact.position in where and fact.status in OPEN]
    return [f for f in told if f.condition not in (None, "ok", "passed") and f.appliance == talk.state.appliance]


def _of_all(talk: Talk, said: Said) -> bool:
    """ "They're all fine now"; "that's all", "no bother at all" count nothing."""
    row = [token.norm for token in talk.draft.tokens[max(0, said.start - 1) : said.end]]
    return any(word == "all" and before not in ("thats", "at", "after", "is") for before, word in pairwise(["", *row]))


def _shown_with(talk: Talk, found: Sequence[Fact]) -> list[Fact]:
    """ "Keeps lifting, the cap wasn't sat down, turned it till it dropped in, sorted": what its flame did."""
    causes = [fact for fact in found if fact.component in AT_BURNER - {"flame", "burner"}]
    places = {(fact.position, fact.burner) for fact in causes}
    return [
        fact
        for fact in talk.story.facts[-5:]
        if causes and fact.condition in SHOWING and fact.status == "present" and (fact.position, fact.burner) in places
    ]


def _mended_by_them(talk: Talk, said: Said) -> bool:
    """ "It was leaking back in the summer and they mended it": history still, and no look at it today."""
    words = [token.norm for token in talk.draft.tokens[said.start : said.end]]
    past = bool(talk.state.focus) and all(fact.status == "historical" for fact in talk.state.focus)
    return past and "they" in words[:2] and not said.statements


def _fit_since(talk: Talk, said: Said) -> list[Fact]:
    """ "It was loose last year, it's still tight now": what was history is looked at today and found fit."""
    old = [fact for fact in talk.state.focus if fact.component and fact.status == "historical"]
    if not old or said.statements or said.works:
        return []
    place = (old[-1].position,) if old[-1].position else None
    target = Target((Sense("component", str(old[-1].component), None, "strong"),), place)
    return [
        filing.file(
            talk, str(old[-1].component), "ok", old[-1].position, target, "present", said.as_statement(), Mode()
        )
    ]


def _as_new(talk: Talk, said: Said, made: Sequence[Fact]) -> list[Fact]:
    """ "Left seal perished, right oven: seal's like new", "cap's fine again": of a part of which no fault was told there."""
    named = [target for target in said.subject if target.names]
    words = {token.norm for token in talk.draft.tokens[said.start : said.end]}
    if made or said.statements or said.works or not words & _FIT or words & _CAME:
        return []  # "joint's mended", "nut tight now", "that was the meter one again": tells of a fault that was not told
    if "before" in {token.norm for token in talk.draft.tokens[said.end : said.end + 6]}:
        return []  # "flames are blue now, they were yellow before"
    fit = replace(said.as_statement(), senses=(Sense("condition", "ok"),))
    out: list[Fact] = []
    for target in named:
        found = parts.fitting(target, fit, talk.state.appliance, talk.recent)
        for place in locating.places_of(talk, target, found[0]) if found else ():
            if found and not any(fact.position in (place, None) for fact in talk.story.named(found[0])[:4]):
                out.append(filing.file(talk, found[0], "ok", place, target, "present", said.as_statement(), Mode()))
    return out


def _left_fit(talk: Talk, said: Said) -> list[Fact]:
    """ "Tap checked and left turning freely": how a part of which no fault was told was left."""
    left = "left" in {token.norm for token in talk.draft.tokens[said.start : said.end]}
    named = [target for target in said.subject if target.component and target.names]
    if not left or len(named) != 1 or said.statements:
        return []
    part = str(named[0].component)
    return [
        filing.file(talk, part, "ok", place, named[0], "present", said.as_statement(), Mode())
        for place in named[0].places or (None,)
    ]


def _shows_with(fact: Fact, cured_: Sequence[Fact]) -> bool:
    """ "Both going now": the same symptom told of another place."""
    return fact.status == "present" and any(c.condition == fact.condition and c.condition in SHOWING for c in cured_)


def _open_of(talk: Talk, target: Target) -> list[Fact]:
    component = target.component
    facts = [fact for fact in talk.story.named(component) if fact.status in OPEN and fact.condition not in (None, "ok")]
    places = set(target.places or talk.state.places or ())
    at_place = [fact for fact in facts if not places or fact.position in places or fact.position is None]
    worked = any(
        f.worked and f.position in places for f in talk.story.named(component)[:2] if f.clause >= talk.state.clause
    )
    return at_place[:4] or ([] if target.places or worked else facts[:1])


def _neighbours(talk: Talk, worked: list[Fact]) -> list[Fact]:
    """Symptoms at the same place that were said shortly before, when a cause was just worked on."""
    if not any(fact.worked for fact in worked):
        return []
    places = {fact.position for fact in worked}
    feeds = any(fact.worked and fact.component in AT_BURNER | _FEEDS for fact in worked)
    return [
        fact
        for fact in talk.story.facts[-8:]
        if (
            fact.condition in SHOWING
            or _of_the_whole(fact, worked)
            or _fed(fact, feeds, worked)
            or _gave_little(fact, worked)
        )
        and (fact.status in ("present", "reported") or _as_he_thought(talk, fact))
        and _near(fact, worked)
        and (
            fact.position in places
            or fact.position is None
            or (places == {None} and (_by_sparks(fact, worked) or _by_pressure(fact, worked)))
        )
        and not all(another_burner(fact, one) for one in worked)
        and fact.clause >= talk.state.clause - 6
        and not _explained(talk, fact)
    ]


def _gave_little(fact: Fact, worked: Sequence[Fact]) -> bool:
    """ "Nothing off the thermocouple, the nut was loose, nipped it up and it holds": why it gave nothing is mended."""
    return fact.condition in ("dead", "weak") and any(
        one is not fact and one.worked and one.component == fact.component and one.condition in _NO_CONTACT
        for one in worked
    )


def _as_he_thought(talk: Talk, symptom: Fact) -> bool:
    """ "The pilot I thought was on the weak side, so I brushed its injector and it's picked up": so it was, then."""
    said = {token.norm for token in talk.draft.tokens[max(0, symptom.start - 2) : symptom.end]}
    return symptom.status == "possible" and symptom.condition is not None and "thought" in said


def _explained(talk: Talk, symptom: Fact) -> bool:
    """ "It bangs, that's the heat exchanger furring up ... closed the gap and it lights": what it comes from is left as it is."""
    why = next((fact for fact in talk.story.facts[-8:] if fact.number > symptom.number), None)
    if symptom.component != "appliance" or why is None or why.clause > symptom.clause + 3:
        return False
    lead = [token.norm for token in talk.draft.tokens[max(0, why.start - 2) : why.start + 1]]
    open_ = why.status == "present" and not why.worked and why.condition not in (None, "ok", "passed")
    return open_ and not _THATS.isdisjoint(lead)


def _near(symptom: Fact, worked: Sequence[Fact]) -> bool:
    """Whether a symptom can come from what was worked on: none of the grill from a tap of the hob."""
    apart = symptom.burner in ("oven", "grill") and symptom.position is None
    return not apart or any(fact.burner == symptom.burner or fact.position is None for fact in worked if fact.worked)


def _of_the_whole(symptom: Fact, worked: Sequence[Fact]) -> bool:
    """ "Boiler's banging, the fan was touching, set it, quiet now": what an appliance did for the sake of a part of it."""
    if symptom.component != "appliance" or symptom.condition not in ("dead", "noisy", "sticking", "failed", "unstable"):
        return False
    stood = symptom.condition == "unstable"  # no thermostat makes a cooker stand
    return any(
        fact.appliance == symptom.appliance and (not stood or fact.component in ("stability-bracket", "appliance"))
        for fact in worked
        if fact.worked
    )


def _fed(symptom: Fact, feeds: bool, worked: Sequence[Fact]) -> bool:
    """Whether what was worked on feeds the part that showed the fault: a flame its gas, a spark its gap."""
    if symptom.component in ("spark-generator", "ignition-switch") and symptom.condition in ("dead", "weak"):
        return any(fact.worked and fact.component in ("electrode", "ht-lead") for fact in worked)
    if symptom.condition == "dead" and symptom.component in _POWERED and _near_by(symptom, worked):
        return any(fact.worked and fact.component in _POWER for fact in worked)
    return feeds and symptom.condition in SYMPTOMS and symptom.component in _SHOWS


def _near_by(symptom: Fact, worked: Sequence[Fact]) -> bool:
    """Whether both are of one appliance."""
    return any(fact.worked and fact.appliance == symptom.appliance for fact in worked)


def _by_pressure(symptom: Fact, worked: Sequence[Fact]) -> bool:
    """ "Right pair lifting, turned the governor down, sitting nice now": what sets the gas of all flames has no place."""
    return symptom.condition in ("lifting", "yellow-tipping") and any(
        fact.worked and fact.component == "regulator" and fact.appliance in (symptom.appliance, "installation")
        for fact in worked
    )


def _by_sparks(symptom: Fact, worked: Sequence[Fact]) -> bool:
    """ "Front right sparks by itself, the switch was wet, dried it off": what feeds the sparks has no place."""
    fed = any(fact.worked and fact.component in ("ignition-switch", "spark-generator", "ht-lead") for fact in worked)
    return fed and symptom.condition in ("no-spark", "weak-spark", "constant-spark", "not-lighting")
