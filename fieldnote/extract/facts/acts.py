"""What the work on a fault comes to once all is told. In: facts with their actions. Out: the same, each piece of work told
once, by its name in the trade, at the part that was worked on. Not allowed to know: words.
"""

from collections.abc import Sequence

from fieldnote.extract.clauses.said import MENDING
from fieldnote.extract.facts.story import SAFETY, Fact
from fieldnote.extract.words.symptoms import SHOWING
from fieldnote.records import Action

# parts that lie in their place: what is put right there is set back, no setting is changed
_SEATED = frozenset("burner-cap burner-ring burner-head fuel-bed".split())
_UNSEATED = frozenset({"misaligned", "detached"})
# parts that stay fixed while they are bent or moved to where they should be
_SET = frozenset("electrode thermocouple flame-sensor mixing-tube thermostat".split())
_OUT = frozenset({"distorted", "misaligned", "out-of-adjustment"})
_FREED_BY = frozenset("clean regrease dry replace".split())  # "freed it off with a bit of grease" is one piece of work
_STRIPPED = frozenset({"clean", "regrease"})
_HARD = frozenset("stiff sticking seized".split())
_BACK = frozenset({"detached", "loose", "unstable"})
_ANSWERS = frozenset({"ok", "passed"})
# parts at which the faults of others show, and what shows there besides
_SHOWN_AT = frozenset("flame burner electrode pilot appliance spark-generator fsd".split())
_HEARD = frozenset({"noisy", "weak"})
_TOLD_TOGETHER = 3  # clauses between a symptom and its cause
# what has been done where something is told to be in order again, which cannot have come about otherwise
_PUT_BACK = frozenset("ht-lead closure-plate stability-bracket door-seal case-seal".split())  # nobody tightens them
_SELF_EVIDENT = {"loose": "tighten", "out-of-adjustment": "adjust"}


def settle(facts: Sequence[Fact]) -> None:
    """The actions of each fact as they are filed."""
    for at, fact in enumerate(facts):
        if not fact.actions:
            fact.actions = _self_evident(fact)
            fact.implied = bool(fact.actions)
        elif _is_symptom(fact):
            near = [f for f in facts[max(0, at - 3) : at + 4] if abs(f.clause - fact.clause) <= _TOLD_TOGETHER]
            fact.actions = _not_told_twice(fact, [f for f in near if f is not fact and not _is_symptom(f)])
    for fact in facts:
        if fact.actions:
            fact.actions = _settled(fact)


def _settled(fact: Fact) -> list[Action]:
    done = {action.kind for action in fact.actions if action.state == "done"}
    refused = any(action.state == "declined" for action in fact.actions) and not done & SAFETY
    out: dict[str, Action] = {}
    for action in fact.actions:
        if action.state == "done" and _only_how(fact, action.kind, done & MENDING):
            continue
        if refused and action == Action("advise", "done"):
            continue  # "told him it wants another and he said no": one piece of work, which is declined
        kind = _named(fact, action)
        out.setdefault(kind, Action(kind, action.state))
    return list(out.values())


def _is_symptom(fact: Fact) -> bool:
    """Whether a fault is what another part comes to: "no spark", "goes out on low", "it roars", an alarm that chirps."""
    if fact.component == "co-alarm":
        return fact.condition == "noisy"
    heard = fact.condition in _HEARD and fact.component != "pilot"  # whose own jet is dirty where it is weak
    return fact.component in _SHOWN_AT and (fact.condition in SHOWING or heard)


def _not_told_twice(symptom: Fact, near: Sequence[Fact]) -> list[Action]:
    """ "No spark, the lead's perished, put a new one on": the work is on the lead, and no second time on what it showed as."""
    at = [fact for fact in near if fact.position is None or symptom.position in (None, fact.position)]
    told = {action for fact in at for action in fact.actions if fact.appliance in (symptom.appliance, None)}
    return [action for action in symptom.actions if action not in told or action.kind in SAFETY | {"advise"}]


def _only_how(fact: Fact, kind: str, mended: set[str]) -> bool:
    """Whether work is only how other work was done or proved: "took it out and cleaned it", "nipped it up and tested it"."""
    if kind == "remove":
        return len(mended) > 1
    if kind == "repair":
        return bool(mended & _FREED_BY) or ("refit" in mended and fact.condition in _BACK)
    if kind == "adjust":  # "took it down, cleaned and greased it", "backed off its nut, so nipped it up"
        return bool(mended & _STRIPPED and fact.condition in _HARD) or ("tighten" in mended and fact.condition in _BACK)
    # a test is how a fault was looked for; an alarm that answers its button has been tested, whatever else
    return kind == "test" and not (fact.component == "co-alarm" and fact.condition in _ANSWERS)


def _named(fact: Fact, action: Action) -> str:
    """ "Cap was on crooked, straightened it" sets it back; "electrode was bent, put it back over" changes its setting."""
    if action.state != "done":
        return action.kind
    if action.kind == "adjust" and fact.component in _SEATED and fact.condition in _UNSEATED:
        return "refit"
    if action.kind == "refit" and fact.component in _SET and fact.condition in _OUT:
        return "adjust"
    return action.kind


def _self_evident(fact: Fact) -> list[Action]:
    """ "Thermocouple loose, tight now", "fuse was thirteen, now it's a three": what must have been done."""
    if fact.status != "resolved":
        return []
    kind = _SELF_EVIDENT.get(fact.condition or "") if fact.component not in _PUT_BACK else None
    if fact.condition == "misaligned":
        kind = "refit" if fact.component in _SEATED else "adjust" if fact.component == "door" else None
    if (fact.component, fact.condition) == ("fuse", "wrong-part"):
        kind = "replace"
    return [Action(kind, "done")] if kind else []
