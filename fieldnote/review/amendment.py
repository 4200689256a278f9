"""What a person types to change a line, understood. In: the line, the words, a reader of dictation. Out: changes by field.

Three ways, tried in this order: "field: value"; the phrases of `spoken.toml` and the vocabulary; the reader of dictation for
what is left, of which every word has to count. What is not understood changes nothing: no field is ever guessed.
"""

import functools
import re
import tomllib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import fields
from decimal import Decimal
from importlib import resources
from typing import Any

from fieldnote.errors import UsageProblem
from fieldnote.flow.lines import amended
from fieldnote.records import Declared, Extraction, Finding, FollowUp, ProcedureStep, Reading
from fieldnote.review.words import FIT
from fieldnote.trade.vocabulary import vocabulary

Said = Finding | Reading | Declared | FollowUp | ProcedureStep
Phrases = dict[str, str]  # phrase -> id

_HIDDEN = ("evidence", "why", "confidence", "superseded", "said", "start_value")
_NOT = re.compile(r"[,;]?\s*\b(?:not|rather than|instead of)\b.*$")
_EXPLICIT = re.compile(r"\s*([a-z][a-z_ ]*?)\s*[:=]\s*(.*)\s*", re.IGNORECASE)

_NO_WORD = "xx"  # stands where a word is left out, so that those around it do not meet
_LONGEST_FIGURE = 15  # characters
_FIGURE = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?![\w.]*\d)")


def fields_of(said: Said) -> dict[str, str]:
    """The fields of a line as text, in the form that amendments use: "clean/done, replace/needed" for actions."""
    return {field.name: _text(getattr(said, field.name)) for field in fields(said) if field.name not in _HIDDEN}


def changes_of(said: Said, words: str, read: Callable[[str], Extraction]) -> dict[str, str]:
    """The fields that the words change, with their new values. Raises UsageProblem FN-201 when nothing is understood."""
    changes = _explicit(said, words) or _spoken(said, words, read)
    before = fields_of(said)
    changes = {name: value for name, value in changes.items() if before.get(name) != value}
    if not changes:
        raise UsageProblem("FN-201", what=_changing(words), reason=_help(said))
    _fits(amended(said, changes), changes, words)
    return changes


def _fits(said: Said, changes: dict[str, str], words: str) -> None:
    """Refuse what no calculation could take: a figure that is none, a unit that is not the quantity's own, an unknown basis."""
    if not isinstance(said, Reading):
        return
    allowed = {"unit": [vocabulary().quantities[said.quantity][1]]}
    allowed |= {name: [id_ for id_ in _table()[name] if id_] for name in ("basis", "comparator")}
    for name in changes.keys() & allowed.keys():
        if changes[name] not in ("", *allowed[name]):
            raise UsageProblem("FN-201", what=_changing(words), reason=f"the {name} is {' or '.join(allowed[name])}")
    for name in changes.keys() & {"value", "cubic_feet"}:
        if len(changes[name]) > _LONGEST_FIGURE or not _FIGURE.fullmatch(changes[name]):
            raise UsageProblem("FN-201", what=_changing(words), reason="that is no plain figure")


def _changing(words: str) -> str:
    return f"changing that to \u201c{words.strip()}\u201d"


def _not_understood(words: str, idle: str) -> UsageProblem:
    reason = f"\u201c{idle}\u201d was not understood in it"
    return UsageProblem("FN-201", what=_changing(words), reason=reason)


def _help(said: Said) -> str:
    names = ", ".join(name.rstrip("_") for name in fields_of(said))
    return f"nothing new was understood; say it, or FIELD: VALUE with one of {names}"


def _text(value: object) -> str:
    if isinstance(value, tuple):
        return ", ".join(f"{action.kind}/{action.state}" for action in value)
    return "" if value is None else f"{value:f}" if isinstance(value, Decimal) else str(value)


def _explicit(said: Said, words: str) -> dict[str, str]:
    match = _EXPLICIT.fullmatch(words)
    name = match[1].strip().lower().replace(" ", "_") if match else ""
    name = "class_" if name == "class" else name
    if match is None or name not in fields_of(said):
        return {}
    value = match[2].strip()
    value = _phrases(name).get(_plain(value), value)
    if name == "actions" and any("/" not in part for part in value.split(",") if part.strip()):
        raise UsageProblem(
            "FN-201", what=_changing(words), reason="say of each action whether done, needed or declined"
        )
    return {name: value}


