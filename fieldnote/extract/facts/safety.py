"""Which fault something was made safe for. In: the faults told last. Out: those that nobody leaves on. Not allowed to know:
words; how dangerous anything is (a class is only what the engineer declares).
"""

from collections.abc import Sequence

from fieldnote.extract.facts.faults import is_faulty
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk

_FLUE = frozenset({"flue", "terminal"})
_FLUE_OPEN = frozenset("failed detached broken leaking".split())
_GAS = frozenset(
    "hose bayonet joint pipework gas-tap tap-spindle tap-seal isolation-valve emergency-control gas-valve regulator meter".split()
)
# what is put up with: nobody turns an appliance off for it where something else is told
_BORNE = frozenset("discoloured sooted dirty chipped noisy stiff sticking dry yellow-tipping weak".split())
_LATELY = 5  # clauses back to a fault that something is made safe for, over others told since
_OPEN, _BLOCKED, _OTHER, _SLIGHT = 3, 2, 1, 0


def made_safe(talk: Talk, faults: Sequence[Fact]) -> list[Fact]:
    """ "Flue failed the test, catchment's full of soot, disconnected it": not the soot, but the spillage."""
    faults = [fact for fact in faults if fact.condition != "not-fitted"]
    best = max((_weight(fact) for fact in faults), default=_SLIGHT - 1)
    graver = [
        fact
        for fact in talk.story.facts[-8:]
        if is_faulty(fact)
        and fact.status == "present"
        and not (fact.worked or fact.condition == "not-fitted")
        and fact.appliance in (talk.state.appliance, "installation", None)
        and fact.clause >= talk.state.clause - _LATELY
        and _weight(fact) > best
        and (_weight(fact) > _OTHER or best < _SLIGHT)
    ]
    if not graver:
        return [fact for fact in faults if _weight(fact) == best] if best == _OPEN else list(faults)
    last = max(graver, key=lambda fact: (_weight(fact), fact.number))
    return [f for f in graver if (f.clause, f.component, f.condition) == (last.clause, last.component, last.condition)]


def _weight(fact: Fact) -> int:
    """What comes first of several faults, for the engineer who turns it off."""
    if fact.status != "present" or fact.condition in _BORNE:
        return _SLIGHT
    gas = fact.condition == "leaking" and fact.component in _GAS
    if gas or (fact.component in _FLUE and fact.condition in _FLUE_OPEN):
        return _OPEN
    return _BLOCKED if fact.component in _FLUE and fact.condition == "blocked" else _OTHER
