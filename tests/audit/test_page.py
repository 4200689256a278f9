"""The page, the tables and the terminal: everything is shown, nothing runs, and nobody needs to see colours or pictures."""

import csv
import json
import re
import shutil
from dataclasses import replace
from datetime import timedelta
from html.parser import HTMLParser
from importlib import resources, util
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner

from fieldnote.audit.charts import PICTURES
from fieldnote.audit.page import figures, page
from fieldnote.audit.picture import Table
from fieldnote.audit.text import lines
from fieldnote.cli import cli
from fieldnote.cli.audit import TABLES
from tests.audit.fleet import Plan, fleet
from tests.sample_visit import START, Clock, sample_book, sample_view

CHROMIUM = shutil.which("chromium")
HOSTILE = "<script>alert(1)</script>\"'&\x1b[31m=1+1"
PLANS = [
    Plan(HOSTILE, visits=6, findings=5, decided=4, immediately=1),
    Plan("B. Two", visits=5, findings=4, decided=5, changed=30, minutes=900, seed=2),
]


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """Two engineers, one of them with a name that would do harm where it is not escaped."""
    place = tmp_path_factory.mktemp("page")
    for number, plan in enumerate(PLANS):
        (place / str(number)).mkdir()
        fleet(place / str(number), [plan]) if number else _hostile(place / "0", plan)
    return place


def _hostile(place: Path, plan: Plan) -> None:
    from tests.audit.fleet import notebook

    notebook(place / "notebook", plan)


class Read(HTMLParser):
    """What stands in a page: tags with their attributes, and text by the tag around it."""

    def __init__(self, source: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict]] = []
        self.text: dict[str, list[str]] = {}
        self._open: list[str] = []
        self.feed(source)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in ("meta", "br", "wbr"):
            self._open.append(tag)

    def handle_endtag(self, tag):
        while self._open and self._open.pop() != tag:
            pass

    def handle_data(self, data):
        if self._open:
            self.text.setdefault(self._open[-1], []).append(data)


def test_every_drawing_is_told_in_words_and_stands_with_its_table(folder, look):
    """Each drawing has a title and a description; each section with one has the table that it is made of."""
    picture = look(folder).picture()
    source = page(picture)
    read = Read(source)
    svgs = [attrs for tag, attrs in read.tags if tag == "svg"]
    ids = {attrs["id"] for _, attrs in read.tags if "id" in attrs}
    assert len(svgs) >= 8
    assert all(attrs["role"] == "img" and set(attrs["aria-labelledby"].split()) <= ids for attrs in svgs)
    assert len(read.text["desc"]) == len(svgs) and all(len(words) > 20 for words in read.text["desc"])
    sections = re.findall(r'<section id="([a-z-]+)">(.*?)</section>', source, re.DOTALL)
    assert {name for name, _ in sections} == {table.name for table in picture.tables if table.rows}
    for name, body in sections:
        assert "<table>" in body
        assert ("<svg" in body) is (name in PICTURES)


def test_nothing_runs_and_nothing_is_loaded(folder, look):
    """A name made to do harm is shown as it is; there is no script, no address but places on the page itself."""
    source = page(look(folder).picture())
    read = Read(source)
    assert not {"script", "img", "link", "iframe", "object"} & {tag for tag, _ in read.tags}
    assert all(attrs["href"].startswith("#") for tag, attrs in read.tags if tag == "a")
    assert not [name for _, attrs in read.tags for name in attrs if name.startswith("on")]
    assert "url(" not in source and "@import" not in source
    assert HOSTILE[:25] in "".join(read.text["td"])


def test_columns_of_figures_are_columns_of_figures():
    """A column whose figures are partly unknown stands like one of figures."""
    table = Table("t", "T", ("field", "kappa"), (("class", None), ("status", 0.5)), 2)
    assert [figures(table, column) for column in (0, 1)] == [False, True]


def test_a_table_asked_for_is_whole(folder, look):
    """A long cell is cut short in the picture, with a sign that it was, and is whole in a table that was asked for."""
    words = (
        "Hob, Flame supervision device (all) was called satisfactory, but Hob, flame supervision lies outside its limit"
    )
    table = Table("contradictions", "T", ("visit", "text"), (("V-1", words),), 1, attention=True)
    picture = replace(look(folder).picture(), tables=(table,))
    assert words not in "\n".join(lines(picture)) and "..." in "\n".join(lines(picture))
    assert words in "\n".join(lines(picture, cut=False))


