"""Prose in the words of the trade, handed to the recogniser as context.

Comes in: `hints.toml` and the trade's vocabulary. Goes out: one text. It may know what things are called, never what was
said or measured: there is no number in it.
"""

import functools
import re
import tomllib
from collections import Counter
from importlib import resources

from fieldnote.trade.spoken import wordings
from fieldnote.trade.vocabulary import Vocabulary, vocabulary

COMMON = frozenset(
    "a all and as at by current does for gas has hold in no not of off on or out part room the time to top type up".split()
)

_PLACE = re.compile(r"\{([a-z]+):([a-z0-9-]+)\}")


@functools.cache
def prose() -> str:
    """The whole hint. Raises KeyError when `hints.toml` names an id that the vocabulary does not have."""
    raw = tomllib.loads(resources.files("fieldnote.speech").joinpath("hints.toml").read_text("utf-8"))
    names = vocabulary()
    return " ".join(_PLACE.sub(lambda found: _first_name(names, found[1], found[2]), line) for line in raw["prose"])


def _first_name(names: Vocabulary, kind: str, id_: str) -> str:
    """The first name of an id, without what stands in brackets: "Burner ring (crown)" is "burner ring"."""
    table: dict[str, str] = {
        "appliance": names.appliances,
        "component": names.components,
        "condition": names.conditions,
        "quantity": {key: label for key, (label, _) in names.quantities.items()},
    }[kind]
    name = re.split(r"[(,]", table[id_])[0].strip()
    return name if name[:2].isupper() else name[0].lower() + name[1:]


@functools.cache
def lexicon() -> frozenset[str]:
    """The words of the trade, in lower case: of the vocabulary's labels and of the prose; short and common words left out."""
    names = vocabulary()
    labels = [
        *names.appliances.values(),
        *names.components.values(),
        *names.conditions.values(),
        *names.actions.values(),
    ]
    labels += [label for label, _ in names.quantities.values()]
    words = re.findall(r"[a-z]{2,}", " ".join([*labels, prose()]).lower())
    return frozenset(word for word in words if word not in COMMON)


@functools.cache
def familiar() -> frozenset[str]:
    """Words in which people talk about this work: those of two wordings or more, in lower case. Most are everyday words."""
    counted = Counter(word for said in wordings() for word in set(re.findall(r"[a-z]+(?:'[a-z]+)?", said.lower())))
    return frozenset(word for word, times in counted.items() if times > 1)
