"""The tamper table: each row of the promise, done to a folder and to a zip where both are possible, is noticed by its own code.

The kinds are those of general knowledge about signed archives (RFC 8493, 5 "Security considerations"; the update-framework
attacks: rollback, fast-forward, mix-and-match, key substitution) and of zip readers.
"""

import base64
import json
import os
import shutil
import struct
import warnings
import zipfile
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from fieldnote.bundle import KeyPair, Keyring, open_bundle, write_bundle
from fieldnote.bundle.write import RECORDS, SIGNATURE, VIEW, manifest
from tests.bundle.conftest import NOW, START, contents

Spoil = Callable[[Path], None]


def medium(root: Path, number: int = 0) -> Path:
    """One of the media of a bundle."""
    return sorted((root / "data/media").iterdir())[number]


def flip(path: Path, at: int = 5) -> None:
    """One bit of one byte."""
    data = bytearray(path.read_bytes())
    data[at] ^= 1
    path.write_bytes(data)


def edit_record(root: Path, change: Callable[[dict], None], number: int = 1) -> None:
    """Change one record and leave it well formed."""
    lines = (root / RECORDS).read_text().splitlines()
    record = json.loads(lines[number])
    change(record)
    lines[number] = json.dumps(record, sort_keys=True, separators=(",", ":"))
    (root / RECORDS).write_text("\n".join(lines) + "\n")


def edit_lines(root: Path, change: Callable[[list[str]], list[str]]) -> None:
    """Drop or move whole records."""
    lines = (root / RECORDS).read_text().splitlines()
    (root / RECORDS).write_text("".join(line + "\n" for line in change(lines)))


def edit_signature(root: Path, change: Callable[[dict], None]) -> None:
    """Change the envelope."""
    body = json.loads((root / SIGNATURE).read_text())
    change(body)
    (root / SIGNATURE).write_text(json.dumps(body))


def exchange(root: Path) -> None:
    """Swap the bytes of two media."""
    one, two = medium(root).read_bytes(), medium(root, 1).read_bytes()
    medium(root).write_bytes(two)
    medium(root, 1).write_bytes(one)


def remanifest(root: Path) -> None:
    """Make the bag's own manifests fit what lies there: a forger who knows the bag format but has no key."""
    import hashlib

    digests = {
        p.relative_to(root).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest()
        for p in (root / "data").rglob("*")
        if p.is_file()
    }
    (root / "manifest-sha256.txt").write_bytes(manifest(digests))


def with_forged_manifest(spoil: Spoil) -> Spoil:
    """The same spoiling with the manifests made to fit."""

    def both(root: Path) -> None:
        spoil(root)
        remanifest(root)

    return both


def bad_signature(body: dict) -> None:
    raw = bytearray(base64.b64decode(body["signatures"][0]["sig"]))
    raw[3] ^= 4
    body["signatures"][0]["sig"] = base64.b64encode(raw).decode()


