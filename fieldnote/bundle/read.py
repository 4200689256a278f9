"""Read a bundle without believing it. In: a path, known keys, the moment. Out: what is wrong with it, and what it holds.

Order: the container (names, sizes, links, bombs), the signature and whose it is, every file against what was signed, the records
one by one, then what was seen before. Everything that is wrong is listed, each with its own code; reading changes nothing.
"""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from fieldnote.bundle import envelope
from fieldnote.bundle.container import Damaged, FolderBundle, Problem, ZipBundle, open_container
from fieldnote.bundle.keys import Keyring, PublicKey, Seen, verify
from fieldnote.bundle.records import record_problems
from fieldnote.bundle.write import BAGIT, MEDIA, RECORDS, SIGNATURE, VIEW, manifest

MAX_TAG_BYTES = 32 * 2**20
MAX_RECORDS_BYTES = 2**30
CLOCK_SLACK = timedelta(days=1)  # two machines' clocks and zones may differ by this much
JUMP = 1_000  # no engineer hands over this many visits between two bundles that reach the supervisor


@dataclass(frozen=True, slots=True)
class Bundle:
    """What a bundle holds and everything that is wrong with it (nothing wrong: `problems` is empty).

    `facts` is the signed predicate (empty when no signature could be read), `statement` its digest, `key` the key that
    signed. `files` maps names to (SHA-256, size) as they are.
    """

    path: Path
    problems: tuple[Problem, ...]
    facts: Mapping[str, Any] = field(default_factory=dict)
    statement: str = ""
    key: PublicKey | None = None
    files: Mapping[str, tuple[str, int]] = field(default_factory=dict)

    def view(self) -> Any:
        """The visit as it stood when it left, plain. Call only when `problems` is empty."""
        return json.loads(_read(open_container(self.path), VIEW, MAX_RECORDS_BYTES))

    def remembered(self, keyring: Keyring) -> Keyring:
        """The reader's memory with this bundle in it; unchanged for one with problems."""
        if self.problems or self.key is None:
            return keyring
        return keyring.remembering(self.key.id, self.facts["sequence"], self.statement, self.facts["visit"])


def open_bundle(path: Path, keyring: Keyring, now: datetime) -> Bundle:
    """Check a bundle. `now` must carry a zone. Raises FileNotFoundError when there is nothing at the path."""
    if not path.exists():
        raise FileNotFoundError(path)
    box = open_container(path)
    if any(problem.code != "names-differ-by-case" for problem in box.problems):
        return Bundle(path, tuple(box.problems))
    problems = list(box.problems)
    files, damaged = _hash_all(box)
    problems += damaged
    try:
        signed = _read(box, SIGNATURE, MAX_TAG_BYTES)
        payload, pairs = envelope.parse(signed)
        subjects, facts = envelope.parse_statement(payload)
        _check_facts(facts)
    except Damaged:
        return Bundle(path, (*problems, Problem("signature-missing", SIGNATURE, "there is no signature")), files=files)
    except ValueError as problem:
        return Bundle(path, (*problems, Problem("signature-wrong", SIGNATURE, str(problem))), files=files)
    key = keyring.keys.get(facts["key"])
    problems += _signature_problems(payload, pairs, facts, key) or _form_problems(signed, payload, pairs)
    problems += _file_problems(box, subjects, facts, files)
    problems += _copy_problems(box, subjects)
    problems += _bag_problems(subjects)
    problems += _content_problems(box, facts, files)
    statement = hashlib.sha256(payload).hexdigest()
    if not problems:
        problems += _time_problems(facts, key, now)
        problems += _memory_problems(facts, statement, keyring)
    return Bundle(path, tuple(dict.fromkeys(problems)), facts, statement, key, files)


def _check_facts(facts: Mapping[str, Any]) -> None:
    kinds = {"engineer": str, "key": str, "visit": str, "notebook": str, "sequence": int, "madeAt": str, "records": int}
    kinds |= {"recordHashes": str, "sizes": dict, "ref": str}
    wrong = [name for name, kind in kinds.items() if type(facts.get(name)) is not kind]
    if wrong or facts["sequence"] < 1:
        raise ValueError(f"the signed facts are not complete: {', '.join(wrong) or 'sequence'}")
    if datetime.fromisoformat(facts["madeAt"]).tzinfo is None:
        raise ValueError("the signed date has no zone")


