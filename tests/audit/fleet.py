"""Fleets of invented notebooks with known truth: what was planted is counted while it is planted, apart from the program.

`notebook` makes one engineer's notebook of any size, `fleet` many of them. Dangers, results outside a limit, overdue
follow-ups, unsaid points, stale checks and a bias in what an engineer changes are planted by exact counts, never by chance.
"""

import json
import random
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from fieldnote.audit.fold import line_id
from fieldnote.bundle import Contents, KeyPair, write_bundle
from fieldnote.flow.pack import records_of
from fieldnote.flow.view import view
from fieldnote.notebook import Notebook, log
from fieldnote.notebook.schema import connect
from fieldnote.records import Check, Entry, Limit, Point, Quantity, Result, to_plain
from fieldnote.trade.knowledge import situations

START = datetime(2026, 9, 1, 8, 0, tzinfo=UTC)
COMPONENTS = "electrode injector burner-cap magnet-unit tap-seal hose thermocouple knob joint regulator".split()
CONDITIONS = "cracked blocked worn dirty perished stiff loose corroded ok ok ok".split()
POSITIONS = ["front-left", "front-right", "rear-left", "rear-right", None]
STEPS = ["responsible-person-told", "permission-given", "isolated", "label-attached", "notice-left", "notice-signed"]


@dataclass(frozen=True)
class Plan:
    """What to plant in one notebook. Counts are of visits, but `changed`: of every hundred findings decided, how many a
    person changed. `decided` is how many visits of all are decided; `minutes` the time from recording to decision.
    """

    engineer: str
    visits: int = 10
    findings: int = 20
    decided: int = 8
    changed: int = 10
    at_risk: int = 1
    immediately: int = 0
    outside: int = 1
    overdue: int = 1
    unsaid: int = 2
    contradictions: int = 1
    stale: int = 0
    minutes: int = 90
    seed: int = 1


@dataclass
class Truth:
    """What was planted, by visit reference or counted."""

    visits: list[str] = field(default_factory=list)
    dangers: dict[str, tuple[str, str, str]] = field(default_factory=dict)
    outside: set[str] = field(default_factory=set)
    overdue: set[str] = field(default_factory=set)
    unsaid: set[str] = field(default_factory=set)
    contradictions: set[str] = field(default_factory=set)
    open: dict[str, int] = field(default_factory=dict)
    pairs: Counter[tuple[str, str]] = field(default_factory=Counter)
    changed: Counter[str] = field(default_factory=Counter)
    decided: Counter[str] = field(default_factory=Counter)
    faults: Counter[tuple[str, str]] = field(default_factory=Counter)
    lines: int = 0


def notebook(folder: Path, plan: Plan) -> Truth:
    """Make one notebook in `folder`; returns what was planted in it."""
    with Notebook.open(folder, create=True, clock=lambda: START):
        pass
    truth = Truth()
    db = connect(folder, write=True)
    db.execute("pragma synchronous = off")
    writer = Writer(log.last(db))
    rows = [row for number in range(plan.visits) for row in _visit(writer, plan, number, truth)]
    db.execute("begin")
    places = ", ".join("?" * 12)
    db.conn.executemany(f"insert into record ({log.COLUMNS}) values ({places})", rows)
    db.execute("commit")
    db.execute("pragma wal_checkpoint(truncate)")
    db.close()
    return truth


def fleet(folder: Path, plans: Sequence[Plan]) -> list[Truth]:
    """One notebook for each plan, in folders of their own."""
    truths = []
    for number, plan in enumerate(plans):
        place = folder / f"{number:04}-{plan.engineer.replace(' ', '-')}"
        place.mkdir(parents=True)
        truths.append(notebook(place / "notebook", plan))
    return truths


class Writer:
    """Links records as a notebook does, without a database between."""

    def __init__(self, last: Entry) -> None:
        self.last = last

    def row(
        self, kind: str, payload: Any, at: datetime, visit: str | None, item: str | None = None, texts: Any = ()
    ) -> tuple[Any, ...]:
        """One more record as a row; its id is `last.id`."""
        new_id = item if kind == "item" and item else log.new_id()
        owner = new_id if kind == "visit" else visit
        self.last = log.linked(self.last, new_id, kind, payload, owner, item, at, texts)
        return log.row_of(self.last)


