"""README and DEVELOPERS stay true: every command, room and error is there, and no paths or tools of one machine are."""

import re
from pathlib import Path

import pytest

from fieldnote import cli
from fieldnote.errors import CATALOGUE

ROOT = Path(__file__).parent.parent.parent
README = (ROOT / "README.md").read_text("utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")
ROOMS = sorted(p.name for p in (ROOT / "fieldnote").iterdir() if p.is_dir() and p.name != "__pycache__")


@pytest.mark.parametrize("name", cli.COMMANDS)
def test_every_command_is_in_the_readme(name):
    """Each command is named there as one would type it."""
    assert f"`{name}" in README or f"fieldnote {name}" in README


@pytest.mark.parametrize("room", ROOMS)
def test_every_room_is_on_the_map(room):
    """Each folder of the package has a row in the table of rooms."""
    assert re.search(rf"^\| `{room}` \|", DEVELOPERS, re.M)


@pytest.mark.parametrize("hundred", sorted({code[:4] for code in CATALOGUE}))
def test_every_family_of_errors_is_explained(hundred):
    """FN-2xx, FN-3xx, ... have a row each."""
    assert f"| {hundred}xx |" in DEVELOPERS


def test_the_readme_opens_with_two_commands():
    """Two shell blocks, and the first ends with the demo, the second with the tests."""
    blocks = re.findall(r"^```sh\n(.*?)^```", README, re.M | re.S)
    assert blocks[0].rstrip().endswith("fieldnote demo") and blocks[1].rstrip().endswith("pytest")


def test_nothing_of_one_machine_is_in_the_pages():
    """No absolute path of a home or work folder."""
    assert not re.search(r"/(home|root|work|tmp)/[a-z]", README + DEVELOPERS)


def test_the_top_level_holds_what_it_should():
    """README.md, DEVELOPERS.md, pyproject.toml, fieldnote, models, tests, demo_recordings; besides LICENSE, .ci, dot files."""
    allowed = {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "fieldnote",
        "models",
        "tests",
        "demo_recordings",
        "LICENSE",
    }
    made = {"pytest.log", "home"}  # what the check script itself leaves in its copy
    assert {p.name for p in ROOT.iterdir() if not p.name.startswith(".")} - made <= allowed


def test_every_test_that_the_pages_name_is_there():
    """What a row of DEVELOPERS.md is shown by exists: each file, and each test in it by its name."""
    tests, file = ROOT / "tests", None
    named = re.findall(r"`(?:tests/)?((?:[a-z_]+/)*test_[a-z_]+\.py)?(?:::(test_\w+))?`", DEVELOPERS)
    assert len(named) > 40
    for path, test in named:
        file = tests / path if path else file
        if (path or test) and file is not None:
            assert file.is_file(), path
            assert not test or f"def {test}(" in file.read_text("utf-8"), (file.name, test)
