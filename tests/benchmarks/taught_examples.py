"""The examples that the second reader is taught by. In: learnt sets, golden cases, sentences of one fact. Out: `Example`.

Never from UNREAD, nor from FITTED, on which the joining with the rules is fitted.
"""

import json
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from calibration import LEARNT, ROOT, cases, score
from tokenizers import Tokenizer

from fieldnote.extract import Extractor

FIELDS = ("condition", "status", "position", "burner")
LONGEST = 510  # pieces of a text
_RARE = 20  # work of a kind that is told less often is not taught
_SENTENCES = (2, 6)  # of one fact that are put together to a text
_SHORTEST = 4  # pieces
Span = tuple[int, int]


@dataclass(slots=True)
class Names:
    """The names of each field, in the order in which the network numbers them."""

    of: dict[str, list[Any]]

    def numbers(self, name: str, values: Sequence[Any]) -> list[int]:
        """The numbers of those values that have one."""
        return [self.of[name].index(value) for value in values if value in self.of[name]]


@dataclass(slots=True)
class Question:
    """A part and the pieces that speak of it; `valid`: whether anything is found of it (None: not known); the right answers of
    each field, work included; None where nothing is found."""

    part: int
    span: Span
    valid: bool | None
    answers: dict[str, list[int]] | None


@dataclass(slots=True)
class Example:
    """A text by its pieces. `spoken`: part and pieces that speak of it; `unsure`: where that is not known."""

    ids: list[int]
    spoken: list[tuple[int, Span]] = field(default_factory=list)
    unsure: list[tuple[int, Span]] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)


@dataclass(slots=True)
class Told:
    """A text with its labels, and what the rules read in it."""

    text: str
    labels: list[dict[str, Any]]
    read: list[dict[str, Any]]


def several(value: Any) -> list[Any]:
    """The values that a label accepts."""
    return value if isinstance(value, list) else [value]


def read_by(extractor: Extractor, text: str) -> list[dict[str, Any]]:
    """What the rules read in a text, filed or not."""
    got = extractor.read(text)
    return [
        {
            **{key: getattr(one, key) for key in score.FINDING_KEYS},
            "actions": [{"kind": action.kind, "state": action.state} for action in one.actions],
            "evidence": {"start": one.evidence.start, "end": one.evidence.end},
        }
        for one in (*got.findings, *got.doubted)
    ]


def dictations(extractor: Extractor) -> Iterator[Told]:
    """The learnt sets, each with what the rules make of it today and made of it before it was read."""
    before: dict[tuple[str, str], list[dict[str, Any]]] = {}
    for line in map(json.loads, (ROOT / "tests/benchmarks/blind.jsonl").read_text("utf-8").splitlines()):
        keys = (*score.FINDING_KEYS, "actions", "start", "end")
        told = [dict(zip(keys, fact, strict=False)) for fact in line["facts"]]
        before[line["set"], line["case"]] = [
            {**one, "evidence": {"start": one["start"], "end": one["end"]}} for one in told
        ]
    for name in LEARNT:
        for id_, case in cases(name).items():
            yield Told(case["text"], case["findings"], read_by(extractor, case["text"]) + before.get((name, id_), []))


def idle() -> Iterator[Told]:
    """Talk of the trade in which nothing is found; a test measures by other lines."""
    for text in (ROOT / "tests/cases/idle-learnt.txt").read_text("utf-8").splitlines():
        yield Told(text, [], [])


def golden(extractor: Extractor) -> Iterator[Told]:
    """The golden cases: a test holds the rules to them, so that what they read is the label."""
    for path in sorted((ROOT / "tests/cases/findings").glob("*.txt")):
        text = path.read_text("utf-8").partition("---\n")[0].strip()
        yield Told(text, read_by(extractor, text), [])


def sentences() -> Iterator[Told]:
    """Sentences of one fact each, some put together to a text; those batches that no test measures by."""
    rows = [line.split("\t") for line in (ROOT / "tests/cases/wordings.tsv").read_text("utf-8").splitlines()]
    rows = [row for row in rows if row[0] != "b1"]
    random.shuffle(rows)
    while rows:
        some, rows = (rows[: (n := random.randint(*_SENTENCES))], rows[n:])
        between = random.choice([". ", ". ", ", ", " ", " and ", " then "])
        text, labels = "", []
        for _, component, condition, sentence in some:
            text += between if text else ""
            here = {"start": len(text), "end": len(text) + len(sentence)}
            text += sentence
            fields = {"component": component, "condition": condition, "status": "present", "position": None}
            burners = [None, "oven", "grill", "auxiliary", "rapid", "wok", "semi-rapid"]  # a name may say it
            labels.append({**fields, "burner": burners, "actions": [], "evidence": here})
        yield Told(text, labels, [])


