"""Settings become parts, wired together. The only place that knows concrete classes of more than one room.

Each function imports its room when it is called, so that a command pays only for what it uses.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

from fieldnote.settings import Settings

if TYPE_CHECKING:
    from fieldnote.extract import Extractor
    from fieldnote.notebook import Notebook
    from fieldnote.records import Check, Extraction, Visit, VisitView
    from fieldnote.speech import Recogniser


def notebook(settings: Settings, *, write: bool = True, create: bool = False) -> Notebook:
    """The engineer's notebook. Raises NotebookProblem when it is absent, busy, newer or not writable."""
    from fieldnote.notebook import Notebook

    return Notebook.open(settings.notebook, write=write, create=create)


def recogniser(settings: Settings) -> Recogniser:
    """The speech engine with checked weights. Raises MachineLacks FN-401 when they are not here."""
    from fieldnote.speech import build

    return build(settings)


def extractor() -> Extractor:
    """The rule-based reader of dictations."""
    from fieldnote.extract import build

    return build()


def checker(settings: Settings) -> Callable[[Extraction, Visit], Check]:
    """What the trade makes of a visit, with the limits of its region, its edition and the day it was made."""

    def check(extraction: Extraction, visit: Visit) -> Check:
        from fieldnote.trade import check as trade_check
        from fieldnote.trade import limits

        return trade_check.check(
            extraction,
            work=visit.work,
            appliances=visit.appliances,
            gas=visit.gas,
            meter=visit.meter,
            region=visit.region or settings.region,
            edition=visit.edition,
            on=day_of(visit),
            limits=limits.load(settings.limits),
        )

    return check


def day_of(visit: Visit) -> date:
    """The day whose limits hold for a visit: the day it was opened, where the engineer was."""
    return visit.opened_at.date()


def view(settings: Settings, book: Notebook, ref: str) -> VisitView:
    """One visit as it stands, its results worked out for what holds now."""
    from fieldnote.flow.view import view

    return view(book, book.visit(ref).id, checker(settings))
