"""Records in a reader's words. In: findings, readings, results, traces. Out: short plain text. Knows no layout.

The words never say that an appliance is fit for use: a verdict is about one limit, a class is what the engineer declared.
"""

import re
from collections.abc import Iterable
from datetime import date, datetime
from decimal import ROUND_HALF_EVEN, ROUND_UP, Context, Decimal

from fieldnote.records import (
    Declared,
    Finding,
    FollowUp,
    Line,
    ProcedureStep,
    Quantity,
    Reading,
    Result,
    Trace,
    VisitView,
)
from fieldnote.trade.catalogue import Input, calculations
from fieldnote.trade.vocabulary import vocabulary

Said = Finding | Reading | Declared | FollowUp | ProcedureStep

VERDICTS = {"within": "within the limit", "outside": "outside the limit", "no-verdict": "no verdict"}
REASONS = {
    "missing-input": "a figure is missing",
    "missing-limit": "no limit is on file that may be quoted",
    "doubt": "the limit lies inside the doubt of the figure",
    "edition": "two editions apply and none was named",
    "unsourced": "the limit on file has no published source",
}
STATES = {
    "open": "unconfirmed",
    "accepted": "confirmed",
    "amended": "changed by a person",
    "rejected": "struck out",
    "deferred": "put off",
    "added": "added by a person",
}
STEPS = {
    "responsible-person-told": "Responsible person told",
    "permission-given": "Permission given",
    "permission-refused": "Permission refused",
    "isolated": "Isolated",
    "disconnected": "Disconnected",
    "label-attached": "Label attached",
    "notice-left": "Notice left",
    "notice-signed": "Notice signed",
    "notice-refused": "Signature on the notice refused",
    "emergency-service-called": "Gas emergency service called",
    "supplier-called": "Supplier called",
}
UNITS = {
    "1": "",
    "degC": "°C",
    "m3": "m³",
    "m3/h": "m³/h",
    "ft3": "ft³",
    "ft3/h": "ft³/h",
    "dm3/h": "dm³/h",
    "cm2": "cm²",
}
RESULTS = {
    "air-free-co": "CO, air-free",
    "heat-input-gross": "heat input, gross",
    "heat-input-net": "heat input, net",
    "co2": "CO2",
    "loss-15": "loss in 15 mm pipe",
    "loss-22": "loss in 22 mm pipe",
    "loss-28": "loss in 28 mm pipe",
}
DONE = {
    "clean": "cleaned",
    "regrease": "regreased",
    "replace": "replaced",
    "repair": "repaired",
    "adjust": "adjusted",
    "tighten": "tightened",
    "dry": "dried out",
    "refit": "refitted",
    "remove": "removed",
    "isolate": "isolated",
    "disconnect": "disconnected, capped off",
    "label": "labelled",
    "test": "tested",
    "order": "a part ordered",
    "advise": "customer advised",
    "monitor": "watched",
}
UNITS |= {"ohm": "Ω", "Mohm": "MΩ"}


def state(line: Line) -> str:
    """How a line stands; what was confirmed together with all that was sure says so."""
    if line.state == "accepted" and line.decisions and line.decisions[-1].kind == "accept-sure":
        return "confirmed in one go"
    return STATES[line.state]


def label(id_: str | None) -> str:
    """What people read for an id of the vocabulary, without the gloss in brackets."""
    return vocabulary().label(id_).partition(" (")[0]


def spaced(id_: str | None) -> str:
    """An id as plain words: "front-left" is "front left"."""
    return (id_ or "").replace("-", " ")


def place(said: Finding | Reading) -> str:
    """Where at the appliance, or nothing."""
    burner = f"{spaced(said.burner)} burner" if said.burner else ""
    return ", ".join(part for part in (spaced(said.position), burner) if part)


def appliance(said: Finding) -> str:
    """Which appliance, by its number or room where two of a kind were named."""
    return f"{label(said.appliance)} ({said.unit})" if said.unit else label(said.appliance)


def part(said: Finding) -> str:
    """The part and its place: "Spark electrode (front left)"."""
    name, where = label(said.component) or "Unnamed part", place(said)
    return f"{name} ({where})" if where else name


def whose_part(said: Finding) -> str:
    """The part with its appliance, where that was named: "Hob, Spark electrode (front left)"."""
    return ", ".join(name for name in (appliance(said), part(said)) if name)


def finding(said: Finding) -> str:
    """One finding in one line: component, place, condition, and how it stands."""
    return f"{part(said)}: {condition(said)}"