def _visit(writer: Writer, plan: Plan, number: int, truth: Truth) -> Iterator[tuple[Any, ...]]:
    rng = random.Random(f"{plan.seed}-{plan.engineer}-{number}")
    ref, at = f"{plan.engineer}-{number:03}", START + timedelta(hours=5 * number)
    truth.visits.append(ref)
    known = {
        "ref": ref,
        "work": "service",
        "appliances": ["hob"],
        "gas": "natural",
        "meter": "G4",
        "region": "GB",
        "edition": None,
    }
    yield writer.row("visit", known, at, None)
    visit, item = writer.last.id, log.new_id()
    yield writer.row("item", _recording(item, at), at, visit, item)
    yield writer.row("transcript", _transcript(plan.findings), at + timedelta(minutes=5), visit, item)
    said = _said(rng, plan, number, ref, truth)
    texts = [(f"x{n}", one["evidence"]["text"]) for n, one in enumerate(said["findings"])]
    sources = [{"item": item, "start": 0, "end": 100_000}]
    payload = {"basis": "x", "program": "1", "knowledge": "1", "sources": sources, "extraction": said}
    yield writer.row("extraction", payload, at + timedelta(minutes=6), visit, None, texts)
    check = _check(plan, number, ref, truth)
    stale = number < plan.stale
    if stale:
        yield writer.row(
            "check", {"basis": "old", "lines": {}, "check": to_plain(check)}, at + timedelta(minutes=7), visit
        )
    yield from _decisions(writer, plan, number, ref, visit, item, said, at, truth)
    if not stale:
        yield writer.row(
            "check", {"basis": "new", "lines": {}, "check": to_plain(check)}, at + timedelta(minutes=120), visit
        )
    yield writer.row("visit-closed", {"no_access": False}, at + timedelta(minutes=121), visit)


def _recording(item: str, at: datetime) -> dict[str, Any]:
    facts = {"format": "ogg"}
    sha = f"{int(item, 16):064x}"
    return {
        "kind": "recording", "sha256": sha, "size": 90_000, "name": f"{item}.ogg", "at": at.isoformat(), "at_source": "metadata",
        "seconds": 300.0, "flags": [], "facts": facts,
    }  # fmt: skip


def _transcript(findings: int) -> dict[str, Any]:
    """As large as a real one: nine words a finding, each with its times."""
    word = {"start": 12.34, "end": 12.56, "text": "electrode", "confidence": 0.934, "doubt": None}
    text = "electrode " * (9 * findings)
    segment = {"start": 0.0, "end": 300.0, "text": text, "confidence": 0.9, "words": [word] * (9 * findings)}
    return {
        "text": text, "segments": [segment], "model": "none", "duration": 300.0, "raw": text, "repairs": [], "flags": [],
        "provenance": {},
    }  # fmt: skip


def _said(rng: random.Random, plan: Plan, number: int, ref: str, truth: Truth) -> dict[str, Any]:
    findings = [_finding(rng, n) for n in range(plan.findings)]
    declared, procedure, followups = [], [], []
    kind = _danger(plan, number)
    if kind:
        steps = STEPS[: 1 + number % len(STEPS)]
        declared.append({"class_": kind, "appliance": "hob", "evidence": _words("that is unsafe", 9_000), "why": []})
        procedure += [
            {"step": step, "reference": None, "evidence": _words(step, 9_100 + 50 * n)} for n, step in enumerate(steps)
        ]
        truth.dangers[ref] = (kind, steps[-1], STEPS[len(steps)] if len(steps) < len(STEPS) else "")
    if number >= plan.visits - plan.overdue:
        followups.append({"kind": "revisit", "due_days": 7, "evidence": _words("back in a week", 9_900), "why": []})
        truth.overdue.add(ref)
    truth.lines += len(findings) + len(declared) + len(procedure) + len(followups)
    for one in {(f["component"], f["condition"]) for f in findings if f["condition"] != "ok"}:
        truth.faults[one] += 1
    return {
        "findings": findings, "readings": [], "declared": declared, "followups": followups, "procedure": procedure,
        "smell_of_gas": None, "gas": "natural", "meter": None,
    }  # fmt: skip


def _danger(plan: Plan, number: int) -> str | None:
    if number < plan.at_risk:
        return "at-risk"
    return "immediately-dangerous" if number < plan.at_risk + plan.immediately else None


def _words(text: str, start: int) -> dict[str, Any]:
    return {"text": text, "start": start, "end": start + len(text)}


