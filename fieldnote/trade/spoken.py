"""How the trade says things: names of parts, places and sizes, wordings of conditions and of work. Comes in: the tables of
data/spoken. Goes out: `Spoken`, checked as a whole.

Phrases are lower case, hyphens are spaces. Not allowed to know: how they are found in a talk.
"""

import functools
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field

from fieldnote.errors import InputProblem
from fieldnote.trade import tables
from fieldnote.trade.vocabulary import vocabulary

STRANGER = "stranger"  # stands for a part's id where the thing named is no part that a finding can be of


class Names(tables.Row):
    """What something is called. `weak` names need more around them, `parts` are parts of it, `heard` what a recogniser writes.

    `misheard` pairs what a recogniser writes with what must stand around it (see the head of components.toml).
    """

    says: list[str]
    of: list[str] = Field(default_factory=list)
    weak: list[str] = Field(default_factory=list)
    parts: list[str] = Field(default_factory=list)
    heard: list[str] = Field(default_factory=list)
    misheard: list[Annotated[list[str], Field(min_length=2, max_length=2)]] = Field(default_factory=list)
    not_: list[str] = Field(default_factory=list)


class Group(tables.Row):
    """A word for several places: `gives` holds places, or how to find them (last-two, rest, listed, first-two)."""

    gives: list[str]
    says: list[str]


class Places(tables.Row):
    """Places, burner sizes and groups of places, by id."""

    position: dict[str, Names]
    burner: dict[str, Names]
    group: dict[str, Group]


class Limit(tables.Row):
    """Wordings that mean the condition only when said of the components in `of`; those that stand `alone` tell their part."""

    of: list[str]
    says: list[str]
    alone: bool = False


class Condition(tables.Row):
    """The wordings of one condition, free and limited, and near misses. `only` and `never` name the components or families
    that alone can have it, or cannot: no cap is dead, nothing but a hose or pipe is kinked; `seldom` those that have it only
    where it is said of them by name: no carried talk of a jet means that it is "off"."""

    says: list[str]
    only: list[str] = Field(default_factory=list)
    never: list[str] = Field(default_factory=list)
    seldom: list[str] = Field(default_factory=list)
    limits: list[Limit] = Field(default_factory=list)
    not_: list[str] = Field(default_factory=list)


class Work(tables.Row):
    """The wordings of one kind of work; * in a phrase stands for up to four words. `cures`: nouns that tell it where it is said
    that it helped ("a clean of the tip cured it")."""

    verbs: list[str]
    done: list[str] = Field(default_factory=list)
    needed: list[str] = Field(default_factory=list)
    cures: list[str] = Field(default_factory=list)
    not_: list[str] = Field(default_factory=list)


class Words(tables.Row):
    """A class of words that `[its name]` stands for in a wording; `before` may stand before them ("burnt on" before "fat")."""

    says: list[str]
    before: list[str] = Field(default_factory=list)


class Built(tables.Row):
    """Wordings of a condition built of their parts: a phrase of the first list, one of the second and so on; "" leaves its place
    out. `of` and `alone` as in a limit, `never` as in a condition. `yes` is a sentence that tells the condition by them, `no` one
    that does not."""

    condition: str
    parts: list[list[str]]
    of: list[str] = Field(default_factory=list)
    never: list[str] = Field(default_factory=list)
    alone: bool = False
    yes: str
    no: str


