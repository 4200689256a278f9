"""`fieldnote add`: recordings, photos and notes into the notebook, one line for each."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from fieldnote.notebook import Notebook
    from fieldnote.records import Receipt


@click.command(
    help="Take in recordings, photos and written notes (.txt). A line is printed when that item is safe on the disk."
)
@click.argument("paths", nargs=-1, required=True, type=click.Path(path_type=Path, readable=False))
@click.option("--visit", "ref", metavar="REF", help="The visit they belong to; else the last one opened.")
@click.option(
    "--camera-offset", metavar="SECONDS", type=float, help="This machine's clock minus the camera's, once a visit."
)
@click.option(
    "--clock-photo",
    type=(click.Path(path_type=Path), str),
    metavar="FILE HH:MM:SS",
    help="Measures that difference: a photo of this machine's time, and the time to be read on it.",
)
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line.")
@click.pass_context
def command(
    ctx: click.Context,
    paths: tuple[Path, ...],
    ref: str | None,
    camera_offset: float | None,
    clock_photo: tuple[Path, str] | None,
    as_json: bool,
) -> int:
    from fieldnote import bootstrap, settings

    with bootstrap.notebook(settings.load(ctx.obj), create=True) as book:
        if camera_offset is not None or clock_photo:
            _set_camera(book, ref, camera_offset, clock_photo)
        return take(book, paths, ref, as_json)


def _set_camera(book: Notebook, ref: str | None, seconds: float | None, photo: tuple[Path, str] | None) -> None:
    """Keep the camera's clock difference for the visit. Raises UsageProblem FN-204 without a visit."""
    from fieldnote import bootstrap
    from fieldnote.cli import output
    from fieldnote.errors import UsageProblem

    visit = book.visit(ref) if ref else book.current_visit()
    if visit is None:
        raise UsageProblem("FN-204")
    given, shows = (photo[1], photo[0]) if photo else (str(seconds), None)
    kept = bootstrap.camera_offset(book, visit, given, shows)
    output.note(f"this machine's clock is {kept:+.0f} s against the camera's; kept for this visit")


def take(book: Notebook, paths: Iterable[Path], ref: str | None, as_json: bool) -> int:
    """Take the files in and tell of each. Returns 3 when one was refused, else 0."""
    from fieldnote.cli import output
    from fieldnote.flow.flags import in_words
    from fieldnote.flow.take_in import take_in

    visit = book.visit(ref) if ref else book.current_visit()
    refused = 0
    for receipt in take_in(book, paths, visit.id if visit else None):
        refused += receipt.status == "refused"
        tell(receipt, as_json)
        if receipt.id and not as_json and (flags := book.item(receipt.id).flags):
            output.note(output.one_line(f"{Path(receipt.path).name}: {in_words(flags)}"))
    return 3 if refused else 0


def tell(receipt: Receipt, as_json: bool) -> None:
    """One receipt as a line; a refusal is also one line of error."""
    from fieldnote.cli import output
    from fieldnote.records import to_plain

    if receipt.status == "refused":
        output.complain(receipt.reason)
    if as_json:
        output.data(to_plain(receipt))
    elif receipt.status != "refused":
        output.say(f"{receipt.status}  {receipt.id}  {receipt.kind}  {output.one_line(receipt.path)}")
