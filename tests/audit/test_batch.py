"""Batch transcription: each recording once, whatever is lost or broken on the way, on one machine and on several."""

import json
import os
import signal
from collections import Counter
from functools import partial
from pathlib import Path

import pytest

from fieldnote.audit.batch import Done, Job, do, jobs, local, waiting
from fieldnote.audit.fleet import Link, fleet, here, security
from fieldnote.bundle import Contents, KeyPair, Keyring, Medium, write_bundle
from fieldnote.errors import UsageProblem
from fieldnote.records import Transcript, to_plain
from tests.audit.fleet import START
from tests.audit.stand_in import StandIn, recordings
from tests.sample_visit import sample_book

RECIPE = {"model": "stand-in", "weights": "0" * 64}


@pytest.fixture
def bench(tmp_path):
    """A folder for sound, one for results, and what hears."""
    return Bench(tmp_path)


class Bench:
    """Where a batch is done, and what came of it."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.out = folder, folder / "out"
        self.make = partial(StandIn, str(folder), 0.01)

    def jobs(self, texts: list[str]) -> list[Job]:
        """Jobs for recordings with these texts."""
        return jobs([recordings(self.folder / "sound", texts)], RECIPE, Keyring()).jobs

    @property
    def heard(self) -> Counter[str]:
        """How often each recording was heard to its end."""
        path = self.folder / "heard"
        return Counter(path.read_text().splitlines() if path.exists() else ())

    @property
    def results(self) -> Counter[str]:
        """What the results say."""
        return Counter(json.loads(path.read_text())["transcript"]["text"] for path in self.finished)

    @property
    def finished(self) -> list[Path]:
        """Files of results."""
        return [path for path in self.out.glob("*.json") if not path.stem.endswith((".failed", ".begun"))]


def statuses(done: list[Done]) -> Counter[str]:
    """How many came to what."""
    return Counter(one.status for one in done)


def test_each_recording_once_and_never_again(bench):
    """Every recording gets one result; started anew nothing is left to do; another recipe is another job."""
    texts = [f"sound {n}" for n in range(12)]
    every = bench.jobs(texts)
    done = list(local(waiting(every, bench.out), bench.make, bench.out, 2))
    assert statuses(done) == {"done": 12} and bench.heard == bench.results == Counter(texts)
    assert waiting(every, bench.out) == []
    assert do(bench.make, str(bench.out), every[0]).status == "already"
    other = jobs([bench.folder / "sound"], RECIPE | {"weights": "1" * 64}, Keyring()).jobs
    assert not {job.key for job in every} & {job.key for job in other}


def test_bad_files_stop_nothing(bench):
    """A file without sound, one that breaks the engine and one that was altered are named; the others are heard; they are not
    tried again until somebody asks."""
    every = bench.jobs(["good 1", "bad", "odd", "good 2", "altered"])
    altered = next(job for job in every if Path(job.path).read_text() == "altered")
    Path(altered.path).write_text("something else")
    done = {Path(one.job.path).read_text(): one for one in local(waiting(every, bench.out), bench.make, bench.out, 2)}
    assert statuses(list(done.values())) == {"done": 2, "failed": 3}
    assert "no sound in it" in done["bad"].reason and "ZeroDivisionError" in done["odd"].reason
    assert "not those that were recorded" in done["something else"].reason
    assert waiting(every, bench.out) == []
    assert len(waiting(every, bench.out, again=True)) == 3


def test_a_process_that_dies_loses_nothing(bench):
    """One of two processes killed in the middle of a recording: a result for each, exactly one. The pool ends the other process
    too: what that had heard and not yet written is the one thing that may be heard again."""
    texts = [f"sound {n}" for n in range(20)]
    texts[7] = "once"
    done = list(local(waiting(bench.jobs(texts), bench.out), bench.make, bench.out, 2))
    assert bench.results == Counter(texts) and len({one.job.key for one in done}) == len(done) == 20
    assert (bench.heard - Counter(texts)).total() <= 1 and not Counter(texts) - bench.heard


def test_a_recording_that_kills_is_given_up(bench):
    """A recording that ends every process that hears it is named after a few; all the others are heard."""
    texts = ["deadly", *(f"sound {n}" for n in range(9))]
    every = bench.jobs(texts)
    done = list(local(waiting(every, bench.out), bench.make, bench.out, 2))
    assert bench.results == Counter(texts[1:])
    (failed,) = [one for one in done if one.status == "failed"]
    assert Path(failed.job.path).read_text() == "deadly" and "3 workers" in failed.reason


def test_stopped_and_started(bench):
    """Stopped after a few, the rest is done at the next start, and none twice."""
    texts = [f"sound {n}" for n in range(16)]
    every = bench.jobs(texts)
    going = local(waiting(every, bench.out), bench.make, bench.out, 2)
    for _ in range(3):
        next(going)
    going.close()
    assert 3 <= len(bench.finished) < 16
    list(local(waiting(every, bench.out), bench.make, bench.out, 2))
    assert bench.results == bench.heard == Counter(texts)


def test_recordings_of_notebooks_and_bundles(bench, tmp_path):
    """The recordings of a notebook, of a folder and of a zipped bundle of the same visit are jobs, the same bytes once; nothing
    else is, and all can be heard; a bundle that nobody vouches for is named and left out."""
    with sample_book(tmp_path / "book" / "notebook") as book:
        (clip,) = [item for item in book.items() if item.kind == "recording"]
        visit = book.visits()[0]
        media = [Medium(item.sha256, book.media(item.sha256)) for item in book.items()]
        records = [to_plain(entry) for entry in book.entries()]
        contents = Contents(visit.id, visit.ref, book.id, 1, None, START, records, {}, media)
    key = KeyPair.new(tmp_path / "keys", "A. One", START)
    write_bundle(contents, key, tmp_path / "one.zip")
    keyring = Keyring().trusting(key.public)
    from_zip, from_book = (jobs([tmp_path / name], RECIPE, keyring).jobs for name in ("one.zip", "book"))
    assert [job.sha256 for job in from_zip] == [job.sha256 for job in from_book] == [clip.sha256]
    assert from_zip[0].member and len(jobs([tmp_path / "one.zip", tmp_path / "book"], RECIPE, keyring).jobs) == 1
    unknown = jobs([tmp_path / "one.zip", tmp_path / "nothing"], RECIPE, Keyring())
    assert unknown.jobs == [] and [Path(path).name for path, _ in unknown.left_out] == ["nothing", "one.zip"]
    waiting([], bench.out)
    told = do(partial(Size), str(bench.out), from_zip[0])
    assert told.status == "done"
    assert bench.results == {str(clip.size): 1}


class Size(StandIn):
    """Hears how many bytes there are."""

    def __init__(self) -> None:
        super().__init__("")

    def hear(self, path, *, progress=None):
        return Transcript(str(path.stat().st_size), (), "size", 1.0)


@pytest.fixture
def cluster():
    """Two Dask workers on this machine, a process each."""
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, host="127.0.0.1", dashboard_address=None, silence_logs=50
    ) as made:
        yield made


def test_one_of_two_workers_killed(bench, cluster):
    """Two workers of a fleet, one killed in the middle of a recording: none lost, none heard to its end twice; a bad file is
    named; a recording that kills is given up."""
    texts = [f"sound {n}" for n in range(30)] + ["bad", "deadly", "once"]
    every = bench.jobs(texts)
    done = list(fleet(waiting(every, bench.out), bench.make, bench.out, Link(cluster.scheduler_address)))
    assert bench.results == bench.heard == Counter([*texts[:30], "once"])
    assert sorted(Path(one.job.path).read_text() for one in done if one.status == "failed") == ["bad", "deadly"]
    assert len({one.job.key for one in done}) == len(done) == 33


def test_a_worker_killed_from_outside(bench, cluster):
    """A worker's process killed from outside while a fleet is at work: a result for each recording, exactly one."""
    texts = [f"sound {n}" for n in range(60)]
    going = fleet(waiting(bench.jobs(texts), bench.out), bench.make, bench.out, Link(cluster.scheduler_address))
    for _ in range(5):
        next(going)
    os.kill(next(iter(cluster.workers.values())).pid, signal.SIGKILL)
    assert len(list(going)) == 55
    assert bench.results == Counter(texts)


