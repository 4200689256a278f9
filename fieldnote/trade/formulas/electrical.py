"""Electrical figures of a plug-in appliance. Numbers in, a number out; limits are data."""

from decimal import Decimal


def earth_limit(base: Decimal, flex_length: Decimal, ohm_per_metre: Decimal) -> Decimal:
    """Largest earth continuity reading in ohm: the base figure plus the resistance of the flex's earth conductor.

    Base in ohm, flex length in m, conductor in ohm a metre. Source: public portable-appliance-test notes (0.1 ohm + R).
    """
    return base + flex_length * ohm_per_metre


def load_current(watts: Decimal, volts: Decimal) -> Decimal:
    """Current in A that a load (W) draws at a voltage (V, not zero). Source: P = U x I."""
    return watts / volts
