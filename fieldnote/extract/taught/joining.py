"""What the rules read and what the taught reader finds likely become one. In: a draft whose findings the rules have read. Out:
the same, each as sure as both together make it; findings of which the taught reader hears a field otherwise; and those
that only it hears.

How far each counts is data (joining.toml), fitted by `tests/benchmarks/joining.py` on sets that neither had seen. What may be a
danger is never called fit, mended, gone or another's word on likeness alone. Not allowed to know: limits.
"""

import functools
import math
import tomllib
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from importlib import resources

from fieldnote.extract import findings
from fieldnote.extract.confidence import FILED, TAUGHT_AGAINST, TAUGHT_ALONE, TAUGHT_OTHERWISE
from fieldnote.extract.draft import Draft
from fieldnote.extract.outcome import may_be_grave
from fieldnote.extract.phrases.mention import NOMINAL
from fieldnote.extract.taught.network import FIELDS
from fieldnote.extract.taught.reading import Likely, Taught
from fieldnote.records import Action, Finding, Why

# chances; set by hand before UNREAD was looked at
SURE = 0.5  # what is less likely by both is asked about, not filed
SURE_OF_FIT = (
    0.75  # so likely before a part is called fit on likeness alone, or one that may be a danger is called well at all
)
ASKED = 0.3  # a danger that only the taught reader hears is asked about from here on
_LOWER = 0.15  # so much less likely than the rules alone make it is told as a doubt
_LEAST, _MOST, _MOST_BY_LIKENESS = 0.01, 0.99, 0.9  # what no rule read is never accepted in one go
_FIT = frozenset({"ok", "passed", "not-fitted"})
_PUT_ASIDE = frozenset(
    {"resolved", "absent", "historical", "reported", "possible"}
)  # a danger that is here no more, or not surely
_DECIDED = frozenset({"still", "own-check", "again", "corrected"})  # rules that heard how it is now, after all
_SAFETY_WORK = frozenset("isolate disconnect label report".split())  # never taken as done because it sounds so
_LONGEST = 80  # characters of evidence that count
RULE, OTHERWISE, ALONE = KINDS = ("rule", "otherwise", "alone")
_TURNED = (("status",), ("condition",), ("condition", "status"), ("position",), ("burner",))
Told = tuple[str | None, ...]
Weights = Mapping[str, Mapping[str, float]]


@dataclass(frozen=True, slots=True)
class Candidate:
    """A finding as it may be filed: as a rule read it, as the taught reader hears what a rule read, or as only that hears it.
    `signs`: what speaks for it, each a number; none where the taught reader knows no such part."""

    kind: str
    finding: Finding
    signs: Mapping[str, float]


def run(draft: Draft, taught: Taught | None = None) -> None:
    """The step of the pipeline: weighs `findings` and `doubted` anew and adds what only the taught reader hears. Without that
    reader everything stays as the rules made it."""
    if taught is None:
        return
    kept = joined(candidates(draft, taught), table())
    draft.findings[:] = [one for one in kept if filed(one)]
    draft.doubted[:] = [one for one in kept if not filed(one)]


def filed(one: Finding) -> bool:
    """Whether a joined finding is filed; what is not, is asked about. A danger is asked about no sooner than by the rules alone;
    that a part which may be one is fit, mended or without that fault has to be surer than anything else."""
    grave = may_be_grave(one.component, one.condition)
    well = (one.condition in _FIT and one.status == "present") or one.status in ("resolved", "absent")
    least = FILED if _danger(one) else SURE_OF_FIT if grave and well else SURE
    return one.confidence >= least or findings.filed_however_unsure(one)


def joined(ways: Iterable[Sequence[Candidate]], weights: Weights) -> list[Finding]:
    """Of each thing that may have been said the likeliest way that no other one has taken, in the order of their words."""
    told: dict[tuple[str | None, ...], Finding] = {}
    for several in ways:
        weighed = [(one.kind, _weighed(one, weights)) for one in several]
        for kind, one in sorted(weighed, key=lambda way: -way[1].confidence):
            key = one.appliance, one.unit, *what(one)
            if key not in told and (kind != ALONE or _kept(one)):
                told[key] = one
                break
    return sorted(told.values(), key=_start)


