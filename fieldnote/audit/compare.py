"""Two runs of the machine on the same recordings. In: visits as two runs read them. Out: what changed, finding by finding.

Lines are paired within a visit: first those that are alike in every field, then those about the same thing, then those from the
same words; what is left over on one side is gone or new. Where people decided, both runs are held against what holds.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any, NamedTuple

from fieldnote.audit.facts import FIELDS
from fieldnote.audit.fold import KINDS, Plain, Standing, fold
from fieldnote.audit.gather import Found, Progress, find
from fieldnote.audit.picture import Picture, Rows, Table
from fieldnote.audit.raw import read
from fieldnote.audit.statistics import mcnemar, share
from fieldnote.bundle import Keyring
from fieldnote.errors import InputProblem

ABOUT = {
    "finding": ("appliance", "component"),
    "reading": ("appliance", "quantity"),
    "declared": ("appliance",),
    "followup": ("kind",),
    "procedure": ("step",),
}
DECIDED = ("accepted", "amended", "added")
FIGURES = "Lines are paired by what they say and by their words. People decided while they saw one of the runs, which favours it."


class Pair(NamedTuple):
    """What two runs made of one thing; None where one of them made nothing of it."""

    kind: str
    old: Plain | None
    new: Plain | None

    @property
    def changed(self) -> list[str]:
        """The fields that differ."""
        if self.old is None or self.new is None:
            return []
        return [name for name in FIELDS[self.kind] if self.old[name] != self.new[name]]


def paired(old: Sequence[Plain], new: Sequence[Plain], kind: str) -> list[Pair]:
    """Pair the lines of one kind of one visit, in the old run's order, what is new behind."""
    mates: dict[int, int] = {}
    for alike in (_all_of(FIELDS[kind]), _all_of((*ABOUT[kind], "#words")), _all_of(ABOUT[kind]), _all_of(("#words",))):
        free: dict[Any, list[int]] = defaultdict(list)
        for n, one in enumerate(new):
            if n not in mates.values():
                free[alike(one)].append(n)
        for n, one in enumerate(old):
            if n not in mates and free[alike(one)]:
                mates[n] = _nearest(one, new, free[alike(one)], kind)
    pairs = [Pair(kind, one, new[mates[n]] if n in mates else None) for n, one in enumerate(old)]
    return pairs + [Pair(kind, None, one) for n, one in enumerate(new) if n not in mates.values()]


def _all_of(names: Sequence[str]) -> Callable[[Plain], str]:
    def key(one: Plain) -> str:
        return repr([one["evidence"]["text"] if name == "#words" else one[name] for name in names])

    return key


def _nearest(one: Plain, new: Sequence[Plain], free: list[int], kind: str) -> int:
    """Of the free ones that which shares most fields, the first of these; it is free no longer."""
    best = max(free, key=lambda n: (sum(one[name] == new[n][name] for name in FIELDS[kind]), -n))
    free.remove(best)
    return best


@dataclass
class Comparison:
    """What was found so far.

    `judged` counts, of lines that people settled, (old run had it right, new run had it right). `errors` counts lines of each
    run that do not stand so, in visits where everything was decided.
    """

    programs: tuple[Counter[str], Counter[str]] = field(default_factory=lambda: (Counter(), Counter()))
    visits: Counter[str] = field(default_factory=Counter)
    lines: Counter[str] = field(default_factory=Counter)
    fields: Counter[tuple[str, str]] = field(default_factory=Counter)
    paired: Counter[str] = field(default_factory=Counter)
    changed: Rows = field(default_factory=list)
    apart: Rows = field(default_factory=list)
    judged: Counter[tuple[bool, bool]] = field(default_factory=Counter)
    errors: tuple[Counter[str], Counter[str]] = field(default_factory=lambda: (Counter(), Counter()))

    def take(self, old: Standing, new: Standing) -> None:
        """One visit that both runs read."""
        self.visits["in both"] += 1
        self.programs[0][old.program] += 1
        self.programs[1][new.program] += 1
        for kind in KINDS:
            for pair in paired(_read(old, kind), _read(new, kind), kind):
                self._pair(new.known["ref"], pair)
        self._judge(old, new)

    def _pair(self, ref: str, pair: Pair) -> None:
        words = (pair.old or pair.new or {})["evidence"]["text"]
        if pair.old is None or pair.new is None:
            said = "new" if pair.old is None else "gone"
            self.lines[said] += 1
            self.apart.append((ref, said, pair.kind, told(pair.kind, pair.new or pair.old), words))
            return
        self.paired[pair.kind] += 1
        self.lines["changed" if pair.changed else "the same"] += 1
        for name in pair.changed:
            self.fields[pair.kind, name] += 1
            row = (ref, pair.kind, told(pair.kind, pair.old), name, value(pair.old[name]), value(pair.new[name]), words)
            self.changed.append(row)

    def _judge(self, old: Standing, new: Standing) -> None:
        """Hold both runs against what people settled, on whichever side they did."""
        settled = max((old, new), key=lambda one: sum(line.state in DECIDED for line in one.lines.values()))
        states = {line.state for line in settled.lines.values()}
        whole = bool(states & {*DECIDED}) and not states - {*DECIDED, "rejected"}
        for kind in KINDS:
            key = _all_of(FIELDS[kind])
            runs = [Counter(map(key, _read(one, kind))) for one in (old, new)]
            for line in settled.lines.values():
                if line.kind == kind and line.state in DECIDED and line.current is not None:
                    right = [_taken(run, key(line.current)) for run in runs]
                    self.judged[right[0], right[1]] += 1
            for errors, run in zip(self.errors, runs, strict=True):
                errors[kind] += run.total() if whole else 0


