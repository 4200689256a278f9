"""What a person types to change a line, understood. In: the line, the words, a reader of dictation. Out: changes by field.

Three ways, tried in this order: "field: value"; the phrases of `spoken.toml` and the vocabulary; the reader of dictation for
what is left. What is not understood changes nothing: no field is ever guessed.
"""

import functools
import re
import tomllib
from collections.abc import Callable, Iterable
from dataclasses import fields
from decimal import Decimal
from importlib import resources
from typing import Any

from fieldnote.errors import UsageProblem
from fieldnote.flow.lines import amended
from fieldnote.records import Declared, Extraction, Finding, FollowUp, ProcedureStep, Reading
from fieldnote.trade.vocabulary import vocabulary

Said = Finding | Reading | Declared | FollowUp | ProcedureStep
Phrases = dict[str, str]  # phrase -> id

_HIDDEN = ("evidence", "why", "confidence", "superseded", "said", "start_value")
_NOT = re.compile(r"[,;]?\s*\b(?:not|rather than|instead of)\b.*$")
_EXPLICIT = re.compile(r"\s*([a-z][a-z_ ]*?)\s*[:=]\s*(.*)\s*", re.IGNORECASE)
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
        raise UsageProblem("FN-201", what=f"changing that to \u201c{words.strip()}\u201d", reason=_help(said))
    amended(said, changes)
    return changes


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
    return {name: _phrases(name).get(_plain(value), value)}


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
    return changes | understood if (understood := _figure(said, left) or _dictated(said, words, changes, read)) else {}


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


def _dictated(said: Said, words: str, known: dict[str, str], read: Callable[[str], Extraction]) -> dict[str, str]:
    """What the reader of dictation makes of the words, alone and after the name of what the line is about."""
    for text in (words, f"{_subject(said, known)} {words}"):
        for record in _same_kind(said, read(text)):
            new = fields_of(record)
            if told := {name: value for name, value in new.items() if value and not _is_default(record, name)}:
                return told
    return {}


def _subject(said: Said, known: dict[str, str]) -> str:
    id_ = getattr(said, "component", None) or getattr(said, "quantity", None) or getattr(said, "kind", None) or ""
    id_ = known.get("component") or known.get("quantity") or id_
    return vocabulary().label(id_).partition(" (")[0].lower()


def _same_kind(said: Said, extraction: Extraction) -> Iterable[Any]:
    every = (extraction.findings, extraction.readings, extraction.declared, extraction.followups, extraction.procedure)
    return (record for records in every for record in records if type(record) is type(said))


def _is_default(record: Said, name: str) -> bool:
    """What a reader fills in without being told: it must not change what the line says."""
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
    }
    phrases = {
        _plain(part): id_ for id_, label in tables.get(name, {}).items() for part in (id_, *re.split(r"[,()]", label))
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
