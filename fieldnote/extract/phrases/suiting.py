"""A wording too long for the part that it is said of. In: a hit, the part named by it or before. Out: what suits it.

"The fan won't start up": the longest wording tells of a burner, a shorter one of a fan. "Rearranged the coals": the work and
its object. Not allowed to know: what was told before.
"""

import functools
from collections.abc import Sequence

from fieldnote.extract.words.lexicon import Sense, lexicon
from fieldnote.extract.words.matcher import Hit
from fieldnote.extract.words.tokens import Token
from fieldnote.trade.spoken import spoken

_VERB_AND_NAME = 2
_LEADING = frozenset("on in off to into onto".split())
_HAVING = frozenset("got has have had".split())
_NEAR = 3  # words between a part and what is said of it: "is", "still", "not"


class Named:
    """The part named last, as far as what follows directly may be said of it."""

    def __init__(self) -> None:
        self._ids: frozenset[str] = frozenset()
        self._end = -1

    def note(self, hit: Hit[Sense]) -> None:
        """Take up a name; any other wording ends the reach of the one before, unless it says little ("is", "still")."""
        ids = frozenset(
            sense.id for sense in hit.values if sense.kind == "component" and not sense.note.startswith("weak")
        )
        if ids:
            self._ids, self._end = ids, hit.end
        elif any(sense.kind in ("condition", "work", "appliance", "place", "and", "or") for sense in hit.values):
            self._ids = frozenset()

    def shorter(self, hit: Hit[Sense], tokens: Sequence[Token]) -> Hit[Sense]:
        """The longest beginning of `hit` that the part can have, where it cannot have the whole; else `hit`."""
        if len(self._ids) != 1 or hit.slot or hit.end - hit.start == 1 or not 0 <= hit.start - self._end <= _NEAR:
            return hit
        if any(token.pause for token in tokens[self._end - 1 : hit.start]):
            return hit
        if any(sense.kind != "condition" or sense.note == "alone" for sense in hit.values) or self._suits(hit):
            return hit
        for end in range(hit.end - 1, hit.start, -1):
            part = lexicon().at(tokens, hit.start, end)
            if part is None:
                break
            if part.end == end and all(s.kind == "condition" for s in part.values) and self._suits(part):
                return part
        return self._behind_has(hit, tokens) or hit

    def _behind_has(self, hit: Hit[Sense], tokens: Sequence[Token]) -> Hit[Sense] | None:
        """ "Got a blob of cheese on it": not "got a blob of cheese", which is said of a hole, where an electrode has it on it."""
        if tokens[hit.start].norm not in _HAVING:
            return None
        for start in range(hit.start + 1, min(hit.start + _NEAR, hit.end)):
            has = lexicon().at(tokens, start)
            whole = has is not None and has.end > hit.end and not has.slot
            if has and whole and all(s.kind == "condition" for s in has.values) and self._suits(has):
                return has
        return None

    def _suits(self, hit: Hit[Sense]) -> bool:
        return any(_can_be(sense, self._ids) for sense in hit.values if sense.note != "bare")


def _can_be(sense: Sense, ids: frozenset[str]) -> bool:
    """Whether a wording may be said of one of these parts."""
    if sense.of is not None:
        return bool(sense.of & ids) and (len(sense.of) == 1 or not ids <= _impossible(sense.id))
    return not ids <= _impossible(sense.id)


@functools.cache
def _impossible(condition: str) -> frozenset[str]:
    return spoken().impossible(condition)


def work_on_a_name(hit: Hit[Sense], tokens: Sequence[Token]) -> Hit[Sense] | None:
    """ "Rearranged the coals": the verb by itself, where the words that end the wording name its object. A joint that was remade
    is how a leak was stopped, "back on the jet" is where a part went."""
    ids = {sense.id for sense in hit.values if sense.kind == "work"}
    if hit.slot or hit.end - hit.start < _VERB_AND_NAME or len(ids) != 1 or any(s.kind != "work" for s in hit.values):
        return None
    for at in range(hit.start + 1, hit.end):
        name = lexicon().at(tokens, at, hit.end)
        if name is None or name.end != hit.end or not any(_names(s) and s.id != "joint" for s in name.values):
            continue
        verb = lexicon().at(tokens, hit.start, at)
        verbal = (
            verb is not None
            and not verb.slot
            and tokens[verb.end - 1].norm not in _LEADING
            and ids == {s.id for s in verb.values if s.kind == "work"}
        )
        return verb if verbal else None
    return None


def named_by_its_end(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Needs a gas valve": not "needs a gas", the last word of the wording begins the whole name of a part."""
    if hit.end - hit.start == 1 or hit.slot or tokens[hit.end - 1].norm != "gas" or tokens[hit.end - 1].pause:
        return False
    whole = lexicon().at(tokens, hit.end - 1)
    return whole is not None and whole.end > hit.end and any(_names(sense) for sense in whole.values)


def _names(sense: Sense) -> bool:
    return sense.kind == "component" and sense.note.startswith("strong")
