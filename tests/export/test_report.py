"""The report: what it says, what it carries, and what it never says."""

import io
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from fieldnote.cli import present
from fieldnote.export import html, pdf, photos, wording
from fieldnote.export.masking import Mask
from fieldnote.export.particulars import Instrument, Particulars
from fieldnote.export.report import build
from fieldnote.notebook import Notebook
from fieldnote.records import Action, Decision, Point, VisitView, to_plain
from fieldnote.trade.vocabulary import vocabulary
from tests.sample_visit import START, sample_book, sample_view

OUTSIDE = re.compile(r"""(?:src|href|action)\s*=\s*(?!["']?(?:data:|#))|@import|url\(""", re.IGNORECASE)


@pytest.fixture
def book(tmp_path: Path) -> Notebook:
    return sample_book(tmp_path / "book")


def copies(book: Notebook):
    paths = {item.id: book.media(item.sha256) for item in book.items() if item.kind == "photo"}
    return lambda photo: photos.copy(paths[photo])


def page(book: Notebook, view: VisitView | None = None, **known) -> str:
    return html.render(build(view or sample_view(book), **known), copies(book))


def test_the_page_is_one_file(book):
    """Nothing of the page is loaded from outside it, and it runs no script."""
    text = page(book)
    assert OUTSIDE.search(text) is None
    assert "<script" not in text


def test_every_line_can_be_traced(book):
    """Each line that holds is named with its words, its clip and its second."""
    text = page(book)
    for line in sample_view(book).lines:
        assert line.proposed.evidence.text.replace("'", "&#39;") in text
    assert text.count("clip kitchen.wav at 0:") == len(sample_view(book).lines)


def test_a_follow_up_is_shown_with_its_words(book):
    """What is to be done stands in the words: they are shown beside the kind, and masked where the report is."""
    view = sample_view(book)
    assert build(view).followups == ('Revisit, in 14 days ("come back in a fortnight"): 9 December 2026',)
    hidden = build(view, mask=Mask(("fortnight",))).followups
    assert "fortnight" not in hidden[0]


def test_a_trace_names_the_place(book):
    """Lines of the same part at different burners can be told apart where they are traced, and photos by their number."""
    made = build(sample_view(book))
    electrode = next(row for row in made.traces if row.head == "Spark electrode")
    assert electrode.line.startswith("Spark electrode (front left): Cracked")
    assert [picture.caption.partition(":")[0] for picture in electrode.pictures] == [f"No. {electrode.number}"]


def test_cautions_are_no_hints(book):
    """What findings may point to and the usual cautions are lists of their own."""
    view = sample_view(book)
    points = (Point("symptom", "s", "weak spark: dirt", "a source"), Point("caution", "c", "hot parts", "a source"))
    made = build(replace(view, check=replace(view.check, points=points)))
    assert made.hints == ("weak spark: dirt [a source]",) and made.usual == ("hot parts [a source]",)


def test_classes_are_the_engineers_own(book):
    """A class of danger appears as declared by the engineer; what the rules ask is put as a question, elsewhere."""
    made = build(sample_view(book))
    assert made.declared == ("Hob: At risk, as declared by the engineer",)
    assert any("consider" in question for question in made.open_questions)
    assert not any("consider" in line for line in made.declared + made.urgent + made.tell)


def test_nothing_is_called_safe(book):
    """The word does not occur in a report unless a person said it."""
    assert re.search(r"\bsafe", page(book), re.IGNORECASE) is None


def test_what_is_unknown_is_a_blank_line(book):
    """Licence, calibration, due date and signatures are blank where nobody gave them, and as given where somebody did."""
    assert page(book).count('class="blank"') == 7
    known = Particulars(
        "A. Person",
        "",
        "123",
        START.date(),
        (Instrument("Gauge", "G-1", START.date(), START.date()),),
        START.date(),
        "refused",
    )
    full = page(book, particulars=known)
    assert full.count('class="blank"') == 1  # the engineer's own signature is always made by hand
    assert "Gauge" in full and "refused" in full


def test_a_struck_out_line_is_counted_not_shown(book):
    """A rejected line leaves the report, and the report says that a line was struck out."""
    view = sample_view(book)
    target = next(line for line in view.lines if line.current.evidence.text == "hose is perished")
    book.append("decision", to_plain(Decision("reject", target.id, START, "A. Person")), visit=view.visit.id)
    made = build(sample_view(book))
    assert "1 line was struck out by a person." in made.summary
    assert not any(row.head == "Flexible connection" for section in made.sections for row in section.rows)


