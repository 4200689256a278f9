"""`fieldnote extract`: words to findings, one JSON line in, one JSON line out, in the same order."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, BinaryIO

import click

if TYPE_CHECKING:
    from fieldnote.extract import Extractor


@click.command()
@click.argument("cases", type=click.File("rb"), metavar="CASES.jsonl")
@click.option("--format", "_format", type=click.Choice(["jsonl"]), default="jsonl", help="The only format there is.")
@click.option("--explain", is_flag=True, help="Say for each field which words and which rule decided it.")
@click.pass_context
def command(ctx: click.Context, cases: BinaryIO, _format: str, explain: bool) -> None:
    """Read {"id": ..., "text": ...} a line from CASES.jsonl (- is standard input) and write what each text says.

    A text with hidden characters or letters of another alphabet in it is flagged: it may say what was not read.

    A line that cannot be used is named on standard error; the others are done, and the exit status is 3.
    """
    from fieldnote import bootstrap, settings
    from fieldnote.cli.output import complain, data, tell_if_rules_alone
    from fieldnote.errors import INPUT, InputProblem
    from fieldnote.extract import plain

    tell_if_rules_alone(settings.load())
    reader, bad = bootstrap.extractor(), False
    for number, line in _lines(cases):
        try:
            id_, text = plain.case(line, cases.name, number)
        except InputProblem as problem:
            complain(problem.line())
            bad = True
            continue
        data({"id": id_, **_read(reader, text, explain)})
    ctx.exit(INPUT if bad else 0)


def _read(reader: "Extractor", text: str, explain: bool) -> dict[str, Any]:
    from fieldnote.capture import letters
    from fieldnote.extract import plain

    return {**plain.extraction(reader.read(text), explain=explain), "flags": letters.flags(text)}


def _lines(cases: BinaryIO) -> Iterator[tuple[int, bytes]]:
    return ((number, line) for number, line in enumerate(cases, 1) if line.strip())
