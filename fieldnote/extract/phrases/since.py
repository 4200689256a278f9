"""Work that was done since an earlier day: "it's been swept since and it pulls well". In: the mentions of a talk. Out: the same,
with "since" as a word of the past. Not allowed to know: clauses, facts.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.tokens import Token

_PAST = (Sense("past", "past"),)
_GOING_ON = frozenset("and but so though".split())


def since_then(found: list[Mention], tokens: Sequence[Token]) -> list[Mention]:
    """Take "since" right behind "been" and its work as a day gone by: no reason follows it, as in "leaking since I moved it"."""
    done = list(found)
    for at in range(2, len(found)):
        been, work, since = found[at - 2 : at + 1]
        if since.first != "since" or since.end - since.start > 1 or not work.done or since.gap or since.pause:
            continue
        over = since.end >= len(tokens) or tokens[since.end - 1].pause or tokens[since.end].norm in _GOING_ON
        if over and been.kind == "be" and been.last == "been" and not work.gap:
            done[at] = replace(since, kind="past", senses=_PAST, other=())
    return done