class Spoken(tables.Row):
    """Everything together. `families` names sets of components; `irregular` maps verbs to their past forms."""

    components: dict[str, Names]
    appliances: dict[str, Names]
    places: Places
    families: dict[str, list[str]]
    contexts: dict[str, list[str]]
    conditions: dict[str, Condition]
    irregular: dict[str, str]
    actions: dict[str, Work]
    classes: dict[str, Words]
    built: list[Built]
    strangers: Names

    def found_at(self, component: str) -> frozenset[str]:
        """The appliances that have a component; a thing that is no part of the gas installation may stand by any."""
        return frozenset(self.appliances if component == STRANGER else self.components[component].of)

    def members(self, of: list[str]) -> frozenset[str]:
        """The component ids behind a list of ids and family names."""
        if "any" in of:
            return frozenset(self.components)
        return frozenset(id_ for name in of for id_ in self.families.get(name, [name]))

    def impossible(self, condition: str) -> frozenset[str]:
        """The components that cannot have a condition, whatever the words. Common practice, no source."""
        told = self.conditions[condition]
        other = self.components.keys() - self.members(told.only) if told.only else frozenset()
        return self.members(told.never) | other

    def unlikely(self, condition: str) -> frozenset[str]:
        """The components that have a condition only where it is said of them by name. Common practice, no source."""
        return self.members(self.conditions[condition].seldom)


_given: list[Spoken] = []


def give(plain: dict[str, Any]) -> None:
    """Take the wordings that ship with the program as plain values (`Spoken.model_dump`): reading the files takes ten times as
    long. Raises ValueError when they are not of that shape."""
    _given.append(Spoken.model_validate(plain))


@functools.cache
def spoken() -> Spoken:
    """The wordings that ship with the program. Raises InputProblem FN-304 naming everything that is wrong with them."""
    return _given[-1] if _given else load(tables.folder() / "spoken")


def load(folder: Path) -> Spoken:
    """The wordings of a folder."""
    read = {
        name: tables.read(folder / f"{name}.toml")
        for name in (
            "components",
            "appliances",
            "places",
            "conditions",
            "actions",
            "said_of",
            "said_of_cooking",
            "pictures",
            "classes",
            "built",
        )
    }
    for name in ("said_of", "said_of_cooking", "pictures"):
        _said_of(read.pop(name), read["conditions"])
    lists = read["built"].pop("lists", {})
    raw = {
        "contexts": read["components"].pop("contexts", {}),
        "families": read["conditions"].pop("groups", {}),
        "irregular": read["actions"].pop("verbs", {}),
        "strangers": read["components"].pop("strangers", {"says": []}),
        "built": [_with_lists(row, lists) for row in read.pop("built").get("said", [])],
        **read,
    }
    found: Spoken = tables.fit(Spoken, raw, folder)
    wrong = list(_problems(found))
    if wrong:
        raise InputProblem("FN-304", path=folder, reason="; ".join(wrong))
    return found


def _with_lists(row: dict[str, Any], lists: dict[str, list[str]]) -> dict[str, Any]:
    """A row of built wordings with the phrases of a list where its name stands among the parts."""
    parts = row.get("parts", [])
    phrases = [
        [said for one in part for said in (lists.get(one.strip("@"), [one]) if one.startswith("@") else [one])]
        for part in parts
    ]
    return {**row, "parts": phrases}


def _said_of(parts: dict[str, Any], conditions: dict[str, Any]) -> None:
    """What is said of one part only joins the wordings of its condition, limited to that part."""
    alone = parts.pop("alone", {})
    for part, wordings in alone.items():
        for condition, says in wordings.items():
            limits = conditions.setdefault(condition, {"says": []}).setdefault("limits", [])
            limits.append({"of": [part], "says": says, "alone": True})
    freely = {id_: {tuple(said.split()) for said in known.get("says", ())} for id_, known in conditions.items()}
    others: dict[tuple[str, ...], set[str]] = {}
    for id_, phrases in freely.items():
        for phrase in phrases:
            others.setdefault(phrase, set()).add(id_)
    for part, wordings in parts.items():
        for condition, says in wordings.items():
            known = conditions.setdefault(condition, {"says": []})
            free = freely.get(condition, set())
            own = [said for said in says if not _told_freely(tuple(said.split()), free, others, condition)]
            known.setdefault("limits", []).append({"of": [part], "says": own})


