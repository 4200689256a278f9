"""Faults that come of others: what turned out to be behind a symptom, and where a leak was found. In: a fault just told, and the
talk. Out: links between facts, a part that is suspected, or a fact dropped. Not allowed to know: work.
"""

import itertools

from fieldnote.extract.clauses.said import Statement
from fieldnote.extract.clauses.target import Target
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.phrases.mention import HEATING
from fieldnote.extract.words.symptoms import AT_BURNER, SHOWING

_BECAUSE = frozenset("because cause cos coz".split())
_FOUND_TO_BE = frozenset(
    {("turned", "out"), ("turns", "out"), ("down", "to"), ("due", "to"), ("account", "of"), ("owing", "to")}
)
_ONLY_IT_IS = frozenset("only just simply merely".split())
_IT_IS = frozenset("its thats was is were wasnt".split())
_FOUND = frozenset("found traced tracked".split())
_SPARKLESS = frozenset({"no-spark", "weak-spark", "not-lighting", "constant-spark"})
_HELD_BY = ("thermocouple", "flame-sensor", "magnet-unit")
_SPARKED_BY = ("ht-lead", "ignition-switch", "spark-generator", "electrode")
_CAUSING = 4  # facts before a guess at what causes them


def explains(talk: Talk, statement: Statement, fault: Fact) -> None:
    """ "The flame floats off, turned out the wrong jet was in": what was told right before comes of this fault."""
    said = [token.norm for token in talk.draft.tokens[max(0, statement.start - 6) : statement.start]]
    led = bool(_BECAUSE & set(said)) or any(pair in _FOUND_TO_BE for pair in itertools.pairwise(said))
    # "it wouldn't light but it was only the electrode was bent"
    led = led or any(is_ in _IT_IS and only in _ONLY_IT_IS for is_, only in itertools.pairwise(said))
    if not led or fault.status != "present" or fault.condition in SHOWING | {"ok", "passed", None}:
        return
    again = [fact for fact in talk.state.focus if fact not in talk.story.facts[-4:]]  # told long before, taken up again
    for fact in [*talk.story.facts[-4:], *again]:
        shows = fact.condition in SHOWING and fact.status == "present" and fact.cause is None
        # "lifting because the regulator was too high"
        far = fault.position is None and fault.component not in AT_BURNER
        near = fact.clause >= talk.state.clause - 2 and (far or fact.position in (fault.position, None))
        if shows and near and fact.component != fault.component:
            fact.cause = fault


def found_at(talk: Talk, leak: Fact) -> None:
    """ "So there's a leak, found it at the pump union": one leak, told once it is found."""
    if leak.condition != "leaking" or leak.component == "appliance" or leak.status == "absent":
        return
    for fact in talk.story.facts[-3:]:
        loose = fact.component == "appliance" and fact.condition == "leaking" and not fact.actions
        if not loose or fact.clause < talk.state.clause - 2 or fact.status == "absent":
            continue
        between = {token.norm for token in talk.draft.tokens[fact.start : leak.start]}
        if _FOUND & between:
            talk.story.drop(fact)


def suspected(talk: Talk, target: Target) -> str | None:
    """ "No spark, I suspect the lead", "goes out, could be the probe", "could be the box, could be the switch": of the parts that
    a loose name can mean, the one that what fails hangs on, or the one beside another that is guessed at."""
    names = {sense.id for sense in target.names}
    before = [token.norm for token in talk.draft.tokens[max(0, target.start - 3) : target.start + 1]]
    if "the" not in before or "thought" in before:
        return None
    told = talk.story.facts[-_CAUSING:]
    failing = {fact.condition for fact in told}
    held = _HELD_BY if "not-holding" in failing else ()
    if held and "flame-sensor" in names and talk.state.appliance not in HEATING:
        return "thermocouple"  # the probe of a ring
    guessed = any(fact.status == "possible" and fact.component in _SPARKED_BY for fact in told[-1:])
    sparked = _SPARKED_BY if failing & _SPARKLESS or guessed else ()
    return next((part for part in (*held, *sparked) if part in names), None)
