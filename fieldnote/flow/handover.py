"""What was settled when a visit was handed over: the next due date, a signature or its refusal. Kept as records of their own."""

from dataclasses import dataclass
from datetime import date

from fieldnote.notebook import Notebook
from fieldnote.records import from_plain, to_plain

SIGNATURES = ("", "signed", "refused", "nobody there")


@dataclass(frozen=True, slots=True)
class Handover:
    """`next_due` is None and `signature` empty where nobody said; a report then shows a line to fill in by hand."""

    next_due: date | None = None
    signature: str = ""
    by: str = ""


def handover(notebook: Notebook, visit: str) -> Handover:
    """The last handover of a visit; blank when there is none."""
    kept = [entry.payload for entry in notebook.entries(kind="handover", visit=visit) if entry.payload]
    return from_plain(Handover, kept[-1]) if kept else Handover()


def hand_over(notebook: Notebook, visit: str, said: Handover) -> None:
    """Keep what was settled; the last one holds, the earlier ones stay in the record."""
    notebook.append("handover", to_plain(said), visit=visit)
