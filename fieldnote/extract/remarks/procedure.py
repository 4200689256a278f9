"""The record of an unsafe situation, a smell of gas, the gas and the meter. In: the draft. Out: `Draft.procedure`,
`Draft.smell_of_gas`, `Draft.gas`, `Draft.meter`.

A smell of gas counts when it is said to be there now, by the engineer: then the emergency steps come before anything else.
Not allowed to know: which steps a situation calls for.
"""

import functools
import re

from fieldnote.extract.draft import Draft
from fieldnote.extract.remarks.announcements import Announcement, standing
from fieldnote.extract.words.matcher import Phrases
from fieldnote.records import ProcedureStep

SMELL = "smell-of-gas"
CALLS = frozenset(("emergency-service-called", "supplier-called"))
REFERENCE = (
    "reference",
    "ref",
    "reference number",
    "ref number",
    "incident number",
    "job number",
    "call number",
    "number",
)
LONGEST_REFERENCE = 12
GASES = {
    "natural": ["natural gas", "mains gas", "on natural", "nat gas", "on ng", "on mains gas", "town gas"],
    "propane": ["propane", "on propane", "red bottle", "red bottles", "red cylinder", "red cylinders"],
    "butane": ["butane", "on butane", "blue bottle", "blue bottles", "blue cylinder"],
}
METERS = {
    "U6": ["u6", "u six", "you six", "u 6"], "G4": ["g4", "g four", "gee four", "g 4"], "E6": ["e6", "e six", "e sicks", "e 6"],
    "U16": ["u16", "u sixteen", "u 16"], "G10": ["g10", "g ten", "g 10"],
}  # fmt: skip


def run(draft: Draft) -> None:
    """Find the steps in order, each once; the first smell that stands; gas and meter when they were said."""
    said = standing(draft, "procedure")
    draft.smell_of_gas = next((draft.evidence(s.start, s.end) for s in said if s.kind == SMELL), None)
    seen: set[str] = set()
    draft.procedure = []
    for one in said:
        if one.kind != SMELL and one.kind not in seen:
            seen.add(one.kind)
            draft.procedure.append(_step(draft, one))
    draft.gas, draft.meter = _only(draft, GASES), _only(draft, METERS)


def _step(draft: Draft, said: Announcement) -> ProcedureStep:
    reference = _reference(draft, said.end) if said.kind in CALLS else None
    return ProcedureStep(said.kind, reference, draft.evidence(said.start, said.end))


def _reference(draft: Draft, at: int) -> str | None:
    """The reference said soon after a call: the words behind "reference" as they were said, up to the next pause."""
    ahead = range(at, min(at + LONGEST_REFERENCE, len(draft.tokens)))
    start = next((hit.end for i in ahead if (hit := _named().at(draft.tokens, i))), None)
    if start is None:
        return None
    while start < len(draft.tokens) and draft.tokens[start].norm in ("is", "was", "number", "of"):
        start += 1
    end = start
    while end < len(draft.tokens) and end < start + LONGEST_REFERENCE and _is_code(draft.tokens[end].norm):
        end += 1
        if draft.tokens[end - 1].pause:
            break
    return draft.evidence(start, end).text if end > start else None


def _is_code(word: str) -> bool:
    from fieldnote.extract.figures.numbers import numeral_at

    return len(word) == 1 or re.search(r"\d", word) is not None or numeral_at([word, "0"], 0) is not None


@functools.cache
def _named() -> Phrases[str]:
    named: Phrases[str] = Phrases()
    for phrase in REFERENCE:
        named.add(phrase, "")
    return named


@functools.cache
def _phrases(names: tuple[tuple[str, tuple[str, ...]], ...]) -> Phrases[str]:
    phrases: Phrases[str] = Phrases()
    for kind, words in names:
        for phrase in words:
            phrases.add(phrase, kind)
    return phrases


def _only(draft: Draft, names: dict[str, list[str]]) -> str | None:
    """The one kind that was said; None where none or more than one was."""
    phrases = _phrases(tuple((kind, tuple(words)) for kind, words in names.items()))
    kinds = {hit.values[0] for hit in phrases.find(draft.tokens)}
    return kinds.pop() if len(kinds) == 1 else None
