"""What one source says to a supervisor. In: a source's rows. Out: `Facts`, small and plain: visits, things to look at, tallies.

This runs in worker processes. Everything that depends on the day of the audit or on other sources is left to `picture`.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import cache

from fieldnote.audit.fold import Held, Plain, Standing, fold
from fieldnote.audit.raw import Source
from fieldnote.trade.knowledge import situations
from fieldnote.trade.vocabulary import vocabulary

DANGERS = ("immediately-dangerous", "at-risk")
NO_FAULT = ("ok", "passed", "not-fitted", None)
NOT_NOW = ("absent", "historical")
POINTS = ("emergency", "question", "contradiction", "unlikely", "unsaid")
FIELDS = {
    "finding": ("appliance", "component", "position", "burner", "condition", "status", "actions"),
    "reading": ("quantity", "value", "phase", "appliance", "position", "burner"),
    "declared": ("class_", "appliance"),
    "followup": ("kind", "due_days"),
    "procedure": ("step", "reference"),
}
NAMED = {
    "finding": ("component", "position", "condition", "status"),
    "reading": ("quantity", "phase"),
    "declared": ("class_",),
}
NOTHING, STRUCK = "(nothing)", "(struck out)"
PARTS = {("replace", "needed"): "needed", ("order", "needed"): "to order", ("order", "done"): "on order"}

Cell = str | int | float | None


@dataclass
class Facts:
    """Rows for the index, each without the source's own number.

    visits: id, ref, engineer, opened, closed, work, no access, lines, open, put off, waiting, last recording, last decision,
    hours from the one to the other, risk, stale, checklist. looks: visit, section, key, appliance, text, detail, more, due day.
    fields: engineer, kind, field -> lines decided, lines in which people changed it. changes: engineer, kind, condition, tenth of
    confidence -> lines decided, lines in which people changed anything.
    pairs: engineer, field, proposed, held -> lines. faults: appliance, component, condition -> findings, visits.
    """

    visits: list[tuple[Cell, ...]] = field(default_factory=list)
    looks: list[tuple[Cell, ...]] = field(default_factory=list)
    fields: dict[tuple[Cell, ...], list[int]] = field(default_factory=dict)
    changes: dict[tuple[Cell, ...], list[int]] = field(default_factory=dict)
    pairs: Counter[tuple[str, str, str, str]] = field(default_factory=Counter)
    faults: dict[tuple[Cell, ...], list[int]] = field(default_factory=dict)
    together: Counter[str] = field(default_factory=Counter)


def facts_of(source: Source) -> Facts:
    """Everything of one source. Raises ValueError, KeyError, TypeError when its records do not fit together."""
    facts, visits = Facts(), list(fold(source.rows))
    engineer = source.engineer or _decider(visits) or _folder(source)
    for visit in visits:
        facts.visits.append(_visit(visit, engineer))
        facts.looks += ((visit.id, *look) for look in looks(visit))
        _faults(visit, facts)
        for line in visit.lines.values():
            _agreement(line, line.by or engineer, facts)
    return facts


def _decider(visits: list[Standing]) -> str:
    """Who made most of the decisions of a notebook: nobody else is named in it."""
    names = Counter(line.by for visit in visits for line in visit.lines.values() if line.by)
    return names.most_common(1)[0][0] if names else ""


def _folder(source: Source) -> str:
    parts = source.path.rstrip("/").split("/")
    return parts[-2] if parts[-1] == "notebook" and len(parts) > 1 else parts[-1]


def _visit(visit: Standing, engineer: str) -> tuple[Cell, ...]:
    states = Counter(line.state for line in visit.lines.values())
    recorded = max((_made(one) for one in visit.items.values() if one["kind"] == "recording"), default=None)
    decided = max(map(datetime.fromisoformat, visit.decided), default=None)
    hours = (decided - recorded).total_seconds() / 3600 if recorded and decided else None
    checklist = visit.check.get("check", {}).get("facts", {}).get("checklist")
    return (
        visit.id, visit.known["ref"], engineer, visit.opened, visit.closed, visit.known["work"], int(visit.no_access),
        len(visit.lines), states["open"], states["deferred"], visit.waiting, recorded.isoformat() if recorded else None,
        decided.isoformat() if decided else None, hours, risk(visit), int(visit.stale), checklist,
    )  # fmt: skip


def _made(item: Plain) -> datetime:
    """When a recording ended, as far as that is known."""
    began = datetime.fromisoformat(item["at"] or item["added"])
    began = began if began.tzinfo else began.astimezone()
    return began + timedelta(seconds=item["seconds"] or 0)


def risk(visit: Standing) -> str:
    """The worst that a visit holds, for strata: a declared class, smell of gas, outside a limit, a question, or none of these."""
    classes = {one["class_"] for one in visit.kept("declared")}
    for name in DANGERS:
        if name in classes:
            return name
    check = visit.check.get("check", {})
    if visit.said.get("smell_of_gas") or any(one["verdict"] == "outside" for one in check.get("results", ())):
        return "outside" if not visit.said.get("smell_of_gas") else "smell-of-gas"
    return "question" if any(point["kind"] == "question" for point in check.get("points", ())) else "other"


def looks(visit: Standing) -> Iterator[tuple[Cell, ...]]:
    """What a person should look at: section, key, appliance, text, detail, more, day it was due."""
    check = visit.check.get("check", {})
    missing = [one["text"] for one in check.get("points", ()) if one["kind"] == "procedure-unsaid"]
    yield from _dangers(visit, missing)
    for one in check.get("results", ()):
        if one["verdict"] == "outside":
            limit = one["limit"] or {}
            held = (limit.get("text", ""), limit.get("source", ""))
            yield "outside", one["name"], one["appliance"], _figures(one), *held, None
    for point in check.get("points", ()):
        if point["kind"] in POINTS:
            answer = visit.answers.get(visit.target(point))
            state = f"{answer['kind']} by {answer['by']}" if answer else ""
            yield point["kind"], point["id"], _appliance(visit, point), point["text"], state, "", None
    yield from _due(visit)


def _dangers(visit: Standing, missing: list[str]) -> Iterator[tuple[Cell, ...]]:
    steps, unsaid = "; ".join(_steps(visit)) or "nothing said", "; ".join(missing) or "nothing found missing"
    if visit.stale:
        unsaid = "not worked out since the last decisions"
    for one in visit.kept("declared"):
        if one["class_"] in DANGERS:
            yield "danger", one["class_"], one["appliance"], _words(one), steps, unsaid, None
    if smell := visit.said.get("smell_of_gas"):
        yield "danger", "smell-of-gas", None, " ".join(smell["text"].split()), steps, unsaid, None


def _steps(visit: Standing) -> list[str]:
    names = situations().step_names
    steps = [(str(names.get(one["step"], one["step"])), one["reference"]) for one in visit.kept("procedure")]
    said = [f"{name} ({reference})" if reference else name for name, reference in steps]
    acts = {act["kind"] for one in visit.kept("finding") for act in one["actions"] if act["state"] == "done"}
    worked = [names[step] for step, kinds in situations().step_actions.items() if acts & {*kinds}]
    return list(dict.fromkeys(said + worked))


def _words(one: Plain) -> str:
    return " ".join(one["evidence"]["text"].split())


def _figures(result: Plain) -> str:
    return "; ".join(
        f"{name} {one['value']}{f' ± {more}' if (more := one['plus_minus']) else ''} {one['unit']}"
        for name, one in result["results"].items()
    )


def _appliance(visit: Standing, point: Plain) -> str | None:
    findings = visit.kept("finding")
    return next((findings[n]["appliance"] for n in point["findings"] if n < len(findings)), None)


def _due(visit: Standing) -> Iterator[tuple[Cell, ...]]:
    opened = datetime.fromisoformat(visit.opened).date()
    for one in visit.kept("followup"):
        due = None if one["due_days"] is None else (opened + timedelta(days=one["due_days"])).isoformat()
        yield "followup", one["kind"], None, _words(one), "", "", due
    for one in visit.kept("finding"):
        for act in one["actions"]:
            if state := PARTS.get((act["kind"], act["state"])):
                yield (
                    "part",
                    one["component"] or "",
                    one["appliance"],
                    one["position"] or "",
                    state,
                    "",
                    opened.isoformat(),
                )


def _faults(visit: Standing, facts: Facts) -> None:
    found = Counter(
        (one["appliance"], one["component"], one["condition"])
        for one in visit.kept("finding")
        if one["condition"] not in NO_FAULT and one["status"] not in NOT_NOW
    )
    for key, times in found.items():
        held = facts.faults.setdefault(key, [0, 0])
        held[0] += times
        held[1] += 1


def _agreement(line: Held, by: str, facts: Facts) -> None:
    """What the machine proposed against what people decided; lines that nobody decided say nothing."""
    if line.state in ("open", "deferred"):
        return
    proposed, held = line.proposed, line.current if line.state != "rejected" else None
    sure = proposed.get("confidence") if proposed else None
    tenth = None if sure is None else min(9, int(sure * 10))
    condition = (proposed or held or {}).get("condition")
    facts.together[by] += line.together
    changed = [name for name in FIELDS[line.kind] if _differs(proposed, held, name)]
    for name in FIELDS[line.kind]:
        _count(facts.fields, (by, line.kind, name), name in changed)
    _count(facts.changes, (by, line.kind, condition, tenth), bool(changed))
    for name in NAMED.get(line.kind, ()):
        facts.pairs[by, name, _named(proposed, name, NOTHING), _named(held, name, STRUCK)] += 1


def _differs(proposed: Plain | None, held: Plain | None, name: str) -> bool:
    if proposed is held:
        return False
    return proposed is None or held is None or proposed[name] != held[name]


def _count(tallies: dict[tuple[Cell, ...], list[int]], key: tuple[Cell, ...], changed: bool) -> None:
    tally = tallies.setdefault(key, [0, 0])
    tally[0] += 1
    tally[1] += changed


def _named(one: Plain | None, name: str, absent: str) -> str:
    return absent if one is None else str(one[name] or "none")


@cache
def label(id_: str | None) -> str:
    """What people read for an id."""
    return vocabulary().label(id_).partition(" (")[0]
