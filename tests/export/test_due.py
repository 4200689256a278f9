"""What is open over all visits, a month's end, and how a follow-up is closed."""

import json
from datetime import date

import pytest
from click.testing import CliRunner

from fieldnote.cli import cli
from fieldnote.errors import UsageProblem
from fieldnote.export.due import month, rows
from fieldnote.flow.closing import close, closed
from fieldnote.records import Decision, to_plain
from tests.sample_visit import START, sample_book, sample_view


@pytest.fixture
def book(tmp_path):
    return sample_book(tmp_path / "book")


def test_open_things_are_listed_with_their_day(book):
    """Follow-ups, parts, the next inspection and retention, those with a day first and in its order."""
    view = sample_view(book)
    found = rows([view], {view.visit.id: date(2027, 11, 25)}, frozenset(), 365)
    assert [(row.kind, str(row.day)) for row in found] == [
        ("follow-up", "2026-12-09"),
        ("inspection", "2027-11-25"),
        ("retention", "2027-11-25"),
        ("part", "None"),
    ]
    assert found[-1].text == "Hob, Spark electrode (front left): needed"


def test_a_closed_line_is_no_longer_open(book):
    """Closing takes a line off the list and is a record of its own; an id that is not open is refused."""
    view = sample_view(book)
    (row,) = [row for row in rows([view], {}, frozenset(), None) if row.kind == "follow-up"]
    close(book, row.id, view.visit.id, "A. Person", frozenset({row.id}))
    assert closed(book) == {row.id}
    assert row.id not in [one.id for one in rows([view], {}, closed(book), None)]
    with pytest.raises(UsageProblem):
        close(book, "nothing", None, "", frozenset({row.id}))


def test_a_struck_out_line_is_not_due(book):
    """What a person rejected is neither open nor counted at the month's end."""
    view = sample_view(book)
    for line in view.lines:
        book.append("decision", to_plain(Decision("reject", line.id, START, "A. Person")), visit=view.visit.id)
    assert rows([sample_view(book)], {}, frozenset(), None) == []


def test_month_end_names_visits_parts_and_situations(book):
    """A month lists its own visits, and only what was declared immediately dangerous or reported is a situation."""
    from dataclasses import replace

    view = sample_view(book)
    made = month([view], "2026-11")
    assert made.visits == ("2026-11-25  KITCHEN-1  service",)
    assert made.situations == ()
    worse = tuple(
        replace(line, current=replace(line.current, class_="immediately-dangerous"))
        if line.kind == "declared"
        else line
        for line in view.lines
    )
    assert month([replace(view, lines=worse)], "2026-11").situations == (
        "2026-11-25  KITCHEN-1: Hob, declared immediately dangerous",
    )
    assert month([view], "2026-10").visits == ()


@pytest.mark.parametrize("days", ["-1", "0", str(10**30), "soon"])
def test_a_retention_that_makes_no_sense_is_refused(book, days):
    """Retention of no days, fewer, or for ever is wrong usage (exit status 2)."""
    result = CliRunner().invoke(cli, ["--notebook", str(book.path), "due", f"--retention={days}"])
    assert result.exit_code == 2


def test_the_command_lists_and_closes(book):
    """`due` prints what is open, `--close` closes it, `--month` refuses what is no month."""
    run = CliRunner().invoke
    base = ["--notebook", str(book.path), "due"]
    listed = [json.loads(line) for line in run(cli, [*base, "--json"]).stdout.splitlines()]
    target = next(row["id"] for row in listed if row["kind"] == "follow-up")
    assert run(cli, [*base, "--close", target, "--visit", "KITCHEN-1"]).exit_code == 0
    assert target not in run(cli, base).stdout
    assert "KITCHEN-1" in run(cli, [*base, "--month", "2026-11"]).stdout
    assert isinstance(run(cli, [*base, "--month", "November"]).exception, UsageProblem)
