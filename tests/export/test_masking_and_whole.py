"""What leaves for a third party hides names and numbers; what is written is whole or absent."""

import io
import json
import os
import subprocess
import sys
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from fieldnote.cli import cli
from fieldnote.errors import MachineLacks
from fieldnote.export import data, html, pdf, render, tables, whole
from fieldnote.export.masking import HIDDEN, RULE, mask_of
from fieldnote.export.report import build
from fieldnote.records import Decision, Evidence, Extraction, FollowUp
from fieldnote.trade import limits
from fieldnote.trade.check import check
from tests.sample_visit import START, picture, said, sample_book, sample_view, transcript

SECRETS = (
    "Quillfeather",
    "oh seven seven double oh nine hundred one two three",
    "SW1A 1AA",
    "four four one nine",
    "01632 960123",
)
TALK = (
    "Mrs Quillfeather let me in. Her mobile is oh seven seven double oh nine hundred one two three. "
    "The alarm code is four four one nine. Postcode SW1A 1AA. Ring 01632 960123 before coming. "
    "I'll come back in a fortnight to Quillfeather. Meter reading oh seven one five three point two oh four."
)


def read() -> Extraction:
    return Extraction(followups=(FollowUp("revisit", 14, said("come back in a fortnight to Quillfeather", TALK)),))


@pytest.fixture
def view(tmp_path):
    return sample_view(sample_book(tmp_path / "book", read, transcript(TALK)))


def test_none_of_five_secrets_is_in_what_is_shared(view):
    """A name, two telephone numbers, a postcode and an alarm code: none is in a masked report, table, calendar or JSON."""
    mask = mask_of(view)
    shared = [html.render(build(view, mask=mask), lambda _: None)]
    shared += [
        render(kind, [view], table="lines", mask=lambda _: mask).decode() for kind in ("json", "jsonl", "csv", "ics")
    ]
    for text in shared:
        unfolded = text.replace("\r\n ", "")
        assert [secret for secret in SECRETS if secret.lower() in unfolded.lower()] == []
        assert HIDDEN in unfolded
    assert RULE in shared[0].replace("&#39;", "'")


@pytest.fixture
def telling(view):
    """The same visit with the secrets wherever people write: reference, names of files, a reason, a problem."""
    line = replace(
        view.lines[0], decisions=(Decision("accept", view.lines[0].id, START, "A. Person", reason="Mrs Quillfeather"),)
    )
    items = tuple(replace(item, name=f"Quillfeather 01632 960123 {item.name}") for item in view.items)
    visit = replace(view.visit, ref="Mrs Quillfeather SW1A 1AA")
    return replace(view, visit=visit, items=items, lines=(line, *view.lines[1:]), problems=("Ring 01632 960123",))


def leaked(content: bytes | str) -> list[str]:
    text = content if isinstance(content, str) else content.decode("utf-8", "replace")
    text = text.replace("\r\n ", "").replace("\n", " ")
    return [secret for secret in (*SECRETS, "Quillfeather".upper()) if secret.lower() in text.lower()]


def test_no_part_of_a_masked_pdf_holds_them(telling):
    """Text, document information, XMP, alternative texts, bookmarks and the attached data: none has one."""
    import pikepdf
    from pypdf import PdfReader

    mask = mask_of(telling)
    paths = {item.id: picture((9, 9, 9)) for item in telling.items if item.kind == "photo"}
    content = pdf.render(build(telling, mask=mask), paths.get, telling, mask)
    reader = PdfReader(io.BytesIO(content))
    assert leaked(" ".join(page.extract_text() for page in reader.pages)) == []
    assert json.loads(reader.attachments["visit.json"][0])["visits"][0]["masked"] is True
    assert [*reader.attachments] == ["visit.json"]
    with pikepdf.open(io.BytesIO(content)) as opened:
        assert HIDDEN in str(opened.Root.AF[0].EF.F.read_bytes())
        streams = [
            thing.read_bytes() for thing in opened.objects if isinstance(thing, pikepdf.Stream) and _readable(thing)
        ]
        others = [str(thing) for thing in opened.objects if not isinstance(thing, pikepdf.Stream)]
        assert len(streams) > 3 and [found for part in [*streams, *others] if (found := leaked(part))] == []


