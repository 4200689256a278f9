"""What is said before its parts: "weeping, the valve was", "in order: the hose, the bayonet and the chain". In: mentions of a
talk. Out: the same; a condition knows where its parts end, a list of parts is joined, "it isn't" behind a condition denies it.

Not allowed to know: which conditions a part can have.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.phrases.mention import NOMINAL, Mention
from fieldnote.extract.words.lexicon import Sense

_IT = frozenset("it they he she him".split())
_BE = frozenset("is are was were".split())
_DENIED = frozenset("isnt arent wasnt werent not".split())
_THAT = frozenset("thats that which whichs".split())
_ITS = frozenset("its thats".split())
_DENYING = frozenset({"not", "deny", "correct"})
_OBJECTS = frozenset("it that him her them".split())  # not "it's", "that's"
_OF_A_PART = frozenset({"det", "place", "size", "appliance"})  # before its name
# between a condition and a list ("... and they are the hose")
_LEADS_ON = frozenset("prep be and them pronoun".split())
_TOLD = frozenset("be not condition need work reading cured same outcome no which group".split())
_LONGEST = 7  # mentions from a condition to the verb behind its part
# behind these a condition has no part waiting for it
_SAID = frozenset("condition work now cured reading idle mark and but past outcome prep".split())
# what may follow the verb: nothing that it could be said with
_NEXT = frozenset("and but mark det place component size group prep hedge next-burner next-appliance work".split())
_NEAR = frozenset({"near", "beside", "against", "over"})
_DENIAL = Sense("no-after", "no-after")
_JOINT = Sense("and", "item")


def marked(found: Sequence[Mention]) -> list[Mention]:
    """The mentions, with what is said before its parts marked."""
    found = _not_this_but_that(_not_here_but_there(found))
    out: list[Mention] = []
    joints: set[int] = set()
    for at, mention in enumerate(found):
        if at in joints:
            out.append(Mention("and", mention.start, mention.start, (_JOINT,)))
        if mention.kind == "condition" and not mention.until and _free(at, found):
            items = _listed(at, found) if mention.fit or _heads(at, found) else []
            joints |= set(items[1:])
            until = found[_name(items[-1], found)].end if items else _verb(at, found) or _alone(at, found)
            mention = replace(mention, until=until)
        if mention.kind == "hedge" and any(m.until == mention.start for m in out[-_LONGEST:]):
            mention = replace(mention, kind="hedge-after")  # "worn, the bearings are, I think"
        out.append(mention)
        _denied_behind(out, found[at + 1 : at + 3])
        if out[-1].kind == "not" and any(m.until == mention.end for m in out[-_LONGEST:]):
            out[-1] = replace(mention, kind="no-after", senses=(_DENIAL,), other=())  # "cracked the cap isn't"
    return out


def told_in_order(found: list[Mention]) -> None:
    """ "Front left and back right respectively cracked cap and blocked jet": read as if it stood behind what is told."""
    for at, mention in enumerate(found):
        if mention.kind != "in-order" or not at or found[at - 1].kind != "place":
            continue
        end = at + 1
        while [m.kind for m in found[end : end + 2]] == ["condition", "component"]:
            end += 2 + (found[end + 2 : end + 3] != [] and found[end + 2].kind == "and")
        last = found[end - 1]
        if end > at + len(("cracked", "cap", "and")) and last.kind == "component":
            found[at:end] = [*found[at + 1 : end], replace(mention, start=last.end, end=last.end, gap=0)]


def _not_here_but_there(found: Sequence[Mention]) -> list[Mention]:
    """ "Not the front left but the back left won't light", "it's not its jet, it's the electrode that's cracked": what is denied
    before what is meant is not spoken of."""
    out: list[Mention] = []
    at = 0
    while at < len(found):
        meant = _meant_instead(at, found) if found[at].kind in _DENYING else at
        at = meant if meant > at else at
        out.append(found[at])
        at += 1
    return out


def _meant_instead(at: int, found: Sequence[Mention]) -> int:
    """Where what is meant begins, behind a denial and what is denied; the denial's own place when nothing is."""
    row = [(i, m) for i, m in enumerate(found[at : at + _LONGEST + 2], at) if m.kind != "det"][:6]
    kinds, close = [m.kind for _, m in row], not any(m.gap or m.pause == "." for _, m in row[1:])
    denied = row[0][1].last == "not" or (row[0][1].kind == "correct" and row[0][1].last in ("wasnt", "isnt"))
    if len(row) < 4 or not close or not denied:
        return at
    cleft = kinds[1:5] == ["place", "pronoun", "be", "place"] and row[2][1].first == "it"
    if cleft and all(m.id != row[1][1].id for m in found[:at]):
        return row[4][0]  # "it wasn't the front left, it was the front right that was stiff"
    if row[0][1].last != "not" or row[1][1].id == row[3][1].id:
        return at
    if kinds[1] == kinds[3] and kinds[1] in ("place", "component") and kinds[2] == "but" and row[2][1].first == "but":
        return row[2][0] + 1
    instead = kinds[1:5] == ["component", "pronoun", "component", "pronoun"] and row[2][1].first in _ITS
    return row[2][0] if instead and row[4][1].first in _THAT and kinds[5:] == ["condition"] else at


