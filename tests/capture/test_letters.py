"""Letters that are not what they look like: a text is read, or it is flagged; nothing is silently nothing."""

import json

import pytest
from click.testing import CliRunner

from fieldnote.capture.letters import flags
from fieldnote.cli import cli

PLAIN = "Hob. The front left electrode is cracked."
HIDDEN = {
    "zero-width space": PLAIN.replace("cracked", "cra\u200bcked"),
    "zero-width joiner": PLAIN.replace("electrode", "elec\u200dtrode"),
    "byte order mark inside": PLAIN.replace("electrode", "elec\ufefftrode"),
    "text turned round": PLAIN.replace("cracked", "\u202edekcarc\u202c"),
    "isolated and turned": PLAIN.replace("cracked", "\u2067dekcarc\u2069"),
    "tag characters": PLAIN.replace("cracked", "cra\U000e0063cked"),
    "Cyrillic a": PLAIN.replace("cracked", "cr\u0430cked"),
    "Greek omicron": PLAIN.replace("Hob", "H\u03bfb"),
    "full width": PLAIN.replace("cracked", "".join(chr(ord(c) + 0xFEE0) for c in "cracked")),
    "mathematical": PLAIN.replace("cracked", "".join(chr(ord(c) - 97 + 0x1D41A) for c in "cracked")),
}
ORDINARY = [
    PLAIN, "\ufeffwasher perished", "5 µA, 2 MΩ, 3 μA, ½ inch, 20 °C, 21 m³", "naïve café, Prüfung, Łódź", "“ok” – it’s fine…",
    "good 👨‍🔧 work 🔥", "elec\u00adtrode", "", "\n\t",
]  # fmt: skip


@pytest.mark.parametrize("name", HIDDEN)
def test_what_is_hidden_is_found_or_flagged(tmp_path, name):
    """A defect behind hidden characters or letters of another alphabet: the findings have it, or the line carries a flag."""
    (tmp_path / "cases.jsonl").write_text(json.dumps({"id": "a", "text": HIDDEN[name]}) + "\n")
    (row,) = CliRunner().invoke(cli, ["extract", str(tmp_path / "cases.jsonl")]).stdout.splitlines()
    found = [one["condition"] for one in json.loads(row)["findings"]]
    assert found == ["cracked"] or json.loads(row)["flags"]


@pytest.mark.parametrize("name", HIDDEN)
def test_a_note_with_hidden_letters_says_so_wherever_it_is_shown(tmp_path, monkeypatch, name):
    """The same as a written note: flagged when it is added, when its visit is shown, and in the report."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "a.txt").write_text(HIDDEN[name], "utf-8")

    def run(*words: str) -> str:
        done = CliRunner().invoke(cli, ["--notebook", "book", *words], catch_exceptions=False)
        assert done.exit_code == 0
        return done.output

    run("visit", "new", "J-1")
    assert "look at it yourself" in run("add", "a.txt")
    run("process")
    assert "a.txt: holds" in run("show", "J-1")
    run("report", "J-1", "--output", "a.html")
    assert "a.txt: holds" in (tmp_path / "a.html").read_text("utf-8")


@pytest.mark.parametrize("text", ORDINARY)
def test_ordinary_writing_is_not_flagged(text):
    """Units, fractions, accents, quotation marks and pictures in a text are nothing odd."""
    assert flags(text) == []
