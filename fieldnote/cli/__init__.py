"""The front door: one small file a command; parse, call, print. The one place that turns an error into text and a status.

Commands are imported only when they are called, and each imports what is heavy inside its body, so that `--help` stays as
quick as click itself.
"""

import importlib
import sys
from collections.abc import Sequence
from pathlib import Path

import click

from fieldnote import __version__
from fieldnote.errors import DEFECT, FieldnoteError, MachineLacks

# name -> (module under fieldnote.cli, one line of help). The order is the order of a working day.
COMMANDS: dict[str, tuple[str, str]] = {
    "demo": ("demo", "The whole job on the demo recordings."),
    "visit": ("visit", "Open, list, close a visit; move what came to the wrong one."),
    "add": ("add", "Take in recordings, photos and written notes."),
    "watch": ("watch", "Take in whatever lands in a folder."),
    "process": ("process", "Transcribe, extract and check everything that waits."),
    "listen": ("listen", "Hands-free: microphone in, findings out."),
    "transcribe": ("transcribe", "Sound to words only."),
    "extract": ("extract", "Words to findings only."),
    "show": ("show", "Show one visit."),
    "list": ("listing", "List everything that is kept."),
    "search": ("search", "Find words in what was said and found."),
    "review": ("review", "A person decides, in the terminal or on a local page."),
    "calc": ("calc", "One calculation, by hand."),
    "due": ("due", "Open follow-ups, parts, retention, inspections."),
    "report": ("report", "One visit for a reader."),
    "export": ("export", "Tables, calendar and the signed bundle."),
    "verify": ("verify", "Re-derive every hash, link and signature."),
    "audit": ("audit", "Many notebooks or bundles side by side, read only."),
    "backup": ("backup", "Copy a whole notebook, verified."),
    "restore": ("restore", "Bring a backup back, verified."),
    "erase": ("erase", "Remove content for good; a tombstone stays."),
    "keys": ("keys", "The signing key of this engineer."),
    "models": ("models", "Which weights are here, and how to get more."),
}


class _Lazy(click.Group):
    """A group that imports a command's module when the command is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"fieldnote.cli.{COMMANDS[cmd_name][0]}")
        command: click.Command = module.command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in COMMANDS.items()])


@click.group(cls=_Lazy, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.option(
    "--notebook", type=click.Path(path_type=Path, readable=False), metavar="DIR", help="The notebook's folder."
)
@click.option("--debug", is_flag=True, help="Show a traceback when something fails.")
@click.version_option(__version__, message="%(prog)s %(version)s")
@click.pass_context
def cli(ctx: click.Context, notebook: Path | None, debug: bool) -> None:
    """A voice-and-photo field notebook for gas-service work. All of it runs on this machine.

    It never calls an appliance safe and never sets a danger class: the engineer decides. Gas work belongs to people who
    are licensed for it; local codes and the maker's instructions come first. Smell of gas: no flames, no switches, open
    up, shut the emergency valve, get everyone out, call from outside.
    """
    ctx.obj = notebook
    ctx.meta["debug"] = debug


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command line and exit: the one handler of every error."""
    from fieldnote.cli import output

    debug = "--debug" in (sys.argv[1:] if arguments is None else arguments)
    output.prepare()
    try:
        status = cli.main(
            args=None if arguments is None else list(arguments), standalone_mode=False, prog_name="fieldnote"
        )
    except BaseException as problem:
        if debug and not isinstance(problem, (click.exceptions.Exit, SystemExit)):
            raise
        status = _status_of(problem)
    sys.exit(output.close(status if isinstance(status, int) else 0))


def _status_of(problem: BaseException) -> int:
    from fieldnote.cli import output

    if isinstance(problem, FieldnoteError):
        output.complain(problem.line())
        return problem.exit_status
    if isinstance(problem, click.exceptions.Exit):
        return problem.exit_code
    if isinstance(problem, click.ClickException):
        output.complain(problem.format_message())
        return problem.exit_code
    if isinstance(problem, SystemExit):
        return problem.code if isinstance(problem.code, int) else DEFECT
    if isinstance(problem, (KeyboardInterrupt, click.Abort)):
        output.complain("stopped; what was acknowledged is kept")
        return 130
    if isinstance(problem, BrokenPipeError):
        return 141
    if isinstance(problem, OSError) and problem.strerror:
        lacks = MachineLacks("FN-408", path=problem.filename or "a file", reason=problem.strerror)
        output.complain(lacks.line())
        return lacks.exit_status
    output.complain(f"FN-700: a defect in fieldnote: {type(problem).__name__}{_place_of(problem)} (--debug shows all)")
    return DEFECT


def _place_of(problem: BaseException) -> str:
    """Where a defect showed. Its own words are left out: they may be words that somebody dictated."""
    import traceback

    frames = [one for one in traceback.extract_tb(problem.__traceback__) if "fieldnote" in Path(one.filename).parts]
    return f" in {Path(frames[-1].filename).name}, line {frames[-1].lineno}" if frames else ""