def _not_this_but_that(found: Sequence[Mention]) -> list[Mention]:
    """ "It's not the tap that's loose, it's the knob": what is denied of one part is said of the other."""
    kinds = ["component", "pronoun", "condition", "pronoun", "component"]
    turned: dict[int, list[Mention]] = {}  # what stands now for the mention at a place
    for at, first in enumerate(found):
        row = [(i, m) for i, m in enumerate(found[at : at + _LONGEST + 2], at) if m.kind != "det"][:6]
        denies = first.kind == "not" or (first.kind == "correct" and first.last in _DENIED)
        if len(row) > 2 and row[2][1].kind == "condition" and row[2][1].gap == 1:
            that = replace(row[2][1], kind="pronoun", first="that", gap=0)
            row = [*row[:2], (row[2][0], that), (row[2][0], replace(row[2][1], gap=0)), *row[3:]][
                :6
            ]  # "the fan what's noisy"
        if not denies or [m.kind for _, m in row[1:]] != kinds:
            continue
        _, denied, that, fault, its, meant = (m for _, m in row)
        # "that's cracked there, it's the crown"
        close = not any(m.gap > (m is its) or m.pause == "." for _, m in row[1:])
        if close and that.first in _THAT and its.first in _ITS and denied.id != meant.id:
            turned |= {row[i][0]: [] for i in (0, 1, 2, 4)} | {row[3][0]: [replace(fault, until=meant.end)]}
    return [m for at, mention in enumerate(found) for m in turned.get(at, [mention])]


def _heads(at: int, found: Sequence[Mention]) -> bool:
    """ "Stiff: front right tap, rear right tap": whether a fault opens a sentence and is set apart from what follows."""
    first = at == 0 or found[at].pause == "."
    return first and at + 1 < len(found) and found[at + 1].pause == "," and not found[at + 1].gap


def _alone(at: int, found: Sequence[Mention]) -> int:
    """ "In fine fettle: front right burner.": where the one part ends that a sentence names behind what it says; 0 where none."""
    start = at + 1
    if start < len(found) and found[start].kind == "pronoun" and found[start].pause != ".":
        start += 1  # "gone brown, no worse than that: rear right crown"
    if found[at].first in _ITS:
        return 0  # "that's right, the hose"
    if (at and found[at].pause != ".") or start >= len(found) or found[start].pause != "," or found[start].gap:
        return 0
    name = _name(start, found)
    after = found[name + 1] if name and name + 1 < len(found) else None
    over = after is None or after.pause == "." or (after.pause == "," and after.kind == "work" and not after.gap)
    return found[name].end if name and over else 0


def _free(at: int, found: Sequence[Mention]) -> bool:
    """Whether no part is waiting for this condition."""
    before = found[at - 1] if at else None
    if before is None or found[at].pause == ".":
        return True
    if before.kind in ("pronoun", "them"):
        return before.first in _OBJECTS
    if before.kind == "be" and before.gap == 1 and (at < 2 or found[at - 2].kind not in NOMINAL):
        return True  # "to begin with what is right: the hose, the chain"
    if before.kind == "det" and found[at].fit and at + 1 < len(found) and found[at + 1].first == "first":
        return True  # "the sound items first, and they are the hose and the chain"
    return before.kind in _SAID or (before.kind == "place" and "-" in before.id)


