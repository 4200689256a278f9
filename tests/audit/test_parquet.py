"""Parquet for questions of one's own: every line once, as it holds and as it was proposed, and nothing is fetched."""

import duckdb
import pytest
from click.testing import CliRunner

from fieldnote.cli import cli
from tests.audit.fleet import Plan, fleet
from tests.sample_visit import sample_book

PLANS = (
    Plan("A. One", visits=6, findings=7, decided=4, changed=30),
    Plan("B. Two", visits=5, findings=4, decided=5, seed=2),
    Plan("C. O'Three", visits=2, findings=3, decided=1, seed=3),
)


@pytest.fixture
def asked(tmp_path, monkeypatch):
    """A way to ask the files that the command wrote, and what was planted."""
    monkeypatch.setenv("FIELDNOTE_HOME", str(tmp_path / "home"))
    truths = fleet(tmp_path / "fleet", PLANS)
    sample_book(tmp_path / "fleet" / "kitchen's" / "notebook").close()
    target = tmp_path / "it's"
    done = CliRunner().invoke(cli, ["audit", str(tmp_path / "fleet"), "--parquet", str(target)], standalone_mode=False)
    assert done.return_value == 1, done.output
    assert sorted(path.name for path in target.iterdir()) == ["findings.parquet", "readings.parquet", "visits.parquet"]

    def ask(question: str):
        with duckdb.connect() as db:
            for name in ("visits", "findings", "readings"):
                db.read_parquet(str(target / f"{name}.parquet")).create_view(name)
            return db.execute(question).fetchall()

    return ask, truths


def test_every_line_is_there_once(asked):
    """Visits and findings are as many as were planted, none twice."""
    ask, truths = asked
    visits = sum(len(truth.visits) for truth in truths) + 1
    assert ask("select count(*), count(distinct visit) from visits") == [(visits, visits)]
    findings = sum(plan.visits * plan.findings for plan in PLANS) + 5
    assert ask("select count(*), count(distinct visit || line) from findings") == [(findings, findings)]


def test_what_people_changed_is_what_was_planted(asked):
    """Counting where held and proposed differ gives each engineer's planted number."""
    ask, truths = asked
    changed = """select engineer, count(*) from findings
                 where state = 'rejected' or condition is distinct from proposed_condition group by 1"""
    planted = {plan.engineer: truth.changed[plan.engineer] for plan, truth in zip(PLANS, truths, strict=True)}
    assert dict(ask(changed)) == planted


def test_readings_keep_every_digit(asked):
    """A value is there as it was said, and as a number to count with; the day is a day."""
    ask, _ = asked
    found = ask("select quantity, value, number, unit, typeof(day) from readings order by 1")
    assert found == [
        ("meter-reading", "1234.567", 1234.567, "m3", "DATE"),
        ("working-pressure", "20.5", 20.5, "mbar", "DATE"),
    ]
