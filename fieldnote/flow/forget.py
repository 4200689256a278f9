"""Erasing one thing and all that was made from it. In: the id of a recording, photo, note or record. Out: a tombstone, kept.

The notebook erases records; this module knows which others were derived from the same words: what was read out of the talk, what
was worked out from that, and decisions on lines that came from this recording. Processing again reads what remains.
"""

from fieldnote.flow.lines import proposed
from fieldnote.flow.talk import Source, Talk, transcripts
from fieldnote.notebook import Entry, Notebook
from fieldnote.records import Extraction, from_plain


def forget(notebook: Notebook, record_id: str, *, reason: str, by: str) -> Entry:
    """Erase for good. Raises UsageProblem FN-206 when there is nothing under this id."""
    return notebook.erase(record_id, reason=reason, by=by, also=derived(notebook, record_id))


def derived(notebook: Notebook, item: str) -> list[str]:
    """The ids of the records that were made from the words of an item, apart from those that name it themselves."""
    read = [e for e in notebook.entries(kind="extraction") if e.payload and item in _sources(e)]
    if not read:
        return []
    first = {entry.visit: entry.seq for entry in reversed(read)}
    lines = {line for entry in read for line in _lines(notebook, entry, item)}
    checks = [e for e in notebook.entries(kind="check") if e.payload and e.seq > first.get(e.visit, e.seq)]
    decisions = [e for e in notebook.entries(kind="decision") if e.payload and e.payload["target"] in lines]
    return [entry.id for entry in (*read, *checks, *decisions)]


def _sources(entry: Entry) -> list[str]:
    return [source["item"] for source in entry.payload["sources"]]


def _lines(notebook: Notebook, entry: Entry, item: str) -> list[str]:
    sources = tuple(from_plain(Source, source) for source in entry.payload["sources"])
    said = Talk("", sources, transcripts(notebook, entry.visit))
    lines = proposed(from_plain(Extraction, entry.payload["extraction"]), said)
    return [line.id for line in lines if line.trace.item == item]
