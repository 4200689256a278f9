"""The records inside a bundle, one by one, against their own hashes and against what was signed of them.

In: the bytes of `records.jsonl` and the signed facts. Out: what is wrong, down to the record.
"""

import json
from collections.abc import Mapping
from typing import Any

from fieldnote.bundle.container import Problem
from fieldnote.records import Entry, digest, from_plain
from fieldnote.records.chain import content_hash, link_hash

RECORDS = "data/records.jsonl"


def record_problems(raw: bytes, facts: Mapping[str, Any]) -> list[Problem]:
    """Everything that is wrong with the records. Each is re-derived from what reading returned."""
    problems: list[Problem] = []
    entries = []
    for number, line in enumerate(raw.splitlines(), 1):
        try:
            entries.append(from_plain(Entry, json.loads(line)))
        except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
            problems.append(Problem("record-broken", f"record {number}", "is no record any more"))
    for entry in entries:
        problems += _one(entry)
    problems += _strangers(entries, facts["visit"])
    return problems + _together(entries, facts)


def _one(entry: Entry) -> list[Problem]:
    where = f"record {entry.seq}"
    problems = []
    if entry.salt is not None and _content(entry) != entry.content:
        problems.append(Problem("record-altered", where, "its content is not what its hash says"))
    if link_hash(entry) != entry.hash:
        problems.append(Problem("record-redated", where, "its date, number or owner is not what its hash says"))
    return problems


def _strangers(entries: list[Entry], visit: str) -> list[Problem]:
    """Records of another visit, unless they are of an item that a record moves to this one."""
    moved = {entry.item for entry in entries if entry.kind == "move" and entry.visit == visit}
    strangers = [e for e in entries if e.visit not in (None, visit) and not {e.item, e.id} & moved]
    return [Problem("part-of-another", f"record {e.seq}", "belongs to another visit") for e in strangers]


def _content(entry: Entry) -> str:
    try:
        return content_hash(entry.salt or "", entry.payload, entry.texts)
    except (ValueError, TypeError):
        return ""


def _together(entries: list[Entry], facts: Mapping[str, Any]) -> list[Problem]:
    hashes = [entry.hash for entry in entries]
    if digest(hashes) == facts["recordHashes"]:
        return []
    numbers = [entry.seq for entry in entries]
    if numbers != sorted(numbers):
        return [Problem("records-reordered", RECORDS, "the records are not in their order")]
    if len(hashes) < facts["records"]:
        return [Problem("record-dropped", RECORDS, f"{len(hashes)} records, signed with {facts['records']}")]
    return [Problem("record-exchanged", RECORDS, "the records are not those that were signed")]