def _spoken(said: Said, words: str, read: Callable[[str], Extraction]) -> dict[str, str]:
    rest = _plain(_NOT.sub("", words.lower()) or words)
    changes: dict[str, str] = {}
    for phrase, name, value in _all_phrases(tuple(fields_of(said))):
        if changes.get(name, value) == value and (found := re.search(rf"(?<!\w){re.escape(phrase)}(?!\w)", rest)):
            changes[name] = value
            rest = f"{rest[: found.start()]} | {rest[found.end() :]}"
    left = [word for word in rest.split() if word not in (*_table()["fill"], "|")]
    if changes and not left:
        return changes
    if understood := _figure(said, left) or _dictated(said, words, left, changes, read):
        return changes | understood
    if changes:
        raise _not_understood(words, " ".join(left))
    return {}


@functools.cache
def _all_phrases(names: tuple[str, ...]) -> tuple[tuple[str, str, str], ...]:
    """Phrases of all these fields, (phrase, field, id), the longest first: "rear left" before "left"."""
    every = [(phrase, name, id_) for name in names for phrase, id_ in _phrases(name).items()]
    return tuple(sorted(every, key=lambda row: -len(row[0])))


def _figure(said: Said, left: list[str]) -> dict[str, str]:
    """A bare figure is the value of a reading, or the days of a follow-up; with any other word beside it, it is not taken."""
    name = {Reading: "value", FollowUp: "due_days"}.get(type(said))
    units = (
        (said.unit.lower(), "millibar" if said.unit == "mbar" else "") if isinstance(said, Reading) else ("day", "days")
    )
    bare = [word for word in left if word not in units]
    return {name: bare[0]} if name and len(bare) == 1 and _FIGURE.fullmatch(bare[0]) else {}


def _dictated(
    said: Said, words: str, left: list[str], known: dict[str, str], read: Callable[[str], Extraction]
) -> dict[str, str]:
    """What the reader of dictation makes of the words, alone and after the name of what the line is about.

    Raises UsageProblem FN-201 when some of the words that are `left` by the phrases do not count: what is understood in part
    could be meant otherwise.
    """
    idle = ""
    for start in ("", f"{_subject(said, known)} "):
        sentence = _Sentence(words.split(), functools.partial(_after, start, said, read))
        without = " ".join(sentence.idle(left))
        if sentence.told and not without:
            return sentence.told
        idle = without if sentence.told else idle
    if idle:
        raise _not_understood(words, idle)
    return {}


class _Sentence:
    """What a person typed, and what a reader is told by it."""

    def __init__(self, spoken: list[str], read: Callable[[str], dict[str, str]]) -> None:
        self.told = read(" ".join(spoken))
        self._spoken = spoken
        self._read = read
        nothing = {"", *_table()["fill"], *_table()["aside"]}
        self._content = [at for at, word in enumerate(spoken) if {*_plain(word).split()} - nothing]

    def idle(self, among: Iterable[str]) -> Iterator[str]:
        """Those of the words that take no part in what was understood."""
        open_ = [at for at in self._content if {*_plain(self._spoken[at]).split()} & {*among}]
        return (self._spoken[at] for at in open_ if not self._counts(at))

    def _counts(self, at: int) -> bool:
        """Whether without a word something else is understood, or alone it says a part of it."""
        if self._without({at}) != self.told:
            return True
        alone, nothing = self._without({*self._content} - {at}), self._without({*self._content})
        return alone != nothing and alone.items() <= self.told.items()

    def _without(self, places: set[int]) -> dict[str, str]:
        return self._read(" ".join(_NO_WORD if at in places else word for at, word in enumerate(self._spoken)))


def _after(start: str, said: Said, read: Callable[[str], Extraction], text: str) -> dict[str, str]:
    return _told(said, read(start + text))


