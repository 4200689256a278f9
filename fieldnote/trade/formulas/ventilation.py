"""Rooms and vents. Numbers in, a number out; how much a room needs is a limit and lives with the limits."""

from decimal import Decimal


def room_volume(length: Decimal, width: Decimal, height: Decimal) -> Decimal:
    """Volume of a plain room in m3 from its sides in m."""
    return length * width * height


def open_flue_area(net_input: Decimal, per_kw: Decimal, first_kw: Decimal) -> Decimal:
    """Free vent area in cm2 for an open-flued appliance: so much a kW (cm2/kW) above the first kW. Net input in kW.

    Source: public revision notes (5 cm2 for each net kW above 7); the two figures are regional data.
    """
    return max(Decimal(0), net_input - first_kw) * per_kw
