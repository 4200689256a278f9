"""Recordings that are not filed yet: those that grow right now, and those that a kill left. In: a notebook's folder. Out: copies.

Each is a sound file and its journal, under one name, in a folder of their own. No record speaks of them, so nothing here can tell
whether one was altered; they are carried along, and counted.
"""

import contextlib
from pathlib import Path

from fieldnote.notebook import disk

FOLDER = "listening"


def names(notebook: Path) -> list[str]:
    """The names of the sound files."""
    return sorted(path.name for path in _files(notebook) if path.suffix == ".wav")


def copy(source: Path, target: Path) -> set[str]:
    """Copy all of them, durably. Returns the names of the files; one that was filed meanwhile is not among them.

    A journal goes before its sound, which only grows, so that no copy has words without their sound.
    """
    done = set()
    for path in _files(source):
        with contextlib.suppress(FileNotFoundError), path.open("rb") as file:
            disk.make_folder(target / FOLDER)
            with disk.draft(target / "drafts") as (draft, out):
                disk.copy_synced(file, out)
                draft.replace(target / FOLDER / path.name)
            done.add(path.name)
    if done:
        disk.sync_folder(target / FOLDER)
    return done


def keep_only(target: Path, kept: set[str]) -> None:
    """Remove older copies of what was filed, or erased, since."""
    for path in _files(target):
        if path.name not in kept:
            path.unlink(missing_ok=True)
            disk.sync_folder(path.parent)


def _files(notebook: Path) -> list[Path]:
    """Journals before their sound."""
    found = (notebook / FOLDER).glob("listen-*")
    return sorted(
        path for path in found if path.suffix in (".jsonl", ".wav") and path.is_file() and not path.is_symlink()
    )