def condition(said: Finding) -> str:
    """The condition with its status: "Cracked, split; put right on this visit"."""
    what = label(said.condition) or ("No condition said" if not said.actions else "Work")
    how = vocabulary().label(said.status)
    if said.status == "absent":
        return f"No sign of: {what.lower()}"
    if said.status == "present":
        return what
    return f"{what}; {how[:1].lower()}{how[1:]}"


def actions(said: Finding) -> str:
    """What was or is to be done: "Replace: needed"."""
    return "; ".join(f"{label(action.kind)}: {action.state}" for action in said.actions)


def work(kind: str, state: str) -> str:
    """One action in a list of what was done, is needed or was declined: what was cleaned must not read as clean."""
    return DONE.get(kind, spaced(kind)) if state == "done" else label(kind).lower()


def number(value: Decimal) -> str:
    """A figure as it was said, without an exponent."""
    return f"{value:f}"


def quantity(value: Quantity, limits: Iterable[Decimal] = ()) -> str:
    """A value with its doubt and unit, rounded to its doubt; the data has the whole value.

    The doubt is given to two significant figures, rounded up, and the value to the same place: JCGM 100:2008 (GUM), 7.2.6.
    Where that would move the figure, or an end of its doubt, onto or across one of `limits`, more digits are given.
    """
    if value.plus_minus is None:
        return f"{number(value.value)} {unit(value.unit)}".strip()
    figure, doubt = _rounded(value.value, value.plus_minus, tuple(limits))
    return f"{number(figure)} ± {number(doubt)} {unit(value.unit)}".strip()


def limits_of(result: Result, of: Quantity) -> tuple[Decimal, ...]:
    """The limits that one of a result's figures may be held against: those in its own unit."""
    limit = result.limit
    if limit is None or limit.unit not in (None, of.unit):
        return ()
    return tuple(bound for bound in (limit.low, limit.high) if bound is not None)


_FIGURE = re.compile(r"-?\d+(\.\d+)?")
_EXACT = Context(prec=200)


def _rounded(value: Decimal, doubt: Decimal, limits: tuple[Decimal, ...]) -> tuple[Decimal, Decimal]:
    finest = min(_place(value), _place(doubt))
    if not doubt or finest > 0:
        return value, doubt
    for place in range(max(doubt.adjusted() - 1, _place(doubt)), finest, -1):
        step = Decimal(1).scaleb(place)
        figure = value if _place(value) >= place else value.quantize(step, ROUND_HALF_EVEN, _EXACT)
        wider = doubt if _place(doubt) >= place else doubt.quantize(step, ROUND_UP, _EXACT)
        if _sides(figure, wider, limits) == _sides(value, doubt, limits):
            return figure, wider
    return value, doubt


def _place(value: Decimal) -> int:
    return int(value.as_tuple().exponent)


def _sides(value: Decimal, doubt: Decimal, limits: tuple[Decimal, ...]) -> list[int]:
    """On which side of each limit the value and both ends of its doubt lie: -1, 0 (on it) or 1."""
    ends = (value, _EXACT.subtract(value, doubt), _EXACT.add(value, doubt))
    return [(end > limit) - (end < limit) for limit in limits for end in ends]


def unit(name: str) -> str:
    """A unit as people write it."""
    return UNITS.get(name, name)


def reading(said: Reading) -> str:
    """The figure of a reading with unit, comparator and basis."""
    if said.cubic_feet is not None:
        return f"{number(said.cubic_feet)} ft³"
    sign = {"about": "about "}.get(said.comparator or "", said.comparator or "")
    return " ".join(part for part in (f"{sign}{number(said.value)}", unit(said.unit), said.basis or "") if part)


def line(said: Said) -> str:
    """Any line of a visit in one line of text."""
    if isinstance(said, Finding):
        return finding(said) + (f". {acts}" if (acts := actions(said)) else "")
    if isinstance(said, Reading):
        where = ", ".join(part for part in (place(said), spaced(said.phase)) if part)
        return f"{label(said.quantity)}{f' ({where})' if where else ''}: {reading(said)}"
    if isinstance(said, Declared):
        return f"Declared by the engineer: {label(said.class_)}"
    if isinstance(said, FollowUp):
        return label_followup(said)
    return step(said)


