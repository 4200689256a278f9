"""Keys: one signing key per engineer, its public part to hand over, its end; and the supervisor's memory of others' keys.

In plain words: `keys new` makes a pair on this machine. The public part is given to the supervisor by hand; the private part
never leaves (file mode 0600). A key is withdrawn by a signed notice with a date: what it signed after that date counts for
nothing. A lost key cannot withdraw itself: make a new one and tell the supervisor, who records the old one's end.
"""

import base64
import contextlib
import errno
import hashlib
import json
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldnote.errors import InputProblem, MachineLacks, UsageProblem
from fieldnote.records import from_plain, to_plain

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey


def _ed25519() -> Any:
    try:
        from cryptography.hazmat.primitives.asymmetric import ed25519
    except ImportError:
        raise MachineLacks("FN-402", extra="sign") from None
    return ed25519


def key_id(public: bytes) -> str:
    """A key's name: the first 16 bytes of the SHA-256 of its 32 public bytes, in hex."""
    return hashlib.sha256(public).hexdigest()[:32]


def verify(public: bytes, message: bytes, signature: bytes) -> bool:
    """Whether `signature` is this key's Ed25519 signature (RFC 8032) of `message`."""
    from cryptography.exceptions import InvalidSignature

    try:
        _ed25519().Ed25519PublicKey.from_public_bytes(public).verify(signature, message)
    except (InvalidSignature, ValueError):
        return False
    return True


@dataclass(frozen=True, slots=True)
class PublicKey:
    """What the supervisor gets: whose key, its 32 bytes, since when, and until when if it was withdrawn."""

    engineer: str
    public: str
    made_at: datetime
    withdrawn_at: datetime | None = None
    reason: str = ""

    @property
    def raw(self) -> bytes:
        return base64.b64decode(self.public)

    @property
    def id(self) -> str:
        return key_id(self.raw)


class KeyPair:
    """This engineer's signing key, in a folder: `signing-key.pem` (PKCS #8, mode 0600) and `public-key.json`."""

    def __init__(self, private: "Ed25519PrivateKey", public: PublicKey) -> None:
        self._private = private
        self.public = public

    @classmethod
    def new(cls, folder: Path, engineer: str, now: datetime) -> "KeyPair":
        """Make a key. Raises UsageProblem FN-201 when there is one that is not withdrawn."""
        if (folder / "public-key.json").exists() and read_public(folder / "public-key.json").withdrawn_at is None:
            raise UsageProblem(
                "FN-201", what="a second key", reason="there is one; withdraw it first (fieldnote keys withdraw)"
            )
        private = _ed25519().Ed25519PrivateKey.generate()
        raw = private.public_key().public_bytes_raw()
        public = PublicKey(engineer, base64.b64encode(raw).decode("ascii"), now)
        _set_aside(folder)
        _write(folder / "signing-key.pem", _pem(private), 0o600)
        _write(folder / "public-key.json", _json(public), 0o644)
        return cls(private, public)

    @classmethod
    def load(cls, folder: Path) -> "KeyPair":
        """The key in a folder. Raises UsageProblem FN-201 when there is none, InputProblem FN-304 when it cannot be used."""
        if not (folder / "signing-key.pem").exists():
            raise UsageProblem("FN-201", what="signing", reason="there is no key on this machine (fieldnote keys new)")
        from cryptography.hazmat.primitives.serialization import load_pem_private_key

        public = read_public(folder / "public-key.json")
        try:
            private: Any = load_pem_private_key((folder / "signing-key.pem").read_bytes(), None)
            if private.public_key().public_bytes_raw() != public.raw:
                raise ValueError("the private and the public key do not belong together")
        except (OSError, ValueError, TypeError, AttributeError) as problem:
            raise _unusable(folder / "signing-key.pem", problem) from None
        return cls(private, public)

    def sign(self, message: bytes) -> bytes:
        """The Ed25519 signature of a message. Raises UsageProblem FN-201 for a withdrawn key."""
        if self.public.withdrawn_at is not None:
            raise UsageProblem(
                "FN-201", what="signing", reason="this key is withdrawn (fieldnote keys new makes another)"
            )
        return self._private.sign(message)

    def withdraw(self, folder: Path, at: datetime, reason: str) -> PublicKey:
        """End this key. The public part, with its end and a signature of that end, stays to be handed over."""
        ended = replace(self.public, withdrawn_at=at, reason=reason)
        notice = to_plain(ended)
        notice["signature"] = base64.b64encode(self._private.sign(_notice_bytes(notice))).decode("ascii")
        _write(folder / f"withdrawn-{ended.id}.json", json.dumps(notice, indent=1).encode(), 0o644)
        _write(folder / "public-key.json", _json(ended), 0o644)
        return ended


