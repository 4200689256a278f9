"""Bundles as series, notebooks as copies: what shows only side by side. In: the index. Out: problems, and who counts.

Each engineer's bundles count from 1 and each names the one before. A number that is missing was withheld or lost on the way; two
bundles with one number cannot both be true. What was seen in earlier audits comes from the supervisor's keyring.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from fieldnote.bundle import Keyring, Problem
from fieldnote.bundle.keys import Seen


class Known(NamedTuple):
    """One source as the index knows it."""

    number: int
    path: str
    kind: str
    notebook: str
    head: str
    last: int
    engineer: str
    key: str
    sequence: int
    previous: str | None
    visit: str


class Gap(NamedTuple):
    """Numbers `first` to `last` of an engineer's bundles that never came."""

    engineer: str
    key: str
    first: int
    last: int


def gaps(sources: Iterable[Known], keyring: Keyring) -> list[Gap]:
    """The numbers missing in each engineer's series, up to the newest that is known."""
    found = []
    for key, bundles in sorted(_by_key(sources).items()):
        seen = keyring.seen.get(key, Seen())
        there = {one.sequence for one in bundles} | {int(number) for number in seen.contents}
        found += [Gap(bundles[0].engineer, key, *run) for run in _runs(there)]
    return found


def _by_key(sources: Iterable[Known]) -> dict[str, list[Known]]:
    bundles = defaultdict(list)
    for one in sources:
        if one.kind == "bundle" and one.key:
            bundles[one.key].append(one)
    return bundles


def _runs(there: set[int]) -> Iterator[tuple[int, int]]:
    """The stretches between 1 and the highest number that are not there."""
    before = 0
    for number in sorted(there):
        if number > before + 1:
            yield before + 1, number - 1
        before = number


def disagreements(sources: Sequence[Known], keyring: Keyring) -> list[tuple[Known, Problem]]:
    """Bundles that cannot stand beside each other or beside what was seen before: forks, and links that do not hold."""
    found = []
    for key, bundles in sorted(_by_key(sources).items()):
        statements = _statements(bundles, keyring.seen.get(key, Seen()).contents)
        for one in bundles:
            found += [(one, problem) for problem in _one(one, statements)]
    return found + _torn(sources)


def _statements(bundles: list[Known], seen: Mapping[str, str]) -> dict[int, set[str]]:
    held = defaultdict(set)
    for one in bundles:
        held[one.sequence].add(one.head)
    for number, statement in seen.items():
        held[int(number)].add(statement)
    return held


def _one(one: Known, statements: Mapping[int, set[str]]) -> Iterator[Problem]:
    if len(statements[one.sequence]) > 1:
        yield Problem("fork", "signature.json", f"another bundle with the number {one.sequence} says something else")
    before = statements.get(one.sequence - 1)
    if before and one.previous not in before:
        yield Problem("fork", "signature.json", f"it does not follow the bundle {one.sequence - 1}")


def _torn(sources: Sequence[Known]) -> list[tuple[Known, Problem]]:
    """Copies of one notebook as long as each other that end differently: one of them was made up."""
    longest: dict[str, Known] = {}
    found = []
    for one in sorted((s for s in sources if s.kind == "notebook" and s.notebook), key=lambda s: (-s.last, s.path)):
        first = longest.setdefault(one.notebook, one)
        if first.last == one.last and first.head != one.head:
            detail = f"{first.path} is the same notebook with as many records, and ends differently"
            found.append((one, Problem("notebook-fork", f"record {one.last}", detail)))
    return found


def counted(sources: Sequence[Known], visits_of: Mapping[int, set[str]]) -> tuple[list[int], list[tuple[Known, str]]]:
    """The sources whose visits count, so that no visit counts twice, and those left out with the reason.

    A notebook counts before bundles that came out of it; of copies of a notebook the longest, of bundles of a visit the newest.
    """
    order = sorted(
        sources,
        key=lambda one: (one.kind != "notebook", -one.last if one.kind == "notebook" else -one.sequence, one.path),
    )
    taken: dict[str, str] = {}
    chosen, left = [], []
    for one in order:
        mine = visits_of.get(one.number, set())
        double = next((taken[visit] for visit in sorted(mine) if visit in taken), None)
        if double is None:
            chosen.append(one.number)
            taken |= dict.fromkeys(mine, one.path)
        else:
            left.append((one, f"its visits are counted from {double}"))
    return chosen, left
