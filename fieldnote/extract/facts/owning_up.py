"""An error that is owned up to, and what it is about. In: a clause that takes back. Out: whether all that was told goes, whether
it was told of something else.

Not allowed to know: what comes in its place.
"""

import bisect
import itertools
from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.clauses.assertion import Mode
from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.said import Said
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk

_BARE = frozenset({"correct", "mark"})
_HESITATING = frozenset("hang hold on about up wait a minute sec second".split())
_SENTENCE = 12  # mentions of a sentence that are looked at


def admitted(talk: Talk, clause: Clause, mode: Mode) -> Mode:
    """ "Bayonet's stiff. No, my mistake.": owned up to in a sentence of its own, it takes back what was told."""
    last = clause.mentions[-1]
    ends = last.end >= len(talk.draft.tokens) or talk.draft.tokens[last.end - 1].pause == "."
    wrong = "wrong" in {token.norm for token in talk.draft.tokens[last.start : last.end]}
    owned = (wrong and last.first in ("no", "im", "i", "actually")) or (last.first == "no" and last.last == "mistake")
    return replace(mode, takes_all=True) if ends and owned and clause.kinds() <= _BARE else mode


def of_something_else(talk: Talk, clause: Clause, focus: Sequence[Fact]) -> bool:
    """ "Tap's stiff. The shelf's rusty. No, scratch that.": what is taken back was said of a thing that we do not know."""
    start, tokens = clause.mentions[0].start, talk.draft.tokens
    at = max((fact.end for fact in focus), default=start)
    while 0 < at < start and tokens[at - 1].pause != ".":
        at += 1
    first = bisect.bisect_left(talk.draft.mentions, at, key=lambda mention: mention.start)
    row = list(itertools.takewhile(lambda m: m.start < start, talk.draft.mentions[first : first + _SENTENCE]))
    return len(row) > 1 and [m.kind for m in row[:2]] == ["det", "condition"] and row[0].pause == "." and row[1].gap > 0


def only_hesitates(talk: Talk, clause: Clause, said: Said, focus: Sequence[Fact]) -> bool:
    """ "Thermocouple weak, hang on, rear right injector dirty": what comes has a part and a place of its own, and nothing was
    wrong with what was told."""
    words = {t.norm for m in clause.mentions if m.kind == "correct" for t in talk.draft.tokens[m.start : m.end]}
    told = said.statements[0] if said.statements else None
    target = told.targets[0] if told and len(told.targets) == 1 else None
    if not words or not words <= _HESITATING or told is None or target is None or not (target.names and target.places):
        return False
    ids = {name.id for name in target.names}
    return all(
        f.component not in ids and (f.position not in target.places or f.condition not in told.condition_ids)
        for f in focus
    )
