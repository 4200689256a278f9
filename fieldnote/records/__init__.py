"""The nouns that travel between rooms: frozen dataclasses, standard library only."""

from fieldnote.records.canonical import canonical, digest, from_plain, to_plain
from fieldnote.records.chain import Entry
from fieldnote.records.decision import Decision
from fieldnote.records.findings import (
    Action,
    Declared,
    Evidence,
    Extraction,
    Finding,
    FollowUp,
    ProcedureStep,
    Reading,
    Why,
)
from fieldnote.records.results import Check, Limit, Point, Quantity, Result
from fieldnote.records.speech import Repair, Segment, Transcript, Word
from fieldnote.records.view import Line, Placement, Trace, VisitView
from fieldnote.records.visit import Incoming, Item, Receipt, Visit

__all__ = [
    "Action",
    "Check",
    "Decision",
    "Declared",
    "Entry",
    "Evidence",
    "Extraction",
    "Finding",
    "FollowUp",
    "Incoming",
    "Item",
    "Limit",
    "Line",
    "Placement",
    "Point",
    "ProcedureStep",
    "Quantity",
    "Reading",
    "Receipt",
    "Repair",
    "Result",
    "Segment",
    "Trace",
    "Transcript",
    "Visit",
    "VisitView",
    "Why",
    "Word",
    "canonical",
    "digest",
    "from_plain",
    "to_plain",
]
