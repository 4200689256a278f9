"""Statements that stand side by side in one clause: what is joined, what is left out of them, what goes by turns.

In: the statements of a clause with their parts. Out: the same, each with the parts that are its own. Not allowed to know: earlier
clauses.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.clauses.said import Said
from fieldnote.extract.clauses.subjects import targets
from fieldnote.extract.clauses.target import Target, one_of
from fieldnote.extract.phrases.mention import Mention

_SOME = frozenset("some a an".split())


def coordinate(said: Said, chunks: Sequence[tuple[Mention, list[Mention], list[Mention]]]) -> None:
    """ "No cracks or chips in the caps": what joins two conditions carries the denial on and the noun back."""
    rows = [(flags, tail, head.gap) for head, flags, tail in chunks if head.kind not in ("work",)]
    for at in range(1, min(len(said.statements), len(rows))):
        first, second = said.statements[at - 1], said.statements[at]
        flags, tail, apart = rows[at][0], rows[at - 1][1], rows[at][2]
        joined = {m.kind for m in tail} | {m.kind for m in flags}
        goes_on = not joined & {"be", "pronoun", "but"} and not apart  # "not seized, only stiff" ends the denial
        goes_on = goes_on and first.condition_ids != {"ok"}  # "not so good, lets by"
        goes_on = goes_on and not (
            first.left_out and second.left_out
        )  # "none cracked bar the front left that one's split"
        goes_on = goes_on and not any(m.kind == "det" and m.first in _SOME for m in tail)
        goes_on = goes_on and not (second.own and any(m.kind == "component" for m in tail))  # each has its own part
        if first.denied and not second.denied and (joined & {"or"} or goes_on):
            second.denied = not second.condition_ids & {"ok", "passed"}
        if first.hedged and not second.hedged:
            second.hedged = True
    for at in range(len(said.statements) - 2, -1, -1):
        first, second = said.statements[at], said.statements[at + 1]
        if (
            first.condition_ids == {"ok"}
            and any(t.appliance for t in first.targets)
            and "ok" not in second.condition_ids
        ):
            continue  # "everything good, bit of scale on the exchanger"
        if first.left_out:
            continue  # "all good bar the front right, its knob's split"
        of_them_all = (
            first.denied and second.denied and not first.targets and any(t.places == ("all",) for t in second.targets)
        )
        named = not any(t.names for t in first.targets) and any(t.names for t in second.targets)
        flags = next((row for head, row, _ in chunks if head.start == second.head), [])
        apart = any(t.places == ("all",) and t.start >= first.head + first.words for t in first.targets)
        if named and apart and not flags:
            continue  # "no spark on any of them damp in the box"
        if named or of_them_all:  # "no chips, no cracks in any of them"
            first.targets = second.targets


def of_the_excepted(said: Said, left_out: Sequence[Target]) -> None:
    """ "All the taps bar the rear left, which is stiff": what is said behind is said of that one."""
    names = next((t.names for t in reversed(said.subject) if t.names), ())
    if said.statements[-1].own:  # "bar the wok that's got a crack in its crown"
        names = next((t.names for t in said.statements[-1].targets if t.names), names)
        left_out = [replace(out, names=()) for out in left_out]
    said.statements[-1].targets = [replace(out, names=out.names or names) for out in left_out]
    said.statements[-1].left_out = list(left_out)  # what follows is said of it as well


def of_the_pair(said: Said, lead: Sequence[Mention]) -> None:
    """ "The front ones are all fine except the right one's got a weak spark": it is the right one of the two."""
    pair = next((t.places for t in targets(lead) if len(t.places or ()) == 2), None)
    for out in said.statements:
        out.targets = [replace(t, places=(one,)) if (one := one_of(pair, t.places)) else t for t in out.targets]
        out.left_out = [replace(t, places=(one,)) if (one := one_of(pair, t.places)) else t for t in out.left_out]
    said.excepted = [replace(t, places=(one,)) if (one := one_of(pair, t.places)) else t for t in said.excepted]


def at_the_excepted(said: Said) -> None:
    """ "All the rings are good except the rear left's got a chipped cap": the cap is where what is excepted is."""
    wide = {t.places for t in said.subject if t.places}
    for before, out in pairwise(said.statements):
        there = [t.places for t in before.left_out if t.places and not t.names and t.end <= out.head]
        if len(there) == 1 and out.own and not out.left_out:
            out.targets = [replace(t, places=there[0]) if t.names and t.places in wide else t for t in out.targets]


def in_order(said: Said) -> None:
    """ "Front left, front right, rear left: stiff, fine, seized": as many conditions as places belong to them one by one."""
    placed = [place for target in said.subject for place in target.places or ()]
    if len(placed) != len(said.statements) or len(placed) < 2 or len({t.names for t in said.subject if t.names}) > 1:
        return
    if all(statement.condition_ids == {"ok"} for statement in said.statements):
        return  # "front left, front right, rear left all okay, all sparking, all blue"
    names = next((t for t in said.subject if t.names), said.subject[0])
    for place, statement in zip(placed, said.statements, strict=True):
        statement.targets = [replace(names, places=(place,), group=None)]
