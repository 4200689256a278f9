"""What leaves for a third party hides names and numbers; what is written is whole or absent."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from fieldnote.errors import MachineLacks
from fieldnote.export import data, html, render, whole
from fieldnote.export.masking import HIDDEN, RULE, mask_of
from fieldnote.export.report import build
from fieldnote.records import Extraction, FollowUp
from tests.sample_visit import said, sample_book, sample_view, transcript

SECRETS = (
    "Quillfeather",
    "oh seven seven double oh nine hundred one two three",
    "SW1A 1AA",
    "four four one nine",
    "01632 960123",
)
TALK = (
    "Mrs Quillfeather let me in. Her mobile is oh seven seven double oh nine hundred one two three. "
    "The alarm code is four four one nine. Postcode SW1A 1AA. Ring 01632 960123 before coming. "
    "I'll come back in a fortnight to Quillfeather. Meter reading oh seven one five three point two oh four."
)


def read() -> Extraction:
    return Extraction(followups=(FollowUp("revisit", 14, said("come back in a fortnight to Quillfeather", TALK)),))


@pytest.fixture
def view(tmp_path):
    return sample_view(sample_book(tmp_path / "book", read, transcript(TALK)))


def test_none_of_five_secrets_is_in_what_is_shared(view):
    """A name, two telephone numbers, a postcode and an alarm code: none is in a masked report, table, calendar or JSON."""
    mask = mask_of(view)
    shared = [html.render(build(view, mask=mask), lambda _: None)]
    shared += [
        render(kind, [view], table="lines", mask=lambda _: mask).decode() for kind in ("json", "jsonl", "csv", "ics")
    ]
    for text in shared:
        unfolded = text.replace("\r\n ", "")
        assert [secret for secret in SECRETS if secret.lower() in unfolded.lower()] == []
        assert HIDDEN in unfolded
    assert RULE in shared[0].replace("&#39;", "'")


def test_what_is_not_asked_to_be_masked_is_whole(view):
    """The engineer's own JSON holds every word as it was said."""
    assert "to Quillfeather" in data.text(data.document([view]))


def test_a_name_given_with_the_command_is_masked(view):
    """A name that no rule finds is masked when it is named, whatever its case, as a whole word only."""
    mask = mask_of(view, ["Fortnight"])
    assert mask("in a fortnight, a fortnightly visit") == f"in a {HIDDEN}, a fortnightly visit"


@pytest.mark.parametrize(
    "words",
    [
        "meter reading oh seven one five three point two oh four",
        "working pressure twenty point five millibar",
        "call back in two days",
        "one two three four point five six seven",
        "12345.678 cubic metres",
        "replaced 2 of the 4 burner caps, G4 meter, U6",
        "drop nought point two over two minutes",
    ],
)
def test_figures_of_the_trade_are_not_masked(view, words):
    """Meter readings, pressures and counts stay readable."""
    assert mask_of(view)(words) == words


def test_a_write_that_fails_leaves_what_was_there(tmp_path):
    """An error in the middle leaves the old file and nothing beside it."""
    path = tmp_path / "out.txt"
    whole.write(path, b"old")
    with pytest.raises(RuntimeError), whole.being_written(path) as temporary:
        temporary.write_bytes(b"half")
        raise RuntimeError("stop")
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def test_no_place_to_write_is_said_in_one_line(tmp_path):
    """A folder that is not there is an error of the machine with its reason, and nothing is made."""
    with pytest.raises(MachineLacks) as problem:
        whole.write(tmp_path / "nowhere" / "out.txt", b"x")
    assert problem.value.code == "FN-406"


KILLED = """
import os, sys
from pathlib import Path
from fieldnote.export import whole
at, count = int(sys.argv[2]), 0
def step(frame, event, arg):
    global count
    if event == "line" and frame.f_code.co_filename == whole.__file__:
        count += 1
        if count == at:
            os._exit(9)
    return step
sys.settrace(step)
whole.write(Path(sys.argv[1]), b"new" * 1000)
"""


def test_killed_at_every_line_the_file_is_old_or_new(tmp_path):
    """Stopped dead at each line of the writing in turn, the file is the old one or the new one, whole."""
    path, seen = tmp_path / "out.bin", set()
    for at in range(1, 60):
        path.write_bytes(b"old" * 1000)
        done = subprocess.run([sys.executable, "-c", KILLED, str(path), str(at)], env=dict(os.environ), check=False)
        content = path.read_bytes()
        assert content in (b"old" * 1000, b"new" * 1000)
        seen.add(content)
        if done.returncode == 0:
            break
    assert done.returncode == 0 and len(seen) == 2 and at > 10


def test_names_of_files_never_lead_elsewhere():
    """A visit's reference becomes a plain file name whatever it holds."""
    for ref in ("../../etc/passwd", "a/b", "..", "", ".hidden", "x" * 500, "\x00\n", "C:\\x"):
        name = whole.file_name(ref)
        assert Path(name).name == name and not name.startswith(".") and 0 < len(name) <= 80