def _told(said: Said, extraction: Extraction) -> dict[str, str]:
    """The fields that were said, when all of it is about one line of the same kind. That a part is in order is taken from its
    own words only ("ok", "good order"), which are phrases: a turn of speech must not write it."""
    every = list(_same_kind(said, extraction))
    if len(every) != 1 or getattr(every[0], "condition", "") in FIT:
        return {}
    new = fields_of(every[0])
    return {name: value for name, value in new.items() if value and not _is_default(every[0], name)}


def _subject(said: Said, known: dict[str, str]) -> str:
    """The name of what a line is about, by its id: labels hold "or", which would make a guess of what is said."""
    id_ = getattr(said, "component", None) or getattr(said, "quantity", None) or getattr(said, "kind", None) or ""
    return (known.get("component") or known.get("quantity") or id_).replace("-", " ")


def _same_kind(said: Said, extraction: Extraction) -> Iterable[Any]:
    every = (
        *(extraction.findings, extraction.doubted),  # who types means it
        *(extraction.readings, extraction.declared, extraction.followups, extraction.procedure),
    )
    return (record for records in every for record in records if type(record) is type(said))


def _is_default(record: Said, name: str) -> bool:
    """What a reader fills in without being told: it must not change what the line says."""
    if name == "component" and isinstance(record, Finding):
        return any(why.field == name and why.rule == "part-implied" for why in record.why)
    return name == "appliance" or (isinstance(record, Finding) and name == "status" and record.status == "present")


@functools.cache
def _table() -> dict[str, Any]:
    text = resources.files("fieldnote.review").joinpath("spoken.toml").read_text("utf-8")
    return tomllib.loads(text)


@functools.cache
def _phrases(name: str) -> Phrases:
    """Every phrase of a field: ids, the parts of their labels, and what `spoken.toml` adds."""
    words = vocabulary()
    tables: dict[str, dict[str, str]] = {
        "appliance": words.appliances,
        "component": words.components,
        "condition": words.conditions,
        "status": words.statuses,
        "quantity": {id_: label for id_, (label, _) in words.quantities.items()},
        "class_": words.classes,
        "kind": words.followups,
        "position": dict.fromkeys(_table()["position"], ""),
        "burner": dict.fromkeys(_table()["burner"], ""),
        "phase": dict.fromkeys(_table()["phase"], ""),
        "basis": dict.fromkeys(_table()["basis"], ""),
    }
    phrases = {
        _plain(part): id_
        for id_, label in tables.get(name, {}).items()
        for part in (id_, label, *re.split(r"[,()]", label))
    }
    phrases |= {phrase: id_ for id_, said in _table().get(name, {}).items() for phrase in said}
    if name == "position":
        phrases |= {_plain(id_): id_ for id_ in "left right front rear others".split()}
        phrases |= {_plain(id_): id_ for id_ in "front-left front-right rear-left rear-right".split()}
    return {phrase: id_ for phrase, id_ in phrases.items() if phrase} | _actions(name)


def _actions(name: str) -> Phrases:
    """ "cleaned" is done; "needs cleaning", "clean needed" are needed; "cleaning declined" is declined."""
    if name != "actions":
        return {}
    phrases = {"no action": "", "nothing done": ""}
    for id_ in vocabulary().actions:
        stem = id_.removesuffix("e")
        past = f"{id_}d" if id_.endswith("e") else f"{id_}led" if id_ == "label" else f"{id_}ed"
        phrases |= {past: f"{id_}/done", f"{id_} done": f"{id_}/done"}
        for noun in (f"{stem}ing", id_, past, f"a {id_}"):
            phrases |= {
                f"needs {noun}": f"{id_}/needed",
                f"to be {noun}": f"{id_}/needed",
                f"{noun} needed": f"{id_}/needed",
            }
            phrases |= {f"{noun} declined": f"{id_}/declined", f"{noun} refused": f"{id_}/declined"}
    return phrases


def _plain(text: str) -> str:
    """Lower case, words only, single spaces; a dash joins nothing."""
    bare = text.lower().replace("\u2019", "'").replace("'s", "").replace("-", " ")
    return " ".join(word.rstrip(".") for word in re.sub(r"[^\w.%<>+]+", " ", bare).split())
