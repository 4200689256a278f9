"""Mis-hearings: a word that stands for another where its neighbourhood asks for it. In: tokens. Out: the phrase meant.

Not allowed to know: what was said before in the talk.
"""

import functools
from collections.abc import Iterator, Sequence
from dataclasses import replace

from fieldnote.extract.phrases.mention import HEATING
from fieldnote.extract.words.lexicon import Sense, lexicon, mishearings
from fieldnote.extract.words.matcher import Hit, spell
from fieldnote.extract.words.tokens import Token
from fieldnote.trade.spoken import spoken

_LINKS = frozenset(
    "is was are were had has have got a the been its looks half partly fully well all right bit very really too that "
    "completely totally badly slightly just quite".split()
)
_REFUSALS = frozenset("wont wouldnt doesnt didnt isnt keeps kept".split())
_NO_PART = frozenset("student council rented empty terraced this her his their whole".split())
_HEATERS = frozenset(
    "boiler combi fire heater fires boilers heaters multipoint geyser flue coals radiants pilot".split()
)
_FAR = 200  # words within which the heater in hand is named
_ADVERBS = frozenset({"often"})  # "it often leaks"
_GETTING = frozenset({"get", "gets"})  # verbs that sound like "jet", "jets"
_KEEPING = frozenset("kept keep keeps".split())  # "the flame kept dying", "kept on going out"
_GETTERS = frozenset(
    "you it they we i always never often sometimes usually can will to dont doesnt that which who".split()
)
_ARTICLES = frozenset("the a an her his their".split())
_BESIDE_IT = frozenset("wrong new old other".split())  # what may stand between an article and its noun
_MATTER = frozenset("soot dust fluff rust muck dirt grease carbon ash rubbish".split())
_STARTERS = frozenset("right ok okay so next now and the then".split())


def heard(tokens: Sequence[Token], at: int) -> Hit[Sense] | None:
    """The mis-hearing that starts at a token, when what must stand around it is there."""
    hit = mishearings().at(tokens, at)
    if hit is None:
        return None
    word = tokens[at].norm
    after = tokens[at + 1].norm if at + 1 < len(tokens) else ""
    verb = (
        word in _ADVERBS
        or (word in _KEEPING and after.endswith("ing"))
        or (word in _GETTING and at > 0 and _who_gets(tokens, at - 1))
    )
    free = not verb and lexicon().at(tokens, at) is None and not _beast(word)
    odd = free and (_faulty(hit, tokens) or _joined(hit, tokens))
    meant = (sense for sense in hit.values if odd or _around(sense.note, hit, tokens))
    values = tuple(sense._replace(note="strong") for sense in meant if _has_a_heater(sense, hit, tokens))
    return replace(hit, values=values) if values else None


def _who_gets(tokens: Sequence[Token], at: int) -> bool:
    """ "You always get stiff taps", "a burner gets dirty": somebody or a part gets so; "front left gets" is a jet."""
    if tokens[at].pause or tokens[at].norm in _GETTERS:
        return not tokens[at].pause
    name = lexicon().at(tokens, at, at + 1)
    return name is not None and any(s.kind == "component" and not s.note.startswith("weak") for s in name.values)


