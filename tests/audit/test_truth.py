"""The audit finds exactly what was planted, no more and no less."""

import contextlib
import hashlib
import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path

import pytest

from fieldnote.notebook import Notebook
from fieldnote.trade.knowledge import situations
from tests.audit.fleet import STEPS, Plan, Truth, fleet
from tests.notebook.conftest import incoming

PLANS = (
    Plan("A. One", visits=12, findings=10, decided=9, changed=10, at_risk=2, overdue=2, unsaid=3, seed=3),
    Plan(
        "B. Two",
        visits=9,
        findings=14,
        decided=9,
        changed=40,
        at_risk=0,
        immediately=1,
        outside=0,
        stale=1,
        minutes=600,
    ),
    Plan("C. Three", visits=5, findings=6, decided=0, at_risk=0, outside=2, overdue=0, unsaid=0, contradictions=0),
)


@pytest.fixture
def planted(tmp_path):
    """Three notebooks and what is in them."""
    return tmp_path / "fleet", fleet(tmp_path / "fleet", PLANS)


def column(table, *names: str) -> list:
    """Cells of some columns of a table."""
    places = [table.columns.index(name) for name in names]
    return [tuple(row[place] for place in places) if len(places) > 1 else row[places[0]] for row in table.rows]


def union(truths: list[Truth], name: str) -> set[str]:
    """What was planted in all notebooks together."""
    return set().union(*(getattr(truth, name) for truth in truths))


def test_every_visit_and_line_is_counted_once(planted, look):
    """Visits and lines are as many as were made."""
    folder, truths = planted
    counts = look(folder).picture().counts
    assert counts["visits"] == sum(len(truth.visits) for truth in truths)
    assert counts["lines"] == sum(truth.lines for truth in truths)
    assert counts["open lines"] == sum(sum(truth.open.values()) for truth in truths)


def test_dangers_with_what_was_done_and_what_is_missing(planted, look):
    """Each planted danger is named with its class, the steps that were said, and the step that was left out; no other is."""
    folder, truths = planted
    table = look(folder).picture().table("dangers")
    found = {ref: rest for ref, *rest in column(table, "visit", "class", "done", "still missing")}
    expected = {ref: danger for truth in truths for ref, danger in truth.dangers.items()}
    assert found.keys() == expected.keys()
    for ref, (kind, done, missing) in found.items():
        said = STEPS[: STEPS.index(expected[ref][1]) + 1]
        assert kind == expected[ref][0]
        assert len(done.split("; ")) == len(said)
        if ref == "B. Two-000":
            assert missing == "not worked out since the last decisions"
        else:
            assert missing == f"still unsaid: {situations().step_names[expected[ref][2]]}"


@pytest.mark.parametrize(
    ("table", "planted_as"),
    [("outside", "outside"), ("overdue", "overdue"), ("unsaid-visits", "unsaid"), ("contradictions", "contradictions")],
)
def test_planted_visits_are_found(planted, look, table, planted_as):
    """Exactly the visits in which something was planted are named."""
    folder, truths = planted
    assert sorted(column(look(folder).picture().table(table), "visit")) == sorted(union(truths, planted_as))


def test_what_is_unreviewed(planted, look):
    """Each visit with lines that nobody decided is named with their number."""
    folder, truths = planted
    found = dict(column(look(folder).picture().table("unreviewed"), "visit", "open"))
    assert found == {ref: lines for truth in truths for ref, lines in truth.open.items()}


def test_a_biased_engineer_stands_out(planted, look):
    """How often each engineer changed a proposal is the planted count; the interval of the biased one lies above the other's."""
    folder, truths = planted
    table = look(folder).picture().table("by-engineer")
    found = {who: (changed, decided) for who, changed, decided in column(table, "engineer", "changed", "decided")}
    changed, decided = Counter[str](), Counter[str]()
    for truth in truths:
        changed += truth.changed
        decided += truth.decided
    assert found == {who: (changed[who], decided[who]) for who in decided}
    ends = {who: (low, high) for who, low, high in column(table, "engineer", "low 95 %", "high 95 %")}
    assert ends["B. Two"][0] > ends["A. One"][1]


def test_repeated_faults(planted, look):
    """Faults in two or more visits are counted by visit, as they stand after people's changes."""
    folder, _ = planted
    table = look(folder).table("faults")
    assert all(visits >= 2 for visits in column(table, "visits"))
    assert "Satisfactory" not in column(table, "condition")
    untouched = look(folder / "0002-C.-Three").table("faults")
    single = fleet_faults(PLANS[2])
    assert sorted(column(untouched, "visits"), reverse=True) == sorted(
        (n for n in single.values() if n > 1), reverse=True
    )


