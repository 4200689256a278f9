"""Settings become parts, wired together. The only place that knows concrete classes of more than one room.

Each function imports its room when it is called, so that a command pays only for what it uses.
"""

from fieldnote.bootstrap.auditing import (
    audit,
    audit_compare,
    audit_index,
    audit_page,
    audit_parquet,
    audit_tables,
    batch,
    batch_jobs,
    batch_recipe,
)
from fieldnote.bootstrap.basis import (
    answers,
    checker,
    extractor,
    extractor_after_hearing,
    makers,
    notebook,
    recogniser,
    recover,
    settle,
    taught,
    view,
)
from fieldnote.bootstrap.hands_free import after_listening, camera_offset, listening, photo_folders, sound_source
from fieldnote.bootstrap.papers import close_line, due, export, mask_for, month_end, particulars, photo_copies, report
from fieldnote.bootstrap.reviewing import clip, desk, page_parts, review_page, review_terminal
from fieldnote.bootstrap.sharing import bundle, is_bundle, keyring, keyring_path, read_bundle, remember

__all__ = [
    "after_listening",
    "answers",
    "audit",
    "audit_compare",
    "audit_index",
    "audit_page",
    "audit_parquet",
    "audit_tables",
    "batch",
    "batch_jobs",
    "batch_recipe",
    "bundle",
    "camera_offset",
    "checker",
    "clip",
    "close_line",
    "desk",
    "due",
    "export",
    "extractor",
    "extractor_after_hearing",
    "is_bundle",
    "keyring",
    "keyring_path",
    "listening",
    "makers",
    "mask_for",
    "month_end",
    "notebook",
    "page_parts",
    "particulars",
    "photo_copies",
    "photo_folders",
    "read_bundle",
    "recogniser",
    "recover",
    "remember",
    "report",
    "review_page",
    "review_terminal",
    "settle",
    "sound_source",
    "taught",
    "view",
]
