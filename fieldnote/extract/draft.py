"""What the steps of the pipeline write on, one talk at a time. Comes in: nothing. Goes out: `Draft`, `Context`.

Each field is assigned by one step and read by later ones; `pipeline.STEPS` says which. All indices are token indices.
"""

from dataclasses import dataclass, field
from typing import Any

from fieldnote.extract.words.tokens import Token
from fieldnote.records import Declared, Evidence, Finding, FollowUp, ProcedureStep, Reading


@dataclass(frozen=True, slots=True)
class Context:
    """What the talk is about at one token: appliance, place, burner size; None where it was not said."""

    appliance: str | None = None
    position: str | None = None
    burner: str | None = None
    unit: str | None = None


@dataclass(slots=True)
class Draft:
    """One talk on its way. `work` and `appliance` are what is known beforehand of the visit; behind words that end at `soft`
    (characters) stand marks that nobody is sure of."""

    text: str
    tokens: list[Token]
    work: str | None = None
    appliance: str | None = None
    soft: frozenset[int] = frozenset()
    numerals: list[Any] = field(default_factory=list)
    measures: list[Any] = field(default_factory=list)
    measured: set[int] = field(default_factory=set)
    mentions: list[Any] = field(default_factory=list)
    contexts: list[Context] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    doubted: list[Finding] = field(default_factory=list)
    readings: list[Reading] = field(default_factory=list)
    declared: list[Declared] = field(default_factory=list)
    followups: list[FollowUp] = field(default_factory=list)
    procedure: list[ProcedureStep] = field(default_factory=list)
    smell_of_gas: Evidence | None = None
    no_smell: Evidence | None = None
    appliances: str | None = None
    gas: str | None = None
    meter: str | None = None

    def evidence(self, start: int, end: int) -> Evidence:
        """The words of tokens `start` to `end` (exclusive) with their exact characters."""
        first, last = self.tokens[start].start, self.tokens[end - 1].end
        return Evidence(self.text[first:last], first, last)

    def context(self, at: int) -> Context:
        """What the talk is about at token `at`."""
        return self.contexts[at] if at < len(self.contexts) else Context()
