"""A value held against the limits that apply. Comes in: a measured value, facts, the limits. Goes out: a ruling.

There are three verdicts and no other: "within" and "outside" only where a trusted, dated, sourced limit applies and the
value stands clear of its doubt; everything else is "no-verdict" with its reason. Not allowed to know: how the value was
worked out.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from fieldnote.records import Limit
from fieldnote.trade.doubt import Measured, shown
from fieldnote.trade.limits import LimitRow, Limits, Range

Fact = str | Decimal | Measured | None
WITHIN, OUTSIDE, NO_VERDICT = "within", "outside", "no-verdict"
GRADES = {"M": "from memory", "M-low": "from memory, doubtful", "C": "common practice"}


@dataclass(frozen=True, slots=True)
class Ruling:
    """A verdict, the limit it rests on, and for "no-verdict" the reason and what would settle it."""

    verdict: str
    limit: Limit | None = None
    reason: str | None = None
    settle: str | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Circumstances:
    """Where, when, and by which edition a value is judged."""

    limits: Limits
    on: date
    region: str | None = None
    edition: str | None = None


@dataclass(frozen=True, slots=True)
class Selection:
    """The limits that apply, those that might (with what is not known), and a ruling when the choice itself failed."""

    applying: tuple[LimitRow, ...] = ()
    possible: tuple[LimitRow, ...] = ()
    unknown: tuple[str, ...] = ()
    unclear: tuple[str, ...] = ()
    failed: Ruling | None = None


def no_verdict(reason: str, settle: str | None = None, *notes: str, limit: Limit | None = None) -> Ruling:
    """A ruling that decides nothing, and why."""
    return Ruling(NO_VERDICT, limit, reason, settle, notes)


def judge(
    where: Circumstances, quantity: str, value: Measured, facts: Mapping[str, Fact], settle: str | None = None
) -> Ruling:
    """Hold a value (in the unit of the quantity's limits) against every limit that applies."""
    chosen = select(where, quantity, facts)
    return chosen.failed or rule(where, chosen, value, settle)


def select(where: Circumstances, quantity: str, facts: Mapping[str, Fact]) -> Selection:
    """The limits of a quantity for a day, a region, an edition and what is known of the case."""
    known = where.limits.of(quantity, where.region)
    in_force = [row for row in known if _in_force(where, row)]
    matched = [(row, _match(row, facts)) for row in in_force]
    rows = [row for row, (fits, _, _) in matched if fits]
    rows, failed = _by_edition(where, known, rows)
    if failed or not rows:
        return Selection(failed=failed or _nothing(where, known))
    if any(row.grade == "user" and row.trusted for row in rows):
        rows = [
            row for row in rows if row.trusted
        ]  # a figure of one's own fills gaps and stands before figures from memory
    open_ = {
        row.id: (unknown, unclear) for row, (_, unknown, unclear) in matched if row in rows and (unknown or unclear)
    }
    return Selection(
        applying=tuple(row for row in rows if row.id not in open_),
        possible=tuple(row for row in rows if row.id in open_),
        unknown=_ordered(name for unknown, _ in open_.values() for name in unknown),
        unclear=_ordered(name for _, unclear in open_.values() for name in unclear),
    )


def _in_force(where: Circumstances, row: LimitRow) -> bool:
    first, last = where.limits.dates(row)
    return first <= where.on and (last is None or where.on <= last)


def _match(row: LimitRow, facts: Mapping[str, Fact]) -> tuple[bool, list[str], list[str]]:
    """Whether a limit may apply, which facts would be needed to know, and which are too doubtful to tell."""
    unknown, unclear = [], []
    for name, condition in row.when.items():
        fact = facts.get(name)
        if fact is None:
            unknown.append(name)
        elif isinstance(condition, Range):
            sides = {condition.holds(end) for end in _ends(fact)}
            if sides == {False} and not (isinstance(fact, Measured) and condition.holds(fact.value)):
                return False, [], []
            if False in sides:
                unclear.append(name)
        elif fact not in condition:
            return False, [], []
    return True, unknown, unclear


def _ends(fact: Fact) -> tuple[Decimal, Decimal]:
    if isinstance(fact, Measured):
        return fact.low, fact.high
    return Decimal(str(fact)), Decimal(str(fact))


def _by_edition(
    where: Circumstances, known: list[LimitRow], rows: list[LimitRow]
) -> tuple[list[LimitRow], Ruling | None]:
    editions = _ordered(row.edition for row in rows if row.edition)
    named = where.limits.named(where.edition, where.region) if where.edition else None
    if named and named.id in editions:
        return [row for row in rows if row.edition in (None, named.id)], None
    if named and any(row.edition == named.id for row in known):
        until = f" to {named.to}" if named.to else ""
        return rows, no_verdict(
            "edition", None, f"{named.title} was not in force on {where.on} (from {named.from_}{until})"
        )
    if len(editions) > 1:
        titles = " and ".join(where.limits.editions[id_].title for id_ in editions)
        return rows, no_verdict(
            "edition", "name the edition that was worked to", f"on {where.on} both {titles} were in force"
        )
    return rows, None


def _nothing(where: Circumstances, known: list[LimitRow]) -> Ruling:
    if where.region is None:
        return no_verdict("missing-limit", "name the region", "no region was named; limits depend on it")
    if where.region not in where.limits.regions:
        return no_verdict(
            "missing-limit", "add the region's limits", f"no limits are held for the region {where.region}"
        )
    if known:
        return no_verdict("missing-limit", None, f"no limit that is held applies to this case on {where.on}")
    return no_verdict("missing-limit", None, "no limit is held for this")


def _ordered(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))


