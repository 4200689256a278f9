"""The talk comes back to a part that was told of before and names it alone. In: a clause that says nothing yet, and the talk.
Out: nothing; the earlier fact and its place are in talk again. Not allowed to know: what is said of it then.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.said import Said
from fieldnote.extract.clauses.subjects import Target
from fieldnote.extract.facts.faults import is_faulty
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.phrases.mention import COOKING

_SEEN_AGAIN = 3  # clauses behind "that I said was cracked"
_NO_MORE_THAN, _MERELY = 5, frozenset("only just merely actually nobbut".split())
_REACH = 24  # facts told since
_POINTING = frozenset({"the", "that", "this"})


def taken_up(talk: Talk, said: Said) -> None:
    """ "Now the cap, I got it off", "and the jet, well, that wants a new one"."""
    named = [target for target in said.subject if target.names]
    told = said.statements or said.works or said.reading or said.cured or said.led or said.guessed
    fact = _told(talk, named[0]) if len(named) == len(said.subject) == 1 and not told else None
    if fact is not None and fact is not talk.story.facts[-1]:
        bring_back(talk, [fact])


def bring_back(talk: Talk, facts: Sequence[Fact]) -> None:
    """Facts that were told before are in talk again, and where the last of them is."""
    last = facts[-1]
    talk.state.focus = tuple(facts)
    talk.state.places = (last.position,) if last.position else talk.state.places


def _told(talk: Talk, target: Target) -> Fact | None:
    """The fault told last of a part, at the place that is said; where none is said, of the part that is pointed at, once
    something has been told of the place in talk."""
    lately = talk.story.facts[-_REACH:]
    ids = {name.id for name in target.names}
    cooking = talk.state.appliance in COOKING and any("-" in place for place in target.places or ())
    # "oven's fine, oh and that electrode I said on the back left"
    near = COOKING if cooking else {talk.state.appliance}
    faults = [f for f in lately if f.component in ids and is_faulty(f) and f.appliance in near]
    if target.places:
        faults = [fact for fact in faults if fact.position in target.places]
    elif talk.draft.tokens[max(0, target.start - 1)].norm not in _POINTING:
        return None
    here = talk.state.places or ()
    told = bool(target.places) or not here or any(fact.position in here for fact in lately[-3:])
    return faults[-1] if faults and told else None


def not_so_after_all(talk: Talk, made: Sequence[Fact]) -> None:
    """ "That cap I said was cracked, I've had it in the light and it's only a scratch, so it's fine": what is seen now of a fault
    that was spoken of again stands for it."""
    clause, recalled = talk.recalled
    if not recalled or talk.state.clause - clause > _SEEN_AGAIN:
        return
    for fact in made:
        was = recalled[-1]
        same = (fact.component, fact.position) == (was.component, was.position) and fact is not was
        seen = [token.norm for token in talk.draft.tokens[max(0, fact.end - _NO_MORE_THAN) : fact.end]]
        # not "that cap I said was cracked is loose too"
        after_all = fact.condition == "ok" or not _MERELY.isdisjoint(seen)
        if same and after_all and fact.status == was.status == "present" and not (was.actions or fact.actions):
            fact.superseded = fact.superseded or was.superseded or f"{was.condition}, {was.status}"
            talk.story.drop(was)
            recalled[-1] = fact
