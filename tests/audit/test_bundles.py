"""Signed bundles from many engineers: the same picture as their notebooks, gaps and forgeries named, nothing counted twice."""

import json
import shutil
import zipfile
from dataclasses import replace
from datetime import timedelta

import pytest

from fieldnote.bundle import Contents, KeyPair, Keyring, open_bundle, write_bundle
from tests.audit.conftest import NOW
from tests.audit.fleet import START, Plan, bundles, fleet
from tests.audit.test_truth import column

PLANS = (
    Plan("A. One", visits=5, findings=6, decided=3, at_risk=1, unsaid=2),
    Plan("B. Two", visits=4, findings=5, decided=4, at_risk=0, immediately=1, seed=2),
    Plan("C. Three", visits=3, findings=4, decided=1, at_risk=0, overdue=2, seed=3),
)
SAME = (
    "dangers outside contradictions unsaid unsaid-visits overdue parts unreviewed by-field by-engineer by-condition "
    "by-confidence agreement agreement-by-engineer faults review-time"
).split()


class Office:
    """A supervisor with the bundles of three engineers whose keys were handed over."""

    def __init__(self, folder) -> None:
        self.books = folder / "books"
        self.truths = fleet(self.books, PLANS)
        self.keys = [KeyPair.new(folder / "keys" / plan.engineer, plan.engineer, START) for plan in PLANS]
        self.folder = folder / "bundles"
        self.places = [
            bundles(next(self.books.glob(f"{n:04}-*")) / "notebook", self.folder / str(n), key)
            for n, key in enumerate(self.keys)
        ]
        self.keyring = Keyring()
        for key in self.keys:
            self.keyring = self.keyring.trusting(key.public)

    @property
    def visits(self) -> int:
        """How many visits were made."""
        return sum(len(truth.visits) for truth in self.truths)


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """Made once; tests spoil a copy."""
    return Office(tmp_path_factory.mktemp("office"))


@pytest.fixture
def office(made, tmp_path, look):
    """A copy of the bundles, and a way to audit it."""
    shutil.copytree(made.folder, tmp_path / "bundles")

    def audited(*more, keyring=None):
        return look(tmp_path / "bundles", *more, keyring=keyring or made.keyring).picture()

    made.audited, made.here = audited, tmp_path / "bundles"
    return made


def test_bundles_give_the_picture_of_their_notebooks(office, look):
    """Every table made from bundles is the table made from the notebooks they came out of."""
    from_bundles, from_books = office.audited(), look(office.books).picture()
    for name in SAME:
        assert from_bundles.table(name) == from_books.table(name), name
    assert from_bundles.counts["bundles"] == office.visits and from_bundles.counts["bad"] == 0


def test_a_visit_that_came_twice_counts_once(office):
    """Bundles beside the notebooks they came out of add nothing, and are named as not counted."""
    picture = office.audited(office.books)
    assert picture.counts["visits"] == office.visits
    assert picture.table("left-out").total == office.visits


@pytest.mark.parametrize(("withheld", "named"), [((2,), [(2, 2)]), ((1, 2), [(1, 2)]), ((2, 4), [(2, 2), (4, 4)])])
def test_withheld_bundles_leave_gaps(office, withheld, named):
    """The numbers that never came are named, and no others; what came still counts."""
    for number in withheld:
        (office.here / "0" / f"{number:04}.zip").unlink()
    picture = office.audited()
    assert column(picture.table("gaps"), "engineer", "from", "to") == [("A. One", *run) for run in named]
    assert picture.counts["visits"] == office.visits - len(withheld)


def test_a_bundle_withheld_at_the_end_shows_when_it_was_seen_before(office):
    """The last bundle of a series is missed only by a supervisor who has seen it before."""
    keyring = office.keyring
    for path in office.places[0]:
        keyring = open_bundle(path, keyring, NOW).remembered(keyring)
    (office.here / "0" / "0005.zip").unlink()
    assert office.audited().table("gaps").total == 0
    assert office.audited(keyring=keyring).table("gaps").total == 0  # it was seen: nothing is missing from the series
    shutil.copy(office.places[0][4], office.here / "0" / "0005.zip")
    assert office.audited(keyring=keyring).counts["bad"] == 0


FORGERIES = {
    "cut": ("truncated", 1),
    "text": ("truncated", 1),
    "key of another": ("key-of-another", 1),
    "key of nobody": ("key-unknown", 1),
    "second of a number": ("fork", 2),  # which of two bundles with one number is true, nobody can tell
    "follows nothing": ("fork", 2),  # neither it nor the one after it, which follows another
}


@pytest.mark.parametrize("forgery", FORGERIES)
def test_forged_bundles_are_named_first_and_the_rest_counts(office, tmp_path, forgery):
    """Each kind of forgery is bad, is named first, and takes no other visit with it than those that nobody can tell apart."""
    code, bad = FORGERIES[forgery]
    victim = office.here / "1" / "0002.zip"
    _forge(office, victim, tmp_path, forgery)
    picture = office.audited()
    assert picture.tables[0].name == "bad"
    assert (str(victim), code) in column(picture.tables[0], "path", "code")
    assert picture.counts["bad"] == bad
    assert picture.counts["visits"] == office.visits - (1 if forgery == "second of a number" else bad)


def _forge(office, victim, tmp_path, forgery) -> None:
    """Put a forged bundle in the place of one, or beside it."""
    if forgery == "cut":
        victim.write_bytes(victim.read_bytes()[:-100])
    elif forgery == "text":
        victim.write_bytes(b"this is no bundle")
    else:
        _sign_again(office, victim, tmp_path, forgery)


def _sign_again(office, victim, tmp_path, forgery) -> None:
    read = open_bundle(office.places[1][1], office.keyring, NOW)
    facts, signer = read.facts, office.keys[1]
    if forgery == "key of another":
        signer = KeyPair(office.keys[0]._private, replace(office.keys[0].public, engineer="B. Two"))
    elif forgery == "key of nobody":
        signer = KeyPair.new(tmp_path / "stranger", "B. Two", START)
    target = victim.with_name("again.zip") if forgery == "second of a number" else victim
    if target == victim:
        victim.unlink()
    previous = None if forgery == "follows nothing" else facts["previous"]
    contents = Contents(
        facts["visit"], "changed", facts["notebook"], 2, previous, START + timedelta(days=61), _records(office), read.view(), []
    )  # fmt: skip
    write_bundle(contents, signer, target)


def _records(office) -> list:
    with zipfile.ZipFile(office.places[1][1]) as box:
        name = next(name for name in box.namelist() if name.endswith("data/records.jsonl"))
        return [json.loads(line) for line in box.read(name).splitlines()]
