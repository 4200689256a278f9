"""The picture of all sources together, as named tables. In: the index. Out: `Picture`, which terminal, page and files show.

Which tables there are is the list in `tables`. Damage and danger are never cut short; other long tables show their first rows and
say how many there are.
"""

import json
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, NamedTuple

from fieldnote.audit.index import Index
from fieldnote.audit.series import Known, counted, disagreements
from fieldnote.bundle import Keyring, Problem

Cell = str | int | float | None
Rows = list[tuple[Any, ...]]
SHOWN = 200  # rows of a long table in a picture; a single table, asked for by name, is whole
CHECKED = (
    "Of notebooks, each record's number, link and header and the content of all but transcripts were derived anew; of bundles "
    "the signature, every file and every record. Transcripts and media of notebooks were not: fieldnote verify does that."
)


@dataclass(frozen=True, slots=True)
class Table:
    """One table: `total` rows there are, `rows` of them here; `attention` when each row is something for a person."""

    name: str
    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    total: int
    attention: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class Picture:
    """All tables, and how much they are made of."""

    on: str
    counts: Mapping[str, int]
    tables: tuple[Table, ...]
    checked: str = CHECKED

    def table(self, name: str) -> Table:
        """One table by its name."""
        return next(table for table in self.tables if table.name == name)

    @property
    def attention(self) -> int:
        """How many things need a person."""
        return sum(table.total for table in self.tables if table.attention)


@dataclass
class Asking:
    """What tables are made from: the index with the counting sources chosen, the day, the keyring, who is bad and why."""

    index: Index
    on: date
    keyring: Keyring
    known: Sequence[Known]
    bad: dict[int, list[Problem]]
    left: Rows = field(default_factory=list)

    def rows(self, sql: str, **values: Any) -> Rows:
        """Rows of a question."""
        return self.index.db.execute(sql, {"on": self.on.isoformat(), **values}).fetchall()


class Kind(NamedTuple):
    """One table of the picture: how its rows are made, and whether they need a person."""

    name: str
    title: str
    columns: str
    make: Callable[[Asking], Rows]
    attention: bool = False
    whole: bool = False
    note: str = ""


def ask(index: Index, paths: Iterable[str], keyring: Keyring, on: date) -> Asking:
    """Choose which sources count: those with nothing wrong, each visit once."""
    wanted = set(paths)
    found = index.db.execute(
        "select number, path, kind, notebook, head, last, engineer, key, sequence, previous, visit, problems "
        "from source order by path"
    )
    known, bad = [], {}
    for *cells, problems in found:
        one = Known(*cells)
        if one.path in wanted:
            known.append(one)
            if problems != "[]":
                bad[one.number] = [Problem(**problem) for problem in json.loads(problems)]
    for one, problem in disagreements([one for one in known if one.number not in bad], keyring):
        bad.setdefault(one.number, []).append(problem)
    asking = Asking(index, on, keyring, known, bad)
    _choose(asking)
    return asking


def _choose(asking: Asking) -> None:
    visits = defaultdict(set)
    for source, visit in asking.index.db.execute("select source, id from visit"):
        visits[source].add(visit)
    good = [one for one in asking.known if one.number not in asking.bad]
    chosen, left = counted(good, visits)
    asking.left = [(one.path, why) for one, why in left]
    asking.index.choose(chosen)


def draw(asking: Asking, kinds: Iterable[Kind], most: int = SHOWN) -> Picture:
    """The whole picture."""
    tables = tuple(table_of(kind, asking, None if kind.whole else most) for kind in kinds)
    visits = asking.rows(
        "select count(*), coalesce(sum(lines), 0), coalesce(sum(open), 0) from visit where source in chosen"
    )[0]
    counts = {
        "notebooks": sum(one.kind == "notebook" for one in asking.known),
        "bundles": sum(one.kind == "bundle" for one in asking.known),
        "bad": len(asking.bad),
        **dict(zip(("visits", "lines", "open lines"), visits, strict=True)),
    }
    return Picture(asking.on.isoformat(), counts, tables)


def table_of(kind: Kind, asking: Asking, most: int | None = None) -> Table:
    """One table, whole or its first rows."""
    rows = kind.make(asking)
    columns = tuple(kind.columns.split(", "))
    return Table(kind.name, kind.title, columns, tuple(rows[:most]), len(rows), kind.attention, kind.note)
