"""Which tables a picture has, and the question behind each. In: an `Asking`. Out: rows. A new table is a new row of `KINDS`."""

from collections import defaultdict
from collections.abc import Callable

from fieldnote.audit.facts import label
from fieldnote.audit.picture import Asking, Cell, Kind, Rows
from fieldnote.audit.series import gaps
from fieldnote.audit.statistics import Share, kappa, quartiles, share


def _bad(asking: Asking) -> Rows:
    paths = {one.number: one.path for one in asking.known}
    return sorted(
        (paths[number], one.code, one.where, one.detail) for number, problems in asking.bad.items() for one in problems
    )


def _gaps(asking: Asking) -> Rows:
    good = [one for one in asking.known if one.number not in asking.bad]
    unreadable = [one for one in asking.known if one.number in asking.bad]
    note = (
        "withheld, lost, or among the bad ones above"
        if any(one.kind == "bundle" for one in unreadable)
        else "withheld or lost"
    )
    return [(gap.engineer, gap.key, gap.first, gap.last, note) for gap in gaps(good, asking.keyring)]


JOINED = "from look l join visit v on v.source = l.source and v.id = l.visit where l.source in chosen"


def _looks(columns: str, *sections: str, unanswered: bool = False) -> Callable[[Asking], Rows]:
    """Rows of some sections, in the order of the visits."""
    named = ", ".join(map(repr, sections))
    only = "and l.detail = ''" if unanswered else ""
    order = "order by v.day, v.ref, v.id, l.key, l.text"
    return _sql(f"select {columns} {JOINED} and l.section in ({named}) {only} {order}")


def _sql(sql: str) -> Callable[[Asking], Rows]:
    return lambda asking: asking.rows(sql)


def _unsaid_points(asking: Asking) -> Rows:
    held = "select checklist, count(*) from visit where source in chosen and checklist is not null group by 1"
    visits_with: dict[str, int] = dict(asking.rows(held))
    found = asking.rows(
        "select key, text, count(distinct visit) from look where section = 'unsaid' and source in chosen "
        "group by 1, 2 order by 3 desc, 1"
    )
    of = [max(visits, visits_with.get(key.partition("/")[0], 0)) for key, _, visits in found]
    return [(key, text, *_share(share(visits, all_))) for (key, text, visits), all_ in zip(found, of, strict=True)]


def _share(one: Share) -> tuple[int, int, float | None, float, float]:
    return one.part, one.total, one.part / one.total if one.total else None, one.low, one.high


def _changed(by: str, table: str = "change") -> Callable[[Asking], Rows]:
    """How often people changed what the machine proposed, by one thing."""

    def make(asking: Asking) -> Rows:
        found = asking.rows(
            f"select {by}, sum(changed), sum(decided) from {table} where source in chosen and {by.split(',')[0]} is not null "
            f"group by {by} order by {by}"
        )
        return [(*map(_field, names), *_share(share(changed, decided))) for *names, changed, decided in found]

    return make


def _field(name: Cell) -> Cell:
    """A field as people read it: "class", not the name that a language forces on it."""
    return name.rstrip("_") if isinstance(name, str) else name


def _by_confidence(asking: Asking) -> Rows:
    return [(f"{tenth / 10:.1f} to {(tenth + 1) / 10:.1f}", *rest) for tenth, *rest in _changed("tenth")(asking)]


def _kappa(by: str) -> Callable[[Asking], Rows]:
    """Agreement beyond chance between machine and people, by field, or by engineer for each field."""

    def make(asking: Asking) -> Rows:
        groups: dict[tuple[Cell, ...], dict[tuple[str, str], int]] = defaultdict(dict)
        for *names, proposed, held, lines in asking.rows(
            f"select {by}, proposed, held, sum(lines) from pair where source in chosen group by {by}, proposed, held"
        ):
            groups[tuple(names)][str(proposed), str(held)] = int(lines or 0)
        return [
            (*map(_field, names), *kappa(pairs)) for names, pairs in sorted(groups.items(), key=lambda one: str(one[0]))
        ]

    return make


def _faults(asking: Asking) -> Rows:
    ((visits,),) = asking.rows("select count(*) from visit where source in chosen and not no_access")
    found = asking.rows(
        "select appliance, component, condition, sum(findings), sum(visits) from fault where source in chosen "
        "group by 1, 2, 3 having sum(visits) >= 2 order by 5 desc, 4 desc, 1, 2, 3"
    )
    return [
        (label(a), label(b), label(c), findings, *_share(share(seen, max(visits, seen))))
        for a, b, c, findings, seen in found
    ]