def names(told: Sequence[Told]) -> Names:
    """Every name that labels or rules give."""
    of: dict[str, list[Any]] = {}
    for name in ("component", *FIELDS):
        seen = {value for one in told for label in (*one.labels, *one.read) for value in several(label.get(name))}
        of[name] = sorted(
            seen - ({None} if name == "component" else set()), key=lambda value: (value is not None, value or "")
        )
    work = [act for one in told for label in one.labels for act in acts(label)]
    of["acts"] = sorted(act for act in set(work) if work.count(act) >= _RARE)
    return Names(of)


def acts(label: dict[str, Any]) -> list[str]:
    """The work of a label as "kind/state"."""
    return [f"{several(act['kind'])[0]}/{several(act['state'])[0]}" for act in label.get("actions") or [] if act]


def example(told: Told, numbers: Names, cutter: Tokenizer) -> Example:
    """A text by its pieces, with everything that can be asked of it."""
    cut = cutter.encode(told.text)
    made, spans = Example(list(cut.ids)), [_span(label, told.read) for label in told.labels]
    for label, span in zip(told.labels, spans, strict=True):
        parts = numbers.numbers("component", several(label["component"]))
        here = _pieces(cut.offsets, span)
        known = parts[:1] if here and not label.get("optional") else []
        made.spoken += [(part, here) for part in known if here]
        made.unsure += [(part, here or (0, len(cut.ids))) for part in parts if part not in known]
        if here:
            made.questions += [Question(part, here, True, _answers(label, numbers)) for part in parts[:2]]
    for one in told.read:
        made.questions += _of_read(one, told.labels, spans, numbers, cut.offsets)
    return made


def examples(told: Sequence[Told], numbers: Names, cutter: Tokenizer) -> list[Example]:
    """All that are long enough to be read."""
    return [one for one in (example(one, numbers, cutter) for one in told) if len(one.ids) >= _SHORTEST]


def _of_read(
    one: dict[str, Any], labels: list[dict[str, Any]], spans: list[Span | None], numbers: Names, offsets: list[Span]
) -> Iterator[Question]:
    """What a rule read, as a question: the label that it comes nearest to is the answer; without a label it is not valid."""
    here = one["evidence"]["start"], one["evidence"]["end"]
    of_part = [
        (label, span)
        for label, span in zip(labels, spans, strict=True)
        if one["component"] in several(label["component"])
    ]
    there = [label for label, span in of_part if span and span[0] < here[1] and here[0] < span[1]]
    for keys in (score.FINDING_KEYS, score.FINDING_KEYS[:4], score.FINDING_KEYS[:3], score.FINDING_KEYS[:1]):
        if near := [label for label in there if score.same_finding(label, one, keys)]:
            break
    for part in numbers.numbers("component", [one["component"]]):
        valid = True if near else None if of_part else False
        if pieces := _pieces(offsets, here):
            yield Question(part, pieces, valid, _answers(near[0], numbers) if near else None)


def _answers(label: dict[str, Any], numbers: Names) -> dict[str, list[int]]:
    fields = {name: numbers.numbers(name, several(label.get(name))) for name in FIELDS}
    return {**fields, "acts": numbers.numbers("acts", acts(label))}


def _span(label: dict[str, Any], read: list[dict[str, Any]]) -> Span | None:
    """The characters of a label: its own, or those of what the rules read alike."""
    for keys in (score.FINDING_KEYS, score.FINDING_KEYS[:4], score.FINDING_KEYS[:3]):
        for one in [label] if "evidence" in label else [one for one in read if score.same_finding(label, one, keys)]:
            return one["evidence"]["start"], one["evidence"]["end"]
    return None


def _pieces(offsets: list[Span], span: Span | None) -> Span | None:
    """The pieces of some characters; None where they are not known or the text was cut off before them."""
    inside = [n for n, (start, end) in enumerate(offsets) if span and start < span[1] and end > span[0] and end > start]
    return (inside[0], inside[-1] + 1) if inside else None


def cutter(base: Path) -> Tokenizer:
    """What cuts a text into the pieces that the encoder knows."""
    made = Tokenizer.from_file(str(base / "tokenizer.json"))
    made.no_padding()
    made.enable_truncation(LONGEST)
    return made
