"""Raw records become visits as they stand. In: rows. Out: one `Standing` a visit, all of it plain JSON values.

What `notebook.state`, `flow.lines` and `flow.view` do with records is done here with plain values; a test holds them together.
"""

import hashlib
import json
from bisect import bisect_right
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache
from operator import itemgetter
from typing import Any, NamedTuple

from pydantic_core import from_json

from fieldnote.audit.raw import Row, quoted
from fieldnote.flow.check import BESIDES
from fieldnote.flow.lines import IDENTITY, STATE_AFTER
from fieldnote.records import Declared, Evidence, Finding, FollowUp, ProcedureStep, Reading, digest, to_plain
from fieldnote.trade.vocabulary import vocabulary

Plain = dict[str, Any]
KINDS = {
    "finding": "findings",
    "reading": "readings",
    "declared": "declared",
    "followup": "followups",
    "procedure": "procedure",
}

IDENTIFYING = {kind: itemgetter(*names) for kind, names in IDENTITY.items()}
SMALL = ("visit", "visit-closed", "item", "move", "closing", "erased")
_NOTHING = Evidence("", 0, 0)
BLANKS: dict[str, Plain] = {
    "finding": to_plain(Finding(None, None, None, None, None, "present", (), 1.0, _NOTHING)),
    "reading": to_plain(Reading("", Decimal(0), "", None, None, None, None, 1.0, _NOTHING)),
    "declared": to_plain(Declared("", None, _NOTHING)),
    "followup": to_plain(FollowUp("", None, _NOTHING)),
    "procedure": to_plain(ProcedureStep("", None, _NOTHING)),
}


def parsed(text: str) -> Any:
    """JSON text as plain values. The quick reader refuses lone surrogates, which names of files may hold; the slow one does
    not."""
    try:
        return from_json(text, cache_strings="keys")
    except ValueError:
        return json.loads(text)


class Held(NamedTuple):
    """One line as it stands: what the machine read, what holds, its state, who decided last and when ("" for nobody)."""

    kind: str
    proposed: Plain | None
    current: Plain | None
    state: str
    by: str = ""
    at: str = ""
    together: bool = False


@dataclass
class Standing:
    """One visit as it stands.

    `program` and `sources` say what read it (program and knowledge) and from which items.
    `items` maps item id to its record's payload, `answers` what a point is filed under to the decision about it. `check` is the
    newest check (its lines' ids and what it found); `stale` says that it speaks of something else than what holds now. `shut`
    holds the ids of lines of the whole notebook that a person closed.
    """

    id: str
    opened: str
    known: Plain
    closed: str = ""
    no_access: bool = False
    items: dict[str, Plain] = field(default_factory=dict)
    waiting: int = 0
    said: Plain = field(default_factory=dict)
    program: str = ""
    sources: tuple[str, ...] = ()
    lines: dict[str, Held] = field(default_factory=dict)
    check: Plain = field(default_factory=dict)
    stale: bool = False
    answers: dict[str, Plain] = field(default_factory=dict)
    decided: list[str] = field(default_factory=list)
    shut: frozenset[str] = frozenset()

    @property
    def day(self) -> date:
        """The day whose limits hold, as `flow.check.day_of` has it."""
        spoken = [one["at"] for one in self.items.values() if one["kind"] == "recording" and one["at"]]
        return min(map(datetime.fromisoformat, spoken), default=datetime.fromisoformat(self.opened)).date()

    def kept(self, kind: str) -> list[Plain]:
        """What holds of one kind, in order: what the check's indexes speak of."""
        return [
            line.current
            for line in self.lines.values()
            if line.kind == kind and line.current is not None and line.state != "rejected"
        ]

    def target(self, point: Mapping[str, Any]) -> str:
        """What decisions about a point are filed under."""
        ids = self.check.get("lines", {})
        named = [ids["finding"][n] for n in point["findings"] if n < len(ids.get("finding", ()))]
        named += [ids["reading"][n] for n in point["readings"] if n < len(ids.get("reading", ()))]
        return ":".join(("point", point["kind"], point["id"], *named))


