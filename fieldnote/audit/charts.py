"""Which drawing stands beside which table. In: a table. Out: markup, or "" where none is drawn."""

import textwrap
from collections.abc import Callable, Sequence

from fieldnote.audit.drawing import LEFT, ROW, TOP, WIDTH, Axis, Mark, bars, funnel, line, short, svg, text, whiskers
from fieldnote.audit.facts import DANGERS, label
from fieldnote.audit.picture import Cell, Table
from fieldnote.trade.knowledge import situations

HEAD = 74
MOST = 30  # rows of a drawing; the table beside it has them all


def picture_of(table: Table) -> str:
    """The picture of a table, "" where there is none to draw."""
    draw = PICTURES.get(table.name)
    return draw(table) if draw and table.rows else ""


def _dangers(table: Table) -> str:
    """A row for each danger, a column for each step: a full mark where it was said, an empty ring where it is still missing."""
    steps, rows = _asked(), table.rows[:MOST]
    at = [450 + n * (WIDTH - 495) / (len(steps) - 1) for n in range(len(steps))]
    parts = [part for x, step in zip(at, steps, strict=True) for part in _heading(x, step)]
    for place, row in enumerate(rows):
        parts += _danger(HEAD + place * ROW, row, steps, at)
    lacking = sum("still unsaid" in str(row[-1]) for row in table.rows)
    description = f"{len(table.rows)} dangers, {lacking} of them with steps still missing. The table names every step."
    return svg(HEAD + len(rows) * ROW, "What was done about each danger, step by step", description, parts)


def _asked() -> list[str]:
    """The steps that any class of danger asks for, "a/b" for one of two; a step that is one of two stands with these."""
    steps = dict.fromkeys(step for row in situations().procedure if row.class_ in DANGERS for step in row.steps)
    pairs = [{*step.split("/")} for step in steps if "/" in step]
    return [step for step in steps if "/" in step or not any(step in pair for pair in pairs)]


def _heading(x: float, step: str) -> list[str]:
    names = " or ".join(_bare(situations().step_names[option]) for option in step.split("/"))
    lines = textwrap.wrap(names, 12, break_long_words=False)
    return [text(x, HEAD - 20 - 12 * (len(lines) - 1 - n), one, "head", "middle") for n, one in enumerate(lines)]


def _danger(y: float, row: Sequence[Cell], steps: Sequence[str], at: Sequence[float]) -> list[str]:
    _, engineer, visit, kind, *_, done, missing = map(str, row)
    parts = [line(0, y - 12, WIDTH, y - 12, "grid"), text(0, y + 5, short(f"{visit}, {engineer}", 33))]
    parts.append(text(258, y + 5, kind.replace("-", " "), "kind"))
    for x, step in zip(at, steps, strict=True):
        names = [situations().step_names[option] for option in step.split("/")]
        parts.append(_step(x, y, _state(names, done, missing)))
    return parts


def _bare(name: str) -> str:
    return name.partition(" (")[0]


def _state(options: Sequence[str], done: str, missing: str) -> str:
    said = {_bare(entry) for entry in done.split("; ")}
    if said & {*map(_bare, options)}:
        return "said"
    return "missing" if any(option in missing for option in options) else "unknown"


def _step(x: float, y: float, state: str) -> str:
    if state == "said":
        return f'<circle cx="{x:.1f}" cy="{y}" r="6" class="dot"/>'
    if state == "missing":
        return f'<circle cx="{x:.1f}" cy="{y}" r="6" class="ring"/>{text(x, y + 4.5, "!", "mark", "middle")}'
    return text(x, y + 5, "–", "axis", "middle")


def _shares(words: str, columns: int = 1, named: int = 1) -> Callable[[Table], str]:
    """A picture of a table whose rows are `columns` of text, the first `named` of them shown, then the cells of a share."""

    def draw(table: Table) -> str:
        marks = [_mark(row[:named], row[columns : columns + 5]) for row in table.rows[:MOST]]
        return whiskers(marks, table.title, words)

    return draw


