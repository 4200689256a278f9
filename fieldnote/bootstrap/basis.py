"""The parts that nearly every command uses. In: settings. Out: a notebook, an engine, a reader, a check."""

from __future__ import annotations

import functools
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from fieldnote.errors import FieldnoteError
from fieldnote.settings import Settings

if TYPE_CHECKING:
    from fieldnote.extract import Extractor
    from fieldnote.notebook import Notebook
    from fieldnote.records import Check, Decision, Extraction, Visit, VisitView
    from fieldnote.speech.fetching import Makers
    from fieldnote.speech.hearing import Recogniser


def notebook(settings: Settings, *, write: bool = True, create: bool = False) -> Notebook:
    """The engineer's notebook. Raises NotebookProblem when it is absent, busy, newer or not writable."""
    from fieldnote.notebook import Notebook

    return Notebook.open(settings.notebook, write=write, create=create)


def recogniser(settings: Settings) -> Recogniser:
    """The speech engine with checked weights. Raises MachineLacks FN-401 when they are not here."""
    from fieldnote.speech import build

    return build(settings)


def extractor() -> Extractor:
    """The reader of dictations: rules, and the taught reader beside them where it is on this machine and whole."""
    from fieldnote import settings
    from fieldnote.extract import build

    chosen = settings.load()
    return build(chosen.cache, taught(chosen)[0])


@functools.cache
def taught(settings: Settings) -> tuple[Path | None, str]:
    """The folder with the taught reader, checked now and made anew where the program was taught further; without one None, and
    in one line why the rules read alone."""
    from fieldnote.speech import weights

    folder = settings.models / weights.READER
    if weights.made_by(folder)[0] != weights.FINDINGS:
        return None, "the taught reader of findings is not on this machine: fieldnote models fetch reader"
    try:
        maker = makers()[weights.FINDINGS]
        if weights.made_by(folder)[1] != maker.by:
            weights.check_originals(settings, weights.READER)
            weights.make_container(folder, maker)
        return weights.ready(settings, weights.READER, weights.FINDINGS)[0], ""
    except (FieldnoteError, OSError) as problem:
        return None, problem.line() if isinstance(problem, FieldnoteError) else f"{folder}: {problem}"


def makers() -> Makers:
    """How weights are made ready, by what they are for."""
    from fieldnote.extract.taught import making
    from fieldnote.speech import weights

    every = (
        weights.Maker(weights.SPEECH, weights.make_speech),
        weights.Maker(weights.FINDINGS, making.make, making.made_of()),
    )
    return {maker.use: maker for maker in every}


def extractor_after_hearing() -> Extractor:
    """The reader, made when the speech engine is gone; what that took goes back to the system first."""
    from fieldnote.speech.engine import trim

    trim()
    return extractor()


def checker(settings: Settings) -> Callable[[Extraction, Visit, date], Check]:
    """What the trade makes of a visit, with the limits of its region, its edition and the day it was made."""

    def check(extraction: Extraction, visit: Visit, day: date) -> Check:
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
            on=day,
            limits=limits.load(settings.limits),
            emergency_number=settings.emergency_number.strip() or None,
        )

    return check


def view(settings: Settings, book: Notebook, ref: str) -> VisitView:
    """One visit as it stands, its results worked out for what holds now."""
    from fieldnote.flow.view import view

    return view(book, book.visit(ref).id, checker(settings))


def answers(book: Notebook, visit: str) -> dict[str, Decision]:
    """What people decided about points and loose photos of a visit."""
    from fieldnote.flow.points import of_visit

    return of_visit(book, visit)


def settle(settings: Settings, book: Notebook, visit: Visit) -> None:
    """After decisions: work the results out for what holds now, and keep them."""
    from fieldnote.flow.process import recheck

    recheck(book, checker(settings), visit)


def recover(book: Notebook) -> int:
    """File recordings that a kill left open; how many there were. Their unheard rest waits for `process`."""
    from fieldnote.flow import taped

    return sum(1 for _ in taped.recover(book))