@dataclass
class _Gathering:
    """Rows sorted by what they are for; of extractions (with `earliest`, the first) and checks only the newest of each visit.

    `touched` is the number of the last record that may have changed a visit's day or access, on which its check depends.
    """

    earliest: bool = False
    visits: dict[str, Standing] = field(default_factory=dict)
    items: dict[str, Plain] = field(default_factory=dict)
    owners: dict[str, str | None] = field(default_factory=dict)
    heard: set[str | None] = field(default_factory=set)
    extractions: dict[str | None, tuple[int, str]] = field(default_factory=dict)
    checks: dict[str | None, tuple[int, str]] = field(default_factory=dict)
    decisions: dict[str | None, list[tuple[int, str, str]]] = field(default_factory=dict)
    shut: dict[str, bool] = field(default_factory=dict)
    touched: dict[str | None, int] = field(default_factory=dict)

    def take(self, row: Row) -> None:
        """One more record."""
        if row.kind in ("transcript", "step-failed"):
            self.heard.add(row.item)
        elif row.payload is None:
            return
        elif row.kind == "decision":
            self.decisions.setdefault(row.visit, []).append((row.seq, row.id, row.payload))
        elif row.kind == "extraction":
            if self.earliest and row.visit in self.extractions:
                return
            self.extractions[row.visit] = (row.seq, row.payload)
        elif row.kind == "check":
            self.checks[row.visit] = (row.seq, row.payload)
        elif row.kind in SMALL:
            self._small(row, parsed(row.payload))

    def _small(self, row: Row, payload: Plain) -> None:
        if row.kind == "visit":
            self.visits[row.id] = Standing(row.id, row.at, payload)
        elif row.kind == "visit-closed" and row.visit in self.visits:
            self.visits[row.visit].closed, self.visits[row.visit].no_access = row.at, bool(payload["no_access"])
            self.touched |= {row.visit: row.seq} if payload["no_access"] else {}
        elif row.kind == "item":
            self.items[row.id], self.owners[row.id] = {**payload, "added": row.at}, row.visit
            self.touched[row.visit] = row.seq
        elif row.kind == "move" and row.item in self.owners:
            self.touched |= {self.owners[row.item]: row.seq, row.visit: row.seq}
            self.owners[row.item] = row.visit
        elif row.kind == "closing":
            self.shut[payload["line"]] = payload["closed"]
        elif row.kind == "erased":
            self.touched |= dict.fromkeys(self.visits, row.seq)
            for gone in payload["records"]:
                self.visits.pop(gone, None)
                self.items.pop(gone, None)


def fold(rows: Iterable[Row], *, earliest: bool = False) -> Iterator[Standing]:
    """Every visit of one source, in the order of opening; with `earliest`, as the machine read it the first time.

    Raises ValueError, KeyError, TypeError when rows do not fit.
    """
    found = _Gathering(earliest)
    for row in rows:
        found.take(row)
    for item, payload in found.items.items():
        owner = found.owners[item]
        if owner in found.visits:
            found.visits[owner].items[item] = payload
    shut = frozenset(line for line, closed in found.shut.items() if closed)
    for visit in found.visits.values():
        visit.shut = shut
        _stand(visit, found)
        yield visit


def _stand(visit: Standing, found: _Gathering) -> None:
    visit.waiting = sum(one["kind"] == "recording" and item not in found.heard for item, one in visit.items.items())
    decisions = [(seq, id_, parsed(one)) for seq, id_, one in found.decisions.get(visit.id, ())]
    read_at, text = found.extractions.get(visit.id, (0, ""))
    if text:
        read = parsed(text)
        visit.said = read["extraction"]
        visit.program = f"{read.get('program', '')} {read.get('knowledge', '')}".strip()
        visit.sources = tuple(source["item"] for source in read["sources"])
        visit.lines = dict(proposed(visit.said, read["sources"], {one["target"] for _, _, one in decisions}))
    checked_at, text = found.checks.get(visit.id, (0, ""))
    if text:
        visit.check = parsed(text)
    visit.decided = [one["at"] for _, _, one in decisions]
    decide(visit, [(id_, one) for _, id_, one in decisions])
    changing = [seq for seq, _, one in decisions if one["kind"] in ("amend", "reject", "add", "undo")]
    if checked_at < max([read_at, found.touched.get(visit.id, 0), *changing]):
        visit.stale = not visit.check or visit.check["basis"] != basis(visit)


