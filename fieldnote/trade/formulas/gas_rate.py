"""Gas rate and heat input from a meter and a stopwatch. Numbers in, a number out; knows no gas, no limit, no doubt."""

from decimal import Decimal

SECONDS_AN_HOUR = Decimal(3600)
MJ_A_KWH = Decimal("3.6")
CUBIC_FOOT = Decimal("0.028316846592")  # m3, exact (0.3048 m cubed)


def metric_rate(first: Decimal, second: Decimal, seconds: Decimal) -> Decimal:
    """Gas rate in m3/h from two readings of a metric meter (m3) and the time between them (s, not zero).

    Source: the usual trade method (engineer's gas-rate note; public revision notes).
    """
    return (second - first) * SECONDS_AN_HOUR / seconds


def dial_rate(dial: Decimal, seconds: Decimal) -> Decimal:
    """Gas rate in ft3/h from the test dial of an imperial meter: cubic feet a turn, seconds a turn (not zero).

    Source: public revision cards on gas rate.
    """
    return dial * SECONDS_AN_HOUR / seconds


def cubic_metres(cubic_feet: Decimal) -> Decimal:
    """Cubic feet as m3 (or ft3/h as m3/h). Source: the international foot, exact."""
    return cubic_feet * CUBIC_FOOT


def heat_input(rate: Decimal, calorific_value: Decimal) -> Decimal:
    """Heat input in kW from a gas rate (m3/h) and a calorific value (MJ/m3). Gross value in, gross kW out; net likewise.

    Source: the usual trade method; 1 kWh = 3.6 MJ.
    """
    return rate * calorific_value / MJ_A_KWH


def net(gross: Decimal, gross_to_net: Decimal) -> Decimal:
    """Net kW from gross kW, with the gas's own ratio gross/net (1.11 for natural gas). Source: the usual trade method."""
    return gross / gross_to_net


def against_rated(measured: Decimal, rated: Decimal) -> Decimal:
    """How far a measured heat input lies from the data plate, in % of the plate. Both in kW on the same basis."""
    return (measured - rated) / rated * 100


def billed_energy(volume: Decimal, correction: Decimal, calorific_value: Decimal) -> Decimal:
    """Energy in kWh as a gas bill works it out: m3, correction factor, MJ/m3. Source: suppliers' help pages."""
    return volume * correction * calorific_value / MJ_A_KWH
