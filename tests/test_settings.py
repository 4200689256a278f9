"""Settings: where each value comes from, and what is refused in one line."""

from datetime import date

import pytest

from fieldnote import bootstrap, settings
from fieldnote.cli import main
from fieldnote.errors import InputProblem
from fieldnote.records import Evidence, Extraction, Visit
from tests import fakes


@pytest.fixture
def config(own_home):
    """Writes the configuration file of this test's own home."""
    own_home.mkdir()

    def write(text: str) -> None:
        (own_home / "config.toml").write_text(text, "utf-8")

    return write


def test_option_before_environment_before_file(config, tmp_path, monkeypatch):
    """The option wins over the environment, which wins over the file, which wins over the default."""
    config('notebook = "/from/file"\nthreads = 3\nregion = "gb"\n')
    assert (settings.load().notebook.name, settings.load().threads) == ("file", 3)
    monkeypatch.setenv("FIELDNOTE_NOTEBOOK", "/from/environment")
    monkeypatch.setenv("FIELDNOTE_THREADS", "4")
    found = settings.load()
    assert (found.notebook.name, found.threads, found.region, found.model) == ("environment", 4, "gb", "base")
    assert settings.load(tmp_path / "option").notebook == tmp_path / "option"


@pytest.mark.parametrize("value", ["two", "0", "-1", "1.5", "", "1e9", "²", "9" * 5000])
def test_a_senseless_number_of_threads_is_refused(monkeypatch, capsys, value):
    """Text, nothing, zero, a negative number and a fraction are refused by name in one line, status 3."""
    monkeypatch.setenv("FIELDNOTE_THREADS", value or " ")
    with pytest.raises(SystemExit) as ended:
        main(["list"])
    shown = capsys.readouterr().err
    assert ended.value.code == 3 and shown.count("\n") == 1
    assert "FN-304" in shown and "threads" in shown and "the environment" in shown


@pytest.mark.parametrize(
    "line",
    ["threads = 0", "threads = true", 'threads = "many"', "region = 5", "polish = 1", "region = ", "models = []"],
)
def test_a_bad_line_of_the_file_is_refused(config, line):
    """A value of another kind, an unknown key and broken TOML name the file."""
    config(line)
    with pytest.raises(InputProblem, match=r"FN-304.*config\.toml"):
        settings.load()


def test_the_home_of_nobody_is_refused():
    """A path in the home of a user who is not there is refused, not made up."""
    with pytest.raises(InputProblem, match=r"FN-304.*models"):
        settings.load(environment={"FIELDNOTE_HOME": "/nonexistent", "FIELDNOTE_MODELS": "~nobody-of-that-name/x"})


@pytest.mark.parametrize("number", ["0123 456 789", ""])
def test_the_confirmed_emergency_number_reaches_the_check(tmp_path, number):
    """A smell of gas shows the number that the user confirmed; without one none is made up."""
    chosen = settings.load(tmp_path / "book", {"FIELDNOTE_HOME": str(tmp_path), "FIELDNOTE_EMERGENCY_NUMBER": number})
    visit = Visit("v", "J-1", fakes.START)
    said = Extraction(smell_of_gas=Evidence("smell of gas", 0, 12))
    check = bootstrap.checker(chosen)(said, visit, date(2026, 11, 18))
    steps = " ".join(point.text + " ".join(point.steps) for point in check.points if point.kind == "emergency")
    assert steps and (("0123 456 789" in steps) == bool(number))
