"""Ways to take back what was just said, brought to one: "not rear left, rear right", "rear right, I mean", "injector no
electrode". In: mentions of a talk. Out: the same, with one mention of kind `correct` before what is meant.

Not allowed to know: what is said of what.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

from fieldnote.extract.phrases.mention import NOMINAL, Mention
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.tokens import Token

_CORRECT = (Sense("correct", "correct"),)
_MEANT = frozenset("place size component condition".split())
_NAMES = frozenset("place size component".split())
_DENYING = frozenset("not wasnt isnt say side".split())  # last words
_REACH = 8  # mentions within which what is named wrongly was said
# last words of what may take back the words before it
_BEHIND = frozenset("mean meant sorry say rather mistake pardon".split())
_ITS = frozenset("its the it thats".split())
_MUCH = frozenset("loud loudly bad badly much heavy heavily big wide deep long serious".split())
_ARTICLES = frozenset("the a an it that".split())
_WHICH = frozenset("that thats which as".split())
_I_SAY = frozenset(
    {
        ("i", "say"),
        ("i", "said"),
        ("i", "called"),
        ("im", "saying"),
        ("i", "keep", "saying"),
        ("i", "put"),
        ("ive", "put"),
        ("ive", "said"),
        ("ive", "written"),
        ("i", "wrote"),
    }
)
_GOES_ON = frozenset("and but so then next".split())


def plainly(found: Sequence[Mention], tokens: Sequence[Token]) -> list[Mention]:
    """The mentions, each taking back in its plain form."""
    out: list[Mention] = []
    for mention in found:
        out.append(mention)
        for rule in _RULES:
            rule(out, tokens)
    return out


def _named_wrongly(out: list[Mention], _tokens: Sequence[Token]) -> None:
    """ "Stiff, well not stiff, seized", "rear left not rear left rear right", "rear right did I say right rear left": what was
    just said is named and denied, and what is meant stands behind it."""
    if out[-1].kind not in _MEANT:
        return
    row = [at for at in range(max(0, len(out) - 5), len(out)) if out[at].kind != "det"]
    if len(row) < 3:
        return
    no, wrong, meant = (out[at] for at in row[-3:])
    denies = (no.kind == "not" and no.first == "not") or (no.kind == "correct" and no.last in ("not", "say"))
    near = not (wrong.gap or wrong.pause) and meant.gap <= 1
    if not denies or not near or meant.kind not in _MEANT or not _other(wrong, meant):
        return
    said = next((m for m in reversed(out[max(0, row[-3] - _REACH) : row[-3]]) if m.kind == meant.kind), None)
    if said is None or not _same_word(wrong, said):
        return
    before = out[row[-3] - 1] if row[-3] else None
    taken_back = before is not None and before.kind == "correct"
    correct = replace(no, kind="correct", senses=_CORRECT, other=(), end=wrong.end, last=wrong.last)
    out[row[-3] :] = [*([] if taken_back else [correct]), meant]


def _called_wrongly(out: list[Mention], tokens: Sequence[Token]) -> None:
    """ "I say cap, I mean the crown", "I said front right, it's the rear right": what was said, and what is meant behind it."""
    if out[-1].kind not in _MEANT or out[-1].gap > 1:
        return
    row = [at for at in range(max(0, len(out) - 6), len(out)) if out[at].kind != "det"]
    if len(row) < 3:
        return
    wrong, turn, meant = (out[at] for at in row[-3:])
    turns = (
        turn.kind == "correct"
        or (turn.kind == "need" and turn.first == "should")
        or (turn.kind == "pronoun" and turn.first in ("its", "thats"))
    )
    if not turns or turn.gap > 1 or meant.gap > 1 or meant.kind not in _MEANT or not _other(wrong, meant):
        return
    lead = [token.norm for token in tokens[max(0, wrong.start - 4) : wrong.start] if token.norm not in _ARTICLES]
    if tuple(lead[-2:]) not in _I_SAY and tuple(lead[-3:]) not in _I_SAY:
        return
    first = row[-3]
    while first and (out[first - 1].kind in ("earlier", "det", "correct") or out[first - 1].first == "when"):
        first -= 1
    said = next((m for m in reversed(out[max(0, first - _REACH) : first]) if m.kind == meant.kind), None)
    if said is None or not _same_word(wrong, said):
        return
    pause = max((m.pause for m in out[first : row[-1]]), key=" ,.".find)
    out[first:] = [replace(turn, kind="correct", senses=_CORRECT, other=(), pause=pause, gap=0), meant]


def _this_not_that(out: list[Mention], _tokens: Sequence[Token]) -> None:
    """ "It's the crowns not the caps, the back one's split": the part that it is not is no subject."""
    if out[-1].kind != "place" or len(out) < 2 or out[-2].kind != "det":
        return
    row = [at for at in range(max(0, len(out) - 8), len(out)) if out[at].kind != "det"]
    if len(row) < 5:
        return
    it, is_, no, is_not, after = (out[at] for at in row[-5:])
    pointed = it.kind == "pronoun" and it.first in _ITS and is_.kind == is_not.kind == "component"
    denied = no.kind == "not" and no.first == no.last == "not"
    near = not any(m.gap or m.pause for m in (is_, no, is_not, after))
    another = after.kind == "place" and out[row[-2] + 1 :][0].kind == "det"
    if pointed and denied and near and another and _other(is_, is_not) and not is_not.clitic:
        del out[row[-3] : row[-2] + 1]


def _not_the_other(out: list[Mention], _tokens: Sequence[Token]) -> None:
    """ "It was the spindle that was stiff, not the tap, and it's free": what it was not is spoken of no more."""
    if len(out) < 5 or out[-1].kind == "det":
        return
    before = out[-2]
    row = [m for m in out[-8:-1] if m.kind != "det"]
    if before.kind != "component" or before.clitic or len(row) < 4 or not (out[-1].pause or out[-1].kind == "and"):
        return
    that, fault, no = row[-4:-1]
    told = that.kind == "pronoun" and that.first in _WHICH and fault.kind == "condition" and not fault.gap
    denied = no.kind == "not" and no.first == no.last == "not" and not no.gap and not before.gap and not before.pause
    if told and denied:
        del out[out.index(no) : -1]


def _slip(out: list[Mention], _tokens: Sequence[Token]) -> None:
    """ "Front left, no, sorry, front right cap", "the injector, I mean the electrode", "front left cap, no, rear left cap":
    a name put right in the same breath, so that the wrong one has not been said."""
    names = _names_behind(out)
    turn = len(out) - len(names) - 1
    turn -= turn > 0 and out[turn].kind == "det"
    first = turn - len(names)
    if not names or first < 0 or out[turn].kind != "correct" or _tells_more(out[turn]):
        return
    wrong, between = out[first:turn], out[first + 1 : len(out) - len(names) + 1]
    alike = [m.kind for m in wrong] == [m.kind for m in names] and any(
        _other(a, b) for a, b in zip(wrong, names, strict=True)
    )
    if not alike or any(m.gap or m.pause == "." for m in between) or _closes(out[:first], wrong[0]):
        return
    led = [replace(m, pause=wrong[0].pause, gap=wrong[0].gap) for m in out[turn + 1 : len(out) - len(names)]]
    if led and first and out[first - 1].kind == "det":
        led = []
    begins = names[0] if led else replace(names[0], pause=wrong[0].pause, gap=wrong[0].gap)
    out[first:] = [*led, begins, *names[1:]]


def _closes(before: Sequence[Mention], wrong: Mention) -> bool:
    """Whether a name ends what was told: "chipped at the front left, no, the rear left", "found it on the inlet, no, the outlet
    union's loose"; the facts of that are moved, and more may be said of the right one."""
    row = [m.kind for m in before if m.kind != "det"]
    if row[-1:] == ["not"] or (before and before[-1].kind == "condition" and before[-1].last in _ARTICLES):
        return True  # "lifting, not rear left, sorry, rear right", "found it on the | inlet"
    if wrong.led:
        return row[-1:] != [] and row[-1] not in _NAMES | {"mark", "and"}
    return row[-2:] == ["pronoun", "prep"]


