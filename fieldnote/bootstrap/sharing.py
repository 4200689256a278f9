"""Keys and bundles. In: settings and paths. Out: a bundle written or read, and a memory of those that were seen."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from fieldnote.bootstrap.basis import notebook, view
from fieldnote.settings import Settings

if TYPE_CHECKING:
    from fieldnote.bundle import Bundle, Keyring, Written


def keyring_path(settings: Settings) -> Path:
    """Where this machine remembers other people's keys and bundles."""
    return settings.keys / "known.json"


def keyring(settings: Settings) -> Keyring:
    """The keys that engineers handed over, this engineer's own, and the bundles that were seen. Raises InputProblem FN-304."""
    from fieldnote.bundle import Keyring, read_public

    known, own = Keyring.load(keyring_path(settings)), settings.keys / "public-key.json"
    return known.trusting(read_public(own)) if own.exists() else known


def remember(settings: Settings, read: Bundle) -> None:
    """Keep in mind that a bundle was seen, if nothing is wrong with it. Raises MachineLacks FN-403, FN-406."""
    known = keyring(settings)
    if (after := read.remembered(known)) != known:
        after.save(keyring_path(settings))


def bundle(settings: Settings, ref: str, target: Path, recipient: str) -> Written:
    """Write the signed bundle of one visit, if the notebook holds good. Raises NotebookProblem FN-505 when it does not."""
    from datetime import datetime

    from fieldnote.bundle import KeyPair
    from fieldnote.errors import NotebookProblem
    from fieldnote.flow.pack import pack
    from fieldnote.notebook import verify

    key = KeyPair.load(settings.keys)
    report = verify(settings.notebook)
    if not report.sound:
        raise NotebookProblem("FN-505", path=settings.notebook, reason=f"{len(report.damage)} things disagree")
    ring = keyring(settings).trusting(key.public)
    with notebook(settings) as book:
        now = datetime.now().astimezone()
        seen = view(settings, book, ref)
        written = pack(book, seen, key, target, recipient=recipient, now=now, keyring=ring)
    after = ring.remembering(key.public.id, written.sequence, written.statement, seen.visit.id)
    after.save(keyring_path(settings))
    return written


def is_bundle(path: Path) -> bool:
    """Whether a path is a bundle rather than a notebook: a zip file, or a folder that holds a bag."""
    return path.suffix == ".zip" or (path / "bagit.txt").exists()


def read_bundle(settings: Settings, path: Path) -> Bundle:
    """Check one bundle against the keys that are known here. Raises InputProblem FN-301 when there is nothing there."""
    from datetime import datetime

    from fieldnote.bundle import open_bundle
    from fieldnote.errors import InputProblem

    try:
        return open_bundle(path, keyring(settings), datetime.now().astimezone())
    except FileNotFoundError:
        raise InputProblem("FN-301", path=path, reason="there is nothing there") from None
