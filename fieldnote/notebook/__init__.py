"""What is kept: append-only records, media filed by hash. The only room that knows SQL; it knows nothing of the trade."""

from fieldnote.notebook import lean  # noqa: F401  (before sqlite-utils is imported)
from fieldnote.notebook.book import ANY, Hit, Notebook
from fieldnote.notebook.checking import Damage, Report, verify
from fieldnote.notebook.copies import backup, restore
from fieldnote.notebook.media import Draft
from fieldnote.notebook.unfiled import FOLDER as UNFILED
from fieldnote.records.chain import Entry

__all__ = ["ANY", "UNFILED", "Damage", "Draft", "Entry", "Hit", "Notebook", "Report", "backup", "restore", "verify"]
