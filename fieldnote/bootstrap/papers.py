"""What leaves as paper or data: reports, exports, what is due. In: settings and a notebook. Out: bytes, rows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from fieldnote.bootstrap.basis import answers, view
from fieldnote.settings import Settings

if TYPE_CHECKING:
    from fieldnote.export.due import Month, Row
    from fieldnote.export.masking import Mask
    from fieldnote.export.particulars import Particulars
    from fieldnote.notebook import Notebook
    from fieldnote.records import VisitView


def report(settings: Settings, book: Notebook, ref: str, kind: str, *, mask: bool, names: Sequence[str] = ()) -> bytes:
    """One visit for a reader, as the bytes of an HTML file or a PDF. Raises MachineLacks FN-402 without the extra `pdf`."""
    from fieldnote.export import html, masking, pdf
    from fieldnote.export import report as content

    seen = view(settings, book, ref)
    hide = mask_for(book, names)(seen) if mask else masking.OPEN
    made = content.build(seen, particulars(settings, book, seen.visit.id), hide, answers(book, seen.visit.id))
    if kind == "html":
        return html.render(made, photo_copies(book, seen)).encode("utf-8")
    return pdf.render(made, photo_copies(book, seen), seen, hide)


def export(
    settings: Settings,
    book: Notebook,
    refs: Sequence[str],
    kind: str,
    *,
    table: str,
    mask: bool,
    names: Sequence[str] = (),
) -> bytes:
    """Visits (all of them when none is named) as the bytes of one table, workbook, calendar or JSON file."""
    from fieldnote.export import render

    wanted = list(refs) or [visit.id for visit in book.visits()]
    views = [view(settings, book, ref) for ref in wanted]
    return render(kind, views, table=table, mask=mask_for(book, names) if mask else None)


def mask_for(book: Notebook, names: Sequence[str]) -> Callable[[VisitView], Mask]:
    """What hides names and numbers of a visit, its written notes included."""
    from fieldnote.export.masking import mask_of

    def make(seen: VisitView) -> Mask:
        notes = [item for item in seen.items if item.kind == "note"]
        return mask_of(seen, names, [book.media(note.sha256).read_text("utf-8", "replace") for note in notes])

    return make


def particulars(settings: Settings, book: Notebook, visit: str) -> Particulars:
    """What a report says of the engineer, with what was settled when this visit was handed over."""
    from dataclasses import replace

    from fieldnote.export import particulars
    from fieldnote.flow.handover import handover

    known, settled = particulars.load(settings.particulars), handover(book, visit)
    return replace(known, name=known.name or settings.engineer, next_due=settled.next_due, signature=settled.signature)


def photo_copies(book: Notebook, seen: VisitView, side: int = 1400) -> Callable[[str], bytes | None]:
    """Copies of the photos of a visit by item id, without position or owner."""
    from fieldnote.export.photos import copy

    paths = {item.id: book.media(item.sha256) for item in seen.items if item.kind == "photo"}
    return lambda photo: copy(paths[photo], side) if photo in paths else None


def due(settings: Settings, book: Notebook, keep_days: int | None) -> list[Row]:
    """What is open over all visits."""
    from fieldnote.export import due
    from fieldnote.flow.closing import closed
    from fieldnote.flow.handover import handover

    views = [view(settings, book, visit.id) for visit in book.visits()]
    days = {seen.visit.id: day for seen in views if (day := handover(book, seen.visit.id).next_due)}
    return due.rows(views, days, closed(book), keep_days)


def month_end(settings: Settings, book: Notebook, month: str) -> Month:
    """Visits made, parts used and situations of one month."""
    from fieldnote.export import due

    return due.month([view(settings, book, visit.id) for visit in book.visits()], month)


def close_line(settings: Settings, book: Notebook, line: str, ref: str | None) -> None:
    """Close a follow-up or a part. Raises UsageProblem FN-206 when nothing open has this id."""
    from fieldnote.flow.closing import close

    known = frozenset(row.id for row in due(settings, book, None) if row.kind in ("follow-up", "part"))
    close(book, line, book.visit(ref).id if ref else None, settings.engineer, known)
