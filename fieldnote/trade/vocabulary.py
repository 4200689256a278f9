"""The ids that the findings contract fixes, with their labels. Goes out: `Vocabulary`. Knows no language."""

import functools
import tomllib
from dataclasses import dataclass
from importlib import resources

GROUPS = ("cooking", "installation", "heating")


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Labels by id. `quantities` maps id to (label, unit); `component_group` maps component to cooking/installation/heating."""

    appliances: dict[str, str]
    components: dict[str, str]
    component_group: dict[str, str]
    conditions: dict[str, str]
    actions: dict[str, str]
    statuses: dict[str, str]
    quantities: dict[str, tuple[str, str]]
    classes: dict[str, str]
    followups: dict[str, str]

    def label(self, id_: str | None) -> str:
        """What people read for an id of any table; the id itself where it has no label; empty for None."""
        if id_ is None:
            return ""
        for table in (self.components, self.conditions, self.appliances, self.actions, self.statuses, self.classes):
            if id_ in table:
                return table[id_]
        return self.quantities[id_][0] if id_ in self.quantities else id_.replace("-", " ")


@functools.cache
def vocabulary() -> Vocabulary:
    """The vocabulary that ships with the program."""
    text = resources.files("fieldnote.trade").joinpath("data/vocabulary.toml").read_text("utf-8")
    raw = tomllib.loads(text)
    parts = {id_: (group, label) for group in GROUPS for id_, label in raw["components"][group].items()}
    return Vocabulary(
        appliances=raw["appliances"],
        components={id_: label for id_, (_, label) in parts.items()},
        component_group={id_: group for id_, (group, _) in parts.items()},
        conditions=raw["conditions"],
        actions=raw["actions"],
        statuses=raw["statuses"],
        quantities={id_: (label, unit) for id_, (label, unit) in raw["quantities"].items()},
        classes=raw["classes"],
        followups=raw["followups"],
    )
