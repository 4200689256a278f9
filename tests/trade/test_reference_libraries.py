"""The arithmetic against general-purpose libraries that know nothing of this project: CoolProp, chemicals, fluids, pint."""

import itertools
import math
from decimal import Decimal as D

import chemicals
import CoolProp.CoolProp as coolprop
import fluids
import pint
import pytest

from fieldnote.trade import tables, units
from fieldnote.trade.formulas import combustion, gas_rate, injector, pipework, standard_conditions, tightness

KELVIN, PASCAL = 288.15, 101325.0  # 15 degC, 1013.25 mbar
FLUIDS = {"natural": "Methane", "propane": "n-Propane"}
CAS = {"natural": "74-82-8", "propane": "74-98-6", "n-butane": "106-97-8", "iso-butane": "75-28-5"}
ATOMS = {"natural": {"C": 1, "H": 4}, "propane": {"C": 3, "H": 8}, "butane": {"C": 4, "H": 10}}
SOURCE = "calculated with CoolProp"


def grid(*axes) -> list[tuple]:
    """Every combination of some figures."""
    return list(itertools.product(*axes))


def density(fluid: str) -> float:
    """kg/m3 at standard conditions."""
    return coolprop.PropsSI("D", "T", KELVIN, "P", PASCAL, fluid)


def heats(gas: str) -> tuple[float, float]:
    """Gross and net heat of combustion in MJ/m3 at 15 degC, from heats of formation and CoolProp's molar volume."""
    names = {"natural": ["natural"], "propane": ["propane"], "butane": ["n-butane", "iso-butane"]}[gas]
    fluids_ = {"natural": ["Methane"], "propane": ["n-Propane"], "butane": ["n-Butane", "IsoButane"]}[gas]
    gross, net = [], []
    for name, fluid in zip(names, fluids_, strict=True):
        data = chemicals.combustion_data(formula=ATOMS[gas], Hf=chemicals.Hfg(CAS[name]))
        molar_volume = coolprop.PropsSI("M", fluid) / density(fluid)
        gross.append(-data.HHV / molar_volume / 1e6)
        net.append(-data.LHV / molar_volume / 1e6)
    return sum(gross) / len(gross), sum(net) / len(net)


@pytest.mark.parametrize("gas", ["natural", "propane", "butane"])
def test_calorific_values_of_test_gases(gas):
    """Gross and net calorific value of G20, G31 and G30 (EN 437 from memory) within 0.6 % of heats of formation."""
    reference = tables.gases()[gas].reference
    gross, net = heats(gas)
    assert float(reference.cv_gross) == pytest.approx(gross, rel=0.006)
    assert float(reference.cv_net) == pytest.approx(net, rel=0.006)


@pytest.mark.parametrize("gas", ["natural", "propane", "butane"])
def test_gross_to_net(gas):
    """The ratio gross/net of each gas within 0.5 % of heats of formation."""
    gross, net = heats(gas)
    assert float(tables.gases()[gas].gross_to_net) == pytest.approx(gross / net, rel=0.005)


def test_densities():
    """Air and the relative densities of G20, G31 and G30 (EN 437 from memory) within 0.3 % of CoolProp."""
    air = density("Air")
    assert float(tables.equipment().constants["air-density"].value) == pytest.approx(air, rel=0.001)
    butane = (density("n-Butane") + density("IsoButane")) / 2
    for gas, found in (("natural", density("Methane")), ("propane", density("n-Propane")), ("butane", butane)):
        assert float(tables.gases()[gas].reference.relative_density) == pytest.approx(found / air, rel=0.003)


@pytest.mark.parametrize("gas", ["natural", "propane"])
def test_viscosities(gas):
    """The viscosity of natural gas and propane within 3 % of CoolProp."""
    found = coolprop.PropsSI("V", "T", KELVIN, "P", PASCAL, FLUIDS[gas])
    assert float(tables.gases()[gas].viscosity) == pytest.approx(found, rel=0.03)


@pytest.mark.parametrize("gas", ["natural", "propane", "butane"])
def test_largest_co2(gas):
    """CO2 in dry products with no air left over: stoichiometry by chemicals in air of 20.95 % oxygen, within 0.1 %."""
    burned = chemicals.combustion_stoichiometry(ATOMS[gas])
    nitrogen = -burned["O2"] * (1 - 0.2095) / 0.2095
    assert float(tables.gases()[gas].co2_max) == pytest.approx(
        burned["CO2"] / (burned["CO2"] + nitrogen) * 100, abs=0.1
    )