def _names_behind(out: Sequence[Mention]) -> list[Mention]:
    """The names at the end of a row: a part or size, with the place before it; a place alone."""
    if out[-1].kind not in _NAMES:
        return []
    placed = len(out) > 1 and out[-2].kind == "place" and out[-1].kind != "place" and not (out[-1].gap or out[-1].pause)
    return list(out[-2:] if placed else out[-1:])


def _tells_more(turn: Mention) -> bool:
    """Whether a correcting word denies or judges, so that the name before it was said: "no it's not", "wrong one"."""
    return turn.last in _DENYING or "wrong" in (turn.first, turn.last) or turn.first in ("did", "have", "whatever")


def _other(wrong: Mention, meant: Mention) -> bool:
    """Whether two words are of one kind and not the same; "right" alone may be taken for the turn of a talk."""
    return (wrong.kind == meant.kind or (wrong.first == "right" and meant.kind == "place")) and (
        (wrong.id, wrong.first) != (meant.id, meant.first)
    )


def _same_word(wrong: Mention, said: Mention) -> bool:
    """Whether what is denied is what was said, or a word of it ("rear right ... did I say right")."""
    if said.kind == "condition":
        return wrong.first == said.first
    return wrong.id == said.id or (said.kind == "place" and wrong.first in said.id.split("-"))


