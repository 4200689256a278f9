"""What leaves: a report for a reader, tables, a calendar, copies of photos, all made from one `VisitView`.

In: views, where photos lie, what is known of the engineer. Out: bytes or files, whole or absent. Not allowed to know: how
anything is stored, heard or read.
"""

from collections.abc import Callable, Sequence

from fieldnote.export import calendar, data, spreadsheet, tables
from fieldnote.export.masking import OPEN, Mask
from fieldnote.records import VisitView


def render(
    kind: str, views: Sequence[VisitView], *, table: str, mask: Callable[[VisitView], Mask] | None = None
) -> bytes:
    """Visits as the bytes of one file: json, jsonl, csv, xlsx, parquet or ics. `table` is read by csv and parquet."""
    hide = mask or (lambda _: OPEN)
    if kind == "json":
        return data.text(data.document(views, hide)).encode("utf-8")
    if kind == "jsonl":
        return data.lines_text(data.visit(view, hide(view)) for view in views).encode("utf-8")
    if kind == "csv":
        return tables.csv_text(tables.table(table, views, hide)).encode("utf-8-sig")
    if kind == "xlsx":
        return spreadsheet.workbook(tables.tables(views, hide))
    if kind == "ics":
        return calendar.calendar(views, hide)
    from fieldnote.export import parquet

    return parquet.parquet(tables.table(table, views, hide))
