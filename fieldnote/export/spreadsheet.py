"""Tables as one XLSX workbook. In: tables. Out: bytes in which every text is text: nothing runs, nothing links."""

import io
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from fieldnote.errors import MachineLacks
from fieldnote.export.tables import Cell, Table

LONGEST = 32_767  # characters that one cell of the format holds
WIDEST = 420  # pixels of a column, so that one long text does not push the others out of sight
CUT = " ... (cut here; the JSON export has it whole)"


def workbook(tables: Sequence[Table]) -> bytes:
    """One sheet a table. Raises MachineLacks FN-402 when XlsxWriter is not installed."""
    try:
        import xlsxwriter
    except ImportError:
        raise MachineLacks("FN-402", extra="tables") from None
    out = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    with xlsxwriter.Workbook(out, options) as book:
        head, day = book.add_format({"bold": True}), book.add_format({"num_format": "yyyy-mm-dd"})
        for table in tables:
            _sheet(book.add_worksheet(table.name), table, head, day)
    return out.getvalue()


def _sheet(sheet: Any, table: Table, head: Any, day: Any) -> None:
    for column, name in enumerate(table.columns):
        sheet.write_string(0, column, name, head)
    for number, row in enumerate(table.rows, 1):
        for column, cell in enumerate(row):
            _put(sheet, number, column, cell, day)
    sheet.freeze_panes(1, 0)
    sheet.autofilter(0, 0, len(table.rows), len(table.columns) - 1)
    sheet.autofit(WIDEST)


def _put(sheet: Any, row: int, column: int, cell: Cell, day: Any) -> None:
    if cell is None or cell == "":
        return
    if isinstance(cell, date):
        sheet.write_datetime(row, column, cell, day)
    elif isinstance(cell, (Decimal, int, float)):
        sheet.write_number(row, column, float(cell))
    else:
        sheet.write_string(row, column, cell if len(cell) <= LONGEST else cell[: LONGEST - len(CUT)] + CUT)
