"""Flame supervision: what a loaded thermocouple keeps of its open voltage. Numbers in, a number out."""

from decimal import Decimal


def loaded_share(open_circuit: Decimal, closed_circuit: Decimal) -> Decimal:
    """What share of the open-circuit output (mV, not zero) is left on the magnet, in %. About half is usual.

    A small share with a good open reading points at a bad joint or a shorted magnet coil. Source: common practice; the
    half follows from matching source and load.
    """
    return closed_circuit / open_circuit * 100
