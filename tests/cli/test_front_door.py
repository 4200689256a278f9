"""The front door: every command is there, help is light, errors are one line with the right status."""

import os
import pty
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


def test_a_defect_tells_its_place_and_no_words(capsys):
    """What a defect says of itself may be what somebody dictated: only its kind and where it showed are printed."""
    with pytest.raises(SystemExit) as end:
        try:
            {"a": 1}["Mrs Primrose, the alarm code is 4711"]
        except KeyError as problem:
            _run(problem)
    shown = capsys.readouterr().err
    assert end.value.code == 70 and shown.startswith("fieldnote: FN-700: a defect in fieldnote: KeyError")
    assert "Primrose" not in shown and "4711" not in shown


@pytest.mark.parametrize(
    ("environment", "drawn"), [({}, True), ({"NO_COLOR": "1"}, False), ({"TERM": "dumb"}, False), (None, False)]
)
def test_progress_is_drawn_on_a_terminal_only_and_not_with_no_color(environment, drawn):
    """On a terminal a counter is drawn and wiped; with NO_COLOR, on a dumb terminal and in a pipe no control byte comes out."""
    script = (
        "from fieldnote.cli.transcribe import _Progress; p = _Progress('a.wav'); p.show(1, 2); p.end(); "
        "from fieldnote.cli.process import _progress; from types import SimpleNamespace as S; _progress(S(name='b.wav'))(1, 2)"
    )
    known = {name: value for name, value in os.environ.items() if name != "NO_COLOR"} | {"TERM": "xterm"}
    master, slave = pty.openpty()
    errors = subprocess.PIPE if environment is None else slave
    going = subprocess.Popen([sys.executable, "-c", script], env=known | (environment or {}), stderr=errors)
    piped = going.communicate()[1]
    os.close(slave)
    shown = piped if environment is None else _read(master)
    os.close(master)
    assert going.returncode == 0
    assert (b"a.wav" in shown, b"b.wav" in shown, b"\r" in shown) == (drawn,) * 3 and (b"\x1b" in shown) is drawn


def _read(master: int) -> bytes:
    try:
        return os.read(master, 65536)
    except OSError:  # Linux says so when nobody wrote and the other side is closed
        return b""