def titled(said: Said) -> str:
    """Any line with the appliance that it is about: what a person confirms must not go to another one."""
    whose = appliance(said) if isinstance(said, Finding) else label(getattr(said, "appliance", None))
    return f"{whose}, {line(said)}" if whose else line(said)


def label_followup(said: FollowUp) -> str:
    """A follow-up: what, and in how many days where that was said."""
    name = vocabulary().followups.get(said.kind, spaced(said.kind))
    return name if said.due_days is None else f"{name}, in {said.due_days} day{'' if said.due_days == 1 else 's'}"


def followup(said: FollowUp) -> str:
    """A follow-up with the words in which it was said, for what is to be ordered or reported stands in them only."""
    words = " ".join(said.evidence.text.split())
    return label_followup(said) + (f' ("{words}")' if words else "")


def settle(result: Result) -> str:
    """What would settle a result without a verdict; inputs that are missing by their names for people."""
    text = result.settle or ""
    if not text.startswith("needed: ") or result.name not in calculations():
        return text
    inputs = calculations()[result.name].inputs
    names = (inputs[id_].text if id_ in inputs else spaced(id_) for id_ in text.removeprefix("needed: ").split(", "))
    return f"needed too: {'; '.join(names)} (by hand: fieldnote calc {result.name})"


def results(done: Result) -> tuple[str, ...]:
    """The figures of a calculation, each with its name."""
    return tuple(
        f"{_result_label(id_)}: {quantity(value, limits_of(done, value))}" for id_, value in done.results.items()
    )


def _result_label(id_: str) -> str:
    text = RESULTS.get(id_) or label(id_)
    return text[:1].upper() + text[1:]


def calculation(result: Result) -> str:
    """What was worked out, and of which appliance: the first words of the calculation's title."""
    known = calculations().get(result.name)
    name = re.split("[,:]", known.title)[0] if known else spaced(result.name).capitalize()
    return f"{name} ({label(result.appliance)})" if result.appliance else name


def inputs(result: Result) -> str:
    """What a result was worked out from, each figure with its name and unit for people."""
    known = calculations()[result.name].inputs if result.name in calculations() else {}
    return "; ".join(_input(key, value, known.get(key)) for key, value in result.inputs.items())


def _input(key: str, value: str, known: Input | None) -> str:
    figure, _, own = value.partition(" ")
    if known is None or known.unit is None or not _FIGURE.fullmatch(figure):
        return f"{known.text if known and not known.choices else spaced(key)}: {value}"
    return f"{known.text}: {figure} {unit(own or known.unit)}".rstrip()


def step(said: ProcedureStep) -> str:
    """One step of what was done about an unsafe situation."""
    return STEPS.get(said.step, spaced(said.step).capitalize()) + (
        f", reference {said.reference}" if said.reference else ""
    )


def verdict(result: Result) -> str:
    """The verdict of one calculation, with why there is none."""
    words = VERDICTS[result.verdict]
    if result.verdict != "no-verdict":
        return words
    return f"{words}: {REASONS.get(result.reason or '', spaced(result.reason))}" if result.reason else words


def clock(seconds: float) -> str:
    """Seconds of a clip as minutes and seconds: 83.4 is "1:23"."""
    whole = int(seconds)
    hours, rest = divmod(whole, 3600)
    return f"{hours}:{rest // 60:02}:{rest % 60:02}" if hours else f"{rest // 60}:{rest % 60:02}"


def moment(at: datetime | None) -> str:
    """A day and a time of day, without a zone's name."""
    return f"{at:%-d %B %Y, %H:%M}" if at else ""


def written(day: date | None) -> str:
    """A day as people write it: "5 March 2027"; nothing where none is known."""
    return f"{day:%-d %B %Y}" if day else ""


def day(view: VisitView) -> date:
    """The day of the work: as what was recorded says, else the day on which the visit was opened."""
    return view.day or view.visit.opened_at.date()


def trace(where: Trace, view: VisitView) -> str:
    """Where a line comes from: the clip's name and second, the note, or a person."""
    if where.item is None:
        return "added by a person"
    name = item_name(view, where.item)
    if where.from_second is None:
        return f"note {name}, characters {where.start} to {where.end}"
    return f"clip {name} at {clock(where.from_second)}"


def item_name(view: VisitView, item: str) -> str:
    """The file's own name of an item, or its id."""
    return next((one.name for one in view.items if one.id == item), item)


def said_words(line: Line) -> str:
    """The words that a line came from."""
    record = line.proposed or line.current
    return " ".join(record.evidence.text.split()) if record else ""