def _finding(rng: random.Random, n: int) -> dict[str, Any]:
    component, position, condition = rng.choice(COMPONENTS), rng.choice(POSITIONS), rng.choice(CONDITIONS)
    evidence = _words(f"the {(position or '').replace('-', ' ')} {component.replace('-', ' ')} is {condition}", 100 * n)
    named = {"component": component, "position": position, "condition": condition, "status": "present"}
    why = [
        {"field": name, "value": value, "rule": f"{name}-{value}", "evidence": _words(value, 100 * n + 4)}
        for name, value in named.items()
        if value
    ]
    return {
        "appliance": "hob", "burner": None, **named, "actions": [], "confidence": round(rng.uniform(0.4, 0.99), 2),
        "evidence": evidence, "unit": None, "superseded": None, "why": why,
    }  # fmt: skip


def _check(plan: Plan, number: int, ref: str, truth: Truth) -> Check:
    points, results = [], []
    if ref in truth.dangers and (missing := truth.dangers[ref][2]):
        kind, said = truth.dangers[ref][0], f"still unsaid: {situations().step_names[missing]}"
        points.append(Point("procedure-unsaid", f"{kind}/{missing}", said))
    if number < plan.outside:
        limit = Limit("one", "18.5 to 23 mbar", "an invented limit", "user", unit="mbar")
        pressure = {"pressure": Quantity(json.loads("17"), "mbar")}
        results.append(Result("working-pressure", {}, pressure, "as read", limit, "outside", appliance="hob"))
        truth.outside.add(ref)
    if number < plan.contradictions:
        points.append(Point("contradiction", "two-values", "two values for one pressure"))
        truth.contradictions.add(ref)
    if number < plan.unsaid:
        points.append(Point("unsaid", "service/tightness", "still unsaid: tightness test"))
        truth.unsaid.add(ref)
    facts = {"checklist": "service", "checklist-unsaid": "tightness" if number < plan.unsaid else ""}
    return Check(tuple(results), tuple(points), "trade-1", facts)


def _decisions(
    writer: Writer,
    plan: Plan,
    number: int,
    ref: str,
    visit: str,
    item: str,
    said: dict[str, Any],
    at: datetime,
    truth: Truth,
) -> Iterator[tuple[Any, ...]]:
    """Every finding of a decided visit: of each hundred, `changed` have their condition put right; the last of a visit is
    struck out."""
    others = len(said["declared"]) + len(said["procedure"]) + len(said["followups"])
    if number >= plan.decided:
        truth.open[ref] = len(said["findings"]) + others
        return
    truth.open.update({ref: others} if others else {})
    when = at + timedelta(seconds=300, minutes=plan.minutes)
    for n, one in enumerate(said["findings"]):
        kind, changes = "accept", {}
        if n == len(said["findings"]) - 1:
            kind = "reject"
        elif (number * plan.findings + n) % 100 < plan.changed:
            kind, changes = "amend", {"condition": "burnt"}
        held = {"reject": "(struck out)", "amend": "burnt"}.get(kind, one["condition"])
        truth.pairs[one["condition"], held] += 1
        truth.decided[plan.engineer] += 1
        truth.changed[plan.engineer] += kind != "accept"
        target = line_id("finding", one, item, one["evidence"]["start"], one["evidence"]["end"])
        yield writer.row("decision", _decision(kind, target, when, plan.engineer, changes, one), when, visit)


def _decision(
    kind: str, target: str, when: datetime, by: str, changes: dict[str, str], one: dict[str, Any]
) -> dict[str, Any]:
    names = ("appliance", "component", "position", "burner", "condition", "status")
    seen = {name: str(one[name] or "") for name in names}
    return {
        "kind": kind, "target": target, "at": when.isoformat(), "by": by, "changes": changes, "seen": seen, "reason": "",
    }  # fmt: skip


def bundles(book: Path, target: Path, key: KeyPair, first: int = 1) -> list[Path]:
    """One signed bundle for each visit of a notebook, numbered in order from `first`. The recordings were never made, so no
    sound is in them."""
    target.mkdir(parents=True, exist_ok=True)
    made, previous = [], None
    with Notebook.open(book, write=False) as opened:
        for number, visit in enumerate(opened.visits(), first):
            seen = view(opened, visit.id)
            records = [to_plain(entry) for entry in records_of(opened, seen)]
            when = START + timedelta(days=60, minutes=number)
            contents = Contents(visit.id, visit.ref, opened.id, number, previous, when, records, to_plain(seen), [])
            written = write_bundle(contents, key, target / f"{number:04}.zip")
            previous = written.statement
            made.append(written.path)
    return made
