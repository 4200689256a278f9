"""Figures that say how sure they are. In: counts. Out: shares with intervals, agreement beyond chance, order statistics.

Pure functions of counts; nothing here knows what was counted.
"""

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

Z95 = 1.959963984540054  # two-sided 95 % of the normal distribution


class Share(NamedTuple):
    """`part` of `total` and the 95 % interval of the share behind it; with nothing counted, anything from 0 to 1."""

    part: int
    total: int
    low: float
    high: float


class Kappa(NamedTuple):
    """Agreement beyond chance over `total` pairs: `value` with its 95 % interval; None where chance alone would agree always."""

    total: int
    agreed: float
    value: float | None
    low: float | None
    high: float | None


def share(count: int, total: int, z: float = Z95) -> Share:
    """Wilson's score interval for a share (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927). Raises ValueError if part > whole."""
    if not 0 <= count <= total:
        raise ValueError(f"{count} of {total}")
    if total == 0:
        return Share(0, 0, 0.0, 1.0)
    low, high = wilson(count / total, total, z)
    return Share(count, total, low if count else 0.0, high if count < total else 1.0)


def wilson(p: float, n: float, z: float = Z95) -> tuple[float, float]:
    """Both ends of Wilson's interval for a share `p` of `n`."""
    zz = z * z
    middle = (p + zz / (2 * n)) / (1 + zz / n)
    half = z / (1 + zz / n) * math.sqrt(p * (1 - p) / n + zz / (4 * n * n))
    return max(0.0, middle - half), min(1.0, middle + half)


def kappa(pairs: Mapping[tuple[str, str], int], z: float = Z95) -> Kappa:
    """Cohen's kappa of two readers (J. Cohen, Educ. Psychol. Meas. 20, 1960) over counts of (one said, other said).

    The interval uses the large-sample error of Fleiss, Cohen and Everitt (Psychol. Bull. 72, 1969), cut at -1 and 1.
    """
    total = sum(pairs.values())
    if not total:
        return Kappa(0, 0.0, None, None, None)
    names = sorted({name for pair in pairs for name in pair})
    one = {a: sum(n for (x, _), n in pairs.items() if x == a) / total for a in names}
    other = {b: sum(n for (_, y), n in pairs.items() if y == b) / total for b in names}
    agreed = sum(pairs.get((a, a), 0) for a in names) / total
    chance = sum(one[a] * other[a] for a in names)
    if chance >= 1:
        return Kappa(total, agreed, None, None, None)
    value = (agreed - chance) / (1 - chance)
    error = _error(pairs, total, one, other, agreed, chance)
    return Kappa(total, agreed, value, max(-1.0, value - z * error), min(1.0, value + z * error))


def _error(
    pairs: Mapping[tuple[str, str], int],
    total: int,
    one: Mapping[str, float],
    other: Mapping[str, float],
    agreed: float,
    chance: float,
) -> float:
    """The standard error of kappa, Fleiss, Cohen and Everitt (1969), equation 13."""
    value = (agreed - chance) / (1 - chance)
    on = sum(pairs.get((a, a), 0) / total * (1 - (one[a] + other[a]) * (1 - value)) ** 2 for a in one)
    off = (1 - value) ** 2 * sum(n / total * (other[a] + one[b]) ** 2 for (a, b), n in pairs.items() if a != b)
    variance = (on + off - (value - chance * (1 - value)) ** 2) / (total * (1 - chance) ** 2)
    return math.sqrt(max(0.0, variance))


def mcnemar(one: int, other: int) -> float:
    """How likely so uneven a split of discordant pairs is by chance: McNemar's test in its exact, two-sided form (Q. McNemar,
    Psychometrika 12, 1947): the binomial distribution at one half. 1 when there are none."""
    total, few = one + other, min(one, other)
    return min(1.0, 2 * sum(math.comb(total, n) for n in range(few + 1)) / (1 << total))


def quartiles(values: Sequence[float]) -> tuple[float, float, float] | None:
    """Lower quartile, median, upper quartile by linear interpolation (type 7, Hyndman and Fan, Am. Stat. 50, 1996)."""
    if not values:
        return None
    ordered = sorted(values)
    return _at(ordered, 0.25), _at(ordered, 0.5), _at(ordered, 0.75)


def _at(ordered: Sequence[float], part: float) -> float:
    place = part * (len(ordered) - 1)
    low = math.floor(place)
    high = min(low + 1, len(ordered) - 1)
    return ordered[low] + (ordered[high] - ordered[low]) * (place - low)
