"""One audit from paths to picture. In: paths, an index, a keyring, a day. Out: the picture and what was read for it."""

import hashlib
from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Any

from fieldnote.audit.gather import Found, Gathered, Progress, gather
from fieldnote.audit.index import Index
from fieldnote.audit.picture import SHOWN, Asking, Picture, Table, ask, draw, table_of
from fieldnote.audit.tables import KINDS
from fieldnote.bundle import Keyring
from fieldnote.records import canonical, to_plain


class Audit:
    """What was gathered, to be asked for its picture, or for one table whole."""

    def __init__(self, index: Index, gathered: Gathered, keyring: Keyring, on: date) -> None:
        self.index = index
        self.gathered = gathered
        self.keyring = keyring
        self.on = on

    def picture(self, most: int = SHOWN) -> Picture:
        """The picture, taken from the index when nothing changed since it was drawn."""
        key = self._key(most)
        kept = self.index.picture(key)
        if kept is not None:
            return _picture(kept)
        drawn = draw(self.asking(), KINDS, most)
        self.index.keep_picture(key, to_plain(drawn))
        return drawn

    def table(self, name: str) -> Table:
        """One table, whole."""
        return table_of(next(kind for kind in KINDS if kind.name == name), self.asking())

    def asking(self) -> Asking:
        """The way to the rows themselves."""
        return ask(self.index, (one.path for one in self.gathered.found), self.keyring, self.on)

    def counting(self) -> list[Found]:
        """The sources that count: nothing wrong with them, and no visit twice."""
        chosen = {path for (path,) in self.asking().rows("select path from source where number in chosen")}
        return [one for one in self.gathered.found if one.path in chosen]

    def _key(self, most: int) -> str:
        sources = [[one.path, one.mark] for one in self.gathered.found]
        whole = canonical([sources, to_plain(self.keyring), self.on.isoformat(), most])
        return hashlib.sha256(whole).hexdigest()


def audit(
    paths: Sequence[Path],
    index: Index,
    keyring: Keyring,
    now: datetime,
    *,
    afresh: bool = False,
    progress: Progress | None = None,
    workers: int | None = None,
) -> Audit:
    """Read what is new, and give the way to everything."""
    gathered = gather(paths, index, keyring, now, afresh=afresh, progress=progress, workers=workers)
    return Audit(index, gathered, keyring, now.date())


def _picture(plain: Any) -> Picture:
    tables = tuple(
        Table(**{**table, "columns": tuple(table["columns"]), "rows": tuple(map(tuple, table["rows"]))})
        for table in plain["tables"]
    )
    return Picture(**{**plain, "tables": tables})
