"""Turns of phrase brought to plain words: "on the stiff side" is a bit stiff, "is after losing a leg" has just lost one. In:
tokens. Out: the same in plain words. Not allowed to know: what is said of what.
"""

import itertools
from dataclasses import replace

from fieldnote.extract.words.forms import base_of, past
from fieldnote.extract.words.lexicon import lexicon
from fieldnote.extract.words.tokens import Token
from fieldnote.trade.spoken import spoken

_SAID = ("a", "bit", None, "really")  # for "on", "the", the word itself, "side"
_BEING = frozenset("is are was were be been its hes shes theyre im youre".split())
_NEGATED = frozenset("wont doesnt isnt cant".split())
# done is what one is after doing; other verbs make theirs by rule
_DONE = {
    "going": "gone", "losing": "lost", "coming": "come", "falling": "fallen", "breaking": "broken", "getting": "got",
    "giving": "given", "taking": "taken", "burning": "burnt", "tearing": "torn", "wearing": "worn", "putting": "put",
    "blowing": "blown", "bending": "bent", "sticking": "stuck", "letting": "let", "splitting": "split",
}  # fmt: skip

_SAID_OF_ALL = 5  # words from "all" to what is left out
_ALL = frozenset("all three four every everywhere everything rest others both each".split())
_EXCEPT = frozenset("except bar barring save".split())
_DOING = frozenset("light spark work burn turn hold stay go fire".split())
_OPENING = frozenset({"", "so", "and", "then", "now", "got", "get", "well", "ive", "theres"})
_ONE = frozenset("one ones un uns".split())
_TELLING = frozenset("says reckons thinks swears said claims reckoned thought maintains insists".split())
_ASIDE = 8  # words of an aside that tells who somebody is

# how thoroughly something broke: "burnt clean away", "snapped clean off" tell of nothing clean
_THOROUGH = frozenset("clean plain clear".split())
_BROKE = frozenset(
    "burnt burned broken broke snapped sheared gone worn rusted rotted eaten come came fell fallen dropped popped blown blew "
    "lifting lifts jumping hanging split cracked melted torn ripped bitten chewed knocked cut nipped perished".split()
)
_APART = frozenset("away off through out in across apart".split())


def plainly(tokens: list[Token]) -> None:
    """Put "a bit stiff" for "on the stiff side", where the word says what state something is in, and "just lost" for "after
    losing" behind a form of "be"; "why won't it light" says that it won't."""
    for at in range(len(tokens) - 3):
        if tokens[at].norm != "on" or tokens[at + 2].norm == "water":
            continue  # "no leaks on the water side": where it is
        row = tokens[at : at + 4]
        if (row[0].norm, row[1].norm, row[3].norm) != ("on", "the", "side") or any(token.pause for token in row[:3]):
            continue
        hit = lexicon().at(tokens, at + 2)
        if hit is not None and hit.end == at + 3 and all(sense.kind == "condition" for sense in hit.values):
            tokens[at : at + 4] = [
                replace(token, norm=word or token.norm) for token, word in zip(row, _SAID, strict=True)
            ]
    for at in range(len(tokens) - 3):
        if tokens[at].norm != "why":
            continue
        _, verb, it = tokens[at : at + 3]
        if verb.norm in _NEGATED and it.norm in ("it", "they", "that") and not verb.pause:
            tokens[at + 1 : at + 3] = [replace(verb, norm=it.norm), replace(it, norm=verb.norm)]
    for at in range(len(tokens) - 1):
        if (tokens[at].norm, tokens[at + 1].norm) == ("right", "enough") and tokens[at + 1].pause:
            tokens[at] = replace(tokens[at], norm="sure")  # "right enough, the tap's stiff": no side
    for at in range(1, len(tokens) - 1):
        if tokens[at].norm not in _THOROUGH:
            continue
        broke, how, away = tokens[at - 1 : at + 2]
        if broke.norm in _BROKE and away.norm in _APART and not (broke.pause or how.pause):
            said = lexicon().at(tokens, at - 1)
            if said is None or said.end < at + 2:  # "rubbed clean away" is said as it stands
                tokens[at] = replace(how, norm="really")
    for at in range(2, len(tokens) - 1):
        if tokens[at].norm in _TELLING and tokens[at - 1].pause == "," and _tells_who(tokens, at - 1):
            tokens[at - 1] = replace(tokens[at - 1], norm="he", pause="")
    for at in range(len(tokens) - 1):
        new, one = tokens[at : at + 2]
        alone = new.norm == "new" and one.norm in _ONE and (at == 0 or tokens[at - 1].pause == ".")
        if alone and not new.pause and (one.pause or at + 2 == len(tokens)):  # "thermocouple dead. New one, 25"
            tokens[at : at + 2] = [replace(new, norm="swapped"), replace(one, norm="it")]
    _but_not(tokens)
    for at in range(len(tokens) - 2, 0, -1):
        did, verb = tokens[at : at + 2]
        if did.norm == "did" and tokens[at - 1].norm in ("i", "we") and not (did.pause or tokens[at - 1].pause):
            hit = lexicon().at(tokens, at + 1)
            if hit is not None and any(s.kind == "work" and s.note == "base" for s in hit.values):
                tokens[at : at + 2] = [
                    replace(verb, norm=past(verb.norm, spoken().irregular))
                ]  # "that one I did grease"
    for at in range(1, len(tokens) - 1):
        done = _done(tokens, at) if tokens[at].norm == "after" else None
        if done:
            tokens[at : at + 2] = [replace(tokens[at], norm="just"), replace(tokens[at + 1], norm=done)]


