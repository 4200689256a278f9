"""The tree of all wordings, kept between runs. In: a folder for what can be made again. Out: the tree, from its file or made.

Making it takes ten times as long as reading it. The file's name holds a digest of everything that the tree is made of, so an old
one is never read; one that cannot be read or written is no harm. Not allowed to know: what any wording means.
"""

import contextlib
import hashlib
import json
import os
from importlib import resources
from pathlib import Path
from typing import Any

from fieldnote.extract.words import lexicon
from fieldnote.extract.words.matcher import Phrases

MADE_OF = (
    ("fieldnote.extract", "cues/*.toml"),
    ("fieldnote.extract", "words/*.py"),
    ("fieldnote.trade", "data/spoken/*.toml"),
)


def load(folder: Path) -> Phrases[lexicon.Sense]:
    """The tree from the folder's file; made, and kept there, when it is not there or not whole."""
    path = folder / f"words-{digest()}.json"
    tree = lexicon.empty()
    try:
        kept = json.loads(_whole(path.read_bytes()))
        tree.restore(kept["tree"], [tuple(map(_sense, cell)) for cell in kept["values"]], kept["openers"])
    except (OSError, ValueError, KeyError, TypeError):
        tree = lexicon.made()
        with contextlib.suppress(OSError):  # a folder that is full or locked: the words are made again next time
            _keep(tree, path)
    return tree


def digest() -> str:
    """Names all that the tree is made of."""
    hasher = hashlib.sha256()
    for package, pattern in MADE_OF:
        for path in sorted(Path(str(resources.files(package))).glob(pattern)):
            hasher.update(path.name.encode() + path.read_bytes())
    return hasher.hexdigest()[:16]


def _keep(tree: Phrases[lexicon.Sense], path: Path) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    for old in path.parent.glob("words-*"):
        old.unlink()
    part = path.with_suffix(f".{os.getpid()}.part")
    body = json.dumps(tree.plain(), default=sorted, ensure_ascii=False, separators=(",", ":")).encode()
    part.write_bytes(hashlib.sha256(body).hexdigest().encode() + b"\n" + body)
    part.replace(path)


def _whole(data: bytes) -> bytes:
    """What stands behind its digest. Raises ValueError when it is not what was written."""
    mark, _, body = data.partition(b"\n")
    if hashlib.sha256(body).hexdigest().encode() != mark:
        raise ValueError("damaged")
    return body


def _sense(cell: list[Any]) -> lexicon.Sense:
    kind, id_, of, note = cell
    return lexicon.Sense(str(kind), str(id_), None if of is None else frozenset(of), str(note))