def _readable(stream):
    return str(stream.get("/Filter", "")) in ("", "/FlateDecode") and stream.get("/Subtype") != "/Image"


@pytest.mark.parametrize("table", tables.KINDS)
@pytest.mark.parametrize("kind", ["csv", "parquet"])
def test_no_masked_table_holds_them(telling, kind, table, tmp_path):
    """Every table, as CSV and as Parquet (read back by DuckDB), is without them."""
    import duckdb

    content = render(kind, [telling], table=table, mask=mask_of)
    if kind == "parquet":
        (tmp_path / "t.parquet").write_bytes(content)
        content = str(duckdb.sql(f"select * from '{tmp_path}/t.parquet'").fetchall())
    assert leaked(content) == []


def test_no_part_of_a_masked_workbook_holds_them(telling):
    """Shared strings, sheets and properties of the workbook are without them."""
    content = render("xlsx", [telling], table="lines", mask=mask_of)
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        assert HIDDEN in parts.read("xl/sharedStrings.xml").decode()
        assert [name for name in parts.namelist() if leaked(parts.read(name))] == []


@pytest.mark.parametrize("kind", ["json", "jsonl", "ics"])
def test_nor_do_the_other_kinds(telling, kind):
    """JSON, JSON Lines and the calendar are without them, wherever they were written."""
    assert leaked(render(kind, [telling], table="lines", mask=mask_of)) == []


def test_a_readers_report_carries_no_sound(telling):
    """Neither the page nor the PDF holds a recording, a player or a link to one."""
    from pypdf import PdfReader

    mask = mask_of(telling)
    text = html.render(build(telling, mask=mask), lambda _: None)
    assert leaked(text) == []
    assert "<audio" not in text and "<a " not in text and "data:audio" not in text
    content = pdf.render(build(telling, mask=mask), lambda _: None, telling, mask)
    assert b"RIFF" not in content
    assert {name.rpartition(".")[2] for name in PdfReader(io.BytesIO(content)).attachments} == {"json"}


def test_names_that_cameras_give_are_not_taken_for_telephone_numbers(view):
    """A day and time in a file's name stays, so that a line can be traced; a telephone number beside it does not."""
    mask = mask_of(view)
    for name in ("photo-20261118-100718Z-vent.jpg", "IMG_20261118_100718.jpg", "20261118100718.wav"):
        assert mask(name) == name
    assert "960123" not in mask("photo-20261118-100718Z 01632 960123.jpg")


def test_a_bundle_is_not_masked_and_says_so(tmp_path):
    """A bundle carries the sound: asked to mask one, the command refuses instead of leaving the wish out."""
    arguments = [
        "--notebook",
        str(tmp_path),
        "export",
        "X",
        "--to",
        "bundle",
        "--mask",
        "--output",
        str(tmp_path / "b"),
    ]
    done = CliRunner().invoke(cli, arguments)
    assert done.exit_code == 2 and "carries everything" in done.output


def test_what_is_not_asked_to_be_masked_is_whole(view):
    """The engineer's own JSON holds every word as it was said."""
    assert "to Quillfeather" in data.text(data.document([view]))


def test_a_name_given_with_the_command_is_masked(view):
    """A name that no rule finds is masked when it is named, whatever its case, as a whole word only."""
    mask = mask_of(view, ["Fortnight"])
    assert mask("in a fortnight, a fortnightly visit") == f"in a {HIDDEN}, a fortnightly visit"