# (row of the table, code, spoiling). A row may be done in several ways.
ROWS: list[tuple[int, str, Spoil]] = [
    (1, "records-changed", lambda r: flip(r / RECORDS, 40)),
    (1, "records-changed", lambda r: flip(r / RECORDS, 200)),
    (1, "file-changed", lambda r: flip(r / VIEW, 2)),
    (2, "medium-changed", lambda r: flip(medium(r))),
    (2, "medium-changed", with_forged_manifest(lambda r: flip(medium(r, 1), 100))),
    (3, "manifest-changed", lambda r: flip(r / "manifest-sha256.txt")),
    (3, "manifest-changed", lambda r: flip(r / "tagmanifest-sha256.txt")),
    (4, "signature-wrong", lambda r: edit_signature(r, bad_signature)),
    (4, "signature-wrong", lambda r: flip(r / SIGNATURE, 3)),
    (4, "signature-wrong", lambda r: edit_signature(r, lambda b: b.update(note="x"))),
    (
        4,
        "signature-wrong",
        lambda r: edit_signature(r, lambda b: b["signatures"].append({"keyid": "x", "sig": "AAAA"})),
    ),
    (5, "file-emptied", lambda r: medium(r).write_bytes(b"")),
    (5, "file-emptied", with_forged_manifest(lambda r: (r / RECORDS).write_bytes(b""))),
    (6, "file-cut", lambda r: os.truncate(medium(r), 100)),
    (6, "file-cut", lambda r: os.truncate(r / RECORDS, 300)),
    (7, "file-longer", lambda r: medium(r).write_bytes(medium(r).read_bytes() + b"x")),
    (7, "file-longer", lambda r: (r / "bagit.txt").write_bytes((r / "bagit.txt").read_bytes() + b"\n")),
    (8, "file-missing", lambda r: medium(r).unlink()),
    (8, "file-missing", lambda r: (r / RECORDS).unlink()),
    (9, "file-unlisted", lambda r: (r / "data/media/more.ogg").write_bytes(b"x")),
    (9, "file-unlisted", with_forged_manifest(lambda r: (r / "data/note.txt").write_bytes(b"x"))),
    (9, "file-unlisted", lambda r: (r / "readme.txt").write_bytes(b"x")),
    (10, "file-renamed", lambda r: medium(r).rename(r / "data/media/other.ogg") and None),
    (11, "files-exchanged", exchange),
    (11, "files-exchanged", with_forged_manifest(exchange)),
    (14, "names-differ-by-case", lambda r: (r / "data/Records.jsonl").write_bytes(b"{}\n")),
    (15, "record-altered", lambda r: edit_record(r, lambda e: e["payload"].update(value="91.8"))),
    (
        15,
        "record-altered",
        with_forged_manifest(lambda r: edit_record(r, lambda e: e["payload"].update(words="sound"))),
    ),
    (16, "record-dropped", lambda r: edit_lines(r, lambda lines: lines[:-1])),
    (17, "records-reordered", lambda r: edit_lines(r, lambda lines: [lines[1], lines[0], *lines[2:]])),
    (18, "record-redated", lambda r: edit_record(r, lambda e: e.update(at="2026-11-17T10:00:00+00:00"))),
    (19, "signature-missing", lambda r: (r / SIGNATURE).unlink()),
    (19, "signature-missing", lambda r: edit_signature(r, lambda b: b.update(signatures=[]))),
    (19, "signature-missing", lambda r: edit_signature(r, lambda b: b["signatures"][0].update(sig=""))),
    (24, "link", lambda r: (r / "data/media/link.ogg").symlink_to("/etc/hostname")),
    (24, "special-file", lambda r: os.mkfifo(r / "data/media/pipe.ogg")),
]


@pytest.fixture
def bundle(tmp_path: Path, key: KeyPair) -> Path:
    """A bundle as a folder."""
    return write_bundle(contents(tmp_path), key, tmp_path / "visit").path


def zipped(folder: Path) -> Path:
    """The folder as a zip, as anybody's tool would make it."""
    return Path(shutil.make_archive(str(folder) + "-z", "zip", folder.parent, folder.name))


def codes(path: Path, keyring: Keyring) -> set[str]:
    """The codes of everything that is wrong."""
    return {problem.code for problem in open_bundle(path, keyring, NOW).problems}


@pytest.mark.parametrize(
    ("row", "code", "spoil"), ROWS, ids=[f"{row}-{code}-{n}" for n, (row, code, _) in enumerate(ROWS)]
)
def test_spoilt_folder(bundle, keyring, row, code, spoil):
    """What was done to the folder is noticed by name."""
    spoil(bundle)
    assert code in codes(bundle, keyring), row


@pytest.mark.parametrize(
    ("row", "code", "spoil"),
    [r for r in ROWS if r[0] != 24],
    ids=[f"{r[0]}-{n}" for n, r in enumerate(ROWS) if r[0] != 24],
)
def test_spoilt_zip(bundle, keyring, row, code, spoil):
    """The same in a zip."""
    spoil(bundle)
    assert code in codes(zipped(bundle), keyring), row


@pytest.mark.parametrize(("altered", "code"), [(0, "name-twice-first-altered"), (1, "name-twice-second-altered")])
def test_a_name_twice(tmp_path, bundle, keyring, altered, code):
    """Rows 12 and 13: one name twice in a zip; which copy was altered is said."""
    path = zipped(bundle)
    good = (bundle / RECORDS).read_bytes()
    copies = [good.replace(b"19.8", b"21.0"), good]
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(tmp_path / "twice.zip", "w") as new, warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)
        for info in old.infolist():
            if info.filename.endswith("records.jsonl"):
                for data in copies if altered == 0 else reversed(copies):
                    new.writestr(info.filename, data)
            else:
                new.writestr(info.filename, old.read(info))
    assert {code, "name-twice"} <= codes(tmp_path / "twice.zip", keyring)


