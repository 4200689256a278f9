"""The tree of all wordings, kept between runs with the tables behind it. In: a folder for what can be made again. Out: the tree,
from its file or made.

Making it takes ten times as long as reading it. The file's name holds a digest of everything that the tree is made of, so an old
one is never read; one that cannot be read or written is no harm. Not allowed to know: what any wording means.
"""

import contextlib
import hashlib
import json
import os
from importlib import resources
from pathlib import Path
from sys import intern
from typing import Any

from fieldnote.extract.words import lexicon
from fieldnote.extract.words.matcher import Phrases
from fieldnote.trade.spoken import give, spoken

MADE_OF = (
    ("fieldnote.extract", "cues/*.toml"),
    ("fieldnote.extract", "words/*.py"),
    ("fieldnote.trade", "data/spoken/*.toml"),
    ("fieldnote.trade", "spoken.py"),
)


def load(folder: Path) -> Phrases[lexicon.Sense]:
    """The tree from the folder's file; made, and kept there, when it is not there or not whole."""
    path = folder / f"words-{digest()}.json"
    try:
        kept = json.loads(_whole(path.read_bytes()))
        give(kept["tables"])
        tree = lexicon.empty()
        tree.restore(kept["tree"], _values(kept), kept["openers"])
    except (OSError, ValueError, LookupError, TypeError):
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
    body = json.dumps(_plain(tree), ensure_ascii=False, separators=(",", ":")).encode()
    part.write_bytes(hashlib.sha256(body).hexdigest().encode() + b"\n" + body)
    part.replace(path)


def _whole(data: bytes) -> bytes:
    """What stands behind its digest. Raises ValueError when it is not what was written."""
    mark, _, body = data.partition(b"\n")
    if hashlib.sha256(body).hexdigest().encode() != mark:
        raise ValueError("damaged")
    return body


def _plain(tree: Phrases[lexicon.Sense]) -> dict[str, Any]:
    """The tree and the tables as plain values; the parts that wordings are limited to once each, for there are few of them."""
    limits: dict[frozenset[str] | None, int] = {}
    plain = tree.plain()
    values = [[[s.kind, s.id, limits.setdefault(s.of, len(limits)), s.note] for s in cell] for cell in plain["values"]]
    listed = [None if of is None else sorted(of) for of in limits]
    return {**plain, "values": values, "limits": listed, "tables": spoken().model_dump(by_alias=True)}


def _values(kept: dict[str, Any]) -> list[tuple[lexicon.Sense, ...]]:
    """What phrases stand for; what is the same is one object, which halves the memory."""
    limits = [None if of is None else frozenset(map(intern, of)) for of in kept["limits"]]
    return [
        tuple([lexicon.Sense(intern(kind), intern(id_), limits[at], intern(note)) for kind, id_, at, note in cell])
        for cell in kept["values"]
    ]
