"""Batch jobs on many machines, by Dask. In: jobs, the scheduler's address, certificates. Out: what became of each.

Dask runs what it is sent: links that leave this machine must be secured with certificates, and are refused otherwise. Recordings
and the folder for results must lie under the same paths for every worker.
"""

import importlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from ipaddress import ip_address
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from fieldnote.audit.batch import TRIES, Done, Job, Make, deadly, do, failed, known_of
from fieldnote.errors import MachineLacks, UsageProblem


@dataclass(frozen=True, slots=True)
class Link:
    """How to reach the scheduler: its address, and the certificates (PEM files) for a secured link."""

    address: str
    ca: Path | None = None
    cert: Path | None = None
    key: Path | None = None


def here(address: str) -> bool:
    """Whether an address is on this machine."""
    host = urlsplit(address).hostname or ""
    try:
        return host == "localhost" or ip_address(host).is_loopback
    except ValueError:
        return False


def security(link: Link) -> Any:
    """What secures a link; None on this machine without certificates. Raises UsageProblem FN-201 for an open link elsewhere."""
    files = (link.ca, link.cert, link.key)
    if link.address.startswith("tls://") and all(files):
        secured: Any = importlib.import_module("distributed.security")
        ca, cert, key = map(str, files)
        return secured.Security(tls_ca_file=ca, tls_client_cert=cert, tls_client_key=key, require_encryption=True)
    if here(link.address) and not any(files):
        return None
    reason = "a link beyond this machine needs tls:// with --ca, --cert and --key"
    raise UsageProblem("FN-201", what=f"sending jobs to {link.address}", reason=reason)


def fleet(left: Sequence[Job], make: Make, out: Path, link: Link) -> Iterator[Done]:
    """Do jobs on the workers of a scheduler. What a lost worker had in hand is done by another; a job that ends them is given up.

    Raises MachineLacks FN-402 without the extra `fleet`, UsageProblem FN-201 for an open link, or where nobody answers.
    """
    client, finished = _client(link)
    work, open_, vain = partial(do, make, str(out)), list(left), 0
    with client:
        while open_:
            futures = {client.submit(work, job, key=job.key): job for job in open_}
            again = []
            for future in finished(list(futures), loop=client.loop):
                done = _outcome(future, futures[future], out, stuck=vain > TRIES)
                future.release()
                if done is None:
                    again.append(futures[future])
                else:
                    yield done
            vain = vain + 1 if len(again) == len(open_) else 0
            open_ = again


def _outcome(future: Any, job: Job, out: Path, *, stuck: bool) -> Done | None:
    """What became of a job; None for one to be sent again: its answer was lost, or it only waited at workers that another ended.

    What a worker wrote before it was lost counts. With `stuck`, nothing is sent again.
    """
    try:
        done: Done = future.result()
        return done
    except Exception as problem:  # the queue's own, of several kinds; what a job itself raises never gets here
        why = type(problem).__name__
        if stuck or (why == "KilledWorker" and deadly(out, job)):
            return failed(out, job, f"it ended {TRIES} workers or could not be sent ({why})")
        return known_of(out, job)


def _client(link: Link) -> tuple[Any, Any]:
    """A client of the scheduler, and what gives futures as they finish."""
    secured = security(link)
    try:
        distributed: Any = importlib.import_module("distributed")
    except ImportError:
        raise MachineLacks("FN-402", extra="fleet") from None
    try:
        client = distributed.Client(link.address, security=secured, timeout="15s", set_as_default=False)
    except (OSError, TimeoutError) as problem:
        raise UsageProblem("FN-201", what=f"reaching {link.address}", reason=f"nobody answers ({problem})") from None
    return client, distributed.as_completed
