"""A visit as a signed folder that anybody can check: written by the engineer, read by the supervisor.

Container: BagIt 1.0 (RFC 8493). Signature: a DSSE envelope round an in-toto Statement v1, signed with Ed25519 (RFC 8032).
Comes in: records and media of one visit. Goes out: a folder or zip, or the list of everything that is wrong with one.
May not know what the records mean (no trade), nor how a notebook stores them.
"""

from fieldnote.bundle.container import Problem
from fieldnote.bundle.keys import KeyPair, Keyring, PublicKey, Seen, read_public
from fieldnote.bundle.read import Bundle, open_bundle
from fieldnote.bundle.write import Contents, Medium, Written, write_bundle

__all__ = [
    "Bundle",
    "Contents",
    "KeyPair",
    "Keyring",
    "Medium",
    "Problem",
    "PublicKey",
    "Seen",
    "Written",
    "open_bundle",
    "read_public",
    "write_bundle",
]