def candidates(draft: Draft, taught: Taught) -> Iterator[list[Candidate]]:
    """For each thing that may have been said the ways in which it may be filed."""
    if not draft.tokens:
        return
    read = [*draft.findings, *draft.doubted]
    reading = taught.read(draft.text)
    parts = frozenset(taught.network.names["component"])
    known = [one for one in read if one.component in parts]
    heard = reading.asked([(one.component or "", one.evidence.start, one.evidence.end) for one in known])
    yield from ([Candidate(RULE, one, {})] for one in read if one.component not in parts)
    told, there = {what(one) for one in read}, _Read(read)
    for one, likely in zip(known, heard, strict=True):
        turned = (_turned(one, likely, fields, told) for fields in _TURNED)
        yield [Candidate(RULE, one, _of_rule(one, likely)), *(way for way in turned if way)]
    if not any(mention.kind in NOMINAL for mention in draft.mentions):
        return  # where nobody named a part, a place or an appliance, nothing is said of any
    for likely in sorted(reading.found(), key=_whole_chance, reverse=True):
        alone = _heard(draft, likely)
        if (
            what(alone) not in told
            and _sensible(alone)
            and alone.component not in {one.component for one in there.beside(alone)}
        ):
            told.add(what(alone))
            yield [Candidate(ALONE, alone, _of_alone(alone, likely, there))]


def what(one: Finding) -> Told:
    """The five fields that make a finding."""
    return one.component, one.position, one.burner, one.condition, one.status


def _danger(one: Finding) -> bool:
    """Whether a finding may be a danger that is here now."""
    return one.status == "present" and one.condition not in _FIT and may_be_grave(one.component, one.condition)


def _kept(one: Finding) -> bool:
    """Whether what only the taught reader hears is filed or asked about; of a part that may be a danger nothing but a danger."""
    if may_be_grave(one.component, one.condition):
        return _danger(one) and one.confidence >= ASKED
    fit = one.condition in _FIT and one.status == "present"
    return one.confidence >= (SURE_OF_FIT if fit else SURE)


def _sensible(one: Finding) -> bool:
    """Whether condition and status go together: what is fit was neither put right nor looked for in vain."""
    return not (one.condition in ("ok", "not-fitted") and one.status in ("resolved", "absent"))


def _turned(one: Finding, likely: Likely, fields: tuple[str, ...], told: set[Told]) -> Candidate | None:
    """A finding with these fields as the taught reader hears them; None where that changes nothing or may hide a danger."""
    best = {field: likely.best(field)[0] for field in fields}
    if "status" in fields and _status_rule(one) in _DECIDED:
        return None
    if any(best[field] == getattr(one, field) for field in fields):
        return None
    if one.status == "resolved" and best.get("status", "resolved") not in ("resolved", "present"):
        return None  # what a rule heard put right was here: it may only be here still
    made = replace(one, **best)  # type: ignore[arg-type]  # a status is never without a name
    if what(made) in told or not _sensible(made) or _hides(one, made):
        return None
    signs = {
        "confidence": _odds(one.confidence),
        **_of_fields(made, likely),
        "rule's-condition": _odds(likely.chance("condition", one.condition)),
        "rule's-status": _odds(likely.chance("status", one.status)),
        **{f"other-{field}": 1.0 for field in fields},
        f"is-{made.status}": 1.0,
        f"rule-{_status_rule(one)}": 1.0,
    }
    why = [Why(field, getattr(made, field), "taught", one.evidence) for field in fields]
    rest = [told for told in one.why[:-1] if told.field not in fields]
    return Candidate(OTHERWISE, replace(made, why=(*rest, *why, one.why[-1])), signs)


def _status_rule(one: Finding) -> str:
    """The rule that decided on a status."""
    return next((why.rule for why in one.why if why.field == "status"), "")


def _hides(one: Finding, made: Finding) -> bool:
    """Whether a fault would be called fit, a danger put aside, or a grave fault become another one."""
    if made.condition in _FIT and one.condition not in _FIT:
        return True
    aside = made.status in _PUT_ASIDE and (made.status != one.status or not may_be_grave(one.component, one.condition))
    if aside and may_be_grave(made.component, made.condition):
        return True
    if not may_be_grave(one.component, one.condition):
        return False
    lost = made.condition != one.condition and may_be_grave(None, one.condition)
    return lost or made.condition is None


def _of_rule(one: Finding, likely: Likely) -> dict[str, float]:
    others = {f"other-{field}": 1.0 for field in FIELDS[:3] if likely.best(field)[0] != getattr(one, field)}
    return {"confidence": _odds(one.confidence), **_of_fields(one, likely), **others, f"is-{one.status}": 1.0}


def _of_alone(one: Finding, likely: Likely, read: "_Read") -> dict[str, float]:
    there = read.beside(one)
    return {
        **_of_fields(one, likely),
        f"is-{one.status}": 1.0,
        "fit": float(one.condition in _FIT),
        "no-condition": float(one.condition is None),
        "read-there": float(bool(there)),
        "surest-there": max((_odds(other.confidence) for other in there), default=0.0),
        "part-read": float(one.component in read.parts),
        "likewise": float((one.component, one.condition) in read.told),
        "length": min(len(one.evidence.text), _LONGEST) / 40,
    }