def test_signature_of_another_bundle(tmp_path, key, keyring, bundle):
    """Row 20: a good signature, but of another visit."""
    other = write_bundle(contents(tmp_path, "v2", 2), key, tmp_path / "other").path
    shutil.copy(other / SIGNATURE, bundle / SIGNATURE)
    assert "signature-of-another" in codes(bundle, keyring)


def test_key_of_another_engineer(tmp_path, keyring):
    """Row 21: another engineer signs under this one's name; the key is known, but as somebody else's."""
    other = KeyPair.new(tmp_path / "keys2", "B. Other", START)
    trusted = keyring.trusting(other.public)
    other.public = replace(other.public, engineer="A. Engineer")
    forged = write_bundle(contents(tmp_path), other, tmp_path / "forged").path
    assert "key-of-another" in codes(forged, trusted)
    assert "key-unknown" in codes(forged, keyring)


@pytest.mark.parametrize("part", ["records", "medium"])
def test_part_of_another_signed_bundle(tmp_path, key, keyring, bundle, part):
    """Row 22: one part taken from another bundle of the same engineer."""
    other = write_bundle(contents(tmp_path, "v2", 2), key, tmp_path / "other").path
    if part == "records":
        shutil.copy(other / RECORDS, bundle / RECORDS)
        assert "part-of-another" in codes(bundle, keyring)
    else:
        shutil.copy(medium(other), medium(bundle))
        assert {"medium-changed", "medium-misnamed"} & codes(bundle, keyring)


def series(tmp_path: Path, key: KeyPair, numbers: list[int], visit: str = "v") -> dict[int, Path]:
    """Bundles of one engineer with these numbers, each naming the one before."""
    made, previous = {}, None
    for number in range(1, max(numbers) + 1):
        if number in numbers or number == 1:
            what = contents(tmp_path, f"{visit}{number}", number, previous)
            written = write_bundle(what, key, tmp_path / f"{visit}-{number}")
            previous, made[number] = written.statement, written.path
    return made


def seen(keyring: Keyring, *paths: Path) -> Keyring:
    """The memory of somebody who read these."""
    for path in paths:
        keyring = open_bundle(path, keyring, NOW).remembered(keyring)
    return keyring


def test_rollback_gap_and_fast_forward(tmp_path, key, keyring):
    """Rows 23 and 28: an older one after a newer one, a number that was never seen, a number far ahead."""
    made = series(tmp_path, key, [1, 2, 3])
    memory = seen(keyring, made[1], made[2], made[3])
    assert codes(made[3], memory) == set()
    assert codes(made[3], seen(keyring, made[1])) == {"gap"}
    withheld = keyring.remembering(key.public.id, 3, "of the third", "v3")
    assert codes(made[2], withheld) == {"older-than-seen"}
    ahead = write_bundle(contents(tmp_path, "far", 9_000), key, tmp_path / "far").path
    assert codes(ahead, memory) == {"number-jump"}


def test_an_older_state_of_one_visit_after_its_newer_one(tmp_path, key, keyring):
    """Row 23: the same visit handed over twice; the first state shown again afterwards is noticed."""
    first = write_bundle(contents(tmp_path, "v", 1), key, tmp_path / "a")
    second = write_bundle(contents(tmp_path, "v", 2, first.statement), key, tmp_path / "b")
    assert codes(first.path, seen(keyring, first.path, second.path)) == {"older-than-seen"}


def test_fork(tmp_path, key, keyring):
    """Row 27: two bundles with one number and different content, and a bundle that follows another history."""
    made = series(tmp_path, key, [1, 2])
    twin = write_bundle(contents(tmp_path, "twin", 2, "another"), key, tmp_path / "twin").path
    assert codes(twin, seen(keyring, made[1], made[2])) == {"fork"}
    assert codes(twin, seen(keyring, made[1])) == {"fork"}


def test_withdrawn_key_and_date_in_the_future(tmp_path, key, keyring, bundle):
    """Rows 29 and 30."""
    ended = replace(key.public, withdrawn_at=START - timedelta(days=1))
    assert codes(bundle, keyring.trusting(ended)) == {"key-withdrawn"}
    later = replace(contents(tmp_path), made_at=NOW + timedelta(days=30))
    assert codes(write_bundle(later, key, tmp_path / "later").path, keyring) == {"date-in-future"}


