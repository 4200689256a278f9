"""A picture as plain lines for a terminal. In: a picture. Out: lines; what is wrong and what is dangerous comes first."""

import sys
from collections.abc import Iterator

from fieldnote.audit.picture import Cell, Picture, Table
from fieldnote.audit.plans import STANDARD, Plan
from fieldnote.audit.worklist import Outcome, Worklist, outcomes

WIDEST = 44  # characters of a cell in a long table; records of damage and danger are written out in full
IN_FULL = ("bad", "dangers")
FEW = 20  # rows of a long table on a terminal


def lines(picture: Picture, most: int = FEW, *, cut: bool = True) -> Iterator[str]:
    """The whole picture. `most` is how many rows of a long table are shown; damage and danger are always shown whole. With
    `cut` long cells are cut short."""
    for table in picture.tables:
        if table.rows:
            yield from _table(table, most, WIDEST if cut else sys.maxsize)
            yield ""
    counts = picture.counts
    yield f"Day of this audit: {picture.on}. {', '.join(f'{n} {name}' for name, n in counts.items())}."
    yield picture.checked
    for table in picture.tables:
        if table.attention and not table.total:
            yield f"Nothing under: {table.title}."


def _table(table: Table, most: int, widest: int) -> Iterator[str]:
    yield f"{table.title}: {table.total}"
    if table.name in IN_FULL:
        for row in table.rows:
            yield from _record(table, row)
        return
    cells = [[*table.columns], *([_cut(shown_as(cell), widest) for cell in row] for row in table.rows[:most])]
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
        return f"{cell:z.3f}" if abs(cell) < 1 else f"{cell:.1f}"
    return " ".join(str(cell).split())


def _cut(text: str, widest: int) -> str:
    return text if len(text) <= widest else f"{text[: widest - 3]}..."


def worklist_lines(worklist: Worklist) -> Iterator[str]:
    """A work list with what was decided, and where each lot stands."""
    rows = [
        (
            one.number, one.candidate.day, one.candidate.engineer, one.candidate.ref, one.candidate.risk,
            _answer(worklist, one.number), one.candidate.path,
        )
        for one in worklist.sample.drawn
    ]  # fmt: skip
    columns = ("number", "day", "engineer", "visit", "risk", "decided", "where")
    yield from _table(Table("work-list", "Look at", columns, tuple(rows), len(rows)), len(rows), sys.maxsize)
    yield ""
    yield "To look at one of a notebook: fieldnote --notebook WHERE show VISIT. Decide in your own notebook, never in theirs."
    sample = worklist.sample
    yield f"Seed {sample.seed}: the same seed and the same visits give the same list."
    for lot, plan in sorted(sample.plans.items()):
        yield plan_line(lot, plan, sample.sizes[lot])
    if any(sample.plans.values()):
        yield f"Plans: {STANDARD}."
    if worklist.decided:
        yield from map(outcome_line, outcomes(worklist))
    if worklist.id:
        yield f"Kept as {worklist.id[:8]} in your own notebook; fieldnote audit decide NUMBER right, wrong or unclear."


def plan_line(lot: str, plan: Plan | None, size: int) -> str:
    """What is drawn from a lot, in words."""
    if plan is None:
        return f"{lot}: spread over the risks and engineers of {size} visits."
    return (
        f"{lot}: {plan.size} of {plan.lot} visits (AQL {plan.aql}, level {plan.level}, letter {plan.letter}); "
        f"accepted with at most {plan.accept} wrong, not accepted from {plan.reject}."
    )


def _answer(worklist: Worklist, number: int) -> str:
    decided = worklist.decided.get(number)
    if decided is None:
        return ""
    return f"{decided.answer} ({decided.by})" + (f": {decided.note}" if decided.note else "")


def outcome_line(one: Outcome) -> str:
    """Where a lot stands, in words."""
    answers = ", ".join(f"{count} {name}" for name, count in sorted(one.answers.items())) or "nothing decided"
    share = (
        f"; wrong {one.wrong.part} of {one.wrong.total}, 95 % from {one.wrong.low:.3f} to {one.wrong.high:.3f}"
        if one.wrong
        else ""
    )
    return f"{one.lot}: {answers}, {one.left} left{share}" + (f"; {one.verdict}" if one.verdict else "")
