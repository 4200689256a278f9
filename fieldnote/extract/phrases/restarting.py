"""What is said twice, begun anew, or asked for agreement only: "the front, the front left cap", "it's, it's", "stiff, isn't
it". In: mentions of a talk. Out: the same, each thing said once.

Not allowed to know: what is said of what.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

from fieldnote.extract.phrases.mention import Mention

_FILLING = frozenset({"det", "mark"})  # what may stand between a place and the same place begun anew
_VERBS = frozenset("isnt arent wasnt werent doesnt dont didnt hasnt havent wont cant couldnt wouldnt".split())
_SUBJECTS = frozenset("it they that them".split())
_TOLD = frozenset("condition cured outcome work now also".split())  # what agreement can be asked to
_GUESSED_OF = frozenset("condition component place size now".split())
_SEARCHING = frozenset("er erm um uh".split())
_REPEATED = frozenset({"pronoun", "them", "need", "group"})


def plainly(found: Sequence[Mention]) -> list[Mention]:
    """The mentions, without what is taken up again right behind."""
    out: list[Mention] = []
    for mention in found:
        out.append(mention)
        for rule in _RULES:
            rule(out)
    return out


def _place_begun(out: list[Mention]) -> None:
    """ "The front the front left cap", "the back one, the back right tap": the first place was only begun."""
    meant = out[-1]
    if meant.kind != "place" or meant.gap or meant.pause == ".":
        return
    at = len(out) - 2
    while at >= 0 and out[at].kind in _FILLING and not (out[at].gap or out[at].id not in ("det", "pause")):
        at -= 1
    begun = out[at] if at >= 0 else meant
    closes = at > 0 and begun.led and out[at - 1].kind != "one"  # "stiff at the back, the back left one"
    led = at > 0 and _name_led(out, at)
    same = begun.id == meant.id or begun.id in meant.id.split("-")
    if begun.kind == "place" and begun is not meant and same and at < len(out) - 2 and not (closes or led):
        del out[at : len(out) - 1]


def _name_led(out: Sequence[Mention], at: int) -> bool:
    """Whether a preposition leads to the `at`-th mention."""
    before = at - 1 - (out[at - 1].kind == "det")
    return before >= 0 and out[before].kind == "prep"


def _word_again(out: list[Mention]) -> None:
    """ "It's it's chipped", "needs needs replacing", "both both back burners"."""
    if len(out) < 2 or out[-1].kind not in _REPEATED or out[-1].gap or out[-1].pause == ".":
        return
    if out[-2].kind == out[-1].kind and out[-2].first == out[-2].last == out[-1].first:
        del out[-2]


def _led_again(out: list[Mention]) -> None:
    """ "On that, on that one": what a preposition began to lead to."""
    row = out[-4:]
    if [m.kind for m in row] != ["prep", "pronoun", "prep", "pronoun"] or any(m.gap or m.pause for m in row[1:]):
        return
    if (row[0].first, row[1].first) == (row[2].first, row[3].first):
        del out[-4:-2]


def _agreement(out: list[Mention]) -> None:
    """ "Stiff, isn't it", "it's blue now isn't it": the verb before its subject asks only to agree."""
    if len(out) < 3 or out[-1].kind not in ("pronoun", "them") or out[-1].gap or out[-1].pause:
        return
    verb, told = out[-2], out[-3]
    tag = verb.kind == "not" and verb.first == verb.last and verb.first in _VERBS and out[-1].first in _SUBJECTS
    if tag and out[-1].first == out[-1].last and told.kind in _TOLD and not verb.gap and verb.pause != ".":
        del out[-2:]


def _work_begun(out: list[Mention]) -> None:
    """ "Greased the, um, greased the stiff one": work that was only begun to be told."""
    again = out[-1]
    at = len(out) - 2
    while at >= 0 and out[at].kind in ("det", "mark") and not out[at].gap and out[at].id in ("det", "pause"):
        at -= 1
    begun = out[at] if at >= 0 else again
    cut = len(out) - 2 > at >= 0 and out[at + 1].kind == "det" and not (again.gap or again.pause == ".")
    if cut and again.done and begun.done and (begun.first, begun.id) == (again.first, again.id):
        del out[at : len(out) - 1]


def _leans_back(out: list[Mention]) -> None:
    """ "There's a web in the venturi, I dare say, but": a guess behind which another thing is turned to was of what stands
    before it."""
    if len(out) < 3 or out[-2].kind != "hedge" or out[-3].kind not in _GUESSED_OF or out[-2].pause == ".":
        return
    turns = out[-1].kind == "but" or (out[-1].kind == "mark" and out[-1].first in ("so", "anyway"))
    if turns and not (out[-2].gap or out[-1].gap):
        out[-2] = replace(out[-2], kind="hedge-after")


def _searched_for(out: list[Mention]) -> None:
    """ "Front left and, er, rear right caps": the second of two names was only searched for."""
    if len(out) > 2 and out[-2].id == "pause" and out[-2].first == out[-2].last and out[-2].first in _SEARCHING:
        joined = out[-3].kind in ("and", "or") and not (out[-2].gap or out[-1].gap or out[-1].pause == ".")
        if joined and out[-1].kind in ("place", "size", "group", "component", "det"):
            del out[-2]


_RULES: tuple[Callable[[list[Mention]], None], ...] = (
    _place_begun,
    _word_again,
    _led_again,
    _agreement,
    _work_begun,
    _searched_for,
    _leans_back,
)
