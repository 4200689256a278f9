"""Whose part it is, where the part is not said again: "the hob's electrode is cracked, the cooker's is fine". In: mentions of a
talk. Out: the same, with the part behind its owner.

Not allowed to know: what is said of it.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.phrases.mention import Mention

_NEAR = 14  # mentions back to the part that is meant
_IS = frozenset("is are was were isnt arent wasnt werent".split())
_THAT_IS = frozenset("thats that which".split())
_WANTS = frozenset("wants needs".split())


def with_their_part(found: Sequence[Mention]) -> list[Mention]:
    """The mentions; behind "the cooker's" stands the part that was named before, where a verb of its own follows."""
    out: list[Mention] = []
    for at, mention in enumerate(found):
        out.append(mention)
        owner = mention.kind == "appliance" and mention.clitic and _has_a_verb(at, found)
        part = next((m for m in reversed(out[-_NEAR:]) if m.kind in ("component", "size")), None) if owner else None
        if part is not None and part.kind == "component":  # not "oven burner's fine, the grill's is rusty"
            out.append(replace(part, start=mention.end, end=mention.end, pause="", gap=0, clitic=False, many=False))
    return out


def _has_a_verb(at: int, found: Sequence[Mention]) -> bool:
    """Whether "is", "that's" or "needs" stands right behind, so that the "'s" before it is no verb."""
    verb = found[at + 1] if at + 1 < len(found) else None
    if verb is None or verb.gap or verb.pause:
        return False
    led = verb.kind in ("which", "pronoun") and verb.first in _THAT_IS
    return led or (verb.kind in ("be", "not") and verb.first in _IS) or (verb.kind == "need" and verb.first in _WANTS)
