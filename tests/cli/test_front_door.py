"""The front door: every command is there, help is light, errors are one line with the right status."""

import subprocess
import sys

import pytest

from fieldnote import cli
from fieldnote.errors import CATALOGUE, FieldnoteError, InputProblem

HEAVY = "spacy faster_whisper ctranslate2 pydantic rich PIL sqlite_utils cryptography flask jinja2 numpy typst".split()
PROBE = """
import sys
from fieldnote import cli
try:
    cli.main({arguments!r})
except SystemExit as end:
    status = end.code
print("HEAVY", status, sorted(set({heavy!r}) & set(sys.modules)), file=sys.stderr)
"""


def probe(*arguments: str) -> subprocess.CompletedProcess[str]:
    """Run a command in a process of its own and tell which heavy modules it loaded."""
    code = PROBE.format(arguments=list(arguments), heavy=HEAVY)
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)


@pytest.mark.parametrize("name", [None, *cli.COMMANDS])
def test_help_loads_nothing_heavy(name):
    """`--help` of the program and of each command answers without any of the heavy libraries."""
    done = probe(*([name] if name else []), "--help")
    allowed = ["pydantic"] if name == "calc" else []  # its help lists the calculations, read from checked data
    assert f"HEAVY 0 {allowed}" in done.stderr
    assert "Usage: fieldnote" in done.stdout


@pytest.mark.parametrize("name", cli.COMMANDS)
def test_the_list_of_commands_tells_the_truth(name):
    """Each name of the table is a command, and one that stands there alone says what it does."""
    command = cli.cli.get_command(None, name)
    assert command is not None
    assert (command.help or "").strip()


def test_an_unknown_command_is_a_usage_error():
    """Exit 2 and one line."""
    done = probe("polish")
    assert "HEAVY 2" in done.stderr
    assert done.stderr.count("\n") == 2


def test_every_error_is_one_line_with_its_code(capsys):
    """Control characters and newlines in what a message names never break its line."""
    with pytest.raises(SystemExit) as end:
        _run(InputProblem("FN-301", path="a\nb\x1b[31m", reason="torn"))
    assert end.value.code == 3
    shown = capsys.readouterr().err
    assert shown.count("\n") == 1 and "\x1b" not in shown and shown.startswith("fieldnote: FN-301: ")


def test_a_defect_is_status_70_without_a_traceback(capsys):
    """What nobody foresaw is one line too."""
    with pytest.raises(SystemExit) as end:
        _run(RuntimeError("boom"))
    assert end.value.code == 70
    assert "Traceback" not in capsys.readouterr().err


def test_what_the_machine_refuses_is_no_defect(capsys):
    """A file or disk that refuses where nobody expected it is one line that names it, status 4."""
    with pytest.raises(SystemExit) as end:
        _run(PermissionError(13, "Permission denied", "/somewhere/a"))
    assert end.value.code == 4
    assert capsys.readouterr().err == "fieldnote: FN-408: /somewhere/a: Permission denied\n"


def _run(problem: BaseException) -> None:
    sys.exit(cli._status_of(problem))


def test_every_code_belongs_to_a_class_by_its_hundred():
    """FN-2xx to FN-5xx have an exception class each, whose status is the hundred's digit."""
    statuses = {kind.exit_status for kind in FieldnoteError.__subclasses__()}
    assert {int(code[3]) for code in CATALOGUE} <= statuses
