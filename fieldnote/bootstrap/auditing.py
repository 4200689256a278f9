"""Many notebooks at once, and hearing on many machines. In: settings and paths. Out: pictures, tables, batches."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from fieldnote.bootstrap.basis import recogniser
from fieldnote.bootstrap.sharing import keyring
from fieldnote.settings import Settings

if TYPE_CHECKING:
    from fieldnote.audit.batch import Done, Listed
    from fieldnote.audit.fleet import Link
    from fieldnote.audit.gather import Progress
    from fieldnote.audit.picture import Picture, Table
    from fieldnote.audit.together import Audit


def audit_index(settings: Settings) -> Path:
    """Where this machine keeps what audits have read: beside the supervisor's keys, never beside a notebook."""
    return settings.keys.with_name("audit") / "index.db"


@contextlib.contextmanager
def audit(
    settings: Settings, paths: Sequence[Path], *, afresh: bool = False, progress: Progress | None = None
) -> Iterator[Audit]:
    """Many notebooks and bundles, read: the way to their picture and tables."""
    from fieldnote.audit.index import Index
    from fieldnote.audit.together import audit
    from fieldnote.notebook.book import now_here

    with Index(audit_index(settings)) as index:
        yield audit(paths, index, keyring(settings), now_here(), afresh=afresh, progress=progress)


def audit_compare(settings: Settings, old: Path, new: Path | None, progress: Progress | None = None) -> Picture:
    """Two runs of the machine: those in two places, or the first and the last in one."""
    from fieldnote.audit.compare import compared
    from fieldnote.notebook.book import now_here

    return compared([old], [new] if new else [], keyring(settings), now_here(), progress)


def audit_page(drawn: Picture, target: Path, title: str) -> None:
    """Write a picture as one page for a browser, whole or not at all."""
    from fieldnote.audit.page import page
    from fieldnote.export import whole

    whole.write(target, page(drawn, title).encode("utf-8", "replace"))


def audit_parquet(made: Audit, target: Path, progress: Progress | None = None) -> None:
    """Write what counts in an audit as Parquet files. Raises MachineLacks FN-402 without the extra `audit`."""
    from fieldnote.audit.parquet import write
    from fieldnote.notebook.book import now_here

    write(made.counting(), made.keyring, now_here(), target, progress)


def batch_recipe(settings: Settings) -> dict[str, str]:
    """What a transcript depends on besides the sound. Raises MachineLacks FN-401 or FN-405 without whole weights."""
    import hashlib

    from fieldnote import __version__
    from fieldnote.speech import hearing, hints, repair, weights

    texts = {"hints": hints.prose(), "repairs": repair.source(), "recipe": hearing.RECIPE}
    known = {name: hashlib.sha256(text.encode()).hexdigest() for name, text in texts.items()}
    return known | {
        "model": settings.model,
        "weights": weights.ready(settings, settings.model)[1],
        "program": __version__,
    }


def batch(
    settings: Settings, listed: Listed, out: Path, *, workers: int, link: Link | None = None, again: bool = False
) -> tuple[int, Iterator[Done]]:
    """Transcribe what was not transcribed yet: how many recordings wait, and what becomes of each."""
    from dataclasses import replace
    from functools import partial

    from fieldnote.audit import batch, fleet

    left = batch.waiting(listed.jobs, out, again=again)
    threads = settings.threads if link else max(1, settings.threads // workers)
    make = partial(recogniser, replace(settings, threads=threads))
    return len(left), fleet.fleet(left, make, out, link) if link else batch.local(left, make, out, workers)


def batch_jobs(settings: Settings, paths: Sequence[Path]) -> Listed:
    """Every recording at these paths as a job for the weights of the settings."""
    from fieldnote.audit.batch import jobs

    return jobs(paths, batch_recipe(settings), keyring(settings))


def audit_tables(tables: Sequence[Table], target: Path) -> None:
    """Write tables of an audit: a workbook where the name ends in .xlsx, else a folder with one CSV for each."""
    from fieldnote.export import spreadsheet, whole
    from fieldnote.export.tables import Table, csv_text

    made = [Table(one.name, one.columns, one.rows) for one in tables]
    if target.suffix == ".xlsx":
        whole.write(target, spreadsheet.workbook(made))
        return
    target.mkdir(parents=True, exist_ok=True)
    for one in made:
        whole.write(target / f"{one.name}.csv", csv_text(one).encode("utf-8-sig", "replace"))