@pytest.mark.parametrize(
    "words",
    [
        "meter reading oh seven one five three point two oh four",
        "working pressure twenty point five millibar",
        "call back in two days",
        "one two three four point five six seven",
        "12345.678 cubic metres",
        "replaced 2 of the 4 burner caps, G4 meter, U6",
        "drop nought point two over two minutes",
    ],
)
def test_figures_of_the_trade_are_not_masked(view, words):
    """Meter readings, pressures and counts stay readable."""
    assert mask_of(view)(words) == words


def test_a_write_that_fails_leaves_what_was_there(tmp_path):
    """An error in the middle leaves the old file and nothing beside it."""
    path = tmp_path / "out.txt"
    whole.write(path, b"old")
    with pytest.raises(RuntimeError), whole.being_written(path) as temporary:
        temporary.write_bytes(b"half")
        raise RuntimeError("stop")
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def test_what_a_kill_left_goes_with_the_next_write(tmp_path):
    """A part that nobody has touched for an hour goes; a younger one, and other files' parts, stay."""
    path, old, young, other = (
        tmp_path / name for name in ("out.txt", ".out.txt.a1.part", ".out.txt.b2.part", ".in.c3.part")
    )
    for part in (old, young, other):
        part.write_bytes(b"half")
    for part in (old, other):
        os.utime(part, (0, 0))
    whole.write(path, b"new")
    assert sorted(tmp_path.iterdir()) == sorted([path, young, other])


def test_no_place_to_write_is_said_in_one_line(tmp_path):
    """A folder that is not there is an error of the machine with its reason, and nothing is made."""
    with pytest.raises(MachineLacks) as problem:
        whole.write(tmp_path / "nowhere" / "out.txt", b"x")
    assert problem.value.code == "FN-406"


KILLED = """
import os, sys
from pathlib import Path
from fieldnote.export import whole
at, count = int(sys.argv[2]), 0
def step(frame, event, arg):
    global count
    if event == "line" and frame.f_code.co_filename == whole.__file__:
        count += 1
        if count == at:
            os._exit(9)
    return step
sys.settrace(step)
whole.write(Path(sys.argv[1]), b"new" * 1000)
"""


def test_killed_at_every_line_the_file_is_old_or_new(tmp_path):
    """Stopped dead at each line of the writing in turn, the file is the old one or the new one, whole."""
    path, seen = tmp_path / "out.bin", set()
    for at in range(1, 60):
        path.write_bytes(b"old" * 1000)
        for left in tmp_path.glob("*.part"):
            left.unlink()
        done = subprocess.run([sys.executable, "-c", KILLED, str(path), str(at)], env=dict(os.environ), check=False)
        content = path.read_bytes()
        assert content in (b"old" * 1000, b"new" * 1000)
        seen.add(content)
        if done.returncode == 0:
            break
    assert done.returncode == 0 and len(seen) == 2 and at > 10


def test_names_of_files_never_lead_elsewhere():
    """A visit's reference becomes a plain file name whatever it holds."""
    for ref in ("../../etc/passwd", "a/b", "..", "", ".hidden", "x" * 500, "\x00\n", "C:\\x"):
        name = whole.file_name(ref)
        assert Path(name).name == name and not name.startswith(".") and 0 < len(name) <= 80


@pytest.mark.parametrize("confirmed", [None, "0800 111 999"])
def test_the_number_to_call_is_never_masked(tmp_path, confirmed):
    """With a smell of gas a masked report, and masked data, show each step by itself and the numbers to call."""
    view = sample_view(sample_book(tmp_path / "book"))
    said = Extraction(smell_of_gas=Evidence("smell of gas", 0, 12))
    found = check(
        said, work=None, appliances=(), gas=None, meter=None, region="gb", edition=None, on=START.date(),
        limits=limits.load(), emergency_number=confirmed,
    )  # fmt: skip
    view = replace(view, check=found)
    made = build(view, mask=mask_of(view))
    assert [line for line in made.urgent if "0800 111 999" in line] and made.urgent[1].startswith("1. no flames")
    assert not [line for line in made.urgent if HIDDEN in line]
    masked = data.document([view], mask_of)
    assert "0800 111 999" in data.text(masked)
