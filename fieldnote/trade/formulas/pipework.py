"""Pipes: what they hold and what they lose. Numbers in, a number out; sizes, bores and allowed losses are data."""

from collections.abc import Sequence
from decimal import Decimal

PI = Decimal("3.14159265358979323846264338")
LAMINAR_TO = Decimal(2000)  # Reynolds number; above it the turbulent law is used, which is the cautious one
MILLIMETRE = Decimal("0.001")


def installation_volume(meter: Decimal, pipes: Sequence[tuple[Decimal, Decimal]], fittings: Decimal) -> Decimal:
    """Installation volume in m3: meter (m3) and pipes as (metres, m3 a metre), with a share added for fittings (0.1).

    Source: pocket guide Gas 2 of a UK certification body (10 % for fittings).
    """
    piped = sum((metres * per_metre for metres, per_metre in pipes), Decimal(0))
    return meter + piped * (1 + fittings)


def effective_length(length: Decimal, fittings: Sequence[tuple[Decimal, Decimal]]) -> Decimal:
    """Length in m with fittings counted as pipe: (number, metres each). Source: older copper discharge worksheet."""
    return length + sum((number * metres for number, metres in fittings), Decimal(0))


def reynolds(rate: Decimal, bore: Decimal, density: Decimal, viscosity: Decimal) -> Decimal:
    """Reynolds number of a gas rate (m3/h) in a bore (mm); density in kg/m3, viscosity in Pa s."""
    diameter = bore * MILLIMETRE
    speed = rate / 3600 / (PI * diameter * diameter / 4)
    return density * speed * diameter / viscosity


def friction_factor(reynolds_number: Decimal) -> Decimal:
    """Darcy friction factor of a smooth pipe (drawn copper). Reynolds number above zero.

    64/Re up to 2000, above it Haaland's formula for no roughness. Source: S. E. Haaland, J. Fluids Eng. 105 (1983) 89.
    """
    if reynolds_number <= LAMINAR_TO:
        return 64 / reynolds_number
    root = Decimal("-1.8") * (Decimal("6.9") / reynolds_number).log10()
    return 1 / (root * root)


def friction_loss(rate: Decimal, length: Decimal, bore: Decimal, density: Decimal, viscosity: Decimal) -> Decimal:
    """Pressure loss in mbar of a gas rate (m3/h) over a length (m) of smooth pipe of a bore (mm): Darcy-Weisbach.

    Density in kg/m3, viscosity in Pa s. Source: Darcy-Weisbach, any fluid-mechanics textbook.
    """
    if rate == 0:
        return Decimal(0)
    diameter = bore * MILLIMETRE
    speed = rate / 3600 / (PI * diameter * diameter / 4)
    factor = friction_factor(reynolds(rate, bore, density, viscosity))
    return factor * length / diameter * density * speed * speed / 2 / 100
