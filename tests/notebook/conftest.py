"""A notebook with a visit and three media, and files as capture would hand them over."""

import hashlib
import tempfile
from pathlib import Path

import pytest

from fieldnote.notebook import Notebook
from fieldnote.records import Incoming


def incoming(path: Path, content: bytes, kind: str = "note") -> Incoming:
    """A file with this content, looked at."""
    path.write_bytes(content)
    formats = {"note": "txt", "photo": "jpeg", "recording": "wav"}
    sha256 = hashlib.sha256(content).hexdigest()
    return Incoming(path, kind, sha256, len(content), facts={"format": formats[kind]})


@pytest.fixture
def book(tmp_path):
    with Notebook.open(tmp_path / "book", create=True) as made:
        yield made


@pytest.fixture
def filled(tmp_path):
    """The folder of a closed notebook with something of every kind."""
    folder = tmp_path / "filled"
    with Notebook.open(folder, create=True) as made:
        visit = made.open_visit("J-1", work="service", appliances=["hob"])
        for name, kind in (("a.txt", "note"), ("b.jpg", "photo"), ("c.wav", "recording")):
            receipt = made.file(incoming(tmp_path / name, name.encode() * 50, kind), visit.id)
        heard = {"text": "cap cracked", "segments": [], "model": "none", "duration": 1.0}
        made.append("transcript", heard, visit=visit.id, item=receipt.id, texts=[("t", "cap cracked")])
        decision = {"kind": "accept", "target": "f-1", "at": "2026-11-18T10:00:00+00:00", "by": "A. Fitter"}
        made.append("decision", decision, visit=visit.id)
        gone = made.file(incoming(tmp_path / "d.txt", b"gate code 4711"), visit.id)
        made.erase(gone.id, reason="asked for", by="A. Fitter")
        made.close_visit(visit.id)
    return folder


@pytest.fixture
def common():
    """A folder that everybody may use; pytest's own are for one user only."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o777)
        yield Path(folder)
        for path in [path for path in Path(folder).rglob("*") if path.is_dir()]:
            path.chmod(0o777)
