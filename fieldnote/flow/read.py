"""Words to findings, for one visit. In: its talk and an extractor. Out: an extraction, kept with where each word came from."""

from collections.abc import Collection
from typing import Protocol

from fieldnote import __version__
from fieldnote.flow.lines import proposed
from fieldnote.flow.talk import Talk, talk
from fieldnote.notebook import Entry, Notebook
from fieldnote.records import Extraction, Finding, Reading, digest, from_plain, to_plain


class Reads(Protocol):
    """Whatever turns a text into an extraction. `version` names its knowledge, so that two runs can be compared; `taught`:
    whether the taught reader is heard beside the rules; behind words that end at the characters `soft` stand marks that nobody
    is sure of."""

    @property
    def version(self) -> str: ...

    @property
    def taught(self) -> bool: ...

    def read(self, text: str, *, soft: Collection[int] = ()) -> Extraction: ...


def read(notebook: Notebook, extractor: Reads, visit: str | None) -> Extraction:
    """Read the talk of a visit as it stands and keep the result; the same talk read by the same program is kept once. Where the
    taught reader is not on the machine, what it heard in the same talk elsewhere stays."""
    said = talk(notebook, visit)
    words = digest([said.text, [source.item for source in said.sources]])
    basis = digest([words, __version__, extractor.version])
    newest = newest_extraction(notebook, visit)
    if newest:
        by_more = newest.payload.get("taught") and not extractor.taught and newest.payload["words"] == words
        if newest.payload["basis"] == basis or by_more:
            return from_plain(Extraction, newest.payload["extraction"])
    extraction = extractor.read(said.text, soft=said.soft)
    payload = {
        "basis": basis,
        "words": words,
        "taught": extractor.taught,
        "program": __version__,
        "knowledge": extractor.version,
        "sources": to_plain(said.sources),
        "extraction": to_plain(extraction),
    }
    notebook.append("extraction", payload, visit=visit, texts=_searchable(extraction, said))
    return extraction


def newest_extraction(notebook: Notebook, visit: str | None) -> Entry | None:
    """The last extraction of a visit, or None."""
    mine = [e for e in notebook.entries(kind="extraction", visit=visit) if e.visit == visit and e.payload]
    return mine[-1] if mine else None


def _searchable(extraction: Extraction, said: Talk) -> list[tuple[str, str]]:
    return [
        (line.id, _words(line.current)) for line in proposed(extraction, said) if line.kind in ("finding", "reading")
    ]


def _words(said: object) -> str:
    if isinstance(said, Finding):
        status = {"present": "", "absent": "no sign of"}.get(said.status, said.status)
        ids = [said.appliance, said.component, said.position, status, said.condition]
    elif isinstance(said, Reading):
        ids = [said.appliance, said.quantity, str(said.value), said.unit]
    else:
        return ""
    return " ".join([*(i.replace("-", " ") for i in ids if i), said.evidence.text])
