"""What one clause says: statements, work, guesses, each with the parts it is said of. Records only; `linking` fills them."""

from dataclasses import dataclass, field

from fieldnote.extract.clauses.target import Target
from fieldnote.extract.words.lexicon import Sense

# work that puts a fault right
MENDING = frozenset("clean regrease replace repair adjust tighten dry refit remove".split())


@dataclass(slots=True)
class Statement:
    """A condition that is said, its possible meanings and the targets it is said of; `where`: parts at which "it" leaks."""

    senses: tuple[Sense, ...]
    start: int
    end: int
    targets: list[Target] = field(default_factory=list)
    denied: bool = False
    hedged: bool = False
    now: bool = False
    past_tense: bool = False
    pronoun: bool = False
    listing: bool = False
    head: int = 0
    words: int = 1
    word: str = ""
    own: bool = False
    again: bool = False
    same: bool = False
    treated: bool = False
    verb: str = ""
    pointed: bool = False
    left_out: list[Target] = field(default_factory=list)
    where: list[Target] = field(default_factory=list)
    cues: list[str] = field(default_factory=list)

    @property
    def is_aside(self) -> bool:
        """Whether it names no part of its own and says that something goes on in spite of a fault."""
        return "still" in self.cues

    @property
    def condition_ids(self) -> set[str]:
        """The conditions it can mean."""
        return {sense.id for sense in self.senses}


@dataclass(slots=True)
class Job:
    """Work that is said: kind, state, and what it names as its object."""

    kind: str
    state: str
    start: int
    end: int
    targets: list[Target] = field(default_factory=list)
    cues: list[str] = field(default_factory=list)
    many: bool = False
    figure: bool = False
    pronoun: bool = False
    kinds: frozenset[str] = frozenset()
    bare: bool = False
    state_of: bool = False
    points_at: Statement | None = None
    now: bool = False
    past_tense: bool = False


@dataclass(slots=True)
class Said:
    """Everything one clause says. `against`: it is told with "but"."""

    subject: list[Target] = field(default_factory=list)
    statements: list[Statement] = field(default_factory=list)
    works: list[Job] = field(default_factory=list)
    guessed: list[Target] = field(default_factory=list)
    cured: bool = False
    outcome: bool = False
    against: bool = False
    still: bool = False
    declined: bool = False
    carried_out: bool = False
    reading: bool = False
    led: bool = False
    earlier: bool = False
    excepted: list[Target] = field(default_factory=list)
    start: int = 0
    end: int = 0

    @property
    def every(self) -> list[Target]:
        """All targets of the clause."""
        inner = [t for s in self.statements for t in s.targets] + [t for job in self.works for t in job.targets]
        return [*self.subject, *(t for t in inner if t not in self.subject)]

    def as_statement(self) -> Statement:
        """The clause as a statement without a condition."""
        return Statement((), self.start, self.end, hedged=True, cues=["hedge"])
