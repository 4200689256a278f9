"""`fieldnote verify`: re-derive everything of a notebook or a bundle, and name what disagrees."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from fieldnote.bundle import Bundle
    from fieldnote.notebook import Report


@click.command(
    help="Re-derive every hash, link and signature; exit 1 when something disagrees. It changes nothing in what it checks; "
    "of a bundle that holds, number and visit are remembered beside the keys."
)
@click.argument("path", required=False, type=click.Path(path_type=Path, readable=False))
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
@click.pass_context
def command(ctx: click.Context, path: Path | None, as_json: bool) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.cli import output
    from fieldnote.errors import DONE, NO, FieldnoteError
    from fieldnote.notebook import verify
    from fieldnote.records import to_plain

    chosen = settings.load(ctx.obj)
    if path is not None and bootstrap.is_bundle(path):
        read = bootstrap.read_bundle(chosen, path)
        try:
            bootstrap.remember(chosen, read)
        except FieldnoteError as problem:
            output.note(f"that it was seen cannot be remembered: {output.one_line(problem.line())}")
        return _bundle(read, as_json)
    report = verify(path or chosen.notebook)
    if as_json:
        output.data(to_plain(report))
    else:
        tell(report)
    return DONE if report.sound else NO


def tell(report: Report) -> None:
    """A report as lines: damage first."""
    from fieldnote.cli import output

    for damage in report.damage:
        output.say(output.one_line(damage.line()))
    output.say(f"notebook {report.notebook}: {report.records} records, {report.media} media, {report.size} bytes")
    output.say(f"last record {report.head}")
    if report.unfiled:
        output.say(f"not checked, for they are not filed yet (fieldnote process does it): {report.unfiled} recordings")
    output.say(f"not checked, for they hold no evidence: {', '.join(report.left_out)}")
    output.say(f"{len(report.damage)} things disagree" if report.damage else "everything agrees")


def _bundle(read: Bundle, as_json: bool) -> int:
    from fieldnote.cli import output
    from fieldnote.errors import DONE, NO
    from fieldnote.records import to_plain

    facts = {
        name: read.facts.get(name) for name in ("engineer", "key", "ref", "visit", "sequence", "madeAt", "records")
    }
    if as_json:
        output.data({"path": str(read.path), "problems": to_plain(read.problems), "statement": read.statement, **facts})
        return NO if read.problems else DONE
    for problem in read.problems:
        output.say(output.one_line(f"{problem.code}: {problem.where}: {problem.detail}"))
    for name, value in facts.items():
        output.say(output.one_line(f"{name}: {value}"))
    output.say(f"{len(read.problems)} things disagree" if read.problems else "everything agrees")
    return NO if read.problems else DONE