class _Read:
    """What the rules read, by where it stands."""

    def __init__(self, read: Sequence[Finding]) -> None:
        self._read = sorted(read, key=_start)
        self._longest = max((len(one.evidence.text) for one in read), default=0)
        self.parts = {one.component for one in read}
        self.told = {(one.component, one.condition) for one in read}

    def beside(self, one: Finding) -> list[Finding]:
        """Those whose words are among the words of another one."""
        start, end = one.evidence.start, one.evidence.end
        first = bisect_left(self._read, start - self._longest, key=_start)
        last = bisect_left(self._read, end, key=_start)
        return [other for other in self._read[first:last] if other.evidence.end > start]


def _start(one: Finding) -> int:
    return one.evidence.start


def _of_fields(one: Finding, likely: Likely) -> dict[str, float]:
    chances = {field: likely.chance(field, getattr(one, field)) for field in FIELDS}
    whole, odds = likely.spoken * math.prod(chances.values()), {field: _odds(each) for field, each in chances.items()}
    seen = {"spoken": _odds(likely.spoken), "valid": _odds(likely.valid)}
    return {**seen, **odds, "whole": _odds(whole), "weakest": min(odds.values())}


def _heard(draft: Draft, likely: Likely) -> Finding:
    """A finding of what only the taught reader hears; whole words are its evidence."""
    first = min(bisect_right(draft.tokens, likely.start, key=lambda token: token.end), len(draft.tokens) - 1)
    last = max(bisect_left(draft.tokens, likely.end, key=lambda token: token.start), first + 1)
    evidence, here = draft.evidence(first, last), draft.context(first)
    told = {"component": likely.component, **{field: likely.best(field)[0] for field in FIELDS}}
    actions = [Action(*work.split("/")) for work in likely.work]
    actions = [action for action in actions if action.kind not in _SAFETY_WORK]
    why = [Why(field, told[field], "taught", evidence) for field in ("component", "position", "condition", "status")]
    why += [Why("action", f"{action.kind}/{action.state}", "taught", evidence) for action in actions]
    return Finding(
        appliance=here.appliance,
        component=likely.component,
        position=told["position"],
        burner=told["burner"],
        condition=told["condition"],
        status=told["status"] or "present",
        actions=tuple(actions),
        confidence=_LEAST,
        evidence=evidence,
        unit=here.unit,
        why=(*why, Why("confidence", "", "no-doubt", evidence)),
    )


def _weighed(one: Candidate, weights: Weights) -> Finding:
    """A candidate's finding, as sure as its signs make it."""
    if not one.signs:
        return one.finding
    row = weights[one.kind]
    total = math.fsum([row["bias"], *(row.get(sign, 0.0) * size for sign, size in one.signs.items())])
    most = _MOST if one.kind == RULE else _MOST_BY_LIKENESS
    sure = round(min(max(1 / (1 + math.exp(-total)), _LEAST), most), 3)
    *why, told = one.finding.why
    doubts = told.rule.replace("no-doubt", "").split()
    if one.kind != RULE:
        doubts.insert(0, TAUGHT_ALONE if one.kind == ALONE else TAUGHT_OTHERWISE)
    elif sure < one.finding.confidence - _LOWER:
        doubts.insert(0, TAUGHT_AGAINST)
    told = replace(told, value=f"{sure:.2f}", rule=" ".join(doubts) or "no-doubt")
    return replace(one.finding, confidence=sure, why=(*why, told))


def _whole_chance(likely: Likely) -> float:
    return likely.spoken * math.prod(likely.best(field)[1] for field in FIELDS)


def _odds(chance: float) -> float:
    return math.log((chance + 1e-3) / (1 - chance + 1e-3))


def strict(text: str) -> Weights:
    """The weights of a data file: for each of `KINDS` a table of signs with their weights and the `bias`. Raises ValueError
    where one is missing or no number."""
    held = tomllib.loads(text)
    if set(held) != set(KINDS) or not all("bias" in row for row in held.values()):
        raise ValueError(f"joining.toml: the tables are {', '.join(KINDS)}, each with a bias")
    for kind, row in held.items():
        for sign, weight in row.items():
            if not isinstance(weight, float):
                raise ValueError(f"joining.toml: {kind}.{sign} is no number with a point")
    return held


@functools.cache
def table() -> Weights:
    """The weights as they ship."""
    return strict(resources.files("fieldnote.extract.taught").joinpath("joining.toml").read_text("utf-8"))
