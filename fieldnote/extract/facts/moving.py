"""What was just told gets the place, burner, part or work that is said in its stead. In: the facts told last, what is said anew,
and the talk. Out: facts moved, renamed, swapped or dropped.

Not allowed to know: whether a clause takes something back, which is in `retracting`.
"""

from dataclasses import replace

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.said import MENDING, Said
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.clauses.wholes import KIN
from fieldnote.extract.facts import locating, places_of_several
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.hob import FOUR
from fieldnote.extract.words.lexicon import Sense
from fieldnote.records import Action


def swap(talk: Talk, clause: Clause) -> None:
    """ "No, other way round": the last two facts of one part, or the two told last, change places; not where it is only asked
    ("or was it the other way about")."""
    start = next(m.start for m in clause.mentions if m.kind == "swap")
    if {token.norm for token in talk.draft.tokens[max(0, start - 3) : start]} >= {"or"} | {"it"}:
        return
    facts = [fact for fact in talk.story.facts[-6:] if fact.position]
    alike = [fact for fact in facts[:-1] if fact.component == facts[-1].component]
    near = [fact for fact in facts[-2:-1] if fact.clause >= talk.state.clause - 3]
    for first in [*reversed(alike), *near]:
        last = facts[-1]
        if first.position != last.position:
            first.position, last.position = last.position, first.position
            for fact in (first, last):
                fact.cues.append("corrected")
            return


def work_anew(talk: Talk, focus: list[Fact], said: Said) -> None:
    """ "Replaced the hose, sorry, it needs replacing", "new thermocouple, I mean new electrode", "cleaned it, no, replaced it":
    the work that was just told takes its other state, part or kind."""
    last, job = focus[-1], said.works[0] if said.works else None
    told = last.actions[-1] if last.actions and last.clause >= talk.state.clause - 2 else None
    if told is None or job is None or not {told.kind, job.kind} <= MENDING:
        return
    if any(statement.head < job.start for statement in said.statements):
        return  # "it wasn't in the flame so it wouldn't hold, straightened it": work on what was said last
    part = next((target.component for target in job.targets if target.component), None)
    another = part is not None and part != last.component
    alike = (job.kind, job.state) == (told.kind, told.state)
    if another != alike:
        return
    if another:
        talk.story.drop(last)
        last.component, last.superseded = part, last.superseded or f"{last.component}"
        talk.story.add(last)
        talk.state.topic = tuple(job.targets)
    last.actions[-1], last.clause = Action(job.kind, job.state), talk.state.clause
    last.turn("resolved" if job.state == "done" else "present", "corrected")
    said.works = said.works[1:]


def but_one(talk: Talk, focus: list[Fact], said: Said) -> bool:
    """ "All four blocked, no, the rear right's fine": what was said of all stays true of the other three."""
    last = said.statements[0] if len(said.statements) == 1 else None
    places = [place for target in last.targets for place in target.places or ()] if last else []
    newest = [
        fact for fact in talk.story.facts[-3:] if fact.clause == talk.story.facts[-1].clause and fact.condition == "ok"
    ]
    if len(newest) == 3 and newest[-1] not in focus:
        focus = newest  # praise of the other three, which is an aside and no focus
    told = {fact.position for fact in focus}
    if (
        last is None
        or len(places) != 1
        or places[0] not in FOUR
        or (told != {"all"} and not places[0] in told < {*FOUR})
    ):
        return False
    fit = last.condition_ids == {"ok"} and not last.denied  # "the rear left isn't fine": no praise
    unlike = all((fact.condition == "ok") != fit for fact in focus)
    if not unlike or len(focus) < len(told) or len({fact.component for fact in focus}) > 1 or told == {places[0]}:
        return False
    for fact in focus:
        if fact.position == "all":
            places_of_several.at_the_rest(talk, fact, places[0])
        elif fact.position == places[0]:  # "the other three are fine, no, the front left's yellow"
            talk.story.drop(fact)
    return True


def of_another_size(talk: Talk, focus: list[Fact], size: str, said: Said) -> bool:
    """ "Weak thermocouple on the wok, I beg your pardon, on the rapid"."""
    told = [fact for fact in focus if fact.burner]
    for fact in told:
        fact.superseded, fact.burner = fact.superseded or f"{fact.burner}", size
        fact.cues.append("corrected")
    if told:
        locating.note_places(talk, said)
    return bool(told)


