"""`fieldnote visit`: open, list and close visits; move what came to the wrong one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from fieldnote.records import Visit


@click.group(help="Open, list, close a visit; move what came to the wrong one.")
def command() -> None:
    pass


@command.command(help="Open a visit. What is taken in from now on belongs to it.")
@click.argument("ref")
@click.option("--work", metavar="KIND", help="Kind of work, such as hob-service or safety-check.")
@click.option(
    "--appliance", "appliances", multiple=True, metavar="A", help="An appliance that is expected; may be repeated."
)
@click.option("--gas", metavar="G", help="natural, propane, butane, ...")
@click.option("--meter", metavar="M", help="U6, G4, E6, ...")
@click.option("--region", metavar="R", help="Whose limits hold.")
@click.option("--edition", metavar="E", help="The edition of the standard to go by.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
@click.pass_context
def new(ctx: click.Context, /, ref: str, as_json: bool, **known: Any) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.cli import output
    from fieldnote.records import to_plain

    with bootstrap.notebook(settings.load(ctx.obj), create=True) as book:
        before = [one for one in book.visits() if one.ref == ref]
        visit = book.open_visit(ref, **known)
    output.data(to_plain(visit)) if as_json else output.say(f"opened  {visit.id}  {visit.ref}")
    for remark in _remarks(visit, before):
        output.note(output.one_line(remark))
    return 0


def _remarks(visit: Visit, before: Sequence[Visit]) -> Iterator[str]:
    """What may have been meant otherwise: said now, since later it only shows as something missing."""
    from fieldnote.trade.checks.lists import checklist_of
    from fieldnote.trade.knowledge import checklists
    from fieldnote.trade.vocabulary import vocabulary

    if before:
        yield f"there is a visit {visit.ref} already ({before[-1].id}): the name means the new one from now on"
    if visit.work and checklist_of(visit.work) is None:
        known = ", ".join(row.id for row in checklists())
        yield f"no checklist is held for {visit.work}: nothing will be shown as unsaid (known: {known})"
    for name in visit.appliances:
        if name not in vocabulary().appliances:
            yield f"{name} is no appliance of the vocabulary (known: {', '.join(vocabulary().appliances)})"


@command.command("list", help="All visits, oldest first.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line.")
@click.pass_context
def list_(ctx: click.Context, as_json: bool) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.cli import output
    from fieldnote.records import to_plain

    with bootstrap.notebook(settings.load(ctx.obj), write=False) as book:
        for visit in book.visits():
            state = "no access" if visit.no_access else "closed" if visit.closed_at else "open"
            line = f"{visit.id}  {visit.opened_at:%Y-%m-%d %H:%M}  {state:9}  {visit.ref}"
            output.data(to_plain(visit)) if as_json else output.say(line)
    return 0


@command.command(help="Close a visit: the one named, else the last one opened.")
@click.argument("ref", required=False)
@click.option("--no-access", is_flag=True, help="Nobody in, or not let in: that too is a visit.")
@click.pass_context
def close(ctx: click.Context, ref: str | None, no_access: bool) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.cli import output
    from fieldnote.errors import UsageProblem

    with bootstrap.notebook(settings.load(ctx.obj)) as book:
        visit = book.visit(ref) if ref else book.current_visit()
        if visit is None:
            raise UsageProblem("FN-204")
        book.close_visit(visit.id, no_access=no_access)
    output.say(f"closed  {visit.id}  {visit.ref}")
    return 0


@command.command(help="Move a recording, photo or note to another visit. That it was moved stays visible.")
@click.argument("item")
@click.argument("ref")
@click.pass_context
def move(ctx: click.Context, item: str, ref: str) -> int:
    from fieldnote import bootstrap, settings
    from fieldnote.cli import output

    with bootstrap.notebook(settings.load(ctx.obj)) as book:
        visit = book.visit(ref)
        book.move(item, visit.id)
    output.say(f"moved  {item}  to {visit.ref}")
    return 0