def _but_not(tokens: list[Token]) -> None:
    """ "Spark on the three but not front right", "they all light bar the back left": on all apart from that one."""
    for at in range(len(tokens) - 3, -1, -1):
        one, two = tokens[at : at + 2]
        if one.pause:
            continue
        before = "" if at == 0 or tokens[at - 1].pause else tokens[at - 1].norm
        if (one.norm, two.norm) == ("but", "not") and at and not two.pause and _corner_next(tokens, at + 2):
            said = [token.norm for token in tokens[max(0, at - _SAID_OF_ALL) : at]]
            if not _ALL & set(said):
                continue
            tokens[at : at + 2] = [replace(one, norm="apart"), replace(two, norm="from")]
            if said[-1] == "three":
                tokens[at - 1] = replace(tokens[at - 1], norm="four")
        elif (one.norm, two.norm) == ("they", "all") and tokens[at + 2].norm in _DOING and _left_out(tokens, at + 3):
            del tokens[at]
        elif one.norm == "spark" and two.norm in ("on", "at") and before in _OPENING and _left_out(tokens, at + 2):
            tokens[at] = replace(one, norm="sparking")


def _left_out(tokens: list[Token], at: int) -> bool:
    """Whether something is left out within a few words."""
    words = [token.norm for token in tokens[at : at + _SAID_OF_ALL]]
    return bool(_EXCEPT & set(words)) or ("apart", "from") in itertools.pairwise(words)


def _corner_next(tokens: list[Token], at: int) -> bool:
    while at < len(tokens) and tokens[at].norm in ("at", "on", "the", "in", "that") and not tokens[at].pause:
        at += 1
    hit = lexicon().at(tokens, at) if at < len(tokens) else None
    return hit is not None and any(s.kind == "group" or (s.kind == "place" and "-" in s.id) for s in hit.values)


def _tells_who(tokens: list[Token], end: int) -> bool:
    """ "The brother-in-law, who lays floors, says the chimney's blocked": an aside that tells who somebody is."""
    who = next((at for at in range(end, max(0, end - _ASIDE), -1) if tokens[at].norm == "who"), None)
    return who is not None and tokens[who - 1].pause == "," and not any(t.pause for t in tokens[who:end])


def _done(tokens: list[Token], at: int) -> str | None:
    """What the word behind "after" says was done ("the grate's after losing a prong": lost)."""
    be, doing = tokens[at - 1], tokens[at + 1].norm
    if be.pause or tokens[at].pause or not (be.clitic or be.norm in _BEING) or not doing.endswith("ing"):
        return None
    base = base_of(doing)
    return _DONE.get(doing) or (past(base, {}) if base else None)
