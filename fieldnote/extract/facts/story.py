"""What has been said so far: facts that later words may update, and what the talk is about now. In: what a clause says.
Out: facts in the order in which they were said, each found again by its component. Not allowed to know: words.
"""

from dataclasses import dataclass, field

from fieldnote.extract.clauses.said import MENDING
from fieldnote.extract.words.symptoms import AT_BURNER
from fieldnote.records import Action, Why

# work that makes safe and mends nothing
SAFETY = frozenset("isolate disconnect label".split())
LIKEWISE = "likewise"  # cue of a fact whose work is only that of another one
OPEN = frozenset({"present", "possible", "reported"})


@dataclass(slots=True, eq=False)
class Fact:
    """One finding on its way. `explicit` tells whether its place was said with it; `cues` are the rules that shaped it;
    `cause`: the fault that it was said to come from; `implied`: its work was not told, only that it has been done."""

    component: str | None
    position: str | None
    burner: str | None
    condition: str | None
    status: str
    start: int
    end: int
    appliance: str | None = None
    unit: str | None = None
    explicit: bool = False
    actions: list[Action] = field(default_factory=list)
    superseded: str | None = None
    cues: list[str] = field(default_factory=list)
    why: list[Why] = field(default_factory=list)
    number: int = 0
    clause: int = 0
    cause: "Fact | None" = None
    implied: bool = False

    @property
    def worked(self) -> bool:
        """Whether mending work was done on it."""
        return any(action.state == "done" and action.kind in MENDING for action in self.actions)

    def act(self, kind: str, state: str) -> None:
        """Note work; the same work said again takes the later state."""
        held = {action.kind: action for action in self.actions}
        before = held.get(kind)
        if state != "done" and LIKEWISE in self.cues:  # "rear right the same, needs greasing"
            held = {id_: action for id_, action in held.items() if action.state != "done"}
            self.status = "present"
        elif before is not None and state == "needed" and before.state == "done":
            return
        held[kind] = Action(kind, state)
        if kind == "replace" and held.get("remove") == Action("remove", state):
            del held["remove"]  # "whipped it out, stuck a new one in", "that's to come out and a new one go in"
        self.actions = list(held.values())

    def turn(self, status: str, cue: str) -> None:
        """Take a new status; what it was stays as superseded."""
        if status != self.status:
            self.superseded = self.superseded or f"{self.condition or 'no condition'}, {self.status}"
            self.status = status
        self.cues.append(cue)


class Story:
    """All facts, and the way back to them by component."""

    def __init__(self) -> None:
        self.facts: list[Fact] = []
        self._by_component: dict[str | None, list[Fact]] = {}
        self.unit: str | None = None  # which of several appliances of a kind the talk is at

    def add(self, fact: Fact) -> Fact:
        """File a new fact."""
        fact.number = len(self.facts)
        fact.unit = fact.unit or self.unit
        self.facts.append(fact)
        self._by_component.setdefault(fact.component, []).append(fact)
        return fact

    def drop(self, fact: Fact) -> None:
        """Take a fact back altogether."""
        if fact in self.facts[-40:]:
            self.facts.remove(fact)
            self._by_component[fact.component].remove(fact)

    def of(self, component: str | None, position: str | None, burner: str | None, appliance: str | None) -> list[Fact]:
        """Facts of one part at one place, newest first; a burner or appliance that was not said fits any."""
        held = self._by_component.get(component, [])
        return [
            fact
            for fact in reversed(held[-60:])
            if _at(fact, position)
            and _fits_burner(fact, burner)
            and _fits(fact.appliance, appliance)
            and _fits(fact.unit, self.unit)
        ]

    def named(self, component: str | None) -> list[Fact]:
        """The latest facts of one part, wherever it is, newest first."""
        held = self._by_component.get(component, [])[-60:]
        return [fact for fact in reversed(held) if _fits(fact.unit, self.unit)]


def _at(fact: Fact, position: str | None) -> bool:
    """Whether a fact is at a place; what does not sit at a burner is there once, whether its place is said again or not."""
    if fact.component in AT_BURNER:
        return fact.position == position
    return _fits(fact.position, position)


def _fits_burner(fact: Fact, asked: str | None) -> bool:
    """Whether a fact is of a burner: "burners okay" tells nothing of the oven's."""
    if fact.component == "burner" and fact.burner is None and asked in ("oven", "grill"):
        return fact.condition != "ok"
    return _fits(fact.burner, asked)


def _fits(held: str | None, asked: str | None) -> bool:
    return held is None or asked is None or held == asked


def another_unit(one: Fact, other: Fact) -> bool:
    """Whether two facts are of two appliances of a kind: the fire in the front room and the one in the back room."""
    return one.unit != other.unit and None not in (one.unit, other.unit)


def another_burner(one: Fact, other: Fact) -> bool:
    """Whether two facts are of two burners at one place: the wok and the simmer in the middle of a wide hob."""
    return one.burner != other.burner and None not in (one.burner, other.burner)
