"""What holds for any figures: units there and back, order kept, doubt never shrinking, nothing passed without a limit."""

from datetime import date
from decimal import Decimal as D

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldnote import trade
from fieldnote.errors import UsageProblem
from fieldnote.trade import units
from fieldnote.trade.catalogue import calculations
from fieldnote.trade.doubt import Measured, carry, shown, shown_doubt
from fieldnote.trade.formulas import combustion, gas_rate, injector, pipework, tightness, ventilation
from fieldnote.trade.judge import Circumstances, judge, together
from fieldnote.trade.limits import load

settings.register_profile("trade", max_examples=60, deadline=None)
settings.load_profile("trade")


def figure(least: str, most: str) -> st.SearchStrategy[D]:
    """Decimals of a range with four digits after the point."""
    return st.decimals(D(least), D(most), places=4)


UNITS = [(one, other) for kind in units.KINDS.values() for one in kind for other in kind]


@given(figure("0.001", "100000"), st.sampled_from(UNITS))
def test_units_there_and_back(value, pair):
    """A value comes back from another unit as it went."""
    back = units.convert(units.convert(value, pair[0], pair[1]), pair[1], pair[0])
    assert abs(back - value) <= value * D("1e-20")


@pytest.mark.parametrize("pair", [("mbar", "s"), ("furlong", "m"), ("m", "furlong")])
def test_units_of_other_things_are_refused(pair):
    """A unit of another kind, or one that nobody knows, is refused."""
    with pytest.raises(UsageProblem):
        units.convert(D(1), *pair)


@given(figure("0.3", "3"), figure("1", "60"), figure("0.01", "20"), figure("0.01", "2"))
def test_more_pressure_or_bore_never_less_heat(bore, pressure, more, wider):
    """More pressure never lets less gas through, a bigger bore never less heat."""
    base = injector.orifice_rate(bore, pressure, D("0.68"), D("0.85"))
    assert injector.orifice_rate(bore, pressure + more, D("0.68"), D("0.85")) >= base
    assert injector.orifice_rate(bore + wider, pressure, D("0.68"), D("0.85")) >= base


@given(figure("0.3", "3"), figure("1", "60"))
def test_bore_there_and_back(bore, pressure):
    """The bore for the rate of a bore is that bore."""
    rate = injector.orifice_rate(bore, pressure, D("0.68"), D("0.85"))
    assert abs(injector.bore_for(rate, pressure, D("0.68"), D("0.85")) - bore) < D("1e-15")


@given(figure("0", "1000"), figure("0", "5"), figure("10", "900"), figure("0", "5"))
def test_more_gas_is_more_heat(first, used, seconds, more):
    """More gas in the same time is never less heat; more time for the same gas is never more."""
    rate = gas_rate.metric_rate(first, first + used, seconds)
    assert gas_rate.metric_rate(first, first + used + more, seconds) >= rate
    assert gas_rate.metric_rate(first, first + used, seconds + 1) <= rate


@given(figure("0.01", "16"), figure("0.1", "60"), figure("5", "40"), figure("0.01", "5"))
def test_more_gas_or_length_never_loses_less(rate, length, bore, more):
    """More gas or more pipe never loses less pressure, a wider pipe never more."""
    loss = pipework.friction_loss(rate, length, bore, D("0.73"), D("0.000011"))
    assert pipework.friction_loss(rate + more, length, bore, D("0.73"), D("0.000011")) >= loss
    assert pipework.friction_loss(rate, length + more, bore, D("0.73"), D("0.000011")) >= loss


FORMULAS = [
    (gas_rate.metric_rate, ("0", "10", "120")),
    (gas_rate.dial_rate, ("1", "60")),
    (combustion.ratio, ("100", "9")),
    (tightness.leak_rate, ("0.01", "4", "120")),
    (ventilation.room_volume, ("2", "2", "2.4")),
    (injector.change_factor, ("1", "1.1", "20", "18")),
]


@given(st.sampled_from(FORMULAS), st.data())
def test_doubt_never_shrinks(formula, data):
    """More doubt of any input never gives less doubt of the result; no doubt gives none."""
    function, middle = formula
    small = [data.draw(st.decimals(0, D(value) / 10, places=4)) for value in middle]
    more = [
        doubt + data.draw(st.decimals(0, D(value) / 10, places=4)) for value, doubt in zip(middle, small, strict=True)
    ]
    one = carry(function, *(Measured(D(v), d) for v, d in zip(middle, small, strict=True)))
    other = carry(function, *(Measured(D(v), d) for v, d in zip(middle, more, strict=True)))
    assert other.doubt >= one.doubt
    assert carry(function, *(Measured(D(v)) for v in middle)).doubt == 0


