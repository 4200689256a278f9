"""The report as one HTML file. In: a `Report` and a way to a photo's copy. Out: text with nothing loaded from outside."""

import base64
import hashlib
from collections.abc import Callable
from importlib import resources

from fieldnote.export import wording
from fieldnote.export.photos import inline
from fieldnote.export.report import Picture, Report

Copies = Callable[[str], bytes | None]


def render(report: Report, copies: Copies) -> str:
    """The page. `copies` gives the JPEG copy of a photo by its item id, None where it cannot be shown."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("fieldnote.export"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["written"] = wording.written
    pictures = {picture.id: _address(copies, picture.id) for picture in _all_pictures(report)}
    return environment.get_template("report.html.j2").render(r=report, pictures=pictures, style=style())


def style() -> str:
    """The style of the page, exactly as it stands between its tags."""
    return resources.files("fieldnote.export").joinpath("templates/report.css").read_text("utf-8")


def style_source() -> str:
    """The style's hash as a content security policy names it, so that a page may show this report and no other style."""
    digest = hashlib.sha256(style().encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"


def _all_pictures(report: Report) -> list[Picture]:
    return [*report.pictures, *(picture for row in report.traces for picture in row.pictures)]


def _address(copies: Copies, photo: str) -> str | None:
    content = copies(photo)
    return inline(content) if content else None
