"""Erasing one thing and all that was made from it. In: the id of an item, a visit or a record. Out: a tombstone, kept.

The notebook erases records; this module knows which others were derived from the same words: what was read out of the talk, what
was worked out from that, and decisions on lines that came from this recording. Processing again reads what remains.
"""

from fieldnote.flow import taped
from fieldnote.flow.lines import proposed
from fieldnote.flow.talk import Source, Talk, transcripts
from fieldnote.notebook import Entry, Notebook
from fieldnote.records import Extraction, from_plain


def forget(notebook: Notebook, record_id: str, *, reason: str, by: str) -> Entry:
    """Erase for good. Raises UsageProblem FN-206 when there is nothing under this id.

    What a kill left unfiled is filed first: the sound of what is erased may still be among it, and would come back with it.
    """
    for _ in taped.recover(notebook):
        pass
    return notebook.erase(record_id, reason=reason, by=by, also=derived(notebook, record_id))


def derived(notebook: Notebook, record_id: str) -> list[str]:
    """The ids of the records that were made from the same words, apart from those that name their item themselves."""
    items = _items(notebook, record_id)
    kept = [entry for entry in notebook.entries() if not entry.erased]
    read = [e for e in kept if e.kind == "extraction" and (e.id == record_id or items & _sources(e))]
    first = {entry.visit: entry.seq for entry in reversed(read)}
    going = items.union(*(_lines(notebook, entry, items) for entry in read))
    made = [e for e in kept if _repeats(e, going, e.seq > first.get(e.visit, e.seq))]
    return [entry.id for entry in (*read, *made)]


def _items(notebook: Notebook, record_id: str) -> set[str]:
    """Whose words go: those of a recording or note, of all that is in a visit, or of the item that a record is about."""
    about = [entry.item for entry in notebook.entries() if entry.id == record_id and entry.item]
    return {record_id, *about, *(item.id for item in notebook.items(record_id))}


def _sources(entry: Entry) -> set[str]:
    return {source["item"] for source in entry.payload["sources"]}


def _lines(notebook: Notebook, entry: Entry, items: set[str]) -> list[str]:
    sources = tuple(from_plain(Source, source) for source in entry.payload["sources"])
    said = Talk("", sources, transcripts(notebook, entry.visit))
    lines = proposed(from_plain(Extraction, entry.payload["extraction"]), said)
    return [line.id for line in lines if line.trace.item in items]


def _repeats(entry: Entry, going: set[str], later: bool) -> bool:
    """Whether a record repeats what goes: a check, a closing or a decision on one of the lines, or on a point or photo.

    A point's text is made from everything that was said before: only one that names other lines is sure to be free of it.
    """
    if entry.kind == "check":
        return later
    if entry.kind == "closing":
        return entry.payload["line"] in going
    if entry.kind != "decision":
        return False
    named = (entry.payload["target"] or "").split(":")
    of_all = named[0] == "point" and named[1] != "photo" and len(named) == 3
    return (later and of_all) or not going.isdisjoint(named)
