"""Where the several are that were counted a moment ago: "two stiff taps ... the taps are front left and rear left". In: a clause
that names places and says nothing else, and the talk. Out: nothing; the facts told before are at those places. Not allowed to
know: work.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.said import Said
from fieldnote.extract.facts.locating import SIDED
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.words.hob import FOUR
from fieldnote.extract.words.symptoms import AT_BURNER

_LATELY = 5  # clauses back to what was counted
_NUMBERS = {"a": 1, "an": 1, "one": 1, "two": 2, "2": 2, "pair": 2, "three": 3, "3": 3}
_BEFORE = 4  # words before a part in which it is counted
_IT_WAS = frozenset("that thats it its".split())
_NOTED = 4  # words back to "down as"
_IT_IS = frozenset({"pronoun", "them"})
_BEHIND = frozenset(
    {"work", "them", "mark"}
)  # what may follow: "they're the front left and the rear right, tightened both"


def told_where(talk: Talk, clause: Clause, said: Said) -> None:
    """Put what was counted at the places that are told of it now."""
    _noted_wrong(talk, clause, said)
    if said.statements or not any(fact.position is None for fact in talk.story.facts[-4:]):
        return
    for part, places in _told(clause.mentions):
        told = _counted(talk, part, len(places))
        if told is None:
            continue
        told.position, told.explicit = places[0], True
        others = [replace(told, position=place, actions=[*told.actions], cues=[*told.cues]) for place in places[1:]]
        for fact in others:
            talk.story.add(fact)
        if told in talk.state.focus:
            talk.state.focus = (*talk.state.focus, *others)


def _noted_wrong(talk: Talk, clause: Clause, said: Said) -> None:
    """ "I had the rear left down as stiff but that was the front left": what he noted himself is at another place."""
    row = [m for m in clause.mentions if m.kind not in ("but", "det", "mark", "hedge", "be")]
    last = talk.state.focus[-1] if talk.state.focus else None
    it_was = [m.kind for m in row[:2]] == ["pronoun", "place"] and row[0].first in _IT_WAS and row[1].id in FOUR
    it_was = it_was and all(m.kind in ("work", "pronoun", "and") for m in row[2:])
    if last is None or not it_was or said.statements or last.clause < talk.state.clause - 1:
        return
    noted = [token.norm for token in talk.draft.tokens[max(0, last.start - _NOTED) : last.end]]
    if ("down", "as") in pairwise(noted) and last.position in FOUR and last.position != row[1].id and not last.actions:
        last.superseded, last.position = last.superseded or f"{last.position}", row[1].id
        last.cues.append("corrected")


def _told(row: Sequence[Mention]) -> list[tuple[Mention | None, list[str]]]:
    """The parts of a clause with the places that stand behind each, where nothing else is said of them."""
    out: list[tuple[Mention | None, list[str]]] = []
    part: Mention | None = None
    begun = False
    for mention in row:
        if mention.kind in ("place", "group") and set(mention.id.split()) <= set(FOUR):
            if not out or out[-1][0] is not part:
                out.append((part, []))
            out[-1][1].extend(mention.id.split())
        elif mention.kind == "component" and (out or not begun) and not (out and part is None):
            part, begun = mention, True
        elif mention.kind in _IT_IS and not begun and not out:
            begun = True
        elif (mention.kind in _BEHIND or mention.id in ("last-two", "all")) and out:
            break
        elif mention.kind not in ("det", "be", "and"):
            return []
    bare = len(out) == 1 and not begun and len(out[0][1]) < len(("front left", "rear right"))
    return [] if bare else out


def _counted(talk: Talk, part: Mention | None, number: int) -> Fact | None:
    """The fault of which as many were counted as there are places, and nobody said where."""
    ids = {sense.id for sense in part.senses} if part else None
    told = [f for f in talk.story.facts[-6:] if f.component in AT_BURNER | SIDED - {"appliance"} and f.position is None]
    told = [f for f in told if f.clause >= talk.state.clause - _LATELY and (ids is None or f.component in ids)]
    last = told[-1] if told else None
    if last is None or last.burner in ("oven", "grill") or last.appliance != talk.state.appliance:
        return None
    if last.condition == "ok" or last.status == "historical":
        return None
    if ids is None and last is not talk.story.facts[-1]:
        return None
    words = [token.norm for token in talk.draft.tokens[max(0, last.start - _BEFORE) : last.start]]
    said = next((_NUMBERS[word] for word in reversed(words) if word in _NUMBERS), 0)
    return last if said == number else None
