"""The names before anything is said in a clause: those of which it is said. In: these names, the clause. Out: the names meant.

Not allowed to know: what is said, facts.
"""

from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.comparing import those_meant
from fieldnote.extract.phrases.mention import NOMINAL, Mention

_OF_A_BURNER = frozenset("burner-cap burner-ring burner-head injector electrode gas-tap".split())
# names that stand for a narrower one, told behind them
_WIDE_NAMES = {"pipework": ("hose",), "joint": ("bayonet", "hose"), "appliance": ("hose",)}


def meant(lead: list[Mention], clause: Clause) -> list[Mention]:
    """Those of the names before anything is said of which it is said, an exception behind what it is taken from."""
    lead = _last_of_two(_without_had_off(_some_of_its(_up_on_it(lead)), clause), clause)
    return _in_other_words(_its_parts(_owners_piece(_exception_last(_with_its(those_meant(lead, clause))))))


def _in_other_words(lead: list[Mention]) -> list[Mention]:
    """ "The pipe at the back, the flexi, is pinched": a wide name, then the name of what is meant by it."""
    named = [at for at, m in enumerate(lead) if m.kind == "component"]
    if len(named) != len(("pipe", "flexi")) or any(m.kind in ("and", "or") for m in lead):
        return lead
    wide, narrow = (lead[at] for at in named)
    apart = lead[named[1] - 1].pause if lead[named[1] - 1].kind == "det" else narrow.pause
    meant_ = apart == "," and narrow.id in _WIDE_NAMES.get(wide.id, ()) and not wide.clitic
    return [m for m in lead if m is not wide] if meant_ else lead


def _its_parts(lead: list[Mention]) -> list[Mention]:
    """ "Front left burner: cap, ring and injector caked": a burner only heads the parts of it that follow."""
    for at, (whole, part) in enumerate(pairwise(lead)):
        named = whole.kind == part.kind == "component" and whole.last == "burner" and part.id in _OF_A_BURNER
        if named and part.pause == "," and not whole.clitic and any(m.kind == "place" for m in lead[:at]):
            return [*lead[:at], *lead[at + 1 :]]
    return lead


def _up_on_it(lead: list[Mention]) -> list[Mention]:
    """ "Up on the hotplate the far left one wasn't sparking": where the burner is, and no part of which it is said."""
    row = [m for m in lead if m.kind not in ("det", "and", "but", "mark")]
    kinds = [m.kind for m in row[:3]]
    on_it = kinds == ["prep", "component", "place"] and row[0].first == "on" and row[1].id == "hotplate"
    if not on_it or row[1].gap or row[2].led or any(m.kind == "component" for m in row[3:]):
        return lead
    return [m for m in lead if m is not row[0] and m is not row[1]]


def _last_of_two(lead: list[Mention], clause: Clause) -> list[Mention]:
    """ "There's fresh paste on every joint and the jet is in back to front": one thing is, and what stands behind a
    preposition before it belongs to words that nobody knows."""
    at = next((i for i, m in enumerate(lead) if m.kind == "and"), None)
    if at is None or not any(m.kind == "component" for m in lead[at + 1 :]):
        return lead
    first, part = lead[:at], next(m for m in reversed(lead) if m.kind == "component")
    led = next((m for m in first if m.kind in NOMINAL or m.kind == "prep"), None)
    strange = led is not None and (led.gap > 1 or (led.kind == "prep" and led.gap > 0))
    index = next((i for i, m in enumerate(clause.mentions) if m is part), len(clause.mentions))
    next_ = clause.mentions[index + 1 : index + 2]
    one = part.kind == "component" and not part.plural
    one = one and (part.clitic or (bool(next_) and next_[0].kind == "be" and next_[0].first in ("is", "was", "has")))
    named = any(m.kind == "component" for m in first)
    return lead[at + 1 :] if strange and one and named else lead


