"""Inflection by rule: verbs and plurals of the trade's words. In: a base form. Out: its other forms. Knows no meaning."""

import functools
from collections.abc import Iterator, Mapping

_VOWELS = frozenset("aeiou")
_PREFIXES = ("re", "un", "de")
_PARTICLES = frozenset("out off up down through away on in back".split())
_ARTICLES = frozenset({"a", "an", "the"})
_SIDES_OF = frozenset(
    "front back rear left right top bottom main old new inner outer upper lower long small big little".split()
)
_NEVER_DOUBLED = ("en", "er", "en", "on", "el", "or", "ow", "aw", "ey", "ay", "oy")


def past(base: str, irregular: Mapping[str, str]) -> str:
    """The past form: clean, cleaned; dry, dried; tag, tagged; chip away, chipped away."""
    verb, gap, particle = base.partition(" ")
    if verb in irregular:
        return irregular[verb] + gap + particle
    if particle:
        return past(verb, irregular) + gap + particle
    if base.endswith("e"):
        return base + "d"
    if base.endswith("y") and base[-2] not in _VOWELS:
        return base[:-1] + "ied"
    return _doubled(base) + "ed"


def round_it(base: str) -> Iterator[str]:
    """A verb and its particle round what it is done to: tip out, tip it out, tip that out."""
    verb, _, particle = base.partition(" ")
    if particle in _PARTICLES:
        yield from (f"{verb} {it} {particle}" for it in ("it", "that", "them", "him", "em", "un"))


def ing(base: str) -> str:
    """The -ing form: clean, cleaning; free, freeing; replace, replacing; tag, tagging."""
    verb, gap, particle = base.partition(" ")
    if particle:
        return ing(verb) + gap + particle
    if base.endswith("e") and not base.endswith("ee"):
        return base[:-1] + "ing"
    return _doubled(base) + "ing"


def third(base: str) -> str:
    """The form with s: clean, cleans; dry, dries; flush, flushes."""
    return plural(base)


def _doubled(base: str) -> str:
    last = base[-3:]
    if len(last) == 3 and last[1] in _VOWELS and not ({last[0], last[2]} & _VOWELS) and last[2] not in "wxy":
        short = len(base) <= 4 or not _VOWELS & set(base[:-2]) or base.startswith(_PREFIXES)
        return base + base[-1] if short and not base.endswith(_NEVER_DOUBLED) else base
    return base


def plural(phrase: str) -> str:
    """The regular plural of a name: cap, caps; switch, switches; assembly, assemblies."""
    if phrase.endswith(("s", "x", "z", "ch", "sh")):
        return phrase + "es"
    if phrase.endswith("y") and phrase[-2:-1] not in _VOWELS:
        return phrase[:-1] + "ies"
    return phrase + "s"


def without_articles(phrase: str) -> str:
    """A wording as learners and notes have it, its inner articles left out: "not touching the flame", "not touching flame";
    "" where there are none, or too little is left."""
    first, *words = phrase.split()
    kept = [word for at, word in enumerate(words) if word not in _ARTICLES or at == len(words) - 1]
    return " ".join([first, *kept]) if len(kept) < len(words) and len(kept) > 1 else ""


def parted(name: str) -> Iterator[str]:
    """A name of two nouns as learners part it: "door seal", the seal of the door, the seal for the door."""
    words = name.split()
    if len(words) == 2 and all(word.isalpha() and len(word) > 2 for word in words) and words[0] not in _SIDES_OF:
        whole, piece = words
        yield from (f"{piece} {led} {whole}" for led in ("of", "of the", "for", "for the"))


def singular(word: str) -> str:
    """A verb in s without it: leaks, leak; hisses, hiss; carries, carry."""
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    return word[:-2] if word.endswith(("sses", "shes", "ches", "xes", "zes")) else word[:-1]


def variants(phrase: str) -> Iterator[str]:
    """A wording with its verb in the other forms: "leaking" also "leaks", "leaked"."""
    words = phrase.split()
    for at, word in enumerate(words):
        for form in _other_forms(word):
            yield " ".join([*words[:at], form, *words[at + 1 :]])