def _read(box: FolderBundle | ZipBundle, name: str, limit: int) -> bytes:
    if name not in box.sizes:
        raise Damaged(Problem("file-missing", name, "is not there"))
    if box.sizes[name] > limit:
        raise Damaged(Problem("too-big", name, "larger than such a file can be"))
    return b"".join(box.blocks(name))


def _hash_all(box: FolderBundle | ZipBundle) -> tuple[dict[str, tuple[str, int]], list[Problem]]:
    files, damaged = {}, []
    for name in box.sizes:
        hasher, size = hashlib.sha256(), 0
        try:
            for block in box.blocks(name):
                hasher.update(block)
                size += len(block)
        except Damaged as problem:
            damaged.append(problem.problem)
            continue
        files[name] = (hasher.hexdigest(), size)
    return files, damaged


def _signature_problems(
    payload: bytes, pairs: list[tuple[str, bytes]], facts: Mapping[str, Any], key: PublicKey | None
) -> list[Problem]:
    if not any(signature for _, signature in pairs):
        return [Problem("signature-missing", SIGNATURE, "there is no signature")]
    if key is None:
        return [Problem("key-unknown", SIGNATURE, f"nobody handed over the key {facts['key']} of {facts['engineer']}")]
    if key.engineer != facts["engineer"]:
        return [
            Problem(
                "key-of-another", SIGNATURE, f"the key belongs to {key.engineer}, the bundle says {facts['engineer']}"
            )
        ]
    message = envelope.pae(envelope.PAYLOAD_TYPE, payload)
    if not any(name == key.id and verify(key.raw, message, signature) for name, signature in pairs):
        return [Problem("signature-wrong", SIGNATURE, "the signature does not fit what is signed")]
    return []


def _form_problems(signed: bytes, payload: bytes, pairs: list[tuple[str, bytes]]) -> list[Problem]:
    """What stands outside the signature is signed by nobody: no byte of it may be other than it is written."""
    if len(pairs) == 1 and envelope.envelope(payload, *pairs[0]) == signed:
        return []
    return [Problem("signature-wrong", SIGNATURE, "it is not in the form in which it is written")]


def _file_problems(
    box: FolderBundle | ZipBundle,
    subjects: Mapping[str, str],
    facts: Mapping[str, Any],
    files: Mapping[str, tuple[str, int]],
) -> list[Problem]:
    missing = {name for name in subjects if name not in box.sizes}
    unlisted = {name for name in box.sizes if name not in subjects and name != SIGNATURE}
    problems = []
    for name in sorted(missing):
        moved = next((n for n in sorted(unlisted) if n in files and files[n][0] == subjects[name]), None)
        if moved is None:
            problems.append(Problem("file-missing", name, "was signed and is not there"))
        else:
            unlisted.discard(moved)
            problems.append(Problem("file-renamed", moved, f"was signed as {name}"))
    problems += [Problem("file-unlisted", name, "was not signed") for name in sorted(unlisted)]
    changed = {n: files[n] for n in subjects if n in files and files[n][0] != subjects[n]}
    problems += [_changed(name, subjects, facts["sizes"].get(name), changed) for name in sorted(changed)]
    if len(changed) + len(missing) > 1 and len(changed) + len(missing) >= len(subjects) - 2:
        problems.append(Problem("signature-of-another", SIGNATURE, "what is signed is another bundle than this one"))
    return problems


def _changed(
    name: str, subjects: Mapping[str, str], signed_size: Any, changed: Mapping[str, tuple[str, int]]
) -> Problem:
    sha, size = changed[name]
    if any(other != name and subjects[other] == sha for other in changed):
        return Problem("files-exchanged", name, "holds what was signed under another name")
    if isinstance(signed_size, int) and size != signed_size:
        code = "file-emptied" if size == 0 else "file-cut" if size < signed_size else "file-longer"
        return Problem(code, name, f"{size} bytes, signed with {signed_size}")
    kind = (
        "medium"
        if name.startswith(MEDIA)
        else "records"
        if name == RECORDS
        else "manifest"
        if "manifest" in name
        else "file"
    )
    return Problem(f"{kind}-changed", name, "is not what was signed")


