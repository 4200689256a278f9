"""What a person decided about what the machine proposed. A decision is a record of its own; it never rewrites."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Decision:
    """One decision.

    `kind`: accept, accept-sure (taken in one go), amend, reject, defer, add, undo.
    `target` is the id of a finding, reading, declared class, follow-up or point; None for `add`; for `undo` the id of the
    decision that is taken back. `changes` maps field names to new values as text ("" for none), for `amend` and `add`.
    `seen` is what the machine proposed at that moment, in the same form, so that agreement can be measured later.
    """

    kind: str
    target: str | None
    at: datetime
    by: str
    changes: Mapping[str, str] = field(default_factory=dict)
    seen: Mapping[str, str] = field(default_factory=dict)
    reason: str = ""
    id: str = ""
