"""What somebody is told to do about a fault while it is shown to him: "the blades are mucky, brush em". In: a word of work and
what stands around it. Out: whether it is done there and then. Not allowed to know: what was said before in the talk.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.phrases.spot import Spot
from fieldnote.extract.words.tokens import Token

_AT_ONCE = frozenset("clean dry tighten regrease adjust refit".split())  # a new part has to be fetched
_IT = frozenset("it that them those him her un en em".split())


def bidden(spot: Spot) -> bool:
    """Whether the base form of a verb stands right behind a fault, and "it" or "them" behind it."""
    fault = spot.behind()
    if fault is None or fault.hit.end != spot.hit.start or not any(s.id != "ok" for s in fault.senses("condition")):
        return False
    return _on_it(spot.tokens, spot.hit.start, spot.hit.end) and any(s.id in _AT_ONCE for s in spot.senses("work"))


def as_bidden(found: list[Mention], tokens: Sequence[Token]) -> None:
    """Take the verb that was found last as work that is done, where it is what somebody was told to do."""
    fault, work = found[-2:] if len(found) > 1 else (found[-1], found[-1])
    if fault.kind != "condition" or fault.fit or work.kind != "work" or work.gap or work.id not in _AT_ONCE:
        return
    if work.senses[0].note == "base" and _on_it(tokens, work.start, work.end):
        found[-1] = replace(work, owned=True)


def _on_it(tokens: Sequence[Token], start: int, end: int) -> bool:
    goes_on = start > 0 and tokens[start - 1].pause != "." and end < len(tokens)
    return goes_on and (tokens[end].norm in _IT or tokens[start + 1].norm in _IT)
