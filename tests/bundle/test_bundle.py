"""A bundle that was written is read back whole, by this program and by a general BagIt reader."""

import shutil
import zipfile

import bagit
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldnote.bundle import KeyPair, Keyring, open_bundle, read_public, write_bundle
from fieldnote.bundle.envelope import pae
from fieldnote.errors import UsageProblem
from tests.bundle.conftest import NOW, contents


@pytest.mark.parametrize("name", ["visit", "visit.zip"])
def test_a_bundle_reads_back_without_a_problem(tmp_path, key, keyring, name):
    """Folder and zip alike: nothing is wrong and the visit is there."""
    written = write_bundle(contents(tmp_path), key, tmp_path / name)
    read = open_bundle(written.path, keyring, NOW)
    assert read.problems == ()
    assert read.view() == {"visit": "v1"}
    assert read.statement == written.statement


def test_a_general_reader_of_the_standard_finds_the_bag_valid(tmp_path, key):
    """RFC 8493: the `bagit` reference reader validates the folder, its manifests and its Payload-Oxum."""
    written = write_bundle(contents(tmp_path), key, tmp_path / "visit")
    assert bagit.Bag(str(written.path)).validate()


def test_pre_authentication_encoding_is_the_published_one():
    """DSSE protocol v1.0.2, the worked example in its text."""
    assert pae("http://example.com/HelloWorld", b"hello world") == (
        b"DSSEv1 29 http://example.com/HelloWorld 11 hello world"
    )


def test_the_signature_is_plain_ed25519(tmp_path, key):
    """RFC 8032 by a general-purpose library: the envelope's signature checks without any code of this program."""
    import base64
    import json

    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    written = write_bundle(contents(tmp_path), key, tmp_path / "visit")
    body = json.loads((written.path / "signature.json").read_text())
    payload = base64.b64decode(body["payload"])
    message = b"DSSEv1 %d %s %d %s" % (len(body["payloadType"]), body["payloadType"].encode(), len(payload), payload)
    public = Ed25519PublicKey.from_public_bytes(base64.b64decode(key.public.public))
    public.verify(base64.b64decode(body["signatures"][0]["sig"]), message)


def test_repacking_a_zip_changes_nothing(tmp_path, key, keyring):
    """Another compression and another order of entries is the same bundle: no problem, the same statement."""
    written = write_bundle(contents(tmp_path), key, tmp_path / "visit.zip")
    with zipfile.ZipFile(written.path) as old, zipfile.ZipFile(tmp_path / "again.zip", "w") as new:
        for info in reversed(old.infolist()):
            new.writestr(info.filename, old.read(info), zipfile.ZIP_DEFLATED)
    read = open_bundle(tmp_path / "again.zip", keyring, NOW)
    assert (read.problems, read.statement) == ((), written.statement)


def test_nothing_is_written_over(tmp_path, key):
    """A path that is taken is refused and stays as it was."""
    (tmp_path / "visit").mkdir()
    with pytest.raises(FileExistsError):
        write_bundle(contents(tmp_path), key, tmp_path / "visit")
    assert list((tmp_path / "visit").iterdir()) == []


def test_a_failed_write_leaves_nothing(tmp_path, key):
    """A medium that is gone stops the writing; no part of a bundle stays behind."""
    what = contents(tmp_path)
    what.media[0].path.unlink()
    with pytest.raises(FileNotFoundError):
        write_bundle(what, key, tmp_path / "visit.zip")
    assert not [path for path in tmp_path.iterdir() if "visit" in path.name]


def test_the_private_key_is_for_its_owner_alone_and_never_leaves(tmp_path, key):
    """Mode 0600, and not one byte run of it in a bundle."""
    private = tmp_path / "keys" / "signing-key.pem"
    assert private.stat().st_mode & 0o777 == 0o600
    written = write_bundle(contents(tmp_path), key, tmp_path / "visit")
    secret = private.read_bytes().splitlines()[1]
    assert all(secret not in path.read_bytes() for path in written.path.rglob("*") if path.is_file())


def test_a_withdrawn_key_signs_no_more_and_its_notice_checks(tmp_path, key):
    """Withdrawal is signed by the key that it ends; afterwards it refuses to sign and a new key may be made."""
    key.withdraw(tmp_path / "keys", NOW, "laptop sold")
    ended = read_public(tmp_path / "keys" / f"withdrawn-{key.public.id}.json")
    assert (ended.id, ended.withdrawn_at) == (key.public.id, NOW)
    with pytest.raises(UsageProblem):
        KeyPair.load(tmp_path / "keys").sign(b"x")
    assert KeyPair.new(tmp_path / "keys", "A. Engineer", NOW).public.id != key.public.id


def test_an_older_copy_of_a_key_does_not_undo_its_withdrawal(tmp_path, key, keyring):
    """What is withdrawn stays withdrawn."""
    ended = key.withdraw(tmp_path / "keys", NOW, "lost")
    assert keyring.trusting(ended).trusting(key.public).keys[key.public.id].withdrawn_at == NOW


def test_the_keyring_survives_its_file(tmp_path, keyring):
    """Saved and loaded, the supervisor's memory is the same."""
    remembered = keyring.remembering("k", 3, "s", "v")
    remembered.save(tmp_path / "known.json")
    assert Keyring.load(tmp_path / "known.json") == remembered


def test_the_same_bundle_again_is_no_problem(tmp_path, key, keyring):
    """A bundle that was seen before may be read again."""
    read = open_bundle(write_bundle(contents(tmp_path), key, tmp_path / "visit").path, keyring, NOW)
    assert open_bundle(read.path, read.remembered(keyring), NOW).problems == ()


@given(st.binary(max_size=2000))
def test_any_bytes_as_a_bundle_give_problems_never_a_traceback(tmp_path_factory, data):
    """Random bytes under the name of a bundle are named as wrong."""
    path = tmp_path_factory.mktemp("b") / "x.zip"
    path.write_bytes(data)
    assert open_bundle(path, Keyring(), NOW).problems
    shutil.rmtree(path.parent)
