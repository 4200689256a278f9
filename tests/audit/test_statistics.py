"""Statistics against a general-purpose library (scipy, numpy), and against worked examples where it has no such function."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some
from scipy import optimize, stats

from fieldnote.audit.drawing import Axis
from fieldnote.audit.statistics import Z95, kappa, mcnemar, quartiles, share, wilson

COUNTS = [
    (0, 1),
    (1, 1),
    (0, 10),
    (1, 10),
    (5, 10),
    (10, 10),
    (81, 263),
    (3, 1_000),
    (999, 1_000),
    (123_456, 1_000_000),
]


@pytest.mark.parametrize(("part", "total"), COUNTS)
def test_shares(part, total):
    """Wilson's interval is scipy's."""
    expected = stats.binomtest(part, total).proportion_ci(0.95, method="wilson")
    found = share(part, total)
    assert (found.low, found.high) == pytest.approx((expected.low, expected.high), abs=1e-12)


def test_nothing_counted_says_nothing():
    """With nothing counted the share is anything; a part larger than the whole is refused."""
    assert share(0, 0)[2:] == (0.0, 1.0)
    with pytest.raises(ValueError):
        share(2, 1)


@given(some.integers(0, 500), some.integers(1, 500))
def test_an_interval_holds_its_share(part, more):
    """Whatever is counted, the share lies in its interval and the interval within 0 and 1."""
    total = part + more
    found = share(part, total)
    assert 0 <= found.low <= part / total <= found.high <= 1
    assert wilson(part / total, total, 3.09)[0] <= found.low + 1e-12


@pytest.mark.parametrize(("one", "other"), [(0, 0), (1, 0), (5, 5), (10, 2), (2, 10), (4, 0), (59, 6), (700, 650)])
def test_mcnemar(one, other):
    """The exact test is scipy's two-sided binomial test at one half."""
    expected = stats.binomtest(min(one, other), one + other, 0.5).pvalue if one + other else 1.0
    assert mcnemar(one, other) == pytest.approx(expected, rel=1e-9)


def table(rows: list[list[int]]) -> dict[tuple[str, str], int]:
    """A square table of counts as pairs."""
    return {(str(a), str(b)): n for a, row in enumerate(rows) for b, n in enumerate(row)}


def test_kappa_by_hand():
    """The two-by-two example that most textbooks print: 20, 5, 10, 15 give 0.4 (agreed 0.70, by chance 0.50)."""
    found = kappa(table([[20, 5], [10, 15]]))
    assert (found.total, found.agreed) == (50, 0.7)
    assert found.value == pytest.approx(0.4, abs=1e-12)


TABLES = [
    [[20, 5], [10, 15]],
    [[88, 14, 18], [10, 40, 10], [2, 6, 12]],
    [[53, 5, 2], [11, 14, 5], [1, 6, 3]],
    [[1_000, 3], [4, 12]],
]


@pytest.mark.parametrize("rows", TABLES)
def test_kappa_and_its_error(rows):
    """Kappa is what numpy's matrices give; its interval is that of the delta method, worked out from numerical derivatives
    (scipy), which shares nothing with the printed formula but its reason."""
    counts = np.array(rows, float)
    total, shape = counts.sum(), counts.shape

    def value(flat: np.ndarray) -> float:
        p = flat.reshape(shape) / flat.sum()
        chance = (p.sum(1) * p.sum(0)).sum()
        return float((np.trace(p) - chance) / (1 - chance))

    p = (counts / total).ravel()
    slope = optimize.approx_fprime(p, value, 1e-7)
    variance = (slope**2 @ p - (slope @ p) ** 2) / total
    found, half = kappa(table(rows)), Z95 * math.sqrt(variance)
    assert found.value == pytest.approx(value(counts.ravel()), abs=1e-12)
    assert (found.low, found.high) == pytest.approx((found.value - half, found.value + half), abs=2e-5)


def test_kappa_of_a_published_table():
    """The table of 200 by which Fleiss, Cohen and Everitt (Psychol. Bull. 72, 1969) show unweighted kappa: 0.429 and an error of
    0.054 (figures from memory)."""
    found = kappa(table([[106, 10, 4], [22, 28, 10], [2, 12, 6]]))
    assert found.total == 200
    assert found.value == pytest.approx(0.429, abs=5e-4)
    assert (found.high - found.low) / (2 * Z95) == pytest.approx(0.054, abs=1e-3)


@pytest.mark.parametrize("rows", TABLES)
def test_kappa_of_another_library(rows):
    """Kappa and its interval are those of statsmodels, where it is installed."""
    raters = pytest.importorskip("statsmodels.stats.inter_rater")
    expected, found = raters.cohens_kappa(np.array(rows)), kappa(table(rows))
    assert (found.total, found.value) == (sum(map(sum, rows)), pytest.approx(expected.kappa, abs=1e-9))
    assert (found.low, found.high) == pytest.approx((expected.kappa_low, expected.kappa_upp), abs=1e-9)


def test_kappa_where_it_means_nothing():
    """Where chance alone agrees always, or nothing was counted, there is no kappa and none is made up."""
    assert kappa({("a", "a"): 9})[2:] == (None, None, None)
    assert kappa({})[0] == 0


@given(some.lists(some.floats(0, 1e6), min_size=1, max_size=60))
def test_quartiles(values):
    """Quartiles are numpy's linear ones."""
    assert quartiles(values) == pytest.approx(tuple(np.percentile(values, [25, 50, 75])), rel=1e-9, abs=1e-9)


@given(some.floats(1e-4, 1e5))
def test_axes_have_round_marks(most):
    """An axis holds what it must, with three to ten marks."""
    axis = Axis.upto(most)
    assert axis.end >= most * (1 - 1e-6) and 2 <= round(axis.end / axis.step) <= 10
