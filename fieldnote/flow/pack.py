"""Pack a visit: its records and media into a signed bundle, and a record in the notebook of what left, when, for whom."""

import errno
from datetime import datetime
from pathlib import Path

from fieldnote.bundle import Contents, KeyPair, Keyring, Medium, Seen, Written, open_bundle, write_bundle
from fieldnote.errors import MachineLacks, UsageProblem
from fieldnote.notebook import Notebook
from fieldnote.records import Entry, VisitView, to_plain

KIND = "packed"


def pack(
    notebook: Notebook,
    view: VisitView,
    key: KeyPair,
    target: Path,
    *,
    recipient: str,
    now: datetime,
    keyring: Keyring | None = None,
) -> Written:
    """Write the bundle of one visit. `view` is the visit as it stands, `keyring` what this machine remembers of its own key.

    Raises UsageProblem FN-201 when something else is at `target`, MachineLacks FN-403 or FN-406 when it cannot be written.
    """
    number, before = _last(notebook, key.public.id, keyring or Keyring())
    contents = Contents(
        visit=view.visit.id,
        ref=view.visit.ref,
        notebook=notebook.id,
        sequence=number + 1,
        previous=before,
        made_at=now,
        records=[to_plain(entry) for entry in records_of(notebook, view)],
        view=to_plain(view),
        media=[Medium(item.sha256, notebook.media(item.sha256)) for item in view.items],
    )
    written = _unrecorded(contents, key, target) if target.exists() else _write(contents, key, target)
    payload = {"sequence": contents.sequence, "statement": written.statement, "key": key.public.id, "for": recipient}
    notebook.append(KIND, {**payload, "name": target.name}, visit=view.visit.id)
    return written


def _last(notebook: Notebook, key: str, keyring: Keyring) -> tuple[int, str | None]:
    """Number and statement of the newest bundle of a key: of this notebook, or of another one on this machine."""
    seen = keyring.seen.get(key, Seen()).contents
    known = {int(number): statement for number, statement in seen.items()}
    packed = [entry.payload for entry in notebook.entries(kind=KIND) if entry.payload]
    known |= {one["sequence"]: one["statement"] for one in packed if one["key"] == key}
    newest = max(known, default=0)
    return newest, known.get(newest)


def _write(contents: Contents, key: KeyPair, target: Path) -> Written:
    try:
        return write_bundle(contents, key, target)
    except OSError as problem:
        full = problem.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
        code = "FN-403" if full else "FN-406"
        raise MachineLacks(code, path=target, reason=problem.strerror or problem) from None


def _unrecorded(contents: Contents, key: KeyPair, target: Path) -> Written:
    """The bundle that was written when this command was cut off before it was recorded: the same number is never given twice."""
    keyring = Keyring().trusting(key.public)
    if contents.previous is not None:
        keyring = keyring.remembering(key.public.id, contents.sequence - 1, contents.previous, "")
    found = open_bundle(target, keyring, contents.made_at)
    wanted = contents.visit, contents.notebook, contents.sequence
    if found.problems or tuple(found.facts[name] for name in ("visit", "notebook", "sequence")) != wanted:
        raise UsageProblem("FN-201", what=f"writing {target}", reason="there is something of that name already")
    return Written(target, found.statement, contents.sequence)


def records_of(notebook: Notebook, view: VisitView) -> list[Entry]:
    """The evidence of one visit: its own records, and those of items that came to it from elsewhere."""
    items = {item.id for item in view.items}
    mine = view.visit.id
    return [e for e in notebook.entries() if e.visit == mine or e.id == mine or (e.item in items or e.id in items)]
