"""The report as a PDF: tagged, archival (PDF/A-3a with PDF/UA-1), its data attached. In: a `Report`. Out: bytes.

The data reaches the typesetter as JSON values, never as markup. The same visit gives the same bytes.
"""

import json
import re
import tempfile
from collections.abc import Callable, Iterable
from importlib import resources
from pathlib import Path
from typing import Any

from fieldnote.errors import MachineLacks
from fieldnote.export import data, wording
from fieldnote.export.html import Copies
from fieldnote.export.masking import OPEN, Mask
from fieldnote.export.report import Picture, Report, Row, Worked
from fieldnote.records import VisitView

# what the typesetter's own font can show; anything else is named by its code point (the attached data has it as it was)
_SHOWN = re.compile(
    "[^\n -~\u00a0-\u017f\u0192\u0391-\u03c9\u0400-\u045f\u2010-\u2027\u2030\u2032\u2033\u20ac"
    "\u2122\u2126\u2212\u2248\u2260\u2264\u2265]"
)


def render(report: Report, copies: Copies, view: VisitView, mask: Mask = OPEN) -> bytes:
    """The PDF. `copies` gives the JPEG copy of a photo by item id. Raises MachineLacks FN-402 without the extra `pdf`."""
    try:
        import typst
    except ImportError:
        raise MachineLacks("FN-402", extra="pdf") from None
    with tempfile.TemporaryDirectory(prefix="fieldnote-") as name:
        folder = Path(name)
        values = _values(report, _files(folder, copies))
        (folder / "report.json").write_text(json.dumps(_shown(values)), "utf-8")
        (folder / "visit.json").write_text(data.text(data.document([view], lambda _: mask)), "utf-8")
        source = folder / "report.typ"
        source.write_bytes(resources.files("fieldnote.export").joinpath("templates/report.typ").read_bytes())
        return typst.compile(
            source,
            root=folder,
            format="pdf",
            ignore_system_fonts=True,
            pdf_standards=["a-3a", "ua-1"],
            timestamp=int(view.visit.opened_at.timestamp()),
        )


def _files(folder: Path, copies: Copies) -> Callable[[Picture], dict[str, Any]]:
    """Puts a photo's copy beside the source, once; names it, or None where it cannot be shown."""
    done: dict[str, str | None] = {}

    def put(picture: Picture) -> dict[str, Any]:
        if picture.id not in done:
            content = copies(picture.id)
            done[picture.id] = f"photo-{len(done)}.jpg" if content else None
            if content:
                (folder / str(done[picture.id])).write_bytes(content)
        return {"file": done[picture.id], "alt": picture.alt, "caption": picture.caption}

    return put


def _values(report: Report, put: Callable[[Picture], dict[str, Any]]) -> dict[str, Any]:
    own = report.particulars
    return {
        "title": "Record of a visit",
        "author": own.name,
        "no_form": report.no_form,
        "facts": [(name, report.ref if name == "Visit" else value) for name, value in report.facts],
        **{name: list(getattr(report, name)) for name in _LISTS},
        "sections": [
            {"title": s.title, "rows": [_cells(row) for row in s.rows], "pictures": _pictures(s.rows, put)}
            for s in report.sections
        ],
        "readings": [_reading(row) for row in report.readings],
        "reading_pictures": _pictures(report.readings, put),
        "other_pictures": _pictures(report.others, put),
        "worked": [_worked(one) for one in report.worked],
        "pictures": [put(picture) for picture in report.pictures],
        "engineer": [
            ("Engineer", own.name),
            *([("Employer", own.employer)] if own.employer else []),
            *_licence(report),
        ],
        "instruments": [
            [i.name, i.serial, wording.written(i.calibrated), wording.written(i.next_calibration)]
            for i in own.instruments
        ],
        "handover": _handover(report),
        "traces": [_trace(row) for row in report.traces],
        "masked": report.masked,
    }


_LISTS = (
    "summary declared procedure urgent tell needed done declined followups cautions open_questions hints usual unsaid problems"
).split()


def _cells(row: Row) -> list[str]:
    return [str(row.number), row.head, row.place, row.text, row.actions, _standing(row)]


def _reading(row: Row) -> list[str]:
    return [str(row.number), row.head, row.place, row.text, _standing(row)]


def _standing(row: Row) -> str:
    return row.state + ("; a word was hard to hear" if row.doubtful else "")


def _trace(row: Row) -> list[str]:
    source = "; ".join([row.trace, *(picture.source for picture in row.pictures)])
    return [str(row.number), row.line, row.words, source, row.state]


def _pictures(rows: Iterable[Row], put: Callable[[Picture], dict[str, Any]]) -> list[dict[str, Any]]:
    return [put(picture) for row in rows for picture in row.pictures]


def _worked(one: Worked) -> dict[str, Any]:
    facts = [("Result", result) for result in one.results]
    facts += [("From", one.inputs), ("Formula", one.formula), ("Limit", one.limit or "none on file that may be quoted")]
    facts += [("Sources", one.sources), *(("Note", text) for text in one.notes)]
    return {"title": f"{one.name}: {one.verdict}", "facts": [fact for fact in facts if fact[1]]}


def _licence(report: Report) -> list[tuple[str, str]]:
    return [
        ("Licence number", report.particulars.licence),
        ("Licence ends", wording.written(report.particulars.licence_ends)),
    ]


def _handover(report: Report) -> list[tuple[str, str]]:
    signature = report.signature if report.signature != "signed" else ""
    return [
        ("Next visit due", wording.written(report.particulars.next_due)),
        ("Signature of the responsible person", signature),
        ("Signature of the engineer", ""),
    ]


def _shown(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _shown(inner) for key, inner in value.items()}
    if isinstance(value, (list, tuple)):
        return [_shown(inner) for inner in value]
    return _SHOWN.sub(lambda found: f"[U+{ord(found[0]):04X}]", value) if isinstance(value, str) else value