def _review_time(asking: Asking) -> Rows:
    hours: dict[Cell, list[float]] = defaultdict(list)
    waiting: dict[Cell, int] = defaultdict(int)
    for engineer, one in asking.rows(
        "select engineer, hours from visit where source in chosen and recorded is not null"
    ):
        hours[engineer] += [float(one)] if one is not None else []
        waiting[engineer] += one is None
    rows: Rows = []
    for engineer in sorted(waiting, key=str):
        rows.append(
            (engineer, len(hours[engineer]), waiting[engineer], *(quartiles(hours[engineer]) or (None, None, None)))
        )
    return rows


BY = "day, engineer, visit"
WHO = "v.day, v.engineer, v.ref"
DAYS = "cast(julianday(:on) - julianday(l.due) as integer)"
PART = "visits, of visits, share, low 95 %, high 95 %"
SHARE = "changed, decided, share, low 95 %, high 95 %"
KINDS = (
    Kind("bad", "Notebooks and bundles that do not hold", "path, code, where, what", _bad, attention=True, whole=True),
    Kind(
        "gaps",
        "Numbers missing in a series of bundles",
        "engineer, key, from, to, what",
        _gaps,
        attention=True,
        whole=True,
    ),
    Kind(
        "dangers",
        "Declared dangerous or at risk, and smell of gas",
        f"{BY}, class, appliance, words, done, still missing",
        _looks(f"{WHO}, l.key, l.appliance, l.text, l.detail, l.more", "danger"),
        attention=True,
        whole=True,
    ),
    Kind(
        "questions",
        "Dangers asked about that nobody answered",
        f"{BY}, question, appliance, text",
        _looks(f"{WHO}, l.key, l.appliance, l.text", "question", "emergency", unanswered=True),
        attention=True,
    ),
    Kind(
        "outside",
        "Outside a limit",
        f"{BY}, calculation, appliance, figures, limit, source",
        _looks(f"{WHO}, l.key, l.appliance, l.text, l.detail, l.more", "outside"),
        attention=True,
    ),
    Kind(
        "contradictions",
        "Contradictions and unlikely values nobody answered",
        f"{BY}, kind, text",
        _looks(f"{WHO}, l.section, l.text", "contradiction", "unlikely", unanswered=True),
        attention=True,
    ),
    Kind(
        "unsaid",
        "Required points never said",
        f"point, text, {PART}",
        _unsaid_points,
    ),
    Kind(
        "unsaid-visits",
        "Required points never said, by visit",
        f"{BY}, points",
        _sql(
            f"select {WHO}, group_concat(l.key, ', ') {JOINED} and l.section = 'unsaid' and l.detail = '' "
            "group by v.source, v.id order by v.day, v.ref, v.id"
        ),
        attention=True,
    ),
    Kind(
        "overdue",
        "Follow-ups past their day",
        "due, days over, engineer, visit, kind, words",
        _sql(
            f"select l.due, {DAYS}, v.engineer, v.ref, l.key, l.text {JOINED} and l.section = 'followup' and l.due < :on "
            "order by l.due, v.ref, l.key"
        ),
        attention=True,
    ),
    Kind(
        "parts",
        "Parts needed or on order",
        "since, days, engineer, visit, appliance, part, place, state",
        _sql(
            f"select l.due, {DAYS}, v.engineer, v.ref, l.appliance, l.key, l.text, l.detail {JOINED} "
            "and l.section = 'part' order by l.due, v.ref, l.key"
        ),
        attention=True,
    ),
    Kind(
        "unreviewed",
        "Not reviewed",
        f"{BY}, lines, open, put off, recordings not heard",
        _sql(
            f"select {WHO}, v.lines, v.open, v.deferred, v.waiting from visit v where v.source in chosen "
            "and (v.open or v.deferred or v.waiting) order by v.day, v.ref, v.id"
        ),
        attention=True,
    ),
    Kind("by-field", "Changed by people, by field", f"kind, field, {SHARE}", _changed("kind, field", "field")),
    Kind("by-engineer", "Changed by people, by engineer", f"engineer, {SHARE}", _changed("engineer"), whole=True),
    Kind("by-condition", "Changed by people, by condition", f"condition, {SHARE}", _changed("condition")),
    Kind("by-confidence", "Changed by people, by how sure the machine was", f"confidence, {SHARE}", _by_confidence),
    Kind(
        "agreement",
        "Agreement of machine and people beyond chance (Cohen's kappa)",
        "field, lines, agreed, kappa, low 95 %, high 95 %",
        _kappa("field"),
    ),
    Kind(
        "agreement-by-engineer",
        "The same by engineer",
        "engineer, field, lines, agreed, kappa, low 95 %, high 95 %",
        _kappa("engineer, field"),
    ),
    Kind(
        "faults",
        "Repeated faults",
        f"appliance, component, condition, findings, {PART}",
        _faults,
    ),
    Kind(
        "review-time",
        "Hours from the last recording to the last decision",
        "engineer, visits reviewed, not yet, lower quartile, median, upper quartile",
        _review_time,
        whole=True,
    ),
    Kind("left-out", "Not counted, so that no visit counts twice", "path, why", lambda asking: asking.left),
)
