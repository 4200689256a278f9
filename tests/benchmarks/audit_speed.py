"""How long an audit of many notebooks takes, first and again, beside plain SQL over the same findings merged into one table.

python -m tests.benchmarks.audit_speed FOLDER [NOTEBOOKS VISITS FINDINGS]

Makes the notebooks in FOLDER when they are not there yet (a million findings take 3 GB) and leaves them there. The audit runs
as a person runs it, as a command of its own with start-up; before the first run the system is asked to forget the files.
"""

import json
import os
import resource
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

from fieldnote.notebook import verify
from fieldnote.notebook.schema import FILE
from tests.audit.fleet import Plan, notebook

VERIFIED = 50  # notebooks that are verified whole


def main() -> None:
    folder = Path(sys.argv[1]).absolute()
    notebooks, visits, findings = map(int, sys.argv[2:5]) if len(sys.argv) > 4 else (1000, 50, 20)
    made = _timed(lambda: _make(folder / "fleet", notebooks, visits, findings))[0]
    places = sorted((folder / "fleet").glob("*/notebook"))
    size = sum((place / FILE).stat().st_size for place in places)
    print(
        f"{len(places)} notebooks, {visits} visits of {findings} findings each, {size / 1e6:.0f} MB, made in {made:.0f} s"
    )
    _audits(folder, places)
    _sql(folder, places)
    _whole(places[:VERIFIED])
    print(f"load average at the end {os.getloadavg()[0]:.2f} on {os.cpu_count()} cores, these runs included")


def _make(folder: Path, notebooks: int, visits: int, findings: int) -> None:
    numbers = [n for n in range(notebooks) if not (folder / f"{n:04}" / "notebook" / "made").exists()]
    with ProcessPoolExecutor() as pool:
        list(pool.map(_one, [(folder / f"{n:04}", n, visits, findings) for n in numbers], chunksize=4))


def _one(job: tuple[Path, int, int, int]) -> None:
    folder, number, visits, findings = job
    folder.mkdir(parents=True, exist_ok=True)
    notebook(
        folder / "notebook", Plan(f"Engineer {number:04}", visits, findings, visits * 4 // 5, number % 30, seed=number)
    )
    (folder / "notebook" / "made").touch()


def _audits(folder: Path, places: Sequence[Path]) -> None:
    home = folder / "home"
    for path in home.rglob("*.db*"):
        path.unlink()
    command = [str(Path(sys.executable).with_name("fieldnote")), "audit", str(folder / "fleet"), "--json"]
    for name in ("first, files not in memory", "again, nothing changed", "again"):
        if name.startswith("first"):
            _forget(places)
        before, used = os.getloadavg()[0], _processor()
        seconds, (plain, memory) = _timed(lambda: _run(command, {**os.environ, "FIELDNOTE_HOME": str(home)}))
        counts = plain["counts"]
        print(
            f"audit, {name}: {seconds:.2f} s, {_processor() - used:.1f} s of processor; {memory / 1e6:.0f} MB at most "
            f"({counts['visits']} visits, {counts['lines']} lines, {counts['bad']} bad; load before {before:.2f})"
        )


def _processor() -> float:
    """Seconds that commands which have ended kept processors busy: what a busy machine does not blur."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _forget(places: Sequence[Path]) -> None:
    os.sync()
    for place in places:
        with (place / FILE).open("rb") as file:
            os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)


def _run(command: Sequence[str], environment: dict[str, str]) -> tuple[Any, int]:
    """The JSON that a command prints, and the most memory that it and its children held together, in bytes."""
    running = subprocess.Popen(command, env=environment, stdout=subprocess.PIPE)
    most = [0]

    def watch() -> None:
        while running.poll() is None:
            most[0] = max(most[0], _held(running.pid))
            time.sleep(0.1)

    watcher = threading.Thread(target=watch)
    watcher.start()
    out, _ = running.communicate()
    watcher.join()
    return json.loads(out), most[0]


def _held(pid: int) -> int:
    """Resident memory of a process and its children; pages that they share are counted in each."""
    try:
        own = int(Path(f"/proc/{pid}/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE")
        children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    except OSError:
        return 0
    return own + sum(_held(int(child)) for child in children)


MERGE = """insert into finding
select :number, visit, json_extract(value, '$.component'), json_extract(value, '$.condition'), json_extract(value, '$.confidence')
from one.record, json_each(payload, '$.extraction.findings') where kind = 'extraction'"""
DECIDED = """insert into decision
select :number, json_extract(payload, '$.by'), json_extract(payload, '$.kind') from one.record where kind = 'decision'"""
ASKED = (
    "select component, condition, count(*), count(distinct visit) from finding where condition <> 'ok' group by 1, 2",
    "select by, count(*), sum(kind <> 'accept') from decision group by 1",
    "select cast(confidence * 10 as integer), count(*) from finding group by 1",
)


def _sql(folder: Path, places: Sequence[Path]) -> None:
    """The least that plain SQL must do: no hash is checked, no decision is folded, three tables of twenty."""
    target = folder / "merged.db"
    target.unlink(missing_ok=True)
    db = sqlite3.connect(target, isolation_level=None)
    db.execute("pragma synchronous = off")
    db.execute("create table finding (source, visit, component, condition, confidence)")
    db.execute("create table decision (source, by, kind)")
    used = time.process_time()
    merged = _timed(lambda: [_merge(db, number, place) for number, place in enumerate(places)])[0]
    asked, (faults, *_) = _timed(lambda: [db.execute(sql).fetchall() for sql in ASKED])
    (count,) = db.execute("select count(*) from finding").fetchone()
    print(
        f"plain SQL: {count} findings merged in {merged:.2f} s, three questions in {asked:.2f} s ({len(faults)} faults), "
        f"{time.process_time() - used:.1f} s of processor"
    )
    db.close()
    target.unlink()


def _merge(db: sqlite3.Connection, number: int, place: Path) -> None:
    db.execute("attach ? as one", [str(place / FILE)])
    db.execute("begin")
    db.execute(MERGE, {"number": number})
    db.execute(DECIDED, {"number": number})
    db.execute("commit")
    db.execute("detach one")


def _whole(places: Sequence[Path]) -> None:
    """`fieldnote verify`, one notebook after the other. The recordings of these notebooks were never made, so it names each."""
    size = sum((place / FILE).stat().st_size for place in places)
    used = time.process_time()
    seconds, reports = _timed(lambda: [verify(place) for place in places])
    used = time.process_time() - used
    records = sum(report.records for report in reports)
    print(
        f"verify, whole, one process: {records / seconds:.0f} records/s, {size / seconds / 1e6:.1f} MB/s "
        f"({len(places)} notebooks, {seconds:.1f} s, {used:.1f} s of processor)"
    )


def _timed(work: Callable[[], Any]) -> tuple[float, Any]:
    began = time.perf_counter()
    made = work()
    return time.perf_counter() - began, made


if __name__ == "__main__":
    main()
