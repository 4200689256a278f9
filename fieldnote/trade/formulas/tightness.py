"""The tightness test: what fell, and what leak that means. Numbers in, a number out; knows no edition and no limit."""

from decimal import Decimal

ATMOSPHERE = Decimal("1013.25")  # mbar


def drop(start: Decimal, end: Decimal) -> Decimal:
    """Pressure drop in mbar between the start and the end of the test. Negative when the pressure rose."""
    return start - end


def leak_rate(volume: Decimal, fall: Decimal, seconds: Decimal) -> Decimal:
    """Leak in dm3/h (at atmospheric pressure) from installation volume (m3), drop (mbar) and time (s, not zero).

    Source: ideal gas law at constant temperature.
    """
    return volume * fall / ATMOSPHERE / seconds * 3600 * 1000
