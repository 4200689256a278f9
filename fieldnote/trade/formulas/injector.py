"""Gas through an injector (a small orifice). Numbers in, a number out; knows no maker's table and no gas.

The incompressible form is used: at hob pressures it is within 0.6 % of the compressible one.
"""

from decimal import Decimal

PI = Decimal("3.14159265358979323846264338")
PASCAL = Decimal(100)  # Pa in one mbar
SQUARE_MM = Decimal("0.000001")  # m2 in one mm2


def orifice_rate(bore: Decimal, pressure: Decimal, density: Decimal, discharge: Decimal) -> Decimal:
    """Gas rate in m3/h through a bore (mm) at a pressure (mbar above the burner), gas density (kg/m3), discharge factor.

    Q = Cd x A x sqrt(2 x p / density), A = pi x d x d / 4. Source: any fluid-mechanics textbook; ISO 5167 in its limit for a
    small bore; same structure in published burner design notes.
    """
    area = PI * bore * bore / 4 * SQUARE_MM
    return discharge * area * (2 * pressure * PASCAL / density).sqrt() * 3600


def bore_for(rate: Decimal, pressure: Decimal, density: Decimal, discharge: Decimal) -> Decimal:
    """Bore in mm that lets a gas rate (m3/h) through: `orifice_rate` turned round."""
    speed = (2 * pressure * PASCAL / density).sqrt()
    area = rate / 3600 / (discharge * speed) / SQUARE_MM
    return (4 * area / PI).sqrt()


def change_factor(bore_from: Decimal, bore_to: Decimal, pressure_from: Decimal, pressure_to: Decimal) -> Decimal:
    """By how much the heat input changes with the bore (mm) and the pressure (mbar). Heat goes with d squared and root p.

    Source: follows from `orifice_rate`.
    """
    return (bore_to / bore_from) ** 2 * (pressure_to / pressure_from).sqrt()


def gas_factor(wobbe_from: Decimal, wobbe_to: Decimal) -> Decimal:
    """By how much the heat input changes when another gas flows through the same bore at the same pressure.

    Wobbe indexes in MJ/m3, both gross or both net. Source: definition of the Wobbe index (EN 437).
    """
    return wobbe_to / wobbe_from


def wobbe(calorific_value: Decimal, relative_density: Decimal) -> Decimal:
    """Wobbe index in MJ/m3 from calorific value (MJ/m3) and density relative to air. Source: EN 437, definition."""
    return calorific_value / relative_density.sqrt()