@pytest.mark.parametrize(
    "address", ["tcp://10.1.2.3:8786", "tls://10.1.2.3:8786", "tcp://office.example:8786", "10.1.2.3:8786"]
)
def test_links_beyond_this_machine_are_secured(address):
    """Without certificates nothing is sent beyond this machine, and never over an open link."""
    with pytest.raises(UsageProblem):
        security(Link(address))
    if not address.startswith("tls"):
        with pytest.raises(UsageProblem):
            security(Link(address, Path("ca"), Path("cert"), Path("key")))


def test_links_on_this_machine():
    """This machine needs no certificates; with them, they are used and encryption is required."""
    assert (
        here("tcp://127.0.0.1:8786")
        and here("tcp://[::1]:1")
        and here("tcp://localhost:1")
        and not here("tcp://0.0.0.0:1")
    )
    assert security(Link("tcp://127.0.0.1:8786")) is None
    assert security(Link("tls://10.1.2.3:1", Path("ca"), Path("cert"), Path("key"))).require_encryption is True


def test_over_a_secured_link(bench, tmp_path):
    """With certificates a fleet works over an encrypted link; with those of somebody else nobody answers."""
    distributed = pytest.importorskip("distributed")
    ours, theirs = (distributed.security.Security.temporary() for _ in range(2))
    links = {}
    for name, one in (("ours", ours), ("theirs", theirs)):
        for part in ("tls_ca_file", "tls_client_cert", "tls_client_key"):
            (tmp_path / f"{name}-{part}").write_text(getattr(one, part))
        links[name] = [tmp_path / f"{name}-{part}" for part in ("tls_ca_file", "tls_client_cert", "tls_client_key")]
    every = bench.jobs([f"sound {n}" for n in range(4)])
    with distributed.LocalCluster(
        n_workers=1,
        threads_per_worker=1,
        host="tls://127.0.0.1",
        security=ours,
        dashboard_address=None,
        silence_logs=50,
    ) as cluster:
        assert cluster.scheduler_address.startswith("tls://")
        left = waiting(every, bench.out)
        with pytest.raises(UsageProblem):
            list(fleet(left, bench.make, bench.out, Link(cluster.scheduler_address, *links["theirs"])))
        done = list(fleet(left, bench.make, bench.out, Link(cluster.scheduler_address, *links["ours"])))
    assert statuses(done) == {"done": 4} and bench.results == bench.heard
