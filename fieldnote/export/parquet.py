"""A table as a Parquet file. In: a table. Out: bytes. Nothing is fetched: the writer is in the package itself."""

import tempfile
from datetime import date
from decimal import Decimal
from pathlib import Path

from fieldnote.errors import MachineLacks
from fieldnote.export.tables import Cell, Table

_NOTHING_FETCHED = ("autoinstall_known_extensions", "autoload_known_extensions")


def parquet(table: Table) -> bytes:
    """A table, its columns typed by what stands in them. Raises MachineLacks FN-402 when duckdb is not installed."""
    try:
        import duckdb
    except ImportError:
        raise MachineLacks("FN-402", extra="audit") from None
    kinds = [_kind([row[n] for row in table.rows]) for n in range(len(table.columns))]
    columns = ", ".join(f'"{name}" {kind}' for name, kind in zip(table.columns, kinds, strict=True))
    settings: dict[str, str | bool | int | float | list[str]] = {
        "autoinstall_known_extensions": "false",
        "autoload_known_extensions": "false",
    }
    with tempfile.TemporaryDirectory() as folder, duckdb.connect(config=settings) as database:
        path = Path(folder) / "table.parquet"
        database.execute(f"CREATE TABLE cells ({columns})")
        if table.rows:
            places = ", ".join("?" for _ in kinds)
            database.executemany(f"INSERT INTO cells VALUES ({places})", [list(map(_plain, row)) for row in table.rows])
        database.execute(f"COPY cells TO '{path}' (FORMAT parquet)")
        return path.read_bytes()


def _kind(cells: list[Cell]) -> str:
    there = [cell for cell in cells if cell is not None]
    if there and all(isinstance(cell, (Decimal, int, float)) for cell in there):
        return "DOUBLE"
    return "DATE" if there and all(isinstance(cell, date) for cell in there) else "VARCHAR"


def _plain(cell: Cell) -> Cell:
    return float(cell) if isinstance(cell, Decimal) else cell