@pytest.mark.parametrize("excess", [0.0, 0.2, 0.6, 1.5])
def test_co2_and_air_free_co_by_mixing(excess):
    """CO2 from O2, and air-free CO, against a gas balance of methane with excess air that is written out in full."""
    carbon, oxygen = 1.0, 2 * excess
    nitrogen = 2 * (1 + excess) * 79.1 / 20.9
    dry = carbon + oxygen + nitrogen
    most = D(100 * carbon / (carbon + 2 * 79.1 / 20.9))
    co2 = combustion.co2_from_oxygen(D(100 * oxygen / dry), most)
    assert float(co2) == pytest.approx(100 * carbon / dry, rel=0.02)
    thinned = D(100) * (D(100 * carbon / dry) / most)
    assert combustion.air_free_co(thinned, D(100 * carbon / dry), most) == pytest.approx(D(100))


@pytest.mark.parametrize(
    ("bore", "pressure", "gas"),
    grid([0.5, 0.72, 0.97, 1.28], [5, 10, 20, 37, 50], ["natural", "propane"]),
)
def test_orifice_against_fluids(bore, pressure, gas):
    """Gas rate of an injector against fluids' ISO 5167 orifice equation in its limit for a small bore, within 0.1 %."""
    heavy = density(FLUIDS[gas])
    mass = fluids.flow_meter_discharge(
        D=1.0, Do=bore / 1000, P1=PASCAL + pressure * 100, P2=PASCAL, rho=heavy, C=0.85, expansibility=1.0
    )
    ours = injector.orifice_rate(D(str(bore)), D(pressure), D(heavy), D("0.85"))
    assert float(ours) == pytest.approx(mass / heavy * 3600, rel=0.001)


@pytest.mark.parametrize(("gas", "pressure"), [("natural", 20), ("propane", 37)])
def test_incompressible_form_is_good_enough(gas, pressure):
    """The simple form against an isentropic nozzle with CoolProp's real gas: less than 0.7 % apart at hob pressures."""
    fluid = FLUIDS[gas]
    before = PASCAL + pressure * 100
    entropy = coolprop.PropsSI("S", "T", KELVIN, "P", before, fluid)
    fall = coolprop.PropsSI("H", "T", KELVIN, "P", before, fluid) - coolprop.PropsSI(
        "H", "P", PASCAL, "S", entropy, fluid
    )
    after = coolprop.PropsSI("D", "P", PASCAL, "S", entropy, fluid)
    real = after * math.sqrt(2 * fall)
    simple = math.sqrt(2 * density(fluid) * pressure * 100)
    assert real / simple == pytest.approx(1, abs=0.007)


@pytest.mark.parametrize(
    ("bore", "rate", "length"),
    grid(["8.8", "13.6", "20.2", "26.2"], ["0.3", "0.8", "1.3", "2.9", "6"], [3, 12, 30]),
)
def test_pipe_friction_against_fluids(bore, rate, length):
    """Pressure loss against fluids' Colebrook for a smooth pipe, within 2 % where the flow is laminar or fully turbulent."""
    heavy, thick = 0.6 * 1.2255, 1.1e-5
    wide = float(bore) / 1000
    speed = float(rate) / 3600 / (math.pi * wide**2 / 4)
    reynolds = fluids.Reynolds(V=speed, D=wide, rho=heavy, mu=thick)
    ours = float(pipework.friction_loss(D(rate), D(length), D(bore), D(str(heavy)), D("0.000011")))
    theirs = fluids.friction_factor(Re=reynolds, eD=0) * length / wide * heavy * speed**2 / 2 / 100
    assert ours == pytest.approx(theirs, rel=0.02) if reynolds < 2000 or reynolds > 4000 else ours >= theirs * 0.98