def _not_much(out: list[Mention], _tokens: Sequence[Token]) -> None:
    """ "Governor's singing a bit not loud": how much of it there is, and nothing that is denied."""
    if out[-1].first not in _MUCH or len(out) < 3 or out[-2].kind != "not" or out[-1].kind != "condition":
        return
    at = len(out) - 3 - (out[-3].kind == "det")
    if at >= 0 and out[at].kind == "condition" and out[at].id == out[-1].id and out[-1].gap + out[-2].gap <= 1:
        del out[-2:]


def _meant_behind(out: list[Mention], tokens: Sequence[Token]) -> None:
    """ "Left knob loose, right I mean": the correcting word ends what is said, and what is meant stands before it."""
    last, meant = out[-1], out[-2] if len(out) > 2 else None
    over = last.end >= len(tokens)
    ends = over or tokens[last.end - 1].pause == "."
    listed = not over and tokens[last.end - 1].pause == "," and tokens[last.end].norm in _GOES_ON | {"the"}
    if meant is not None and listed:
        # "both stiff, the taps I mean, the backs"
        ends = bool(meant.pause or (out[-3].kind == "det" and out[-3].pause))
    if meant is None or last.kind != "correct" or last.last not in _BEHIND or last.gap or not ends or last.pause == ".":
        return
    if meant.kind == "mark" and meant.first == meant.last == "right":
        meant = replace(meant, kind="place", senses=(Sense("place", "right", None, "weak"),), other=())
    before = out[-3]
    said = before.kind in ("condition", "place", "size", "component", "det") and not (
        before.gap and before.kind == "det"
    )
    if meant.kind in _MEANT and said and not meant.gap:
        out[-2:] = [replace(last, pause=meant.pause), replace(meant, pause="")]


def _no_that_one(out: list[Mention], _tokens: Sequence[Token]) -> None:
    """ "Front left injector no electrode cracked": "no" between two parts, nothing said of the first."""
    if len(out) < 4 or [m.kind for m in out[-4:]] != ["component", "no", "component", "condition"]:
        return
    wrong, no, meant, fault = out[-4:]
    one_each = all(
        m.strong and not m.last.endswith("s") and m.id not in ("burner", "appliance") for m in (wrong, meant)
    )
    near = not any(m.gap or m.pause for m in (no, meant, fault))
    if no.first == no.last == "no" and one_each and wrong.id != meant.id and near and not fault.fit:
        out[-3] = replace(no, kind="correct", senses=_CORRECT, other=())