def same_elsewhere(talk: Talk, focus: list[Fact], said: Said) -> bool:
    """ "The rear left's stiff so I've greased it, no, it was the rear right that was stiff": the fault with its work is moved,
    and what was found fit at that place is not said of it any more."""
    one = said.statements[0] if len(said.statements) == 1 and not said.statements[0].denied else None
    target = one.targets[0] if one and len(one.targets) == 1 else None
    told = [f for f in focus if one and f.condition in one.condition_ids - {"ok", "passed"} and f.position in FOUR]
    place = target.places[0] if target and len(target.places or ()) == 1 and target.places else None
    if not target or place not in FOUR or len(told) != 1 or told[0].position == place:
        return False
    lead = {token.norm for token in talk.draft.tokens[max(0, target.start - 3) : target.start]}
    if not told[0].actions and not lead & {"its", "was"}:
        return False  # "no, sorry, rear right's cracked, front right's just dirty"
    if target.names and told[0].component not in {name.id for name in target.names}:
        return False
    for fact in talk.story.named(told[0].component)[:8]:
        if fact.condition == "ok" and fact.position == place and not fact.actions:
            talk.story.drop(fact)
    told[0].superseded, told[0].position = told[0].superseded or f"{told[0].position}", place
    told[0].cues.append("corrected")
    talk.state.places, talk.state.topic, said.statements = (
        (place,),
        (replace(target, names=_names(told[0]), many=True),),
        [],
    )
    return True


def same_of_another(talk: Talk, focus: list[Fact], said: Said) -> bool:
    """ "Cap was dirty, cleaned it, no hang on it was the ring that was dirty": the fault with its work is another part's."""
    one = said.statements[0] if said.statements and not said.statements[0].denied else None
    target = one.targets[0] if one and len(one.targets) == 1 else None
    told = [f for f in focus if one and f.condition in one.condition_ids - {"ok", "passed"}]
    if one is None or not target or len(told) != 1 or len(target.places or ()) > 1:
        return False
    fact = told[0]
    kin = {name.id for name in target.names} & set(KIN.get(fact.component or "", ()))
    part = target.component or next(iter(sorted(kin - {"burner"})), None)  # "no, it was the ring that was dirty"
    lead = {token.norm for token in talk.draft.tokens[max(0, target.start - 4) : target.start]}
    worked = fact.status == "resolved" and fact.actions and fact.clause >= talk.state.clause - 2
    if not worked or part is None or fact.component == part or "was" not in lead:
        return False
    talk.story.drop(fact)
    fact.superseded, fact.component = fact.superseded or f"{fact.component}", part
    fact.position = target.places[0] if target.places else fact.position
    fact.cues.append("corrected")
    talk.story.add(fact)
    said.statements = said.statements[1:]
    return True


def _names(fact: Fact) -> tuple[Sense, ...]:
    return (Sense("component", str(fact.component), None, "strong"),)


def move_facts(talk: Talk, focus: list[Fact], places: list[str]) -> None:
    """What was told at one place is told at another, or at fewer or more of them."""
    told = {fact.position for fact in focus}
    if len(told) > 1 and set(places) < told:  # "both rear taps stiff, no, just the rear left"
        for fact in focus:
            if fact.position not in places:
                talk.story.drop(fact)
        talk.state.focus = tuple(fact for fact in focus if fact.position in places)
        return
    last = [fact for fact in focus if fact.position == focus[-1].position]
    if told == {"all"} and len(places) > 1:  # "all four dirty, no, just the front two"
        for place in places[1:]:
            for fact in last:
                talk.story.add(
                    replace(fact, position=place, actions=list(fact.actions), cues=[*fact.cues, "corrected"])
                )
    for fact, place in zip(last, places * len(last), strict=False):
        fact.superseded = fact.superseded or f"{fact.position}"
        fact.position = place
        fact.cues.append("corrected")


def rename(talk: Talk, focus: list[Fact], names: list[Target]) -> None:
    """What was told of one part is told of the part that is named in its stead."""
    for fact in focus:
        kin = {name.id for name in names[0].names} & set(KIN.get(fact.component or "", ()))
        component = names[0].component or next(
            iter(sorted(kin)), None
        )  # "the cap's chipped, I tell a lie, it's the ring"
        if component and not fact.actions:
            talk.story.drop(fact)
            fact.superseded = f"{fact.component}"
            fact.component = component
            if names[0].places:
                fact.position = names[0].places[0]
            if names[0].size and fact.burner:
                fact.burner = names[0].size  # "missing: the oven knob, correction, the grill knob"
            talk.story.add(fact)


def replace_facts(talk: Talk, focus: list[Fact], said: Said) -> None:
    """A new condition for the same part, or a new statement: the old one goes."""
    if not said.statements:
        return
    for fact in focus:
        if talk.another_named(fact, said.start):
            continue  # "plug's fine. And the front left cap, no, sorry, the rear left, is cracked"
        if fact.clause >= talk.state.clause - 2 and not fact.actions:
            talk.story.drop(fact)
            talk.state.places = talk.state.places or ((fact.position,) if fact.position else None)
    talk.state.focus = ()
