"""A picture as plain lines for a terminal. In: a picture. Out: lines; what is wrong and what is dangerous comes first."""

from collections.abc import Iterator

from fieldnote.audit.picture import Cell, Picture, Table

WIDEST = 44  # characters of a cell in a long table; records of damage and danger are written out in full
IN_FULL = ("bad", "dangers")
FEW = 20  # rows of a long table on a terminal


def lines(picture: Picture, most: int = FEW) -> Iterator[str]:
    """The whole picture. `most` is how many rows of a long table are shown; damage and danger are always shown whole."""
    for table in picture.tables:
        if table.rows:
            yield from _table(table, most)
            yield ""
    counts = picture.counts
    yield f"Day of this audit: {picture.on}. {', '.join(f'{n} {name}' for name, n in counts.items())}."
    yield picture.checked
    for table in picture.tables:
        if table.attention and not table.total:
            yield f"Nothing under: {table.title}."


def _table(table: Table, most: int) -> Iterator[str]:
    yield f"{table.title}: {table.total}"
    if table.name in IN_FULL:
        for row in table.rows:
            yield from _record(table, row)
        return
    cells = [[*table.columns], *([_cut(shown_as(cell)) for cell in row] for row in table.rows[:most])]
    widths = [max(len(row[n]) for row in cells) for n in range(len(table.columns))]
    for line in cells:
        yield "  " + "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
    if table.total > most:
        yield f"  ... and {table.total - most} more (--table {table.name} gives all)"


def _record(table: Table, row: tuple[Cell, ...]) -> Iterator[str]:
    first, *rest = [(name, shown_as(cell)) for name, cell in zip(table.columns, row, strict=True)]
    yield f"  {first[1]}"
    for name, cell in rest:
        yield f"    {name}: {cell}"


def shown_as(cell: Cell) -> str:
    """A cell as people read it: figures with two or three digits that matter, nothing as a dash."""
    if cell is None:
        return "-"
    if isinstance(cell, float):
        return f"{cell:.3f}" if abs(cell) < 1 else f"{cell:.1f}"
    return " ".join(str(cell).split())


def _cut(text: str) -> str:
    return text if len(text) <= WIDEST else f"{text[: WIDEST - 3]}..."
