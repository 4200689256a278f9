"""What stands after all records: visits and items. In: records in order. Out: the newest state of each.

Nothing here is stored; it is folded out of the log whenever it is asked for.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from fieldnote.notebook.log import Unreadable
from fieldnote.records import Entry, Item, Visit

KINDS = ("visit", "visit-closed", "item", "move", "erased")


@dataclass
class State:
    """Visits and items by id, in the order in which they came; `seq` is the last record that was folded in."""

    seq: int = 0
    visits: dict[str, Visit] = field(default_factory=dict)
    items: dict[str, Item] = field(default_factory=dict)
    by_hash: dict[str, str] = field(default_factory=dict)

    def fold(self, entry: Entry) -> None:
        """Take one more record into account. Raises Unreadable when it is not what its kind promises."""
        try:
            self._fold(entry)
        except (KeyError, TypeError, ValueError, AttributeError) as problem:
            raise Unreadable(f"record {entry.seq}: {type(problem).__name__}") from problem

    def _fold(self, entry: Entry) -> None:
        self.seq = entry.seq
        if entry.kind == "erased":
            for gone in entry.payload["records"]:
                self._forget(gone)
        elif entry.erased:
            return
        elif entry.kind == "visit":
            self.visits[entry.id] = _visit(entry)
        elif entry.kind == "visit-closed" and entry.visit in self.visits:
            closed = replace(self.visits[entry.visit], closed_at=entry.at, no_access=entry.payload["no_access"])
            self.visits[entry.visit] = closed
        elif entry.kind == "item":
            self.items[entry.id] = item_of(entry)
            self.by_hash[entry.payload["sha256"]] = entry.id
        elif entry.kind == "move" and entry.item in self.items:
            self.items[entry.item] = replace(self.items[entry.item], visit=entry.visit)

    def _forget(self, gone: str) -> None:
        self.visits.pop(gone, None)
        item = self.items.pop(gone, None)
        if item is not None:
            self.by_hash.pop(item.sha256, None)


def _visit(entry: Entry) -> Visit:
    known: Mapping[str, Any] = entry.payload
    return Visit(
        id=entry.id,
        opened_at=entry.at,
        appliances=tuple(known["appliances"]),
        **{name: known[name] for name in ("ref", "work", "gas", "meter", "region", "edition")},
    )


def item_of(entry: Entry) -> Item:
    """The item that a record of kind "item" tells of, before any move."""
    known: Mapping[str, Any] = entry.payload
    return Item(
        id=entry.id,
        visit=entry.visit,
        added_at=entry.at,
        at=datetime.fromisoformat(known["at"]) if known["at"] else None,
        flags=tuple(known["flags"]),
        **{name: known[name] for name in ("kind", "sha256", "size", "name", "at_source", "seconds", "facts")},
    )
