"""`fieldnote review`: a person decides, in the terminal or on a page on this machine."""

import click


@click.command(help="A person decides: one finding at a time in the terminal, or on a page on this machine only.")
@click.option("--visit", "ref", metavar="REF", help="Which visit; the last one if not given.")
@click.option("--page", is_flag=True, help="On a page in a browser of this machine instead.")
@click.option(
    "--port", type=click.IntRange(0, 65535), default=0, help="Where the page is served; a free port if not given."
)
@click.option("--by", metavar="NAME", help="Who decides; the engineer of the settings if not given.")
@click.pass_context
def command(ctx: click.Context, ref: str | None, page: bool, port: int, by: str | None) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.cli.output import say
    from fieldnote.errors import UsageProblem

    chosen = settings.load(ctx.obj)
    with bootstrap.notebook(chosen) as book:
        visits = book.visits()
        if not visits:
            raise UsageProblem("FN-204")
        visit = book.visit(ref) if ref else visits[-1]
        if page:
            return bootstrap.review_page(chosen, book, visit, by, port, say)
        bootstrap.review_terminal(chosen, book, visit, by, say).run()
        bootstrap.settle(chosen, book, visit)
    return 0
