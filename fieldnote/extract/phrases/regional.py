"""Regional words that are plain ones only where they stand so: "grill int kitchen" is in the kitchen, "moved un" moved it, "an
it wants" and it wants. In: tokens. Out: the same in plain words.

Not allowed to know: what is said of what.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.words.lexicon import lexicon
from fieldnote.extract.words.tokens import Token

_LEADING = frozenset("in of on to with from at up off for behind under over round by inside".split())
_TREATED = frozenset("put leave let give gave took take got had have clean see hear heard swap change left get".split())
_MINE = frozenset("i ive we weve have".split())  # before "left", which is a side elsewhere
_ANSWERED = frozenset("it he she they that this you i we".split())
# words that "and" stands before and no article does
_JOINED = frozenset("it its i im ive id ill all the thats that his her my you we she he they then now no so".split())
_AFTER_OF = frozenset(
    "full out one some top bit all most side front back end sort kind made none plenty couple lots rid thick bits pair lot load "
    "loads drop dab spot smell whiff sign piece pieces lump lumps inch layer coat film ball wad nest half".split()
)
_ARTICLES, _COUNTED = frozenset("the these".split()), frozenset("two three four ones was were are is".split())
# what somebody does to something, the words that can stand behind it, and those behind which it is not "me" who does it
_DONE_BY_ME = frozenset(
    "take put find see look check test get give fit pull push tell hear do leave try pump swap bring hold".split()
)
_WORKED_ON = frozenset(
    "it them the this that these those a an one new two both all up out off on in down back at him her so".split()
)
_ASKED = frozenset(
    "put got get lost took to let make made have had help "
    "helped see saw heard hear watch watched give gave for with than by".split()
)
_NAMES = frozenset({"component", "place", "size", "appliance", "group"})
_SIDES = frozenset("back front left right top bottom side wall end".split())
_STATES = frozenset({"condition", "work", "outcome", "cured", "not", "no"})


def plainly(tokens: list[Token]) -> None:
    """Put the plain word for each regional one that its neighbours make sure of."""
    for at, token in enumerate(tokens):
        rule = _RULES.get(token.norm)
        word = rule(tokens, at) if rule else ""
        if word:
            tokens[at] = replace(token, norm=word)


def _beyond(tokens: Sequence[Token], at: int) -> str:
    return tokens[at + 1].norm if at + 1 < len(tokens) and not tokens[at].pause else ""


def _before(tokens: Sequence[Token], at: int) -> str:
    return tokens[at - 1].norm if at and not tokens[at - 1].pause else ""


def _kinds(tokens: Sequence[Token], at: int) -> set[str]:
    hit = lexicon().at(tokens, at) if at < len(tokens) else None
    return {sense.kind for sense in hit.values} if hit else set()


def _an(tokens: Sequence[Token], at: int) -> str:
    """ "An it wants a new un", "an flame were yellow": no article stands there."""
    word = _beyond(tokens, at)
    if word in _JOINED:
        return "and"
    spelled = len(word) < 4 or not any(letter in "aeiouy" for letter in word)  # "an FSD"
    return "and" if word and word[0].isalpha() and word[0] not in "aeiouh" and not spelled else ""


# what no noun begins with, so that "in the" cannot stand before it
_NO_NOUNS = frozenset("the a an that no nothing never been not worth so very really much any".split())


def _int(tokens: Sequence[Token], at: int) -> str:
    """ "Split int corner" is in it; "it int lit" is not."""
    said = _beyond(tokens, at) in _ANSWERED | _NO_NOUNS or _kinds(tokens, at + 1) & _STATES
    return "isnt" if said or _beyond(tokens, at).endswith("ing") else "in"


def _o(tokens: Sequence[Token], at: int) -> str:
    """ "Full o fat", "out o the box", "inside glass o the door"."""
    led = _before(tokens, at) in _AFTER_OF or _beyond(tokens, at) in ("the", "it", "them", "that", "un")
    return "of" if led and len(_before(tokens, at)) > 1 and _beyond(tokens, at) not in ("", "clock") else ""


def _ont(tokens: Sequence[Token], at: int) -> str:
    """ "Back left ont hob" is on it; "it 'ont light" won't."""
    named = _kinds(tokens, at + 1) & _NAMES or _beyond(tokens, at) in _SIDES
    return "on" if named else "wont" if _beyond(tokens, at) else ""


def _un(tokens: Sequence[Token], at: int) -> str:
    """ "Swilled un out", "had no wind in un": a thing, where "a good un" is one of them."""
    before = _before(tokens, at)
    sided = before == "left" and (at < 2 or tokens[at - 2].norm not in _MINE)
    acted = before.endswith("ed") or before in _LEADING or before in _TREATED
    return "it" if acted and not sided else ""


def _with(tokens: Sequence[Token], at: int) -> str:
    """ "Full with dust"."""
    return "of" if _before(tokens, at) == "full" and _beyond(tokens, at) not in ("", "the", "a") else ""


def _them(tokens: Sequence[Token], at: int) -> str:
    """ "None of the tap them leaking", "the knob them all split": the sign of a plural."""
    named = at > 1 and "component" in _kinds(tokens, at - 1) and not _before(tokens, at).endswith("s")
    led = any(token.norm in _ARTICLES for token in tokens[max(0, at - 4) : at - 1])
    return "are" if named and led and _beyond(tokens, at) not in _COUNTED else ""


def _me(tokens: Sequence[Token], at: int) -> str:
    """ "Me clean it", "so me take out the jet": who did it, where "me clean rag" is mine and "let me clean it" is asked."""
    verb, object_ = _beyond(tokens, at), _beyond(tokens, at + 1) if at + 1 < len(tokens) else ""
    worked = verb in _DONE_BY_ME or "work" in _kinds(tokens, at + 1)
    return "i" if worked and object_ in _WORKED_ON and _before(tokens, at) not in _ASKED else ""


_RULES = {
    "them": _them, "me": _me, "an": _an, "int": _int, "o": _o, "ont": _ont, "un": _un, "with": _with,
}  # fmt: skip
