"""Figures for people are rounded to their doubt; the data keeps them whole; no rounding moves a figure onto or across a limit."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldnote.export import data, wording
from fieldnote.export.report import worked
from fieldnote.records import Limit, Quantity, Result
from tests.sample_visit import sample_book, sample_view

FIGURES = st.decimals(-10_000, 10_000, places=9)
DOUBTS = st.decimals(0, 100, places=9)


def parts(text: str) -> tuple[Decimal, Decimal]:
    value, doubt = text.replace(" mbar", "").split(" ± ")
    return Decimal(value), Decimal(doubt)


# The first two are worked examples of JCGM 100:2008 (GUM), 7.2.2 and 7.2.6, from memory: 100.02147 g with
# 0.35 mg and 10.05762 ohm with 27 milliohm; the others are made after the same rule.
ROUNDED = [
    ("100.02147", "0.00035", "100.02147 ± 0.00035"),
    ("10.05762", "0.027", "10.058 ± 0.027"),
    ("0.000461538", "0.000039", "0.000462 ± 0.000039"),
    ("9.072", "0.14", "9.07 ± 0.14"),
    ("54", "4.5", "54 ± 4.5"),
    ("21.3", "0.1", "21.3 ± 0.1"),
    ("1.23456", "0.0314159", "1.235 ± 0.032"),
    ("12", "0", "12 ± 0"),
]


@pytest.mark.parametrize(("value", "doubt", "shown"), ROUNDED)
def test_a_figure_is_shown_to_its_doubt(value, doubt, shown):
    """Two significant figures of the doubt, rounded up, and the value to the same place."""
    assert wording.quantity(Quantity(Decimal(value), "mbar", Decimal(doubt))) == f"{shown} mbar"


NEAR = [
    ("20.9996", "0.010", ["21"], "20.9996 ± 0.010 mbar"),  # would be shown as 21.000, on the limit
    ("20.0", "0.996", ["21"], "20.0 ± 0.996 mbar"),  # its doubt would be shown as reaching the limit
    ("0.00400049", "0.000012", ["0.004"], "0.0040005 ± 0.000012 mbar"),
    ("20.9996", "0.010", [], "21.000 ± 0.010 mbar"),
]


@pytest.mark.parametrize(("value", "doubt", "limits", "shown"), NEAR)
def test_near_a_limit_more_digits_are_shown(value, doubt, limits, shown):
    """Where rounding would put a figure or its doubt onto a limit, it is not rounded so far."""
    assert wording.quantity(Quantity(Decimal(value), "mbar", Decimal(doubt)), map(Decimal, limits)) == shown


@given(FIGURES, DOUBTS, st.lists(FIGURES, max_size=2))
def test_rounding_never_meets_or_crosses_a_limit(value, doubt, limits):
    """What is shown lies on the same side of each limit as what was worked out, and so do both ends of its doubt."""
    figure, wider = parts(wording.quantity(Quantity(value, "mbar", doubt), limits))
    for limit in limits:
        for exact, shown in ((value, figure), (value - doubt, figure - wider), (value + doubt, figure + wider)):
            assert (exact > limit) == (shown > limit) and (exact < limit) == (shown < limit)


@given(FIGURES, DOUBTS, st.integers(-3, 3))
def test_a_limit_right_beside_the_figure_is_kept_apart(value, doubt, steps):
    """Limits within a few billionths of the figure are where rounding would go wrong first."""
    limit = value + Decimal(steps).scaleb(-9)
    figure, _ = parts(wording.quantity(Quantity(value, "mbar", doubt), [limit]))
    assert (figure > limit, figure < limit) == (value > limit, value < limit)


@given(FIGURES, DOUBTS)
def test_the_doubt_never_shrinks(value, doubt):
    """The doubt that is shown is at least the doubt there is, and the figure has moved by half its second digit at most."""
    figure, wider = parts(wording.quantity(Quantity(value, "mbar", doubt)))
    assert wider >= doubt
    assert abs(figure - value) <= Decimal(1).scaleb(doubt.adjusted() - 1) / 2


def test_a_report_holds_its_figures_against_their_limit():
    """A result's figures are rounded with its own limit in view, where the units agree."""
    limit = Limit("l", "at most 21 mbar", "an invented limit for tests", "user", high=Decimal(21), unit="mbar")
    figure = Quantity(Decimal("20.9996"), "mbar", Decimal("0.010"))
    result = Result("working-pressure", {}, {"working-pressure": figure}, "as read", limit, "within")
    assert worked(result).results == ("Working pressure: 20.9996 ± 0.010 mbar",)
    other = replace(result, limit=replace(limit, unit="Pa"))
    assert worked(other).results == ("Working pressure: 21.000 ± 0.010 mbar",)


def test_the_data_keeps_every_digit(tmp_path):
    """JSON carries a figure as it was worked out, whatever people are shown."""
    view = sample_view(sample_book(tmp_path / "book"))
    figure = Quantity(Decimal("20.512345678"), "mbar", Decimal("0.1"))
    first = replace(view.check.results[0], results={"working-pressure": figure})
    visit = data.visit(replace(view, check=replace(view.check, results=(first,))))
    assert visit["results"][0]["results"]["working-pressure"]["value"] == "20.512345678"
    assert worked(first).results == ("Working pressure: 20.5 ± 0.1 mbar",)
