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


def pack(capsys, book: str, target) -> None:
    """Write the bundle of the visit."""
    status, _, err = run(capsys, "--notebook", book, "export", "JOB-1", "--to", "bundle", "--output", str(target))
    assert status == 0, err


def problems(capsys, target) -> list[str]:
    """The codes of what is wrong with a bundle."""
    return [one["code"] for one in json.loads(run(capsys, "verify", str(target), "--json")[1])["problems"]]


def test_ones_own_bundles_hold_on_ones_own_machine(book, tmp_path, capsys, monkeypatch):
    """Each bundle verifies where it was made, and a second notebook with the same key goes on with the numbers."""
    monkeypatch.setenv("FIELDNOTE_KEYS", str(tmp_path / "engineer"))
    run(capsys, "keys", "new", "--engineer", "A. Engineer")
    other = str(tmp_path / "other")
    run(capsys, "--notebook", other, "visit", "new", "JOB-1")
    for number, notebook in enumerate((book, other, book), 1):
        pack(capsys, notebook, tmp_path / f"{number}.zip")
        found = json.loads(run(capsys, "verify", str(tmp_path / f"{number}.zip"), "--json")[1])
        assert (found["problems"], found["sequence"]) == ([], number)
    assert run(capsys, "keys", "show")[1].count("A. Engineer") == 1


def test_a_supervisor_remembers_what_was_checked(book, tmp_path, capsys, monkeypatch):
    """Checked in order bundles hold, twice too; one left out is a gap; the first state shown after the second is noticed."""
    monkeypatch.setenv("FIELDNOTE_KEYS", str(tmp_path / "engineer"))
    run(capsys, "keys", "new", "--engineer", "A. Engineer")
    first, second, third = (tmp_path / f"{number}.zip" for number in range(3))
    for target in (first, second, third):
        pack(capsys, book, target)
    monkeypatch.setenv("FIELDNOTE_KEYS", str(tmp_path / "supervisor"))
    run(capsys, "keys", "trust", str(tmp_path / "engineer" / "public-key.json"))
    assert problems(capsys, first) == problems(capsys, first) == []
    assert problems(capsys, third) == ["gap"]
    assert problems(capsys, second) == problems(capsys, third) == []
    assert problems(capsys, first) == ["older-than-seen"]


def test_what_is_there_already_is_not_written_over(book, tmp_path, capsys, monkeypatch):
    """Another file, another bundle, or this very bundle at the path: refused in one line, and it stays as it was."""
    monkeypatch.setenv("FIELDNOTE_KEYS", str(tmp_path / "engineer"))
    run(capsys, "keys", "new", "--engineer", "A. Engineer")
    pack(capsys, book, tmp_path / "a.zip")
    (tmp_path / "b.zip").write_bytes(b"a letter")
    (tmp_path / "folder").mkdir()
    for name in ("a.zip", "b.zip", "folder"):
        command = ("--notebook", book, "export", "JOB-1", "--to", "bundle", "--output", str(tmp_path / name))
        status, out, err = run(capsys, *command)
        assert (status, out, err.count("\n")) == (2, "", 1) and "FN-201" in err
    assert (tmp_path / "b.zip").read_bytes() == b"a letter" and problems(capsys, tmp_path / "a.zip") == []
    gone = tmp_path / "nowhere" / "c.zip"
    status, _, err = run(capsys, "--notebook", book, "export", "JOB-1", "--to", "bundle", "--output", str(gone))
    assert status == 4 and "FN-406" in err and not gone.parent.exists()


@pytest.mark.parametrize("name", ["A\nB", "\x1b[31mA", " ", ""])
def test_a_key_has_a_plain_name(tmp_path, capsys, monkeypatch, name):
    """A name of several lines, with control characters, or none at all makes no key."""
    monkeypatch.setenv("FIELDNOTE_KEYS", str(tmp_path / "engineer"))
    status, _, err = run(capsys, "keys", "new", "--engineer", name)
    assert (status, err.count("\n")) == (2, 1) and not (tmp_path / "engineer").exists()


def test_broken_key_files_are_named(tmp_path, capsys, monkeypatch, book):
    """A private key that is none, and a memory of bundles that is none: one line, status 3."""
    monkeypatch.setenv("FIELDNOTE_KEYS", str(tmp_path / "engineer"))
    run(capsys, "keys", "new", "--engineer", "A. Engineer")
    for name, words in (
        ("known.json", ("keys", "show")),
        ("signing-key.pem", ("--notebook", book, "export", "JOB-1", "--to", "bundle", "--output", "x.zip")),
    ):
        (tmp_path / "engineer" / name).write_text("[" * 100_000)
        status, _, err = run(capsys, *words)
        assert (status, err.count("\n")) == (3, 1) and name in err
        (tmp_path / "engineer" / name).unlink()


def test_no_key_no_bundle(book, tmp_path, capsys, monkeypatch):
    """Without a key nothing is written, and the message names the command that makes one."""
    monkeypatch.setenv("FIELDNOTE_KEYS", str(tmp_path / "engineer"))
    target = tmp_path / "job-1.zip"
    status, _, err = run(capsys, "--notebook", book, "export", "JOB-1", "--to", "bundle", "--output", str(target))
    assert status == 2 and "keys new" in err and not target.exists()


def test_keys_show_and_withdraw(tmp_path, capsys, monkeypatch):
    """The public part can be shown; a withdrawn key is shown with its end; a second key needs the first one's end."""
    monkeypatch.setenv("FIELDNOTE_KEYS", str(tmp_path / "engineer"))
    status, _, err = run(capsys, "keys", "show")
    assert status == 1 and "keys new" in err
    assert run(capsys, "keys", "new", "--engineer", "A. Engineer")[0] == 0
    assert run(capsys, "keys", "new", "--engineer", "A. Engineer")[0] == 2
    assert run(capsys, "keys", "withdraw", "--reason", " ")[0] == 2
    assert run(capsys, "keys", "withdraw", "--reason", "laptop lost")[0] == 0
    assert "withdrawn" in run(capsys, "keys", "show")[1]


def test_nothing_at_the_path(tmp_path, capsys):
    """A bundle that is not there is named in one line, status 3."""
    status, _, err = run(capsys, "verify", str(tmp_path / "none.zip"))
    assert (status, err.count("\n")) == (3, 1)
