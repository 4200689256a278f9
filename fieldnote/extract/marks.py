"""Marks that nobody is sure of: a recogniser writes one where a voice pauses. In: tokens, and where such marks stand. Out: the
same tokens, without the marks over which the talk reads better.

Both ways are tried on the words around a mark: what a stop has parted from its other half hangs loose on either side of it, a
part of which nothing is said, a fault of which no part is known. Not allowed to know: sound, facts.
"""

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from fieldnote.extract.clauses.clause import Clause
from fieldnote.extract.clauses.cutting import split
from fieldnote.extract.draft import Draft
from fieldnote.extract.figures import readings
from fieldnote.extract.phrases import mentions
from fieldnote.extract.phrases.mention import NOMINAL
from fieldnote.extract.words.tokens import Token

REACH = 25  # words on either side of a mark that are read both ways
STOPS = 2  # other marks up to which they are read
BETTER = 1.0  # by how much less must hang loose without a mark
# what hangs loose: a part, a place, a cue on its own, a fault without a part
_PART, _PLACE, _CUE, _BARE = 1.0, 0.5, 0.6, 0.6
_WANTING = frozenset(  # words that nobody ends on
    "a an and at because but every from if into my of onto or our than the their very wants when with your needs".split()
)
_VERBS = frozenset("is are was were has have had needs wants isnt arent wasnt werent hasnt havent wont".split())
_DOES = frozenset("keeps keep looks feels seems doesnt wont goes gets comes does stays".split())
_OF_A_DEGREE = frozenset("bit touch little tad".split())  # behind "a"
_DEGREES = _OF_A_DEGREE | frozenset(
    "slightly very really well quite just still all half badly totally not hardly barely".split()
)
_SCALES = frozenset({"hundred", "thousand"})
_TENS = ("teen", "ty", "ten", "eleven", "twelve")  # how the words from ten on end
_THIRD = re.compile(r"[^s]s$")  # "sticks", "leaks"
_TAKING_BACK = frozenset("no sorry".split())  # words with which a correction begins
_POINTING = frozenset("that thats this".split())  # "no. That was next door" takes nothing back by itself
_SAYING = frozenset(
    "condition work cured carried-out outcome reading same no-after need decline does still hedge-after general idle past "
    "normal confirm correct take-back".split()
)
_CUES = frozenset("no not hedge report be if when deny".split())
_SMALL = frozenset("det prep and or but mark now pronoun them which".split())
_ANSWERS = frozenset({"yes", "no-answer", "none-answer"})
_OF_IT = NOMINAL | {"pronoun", "them", "one", "same"}


def run(draft: Draft) -> None:
    """The step of the pipeline: takes marks away, and moves those that stand a word too late."""
    tokens = draft.tokens
    for at in [at for at, token in enumerate(tokens[:-1]) if token.pause and token.end in draft.soft]:
        first, last = _around(tokens, at)
        whole = tokens[first:last]
        if not whole[-1].pause:
            whole[-1] = replace(whole[-1], pause=".")
        if _begins_a_correction(whole, at - first, draft):
            tokens[at - 1], tokens[at] = replace(tokens[at - 1], pause="."), replace(tokens[at], pause="")
        elif _a_number_goes_on(tokens, at) or _parts(whole, at - first, draft):
            tokens[at] = replace(tokens[at], pause="")


def _begins_a_correction(tokens: Sequence[Token], at: int, draft: Draft) -> bool:
    """ "Tap's stiff no. The tap's fine": the voice pauses behind the word that takes back what was said."""
    if tokens[at].norm not in _TAKING_BACK or at < 2 or tokens[at - 1].pause or tokens[at + 1].norm in _POINTING:
        return False
    before = _clauses(tokens[:at], draft)
    return bool(before) and before[-1].named and before[-1].said and before[-1].mentions[-1].end == at


def _a_number_goes_on(tokens: Sequence[Token], at: int) -> bool:
    """ "A hundred, and eighty five": the voice pauses within a number."""
    words = [token.norm for token in tokens[at : at + 3]]
    return words[0] in _SCALES and words[1:2] == ["and"] and words[-1].endswith(_TENS) and not tokens[at + 1].pause


def _parts(tokens: list[Token], at: int, draft: Draft) -> bool:
    """Whether a mark parts what belongs together: something hangs loose on either side, and less without the mark."""
    marked = _clauses(tokens, draft)
    if tokens[at + 1].norm in _VERBS and _name_at(marked, at):
        return True
    if _loose_part(marked, at) and (_verb_at(marked, tokens, at + 1) or _so_at(marked, tokens, at + 1)):
        return True
    if not _names(marked, at) and _names(_clauses(_without(tokens, at), draft), at, whole=True):
        return True
    ending = tokens[at].norm in _WANTING
    if not (ending or (_loose_at(marked, at, -1) and _loose_at(marked, at, 1))):
        return False
    less = _loose(marked) - _loose(_clauses(_without(tokens, at), draft))
    return less >= 0 if ending else less >= BETTER


