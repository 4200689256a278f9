"""Readings of a talk. In: the draft with its words, later its places. Out: `Draft.measures`, then `Draft.readings`.

`measure` finds figures and binds them to quantities before findings are read, so that no part of a reading is taken for a
finding; `run` gives each its appliance, place and phase and makes the record. Not allowed to know: limits.
"""

from bisect import bisect_left
from decimal import Decimal

from fieldnote.extract.draft import Draft
from fieldnote.extract.figures.binding import bind
from fieldnote.extract.figures.corrections import settle
from fieldnote.extract.figures.desk import Bound
from fieldnote.extract.figures.measures import Figure, Talk, lay_out
from fieldnote.extract.figures.phases import set_phases
from fieldnote.extract.figures.quantities import knowledge
from fieldnote.records import Evidence, Reading, Why

NO_COMPONENT = frozenset(
    "thermocouple burner injector jet flue vent meter fuse electrode radiant regulator plate plug earth bonding pipe pipework "
    "letting hose bond airbrick grille vents fuses jets injectors thermocouples thermal couple boiler vessel system gap".split()
)
CONFIDENCE = {"name": 0.95, "carried": 0.85, "unit": 0.8, "shape": 0.85, "from start to end": 0.85, "none said": 0.9}
IN_DOUBT = 0.4
BASIS_REACH = 4  # "twenty four kilowatts, and that's net"

# what a time is taken for that belongs to a meter
_DIAL = frozenset("round rev turn revolution foot dial".split())
_TIMED = frozenset({"meter-reading", "gas-rate", "heat-input"})


def measure(draft: Draft) -> None:
    """Find the readings without their context; mark the words that are part of one."""
    talk = lay_out(draft.text, draft.tokens)
    bound = bind(talk)
    set_phases(talk, bound)
    draft.measures = [(talk, settle(talk, bound))]
    for reading in bound:  # those that were taken back are figures, too
        draft.measured.update(_words_of(talk, reading))


def _words_of(talk: Talk, reading: Bound) -> set[int]:
    """Indices of the draft's words that belong to a reading and to nothing else: its figure, what compares it ("a good
    twenty seconds"), its name."""
    spans = [(reading.start, reading.end)] if reading.figure is None else [_compared(talk, reading.figure)]
    if reading.name and not NO_COMPONENT & set(talk.words[reading.name.start : reading.name.end]):
        spans.append((reading.name.start, reading.name.end))
    return {talk.origins[at] for start, end in spans for at in range(start, end)}


def _compared(talk: Talk, figure: Figure) -> tuple[int, int]:
    """A figure with the words of quality that compare it: "a good", "a full"."""
    first = bisect_left(talk.cues, figure.start - 2, key=lambda cue: cue.start)
    for cue in talk.cues[first : first + 4]:
        if cue.end == figure.start and any(c.id == "rounded" for c in cue.cues):
            return cue.start, figure.end
    return figure.start, figure.end


def run(draft: Draft) -> None:
    """Make the records, in the order in which they were said."""
    if draft.measures:
        talk, bounds = draft.measures[0]
        metered = any(bound.quantity in _TIMED for bound in bounds)
        timed = [
            bound for bound in bounds if metered or bound.quantity != "elapsed" or _of_a_dial(talk, bound)
        ]  # "ran it ten minutes, it stayed in"
        draft.readings = [_reading(draft, talk, bound) for bound in timed]


def _of_a_dial(talk: Talk, bound: Bound) -> bool:
    """ "The test dial went round once in 41 seconds": the time of a meter, though nothing else of it was read."""
    return bound.name is not None and not _DIAL.isdisjoint(talk.words[bound.name.start : bound.name.end])


def _reading(draft: Draft, talk: Talk, bound: Bound) -> Reading:
    where = draft.context(talk.origins[bound.figure.start if bound.figure else bound.start])
    quantity = knowledge().quantities[bound.quantity]
    evidence = _evidence(draft.text, talk, bound.start, bound.end)
    said = _evidence(draft.text, talk, bound.figure.start, bound.figure.end).text if bound.figure else evidence.text
    return Reading(
        quantity=bound.quantity,
        value=_tidy(bound.value),
        unit="ft3" if bound.cubic_feet else quantity.unit,
        appliance=where.appliance,
        position=bound.place or where.position,
        burner=where.burner,
        phase=bound.phase,
        confidence=_confidence(bound),
        evidence=evidence,
        basis=_cue_value(talk, bound, "basis"),
        comparator=_cue_value(talk, bound, "comparator"),
        said=said,
        cubic_feet=_tidy(bound.value) if bound.cubic_feet else None,
        start_value=bound.start_value,
        superseded=bound.superseded,
        why=tuple(_why(draft.text, talk, bound)),
    )


def _evidence(text: str, talk: Talk, start: int, end: int) -> Evidence:
    first, last = talk.tokens[start].start, talk.tokens[end - 1].end
    return Evidence(text[first:last], first, last)


def _why(text: str, talk: Talk, bound: Bound) -> list[Why]:
    named = _evidence(text, talk, bound.name.start, bound.name.end) if bound.name else None
    figure = _evidence(text, talk, bound.figure.start, bound.figure.end) if bound.figure else None
    doubt = "; two readings fit" if bound.doubt else ""
    reasons = [
        Why("quantity", bound.quantity, bound.rule, named),
        Why("value", str(_tidy(bound.value)), bound.rule + doubt, figure),
    ]
    return [*reasons, Why("phase", bound.phase, "phase said", None)] if bound.phase else reasons


def _confidence(bound: Bound) -> float:
    """How sure: by what bound the figure; a value with two readings is left to a person."""
    if bound.doubt:
        return IN_DOUBT
    return CONFIDENCE.get(bound.rule.split(",")[0], 0.8)


def _cue_value(talk: Talk, bound: Bound, kind: str) -> str | None:
    """A basis behind the figure, before it or in its name; a comparator right before it."""
    if bound.figure is None:
        return None
    start, end = bound.figure.start, bound.figure.end
    if kind == "comparator":
        return _cue_between(talk, start - 3, start, kind, at_end=True)
    after = bisect_left(talk.figures, end, key=lambda figure: figure.start)
    another = talk.figures[after].start if after < len(talk.figures) else end + BASIS_REACH
    named = min(bound.name.start if bound.name else start, start - 1)
    behind = _cue_between(talk, end, min(end + BASIS_REACH, another), kind)
    return behind or _cue_between(talk, named, start, kind)


def _cue_between(talk: Talk, low: int, high: int, kind: str, *, at_end: bool = False) -> str | None:
    first = bisect_left(talk.cues, low, key=lambda cue: cue.start)
    for cue in talk.cues[first : first + 6]:
        if cue.end == high if at_end else cue.start < high:
            for c in cue.cues:
                if c.kind == kind:
                    return c.value
    return None


def _tidy(value: Decimal) -> Decimal:
    """The value without trailing zeros and without an exponent."""
    return Decimal(format(value.normalize(), "f"))