NAMES = {
    "../out.txt": "path-escape",
    "/etc/out.txt": "path-absolute",
    "data/../../x": "path-escape",
    "C:\\x": "path-absolute",
}


@pytest.mark.parametrize(("name", "code"), NAMES.items())
def test_names_that_leave_the_bundle(bundle, keyring, name, code):
    """Row 24: in a zip a name may say anything; nothing is written anywhere."""
    path = zipped(bundle)
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr(zipfile.ZipInfo(name), b"x")
    assert code in codes(path, keyring)


@pytest.mark.parametrize(("mode", "code"), [(0o120777, "link"), (0o020666, "special-file"), (0o010666, "special-file")])
def test_links_and_devices_in_a_zip(bundle, keyring, mode, code):
    """Row 24: entries that say they are links, devices or pipes."""
    path = zipped(bundle)
    info = zipfile.ZipInfo("visit/data/media/x.ogg")
    info.external_attr = mode << 16
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr(info, b"/etc/hostname")
    assert code in codes(path, keyring)


def test_bombs(bundle, keyring):
    """Row 25: an entry that swells beyond measure."""
    path = zipped(bundle)
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("visit/data/media/zeros.wav", b"\0" * 50_000_000)
    assert "bomb" in codes(path, keyring)


def test_a_cut_zip(bundle, keyring):
    """Row 25: a zip that lost its end."""
    path = zipped(bundle)
    os.truncate(path, path.stat().st_size // 2)
    assert codes(path, keyring) == {"truncated"}


def _patched(bundle: Path, signature: bytes, offset: int, value: bytes) -> Path:
    """A zip with bytes of its first directory or local header changed."""
    path = zipped(bundle)
    data = bytearray(path.read_bytes())
    at = data.index(signature) + offset
    data[at : at + len(value)] = value
    path.write_bytes(data)
    return path


def test_an_encrypted_entry(bundle, keyring):
    """Row 25: an entry marked as encrypted."""
    assert "encrypted" in codes(_patched(bundle, b"PK\x01\x02", 8, b"\x01"), keyring)


def test_a_bad_checksum(bundle, keyring):
    """Row 25: a directory entry with another CRC than its data."""
    path = _patched(bundle, b"PK\x01\x02", 16, b"\1\2\3\4")
    with zipfile.ZipFile(path) as archive:
        folder_first = archive.infolist()[0].is_dir()
    if folder_first:
        path = zipped(bundle)
        data = bytearray(path.read_bytes())
        at = data.index(b"PK\x01\x02", data.index(b"PK\x01\x02") + 4)
        while struct.unpack("<I", data[at + 24 : at + 28])[0] == 0:
            at = data.index(b"PK\x01\x02", at + 4)
        data[at + 16 : at + 20] = b"\1\2\3\4"
        path.write_bytes(data)
    assert "crc-wrong" in codes(path, keyring)


def test_sizes_that_lie(bundle, keyring):
    """Row 25: an entry that promises fewer bytes than it holds."""
    path = zipped(bundle)
    data = bytearray(path.read_bytes())
    at = data.index(b"PK\x01\x02")
    while struct.unpack("<I", data[at + 24 : at + 28])[0] < 1000:
        at = data.index(b"PK\x01\x02", at + 4)
    data[at + 24 : at + 28] = struct.pack("<I", 10)
    path.write_bytes(data)
    assert codes(path, keyring) & {"size-lies", "crc-wrong", "file-cut"}


def test_entries_that_overlap(bundle, keyring):
    """Row 25: two entries that share bytes."""
    path = zipped(bundle)
    data = bytearray(path.read_bytes())
    first = data.index(b"PK\x01\x02")
    second = data.index(b"PK\x01\x02", first + 4)
    data[second + 42 : second + 46] = data[first + 42 : first + 46]
    path.write_bytes(data)
    assert codes(path, keyring) & {"overlap", "names-disagree"}


def test_names_that_disagree(bundle, keyring):
    """Row 26: the directory says one name, the file's own header another."""
    path = zipped(bundle)
    data = path.read_bytes()
    at = data.index(b"bagit.txt")
    path.write_bytes(data[:at] + b"bagot.txt" + data[at + 9 :])
    assert "names-disagree" in codes(path, keyring)