@given(figure("0", "100"), figure("0", "10"))
def test_shown_doubt_never_shrinks(value, doubt):
    """What is printed of a doubt is never less than the doubt; what is printed of a value is the value to six figures."""
    assert shown_doubt(doubt) >= doubt
    assert abs(shown(value) - value) <= value * D("0.000005")


@given(figure("0", "20"), figure("0", "3"), figure("0", "3"))
def test_more_doubt_never_makes_a_verdict(drop, doubt, more):
    """A verdict that more doubt gives, less doubt gives too; doubt never turns one verdict into the other."""
    facts = {
        "gas": "natural",
        "meter": "U6",
        "largest-pipe": D(22),
        "appliances": "yes",
        "smell": "no",
        "seconds": D(120),
    }
    where = Circumstances(load(), date(2026, 2, 2), "gb")
    sharp = judge(where, "tightness-drop", Measured(drop, doubt), facts).verdict
    dull = judge(where, "tightness-drop", Measured(drop, doubt + more), facts).verdict
    assert dull in (sharp, "no-verdict")


@given(
    st.dates(date(1990, 1, 1), date(2100, 1, 1)),
    st.sampled_from(["gb", "cn", "nowhere", None]),
    st.sampled_from(["natural", "propane", "butane", None]),
    st.sampled_from(["up1b-3", "up1b-4", None]),
    st.dictionaries(st.sampled_from(["meter", "appliances", "smell", "gauge"]), st.just(""), max_size=4),
    st.data(),
)
def test_nothing_passes_without_a_trusted_limit_in_force(on, region, gas, edition, keys, data):
    """Whatever is given: "within" always rests on a sourced limit, graded P, K or the user's own, in force on that day."""
    choices = {"meter": ["U6", "G4", "E6", "U16", "none"], "appliances": ["yes", "no"], "smell": ["yes", "no"]}
    inputs = {
        "drop": str(data.draw(figure("0", "9"))),
        "largest-pipe": data.draw(st.sampled_from(["15", "28", "35", "54"])),
    }
    inputs |= {key: data.draw(st.sampled_from(choices[key])) for key in keys if key in choices}
    edition = edition if region == "gb" else None
    result = trade.calculate("tightness", inputs, on=on, region=region, gas=gas, edition=edition)
    if result.verdict == "within":
        limit = result.limit
        assert limit is not None and limit.grade in ("P", "K", "user") and limit.source
        assert limit.from_date <= on and (limit.to_date is None or on <= limit.to_date)
        assert region == "gb" and gas == "natural" and inputs.get("smell") == "no"
    else:
        assert result.verdict == "outside" or result.reason


@st.composite
def jobs(draw) -> tuple[str, dict[str, str]]:
    """A calculation and inputs anywhere in what is possible, ends included."""
    name = draw(st.sampled_from(sorted(calculations())))
    inputs = {}
    for key, row in calculations()[name].inputs.items():
        if not row.needed and draw(st.booleans()):
            continue
        if row.repeat:
            inputs[key] = draw(st.sampled_from(["15:9", "22:0 28:10000", "1-1/4in:3 pe32:2.5"]))
        elif row.choices:
            inputs[key] = draw(st.sampled_from(row.choices))
        else:
            inputs[key] = str(
                draw(st.sampled_from([*row.possible, *(row.likely or [])]) | st.decimals(*row.possible, places=6))
            )
    return name, inputs


@settings(max_examples=400)
@given(jobs(), st.sampled_from(["natural", "propane", "butane", None]), st.sampled_from(["gb", "cn", None]))
def test_whatever_is_possible_is_worked_out(job, gas, region):
    """Any inputs within what is possible are worked out or refused by name, never with a crash; results are finite."""
    try:
        result = trade.calculate(*job, on=date(2026, 11, 25), region=region, gas=gas)
    except UsageProblem:
        return
    assert all(one.value.is_finite() and one.plus_minus.is_finite() for one in result.results.values())
    assert result.verdict != "within" or result.limit.grade in ("P", "K")


def test_every_figure_has_its_bounds():
    """Each input that is a figure says what is possible and what is likely, the likely within the possible."""
    for spec in calculations().values():
        for key, row in spec.inputs.items():
            if not row.choices and row.likely is not None:
                assert row.possible[0] <= row.likely[0] < row.likely[1] <= row.possible[1], key
            assert row.choices or row.possible, key


def test_outside_wins_over_no_verdict_and_within():
    """Several rulings on one case: outside before no verdict before within."""
    where = Circumstances(load(), date(2026, 11, 25), "gb")
    within = judge(where, "supply-voltage", Measured(D(230)), {})
    outside = judge(where, "supply-voltage", Measured(D(300)), {})
    neither = judge(where, "supply-voltage", Measured(D(253), D(1)), {})
    assert together(within, neither, outside).verdict == "outside"
    assert together(within, neither).verdict == "no-verdict"
    assert together(within, within).verdict == "within"