def _mark(names: Sequence[Cell], figures: Sequence[Cell]) -> Mark:
    part, total, share, low, high = (float(cell or 0) for cell in figures)
    said = ", ".join(str(name) if len(names) > 1 else label(str(name)) or str(name) for name in names)
    return Mark(said, share, low, high, f"{part:,.0f} of {total:,.0f}")


def _by_engineer(table: Table) -> str:
    rows = [(str(name), int(part or 0), int(total or 0)) for name, part, total, *_ in table.rows]
    if len(rows) <= MOST:
        return _shares("how often people changed what the machine proposed")(table)
    return funnel(rows, table.title)


def _faults(table: Table) -> str:
    rows = [(f"{row[1]} {row[2]}, {row[0]}".replace("None", ""), int(row[4] or 0)) for row in table.rows[:15]]
    return bars(rows, table.title, "visits with the same fault of the same part")


def _kappa(table: Table) -> str:
    rows = [
        Mark(
            str(name),
            max(0.0, value),
            max(0.0, float(low or 0)),
            max(0.0, float(high or 0)),
            f"{value:.2f}, {lines:,} lines",
        )
        for name, lines, _, value, low, high in table.rows
        if isinstance(value, float) and isinstance(lines, int)
    ]
    return (
        whiskers(
            rows, table.title, "agreement beyond chance, where 1 is always and 0 no better than chance", "{:.1f}".format
        )
        if rows
        else ""
    )


AGES = ((7, "a week or less"), (30, "8 to 30 days"), (90, "31 to 90 days"), (10**6, "more than 90 days"))


def _ages(column: int) -> Callable[[Table], str]:
    def draw(table: Table) -> str:
        days = [int(row[column] or 0) for row in table.rows]
        rows, before = [], -(10**9)
        for end, name in AGES:
            rows.append((name, sum(before < day <= end for day in days)))
            before = end
        shown = f" (of the first {len(days)} of {table.total})" if len(days) < table.total else ""
        return bars(rows, table.title, f"by how long it is over{shown}")

    return draw


def _hours(table: Table) -> str:
    """Median as a dot, the middle half as a line, on an axis of days."""
    rows = [row for row in table.rows if isinstance(row[4], float)]
    rows = sorted(rows, key=lambda row: -float(row[4] or 0))[:MOST]
    if not rows:
        return ""
    axis, bottom = Axis.upto(max(float(row[5] or 0) for row in rows) or 1), TOP + len(rows) * ROW
    parts = axis.drawn(bottom, lambda value: f"{value:g} h")
    for place, row in enumerate(rows):
        low, middle, high = (float(cell or 0) for cell in row[3:6])
        y = TOP + place * ROW + ROW / 2
        parts.append(text(LEFT - 10, y + 5, short(row[0]), anchor="end"))
        parts.append(line(axis.x(low), y, axis.x(high), y, "box"))
        parts.append(f'<circle cx="{axis.x(middle):.1f}" cy="{y}" r="5" class="dot"/>')
        parts.append(text(axis.x(axis.end) + 14, y + 5, f"{middle:.1f} h", "number"))
    description = f"A dot at the median, a thick line for the middle half, the longest first: {rows[0][0]}."
    return svg(bottom + 34, table.title, description, parts)


PICTURES: dict[str, Callable[[Table], str]] = {
    "dangers": _dangers,
    "unsaid": _shares("of visits with the same kind of work", 2),
    "overdue": _ages(1),
    "parts": _ages(1),
    "by-field": _shares("how often people changed a field", 2, 2),
    "by-engineer": _by_engineer,
    "by-condition": _shares("how often people changed lines with this condition"),
    "by-confidence": _shares("how often people changed lines by how sure the machine was"),
    "agreement": _kappa,
    "faults": _faults,
    "review-time": _hours,
    "kept": _shares("what became of the old run's lines"),
    "judged": _shares("how often a run had the whole line right"),
}


def attention(rows: Sequence[tuple[str, int]]) -> str:
    """What needs a person, as bars."""
    return bars(rows, "What needs a person", "things under each heading", left=400) if rows else ""
