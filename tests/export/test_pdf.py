"""The PDF by other programs: qpdf (inside pikepdf) checks its structure, poppler reads it back, and the clauses of PDF/A-3 and
PDF/UA-1 that can be checked without a validator of those standards are checked one by one.
No such validator is in PyPI or Debian.
"""

import io
import itertools
import json
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import replace
from xml.etree import ElementTree

import pikepdf
import pytest

from fieldnote.export import pdf, photos
from fieldnote.export.report import build
from tests.sample_visit import sample_book, sample_view

POPPLER = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="poppler is not installed (apt-get install poppler-utils)"
)


@pytest.fixture(scope="module")
def content(tmp_path_factory) -> bytes:
    book = sample_book(tmp_path_factory.mktemp("pdf") / "book")
    paths = {item.id: book.media(item.sha256) for item in book.items() if item.kind == "photo"}
    view = sample_view(book)
    return pdf.render(build(view), lambda photo: photos.copy(paths[photo]), view)


@pytest.fixture
def read(content) -> Iterator[pikepdf.Pdf]:
    with pikepdf.open(io.BytesIO(content)) as opened:
        yield opened


def elements(read: pikepdf.Pdf) -> list[pikepdf.Object]:
    """Every element of the structure tree, in the order of reading."""
    found: list[pikepdf.Object] = []
    waiting = [read.Root.StructTreeRoot.K]
    while waiting:
        node = waiting.pop(0)
        if isinstance(node, pikepdf.Array):
            waiting = [*node, *waiting]
        elif isinstance(node, pikepdf.Dictionary):
            found += [node] if "/S" in node else []
            waiting = [node.K, *waiting] if "/K" in node else waiting
    return found


def test_its_syntax_is_sound(read):
    """Structure, cross references and streams hold no error that qpdf can find."""
    assert list(read.check_pdf_syntax()) == []


@POPPLER
@pytest.mark.parametrize(
    "name", ["visit-20261118-101940Z-kitchen-hob-hose-after.ogg", "a" * 90 + ".wav", "r_7." * 20 + "m4a"]
)
def test_names_of_files_stay_in_their_column(tmp_path, name):
    """However long a file's name is, no word of the PDF stands on another one or beyond the margin."""
    view = sample_view(sample_book(tmp_path / "book"))
    view = replace(view, items=tuple(replace(item, name=name) for item in view.items))
    (tmp_path / "a.pdf").write_bytes(pdf.render(build(view), lambda _: None, view))
    subprocess.run(["pdftotext", "-bbox", "a.pdf", "a.html"], cwd=tmp_path, check=True)
    pages = ElementTree.parse(tmp_path / "a.html").getroot().iter("{http://www.w3.org/1999/xhtml}page")
    boxes = [[{key: float(value) for key, value in word.attrib.items()} for word in page] for page in pages]
    assert max(box["xMax"] for page in boxes for box in page) < 595 - 50  # A4 is 595 points wide, the margin 51
    for page in boxes:
        for one, other in itertools.pairwise(sorted(page, key=lambda box: (round(box["yMin"]), box["xMin"]))):
            assert round(one["yMin"]) != round(other["yMin"]) or one["xMax"] <= other["xMin"] + 0.5


def test_it_runs_nothing_and_locks_nothing(read):
    """No encryption, script, form or action that a reader might run (ISO 19005-3, 6.1.3 and 6.5)."""
    assert not read.is_encrypted
    for thing in (read.Root, read.Root.get("/Names", pikepdf.Dictionary()), *(page.obj for page in read.pages)):
        assert not {"/OpenAction", "/AA", "/JavaScript", "/AcroForm"} & set(thing.keys())


def test_it_says_what_it_is(read):
    """Its XMP metadata names PDF/A-3 level A and PDF/UA-1 and agrees with its document information (6.6)."""
    with read.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as said:
        assert said.pdfa_status == "3A"
        assert said["pdfuaid:part"] == "1"
        assert said["dc:title"] == str(read.docinfo["/Title"]) == "Record of a visit"
    assert str(read.Root.Lang).startswith("en")
    assert bool(read.Root.ViewerPreferences.DisplayDocTitle)


def test_its_colours_are_defined(read):
    """An output intent of PDF/A carries the profile that its colours mean (6.2.3)."""
    (intent,) = read.Root.OutputIntents
    assert str(intent.S) == "/GTS_PDFA1"
    assert intent.DestOutputProfile.read_bytes()[36:40] == b"acsp"  # ISO 15076-1: the mark of an ICC profile


def test_its_fonts_travel_with_it(read):
    """Every font is embedded and every character has a Unicode value, so that it looks and reads alike anywhere (6.2.11)."""
    fonts = {font.objgen: font for page in read.pages for font in page.resources.Font.values()}
    assert fonts
    for font in fonts.values():
        assert "/ToUnicode" in font
        descendant = font.DescendantFonts[0] if "/DescendantFonts" in font else font
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(descendant.FontDescriptor.keys())


def test_its_data_is_attached(read):
    """The visit's data is an associated file with its type and its relation (6.8), and is whole JSON."""
    (file,) = read.Root.AF
    assert file.AFRelationship == pikepdf.Name("/Data")
    assert file.EF.F.Subtype == pikepdf.Name("/application/json")
    assert json.loads(file.EF.F.read_bytes())["visits"][0]["ref"] == "KITCHEN-1"


def test_it_is_tagged_for_those_who_listen(read):
    """Headings in order without a step left out, header cells in each table, a text for each picture (ISO 14289-1, 7)."""
    tags = elements(read)
    kinds = [str(tag.S)[1:] for tag in tags]
    levels = [int(kind[1]) for kind in kinds if kind[0] == "H" and kind[1:].isdigit()]
    assert levels[0] == 1 and all(after <= before + 1 for before, after in itertools.pairwise(levels))
    assert kinds.count("Table") > 0 and kinds.count("TH") >= kinds.count("Table")
    pictures = [tag for tag in tags if str(tag.S) == "/Figure"]
    assert len(pictures) == 2 and all(len(str(tag.Alt)) > 20 for tag in pictures)
    assert {"L", "LI", "P"} <= set(kinds)


@POPPLER
def test_another_reader_reads_it_in_order(content, tmp_path):
    """Poppler calls it tagged and free of script, and reads heading, summary, findings and traces in that order."""
    path = tmp_path / "report.pdf"
    path.write_bytes(content)
    facts = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    assert "Tagged:          yes" in facts and "JavaScript:      no" in facts and "Form:            none" in facts
    text = subprocess.run(["pdftotext", path, "-"], capture_output=True, text=True, check=True).stdout
    parts = [
        "Record of a visit",
        "In short",
        "At risk",
        "What was not checked",
        "Handing over",
        "What was found",
        "Said as",
    ]
    places = [text.index(part) for part in parts]
    assert places == sorted(places)
