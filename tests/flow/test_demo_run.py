"""`fieldnote demo` on the real sound with the real weights, in a network namespace that has no way out.

The expectations were agreed from the words of the clips (demo_recordings/expected), so this is a smoke figure: whoever wrote
the words wrote the expectations.
"""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from fieldnote import bootstrap, settings
from fieldnote.records import to_plain
from tests import score

ROOT = Path(__file__).parent.parent.parent
EXPECTED = ROOT / "demo_recordings" / "expected" / "findings.jsonl"
WEIGHTS = (settings.load().models / "base").is_dir()
needs_weights = pytest.mark.skipif(not WEIGHTS, reason="speech weights 'base' are missing: fieldnote models fetch base")
needs_unshare = pytest.mark.skipif(shutil.which("unshare") is None, reason="unshare (util-linux) is missing")


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    """The demo's folder and what it printed, after a run without any network."""
    folder = tmp_path_factory.mktemp("demo")
    command = ["unshare", "--map-root-user", "--net", str(Path(sys.executable).parent / "fieldnote"), "demo", "--keep"]
    done = subprocess.run([*command, str(folder)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return folder, done.stdout


def pooled(key: str) -> list[dict]:
    """What all clips together were expected to give."""
    rows = [json.loads(line) for line in EXPECTED.read_text("utf-8").splitlines()]
    return [item for row in rows for item in row[key]]


def found(folder: Path, kind: str) -> list[dict]:
    """What the demo's notebook holds, as the machine read it."""
    chosen = settings.load(folder / "notebook")
    with bootstrap.notebook(chosen, write=False) as book:
        view = bootstrap.view(chosen, book, book.visits()[0].id)
    return [to_plain(line.proposed) for line in view.lines if line.kind == kind]


def share(gold: list[dict], out: list[dict], same) -> float:
    """How many of the required expectations were found."""
    pairs = score.match(gold, out, same)
    wanted = [n for n, item in enumerate(gold) if not item.get("optional")]
    return sum(n in pairs for n in wanted) / len(wanted)


@pytest.mark.slow
@needs_weights
@needs_unshare
def test_most_of_what_was_said_is_found(demo):
    """At least 85 % of the expected findings and 90 % of the expected readings come out of the real sound."""
    folder, _ = demo

    def same(gold, out):
        return score.same_finding(gold, out, score.FINDING_KEYS)

    assert share(pooled("findings"), found(folder, "finding"), same) >= 0.85
    assert share(pooled("readings"), found(folder, "reading"), score.same_reading) >= 0.90


@pytest.mark.slow
@needs_weights
@needs_unshare
def test_idle_talk_gives_nothing(demo):
    """No line comes from the clip that is only talk over tea."""
    folder, _ = demo
    chosen = settings.load(folder / "notebook")
    with bootstrap.notebook(chosen, write=False) as book:
        view = bootstrap.view(chosen, book, book.visits()[0].id)
    tea = next(item.id for item in view.items if "tea" in item.name)
    assert [line.id for line in view.lines if line.trace.item == tea] == []


@pytest.mark.slow
@needs_weights
@needs_unshare
def test_each_line_leads_to_its_second(demo):
    """Every line of the visit names its clip and second, and the report says so too."""
    folder, printed = demo
    chosen = settings.load(folder / "notebook")
    with bootstrap.notebook(chosen, write=False) as book:
        view = bootstrap.view(chosen, book, book.visits()[0].id)
    assert view.lines
    assert all(line.trace.item and line.trace.from_second is not None for line in view.lines)
    report = next(folder.glob("*.html")).read_text("utf-8")
    assert all(item.name in report for item in view.items if any(line.trace.item == item.id for line in view.lines))
    assert "Still unsaid" in printed


@pytest.mark.slow
@needs_weights
@needs_unshare
def test_nothing_is_called_safe(demo):
    """The word is nowhere in what the demo prints or reports."""
    folder, printed = demo
    report = next(folder.glob("*.html")).read_text("utf-8")
    assert "safe " not in printed.lower().replace("unsafe ", "") and "is safe" not in report.lower()