def test_days_are_those_of_the_work(tmp_path, look, monkeypatch):
    """A visit that was opened at the desk a week after its recordings stands under the day on which it was made."""
    monkeypatch.setattr(Clock, "__init__", lambda clock: setattr(clock, "now", START + timedelta(days=7)))
    with sample_book(tmp_path / "late") as book:
        assert sample_view(book).visit.opened_at.date() == START.date() + timedelta(days=7)
    (dangers,) = [one for one in look(tmp_path / "late").picture().tables if one.name == "dangers"]
    assert [row[0] for row in dangers.rows] == [START.date().isoformat()]


def test_it_never_calls_anything_safe(folder, look):
    """Neither page nor terminal has the word as its own."""
    picture = look(folder).picture()
    shown = re.sub(r"that is unsafe", "", page(picture) + "\n".join(lines(picture)))
    assert not re.search(r"\bsafe\b", shown, re.IGNORECASE)


def test_tables_leave_whole(folder, tmp_path, monkeypatch):
    """Workbook and CSV hold every row of every table, and no cell of them is a live formula."""
    monkeypatch.setenv("FIELDNOTE_HOME", str(tmp_path / "home"))
    run = CliRunner().invoke
    for target in ("all.xlsx", "csv"):
        assert run(cli, ["audit", str(folder), "--tables", str(tmp_path / target)]).exit_code in (0, 1)
    book = openpyxl.load_workbook(tmp_path / "all.xlsx")
    assert book.sheetnames == TABLES
    assert not [cell for sheet in book for row in sheet for cell in row if cell.data_type == "f"]
    for name in TABLES:
        with (tmp_path / "csv" / f"{name}.csv").open(encoding="utf-8-sig", newline="") as file:
            assert len(list(csv.reader(file))) == book[name].max_row
    single = run(cli, ["audit", str(folder), "--table", "faults", "--json"])
    assert [table["name"] for table in json.loads(single.stdout)["tables"]] == ["faults"]


def test_the_command_tells_what_needs_a_person(folder, tmp_path, monkeypatch):
    """Exit 1 and the danger written out in full; JSON alone on standard output; a missing path is named and ends with 3;
    no control character reaches the terminal."""
    monkeypatch.setenv("FIELDNOTE_HOME", str(tmp_path / "home"))
    run = CliRunner().invoke
    seen = run(cli, ["audit", str(folder)], standalone_mode=False)
    assert seen.return_value == 1 and "immediately-dangerous" in seen.output and "still missing:" in seen.output
    assert "\x1b" not in seen.output
    plain = run(cli, ["audit", str(folder), "--json", "--page", str(tmp_path / "a.html")], standalone_mode=False)
    assert json.loads(plain.stdout)["counts"]["visits"] == 11
    assert (tmp_path / "a.html").stat().st_mode & 0o777 == 0o600
    gone = run(cli, ["audit", str(folder), str(tmp_path / "gone")], standalone_mode=False)
    assert gone.return_value == 3 and str(tmp_path / "gone") in gone.stderr


OUTSIDE = """() => [...document.querySelectorAll('svg')].flatMap(svg => {
    const texts = [...svg.querySelectorAll('text')].map(one => [one.textContent, one.getBBox()]);
    const over = (a, b) => a.x < b.x + b.width && b.x < a.x + a.width && a.y + 2 < b.y + b.height && b.y + 2 < a.y + a.height;
    return texts.filter(([_, box], n) =>
        box.x < -1 || box.x + box.width > svg.viewBox.baseVal.width || texts.slice(n + 1).some(([_, other]) => over(box, other))
    ).map(([words]) => words);
})"""


@pytest.mark.browser
@pytest.mark.skipif(CHROMIUM is None, reason="chromium is not installed (apt-get install chromium)")
@pytest.mark.skipif(util.find_spec("axe_playwright_python") is None, reason="axe-core is not installed")
@pytest.mark.parametrize("width", [1280, 390])
def test_a_browser_shows_it_to_everybody(folder, look, tmp_path, width):
    """axe-core finds no violation of WCAG 2.2 A and AA; nothing is fetched, nothing is wider than the window, and each drawing is
    an image with a name for a screen reader."""
    from playwright.sync_api import sync_playwright

    (tmp_path / "audit.html").write_text(page(look(folder).picture()), "utf-8")
    axe = resources.files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8")
    rules = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]}}
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        view = browser.new_page(viewport={"width": width, "height": 900})
        asked: list[str] = []
        view.on("request", lambda request: asked.append(request.url))
        view.goto((tmp_path / "audit.html").as_uri())
        assert asked == [(tmp_path / "audit.html").as_uri()]
        assert view.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert view.get_by_role("img", name="What needs a person").count() == 1
        assert view.evaluate(OUTSIDE) == []
        assert view.evaluate("Math.min(...[...document.querySelectorAll('svg')].map(one => one.clientWidth))") >= 600
        view.evaluate(axe)
        assert view.evaluate("rules => axe.run(rules)", rules)["violations"] == []
        browser.close()
