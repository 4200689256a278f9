"""One record of what is kept, and how it hangs on the one before it.

In: a record's parts. Out: its hashes. Nothing here knows where records are stored, so that a copy can be checked anywhere.

    content = SHA-256(salt, canonical([payload, texts]))          the salt goes with the content when it is erased
    hash    = SHA-256(canonical([seq, id, kind, visit, item, at, content, parent]))

`parent` is the hash of the record before; that of the first is `ROOT`. A record whose content was erased keeps its content
hash, so that the chain still closes, but nothing short can be guessed from it without the salt.
"""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from fieldnote.records.canonical import canonical, digest

ROOT = "0" * 64


@dataclass(frozen=True, slots=True)
class Entry:
    """One record. `payload` is a plain JSON value; `payload` and `salt` are None when the content was erased.

    `texts` are (line id, words) pairs for searching. `content` is the salted hash of payload and texts.
    """

    seq: int
    id: str
    kind: str
    visit: str | None
    item: str | None
    at: datetime
    payload: Any
    parent: str
    hash: str
    content: str = ""
    salt: str | None = None
    texts: tuple[tuple[str, str], ...] = ()

    @property
    def erased(self) -> bool:
        """Whether the content is gone for good."""
        return self.salt is None


def content_hash(salt: str, payload: Any, texts: Sequence[tuple[str, str]]) -> str:
    """The salted hash of a record's content. `salt` is 64 hexadecimal digits. Raises ValueError when it is not."""
    plain = canonical([payload, [list(pair) for pair in texts]])
    return hashlib.sha256(bytes.fromhex(salt) + plain).hexdigest()


def link_hash(entry: Entry) -> str:
    """The hash that the next record names as its parent."""
    header = [entry.seq, entry.id, entry.kind, entry.visit, entry.item, entry.at.isoformat()]
    return digest([*header, entry.content, entry.parent])


def disagreement(entry: Entry, parent: str, seq: int) -> str | None:
    """What is wrong with a record that should follow `parent` as number `seq`, in plain words; None when it agrees."""
    if entry.seq != seq:
        return f"number {seq} is missing"
    if entry.parent != parent:
        return "it does not follow the record before it"
    if entry.hash != link_hash(entry):
        return "its header was altered"
    if entry.salt is not None and not _agrees(entry, entry.salt):
        return "its content was altered"
    return None


def _agrees(entry: Entry, salt: str) -> bool:
    try:
        return entry.content == content_hash(salt, entry.payload, entry.texts)
    except ValueError:
        return False
