"""Visits, findings and readings as Parquet files, for questions that nobody thought of here. In: sources. Out: three files.

They are written by duckdb, which fetches nothing: its readers of JSON and Parquet are in the package itself. Each line stands as
it holds now and as the machine proposed it, so that either can be counted.
"""

import contextlib
import json
import tempfile
from collections.abc import Sequence
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import IO, Any

from fieldnote.audit.compare import value
from fieldnote.audit.facts import risk, whose
from fieldnote.audit.fold import Held, Standing, fold
from fieldnote.audit.gather import Found, Progress
from fieldnote.audit.pool import spread
from fieldnote.audit.raw import read
from fieldnote.bundle import Keyring
from fieldnote.errors import MachineLacks

WHERE = {"path": "VARCHAR", "visit": "VARCHAR", "ref": "VARCHAR", "engineer": "VARCHAR", "day": "DATE"}
LINE = {
    "line": "VARCHAR",
    "state": "VARCHAR",
    "decided_by": "VARCHAR",
    "decided_at": "VARCHAR",
    "confidence": "DOUBLE",
    "words": "VARCHAR",
}
FIELDS = {
    "finding": ("appliance", "component", "position", "burner", "condition", "status", "actions"),
    "reading": ("quantity", "value", "unit", "phase", "appliance", "position", "burner"),
}
VISIT = {
    "work": "VARCHAR",
    "risk": "VARCHAR",
    "no_access": "BOOLEAN",
    "closed": "VARCHAR",
    "lines": "INTEGER",
    "not_heard": "INTEGER",
}
FILES = {
    "visits": WHERE | VISIT,
    **{
        f"{kind}s": WHERE | LINE | dict.fromkeys(names, "VARCHAR") | {f"proposed_{name}": "VARCHAR" for name in names}
        for kind, names in FIELDS.items()
    },
}
FILES["readings"] |= {"number": "DOUBLE"}  # the value for counting with; `value` keeps every digit that was said
Rows = dict[str, list[dict[str, Any]]]


def write(
    found: Sequence[Found], keyring: Keyring, now: datetime, target: Path, progress: Progress | None = None
) -> list[Path]:
    """Write the files into folder `target`, each whole or not at all. Raises MachineLacks FN-402 without the extra `audit`."""
    try:
        import duckdb
    except ImportError:
        raise MachineLacks("FN-402", extra="audit") from None
    target.mkdir(parents=True, exist_ok=True)
    nothing_fetched: dict[str, Any] = {"autoinstall_known_extensions": "false", "autoload_known_extensions": "false"}
    with (
        tempfile.TemporaryDirectory(dir=target, prefix=".parquet-") as folder,
        duckdb.connect(config=nothing_fetched) as db,
    ):
        _collect(found, keyring, now, Path(folder), progress)
        for name, columns in FILES.items():
            kinds = ", ".join(f"{column}: '{kind}'" for column, kind in columns.items())
            rows = f"read_json('{_quoted(Path(folder) / name)}', format = 'newline_delimited', columns = {{{kinds}}})"
            part = _quoted(Path(folder) / f"{name}.parquet")
            db.execute(f"copy (select * from {rows}) to '{part}' (format parquet, compression zstd)")
        for name in FILES:
            (Path(folder) / f"{name}.parquet").chmod(0o600)
        return [(Path(folder) / f"{name}.parquet").replace(target / f"{name}.parquet") for name in FILES]


def _quoted(path: Path) -> str:
    return str(path).replace("'", "''")


def _collect(found: Sequence[Found], keyring: Keyring, now: datetime, folder: Path, progress: Progress | None) -> None:
    """Put the rows of all sources into files of JSON lines, one for each table."""
    with contextlib.ExitStack() as stack:
        files: dict[str, IO[str]] = {
            name: stack.enter_context((folder / name).open("w", encoding="utf-8", errors="replace")) for name in FILES
        }
        for done, (_, rows) in enumerate(spread(partial(_batch, keyring, now), found), 1):
            for name, some in rows.items():
                files[name].writelines(f"{json.dumps(row, ensure_ascii=False)}\n" for row in some)
            if progress:
                progress(done, len(found))


def _batch(keyring: Keyring, now: datetime, batch: Sequence[Found]) -> list[Rows]:
    return [rows_of(one, keyring, now) for one in batch]


def rows_of(one: Found, keyring: Keyring, now: datetime) -> Rows:
    """The rows of one source, by file; none when anything is wrong with it."""
    source = read(Path(one.path), one.kind, keyring, now)
    rows: Rows = {name: [] for name in FILES}
    if source.problems:
        return rows
    visits = list(fold(source.rows))
    engineer = whose(source, visits)
    for visit in visits:
        where = {
            "path": one.path,
            "visit": visit.id,
            "ref": visit.known["ref"],
            "engineer": engineer,
            "day": visit.day.isoformat(),
        }
        rows["visits"].append(where | _visit(visit))
        for id_, line in visit.lines.items():
            if line.kind in FIELDS:
                rows[f"{line.kind}s"].append(where | _line(id_, line))
    return rows


def _visit(visit: Standing) -> dict[str, Any]:
    return {
        "work": visit.known["work"], "risk": risk(visit), "no_access": visit.no_access, "closed": visit.closed or None,
        "lines": len(visit.lines), "not_heard": visit.waiting,
    }  # fmt: skip


def _line(id_: str, line: Held) -> dict[str, Any]:
    held, proposed = line.current or {}, line.proposed or {}
    row = {
        "line": id_, "state": line.state, "decided_by": line.by or None, "decided_at": line.at or None,
        "confidence": proposed.get("confidence"), "words": held["evidence"]["text"],
    }  # fmt: skip
    for name in FIELDS[line.kind]:
        row |= {name: _cell(held.get(name)), f"proposed_{name}": _cell(proposed.get(name))}
    return row | ({"number": held["value"]} if line.kind == "reading" else {})


def _cell(of: Any) -> str | None:
    return None if of is None else value(of)
