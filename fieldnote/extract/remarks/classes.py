"""Danger classes said out loud. In: the draft. Out: `Draft.declared`.

A class counts only when the engineer declares it of this appliance on this visit. Nothing is ever added that was not said.
Not allowed to know: which findings would call for which class.
"""

from fieldnote.extract.draft import Draft
from fieldnote.extract.remarks.announcements import Announcement, standing, wordings
from fieldnote.records import Declared, Why

NEAR = 16


def run(draft: Draft) -> None:
    """Find the classes that stand; a class put right by the next one goes, a class said again is one."""
    kept: list[Announcement] = []
    for said in standing(draft, "classes"):
        if kept and _corrected(draft, kept[-1], said):
            kept[-1] = said
        elif not any(_same(draft, earlier, said) for earlier in kept):
            kept.append(said)
    draft.declared = [_declared(draft, said) for said in kept]


def _corrected(draft: Draft, last: Announcement, said: Announcement) -> bool:
    """Whether words between two different classes take the first one back."""
    if last.kind == said.kind or said.start - last.end > NEAR:
        return False
    corrections = wordings("classes").corrections
    return any(corrections.at(draft.tokens, at) for at in range(last.end, said.start))


def _same(draft: Draft, earlier: Announcement, said: Announcement) -> bool:
    here, there = draft.context(said.start).appliance, draft.context(earlier.start).appliance
    return earlier.kind == said.kind and (here == there or None in (here, there))


def _declared(draft: Draft, said: Announcement) -> Declared:
    evidence = draft.evidence(said.start, said.end)
    return Declared(
        said.kind, draft.context(said.start).appliance, evidence, (Why("class_", said.kind, said.id, evidence),)
    )
