"""Write a bundle: a BagIt bag (RFC 8493) of one visit with a signature over every file of it. Whole or absent.

bagit.txt, bag-info.txt, manifest-sha256.txt, tagmanifest-sha256.txt   the bag's own files
data/records.jsonl    the visit's evidence records, one canonical line each, in order
data/view.json        the visit as it stood when it left, for readers that have no notebook
data/media/HASH.EXT   recordings, photos and notes under their SHA-256
signature.json        DSSE envelope: names every file above with its digest, and the facts of this hand-over
"""

import hashlib
import os
import shutil
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from fieldnote import __version__
from fieldnote.bundle import envelope
from fieldnote.bundle.keys import KeyPair
from fieldnote.records import canonical, digest

BAGIT = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
SIGNATURE = "signature.json"
RECORDS, VIEW, MEDIA = "data/records.jsonl", "data/view.json", "data/media/"


@dataclass(frozen=True, slots=True)
class Medium:
    """One original: its SHA-256 and where its bytes lie."""

    sha256: str
    path: Path


@dataclass(frozen=True, slots=True)
class Contents:
    """What one bundle carries. `records` are plain evidence records in order; `sequence` counts this engineer's bundles
    from 1 and `previous` is the digest of the statement of the one before (None for the first)."""

    visit: str
    ref: str
    notebook: str
    sequence: int
    previous: str | None
    made_at: datetime
    records: Sequence[Mapping[str, Any]]
    view: Mapping[str, Any]
    media: Sequence[Medium]


@dataclass(frozen=True, slots=True)
class Written:
    """A bundle that was written: its path, the digest of its signed statement, which the next one names, and its number."""

    path: Path
    statement: str
    sequence: int = 0


def write_bundle(contents: Contents, key: KeyPair, target: Path) -> Written:
    """Write a bundle to `target`: a zip file if the name ends in .zip, else a folder. Replaces nothing that is there.

    Raises FileExistsError, OSError; UsageProblem for a withdrawn key.
    """
    if target.exists():
        raise FileExistsError(target)
    part = target.with_name(f".{target.name}.part")
    _clear(part)
    try:
        folder = part if target.suffix != ".zip" else part / target.stem
        part.mkdir()
        folder.mkdir(exist_ok=True)
        statement = _fill(folder, contents, key)
        whole = part if target.suffix != ".zip" else _zip(folder, part / "bundle.zip")
        _sync_tree(part)
        whole.rename(target)
        _sync(target.parent)
    finally:
        _clear(part)
    return Written(target, statement, contents.sequence)


def _fill(folder: Path, contents: Contents, key: KeyPair) -> str:
    digests = _payload(folder, contents)
    digests |= _tags(folder, contents, digests)
    sizes = {name: (folder / name).stat().st_size for name in digests}
    signed = envelope.statement(digests, _facts(contents, key, sizes))
    signature = key.sign(envelope.pae(envelope.PAYLOAD_TYPE, signed))
    (folder / SIGNATURE).write_bytes(envelope.envelope(signed, key.public.id, signature))
    return hashlib.sha256(signed).hexdigest()


def _facts(contents: Contents, key: KeyPair, sizes: Mapping[str, int]) -> dict[str, Any]:
    hashes = [record["hash"] for record in contents.records]
    return {
        "engineer": key.public.engineer,
        "key": key.public.id,
        "visit": contents.visit,
        "ref": contents.ref,
        "notebook": contents.notebook,
        "sequence": contents.sequence,
        "previous": contents.previous,
        "madeAt": contents.made_at.isoformat(),
        "records": len(hashes),
        "recordHashes": digest(hashes),
        "lastRecord": hashes[-1] if hashes else None,
        "sizes": dict(sizes),
        "program": f"fieldnote {__version__}",
    }


def _payload(folder: Path, contents: Contents) -> dict[str, str]:
    (folder / MEDIA).mkdir(parents=True)
    digests = {
        RECORDS: _put(folder / RECORDS, b"".join(canonical(dict(record)) + b"\n" for record in contents.records)),
        VIEW: _put(folder / VIEW, canonical(dict(contents.view)) + b"\n"),
    }
    for medium in contents.media:
        name = f"{MEDIA}{medium.path.name}"
        digests[name] = _copy(medium.path, folder / name)
    return digests


def _tags(folder: Path, contents: Contents, payload: Mapping[str, str]) -> dict[str, str]:
    octets = sum((folder / name).stat().st_size for name in payload)
    info = (
        f"Bag-Software-Agent: fieldnote {__version__}\n"
        f"Bagging-Date: {contents.made_at.date().isoformat()}\n"
        f"External-Identifier: {contents.visit}\n"
        f"Payload-Oxum: {octets}.{len(payload)}\n"
    )
    digests = {
        "bagit.txt": _put(folder / "bagit.txt", BAGIT),
        "bag-info.txt": _put(folder / "bag-info.txt", info.encode("utf-8")),
        "manifest-sha256.txt": _put(folder / "manifest-sha256.txt", manifest(payload)),
    }
    digests["tagmanifest-sha256.txt"] = _put(folder / "tagmanifest-sha256.txt", manifest(digests))
    return digests


def manifest(digests: Mapping[str, str]) -> bytes:
    """A BagIt manifest: one `DIGEST  NAME` line a file, sorted by name; %, CR and LF in names are escaped (RFC 8493, 2.1.3)."""
    lines = []
    for name in sorted(digests):
        escaped = name.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")
        lines.append(f"{digests[name]}  {escaped}\n")
    return "".join(lines).encode("utf-8")


def _put(path: Path, data: bytes) -> str:
    path.write_bytes(data)
    return hashlib.sha256(data).hexdigest()


def _copy(source: Path, target: Path) -> str:
    hasher = hashlib.sha256()
    with source.open("rb") as reader, target.open("xb") as writer:
        while block := reader.read(1 << 20):
            hasher.update(block)
            writer.write(block)
    return hasher.hexdigest()


def _zip(folder: Path, target: Path) -> Path:
    """Pack a folder: media stored as they are, records deflated, no times but the format's first day."""
    with zipfile.ZipFile(target, "x", allowZip64=True) as archive:
        for path in sorted(p for p in folder.rglob("*") if p.is_file()):
            info = zipfile.ZipInfo(path.relative_to(folder.parent).as_posix())
            info.external_attr = 0o644 << 16
            info.compress_type = zipfile.ZIP_STORED if MEDIA in info.filename else zipfile.ZIP_DEFLATED
            with path.open("rb") as reader, archive.open(info, "w", force_zip64=True) as writer:
                shutil.copyfileobj(reader, writer, 1 << 20)
    return target


def _sync_tree(root: Path) -> None:
    for path in [root, *root.rglob("*")]:
        _sync(path)


def _sync(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _clear(part: Path) -> None:
    if part.is_dir():
        shutil.rmtree(part)