def test_what_was_taken_in_one_go_says_so(book):
    """A line that was looked at by itself is confirmed; one that was taken with all that was sure says that it was."""
    view = sample_view(book)
    for line, kind in zip(view.lines, ("accept", "accept-sure"), strict=False):
        book.append("decision", to_plain(Decision(kind, line.id, START, "A. Person")), visit=view.visit.id)
    states = [row.state for row in build(sample_view(book)).traces]
    assert states[:3] == ["confirmed", "confirmed in one go", "unconfirmed"]


def test_a_point_said_not_to_apply_is_shown_as_such(book):
    """A checklist point that a person rejected stays on the list of what was not checked, with that answer."""
    answer = Decision("reject", "point:unsaid:hob-tightness", START, "A. Person", reason="no gas on")
    made = build(sample_view(book), answers={answer.target: answer})
    assert "Tightness test [does not apply here, says a person: no gas on]" in made.unsaid


@pytest.mark.parametrize(
    "payload", ["<script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "{{ 7*7 }}", '#read("/etc/passwd")']
)
def test_words_stay_words(book, payload):
    """Markup of any kind in what was said is shown as text, on the page and in the PDF."""
    from dataclasses import replace

    view = sample_view(book)
    view = replace(view, visit=replace(view.visit, ref=payload))
    text = page(book, view)
    assert "<script" not in text and "onerror=alert" not in text.replace("onerror=alert(1)&gt;", "")
    assert pdf_text(pdf.render(build(view), copies(book), view)).count(payload.split()[0]) >= 1


def pdf_text(content: bytes) -> str:
    from pypdf import PdfReader

    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)


def test_the_pdf_is_tagged_and_carries_its_data(book):
    """The PDF declares PDF/A-3a and PDF/UA-1, is tagged, has a title and a language, alt text on photos, and its data."""
    from pypdf import PdfReader

    view = sample_view(book)
    content = pdf.render(build(view), copies(book), view)
    reader = PdfReader(io.BytesIO(content))
    root = reader.trailer["/Root"]
    xmp = root["/Metadata"].get_object().get_data().decode()
    assert root["/MarkInfo"]["/Marked"]
    assert str(root["/Lang"]).startswith("en")
    assert reader.metadata.title == "Record of a visit"
    assert re.search(r"pdfaid:part>3<|pdfaid:part=\"3\"", xmp) and "pdfuaid:part" in xmp
    assert len(_alternatives(root["/StructTreeRoot"])) == 2
    attached = json.loads(reader.attachments["visit.json"][0])
    assert attached["visits"][0]["ref"] == "KITCHEN-1"
    assert content == pdf.render(build(view), copies(book), view)


def _alternatives(node, seen=None) -> list[str]:
    """Every alternative text in the structure tree of a PDF."""
    seen = set() if seen is None else seen
    node = node.get_object()
    found = []
    for kid in node if isinstance(node, list) else [node]:
        kid = kid.get_object()
        if not hasattr(kid, "get") or id(kid) in seen:
            continue
        seen.add(id(kid))
        found += [str(kid["/Alt"])] if "/Alt" in kid else []
        if "/K" in kid:
            found += _alternatives(kid["/K"], seen)
    return found


def test_pictures_lose_position_and_owner(book):
    """A copy holds no metadata at all: no position, no owner; the original is as it was."""
    item = next(item for item in book.items() if item.kind == "photo")
    before = book.media(item.sha256).read_bytes()
    copy = photos.copy(book.media(item.sha256))
    assert b"Olive Owner" in before and b"Olive Owner" not in copy
    with Image.open(io.BytesIO(copy)) as picture:
        assert dict(picture.getexif()) == {}
    assert "exif" not in picture.info
    assert book.media(item.sha256).read_bytes() == before


def test_no_reader_gets_position_or_owner(book):
    """The pictures inside a page and inside a PDF hold no metadata: neither where they were taken nor whose the camera is."""
    import base64

    import pikepdf

    found = [base64.b64decode(part) for part in re.findall(r'src="data:image/jpeg;base64,([^"]+)"', page(book))]
    view = sample_view(book)
    with pikepdf.open(io.BytesIO(pdf.render(build(view), copies(book), view))) as opened:
        images = [thing for thing in opened.objects if getattr(thing, "get", dict)("/Subtype") == "/Image"]
        found += [image.read_raw_bytes() for image in images]
    assert len(found) == 4
    for content in found:
        assert not any(sign in content for sign in (b"Exif", b"Olive", b"http://ns.adobe.com", b"Photoshop"))