def _has_a_heater(sense: Sense, hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether a part that only heaters have can be meant: one is spoken of ("lug's snapped" of a hob is no log)."""
    if (
        sense.kind != "component"
        or not spoken().components[sense.id].of
        or set(spoken().components[sense.id].of) - HEATING
    ):
        return True
    return any(token.norm in _HEATERS for token in tokens[max(0, hit.start - _FAR) : hit.end + _FAR])


def _beast(word: str) -> bool:
    """ "The dog's chewed the hose": an animal is no part misheard."""
    beasts = spoken().classes["animal"].says
    return word in beasts or word.removesuffix("s") in beasts


def _faulty(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether a fault or refusal is said right behind ("horse had a split"): then a part is meant, whatever the word."""
    household = tokens[hit.start].norm == "house" and hit.start and tokens[hit.start - 1].norm == "the"
    if hit.start and (tokens[hit.start - 1].norm in _NO_PART or household):
        return False  # "it's a student house, soaked them all"
    if hit.end < len(tokens) and tokens[hit.end - 1].norm == "of" and tokens[hit.end].norm in _MATTER:
        return False  # "a pile of soot"
    for i in range(hit.end, min(hit.end + 4, len(tokens))):
        if tokens[i - 1].pause:
            return False
        if tokens[i].norm in _contexts()["fault"] or (i == hit.end and tokens[i].norm in _REFUSALS):
            return True
        if tokens[i].norm not in _LINKS:
            return False
    return False


def _joined(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "The clown and the inspector", "jet and horse": the word is one of two, and the other is a part or sounds like one."""
    if not all(sense.kind == "component" for sense in hit.values):
        return False
    before = hit.start - 1 - (hit.start > 0 and tokens[hit.start - 1].norm in _ARTICLES)
    after = hit.end + 1 + (hit.end + 1 < len(tokens) and tokens[hit.end + 1].norm in _ARTICLES)
    joined = before > 0 and tokens[before].norm == "and" and not any(t.pause for t in tokens[before - 1 : hit.start])
    if joined and any(_a_part(tokens, at, before) for at in range(max(0, before - 3), before)):
        return True
    led = (
        after < len(tokens) and tokens[hit.end].norm == "and" and not any(t.pause for t in tokens[hit.end - 1 : after])
    )
    return led and _a_part(tokens, after, None)


def _a_part(tokens: Sequence[Token], at: int, end: int | None) -> bool:
    """Whether a name of a part that is enough by itself, or a mis-hearing of one, starts at a token and ends where asked."""
    for found in (lexicon().at(tokens, at, end), mishearings().at(tokens, at, end)):
        if found is not None and end in (None, found.end):
            return any(sense.kind == "component" and not sense.note.startswith("weak") for sense in found.values)
    return False


def _around(wanted: str, hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the neighbourhood that a mis-hearing needs is there: alternatives by |, all of it by +."""
    return any(
        all(_one_around(part.split(), hit, tokens) for part in alternative.split("+"))
        for alternative in wanted.split("|")
    )


def _one_around(part: Sequence[str], hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    where, words = part[0], _words(tuple(part[1:]))
    free = hit.start == 0 or bool(tokens[hit.start - 1].pause)
    if where == "start":
        return free or tokens[hit.start - 1].norm in _STARTERS
    if where == "end":
        return bool(tokens[hit.end - 1].pause)
    if where == "prev":
        before = hit.start - 1
        while before > 0 and tokens[before].norm in _BESIDE_IT - words and not tokens[before - 1].pause:
            before -= 1  # "the wrong inspector"
        return not free and tokens[before].norm in words
    if where == "next":
        return hit.end < len(tokens) and not tokens[hit.end - 1].pause and tokens[hit.end].norm in words
    if where == "near":
        return any(tokens[i].norm in words for i in _near(hit, tokens))
    return where == "with"  # the appliance in hand: a cooker or hob in nearly every talk


def _near(hit: Hit[Sense], tokens: Sequence[Token]) -> Iterator[int]:
    """The six words on either side within the sentence."""
    for i in range(hit.start - 1, max(hit.start - 7, -1), -1):
        if tokens[i].pause == ".":
            break
        yield i
    for i in range(hit.end, min(hit.end + 6, len(tokens))):
        if tokens[i - 1].pause == ".":
            break
        yield i


@functools.cache
def _contexts() -> dict[str, frozenset[str]]:
    own = {name: frozenset(spell(" ".join(words))) for name, words in spoken().contexts.items()}
    single = {id_: {p for p in c.says if " " not in p} for id_, c in spoken().conditions.items()}
    fit = single.pop("ok")
    return own | {"fault": own["fault"].union(*single.values()), "fit": own["fit"] | fit}


@functools.cache
def _words(names: tuple[str, ...]) -> frozenset[str]:
    plain = frozenset(
        part for name in names if not name.startswith("@") for part in (name.replace("'", ""), name.split("_")[-1])
    )
    return plain.union(*(_contexts()[name[1:]] for name in names if name.startswith("@")))
