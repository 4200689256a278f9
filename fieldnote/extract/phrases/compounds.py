"""Names side by side: two that are one ("the gas valve inlet union"), two that are parted though nobody paused.

In: mentions of a talk. Out: the same, joined or parted.

Not allowed to know: what is said of them.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.tokens import Token
from fieldnote.trade.spoken import STRANGER

_LEAD = 6  # mentions from a part back to the verb whose object it is
_TYPES = frozenset("balanced open fanned natural".split())
_LABELS = frozenset("label labels tag sticker".split())
_BENDS = ("elbow", "bend", "joint")
_LIGHTS = Mention("condition", 0, 0, (Sense("condition", "ok"),), last="lights", first="lights")
_TURNED = ("knob", "dial")
_TURNED_BY = frozenset({"gas-tap", "isolation-valve", "thermostat"})
_OLD_OR_NEW = frozenset("new old existing original".split())
_LEADING = frozenset({"det", "place", "group", "size"})
_OF_A_BURNER = frozenset({"burner-cap", "burner-ring", "burner-head", "injector"})
_HAD = frozenset("had got have".split())
_OUT = frozenset("out off apart down".split())
# what a union is screwed to; a flue's joint, a burner's and a pump's are read with what is said of them
_SCREWED_TO = frozenset({"gas-valve", "regulator", "emergency-control", "isolation-valve", "meter"})


def parted(found: Sequence[Mention], tokens: Sequence[Token]) -> list[Mention]:
    """The mentions; what follows "new thermocouple" or "had the coals out" begins anew, as behind a pause."""
    out = list(found)
    for at in range(2, len(out)):
        thing, after = out[at - 1], out[at]
        led = thing.kind == "det" and out[at - 2].kind == "prep" and tokens[after.start - 1].norm in _OLD_OR_NEW
        if led and after.kind == "component" and after.gap == 1:
            after = out[at] = replace(after, gap=0)  # "the union on the new meter was leaking"
        if after.kind == "component" and thing.kind == "det" and at > 2:
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
    for at, mention in enumerate(found):
        before = out[-1] if out else None
        if _is_a_type(at, found) or _where_on_the_flue(mention, out):
            continue
        if _label_of_a_bond(mention, out):
            mention = replace(mention, senses=tuple(sense._replace(id=STRANGER) for sense in mention.senses))
        if _it_lights(at, found):
            name = replace(mention, end=mention.end - 1, last="pilot")
            out += [name, replace(_LIGHTS, start=mention.end - 1, end=mention.end)]
        elif before is not None and _where_they_are(mention, out):
            out[-1] = replace(before, end=mention.end)
        elif before is not None and _says_which(before, mention):
            out[-1] = replace(mention, start=before.start, first=before.first, gap=before.gap, pause=before.pause)
        else:
            out.append(mention)
    return out


def _label_of_a_bond(mention: Mention, out: Sequence[Mention]) -> bool:
    """ "Bonding 10 mm, label missing": the label that hangs on it is no data plate."""
    named = [m.id for m in out[-4:] if m.kind == "component"]
    label = mention.kind == "component" and mention.id == "data-plate" and mention.first in _LABELS
    return label and mention.pause != "." and named[-1:] in (["bonding"], ["emergency-control"])


def _is_a_type(at: int, found: Sequence[Mention]) -> bool:
    """ "Fire in bedroom two: balanced flue, terminal guard bent": what kind of fire it is."""
    mention, after = found[at], found[at + 1] if at + 1 < len(found) else None
    kind = mention.kind == "component" and mention.id == "flue" and mention.first in _TYPES and mention.last == "flue"
    return kind and after is not None and after.kind == "component" and bool(after.pause) and not after.gap


def _where_on_the_flue(mention: Mention, out: Sequence[Mention]) -> bool:
    """ "The flue seal at the first elbow's perished": an elbow that says where, for a flue has its own."""
    row = [m for m in out[-3:] if m.kind != "det"][-2:]
    led = mention.kind == "component" and mention.id == "joint" and mention.last.startswith(_BENDS) and len(row) == 2
    return led and row[0].id == "flue" and row[1].kind == "prep" and not (row[1].pause or mention.pause or row[1].gap)


def _where_they_are(mention: Mention, out: Sequence[Mention]) -> bool:
    """ "The caps on all four burners": the burners say where, and nothing is said of them."""
    if mention.id != "burner" or mention.last != "burners" or mention.gap or mention.pause or len(out) < 2:
        return False
    group = out[-1]
    part = out[-2] if group.led else out[-3] if len(out) > 2 and out[-2].kind == "prep" and not group.gap else None
    named = part is not None and part.kind == "component" and part.strong and part.id != "burner"
    return named and group.kind == "group" and not group.pause


def _it_lights(at: int, found: Sequence[Mention]) -> bool:
    """ "Pilot lights, main burner won't": the verb, and no name of several pilots."""
    mention, after = found[at], found[at + 1] if at + 1 < len(found) else None
    name = mention.kind == "component" and mention.id == "pilot" and mention.last == "lights" and not mention.clitic
    return name and (
        after is None or after.kind == "but" or (bool(after.pause) and after.kind in ("component", "appliance"))
    )


def _says_which(before: Mention, mention: Mention) -> bool:
    if not before.kind == mention.kind == "component" or mention.gap or mention.pause or before.clitic:
        return False
    if mention.id == "regulator" and before.id == "meter":
        return True  # "check the meter regulator"
    if before.first == before.last == "burner" and before.id == "burner":
        return mention.strong and mention.id in _OF_A_BURNER  # "burner cap", "burner crown", "burner jet"
    if mention.id == "knob" and mention.first.startswith(_TURNED):
        return before.id in _TURNED_BY  # "the control tap knob"
    return mention.id == "joint" and mention.strong and before.id in _SCREWED_TO and not before.many