def _taken(run: Counter[str], key: str) -> bool:
    if not run[key]:
        return False
    run[key] -= 1
    return True


def _read(visit: Standing, kind: str) -> list[Plain]:
    """What the machine read, before anybody decided."""
    return list(visit.said.get(KINDS[kind], ()))


def told(kind: str, one: Plain | None) -> str:
    """A line in a few words."""
    return " ".join(value(one[name]) for name in FIELDS[kind] if one and one[name]) or kind


def value(of: Any) -> str:
    """A field's value as text; actions as KIND/STATE."""
    if isinstance(of, list):
        return ", ".join(f"{act['kind']}/{act['state']}" for act in of) or "none"
    return "none" if of is None else str(of)


def recordings(visit: Standing) -> tuple[str, ...]:
    """What a visit is known by in another notebook: the hashes of what was read, in order."""
    return tuple(visit.items[item]["sha256"] for item in visit.sources if item in visit.items)


def compare(old: Iterable[Standing], new: Iterable[Standing]) -> Comparison:
    """Compare what two runs made of the visits that both hold: the same recordings, in whichever notebook they lie."""
    found = Comparison()
    before = {recordings(visit): visit for visit in old if recordings(visit)}
    for visit in new:
        mate = before.pop(recordings(visit), None) if recordings(visit) else None
        if mate is None:
            found.visits["only in the new run"] += bool(recordings(visit))
        else:
            found.take(mate, visit)
    found.visits["only in the old run"] += len(before)
    return found


def compared(
    old: Sequence[Path], new: Sequence[Path], keyring: Keyring, now: datetime, progress: Progress | None = None
) -> Picture:
    """Compare the visits of notebooks and bundles: those of `old` with those of `new`, or, where `new` is empty, the first
    reading of each visit with its last. Raises InputProblem FN-301 for a path with nothing there."""
    bad: Rows = []
    sides = [_found(paths) for paths in (old, new or old)]
    told = Told(sum(map(len, sides)), progress)
    before = _standing(sides[0], keyring, now, bad, told, earliest=not new)
    after = _standing(sides[1], keyring, now, bad if new else [], told)
    return picture(compare(before, after), bad, now.date().isoformat())


class Told:
    """Tells how far things are, if anybody wants to know."""

    def __init__(self, total: int, progress: Progress | None) -> None:
        self.done, self.total, self.progress = 0, total, progress

    def one_more(self) -> None:
        """One more is done."""
        self.done += 1
        if self.progress:
            self.progress(self.done, self.total)


def _found(paths: Sequence[Path]) -> list[Found]:
    found, missing = find(paths)
    if missing:
        raise InputProblem("FN-301", path=missing[0], reason="there is no notebook and no bundle")
    return found


def _standing(
    found: Sequence[Found], keyring: Keyring, now: datetime, bad: Rows, told: Told, *, earliest: bool = False
) -> Iterator[Standing]:
    for one in found:
        source = read(Path(one.path), one.kind, keyring, now)
        bad += [(one.path, problem.code, problem.where, problem.detail) for problem in source.problems]
        if not source.problems:
            yield from fold(source.rows, earliest=earliest)
        told.one_more()


def picture(found: Comparison, bad: Rows, on: str) -> Picture:
    """A comparison as tables, in the form of every other picture."""
    lines = found.lines
    counts = {f"visits {name}": count for name, count in sorted(found.visits.items())}
    counts |= {f"lines {name}": lines[name] for name in ("the same", "changed", "gone", "new")}
    return Picture(on, counts, tuple(_tables(found, bad)), FIGURES)


def _tables(found: Comparison, bad: Rows) -> Iterator[Table]:
    yield _table("bad", "Notebooks and bundles that do not hold", "path, code, where, what", bad, attention=True)
    programs = [
        (side, name or "unknown", n)
        for side, counts in zip(("old", "new"), found.programs, strict=True)
        for name, n in sorted(counts.items())
    ]
    yield _table("programs", "What read them", "run, program and knowledge, visits", programs)
    total = sum(found.lines.values()) - found.lines["new"]
    kept = [(name, *_share(found.lines[name], total)) for name in ("the same", "changed", "gone")]
    yield _table(
        "kept", "What became of the old run's lines", "became, lines, of lines, share, low 95 %, high 95 %", kept
    )
    by_field = [(*key, *_share(n, found.paired[key[0]])) for key, n in sorted(found.fields.items())]
    yield _table(
        "by-field", "Changed, by field", "kind, field, changed, of pairs, share, low 95 %, high 95 %", by_field
    )
    yield _table(
        "judged",
        "Against what people settled",
        "run, right, of lines, share, low 95 %, high 95 %, lines in error, p",
        _judged(found),
    )
    yield _table("changed", "Changed, line by line", "visit, kind, line, field, before, after, words", found.changed)
    yield _table("apart", "Gone and new lines", "visit, became, kind, line, words", found.apart)


def _judged(found: Comparison) -> Rows:
    """How often each run had the whole line right, and how likely so uneven a difference is by chance (McNemar, exact)."""
    total = sum(found.judged.values())
    if not total:
        return []
    only_old, only_new, both = found.judged[True, False], found.judged[False, True], found.judged[True, True]
    p = mcnemar(only_old, only_new)
    sides = zip(("old", "new"), (both + only_old, both + only_new), found.errors, strict=True)
    return [(side, *_share(right, total), errors.total(), p) for side, right, errors in sides]


def _share(part: int, total: int) -> tuple[int, int, float | None, float, float]:
    one = share(part, total)
    return part, total, part / total if total else None, one.low, one.high


def _table(name: str, title: str, columns: str, rows: Rows, *, attention: bool = False) -> Table:
    return Table(name, title, tuple(columns.split(", ")), tuple(rows), len(rows), attention)