def rule(where: Circumstances, chosen: Selection, value: Measured, settle: str | None = None) -> Ruling:
    """The ruling for a value on a selection that did not fail. Outside any trusted limit is outside; within needs them all."""
    record = where.limits.record
    trusted = [row for row in chosen.applying if row.trusted]
    for row in trusted:
        if against(row, value) == OUTSIDE:
            return Ruling(OUTSIDE, record(row), notes=(*_notes(chosen, value), *_dates(where, row)))
    if chosen.possible:
        return _open(where, chosen, value, settle)
    if not trusted:
        return _untrusted(where, chosen, value)
    for row in trusted:
        if against(row, value) != WITHIN:
            return no_verdict("doubt", settle or _sharper(row), *_notes(chosen, value), limit=record(row))
    return Ruling(WITHIN, record(trusted[0]), notes=(*_notes(chosen, value), *_dates(where, trusted[0])))


def against(row: LimitRow, value: Measured) -> str | None:
    """One limit: "within" or "outside" when the value stands clear of its doubt, else None."""
    if row.fails:
        return OUTSIDE
    if row.unsure_up_to is not None:
        return _perceptible(row, value, row.unsure_up_to)
    if (row.high is not None and value.low > row.high) or (row.low is not None and value.high < row.low):
        return OUTSIDE
    if (row.high is None or value.high <= row.high) and (row.low is None or value.low >= row.low):
        return WITHIN
    return None


def _perceptible(row: LimitRow, value: Measured, unsure_up_to: Decimal) -> str | None:
    """ "No perceptible movement": what was read is what was perceived, so the gauge's doubt does not count again."""
    if value.value > unsure_up_to:
        return OUTSIDE
    return WITHIN if value.value == row.high else None


def _sharper(row: LimitRow) -> str:
    if row.unsure_up_to is not None:
        return (
            f"show that nothing moves at all: up to {shown(row.unsure_up_to)} {row.unit} nobody agrees what can be seen"
        )
    return "measure again with less doubt"


def _open(where: Circumstances, chosen: Selection, value: Measured, settle: str | None) -> Ruling:
    """Not everything is known: only "outside" can be said, and only when every limit that might apply says it."""
    rows = (*chosen.applying, *chosen.possible)
    if all(row.trusted and against(row, value) == OUTSIDE for row in rows):
        return Ruling(OUTSIDE, where.limits.record(rows[0]), notes=_notes(chosen, value))
    if gap := next((row for row in rows if row.empty), None):
        return no_verdict("missing-limit", _ask(chosen), gap.text, limit=where.limits.record(gap))
    if chosen.unknown:
        return no_verdict("missing-input", _ask(chosen), *_notes(chosen, value))
    return no_verdict("doubt", settle or f"measure {', '.join(chosen.unclear)} with less doubt", *_notes(chosen, value))


def _ask(chosen: Selection) -> str | None:
    return f"needed: {', '.join(chosen.unknown)}" if chosen.unknown else None


def _untrusted(where: Circumstances, chosen: Selection, value: Measured) -> Ruling:
    row = chosen.applying[0]
    reason = "missing-limit" if row.empty else "unsourced"
    settle = "add the figure from the standard as a limit of your own"
    notes = (row.text,) if row.empty else _notes(chosen, value)
    return no_verdict(reason, settle, *notes, limit=where.limits.record(row))


def _notes(chosen: Selection, value: Measured) -> tuple[str, ...]:
    """What figures from memory and from practice say, as notes: they never decide."""
    weak = [row for row in chosen.applying if not row.empty and not row.trusted]
    side = {WITHIN: "keeps to it", OUTSIDE: "does not keep to it", None: "cannot be told from it"}
    return tuple(
        f"{row.text} [{GRADES[row.grade]}]: {shown(value.value)} {row.unit} {side[against(row, value)]}" for row in weak
    )


def _dates(where: Circumstances, row: LimitRow) -> tuple[str, ...]:
    return ("the first day of this limit is from memory",) if where.limits.dated(row) == "memory" else ()


def together(*rulings: Ruling) -> Ruling:
    """Several rulings on one case as one: outside before no verdict before within; the notes of all."""
    order = (OUTSIDE, NO_VERDICT, WITHIN)
    worst = min(rulings, key=lambda ruling: order.index(ruling.verdict))
    others = tuple(line for ruling in rulings if ruling is not worst for line in (*ruling.notes, *_aside(ruling)))
    return replace(worst, notes=(*worst.notes, *others))


def _aside(ruling: Ruling) -> tuple[str, ...]:
    if ruling.verdict == OUTSIDE and ruling.limit is not None:
        return (f"also outside: {ruling.limit.text}",)
    return (f"also open: {ruling.settle}",) if ruling.verdict == NO_VERDICT and ruling.settle else ()
