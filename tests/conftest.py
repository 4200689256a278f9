"""What every test shares: a home of its own, the real weights if they are here, no network but loopback."""

import os
from pathlib import Path

import pytest

from fieldnote import settings

REAL_MODELS = settings.load().models
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # two tests run at once: more threads than processors only wait


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Each test has its own data folder; weights are shared and only read, but that a taught
    reader of another version is made anew."""
    for name in [name for name in os.environ if name.startswith("FIELDNOTE_")]:
        monkeypatch.delenv(name)
    home = tmp_path / "home"
    monkeypatch.setenv("FIELDNOTE_HOME", str(home))
    monkeypatch.setenv("FIELDNOTE_MODELS", str(REAL_MODELS))
    return home


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """At the end of a full run, how many faults and broken inputs of each kind were met."""
    from tests.faults.harness import FULL, TALLY

    if FULL and TALLY:
        terminalreporter.section("met")
        for what, count in sorted(TALLY.items()):
            terminalreporter.write_line(f"{count:6}  {what}")
