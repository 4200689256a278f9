"""A fleet with planted faults, its index, and an audit of it on a fixed day."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldnote.audit.index import Index
from fieldnote.audit.together import Audit, audit
from fieldnote.bundle import Keyring

NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)


@pytest.fixture
def look(tmp_path: Path):
    """Audit paths with an index in memory, or with the one given."""
    opened: list[Index] = []

    def made(*paths: Path, keyring: Keyring | None = None, index: Path | None = None, **how: object) -> Audit:
        opened.append(Index(index))
        return audit(paths, opened[-1], keyring or Keyring(), NOW, **how)  # type: ignore[arg-type]

    yield made
    for one in opened:
        one.db.close()


Look = Callable[..., Audit]
