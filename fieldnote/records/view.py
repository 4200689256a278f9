"""One visit as it stands now: the machine's proposals, people's decisions on top, every line traceable.

Built by `flow.view`, read by review, export, audit and the command line. Lines keep both what was proposed and what
holds now, so that no reader has to fold decisions again.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from fieldnote.records.decision import Decision
from fieldnote.records.findings import Declared, Finding, FollowUp, ProcedureStep, Reading
from fieldnote.records.results import Check
from fieldnote.records.speech import Transcript
from fieldnote.records.visit import Item, Visit


@dataclass(frozen=True, slots=True)
class Trace:
    """Where a line came from: the recording or note, characters in its text, and seconds of its sound (None for notes)."""

    item: str | None
    start: int
    end: int
    from_second: float | None = None
    to_second: float | None = None
    doubtful: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One finding, reading, declared class, follow-up or procedure step of a visit, as it stands now.

    `kind`: finding, reading, declared, followup, procedure. `proposed` is what the machine read (None when a person added
    the line), `current` what holds after decisions. `state`: open, accepted, amended, rejected, deferred, added.
    `photos` are ids of photos placed at this line.
    """

    id: str
    kind: str
    proposed: Finding | Reading | Declared | FollowUp | ProcedureStep | None
    current: Finding | Reading | Declared | FollowUp | ProcedureStep | None
    state: str
    trace: Trace
    decisions: tuple[Decision, ...] = ()
    photos: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Placement:
    """A photo on the talk: which recording was going on, at which second, and which words are there."""

    photo: str
    recording: str | None
    second: float | None
    how: str = "time"


@dataclass(frozen=True, slots=True)
class VisitView:
    """One visit, whole. `lines` are in the order in which they were said; `check` speaks of `lines` by index within its
    kind: findings and readings keep the order of the extraction. `waiting` are ids of items not yet processed, `day` is the
    day of the work, whose limits hold."""

    visit: Visit
    items: tuple[Item, ...] = ()
    transcripts: Mapping[str, Transcript] = field(default_factory=dict)
    lines: tuple[Line, ...] = ()
    placements: tuple[Placement, ...] = ()
    check: Check = field(default_factory=Check)
    waiting: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()
    day: date | None = None
