"""The signature: a DSSE envelope (dead simple signing envelope, v1) round an in-toto Statement v1.

DSSE signs the bytes of the payload together with their type (pre-authentication encoding), so that no canonical form of JSON
is needed to check it: what was signed is what is read.
"""

import base64
import binascii
import json
from collections.abc import Mapping
from typing import Any

PAYLOAD_TYPE = "application/vnd.in-toto+json"
STATEMENT_TYPE = "https://in-toto.io/Statement/v1"
PREDICATE_TYPE = "tag:fieldnote.invalid,2026:visit/v1"


def pae(payload_type: str, payload: bytes) -> bytes:
    """DSSE's pre-authentication encoding: `DSSEv1 SP len(type) SP type SP len(payload) SP payload`."""
    kind = payload_type.encode("utf-8")
    return b" ".join([b"DSSEv1", str(len(kind)).encode(), kind, str(len(payload)).encode(), payload])


def statement(subjects: Mapping[str, str], predicate: Mapping[str, Any]) -> bytes:
    """An in-toto Statement v1: `subjects` maps file names to their SHA-256 in hex, `predicate` holds the visit's facts."""
    body = {
        "_type": STATEMENT_TYPE,
        "subject": [{"name": name, "digest": {"sha256": sha}} for name, sha in sorted(subjects.items())],
        "predicateType": PREDICATE_TYPE,
        "predicate": dict(predicate),
    }
    return json.dumps(body, sort_keys=True, separators=(",", ":"), ensure_ascii=True).encode("ascii")


def envelope(payload: bytes, key_id: str, signature: bytes) -> bytes:
    """The envelope as JSON, one signature."""
    body = {
        "payloadType": PAYLOAD_TYPE,
        "payload": base64.b64encode(payload).decode("ascii"),
        "signatures": [{"keyid": key_id, "sig": base64.b64encode(signature).decode("ascii")}],
    }
    return json.dumps(body, indent=1).encode("ascii") + b"\n"


def parse(raw: bytes) -> tuple[bytes, list[tuple[str, bytes]]]:
    """Payload and (key id, signature) pairs of an envelope. Raises ValueError when it is not well formed."""
    try:
        body = json.loads(raw)
        if body["payloadType"] != PAYLOAD_TYPE:
            raise ValueError("the envelope holds another kind of payload")
        payload = base64.b64decode(body["payload"], validate=True)
        pairs = [(str(s["keyid"]), base64.b64decode(s["sig"], validate=True)) for s in body["signatures"]]
    except (KeyError, TypeError, AttributeError, binascii.Error, UnicodeDecodeError, RecursionError) as problem:
        raise ValueError(f"not a signature envelope ({type(problem).__name__})") from None
    return payload, pairs


def parse_statement(payload: bytes) -> tuple[dict[str, str], dict[str, Any]]:
    """Subjects (name to SHA-256) and predicate of a statement. Raises ValueError when it is another or malformed one."""
    try:
        body = json.loads(payload)
        if (body["_type"], body["predicateType"]) != (STATEMENT_TYPE, PREDICATE_TYPE):
            raise ValueError("the statement is of another kind")
        subjects = {str(s["name"]): str(s["digest"]["sha256"]) for s in body["subject"]}
        "".join((*subjects, *subjects.values())).encode("utf-8")  # half a character is no name and no digest
        if len(subjects) != len(body["subject"]) or not isinstance(body["predicate"], dict):
            raise ValueError("the statement names a file twice or has no facts")
    except (KeyError, TypeError, AttributeError, UnicodeDecodeError, RecursionError) as problem:
        raise ValueError(f"not a statement ({type(problem).__name__})") from None
    return subjects, body["predicate"]
