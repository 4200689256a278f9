"""A picture as one HTML page. In: a picture. Out: text that loads nothing and runs nothing, each drawing with its table."""

import re
from importlib import resources

from fieldnote.audit.charts import attention, picture_of
from fieldnote.audit.picture import Picture, Table
from fieldnote.audit.text import shown_as

_PLACES = re.compile(r"\S{19,}")  # longer than a column is wide: such a run may be broken
_AFTER = re.compile(r"[-_./:,;]|\w{12}")
OPEN = 12  # rows of a table that stands open; a longer one is opened by hand, and for printing


def page(picture: Picture, title: str = "Audit") -> str:
    """The page."""
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    environment = Environment(
        loader=PackageLoader("fieldnote.audit"), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )  # fmt: skip
    urgent = [table for table in picture.tables if table.attention and table.total]
    return environment.get_template("page.html.j2").render(
        title=title,
        p=picture,
        urgent=urgent,
        calm=[table for table in picture.tables if table.attention and not table.total],
        rest=[table for table in picture.tables if not table.attention and table.rows],
        attention=Markup(attention([(table.title, table.total) for table in urgent])),
        drawn=lambda table: Markup(picture_of(table)),
        shown=shown_as,
        figures=figures,
        loose=lambda text: Markup("<wbr>").join(_PLACES.sub(_broken, text).split("\n")),
        open_rows=OPEN,
        style=Markup(resources.files("fieldnote.audit").joinpath("templates/page.css").read_text("utf-8")),
    )


def _broken(run: re.Match[str]) -> str:
    return _AFTER.sub(lambda place: f"{place[0]}\n", run[0])


def figures(table: Table, column: int) -> bool:
    """Whether a column holds figures, some of which may be unknown."""
    cells = [row[column] for row in table.rows if row[column] is not None]
    return bool(cells) and all(isinstance(cell, int | float) for cell in cells)
