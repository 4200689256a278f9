"""What one source says to a supervisor. In: a source's rows. Out: `Facts`, small and plain: visits, things to look at, tallies.

This runs in worker processes. Everything that depends on the day of the audit or on other sources is left to `picture`.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from functools import cache
from operator import itemgetter

from fieldnote.audit.fold import Held, Plain, Standing, fold
from fieldnote.audit.raw import Source
from fieldnote.records.findings import days_on
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
NOTHING, STRUCK, ADDED = "(nothing)", "(struck out)", "(added by hand)"
PARTS = {("replace", "needed"): "needed", ("order", "needed"): "to order", ("order", "done"): "on order"}

Cell = str | int | float | None


@dataclass
class Facts:
    """Rows for the index, each without the source's own number.

    visits: id, ref, engineer, opened, closed, work, no access, lines, open, put off, waiting, last recording, last decision,
    hours from the one to the other, risk, stale, checklist, day of the work.
    looks: visit, section, key, appliance, text, detail, more, due day.
    fields: engineer, kind, field -> lines decided, lines in which people changed it; of a line that was struck out or added as a
    whole, that alone is counted. changes: engineer, kind, condition, tenth of
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
    engineer = whose(source, visits)
    for visit in visits:
        facts.visits.append(_visit(visit, engineer))
        facts.looks += ((visit.id, *look) for look in looks(visit))
        _faults(visit, facts)
    _agreements(((line.by or engineer, line) for visit in visits for line in visit.lines.values()), facts)
    return facts


def whose(source: Source, visits: list[Standing]) -> str:
    """Who signed a bundle, or made most of the decisions of a notebook (nobody else is named in it), or the folder's name."""
    return source.engineer or _decider(visits) or _folder(source)


def _decider(visits: list[Standing]) -> str:
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
        visit.day.isoformat(),
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
    yield from _dangers(visit)
    for one in check.get("results", ()):
        if one["verdict"] == "outside":
            limit = one["limit"] or {}
            held = (limit.get("text", ""), limit.get("source", ""))
            yield "outside", one["name"], one["appliance"], _figures(one), *held, None
    for point in check.get("points", ()):
        if point["kind"] in POINTS:
            answer = visit.answers.get(visit.target(point))
            state = f"{answer['kind']} by {answer['by']}" if answer and answer["kind"] != "defer" else ""
            yield point["kind"], point["id"], _appliance(visit, point), point["text"], state, "", None
    yield from _due(visit)


def _dangers(visit: Standing) -> Iterator[tuple[Cell, ...]]:
    steps = "; ".join(_steps(visit)) or "nothing said"
    for one in visit.kept("declared"):
        if one["class_"] in DANGERS:
            missing = _missing(visit, one["class_"])
            yield "danger", one["class_"], one["appliance"], _words(one), steps, missing, None
    if smell := visit.said.get("smell_of_gas"):
        words = " ".join(smell["text"].split())
        yield "danger", "smell-of-gas", None, words, steps, _missing(visit, "smell-of-gas"), None


def _missing(visit: Standing, kind: str) -> str:
    """Which steps the check of a visit misses for one class: its own, and those that belong to any class."""
    if visit.stale:
        return "not worked out since the last decisions"
    others = tuple(f"{other}/" for other in DANGERS if other != kind)
    points = visit.check.get("check", {}).get("points", ())
    texts = [one["text"] for one in points if one["kind"] == "procedure-unsaid" and not one["id"].startswith(others)]
    return "; ".join(texts) or "nothing found missing"


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
    """Follow-ups and parts that nobody closed."""
    day = visit.day
    for id_, line in visit.lines.items():
        if line.current is None or line.state == "rejected" or id_ in visit.shut:
            continue
        if line.kind == "followup":
            due = days_on(day, line.current["due_days"])
            yield "followup", line.current["kind"], None, _words(line.current), "", "", due.isoformat() if due else None
        elif line.kind == "finding":
            yield from _parts(line.current, day)


def _parts(one: Plain, day: date) -> Iterator[tuple[Cell, ...]]:
    for act in one["actions"]:
        if state := PARTS.get((act["kind"], act["state"])):
            yield "part", one["component"] or "", one["appliance"], one["position"] or "", state, "", day.isoformat()


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


def _agreements(lines: Iterable[tuple[str, Held]], facts: Facts) -> None:
    """What the machine proposed against what people decided; lines that nobody decided say nothing.

    Most lines were left as proposed: these are counted column by column, which is several times as fast as line by line.
    """
    left: dict[tuple[str, str], list[Plain]] = defaultdict(list)
    for by, line in lines:
        if line.state in ("open", "deferred"):
            continue
        held = line.current if line.state != "rejected" else None
        facts.together[by] += line.together
        if held is not None and held is line.proposed:
            left[by, line.kind].append(held)
        else:
            _changed(line, held, by, facts)
    for (by, kind), ones in left.items():
        for name in (STRUCK, *FIELDS[kind]):
            _count(facts.fields, (by, kind, name), len(ones), 0)
        for (condition, sure), times in Counter((one.get("condition"), _tenth(one)) for one in ones).items():
            _count(facts.changes, (by, kind, condition, sure), times, 0)
        for name in NAMED.get(kind, ()):
            for value, times in Counter(map(itemgetter(name), ones)).items():
                facts.pairs[by, name, str(value or "none"), str(value or "none")] += times


def _changed(line: Held, held: Plain | None, by: str, facts: Facts) -> None:
    proposed = line.proposed
    changed = [name for name in FIELDS[line.kind] if _differs(proposed, held, name)]
    if proposed is None:
        _count(facts.fields, (by, line.kind, ADDED), 1, 1)
    else:
        _count(facts.fields, (by, line.kind, STRUCK), 1, held is None)
        for name in FIELDS[line.kind] if held is not None else ():
            _count(facts.fields, (by, line.kind, name), 1, name in changed)
    condition = (proposed or held or {}).get("condition")
    _count(facts.changes, (by, line.kind, condition, _tenth(proposed or {})), 1, bool(changed))
    for name in NAMED.get(line.kind, ()):
        facts.pairs[by, name, _named(proposed, name, NOTHING), _named(held, name, STRUCK)] += 1


def _tenth(proposed: Plain) -> int | None:
    """How sure the machine was, in tenths, rounded down; None where it said nothing."""
    sure = proposed.get("confidence")
    return None if sure is None else min(9, int(sure * 10))


def _differs(proposed: Plain | None, held: Plain | None, name: str) -> bool:
    return proposed is None or held is None or proposed[name] != held[name]


def _count(tallies: dict[tuple[Cell, ...], list[int]], key: tuple[Cell, ...], lines: int, changed: int) -> None:
    tally = tallies.setdefault(key, [0, 0])
    tally[0] += lines
    tally[1] += changed


def _named(one: Plain | None, name: str, absent: str) -> str:
    return absent if one is None else str(one[name] or "none")


@cache
def label(id_: str | None) -> str:
    """What people read for an id."""
    return vocabulary().label(id_).partition(" (")[0]
