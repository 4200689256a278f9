"""`fieldnote audit`: many notebooks and bundles side by side, read only."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from fieldnote.audit.gather import Progress

TABLES = (
    "bad gaps dangers questions outside contradictions unsaid unsaid-visits overdue parts unreviewed by-field by-engineer "
    "by-condition by-confidence agreement agreement-by-engineer faults review-time left-out"
).split()


class _Picture(click.Group):
    """`audit PATH...` without a name of its own is `audit picture PATH...`."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        if args and args[0] not in self.commands and args[0] not in ("-h", "--help"):
            args = ["picture", *args]
        return super().parse_args(ctx, args)


@click.group(cls=_Picture)
def command() -> None:
    """Many notebooks and bundles side by side. Nothing of them is ever written to.

    fieldnote audit PATH... looks at notebooks, bundles and folders of them; sample draws a fair sample; compare sets two
    runs of the machine beside each other. Exit 1 when something needs a person.
    """


@command.command(help="The whole picture: damage first, then danger, then everything else that needs a person.")
@click.argument("paths", nargs=-1, required=True, metavar="PATH...", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
@click.option(
    "--most",
    type=click.IntRange(1),
    default=20,
    show_default=True,
    help="Rows of a long table; with --json, 200 or more.",
)
@click.option("--afresh", is_flag=True, help="Read everything again, whatever the index knows.")
@click.pass_context
def picture(ctx: click.Context, paths: tuple[Path, ...], as_json: bool, most: int, afresh: bool) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.audit import text
    from fieldnote.cli import output
    from fieldnote.errors import DONE, INPUT, NO
    from fieldnote.records import to_plain

    with bootstrap.audit(settings.load(ctx.obj), paths, afresh=afresh, progress=_progress()) as made:
        drawn = made.picture(max(most, 200))
        for path in made.gathered.missing:
            output.complain(f"FN-301: {path}: there is no notebook and no bundle")
    if as_json:
        output.data(to_plain(drawn))
    else:
        for line in text.lines(drawn, most):
            output.say(output.one_line(line))
    return INPUT if made.gathered.missing else NO if drawn.attention else DONE


def _progress() -> Progress | None:
    """A counter on a terminal, nothing elsewhere."""
    import sys

    from fieldnote.cli import output

    if not (output.colourful() and sys.stderr.isatty()):
        return None

    def show(done: int, total: int) -> None:
        end = "\n" if done == total else ""
        print(f"\r{done} of {total} read", end=end, file=sys.stderr, flush=True)

    return show