def read_public(path: Path) -> PublicKey:
    """A public key file or a withdrawal notice, its signature checked. Raises InputProblem FN-301, FN-304."""
    try:
        plain = json.loads(path.read_bytes())
        signature = plain.pop("signature", None)
        key = from_plain(PublicKey, plain)
        if len(key.raw) != 32:
            raise ValueError("the key is not 32 bytes long")
        if signature is not None and not verify(key.raw, _notice_bytes(plain), base64.b64decode(signature)):
            raise ValueError("the withdrawal is not signed by the key that it ends")
    except (OSError, ValueError, TypeError, AttributeError, RecursionError) as problem:
        raise _unusable(path, problem) from None
    return key


def _unusable(path: Path, problem: Exception) -> InputProblem:
    if isinstance(problem, OSError):
        return InputProblem("FN-301", path=path, reason=problem.strerror)
    return InputProblem("FN-304", path=path, reason=problem)


def _notice_bytes(plain: Mapping[str, Any]) -> bytes:
    body = {name: value for name, value in plain.items() if name != "signature"}
    return b"fieldnote key withdrawal\n" + json.dumps(body, sort_keys=True).encode("utf-8")


def _pem(private: "Ed25519PrivateKey") -> bytes:
    from cryptography.hazmat.primitives import serialization as form

    return private.private_bytes(form.Encoding.PEM, form.PrivateFormat.PKCS8, form.NoEncryption())


def _json(public: PublicKey) -> bytes:
    return json.dumps(to_plain(public), indent=1).encode("utf-8") + b"\n"


def _set_aside(folder: Path) -> None:
    """A withdrawn key's private part is deleted, before the next one is made: it must never sign again."""
    with _told(folder):
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        (folder / "signing-key.pem").unlink(missing_ok=True)


def _write(path: Path, data: bytes, mode: int) -> None:
    part = path.with_name(path.name + ".part")
    with _told(path):
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        part.unlink(missing_ok=True)
        with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode), "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)


@contextlib.contextmanager
def _told(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as problem:
        full = problem.errno in (errno.ENOSPC, errno.EDQUOT)
        raise MachineLacks("FN-403" if full else "FN-406", path=path, reason=problem.strerror) from None


@dataclass(frozen=True, slots=True)
class Seen:
    """What came from one key: the newest number, which statement each number had, each visit's newest number."""

    newest: int = 0
    contents: Mapping[str, str] = field(default_factory=dict)
    visits: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Keyring:
    """What a supervisor knows: the keys that engineers handed over, and which bundles were seen before.

    `keys` maps key id to key, `seen` key id to what came from it. Kept as one JSON file in the supervisor's own folder.
    """

    keys: Mapping[str, PublicKey] = field(default_factory=dict)
    seen: Mapping[str, Seen] = field(default_factory=dict)

    @classmethod
    def load(cls, path: Path) -> "Keyring":
        """The keyring of a file; an empty one when there is no file. Raises InputProblem FN-304 when it is not valid."""
        try:
            return from_plain(cls, json.loads(path.read_bytes()))
        except FileNotFoundError:
            return cls()
        except (OSError, ValueError, TypeError, AttributeError, RecursionError) as problem:
            raise _unusable(path, problem) from None

    def save(self, path: Path) -> None:
        """Write the keyring, whole or not at all."""
        _write(path, json.dumps(to_plain(self), indent=1).encode("utf-8"), 0o600)

    def trusting(self, key: PublicKey) -> "Keyring":
        """With one more key; a withdrawal that is known is never undone by an older copy of the key."""
        known = self.keys.get(key.id)
        if known is not None and known.withdrawn_at is not None and key.withdrawn_at is None:
            return self
        return replace(self, keys={**self.keys, key.id: key})

    def remembering(self, key: str, sequence: int, statement: str, visit: str) -> "Keyring":
        """Having seen bundle `sequence` of a key: the digest of its statement and the visit it carries."""
        before = self.seen.get(key, Seen())
        newest = max(before.visits.get(visit, 0), sequence)
        after = Seen(
            max(before.newest, sequence),
            {**before.contents, str(sequence): statement},
            {**before.visits, visit: newest},
        )
        return replace(self, seen={**self.seen, key: after})
