"""What goes on in spite of work, or goes on elsewhere: "still leaking". In: a clause and the talk. Out: the faults that are
present again. Not allowed to know: what cures a fault (`updating`, `curing`).
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.said import Said
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts import filing
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.symptoms import SHOWING

_ALIKE = (  # faults of which the one may go on as the other
    {"stiff", "seized", "sticking", "dry"}, {"loose", "detached", "misaligned", "unstable"}, {"leaking", "wet"},
    {"blocked", "partly-blocked", "dirty", "sooted"}, {"no-spark", "weak-spark"}, {"not-lighting", "not-holding", "weak"},
    {"lifting", "yellow-tipping", "weak"}, {"misaligned", "distorted", "stiff"},
)  # fmt: skip

_FOR_ALL_TO_SEE = frozenset("cracked broken burnt perished worn corroded chipped missing wrong-part expired".split())


def _still_so(talk: Talk, said: Said) -> list[Fact]:
    """ "Fan was noisy last time, still is": what was so then is so today."""
    old = [f for f in talk.state.focus if f.status == "historical" and f.condition not in (None, "ok") and f.component]
    if not old or said.statements or said.works or said.subject or not said.start - old[-1].end <= 6:
        return []
    last = old[-1]
    target = Target(
        (Sense("component", str(last.component), None, "strong"),), (last.position,) if last.position else None
    )
    return [
        filing.file(
            talk, str(last.component), last.condition, last.position, target, "present", said.as_statement(), Mode()
        )
    ]


def _still_there(talk: Talk, said: Said) -> list[Fact]:
    """ "No spark, dried it out, two of them spark now, the rear two still nothing": what was cured elsewhere goes on there."""
    where = [place for target in said.subject for place in target.places or () if not target.names]
    told = [
        f for f in talk.state.focus if f.condition in SHOWING and f.status == "resolved" and f.position in (None, "all")
    ]
    if not where or not told or said.statements or said.works or not all("-" in place for place in where):
        return []
    last = told[-1]
    part = Target((Sense("component", str(last.component), None, "strong"),), tuple(where))
    return [
        filing.file(talk, str(last.component), last.condition, place, part, "present", said.as_statement(), Mode())
        for place in where
    ]


def still(talk: Talk, said: Said, made: list[Fact]) -> None:
    """ "Still leaking": what was put right a moment ago is not; another fault that goes on says nothing of it, nor does one
    that is told apart ("the seized one beat me")."""
    if not made and (again := _still_so(talk, said) or _still_there(talk, said)):
        talk.state.focus = tuple(again)
        return
    corners = {fact.position for fact in talk.state.focus}
    if not made:
        worked = [f for f in talk.story.facts[-6:] if f.worked and f.clause >= talk.state.clause - 3]
        said.subject = [_one_of({fact.position for fact in worked} | corners, target) for target in said.subject]
        here = {place for target in said.subject if not target.names for place in target.places or ()}
        if len(here) == 1 and not here & corners and (others := [f for f in worked if f.position in here]):
            talk.state.focus = tuple(others)  # "greased both, left one's lovely, right one's no better"
            corners = {*here}
    # "the back ones were both tight, the left one I greased, the right one beat me"
    one = [t for t in said.subject if t.which or (len(corners) > 1 and set(t.places or ()) <= corners)]
    where = {place for target in one for place in target.places or ()}
    where |= {place for t in said.subject if not t.names for place in t.places or () if "-" in place and not made}
    for fact in [fact for fact in made if _now(fact, talk) and not _told_before(fact)]:
        if before := _alike_and_worked(talk, fact):
            talk.story.drop(fact)  # "stiff, greased it, still sticking"
            made[made.index(fact)] = before
    if any(_now(fact, talk) for fact in made) and not any(_told_before(fact) for fact in made):
        return
    # not of what is only guessed to be at fault: "it's no better, so I'd say it's the lead"
    seen = [fact for fact in made if fact.condition or fact.status != "possible"]
    parts = {(fact.component, fact.position) for fact in seen or talk.state.focus}
    for fact in _shown_by_it(talk, made or talk.state.focus):
        fact.turn("present", "still")
    # "greased it and it turns, but it's still weeping": what was stiff is not
    named = {fact.condition for fact in made if _told_before(fact) and fact.condition}
    named |= {one for alike in _ALIKE if named & alike for one in alike}
    for fact in [*made, *talk.state.focus]:
        if named and fact.condition and fact.condition not in named:
            continue
        if (fact.component, fact.position) not in parts or (where and fact.position not in where):
            continue
        if fact.condition not in named and _renewed(fact):
            continue  # "fuse had blown, new one in, still nothing"
        if fact.condition is not None and fact.status == "resolved" and fact.clause >= talk.state.clause - 3:
            fact.turn("present", "still")
        elif fact.condition is None and fact.worked:
            fact.cues.append("no-help")  # "cleaning the burner didn't shift it": what is told next is so still


def _one_of(corners: set[str | None], target: Target) -> Target:
    """ "Both fronts stiff, greased them, the right one's no better": the one corner of those told that is on that side."""
    side = target.places[0] if len(target.places or ()) == 1 and target.places and not target.names else ""
    here = [corner for corner in corners if corner and side in corner.split("-") and side != corner]
    return replace(target, places=(here[0],)) if len(here) == 1 and len(corners) > 1 else target


def worse_now(talk: Talk, made: Sequence[Fact]) -> None:
    """ "Tap was stiff. It isn't stiff now, it's seized solid": what is not so any more has become worse, no one put it right."""
    for fact in made:
        for one in talk.story.named(fact.component)[:4] if _now(fact, talk) else ():
            here = one is not fact and one.position == fact.position and one.clause >= talk.state.clause - 2
            alike = any({one.condition, fact.condition} <= group for group in _ALIKE)
            if here and alike and one.status == "resolved" and "later" in one.cues and not one.actions:
                fact.superseded = fact.superseded or f"{one.condition}, present"
                talk.story.drop(one)


def _renewed(fact: Fact) -> bool:
    """Whether what was broken for all to see is a new part now, whatever goes on beside it."""
    seen = fact.condition in _FOR_ALL_TO_SEE or fact.component == "fuse"
    return seen and any(action.kind == "replace" and action.state == "done" for action in fact.actions)


def _alike_and_worked(talk: Talk, fact: Fact) -> Fact | None:
    """The fault just worked on that goes on as the one now told."""
    for one in talk.story.facts[-6:]:
        same = (one.component, one.position, one.burner) == (fact.component, fact.position, fact.burner)
        alike = any({one.condition, fact.condition} <= group for group in _ALIKE)
        if one is not fact and same and alike and one.worked and one.status == "resolved":
            return one if one.clause >= talk.state.clause - 3 else None
    return None


def _shown_by_it(talk: Talk, worked: Sequence[Fact]) -> list[Fact]:
    """ "Kept going out, tried a new thermocouple, no different": the symptom that the work was done for."""
    places = {fact.position for fact in worked if fact.condition is None and fact.worked}
    return [
        fact
        for fact in talk.story.facts[-4:]
        if fact.condition in SHOWING and fact.status == "resolved" and fact.position in places and not fact.worked
    ]


def _now(fact: Fact, talk: Talk) -> bool:
    return fact.clause == talk.state.clause and fact.status == "present" and fact.condition not in (None, "ok")


def _told_before(fact: Fact) -> bool:
    return bool(fact.superseded) or fact.worked