def _that_is(out: list[Mention], tokens: Sequence[Token]) -> None:
    """ "Knob's loose, front left that is": two words that only close what was said."""
    if len(out) < 3 or out[-1].first != "is" or out[-1].kind != "be" or out[-2].first != "that":
        return
    end = out[-1].end
    over = end >= len(tokens) or bool(tokens[end - 1].pause) or tokens[end].norm in _GOES_ON
    near = not any(m.gap for m in out[-2:]) and not out[-1].pause
    if over and near and out[-2].kind == "pronoun" and out[-3].kind in NOMINAL | {"one"}:
        out[-3:] = [replace(out[-3], end=end)]


def _that_is_your_small_one(out: list[Mention], _tokens: Sequence[Token]) -> None:
    """ "Middle burner, that's your wok, the sparker's low": the size of what is at a place, and no news of it."""
    if out[-1].kind != "size":
        return
    row = [at for at in range(max(0, len(out) - 5), len(out)) if out[at].kind not in ("det", "one")]
    if [out[at].kind for at in row[-3:]] != ["place", "pronoun", "size"]:
        return
    at, told = row[-3], out[row[-2]]
    place = out[at]
    if told.first in ("thats", "its") and not place.led and not told.gap and out[-1].gap <= 1:
        place = replace(place, senses=tuple(one._replace(note=one.note.replace("+burner", "")) for one in place.senses))
        out[at:] = [place, replace(out[-1], pause="", gap=0)]


def _well_actually(out: list[Mention], _tokens: Sequence[Token]) -> None:
    """ "Cleaned the blocked injector, well, replaced it actually": the work is named anew, and no part."""
    if out[-1].first != "actually":
        return
    at = next((at for at in range(len(out) - 2, max(-1, len(out) - 5), -1) if out[at].first == "well"), None)
    between = [m.kind for m in out[at + 1 : -1]] if at else []
    if at and out[at].kind == "mark" and "work" in between and set(between) <= {"work", "pronoun", "them"}:
        out[at] = replace(out[at], kind="correct", senses=_CORRECT, other=())
        out.pop()


def _named_after_all(out: list[Mention], tokens: Sequence[Token]) -> None:
    """ "Front left is all right, the burner I mean, but ...", "right oven the same, seal I mean": which part was spoken of."""
    end = out[-1].end
    over = end >= len(tokens) or bool(tokens[end - 1].pause) or tokens[end].norm in _GOES_ON | _ITS
    behind = out[-1].kind == "correct" and out[-1].last in _BEHIND and not (out[-1].gap or out[-1].pause)
    if not (behind and over) or len(out) < 3 or out[-2].kind != "component" or out[-2].gap:
        return
    part = replace(out[-2], end=end)
    said = len(out) - 3 - (out[-3].kind == "det")
    if out[said].kind == "same":
        out[said + 1 :] = [part]
    if out[said].kind != "condition":
        return
    at = next((at for at in range(said - 1, max(-1, said - 4), -1) if out[at].kind in ("place", "size")), said)
    if at < said and all(m.kind in ("be", "det") for m in out[at + 1 : said]):
        named = replace(part, start=out[at].end, end=out[at].end, pause="", gap=0)
        out[at + 1 :] = [named, *out[at + 1 : said], replace(out[said], end=end)]


_RULES: tuple[Callable[[list[Mention], Sequence[Token]], None], ...] = (
    _named_wrongly,
    _not_much,
    _called_wrongly,
    _this_not_that,
    _not_the_other,
    _meant_behind,
    _no_that_one,
    _slip,
    _that_is,
    _that_is_your_small_one,
    _named_after_all,
    _well_actually,
)
