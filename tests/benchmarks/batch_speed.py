"""How many recordings a second two Dask workers take beside a pool of two processes, with a stand-in that keeps a processor busy.

python -m tests.benchmarks.batch_speed [RECORDINGS SECONDS]

The stand-in costs SECONDS of processor time for each recording (an engine of speech costs far more, so that what the queue itself
costs would not show). Counted is the time from the first result to the last: starting up is told apart. The two take turns.
"""

import os
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from distributed import LocalCluster

from fieldnote.audit.batch import Done, Job, jobs, local, waiting
from fieldnote.audit.fleet import Link, fleet
from fieldnote.bundle import Keyring
from tests.audit.stand_in import StandIn, recordings

ROUNDS = 3


def main() -> None:
    count, seconds = (int(sys.argv[1]), float(sys.argv[2])) if len(sys.argv) > 2 else (200, 0.1)
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        sounds = recordings(folder / "sound", [f"sound {n}" for n in range(count)])
        every = jobs([sounds], {"model": "stand-in"}, Keyring()).jobs
        make = partial(StandIn, scratch, seconds)
        rates: dict[str, list[float]] = {"pool": [], "dask": []}
        for turn in range(ROUNDS):
            rates["pool"].append(_rate("pool", every, folder / f"pool-{turn}", partial(local, make=make, workers=2)))
            with LocalCluster(n_workers=2, threads_per_worker=1, host="127.0.0.1", dashboard_address=None) as cluster:
                link = Link(cluster.scheduler_address)
                rates["dask"].append(
                    _rate("dask", every, folder / f"dask-{turn}", partial(fleet, make=make, link=link))
                )
    best = {name: max(some) for name, some in rates.items()}
    middle = {name: sorted(some)[ROUNDS // 2] for name, some in rates.items()}
    print(
        f"dask / pool: {middle['dask'] / middle['pool']:.3f} by medians, "
        f"{best['dask'] / best['pool']:.3f} by the best of {ROUNDS}"
    )


def _rate(name: str, every: list[Job], out: Path, run: Callable[..., Iterator[Done]]) -> float:
    before, began = os.getloadavg()[0], time.perf_counter()
    done = run(waiting(every, out), out=out)
    first = next(done)
    started = time.perf_counter()
    results = [first, *done]
    ended = time.perf_counter()
    assert all(one.status == "done" for one in results) and len(results) == len(every)
    rate = (len(every) - 1) / (ended - started)
    print(f"{name}: {rate:.2f} recordings/s, first after {started - began:.1f} s, load before {before:.2f}")
    return rate


if __name__ == "__main__":
    main()
