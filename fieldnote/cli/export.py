"""`fieldnote export`: tables and calendar of one visit, some, or all; the signed bundle of one."""

from pathlib import Path

import click

KINDS = ["json", "jsonl", "csv", "xlsx", "parquet", "ics", "bundle"]
TABLES = ["lines", "results", "points", "parts", "followups", "photos", "visits"]


@click.command(help="Tables, calendar and the signed bundle. JSON is the lossless one; `--schema` prints its schema.")
@click.argument("refs", nargs=-1, metavar="[REF]...")
@click.option("--to", "kind", type=click.Choice(KINDS), help="What to write.")
@click.option("--output", type=click.Path(path_type=Path), metavar="PATH", help="Where to.")
@click.option(
    "--table", type=click.Choice(TABLES), default="lines", show_default=True, help="Which table: csv, parquet."
)
@click.option("--mask", is_flag=True, help="For a third party: mask names, telephone numbers, postcodes, entry codes.")
@click.option("--name", "names", multiple=True, metavar="NAME", help="A name to mask besides what the rule finds.")
@click.option("--for", "recipient", default="", metavar="WHO", help="Who gets the bundle; kept in the notebook.")
@click.option("--schema", is_flag=True, help="Print the JSON Schema of `--to json` and stop.")
@click.pass_context
def command(
    ctx: click.Context,
    refs: tuple[str, ...],
    kind: str | None,
    output: Path | None,
    table: str,
    mask: bool,
    names: tuple[str, ...],
    recipient: str,
    schema: bool,
) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.cli.output import data, say
    from fieldnote.export import data as values
    from fieldnote.export import whole

    if schema:
        data(values.schema())
        return 0
    if kind is None or output is None:
        raise click.UsageError("name the kind with --to and the file with --output")
    chosen = settings.load(ctx.obj)
    if kind == "bundle":
        if len(refs) != 1:
            raise click.UsageError("a bundle carries one visit: name its REF")
        if mask or names:
            raise click.UsageError("a bundle carries everything, sound too; for a third party use another kind")
        say(bootstrap.bundle(chosen, refs[0], output, recipient).path)
        return 0
    with bootstrap.notebook(chosen, write=False) as book:
        content = bootstrap.export(chosen, book, refs, kind, table=table, mask=mask or bool(names), names=names)
    whole.write(output, content)
    say(output)
    return 0
