"""Files and folders that may not be read or written, as an ordinary user meets them: one line, and the rest is done."""

import json
import os
import shutil

import pytest

from fieldnote.notebook import Notebook
from tests.notebook.conftest import common, incoming  # noqa: F401 (a fixture)
from tests.notebook.test_copies_and_erasure import as_nobody

pytestmark = pytest.mark.skipif(os.geteuid() == 0 and not shutil.which("setpriv"), reason="needs an ordinary user")


@pytest.fixture
def place(common):  # noqa: F811
    """A folder of everybody's with a notebook, a folder and a file that are closed, and a folder that can only be read."""
    (common / "good.txt").write_text("cap cracked")
    (common / "secret.txt").write_text("nobody's business")
    with Notebook.open(common / "book", create=True) as book:
        visit = book.open_visit("J-1")
        book.file(incoming(common / "a.txt", b"washer perished"), visit.id)
    for path in [common / "book", *(common / "book").rglob("*")]:
        path.chmod(0o777)
    (common / "closed").mkdir()
    (common / "shown").mkdir(mode=0o755)
    for name in ("secret.txt", "closed"):
        (common / name).chmod(0)
    yield common
    for path in [common / "closed", *(common / "book").rglob("*"), common / "book"]:
        if path.exists():
            path.chmod(0o777)


def test_a_closed_file_keeps_no_other_out(place):
    """A file that may not be read is named in one line, status 3, and the others are taken in."""
    paths = [place / "secret.txt", place / "good.txt", place / "closed" / "b.txt"]
    ended = as_nobody("--notebook", place / "book", "add", "--json", *paths)
    assert [json.loads(line)["status"] for line in ended.stdout.splitlines()] == ["refused", "added", "refused"]
    assert ended.returncode == 3 and ended.stderr.count("\n") == 2 and ended.stderr.count("Permission denied") == 2


def there(place) -> list[str]:
    """What is in a folder, apart from the files that SQLite makes to read."""
    return sorted(str(path) for path in place.rglob("*") if not path.name.endswith(("-wal", "-shm")))


REFUSED = [
    (["--notebook", "closed/x", "visit", "new", "J"], 5, "FN-502"),
    (["--notebook", "closed/x", "list"], 5, "FN-507"),
    (["--notebook", "closed", "list"], 5, "FN-507"),
    (["--notebook", "shown/x", "visit", "new", "J"], 5, "FN-502"),
    (["--notebook", "book", "backup", "closed/copy"], 5, "FN-502"),
    (["--notebook", "book", "backup", "shown/copy"], 5, "FN-502"),
    (["--notebook", "new", "restore", "closed"], 5, "FN-507"),
    (["--notebook", "closed/x", "restore", "book"], 5, "FN-502"),
    (["verify", "closed/x"], 4, "FN-408"),
    (["verify", "secret.txt"], 5, "FN-503"),
    (["keys", "trust", "secret.txt"], 3, "FN-301"),
    (["--notebook", "book", "export", "J-1", "--to", "json", "--output", "shown/a.json"], 4, "FN-406"),
    (["--notebook", "book", "report", "J-1", "--output", "closed/a.html"], 4, "FN-406"),
]


@pytest.mark.parametrize(("words", "status", "code"), REFUSED, ids=[" ".join(words) for words, _, _ in REFUSED])
def test_a_closed_place_is_named_in_one_line(place, words, status, code):
    """Whatever is asked for in a place that is closed: one line with its code and the place, and nothing appears there."""
    before = there(place)
    named = [str(place / word) if "/" in word or (place / word).exists() else word for word in words]
    ended = as_nobody(*named)
    assert (ended.returncode, ended.stderr.count("\n"), ended.stdout) == (status, 1, ""), ended
    assert code in ended.stderr and "Traceback" not in ended.stderr
    assert there(place) == before


@pytest.mark.parametrize("name", ["media", "drafts", "notebook.db", "."])
def test_a_closed_part_of_a_notebook_is_told(place, name):
    """With a part of it closed a notebook is refused in one line or read rightly; reopened it is sound."""
    part, reads = place / "book" / name, {"media": ["list"], "drafts": ["list", "verify", "backup"]}.get(name, [])
    part.chmod(0)
    for words in (
        ["list"],
        ["add", place / "good.txt"],
        ["verify"],
        ["backup", place / "copy"],
        ["erase", "x", "--reason", "y"],
    ):
        ended = as_nobody("--notebook", place / "book", *words)
        assert ended.returncode in (0, 1, 2, 5) and ended.stderr.count("\n") <= 1, (words, ended)
        assert ended.returncode != 0 or words[0] in reads, (words, ended)
    part.chmod(0o777)
    assert as_nobody("--notebook", place / "book", "verify").stderr == ""
    assert list((place / "book" / "drafts").iterdir()) == []
