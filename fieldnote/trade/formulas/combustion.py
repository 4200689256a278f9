"""What an analyser's figures mean. Numbers in, a number out; action levels are limits and live with the limits."""

from decimal import Decimal

PPM_IN_PERCENT = Decimal(10000)
OXYGEN_OF_AIR = Decimal("20.9")  # % of dry air, as analysers are zeroed


def ratio(co: Decimal, co2: Decimal) -> Decimal:
    """CO/CO2 ratio, no unit, from CO (ppm) and CO2 (%, not zero). Source: public revision notes; unit conversion."""
    return co / PPM_IN_PERCENT / co2


def co2_from_oxygen(oxygen: Decimal, co2_max: Decimal) -> Decimal:
    """CO2 in % from O2 (%) of the dry flue gas and the gas's largest CO2 (%). Source: dilution with air, from memory."""
    return co2_max * (OXYGEN_OF_AIR - oxygen) / OXYGEN_OF_AIR


def air_free_co(co: Decimal, co2: Decimal, co2_max: Decimal) -> Decimal:
    """CO in ppm as if no air had been added, from CO (ppm), CO2 (%, not zero) and the gas's largest CO2 (%).

    Source: dilution with air, from memory of the appliance standards.
    """
    return co * co2_max / co2
