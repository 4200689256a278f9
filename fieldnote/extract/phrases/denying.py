"""Regional denials: "the flue's no blocked" is "not", "it ay leaking" is "isn't". In: tokens. Out: the same in plain words.

Not allowed to know: what is denied, but whether it is a part or something that is counted.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.words.lexicon import lexicon
from fieldnote.extract.words.tokens import Token

_VERBS = frozenset("ll hell shell itll theyll well ill youll its thats theyre hes shes im".split())
_WILL = {"itll": "it", "theyll": "they", "hell": "he", "shell": "she", "thatll": "that"}
_WHO = frozenset("it he she that they this them there her we you these those hose tap seal flue who which yow".split())
_EXISTING = frozenset("theres heres wheres whats hows".split())  # "there's no spark"
_CALLS = frozenset({"ar", "ay", "aye", "oh", "well"})
# what there is not even one of
_TRACES = frozenset(
    "bubble bubbles peep sound murmur click spark crack mark scratch drop drip leak weep squeak thing".split()
)
# what "no" counts behind any verb
_NOUNS = frozenset(
    "longer more use good bother problem problems trouble worries wonder matter need point time one sign doubt difference secret "
    "surprise flame flames spark sparks gas leak leaks joy different odds worse better idea business damage".split()
)

_ANYTHING = frozenset("nothing anything nowt owt nought".split())  # in a denial, which two of them do not undo
_AMISS = frozenset("wrong amiss untoward up".split())  # what is found of no part
_IS_NOT = {
    "isnt": "is", "arent": "are", "wasnt": "was", "werent": "were", "hasnt": "has", "havent": "have", "hadnt": "had",
    "doesnt": "has", "dont": "have", "didnt": "had", "not": "is", "never": "have",
}  # fmt: skip
_SEEK = frozenset("see find found saw got have had".split())
_LOOKING = frozenset("cant couldnt didnt".split())
_MENDED = frozenset("fixed sorted mended cured done repaired cleaned replaced changed".split())
_NOT_DONE = frozenset("couldnt cant didnt havent wont wasnt never".split())
_ITS_ANSWER = 4  # words in which "no" says what was not done


def regional(tokens: list[Token]) -> None:
    """Put "isnt" for "ay" behind its subject, "i" for "mi", "not" for a "no" behind a verb that counts no part and no noun."""
    for at, token in enumerate(tokens):
        if token.norm == "mi":
            tokens[at] = replace(token, norm="i")  # "so mi change it"
    _nothing_wrong(tokens)
    for at in range(1, len(tokens) - 1):
        if (
            tokens[at].norm == "ay"
            and (tokens[at - 1].norm in _WHO or _says_state(tokens, at))
            and not tokens[at - 1].pause
        ):
            tokens[at] = replace(tokens[at], norm="isnt")
            if tokens[at - 1].norm == "her":
                tokens[at - 1] = replace(tokens[at - 1], norm="it")  # "her ay humming"
        if tokens[at].norm == "no" and tokens[at - 1].norm in _MENDED and _not_done(tokens, at):
            tokens[at - 1] = replace(tokens[at - 1], norm="asked")
        led = tokens[at].norm == "no" and (_behind_verb(tokens, at - 1) or _told_of_name(tokens, at))
        if led and not _counts(tokens, at):
            tokens[at] = replace(tokens[at], norm="not")
        if (
            tokens[at].norm == "no"
            and tokens[at + 1].norm in ("a", "an")
            and not tokens[at].pause
            and _a_trace(tokens, at + 2)
        ):
            tokens[at] = replace(tokens[at], norm="not")  # "sprayed every joint, no a bubble"
        if tokens[at].norm == "not" and (who := _WILL.get(tokens[at - 1].norm)) and not tokens[at - 1].pause:
            tokens[at - 1] = replace(tokens[at - 1], norm=who)
            tokens[at] = replace(tokens[at], norm="wont")  # "it'll not light"


def _nothing_wrong(tokens: list[Token]) -> None:
    """ "There isn't anything wrong with it", "it ain't got nothing amiss": denied twice or once, nothing is wrong."""
    for at in range(1, len(tokens) - 1):
        if tokens[at].norm not in _ANYTHING or tokens[at].pause or not _amiss(tokens, at + 1):
            continue
        verb = tokens[at - 1].norm in _SEEK
        no = at - 1 - verb
        if no < 0 or any(token.pause for token in tokens[no:at]):
            continue
        if verb and tokens[no].norm in _LOOKING:
            tokens[at] = replace(tokens[at], norm="anything")  # "couldn't see nothing wrong"
        elif (being := _IS_NOT.get(tokens[no].norm)) is not None:
            alone = being in ("is", "are") and (no == 0 or tokens[no - 1].norm != "there") and tokens[no].norm != "not"
            being = "theres" if alone else being  # "all right in this hob, bain't nothing wrong there"
            tokens[no], tokens[at] = replace(tokens[no], norm=being), replace(tokens[at], norm="nothing")


def _amiss(tokens: Sequence[Token], at: int) -> bool:
    """Whether it is said behind "anything" that something is wrong; not "up there", "up to the job"."""
    the = at + 1 < len(tokens) and (tokens[at].norm, tokens[at + 1].norm) == ("the", "matter")
    up = tokens[at].norm != "up" or (at + 1 < len(tokens) and tokens[at + 1].norm == "with")
    return the or (tokens[at].norm in _AMISS and up)


def _not_done(tokens: Sequence[Token], at: int) -> bool:
    """ "Fixed? No, that I couldn't fix": whether it was done is only asked."""
    return any(token.norm in _NOT_DONE for token in tokens[at + 1 : at + 1 + _ITS_ANSWER])


def _a_trace(tokens: Sequence[Token], at: int) -> bool:
    return at < len(tokens) and tokens[at].norm in _TRACES


def _behind_verb(tokens: Sequence[Token], at: int) -> bool:
    word = tokens[at]
    if word.norm == "well" and at and tokens[at - 1].norm == "as":
        return False  # "rear right's split as well, no, ..."
    return not word.pause and (word.norm in _VERBS or (word.clitic and word.norm not in _EXISTING))


def _says_state(tokens: Sequence[Token], at: int) -> bool:
    """ "Front right ay sparking": what a thing does or how it is stands behind it; "ar ay this hob" only calls."""
    if tokens[at].pause or tokens[at - 1].norm in _CALLS:
        return False
    hit = lexicon().at(tokens, at + 1)
    return tokens[at + 1].norm.endswith("ing") or (
        hit is not None and all(sense.kind == "condition" for sense in hit.values)
    )


def _told_of_name(tokens: Sequence[Token], at: int) -> bool:
    """ "It was the cap no sitting right": a verb of what a part does stands behind "no"."""
    if tokens[at - 1].pause or tokens[at].pause or not tokens[at + 1].norm.endswith("ing"):
        return False
    hit = lexicon().at(tokens, at - 1, at)
    return hit is not None and any(sense.kind == "component" for sense in hit.values)


def _counts(tokens: Sequence[Token], at: int) -> bool:
    """Whether "no" is said of a thing: "the cooker's no chain"."""
    if tokens[at].pause or tokens[at + 1].norm in _NOUNS:
        return True
    hit = lexicon().at(tokens, at + 1)
    return hit is not None and any(sense.kind == "component" for sense in hit.values)