def _with_its(lead: list[Mention]) -> list[Mention]:
    """ "The meter is a G4 with the bond missing": what is said behind "with" is said of the part that it leads to."""
    at = next((i for i, m in enumerate(lead) if m.kind == "prep" and m.first == "with"), None)
    if at is None or [m.kind for m in lead[at + 1 :]] != ["det", "component"]:
        return lead
    whole, part = [m for m in lead[:at] if m.kind == "component"], lead[-1]
    named = bool(whole) and part.strong and not (part.gap or lead[-2].gap or part.pause)
    if not named or any(part.id == m.id for m in whole):
        return lead
    return [*(m for m in lead[:at] if m.kind in ("place", "size", "group", "appliance")), part]


def _owners_piece(lead: list[Mention]) -> list[Mention]:
    """ "The lid's hinge pin had walked out": a piece behind its owner, which tells whose it is."""
    for at, (owner, piece) in enumerate(pairwise(lead)):
        parts = owner.kind == piece.kind == "component" and owner.clitic and not (piece.gap or piece.pause)
        both_ = {sense.id for sense in owner.senses} & {sense.id for sense in piece.senses}
        if parts and both_ and len({sense.id for sense in piece.senses}) > 1:
            senses = tuple(sense for sense in piece.senses if sense.id in both_)
            return [*lead[:at], replace(piece, senses=senses, start=owner.start), *lead[at + 2 :]]
    return lead


def _some_of_its(lead: list[Mention]) -> list[Mention]:
    """ "The fire itself, two of the coals are missing": the whole only heads what is told of some of its parts."""
    for at, (whole, of, _, part) in enumerate(zip(lead, lead[1:], lead[2:], lead[3:], strict=False)):
        kinds = [m.kind for m in lead[at : at + 4]]
        headed = kinds == ["component", "prep", "det", "component"] and whole.id == "appliance" != part.id
        if headed and of.first == "of" and of.gap == 1:
            return lead[at + 3 :]
    return lead


def _without_had_off(lead: list[Mention], clause: Clause) -> list[Mention]:
    """ "I had the knobs off and the switch was soaking": what was only had off to get at the part that is named behind, or
    before ("the jet, I saw when I had the cap off, is blocked")."""
    row = [m for m in clause.mentions if m.kind != "det"]
    for had, part, off in zip(row, row[1:], row[2:], strict=False):
        kinds = [m.kind for m in (had, part, off)]
        taken = kinds == ["be", "component", "prep"] and had.first == "had" and off.first in ("off", "out", "up")
        before = [m for m in lead if m.end <= had.start]
        aside = taken and had.gap > 1 and not (off.pause or off.gap) and lead[-1:] == [off]
        if aside and any(m.kind == "component" and m.id != part.id for m in before):
            return before
    for had, part, off, then in zip(row, row[1:], row[2:], row[3:], strict=False):
        kinds = [m.kind for m in (had, part, off, then)]
        taken = kinds == ["be", "component", "prep", "and"] and had.first == "had" and off.first in ("off", "out")
        behind = [m for m in lead if m.start > then.start]
        if taken and not (off.pause or off.gap) and any(m.kind == "component" for m in behind):
            return behind
    return lead


def _exception_last(lead: list[Mention]) -> list[Mention]:
    """ "Apart from the front right, all the caps are fine": an exception said first is put behind what it is taken from."""
    bar = next((at for at, m in enumerate(lead) if m.kind not in ("and", "but", "mark")), len(lead))
    place = bar + 1 + ([m.kind for m in lead[bar + 1 : bar + 2]] == ["det"])
    if [m.kind for m in (*lead[bar : bar + 1], *lead[place : place + 1])] != ["except", "place"]:
        return lead
    rest = next(
        (at for at, m in enumerate(lead[place + 1 :], place + 1) if m.kind not in ("place", "and") or m.id == "all"), 0
    )
    named = rest and any(m.kind == "component" for m in lead[rest:]) and lead[rest].kind in ("det", "place", "group")
    return [*lead[:bar], *lead[rest:], *lead[bar:rest]] if named else lead