def test_texts_inside_other_formats_are_lost_too(tmp_path):
    """What a PNG says in its text chunks, XMP among them, does not travel with its copy."""
    from PIL.PngImagePlugin import PngInfo

    notes = PngInfo()
    notes.add_text("Author", "Olive Owner")
    notes.add_itxt("XML:com.adobe.xmp", "<x:xmpmeta>Olive Owner 51,30N</x:xmpmeta>")
    Image.new("RGB", (40, 30), (1, 2, 3)).save(tmp_path / "p.png", pnginfo=notes)
    assert b"Olive" in (tmp_path / "p.png").read_bytes()
    assert b"Olive" not in photos.copy(tmp_path / "p.png")


def test_no_picture_is_no_crash(tmp_path):
    """What cannot be shown as a picture is said to be so."""
    (tmp_path / "broken.jpg").write_bytes(b"\xff\xd8\xff nothing of the kind")
    assert photos.copy(tmp_path / "broken.jpg") is None


def test_characters_without_a_glyph_do_not_stop_the_pdf(book):
    """Words in any script give a PDF; what its font cannot show is named by code point, and the data has it as it was."""
    from dataclasses import replace

    view = sample_view(book)
    view = replace(view, visit=replace(view.visit, ref="kuchnia \u0142 \u6f22 \U0001f525"))
    text = pdf_text(pdf.render(build(view), copies(book), view))
    assert "[U+6F22]" in text and "kuchnia \u0142" in text


def test_what_was_cleaned_does_not_read_as_clean(book):
    """Work that was done is told as done; several actions on one part stand in one line."""
    made = build(sample_view(book))
    assert made.done == ("Hob, Injector (rear right): cleaned",)
    assert made.needed == ("Hob, Spark electrode (front left): replace",)
    line = next(line for line in sample_view(book).lines if getattr(line.current, "component", "") == "electrode")
    both = replace(
        line, current=replace(line.current, actions=(Action("replace", "needed"), Action("order", "needed")))
    )
    assert build(replace(sample_view(book), lines=(both,))).needed == (
        "Hob, Spark electrode (front left): replace; order a part",
    )


def test_every_kind_of_work_has_its_past(book):
    """No action of the vocabulary is told as done in the words of an order."""
    assert set(wording.DONE) == set(vocabulary().actions)


def test_what_to_act_on_stands_first(book):
    """The emergency steps come before everything else that the first page says."""
    view = sample_view(book)
    steps = Point("emergency", "smell", "A smell of gas was said.", steps=("No flames.",))
    text = page(book, replace(view, check=replace(view.check, points=(steps, *view.check.points))))
    assert text.index("Act on this first") < text.index("Class of danger, as the engineer declared it")


def test_a_photo_at_a_step_is_shown(book):
    """A photo of the label that was put on stands in the report, not only its name in the list of sources."""
    view = sample_view(book)
    photo = next(item.id for item in view.items if item.kind == "photo")
    lines = tuple(replace(line, photos=(photo,) if line.kind == "procedure" else ()) for line in view.lines)
    text = page(book, replace(view, lines=lines))
    assert "Photos of what was declared, done about it or is to follow" in text
    assert text.count('<img src="data:image/jpeg') >= sum(line.kind == "procedure" for line in lines)


def test_working_is_told_in_words_and_units(book):
    """What a result was worked out from is named as people name it, with its unit, and how it is titled says what it is."""
    made = build(sample_view(book))
    inputs = {"first": "8436.524 m3", "second": "8436.606 m3", "rated": "24", "appliance": "boiler", "odd-one": "x"}
    result = replace(sample_view(book).check.results[0], name="gas-rate", appliance="boiler", inputs=inputs)
    assert wording.inputs(result) == (
        "first meter reading: 8436.524 m\u00b3; second meter reading: 8436.606 m\u00b3; "
        "heat input on the data plate: 24 kW; appliance: boiler; odd one: x"
    )
    assert wording.calculation(result) == "Gas rate and heat input (Boiler)"
    assert [one.name for one in made.worked] == [wording.calculation(one) for one in sample_view(book).check.results]
    assert present.result(result).startswith("Gas rate and heat input (Boiler): ")