def test_older_discharge_table():
    """Copper discharge worksheet (published): for 1 mbar the rates of 15, 22 and 28 mm lose 0.6 to 1.1 mbar by Darcy."""
    equipment = tables.equipment()
    for size in ("15", "22", "28"):
        for length, rate in zip(equipment.discharge["lengths"], equipment.discharge[size], strict=True):
            bore = equipment.pipes[size].bore
            loss = pipework.friction_loss(D(rate), D(length), bore, D("0.6") * D("1.2255"), D("0.000011"))
            assert D("0.6") < loss < D("1.1"), (size, length)


@pytest.mark.parametrize("size", ["10", "12", "15", "22", "28", "35"])
def test_pipe_volumes_follow_from_bores(size):
    """Published volumes of copper a metre within 4 % of pi d d / 4."""
    pipe = tables.equipment().pipes[size]
    assert float(pipe.volume) == pytest.approx(math.pi * (float(pipe.bore) / 1000) ** 2 / 4, rel=0.04)


@pytest.mark.parametrize(("baro", "gauge", "celsius"), grid([950, 1000, 1040], [0, 20, 37], [-5, 10, 25]))
def test_standard_conditions_against_coolprop(baro, gauge, celsius):
    """The correction factor against CoolProp's real methane, within 0.1 %."""
    metered = coolprop.PropsSI("D", "T", 273.15 + celsius, "P", (baro + gauge) * 100, "Methane")
    ours = standard_conditions.factor(D(baro), D(gauge), D(celsius))
    assert float(ours) == pytest.approx(metered / density("Methane"), rel=0.001)


@pytest.mark.parametrize(("volume", "drop", "seconds"), grid([0.002, 0.0094, 0.034], [0.25, 1, 4, 8], [120, 600]))
def test_leak_against_coolprop(volume, drop, seconds):
    """The leak that a drop means against the mass CoolProp says has gone, within 1 %."""
    gone = [coolprop.PropsSI("D", "T", KELVIN, "P", PASCAL + p * 100, "Methane") for p in (20, 20 - drop)]
    dm3 = volume * (gone[0] - gone[1]) / density("Methane") * 1000
    ours = tightness.leak_rate(D(str(volume)), D(str(drop)), D(seconds))
    assert float(ours) == pytest.approx(dm3 / seconds * 3600, rel=0.01)


REGISTRY = pint.UnitRegistry()
PINT = {
    "inwg": "inH2O", "mmwg": None, "m3": "m**3", "dm3": "dm**3", "ft3": "ft**3", "m3/h": "m**3/hour",
    "dm3/h": "dm**3/hour", "ft3/h": "ft**3/hour", "Btu/h": "Btu/hour", "MJ/m3": "MJ/m**3", "kWh/m3": "kWh/m**3",
    "Btu/ft3": "Btu/ft**3", "cm2": "cm**2", "mm2": "mm**2", "m2": "m**2", "in2": "inch**2", "in": "inch", "h": "hour",
    "mohm": "mohm", "kohm": "kohm", "Mohm": "Mohm", "%": "percent",
}  # fmt: skip
PAIRS = [(units.KINDS[kind], unit) for kind in units.KINDS for unit in units.KINDS[kind]]


@pytest.mark.parametrize(("kind", "unit"), PAIRS, ids=[unit for _, unit in PAIRS])
def test_units_against_pint(kind, unit):
    """Every unit of the table against pint; a millimetre of water by definition is 9.80665 Pa."""
    first = next(iter(kind))
    if unit in ("mmwg", "degC", "cm2/kW", "ohm/m", "kg/m3", "Pa.s", "ppm", "1"):
        assert unit != "mmwg" or units.convert(D(1), "mmwg", "Pa") == D("9.80665")
        return
    theirs = REGISTRY.Quantity(1, PINT.get(unit, unit)).to(PINT.get(first, first)).magnitude
    assert float(units.convert(D(1), unit, first)) == pytest.approx(theirs, rel=1e-6 if unit != "inwg" else 1e-4)


def test_cubic_foot_and_btu():
    """One cubic foot is 0.0283168 m3, 1040 Btu/ft3 are 38.749 MJ/m3, one kW is 3412 Btu/h."""
    assert round(gas_rate.CUBIC_FOOT, 7) == D("0.0283168")
    assert units.convert(D(1040), "Btu/ft3", "MJ/m3") == pytest.approx(D("38.749"), rel=D("0.00001"))
    assert units.convert(D(1), "kW", "Btu/h") == pytest.approx(D(3412), rel=D("0.0001"))
