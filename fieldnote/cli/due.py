"""`fieldnote due`: what is open, with its day; a month's end list; closing what is done."""

import click


@click.command(
    help="Open follow-ups, parts, next inspections, retention; --month lists a month's parts, visits and situations."
)
@click.option(
    "--month", metavar="YYYY-MM", is_flag=False, flag_value="", help="A month's end; this month if none is named."
)
@click.option("--close", "line", metavar="ID", help="Close a follow-up or part by the id that the list shows.")
@click.option("--visit", "ref", metavar="REF", help="With --close: the later visit that did it.")
@click.option("--retention", type=click.IntRange(1, 36_500), metavar="DAYS", help="Also list when visits are that old.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line.")
@click.pass_context
def command(
    ctx: click.Context, month: str | None, line: str | None, ref: str | None, retention: int | None, as_json: bool
) -> int:
    from fieldnote import bootstrap, settings

    chosen = settings.load(ctx.obj)
    with bootstrap.notebook(chosen, write=line is not None) as book:
        if line is not None:
            bootstrap.close_line(chosen, book, line, ref)
            return 0
        if month is not None:
            return _month(bootstrap.month_end(chosen, book, _named(month)), as_json)
        return _rows(bootstrap.due(chosen, book, retention), as_json)


def _named(month: str) -> str:
    from datetime import date, datetime

    from fieldnote.errors import UsageProblem

    if not month:
        return f"{date.today():%Y-%m}"
    try:
        return f"{datetime.strptime(month, '%Y-%m'):%Y-%m}"
    except ValueError:
        raise UsageProblem("FN-201", what=f"the month {month}", reason="give it as YYYY-MM") from None


def _rows(rows: list, as_json: bool) -> int:  # type: ignore[type-arg]
    from fieldnote.cli.output import data, say
    from fieldnote.records import to_plain

    for row in rows:
        if as_json:
            data(to_plain(row))
        else:
            say(f"{row.day or 'no day said'!s:<12}  {row.kind:<10}  {row.visit}  {row.text}  [{row.id}]")
    if not rows and not as_json:
        say("Nothing is open.")
    return 0


def _month(month: object, as_json: bool) -> int:
    from fieldnote.cli.output import data, say
    from fieldnote.records import to_plain

    value = to_plain(month)
    if as_json:
        data(value)
        return 0
    titles = {
        "visits": "Visits made",
        "parts": "Parts used",
        "situations": "Reports said to be made, and what a law may ask to report",
    }
    say(f"Month {value['month']}")
    for name, title in titles.items():
        say(f"\n{title} ({len(value[name])})")
        for text in value[name]:
            say(f"  {text}")
    return 0
