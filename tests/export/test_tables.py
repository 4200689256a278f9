"""Tables, calendar and data: what goes in can be read back by other programs, and nothing of it runs."""

import csv
import io
import json
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from fieldnote.export import calendar, data, render, tables
from fieldnote.export.spreadsheet import workbook
from fieldnote.export.tables import Table
from tests.sample_visit import sample_book, sample_view

# Text that a spreadsheet may take for a formula or a command. Source: OWASP, "CSV Injection", and RFC 4180 for the quoting.
LEAD_INS = (
    "=1+1", "+1+1", "-1+1", "@SUM(1)", "\t=1+1", "\r=1+1", "\n=1+1", " =1+1", "=cmd|' /C calc'!A0",
    '=HYPERLINK("http://x.invalid")', "\uff1d1+1", "|calc", "%0A=1", "'=1+1", "-",
)  # fmt: skip


@pytest.fixture
def view(tmp_path):
    return sample_view(sample_book(tmp_path / "book"))


@pytest.mark.parametrize("words", LEAD_INS)
def test_csv_cells_do_not_run_and_read_back(words):
    """No text cell of a CSV begins with what starts a formula; one apostrophe off gives the words back."""
    text = tables.csv_text(Table("t", ("words", "value"), ((words, Decimal("-1.5")),)))
    cell, value = list(csv.reader(io.StringIO(text, newline="")))[1]
    assert cell[0] == "'"
    assert cell[1:] == words
    assert value == "-1.5"


@pytest.mark.parametrize("words", [*LEAD_INS, "_x0041_", "\x01\x02 bell \x07"])
def test_xlsx_cells_are_text_and_read_back(words):
    """In a workbook every text cell is a string, no formula and no link, and reads back as it was."""
    import openpyxl
    from openpyxl.utils.escape import unescape

    content = workbook([Table("t", ("words", "value", "day"), ((words, Decimal("-1.5"), date(2026, 1, 2)),))])
    sheet = openpyxl.load_workbook(io.BytesIO(content))["t"]
    assert sheet["A2"].data_type == "s"
    value = sheet["A2"].value  # ECMA-376 writes control characters as _xHHHH_; openpyxl leaves those for `unescape`
    assert words in (value, unescape(value))
    assert sheet["A2"].hyperlink is None
    assert sheet["B2"].value == -1.5
    assert sheet["C2"].value.date() == date(2026, 1, 2)


def test_xlsx_cuts_what_no_cell_holds_and_says_so():
    """Text longer than a cell may be is cut with a mark, not dropped."""
    import openpyxl

    content = workbook([Table("t", ("words",), (("a" * 40_000,),))])
    cell = openpyxl.load_workbook(io.BytesIO(content))["t"]["A2"].value
    assert len(cell) <= 32_767 and "JSON export has it whole" in cell


def test_json_fits_its_published_schema(view):
    """The JSON export is valid by its own schema (JSON Schema 2020-12) and is strict JSON (RFC 8259)."""
    import jsonschema

    jsonschema.Draft202012Validator.check_schema(data.schema())
    text = render("json", [view], table="lines").decode("ascii")
    value = json.loads(text, parse_constant=lambda name: pytest.fail(f"{name} is no JSON"))
    jsonschema.Draft202012Validator(data.schema(), format_checker=jsonschema.FormatChecker()).validate(value)


def test_the_schema_refuses_what_is_wrong(view):
    """A verdict or a status that does not exist, and a field nobody knows, are refused by the schema."""
    import jsonschema

    validator = jsonschema.Draft202012Validator(data.schema())
    for change in (
        lambda v: v["visits"][0]["findings"][0].update(status="fine"),
        lambda v: v["visits"][0]["results"][0].update(verdict="pass"),
        lambda v: v["visits"][0].update(extra=1),
    ):
        value = data.document([view])
        change(value)
        assert not validator.is_valid(value)


def test_json_has_the_contract_fields(view):
    """A finding and a reading carry every field of the findings contract, with the figure exact as text too."""
    visit = data.visit(view)
    electrode = visit["findings"][0]
    assert electrode["component"] == "electrode" and electrode["actions"] == [{"kind": "replace", "state": "needed"}]
    assert (
        set("appliance component position burner condition status actions confidence evidence".split())
        <= electrode.keys()
    )
    meter = visit["readings"][1]
    assert (meter["value"], meter["exact"], meter["unit"]) == (1234.567, "1234.567", "m3")
    text = view.transcripts[meter["evidence"]["item"]].text
    assert text[meter["evidence"]["start"] : meter["evidence"]["end"]] == meter["evidence"]["text"]
    assert visit["declared"][0]["class"] == "at-risk"


def test_json_lines_hold_one_visit_each(view):
    """JSON Lines: one whole value on every line."""
    lines = render("jsonl", [view, view], table="lines").decode("ascii").splitlines()
    assert [json.loads(line)["ref"] for line in lines] == ["KITCHEN-1", "KITCHEN-1"]