def _copy_problems(box: FolderBundle | ZipBundle, subjects: Mapping[str, str]) -> list[Problem]:
    """Names that come twice: programs differ in which copy they read, so it is said which of them was altered."""
    problems = []
    for name in box.sizes:
        count = box.copies(name)
        for copy in range(count if count > 1 else 0):
            try:
                sha = hashlib.sha256(b"".join(box.blocks(name, copy))).hexdigest()
            except Damaged as problem:
                problems.append(problem.problem)
                continue
            if sha != subjects.get(name):
                which = "first" if copy == 0 else "second"
                problems.append(Problem(f"name-twice-{which}-altered", name, f"copy {copy + 1} is not what was signed"))
        if count > 1:
            problems.append(Problem("name-twice", name, f"comes {count} times"))
    return problems


def _bag_problems(subjects: Mapping[str, str]) -> list[Problem]:
    """The bag's own manifests must say what the signature says (RFC 8493, 3): a reader may trust either."""
    payload = {name: sha for name, sha in subjects.items() if name.startswith("data/")}
    tags = {name: sha for name, sha in subjects.items() if not name.startswith("data/") and "tagmanifest" not in name}
    wanted = {"bagit.txt": BAGIT, "manifest-sha256.txt": manifest(payload), "tagmanifest-sha256.txt": manifest(tags)}
    return [
        Problem("bag-wrong", name, "does not fit what is signed")
        for name, data in wanted.items()
        if subjects.get(name) != hashlib.sha256(data).hexdigest()
    ]


def _content_problems(
    box: FolderBundle | ZipBundle, facts: Mapping[str, Any], files: Mapping[str, tuple[str, int]]
) -> list[Problem]:
    problems = []
    for name, (sha, _) in files.items():
        if name.startswith(MEDIA) and name.removeprefix(MEDIA).split(".")[0] != sha:
            problems.append(Problem("medium-misnamed", name, "its name is not the hash of its bytes"))
    try:
        raw = _read(box, RECORDS, MAX_RECORDS_BYTES)
    except Damaged as problem:
        return [*problems, problem.problem]
    return problems + record_problems(raw, facts)


def _time_problems(facts: Mapping[str, Any], key: PublicKey | None, now: datetime) -> list[Problem]:
    made = datetime.fromisoformat(facts["madeAt"])
    problems = []
    if made > now + CLOCK_SLACK:
        problems.append(Problem("date-in-future", SIGNATURE, f"signed with the date {facts['madeAt']}"))
    if key is not None and key.withdrawn_at is not None and made >= key.withdrawn_at:
        problems.append(Problem("key-withdrawn", SIGNATURE, f"the key was withdrawn on {key.withdrawn_at.isoformat()}"))
    return problems


def _memory_problems(facts: Mapping[str, Any], statement: str, keyring: Keyring) -> list[Problem]:
    seen = keyring.seen.get(facts["key"], Seen())
    number, known = facts["sequence"], seen.contents.get(str(facts["sequence"]))
    if known is not None and known != statement:
        return [Problem("fork", SIGNATURE, f"another bundle with the number {number} was seen before")]
    if seen.visits.get(facts["visit"], 0) > number or (known is None and number < seen.newest):
        return [Problem("older-than-seen", SIGNATURE, f"number {number}, after number {seen.newest} was seen")]
    if number > seen.newest + JUMP:
        return [Problem("number-jump", SIGNATURE, f"number {number}, far beyond {seen.newest}")]
    if known is None and number > seen.newest + 1:
        return [Problem("gap", SIGNATURE, f"number {number}, but {seen.newest + 1} was never seen")]
    before = seen.contents.get(str(number - 1))
    if before is not None and facts.get("previous") != before:
        return [Problem("fork", SIGNATURE, f"does not follow the bundle {number - 1} that was seen")]
    return []