def _without(tokens: Sequence[Token], at: int) -> list[Token]:
    """The words without a mark."""
    return [*tokens[:at], replace(tokens[at], pause=""), *tokens[at + 1 :]]


def _names(clauses: Sequence[Clause], at: int, *, whole: bool = False) -> bool:
    """Whether a part is named by a word right before a mark or right behind it, or by both together: "either of them pan. Stands
    are good" parts the words of one name."""
    spans = [(m.start, m.end) for clause in clauses for m in clause.mentions if m.kind == "component"]
    if whole:
        return any(start <= at and at + 1 < end for start, end in spans)
    return any(start <= at < end or start <= at + 1 < end for start, end in spans)


def _name_at(clauses: Sequence[Clause], at: int) -> bool:
    """Whether a part is named right before a mark ("put a new one on, the shaft itself, is sound")."""
    return any(
        mention.kind == "component" and mention.end == at + 1 for clause in clauses for mention in clause.mentions
    )


def _loose_part(clauses: Sequence[Clause], at: int) -> bool:
    """Whether a clause of which a part is all that is told ends right before a mark, with the part's name."""
    row = [n for n, clause in enumerate(clauses) if clause.mentions[0].start <= at]
    if not row or not _name_at(clauses, at):
        return False
    return _hangs(clauses[row[-1]], clauses[row[-1] - 1] if row[-1] else None) == _PART


def _verb_at(clauses: Sequence[Clause], tokens: Sequence[Token], at: int) -> bool:
    """Whether a word begins what a part does ("keeps blowing off", "sticks when it's hot"): a state that is told by a verb, and
    no name ("hinges are tight")."""
    if tokens[at].norm in _DOES:
        return True
    kinds = {mention.kind for clause in clauses for mention in clause.mentions if mention.start == at}
    named = tokens[at].pause or tokens[at + 1].norm in _VERBS
    return kinds == {"condition"} and not named and bool(_THIRD.search(tokens[at].norm))


def _so_at(clauses: Sequence[Clause], tokens: Sequence[Token], at: int) -> bool:
    """Whether a word begins how much so something is, with no part in front ("a bit noisy", "not lighting"): the "'s" before
    it was swallowed."""
    if tokens[at].pause:
        return False
    at += tokens[at].norm == "a" and tokens[at + 1].norm in _OF_A_DEGREE
    if tokens[at].norm not in _DEGREES or tokens[at].pause or tokens[at + 1].norm == "of":
        return False
    row = [mention for clause in clauses for mention in clause.mentions if at <= mention.start <= at + 1]
    named = next((mention.kind for mention in row if mention.kind in ("condition", "component", "place")), "")
    return named == "condition"


def _loose_at(clauses: Sequence[Clause], at: int, side: int) -> bool:
    """Whether the clause right before or behind a mark hangs loose."""
    row = [n for n, clause in enumerate(clauses) if (clause.mentions[0].start > at) == (side > 0)]
    n = row[0 if side > 0 else -1] if row else None
    return n is not None and _hangs(clauses[n], clauses[n - 1] if n else None) > 0


def _around(tokens: Sequence[Token], at: int) -> tuple[int, int]:
    """The words around a mark, as far as STOPS other marks."""
    first, left = at, STOPS
    while first > 0 and at - first < REACH and (left := left - bool(tokens[first - 1].pause)):
        first -= 1
    last, left = at + 1, STOPS
    while last < len(tokens) and last - at < REACH and left:
        left -= bool(tokens[last].pause)
        last += 1
    return first, last


def _clauses(tokens: Sequence[Token], draft: Draft) -> list[Clause]:
    """The clauses of words that are read on their own."""
    part = Draft(draft.text, list(tokens), appliance=draft.appliance, soft=draft.soft)
    readings.measure(part)
    mentions.run(part)
    return split(part.mentions)


def _loose(clauses: Sequence[Clause]) -> float:
    """How much hangs loose."""
    return sum(_hangs(clause, before) for before, clause in pairwise([None, *clauses]) if clause)


def _hangs(clause: Clause, before: Clause | None) -> float:
    """How much of a clause hangs loose."""
    kinds = clause.kinds()
    if any(mention.id in _ANSWERS for mention in clause.mentions):
        return 0.0
    if not kinds & _SAYING:
        if any(mention.kind == "component" and mention.strong for mention in clause.mentions):
            return _PART
        if kinds & {"place", "group", "size"}:
            return _PLACE
        return _CUE if kinds & _CUES and kinds <= _CUES | _SMALL else 0.0
    bare = any(mention.kind in ("condition", "work") and not mention.fit for mention in clause.mentions)
    told = before is not None and before.named and before.said  # "cap's cracked. Wants a new one."
    return _BARE if bare and not (kinds & _OF_IT or told) else 0.0