def fleet_faults(plan: Plan) -> Counter:
    """What was planted in a notebook that nobody reviewed."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        return fleet(Path(folder), [plan])[0].faults


def test_time_to_review(planted, look):
    """The hours from recording to review are the planted ones; undecided visits are counted apart."""
    folder, _ = planted
    rows = {row[0]: row[1:] for row in look(folder).picture().table("review-time").rows}
    assert rows["A. One"] == (9, 3, 1.5, 1.5, 1.5)
    assert rows["B. Two"] == (9, 0, 10.0, 10.0, 10.0)
    assert rows["0002-C.-Three"][:2] == (0, 5)


def test_nothing_is_written_where_it_looks(planted, look, tmp_path):
    """Not a byte, a name or a time of the audited folder changes."""
    folder, _ = planted

    def state() -> list:
        return [
            (str(p), p.stat().st_mtime_ns, hashlib.sha256(p.read_bytes()).hexdigest() if p.is_file() else "")
            for p in sorted(folder.rglob("*"))
        ]

    before = state()
    look(folder, index=tmp_path / "index.db").picture()
    assert state() == before


def test_again_nothing_is_read_and_the_answer_is_the_same(planted, look, tmp_path):
    """A second audit reads no source; one that changed is read again alone; several processes give the same as one."""
    folder, _ = planted
    first = look(folder, index=tmp_path / "index.db")
    again = look(folder, index=tmp_path / "index.db")
    assert (first.gathered.read, again.gathered.read) == (3, 0)
    assert again.picture() == first.picture()
    database = next(folder.glob("*/notebook/notebook.db"))
    with sqlite3.connect(database) as db:
        db.execute("pragma user_version = 7")
    assert look(folder, index=tmp_path / "index.db").gathered.read == 1
    assert look(folder, afresh=True).picture() == first.picture()


def test_stopped_and_started(tmp_path, look):
    """Progress is told for each source; stopped in the middle, the next audit reads only what was not read, and the picture is
    that of an audit that was never stopped."""
    folder = tmp_path / "fleet"
    fleet(folder, [Plan(f"E. {n}", visits=2, findings=2) for n in range(14)])
    seen: list[tuple[int, int]] = []

    def stop(done: int, total: int) -> None:
        seen.append((done, total))
        if done == 5:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        look(folder, index=tmp_path / "index.db", progress=stop)
    assert seen == [(n, 14) for n in range(1, 6)]
    rest = look(folder, index=tmp_path / "index.db", progress=lambda *told: seen.append(told))
    assert rest.gathered.read == 9 and seen[5:] == [(n, 9) for n in range(1, 10)]
    assert rest.picture() == look(folder).picture()


def test_killed_and_started(tmp_path, look):
    """Killed (SIGKILL, with all its processes) again and again while it reads, an audit goes on with what is not in the index
    yet, reads no source twice in the end, and shows what one shows that was never killed."""
    folder, home = tmp_path / "fleet", tmp_path / "home"
    fleet(folder, [Plan(f"E. {n}", visits=3, findings=3) for n in range(40)])
    command = [sys.executable, "-c", "from fieldnote.cli import main; main()", "audit", str(folder), "--json"]
    environment = os.environ | {"FIELDNOTE_HOME": str(home)}
    kept, before = [], 0
    while len(kept) < 3:
        going = subprocess.Popen(
            command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
        )
        while going.poll() is None and _known(home) <= before:
            time.sleep(0.005)
        os.killpg(going.pid, signal.SIGKILL)
        going.wait()
        kept.append(before := _known(home))
    assert 0 < kept[0] < kept[1] < kept[2] < 40, kept
    read: list[tuple[int, int]] = []
    index = home / "audit" / "index.db"
    picture = look(folder, index=index, progress=lambda *told: read.append(told)).picture()
    assert len(read) == 40 - kept[-1]
    assert picture == look(folder).picture()


def _known(home: Path) -> int:
    """How many sources the index of an audit knows."""
    try:
        with contextlib.closing(sqlite3.connect(f"file:{home}/audit/index.db?mode=ro", uri=True)) as db:
            return int(db.execute("select count(*) from source").fetchone()[0])
    except sqlite3.OperationalError:
        return 0


@pytest.mark.parametrize(
    ("damage", "code"),
    [
        ("update record set payload = replace(payload, '\"dirty\"', '\"ok\"') where kind = 'extraction'", "record-altered"),
        ("update record set at = '2026-09-01T08:00:01+00:00' where seq = 3", "record-redated"),
        ("delete from record where seq = 4", "record-dropped"),
        ("delete from record where seq = (select max(seq) from record)", "record-dropped"),
        ("update record set salt = null where kind = 'extraction'", "record-altered"),
        ("update record set salt = '' where kind = 'extraction'", "record-altered"),
        ("update record set texts = null where kind = 'transcript'", "record-altered"),
        ("update record set payload = null, texts = null, salt = null where kind = 'extraction'", "content-gone"),
        ("drop table record", "unreadable"),
    ],
)  # fmt: skip
def test_one_bad_among_many(planted, look, damage, code):
    """A notebook that was tampered with is named first with what is wrong; the others are still audited."""
    folder, truths = planted
    place = folder / "0000-A.-One" / "notebook"
    with sqlite3.connect(place / "notebook.db") as db:
        for trigger in ("record_stays", "record_unaltered"):
            db.execute(f"drop trigger {trigger}")
        db.execute(damage)
    picture = look(folder).picture()
    assert picture.tables[0].name == "bad" and picture.tables[0].rows[0][0] == str(place)
    assert code in column(picture.tables[0], "code")
    assert picture.counts["visits"] == sum(len(truth.visits) for truth in truths[1:])


def test_an_erasure_on_record_is_no_damage(tmp_path, look):
    """Content that a person erased leaves a tombstone; the notebook still counts."""
    with Notebook.open(tmp_path / "notebook", create=True) as book:
        visit = book.open_visit("E-1")
        note = book.file(incoming(tmp_path / "a.txt", b"gate code 4711"), visit.id)
        book.erase(note.id, reason="asked for", by="A. Fitter")
    counts = look(tmp_path / "notebook").picture().counts
    assert (counts["bad"], counts["visits"]) == (0, 1)


def test_a_copy_counts_once(planted, look, tmp_path):
    """A copy of a notebook is not counted a second time, and is named."""
    import shutil

    folder, truths = planted
    shutil.copytree(folder / "0000-A.-One", tmp_path / "copy")
    picture = look(folder, tmp_path / "copy").picture()
    assert picture.counts["visits"] == sum(len(truth.visits) for truth in truths)
    assert picture.table("left-out").total == 1
