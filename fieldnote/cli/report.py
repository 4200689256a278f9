"""`fieldnote report`: one visit for a reader, as one HTML file or a PDF."""

from pathlib import Path

import click


@click.command(help="One visit for a reader. Names, telephone numbers, postcodes and entry codes are masked by rule.")
@click.argument("ref")
@click.option("--to", "kind", type=click.Choice(["html", "pdf"]), default="html", show_default=True)
@click.option(
    "--output", type=click.Path(path_type=Path), metavar="PATH", help="Where to; REF-report.html here if not given."
)
@click.option("--with-names", is_flag=True, help="Mask nothing: for the engineer's own files.")
@click.option("--name", "names", multiple=True, metavar="NAME", help="A name to mask besides what the rule finds.")
@click.pass_context
def command(
    ctx: click.Context, ref: str, kind: str, output: Path | None, with_names: bool, names: tuple[str, ...]
) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.cli.output import say
    from fieldnote.export import whole

    chosen = settings.load(ctx.obj)
    with bootstrap.notebook(chosen, write=False) as book:
        content = bootstrap.report(chosen, book, ref, kind, mask=not with_names, names=names)
    path = output or Path(f"{whole.file_name(ref)}-report.{kind}")
    whole.write(path, content)
    say(path)
    return 0