def _verb(at: int, found: Sequence[Mention]) -> int:
    """Where the form of "be" ends that stands behind a part and has nothing said with it; 0 when there is none."""
    named = False
    for i in range(at + 1, min(len(found), at + _LONGEST)):
        mention = found[i]
        if mention.gap > 1 or (mention.pause and i > at + 1) or mention.pause == ".":
            return 0
        if mention.kind in ("be", "not"):
            alone = mention.first == mention.last and mention.first in _BE | _DENIED
            return mention.end if named and alone and _over(found[i + 1 : i + 3]) else 0
        if mention.kind not in _OF_A_PART | {"prep", "component", "one"} or (mention.kind == "prep" and not named):
            return 0
        named = named or mention.kind in ("component", "one")
    return 0


def _over(after: Sequence[Mention]) -> bool:
    """Whether nothing follows that is said with a verb."""
    if not after or after[0].pause:
        return True
    if after[0].first in _NEAR:
        return False  # "bent, it wasn't near the burner": where it was not
    if after[0].kind == "det":
        return len(after) > 1 and after[1].kind in NOMINAL and not after[1].gap
    return after[0].kind in _NEXT and not after[0].gap and not (after[0].kind == "work" and not after[0].owned)


def _listed(at: int, found: Sequence[Mention]) -> list[int]:
    """Where the items of a list begin that follows, two at least; of the last, nothing else is said."""
    start = at + 1
    while start < len(found) and _leads_on(start, found):
        start += 1
    items: list[int] = []
    joined, i = False, start
    while i < len(found) and found[i].pause != "." and found[i].gap <= 1:
        joint = bool(items) and found[i].kind in ("and", "or")
        name = _name(i + joint, found)
        if not name:
            break
        joined = joined or joint or bool(items and found[i].pause)
        items.append(i + joint)
        i = name + 1
    if items and i < len(found) and found[i].kind in _TOLD and not found[i].pause and not found[i].owned:
        del items[-2 if found[items[-1] - 1].kind == "and" else -1 :]  # "the cap and the crown are dirty"
    return items if joined and len(items) > 1 else []


def _leads_on(at: int, found: Sequence[Mention]) -> bool:
    """Whether words between a condition and its list only lead to it: "in order on this cooker: the hose, ...", "the sound
    items first and they are the hose ..."."""
    mention = found[at]
    if mention.kind == "mark" and mention.first == mention.last == "first":
        return mention.gap <= 1
    if mention.gap:
        return False
    if mention.kind == "confirm":
        return mention.last in _BE
    whole = mention.kind == "det" and found[at + 1 : at + 2] and found[at + 1].kind == "appliance"
    here = found[at - 1 - (mention.kind == "appliance")].kind == "prep"
    return mention.kind in _LEADS_ON or (bool(whole or mention.kind == "appliance") and here)


def _name(at: int, found: Sequence[Mention]) -> int:
    """Where the name stands of a part that begins here, articles and places before it; 0 when there is none."""
    for i in range(at, min(len(found), at + 5)):
        if i > at and (found[i].pause or found[i].gap):
            return 0
        if found[i].kind == "component" or any("+burner" in sense.note for sense in found[i].senses):
            return i + _goes_on(i + 1, found)
        if found[i].kind not in _OF_A_PART:
            return 0
    return 0


def _goes_on(at: int, found: Sequence[Mention]) -> bool:
    """Whether the name before goes on ("oven door" and "seal")."""
    part = found[at] if at < len(found) else None
    return part is not None and part.kind == "component" and not (part.gap or part.pause)


def _denied_behind(out: list[Mention], after: Sequence[Mention]) -> None:
    """ "Letting by it isn't", "bent they are not": a verb without an object behind its condition denies it."""
    last = out[-1]
    if last.kind != "not" or last.last not in _DENIED or not _over(after):
        return
    if after and after[0].kind == "prep" and not last.pause:
        return  # "a bit flat, it isn't at risk": something else is denied
    start = len(out) - 1
    while start and out[start].kind in ("not", "be", "pronoun", "them"):
        start -= 1
    told, row = out[start], out[start + 1 :]
    if told.kind != "condition" or told.fit or any(m.gap > 1 or m.pause for m in row):
        return
    if row[0].first in _IT or row[0].gap == 1:  # "crack there isn't"
        no = replace(row[0], kind="no-after", senses=(_DENIAL,), other=())
        out[start + 1 :] = [replace(no, end=last.end, last=last.last)]
