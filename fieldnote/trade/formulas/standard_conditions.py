"""Volume at the meter as volume at standard conditions (15 degC, 1013.25 mbar, dry). Numbers in, a number out."""

from decimal import Decimal

STANDARD_PRESSURE = Decimal("1013.25")  # mbar
STANDARD_TEMPERATURE = Decimal("288.15")  # K
ZERO_CELSIUS = Decimal("273.15")  # K


def factor(barometer: Decimal, gauge: Decimal, temperature: Decimal) -> Decimal:
    """Standard volume for one unit of metered volume, from barometer and gauge pressure (mbar) and gas temperature (degC).

    Source: ideal gas law; standard conditions as the gas transmission operator gives them. Ordinary bills use 1.02264.
    """
    pressure = (barometer + gauge) / STANDARD_PRESSURE
    return pressure * STANDARD_TEMPERATURE / (ZERO_CELSIUS + temperature)