def _told_freely(
    phrase: tuple[str, ...], free: set[tuple[str, ...]], others: Mapping[tuple[str, ...], set[str]], condition: str
) -> bool:
    """Whether a wording holds one that means the same of any part ("crack in it" holds "crack"), and none within it that means
    something else: "bearings have had it" are worn by "had it", but "have had it" would tell them dead."""
    lengths = range(1, len(phrase) + 1)
    held = [phrase[at : at + size] for size in lengths for at in range(len(phrase) - size + 1)]
    within = all(others.get(one, {condition}) == {condition} for one in held[:-1])
    return any(one in free for one in held) and (within or phrase in others)


def _problems(found: Spoken) -> Iterator[str]:
    words = vocabulary()
    known: list[tuple[str, Mapping[str, object], Mapping[str, object]]] = [
        ("component", found.components, words.components),
        ("appliance", found.appliances, words.appliances),
        ("condition", found.conditions, words.conditions),
        ("action", found.actions, words.actions),
    ]
    for kind, table, ids in known:
        yield from (f"{kind} {id_} is not in the vocabulary" for id_ in table if id_ not in ids)
    for id_, condition in found.conditions.items():
        for of in (condition.only, condition.never, *(limit.of for limit in condition.limits)):
            yield from (f"{id_}: no component or family {m}" for m in found.members(of) if m not in words.components)
        yield from _twice(id_, condition.says)
        yield from _classless(
            id_, [*condition.says, *(said for limit in condition.limits for said in limit.says)], found
        )
    for row in found.built:
        where = f"{row.condition}, built"
        yield from (
            f"{where}: no component or family {m}"
            for m in found.members([*row.of, *row.never])
            if m not in words.components
        )
        yield from (f"{where}: no condition of the vocabulary" for _ in (1,) if row.condition not in words.conditions)
        yield from (f"{where}: a part may not be empty" for part in row.parts if not any(part))
        yield from (f"{where}: no list {one}" for part in row.parts for one in part if one.startswith("@"))
    for id_, work in found.actions.items():
        yield from _classless(id_, [*work.done, *work.needed, *work.cures, *work.not_], found)
    for kind, table in (("component", found.components), ("appliance", found.appliances)):
        for id_, names in table.items():
            yield from _twice(f"{kind} {id_}", [*names.says, *names.weak, *names.parts])
            yield from _classless(f"{kind} {id_}", [*names.says, *names.weak, *names.parts], found)
            yield from (f"{kind} {id_}: no appliance {of}" for of in names.of if of not in words.appliances)


def _classless(where: str, phrases: list[str], found: Spoken) -> Iterator[str]:
    named = {word.strip("[]") for phrase in phrases for word in phrase.split() if word.startswith("[")}
    yield from (f"{where}: no class of words {name}" for name in named - found.classes.keys())


def _twice(where: str, phrases: list[str]) -> Iterator[str]:
    seen: set[str] = set()
    for phrase in phrases:
        if phrase in seen:
            yield f"{where}: {phrase!r} stands there twice"
        seen.add(phrase)


def plain_names() -> dict[str, tuple[str, ...]]:
    """The plain names of components, appliances and places by id, for a recogniser's hints."""
    found = spoken()
    tables_ = (found.components, found.appliances, found.places.position, found.places.burner)
    return {id_: tuple(names.says) for table in tables_ for id_, names in table.items()}


def wordings() -> Iterator[str]:
    """Everything that people say by these tables: names, conditions and work, not what a recogniser makes of them."""
    found = spoken()
    places = found.places
    for named in (found.components, found.appliances, places.position, places.burner):
        for names in named.values():
            yield from (*names.says, *names.weak, *names.parts)
    for condition in found.conditions.values():
        yield from condition.says
        yield from (said for limit in condition.limits for said in limit.says)
    for work in found.actions.values():
        yield from (*work.verbs, *work.done, *work.needed, *work.cures)
    for group in places.group.values():
        yield from group.says
    for class_ in found.classes.values():
        yield from class_.says
