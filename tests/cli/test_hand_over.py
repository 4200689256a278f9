"""An engineer's key, a bundle handed over, a supervisor who checks it: by the commands themselves."""

import json

import pytest

from fieldnote.cli import main
from tests import fakes


def run(capsys, *arguments: str) -> tuple[int, str, str]:
    """Run a command; exit status, standard output, standard error."""
    with pytest.raises(SystemExit) as end:
        main(arguments)
    out = capsys.readouterr()
    return end.value.code, out.out, out.err


@pytest.fixture
def book(tmp_path):
    """A notebook with one visit and one note."""
    with fakes.notebook(tmp_path) as book:
        visit = book.open_visit("JOB-1", work="hob-service")
        book.file(fakes.incoming(tmp_path, "n.txt", b"front left electrode cracked", "note"), visit.id)
    return str(tmp_path / "notebook")


def test_a_bundle_from_one_desk_to_another(book, tmp_path, capsys, monkeypatch):
    """Key made and handed over, bundle written, checked at the other desk, spoilt, noticed."""
    monkeypatch.setenv("FIELDNOTE_KEYS", str(tmp_path / "engineer"))
    assert run(capsys, "keys", "new", "--engineer", "A. Engineer")[0] == 0
    target = tmp_path / "job-1.zip"
    exported = run(capsys, "--notebook", book, "export", "JOB-1", "--to", "bundle", "--output", str(target))
    assert exported[0] == 0, exported
    monkeypatch.setenv("FIELDNOTE_KEYS", str(tmp_path / "supervisor"))
    status, out, _ = run(capsys, "verify", str(target))
    assert status == 1 and "key-unknown" in out
    assert run(capsys, "keys", "trust", str(tmp_path / "engineer" / "public-key.json"))[0] == 0
    status, out, _ = run(capsys, "verify", str(target), "--json")
    assert status == 0 and json.loads(out)["problems"] == []
    target.write_bytes(target.read_bytes().replace(b"electrode", b"electrodo"))
    assert run(capsys, "verify", str(target))[0] == 1


def test_no_key_no_bundle(book, tmp_path, capsys, monkeypatch):
    """Without a key nothing is written, and the message names the command that makes one."""
    monkeypatch.setenv("FIELDNOTE_KEYS", str(tmp_path / "engineer"))
    target = tmp_path / "job-1.zip"
    status, _, err = run(capsys, "--notebook", book, "export", "JOB-1", "--to", "bundle", "--output", str(target))
    assert status == 2 and "keys new" in err and not target.exists()


def test_keys_show_and_withdraw(tmp_path, capsys, monkeypatch):
    """The public part can be shown; a withdrawn key is shown with its end; a second key needs the first one's end."""
    monkeypatch.setenv("FIELDNOTE_KEYS", str(tmp_path / "engineer"))
    assert run(capsys, "keys", "show")[0] == 1
    assert run(capsys, "keys", "new", "--engineer", "A. Engineer")[0] == 0
    assert run(capsys, "keys", "new", "--engineer", "A. Engineer")[0] == 2
    assert run(capsys, "keys", "withdraw", "--reason", "laptop lost")[0] == 0
    assert "withdrawn" in run(capsys, "keys", "show")[1]


def test_nothing_at_the_path(tmp_path, capsys):
    """A bundle that is not there is named in one line, status 3."""
    status, _, err = run(capsys, "verify", str(tmp_path / "none.zip"))
    assert (status, err.count("\n")) == (3, 1)