def basis(visit: Standing) -> str:
    """What `flow.check.basis_of` says of the same visit: equal means that the check speaks of what holds now."""
    said = {name: visit.kept(kind) for kind, name in KINDS.items()}
    rest = {name: visit.said.get(name, [] if name == "doubted" else None) for name in BESIDES}
    names = ("ref", "work", "appliances", "gas", "meter", "region", "edition")
    known = {name: visit.known[name] for name in names} | {"id": visit.id, "opened_at": visit.opened}
    of_visit = {**known, "closed_at": None, "no_access": visit.no_access}
    return digest([{**said, **rest}, of_visit, visit.day.isoformat()])


def proposed(said: Plain, sources: list[Plain], held: Collection[str]) -> Iterator[tuple[str, Held]]:
    """The machine's lines by id, each kind in the order in which it was said; a doubted one where its id is `held`."""
    starts = [source["start"] for source in sources]
    for kind, name in KINDS.items():
        doubted = said.get("doubted", []) if kind == "finding" else []
        for nth, one in enumerate([*said[name], *doubted]):
            evidence = one["evidence"]
            at = bisect_right(starts, evidence["start"]) - 1
            item, start = (sources[at]["item"], starts[at]) if at >= 0 else (None, 0)
            place = (evidence["start"] - start, evidence["end"] - start)
            id_ = line_id(kind, one, item, *place)
            if nth < len(said[name]) or id_ in held:
                yield id_, Held(kind, one, one, "open")


def line_id(kind: str, one: Plain, item: str | None, start: int, end: int) -> str:
    """The id that `flow.lines.line_id` gives the same line."""
    owner = quoted(item) if item is not None else "null"
    text = f"[{quoted(kind)},{owner},{start},{end},{_identity(IDENTIFYING[kind](one))}]"
    return f"{kind[0]}-{hashlib.sha256(text.encode('utf-8', 'surrogatepass')).hexdigest()[:10]}"


@lru_cache(10_000)
def _identity(values: tuple[str | None, ...] | str | None) -> str:
    """What a line was first read as, in canonical form; the same few thousand over and over."""
    named = values if isinstance(values, tuple) else (values,)
    return ",".join(quoted(str(value)) for value in named)


def decide(visit: Standing, decisions: list[tuple[str, Plain]]) -> None:
    """Fold decisions over the lines of a visit, oldest first, as `flow.lines.decided` does."""
    undone = {one["target"] for _, one in decisions if one["kind"] == "undo"}
    for id_, one in decisions:
        kind, target = one["kind"], one["target"]
        if kind == "undo" or id_ in undone:
            continue
        if kind == "add":
            visit.lines[f"a-{id_}"] = _added(one)
        elif target in visit.lines:
            visit.lines[target] = _after(visit.lines[target], one)
        elif target and target.startswith("point:"):
            visit.answers[target] = one


def _after(line: Held, one: Plain) -> Held:
    current = line.current
    if one["kind"] == "amend" and current is not None:
        current = {**current, **changed(one["changes"])}
    state = STATE_AFTER[one["kind"]]
    return Held(line.kind, line.proposed, current, state, one["by"], one["at"], one["kind"] == "accept-sure")


def _added(one: Plain) -> Held:
    kind = one["changes"].get("line", "finding")
    values = changed({name: text for name, text in one["changes"].items() if name != "line"})
    evidence = {"text": one["reason"], "start": 0, "end": len(one["reason"])}
    return Held(kind, None, {**BLANKS[kind], **values, "evidence": evidence}, "added", one["by"], one["at"])


def changed(changes: Mapping[str, str]) -> Plain:
    """The fields that a decision sets, as plain values: what `flow.lines.amended` makes of the same text."""
    values = {("class_" if name == "class" else name): _value(name, text.strip()) for name, text in changes.items()}
    if values.get("quantity"):
        values["unit"] = vocabulary().quantities[values["quantity"]][1]
    return values


def _value(name: str, text: str) -> Any:
    if name == "actions":
        parts = [part.strip().partition("/") for part in text.split(",") if part.strip()]
        return [{"kind": kind.strip(), "state": state or "done"} for kind, _, state in parts]
    return (int(text) if name == "due_days" else text) if text else None
