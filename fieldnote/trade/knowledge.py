"""What the trade knows besides arithmetic and limits: checklists, symptoms, situations, cautions, likely readings.

Comes in: data files. Goes out: checked, frozen rows. Every id of a component, condition, quantity, class or action must be
one of the vocabulary, every source one of sources.toml; all faults are said at once.
"""

import functools
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Literal

from pydantic import Field

from fieldnote.errors import InputProblem
from fieldnote.trade import tables
from fieldnote.trade.catalogue import Pair, calculations
from fieldnote.trade.tables import Grade, Number, Row
from fieldnote.trade.vocabulary import Vocabulary, vocabulary


class Sourced(Row):
    """A row that says where it comes from."""

    id: str
    source: str
    grade: Grade

    def cited(self) -> str:
        """The source as people read it."""
        line = tables.sources()[self.source].line()
        return line.lower() if self.source in ("practice", "memory") else line


class ListPoint(Sourced):
    """One point of a checklist and what counts as having said it."""

    text: str
    by_component: list[str] = Field(default=[])
    by_quantity: list[str] = Field(default=[])
    by_step: list[str] = Field(default=[])
    by_action: list[str] = Field(default=[])


class Checklist(Row):
    """What is usually looked at for a kind of work."""

    id: str
    title: str
    names: list[str]
    appliances: list[str]
    points: list[ListPoint]


class Symptom(Sourced):
    """What a finding points to and what to look at next."""

    title: str
    component: list[str]
    condition: list[str]
    appliance: list[str] = Field(default=[])
    spread: Literal["one", "all", "any"]
    points_to: list[str]
    next: list[str]


class Question(Sourced):
    """A danger class to consider because of a finding."""

    asks: str
    component: list[str]
    condition: list[str]
    reason: str


class ResultQuestion(Sourced):
    """A danger class to consider because of a result outside its limit."""

    asks: str
    calculation: str
    reason: str


class Procedure(Row):
    """Which steps the record of an unsafe situation should have."""

    class_: str
    steps: list[str]
    refused: str
    report: str = ""
    report_source: str = ""
    source: str
    grade: Grade


class Situations(Row):
    """Everything of situations.toml."""

    region: str
    question: list[Question]
    result_question: list[ResultQuestion]
    procedure: list[Procedure]
    step_names: dict[str, str]
    step_actions: dict[str, list[str]]


class Caution(Sourced):
    """A usual caution and what brings it up."""

    text: str
    always: bool = False
    component: list[str] = Field(default=[])
    action: list[str] = Field(default=[])
    quantity: list[str] = Field(default=[])


class EmergencySteps(Row):
    """What comes before anything else."""

    text: str
    steps: list[str]
    source: str
    grade: Grade

    def lines(self, number: str = "the one for where you are") -> tuple[str, ...]:
        """The steps, with the number to call or what is to be said of it."""
        return tuple(step.replace("{number}", number) for step in self.steps)


class Cautions(Row):
    """Everything of cautions.toml."""

    emergency: EmergencySteps
    caution: list[Caution]


class Likely(Row):
    """What is likely for a quantity."""

    likely: Pair
    by_gas: bool = False
    once: bool = False


class Remark(Sourced):
    """Something that a value brings up."""

    quantity: str
    above: Number | None = None
    below: Number | None = None
    gas: list[str] = Field(default=[])
    kind: Literal["emergency", "question", "symptom", "tell", "caution"]
    text: str
    next: list[str]


class Readings(Row):
    """Everything of readings.toml."""

    likely: dict[str, Likely]
    remark: list[Remark]
    speaks_of: dict[str, list[str]]


class _Checklists(Row):
    checklist: list[Checklist]


class _Symptoms(Row):
    symptom: list[Symptom]


@functools.cache
def checklists() -> list[Checklist]:
    """The checklists."""
    file: _Checklists = _load(_Checklists, "checklists.toml")
    return file.checklist


@functools.cache
def symptoms() -> list[Symptom]:
    """The symptoms."""
    file: _Symptoms = _load(_Symptoms, "symptoms.toml")
    return file.symptom


@functools.cache
def situations() -> Situations:
    """Unsafe situations: questions and procedures."""
    return _load(Situations, "situations.toml")  # type: ignore[no-any-return]


@functools.cache
def cautions() -> Cautions:
    """Cautions and emergency steps."""
    return _load(Cautions, "cautions.toml")  # type: ignore[no-any-return]


@functools.cache
def readings() -> Readings:
    """Likely readings and remarks."""
    return _load(Readings, "readings.toml")  # type: ignore[no-any-return]


def _load(kind: Any, name: str) -> Any:
    path = tables.folder() / name
    raw = tables.read(path)
    file = tables.fit(kind, raw, path)
    if faults := sorted(set(_faults(raw, vocabulary()))):
        raise InputProblem("FN-304", path=path, reason="; ".join(faults))
    return file


def _known(words: Vocabulary) -> Mapping[str, Iterable[str]]:
    """Which keys of a file hold ids, and which ids there are."""
    return {
        "component": words.components,
        "by-component": words.components,
        "condition": words.conditions,
        "appliance": words.appliances,
        "appliances": words.appliances,
        "quantity": words.quantities,
        "by-quantity": words.quantities,
        "action": words.actions,
        "by-action": words.actions,
        "asks": words.classes,
        "class": words.classes,
        "calculation": calculations(),
        "gas": tables.gases(),
        "source": tables.sources(),
    }


def _faults(value: Any, words: Vocabulary) -> Iterator[str]:
    """Ids that nothing is known as, anywhere in a file, and ids that are there twice in one list."""
    if isinstance(value, list):
        ids = [item["id"] for item in value if isinstance(item, dict) and "id" in item]
        yield from (f"{id_} is there twice" for id_ in ids if ids.count(id_) > 1)
        for item in value:
            yield from _faults(item, words)
    if isinstance(value, dict):
        known = _known(words)
        for key, inner in value.items():
            yield from _unknown(key, inner, known.get(key))
            yield from _faults(inner, words)


def _unknown(key: str, value: Any, known: Iterable[str] | None) -> Iterator[str]:
    if known is None:
        return
    for id_ in value if isinstance(value, list) else [value]:
        if isinstance(id_, str) and id_ not in known:
            yield f"{key}: nothing is known as {id_}"