def test_every_table_reaches_the_workbook(view):
    """The workbook has one sheet for each table, and its lines are those of the visit."""
    import openpyxl

    book = openpyxl.load_workbook(io.BytesIO(render("xlsx", [view], table="lines")))
    assert book.sheetnames == list(tables.KINDS)
    assert book["lines"].max_row == 1 + len(view.lines)
    assert book["parts"]["B2"].value == "Spark electrode" and book["parts"]["E2"].value == "needed"


def test_parquet_reads_back(view):
    """A Parquet table holds the same rows, figures as figures."""
    duckdb = pytest.importorskip("duckdb")
    import tempfile
    from pathlib import Path

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "t.parquet"
        path.write_bytes(render("parquet", [view], table="lines"))
        rows = duckdb.sql(f"select what, value from '{path}' where kind = 'reading'").fetchall()
    assert rows == [("working-pressure", 20.5), ("meter-reading", 1234.567)]


def test_calendar_is_read_by_another_program(view):
    """Each follow-up is one event on its day, with an id that stays, folded and escaped as RFC 5545 says."""
    import icalendar

    words = "comma, semicolon; back\\slash\nEND:VEVENT\r\nBEGIN:VEVENT " + "long " * 60
    view = replace(view, visit=replace(view.visit, ref=words))
    content = calendar.calendar([view])
    assert all(len(line) <= 75 for line in content.split(b"\r\n"))
    assert b"\n" not in content.replace(b"\r\n", b"")
    events = icalendar.Calendar.from_ical(content).walk("VEVENT")
    assert len(events) == 1
    assert events[0]["DTSTART"].dt == date(2026, 12, 9)
    assert " ".join(words.split()) in " ".join(str(events[0]["SUMMARY"]).split())
    assert content == calendar.calendar([view])


def test_calendar_is_read_by_a_second_library(view):
    """A library that had no part in writing it finds the same event, its whole day, its id and its words, and no other thing."""
    import vobject

    words = "comma, semicolon; back\\slash\nEND:VEVENT\r\nBEGIN:VALARM\r\nACTION:PROCEDURE " + "\u00e9" * 80
    content = calendar.calendar([replace(view, visit=replace(view.visit, ref=words))]).decode("utf-8")
    whole = vobject.readOne(content)
    (event,) = whole.vevent_list
    line = next(line for line in view.lines if line.kind == "followup")
    assert event.uid.value == f"{line.id}.{view.visit.id}@fieldnote.invalid"
    assert event.dtstart.value == date(2026, 12, 9)
    assert " ".join(words.split()) in " ".join(event.summary.value.split())
    assert {part.name for part in event.getChildren()} == {
        "UID", "DTSTAMP", "SEQUENCE", "SUMMARY", "DESCRIPTION", "DTSTART", "TRANSP",
    }  # fmt: skip


def test_a_followup_without_a_day_is_a_task(view):
    """Where no time was said there is no date: the follow-up is a task with none."""
    import icalendar

    lines = tuple(
        replace(line, current=replace(line.current, due_days=None)) if line.kind == "followup" else line
        for line in view.lines
    )
    whole = icalendar.Calendar.from_ical(calendar.calendar([replace(view, lines=lines)]))
    assert not whole.walk("VEVENT")
    (task,) = whole.walk("VTODO")
    assert "DUE" not in task and "DTSTART" not in task


def test_a_row_can_be_read_by_people(view):
    """Each line has the words of the report in its last column; that something was looked for and not there stands in it."""
    view = replace(
        view, check=replace(view.check, facts={"gas": "natural", "meter": "G4"}), visit=replace(view.visit, gas=None)
    )
    rows = [dict(zip(made.columns, row, strict=True)) for made in [tables.table("lines", [view])] for row in made.rows]
    assert "Hob, Spark electrode (front left): Cracked, split. Replace: needed" in [row["text"] for row in rows]
    (visit,) = tables.table("visits", [view]).rows
    told = dict(zip(tables.table("visits", [view]).columns, visit, strict=True))
    assert (told["gas"], told["no_access"]) == ("natural", "no")


def test_a_sheet_can_be_filtered_and_no_column_hides_the_others(view):
    """A workbook's sheets carry a filter over all their rows, and no column is wider than a window."""
    import openpyxl

    sheet = openpyxl.load_workbook(io.BytesIO(workbook([Table("t", ("a", "b"), (("x " * 2000, "y"),))])))["t"]
    assert sheet.auto_filter.ref == "A1:B2"
    assert sheet.column_dimensions["A"].width < 80


def test_what_was_said_of_the_visit_is_in_the_data(view):
    """Gas and meter as they were said stand in the JSON export, and its schema knows them."""
    import jsonschema

    view = replace(view, check=replace(view.check, facts={"gas": "natural", "meter": "G4"}))
    value = json.loads(render("json", [view], table="lines"))
    assert value["visits"][0]["facts"] == {"gas": "natural", "meter": "G4"}
    jsonschema.Draft202012Validator(data.schema()).validate(value)
