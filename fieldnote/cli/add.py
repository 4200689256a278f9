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
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line.")
@click.pass_context
def command(ctx: click.Context, paths: tuple[Path, ...], ref: str | None, as_json: bool) -> int:
    from fieldnote import bootstrap, settings

    with bootstrap.notebook(settings.load(ctx.obj), create=True) as book:
        return take(book, paths, ref, as_json)


def take(book: Notebook, paths: Iterable[Path], ref: str | None, as_json: bool) -> int:
    """Take the files in and tell of each. Returns 3 when one was refused, else 0."""
    from fieldnote.flow.take_in import take_in

    visit = book.visit(ref) if ref else book.current_visit()
    refused = 0
    for receipt in take_in(book, paths, visit.id if visit else None):
        refused += receipt.status == "refused"
        tell(receipt, as_json)
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