_UNABLE = (
    "won't", "wouldn't", "ll not", "ll no", "doesn't", "didn't", "don't", "can't", "couldn't", "unable to", "refuses to",
    "refused to", "fails to", "doesn't want to", "didn't want to", "not wanting to",
)  # fmt: skip
_UNWILLING = ("doesn't want", "don't want", "not want", "not want to", "no want", "no want to", "isn't want to")
_NOUNS = frozenset("light spark work start pull run turn hold".split())  # "no light", "no work done", "no, hold on"
_NOT_DONE = ("hadn't been", "hasn't been", "haven't been", "never been")
_PLAIN = frozenset("turn light start spark move hold stay work catch ignite spin run pull".split())
_NOT_DOING = ("not", "isn't", "wasn't", "aren't", "weren't")


def refusals(phrase: str) -> Iterator[str]:
    """ "Won't turn" as others say it: "wouldn't turn", "refuses to turn", "not turning", "never turns", "no longer turns"."""
    first, _, rest = phrase.partition(" ")
    if first != "won't" or not rest:
        return
    verb, _, tail = rest.partition(" ")
    tail = " " + tail if tail else ""
    yield from (f"{frame} {rest}" for frame in _UNABLE)
    if verb.startswith("["):
        return  # a class of words has no forms
    yield from (f"{frame} {ing(verb)}{tail}" for frame in _NOT_DOING)
    yield f"never {third(verb)}{tail}"
    yield f"no longer {third(verb)}{tail}"
    yield f"no longer {rest}"
    if verb in _PLAIN:  # as second-language speakers say it: "pump not turn", "oven no stay lit", "no want stay on"
        yield f"not {rest}"
        yield from (f"{frame} {rest}" for frame in _UNWILLING)
        if tail or verb not in _NOUNS:
            yield f"no {rest}"


def loosely(phrase: str) -> Iterator[str]:
    """ "Doesn't get hot" as many say it: "don't get hot"."""
    first, _, rest = phrase.partition(" ")
    if first == "doesn't" and rest:
        yield f"don't {rest}"


def denials(phrase: str) -> Iterator[str]:
    """ "Not seated" as others say it: "isn't seated", "aren't seated"."""
    first, _, rest = phrase.partition(" ")
    if first == "not" and rest:
        yield from (f"{frame} {rest}" for frame in _NOT_DOING[1:])
        if rest.split()[0].endswith(("ed", "ut", "at", "et")):
            yield from (f"{frame} {rest}" for frame in _NOT_DONE)


_LIKENING = (
    "gone", "went", "goes", "turned", "turns", "looks", "looked", "looking", "look", "feels", "felt", "sounds",
    "sounded", "sound", "sounding", "was", "were", "been", "are", "is", "it's", "more", "set", "baked", "moves",
    "acts", "acting", "all", "come out", "seems", "going", "runs", "running", "has gone", "it's gone",
)  # fmt: skip


def likened(phrase: str) -> Iterator[str]:
    """ "Like treacle" as others say it: "gone like treacle", "feels like treacle"."""
    if phrase.startswith("like "):
        yield from (f"{frame} {phrase}" for frame in _LIKENING)


_NO = (
    "not any", "isn't any", "wasn't any", "without any", "couldn't get any", "can't get any", "couldn't see any",
    "couldn't find any", "didn't get any", "doesn't have any", "hasn't any", "hasn't got any", "haven't got any", "never any",
    "hardly any",
)  # fmt: skip


def lacks(phrase: str) -> Iterator[str]:
    """ "No pull" as others say it: "couldn't get any pull", "hasn't got any pull"."""
    first, _, rest = phrase.partition(" ")
    if first == "no" and rest:
        yield from (f"{frame} {rest}" for frame in _NO)


@functools.cache
def base_of(word: str) -> str | None:
    """The likely base of an -ing or -ed form of five letters or more; None when it is none."""
    stem = word[:-3] if word.endswith("ing") else word[:-2] if word.endswith("ed") else ""
    if len(stem) < 3 or not _VOWELS & set(stem + "y" * stem.count("y")):
        return None
    if len(stem) > 3 and stem[-1] == stem[-2] and stem[-1] not in "sl":
        return stem[:-1]
    if word.endswith("ied"):
        return stem[:-1] + "y"
    if stem.endswith(("c", "v", "g", "s", "z")) and not stem.endswith(("ng", "ss")):
        return stem + "e"
    return stem


@functools.cache
def _other_forms(word: str) -> frozenset[str]:
    base = base_of(word)
    return frozenset({past(base, {}), ing(base), third(base)} - {word} if base else ())
