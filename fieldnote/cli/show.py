"""`fieldnote show`: one visit, for people or as JSON."""

import click


@click.command(help="Show one visit: findings, readings, results, what is still unsaid.")
@click.argument("ref")
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
@click.pass_context
def command(ctx: click.Context, ref: str, as_json: bool) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.cli import output, present
    from fieldnote.errors import NO, UsageProblem
    from fieldnote.records import to_plain

    chosen = settings.load(ctx.obj)
    with bootstrap.notebook(chosen, write=False) as book:
        try:
            view = bootstrap.view(chosen, book, ref)
        except UsageProblem as problem:
            output.complain(problem.line())
            return NO
    if as_json:
        output.data(to_plain(view))
        return 0
    for line in present.lines_of(view):
        output.say(line)
    return 0
