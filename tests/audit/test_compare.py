"""Two runs of the machine side by side: exactly what was changed between them, and which of them people's decisions favour."""

import json
import random
import shutil
import sqlite3
from pathlib import Path

import pytest

from fieldnote.audit.compare import compared, paired
from fieldnote.bundle import Keyring
from fieldnote.errors import InputProblem
from fieldnote.notebook import Notebook
from fieldnote.records import to_plain
from tests.audit.conftest import NOW
from tests.audit.fleet import Plan, fleet
from tests.audit.test_truth import column
from tests.sample_visit import extraction

PLAN = Plan("A. One", visits=6, findings=10, decided=4, changed=0, at_risk=1)


def run_again(folder: Path, change) -> None:
    """Let a notebook be read again by another program, each visit's extraction changed by `change`."""
    with Notebook.open(folder) as book:
        for visit in book.visits():
            payload = next(book.entries(kind="extraction", visit=visit.id)).payload
            said = json.loads(json.dumps(payload["extraction"]))
            change(visit.ref, said)
            book.append("extraction", payload | {"program": "2", "extraction": said}, visit=visit.id)


@pytest.fixture
def planted(tmp_path):
    """A notebook that was read twice: conditions changed, lines gone and new, by known counts."""
    fleet(tmp_path / "fleet", [PLAN])
    book = next((tmp_path / "fleet").glob("*")) / "notebook"
    chance = random.Random(4)
    truth = {"changed": 0, "gone": 0, "new": 0}

    def change(ref: str, said) -> None:
        for one in chance.sample(said["findings"], 3):
            one["condition"] = "melted"
            truth["changed"] += 1
        del said["findings"][chance.randrange(10)]
        truth["gone"] += 1
        extra = json.loads(json.dumps(said["findings"][0]))
        extra.update(component="glass", evidence={"text": "the glass is chipped", "start": 5_000, "end": 5_020})
        said["findings"].append(extra)
        truth["new"] += 1

    run_again(book, change)
    return book, truth


def test_nothing_changed(tmp_path):
    """A run beside itself: every line is the same."""
    (truth,) = fleet(tmp_path / "fleet", [PLAN])
    found = compared([tmp_path / "fleet"], [tmp_path / "fleet"], Keyring(), NOW)
    assert (found.counts["lines the same"], found.counts["lines changed"], found.counts["visits in both"]) == (
        truth.lines,
        0,
        6,
    )
    assert found.table("kept").rows[0][1:4] == (truth.lines, truth.lines, 1.0)


def test_first_beside_last(planted):
    """Inside one notebook the first reading is held beside the last: lines gone and new are as many as were planted, and of the
    changed ones each is either whole in the table or was the one that was taken away."""
    book, truth = planted
    found = compared([book], [], Keyring(), NOW)
    assert found.counts["lines new"] == truth["new"] and found.counts["lines gone"] == truth["gone"]
    changed = found.table("changed")
    assert set(column(changed, "field")) == {"condition"} and set(column(changed, "after")) == {"melted"}
    assert truth["changed"] - truth["gone"] <= changed.total <= truth["changed"]
    assert [row[:3] for row in found.table("programs").rows] == [("old", "1 1", 6), ("new", "2 1", 6)]


def test_two_notebooks_are_matched_by_their_recordings(tmp_path):
    """The same recordings in another notebook are the same visit."""
    fleet(tmp_path / "one", [PLAN])
    book = next((tmp_path / "one").glob("*")) / "notebook"
    shutil.copytree(tmp_path / "one", tmp_path / "two")
    run_again(next((tmp_path / "two").glob("*")) / "notebook", lambda _, said: said["findings"].pop())
    found = compared([book], [tmp_path / "two"], Keyring(), NOW)
    assert (found.counts["visits in both"], found.counts["lines gone"], found.counts["lines new"]) == (6, 6, 0)


def test_people_judge_between_runs(tmp_path):
    """Where people accepted what the old run said, a new run that says otherwise is in error, line by line; the chance of so
    uneven a split is that of McNemar's exact test."""
    fleet(tmp_path / "fleet", [Plan("A. One", visits=4, findings=5, decided=4, changed=0, at_risk=0, overdue=0)])
    book = next((tmp_path / "fleet").glob("*")) / "notebook"

    def change(ref: str, said) -> None:
        said["findings"][0]["condition"] = "melted"

    run_again(book, change)
    old, new = compared([book], [], Keyring(), NOW).table("judged").rows
    assert old[:3] == ("old", 16, 16)  # the last line of each visit was struck out
    assert new[:3] == ("new", 12, 16)
    assert (old[6], new[6]) == (4, 8)
    assert old[7] == pytest.approx(2 * 0.5**4)


@pytest.mark.parametrize("seed", range(10))
def test_pairing_loses_and_invents_nothing(seed):
    """Whatever was shuffled, dropped or changed, each line of either run is in exactly one pair."""
    chance = random.Random(seed)
    old = to_plain(extraction().findings)
    new = [one | {"condition": chance.choice(["worn", one["condition"]])} for one in chance.sample(old, 4)] + old[:1]
    pairs = paired(old, new, "finding")
    assert [pair.old for pair in pairs if pair.old] == old
    assert sorted(map(str, (pair.new for pair in pairs if pair.new))) == sorted(map(str, new))


def test_a_bad_one_is_named_and_left_out(planted, tmp_path):
    """A damaged notebook is named first; a path with nothing there is refused."""
    book, _ = planted
    with sqlite3.connect(book / "notebook.db") as db:
        db.execute("drop trigger record_stays")
        db.execute("delete from record where seq = 5")
    found = compared([book], [], Keyring(), NOW)
    assert found.tables[0].name == "bad" and found.attention and not found.counts.get("visits in both")
    with pytest.raises(InputProblem):
        compared([tmp_path / "nothing"], [], Keyring(), NOW)
