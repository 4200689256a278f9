"""Names side by side: two that are one ("the gas valve inlet union"), two that are parted though nobody paused.

In: mentions of a talk. Out: the same, joined or parted.

Not allowed to know: what is said of them.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.words.tokens import Token

_LEAD = 6  # mentions from a part back to the verb whose object it is
_TURNED = ("knob", "dial")
_TURNED_BY = frozenset({"gas-tap", "isolation-valve", "thermostat"})
_LEADING = frozenset({"det", "place", "group", "size"})
_HAD = frozenset("had got have".split())
_OUT = frozenset("out off apart down".split())
# what a union is screwed to; a flue's joint, a burner's and a pump's are read with what is said of them
_SCREWED_TO = frozenset({"gas-valve", "regulator", "emergency-control", "isolation-valve", "meter"})


def parted(found: Sequence[Mention], tokens: Sequence[Token]) -> list[Mention]:
    """The mentions; what follows "new thermocouple" or "had the coals out" begins anew, as behind a pause."""
    out = list(found)
    for at in range(2, len(out)):
        thing, after = out[at - 1], out[at]
        led = out[at - 1] if after.kind == "component" else None
        if led is not None and led.kind == "det" and at > 2:
            thing = out[at - 2]
        if thing.kind != "component" or after.kind not in ("component", "appliance") or after.pause:
            continue
        verb = next(
            (m for m in reversed(out[max(0, at - _LEAD) : at]) if m.start < thing.start and m.kind not in _LEADING),
            None,
        )
        if verb is None:
            continue
        if verb.kind == "work" and verb.first == verb.last == "new" and thing is out[at - 1] and verb is out[at - 2]:
            out[at] = replace(after, pause=",")
        elif _had_out(verb, thing, tokens) and thing.end < out[at - 1].end <= after.end:
            first = at - 1 if out[at - 1].kind == "det" else at
            out[first] = replace(out[first], pause=".")
    return out


def _had_out(verb: Mention, thing: Mention, tokens: Sequence[Token]) -> bool:
    """Whether a part was taken out of the way: "had all the coals out"."""
    had = verb.kind == "be" and verb.first in _HAD and thing.start - verb.end <= _LEAD
    return had and thing.end < len(tokens) and tokens[thing.end].norm in _OUT and not tokens[thing.end - 1].pause


def one_name(found: Sequence[Mention]) -> list[Mention]:
    """The mentions; a valve right before its union only says which union it is."""
    out: list[Mention] = []
    for mention in found:
        before = out[-1] if out else None
        if before is not None and _says_which(before, mention):
            out[-1] = replace(mention, start=before.start, first=before.first, gap=before.gap, pause=before.pause)
        else:
            out.append(mention)
    return out


def _says_which(before: Mention, mention: Mention) -> bool:
    if not before.kind == mention.kind == "component" or mention.gap or mention.pause or before.clitic:
        return False
    if mention.id == "knob" and mention.first.startswith(_TURNED):
        return before.id in _TURNED_BY  # "the control tap knob"
    return mention.id == "joint" and mention.strong and before.id in _SCREWED_TO and not before.many
