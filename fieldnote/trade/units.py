"""Units of the trade and the way between them, exactly. Comes in: a value with a unit. Goes out: the value in another unit.

A closed table: each unit belongs to one kind and has one factor to that kind's first unit. Not allowed to know: limits,
language, where a figure came from. Factors are exact by definition (SI, NIST SP 811: ft = 0.3048 m, Btu = 1055.05585262 J,
inch of water = 249.08891 Pa, conventional).
"""

from decimal import Decimal

from fieldnote.errors import UsageProblem

_FT3 = "0.028316846592"
_BTU_KJ = Decimal("1.05505585262")

KINDS: dict[str, dict[str, str]] = {
    "pressure": {"mbar": "1", "Pa": "0.01", "kPa": "10", "bar": "1000", "inwg": "2.4908891", "mmwg": "0.0980665"},
    "volume": {"m3": "1", "dm3": "0.001", "ft3": _FT3},
    "rate": {"m3/h": "1", "dm3/h": "0.001", "ft3/h": _FT3},
    "power": {"kW": "1", "W": "0.001", "Btu/h": str(_BTU_KJ / 3600)},
    "heat": {"MJ/m3": "1", "kWh/m3": "3.6", "Btu/ft3": str(_BTU_KJ / 1000 / Decimal(_FT3))},
    "length": {"m": "1", "cm": "0.01", "mm": "0.001", "in": "0.0254", "ft": "0.3048"},
    "area": {"cm2": "1", "mm2": "0.01", "m2": "10000", "in2": "6.4516"},
    "time": {"s": "1", "min": "60", "h": "3600"},
    "voltage": {"V": "1", "mV": "0.001"},
    "resistance": {"ohm": "1", "mohm": "0.001", "kohm": "1000", "Mohm": "1000000"},
    "current": {"A": "1", "mA": "0.001"},
    "share": {"%": "1"},
    "parts": {"ppm": "1"},
    "temperature": {"degC": "1"},
    "density": {"kg/m3": "1"},
    "viscosity": {"Pa.s": "1"},
    "none": {"1": "1"},
    "area for heat": {"cm2/kW": "1"},
    "resistance for length": {"ohm/m": "1"},
}
OTHER_NAMES = {
    "mb": "mbar",
    "millibar": "mbar",
    "l": "dm3",
    "l/h": "dm3/h",
    "sec": "s",
    "MΩ": "Mohm",
    "Ω": "ohm",
    "°C": "degC",
}

_KIND_OF = {unit: kind for kind, units in KINDS.items() for unit in units}


def known(unit: str) -> bool:
    """Whether the table holds this unit."""
    return unit in _KIND_OF


def convert(value: Decimal, from_unit: str, to_unit: str) -> Decimal:
    """`value` in `to_unit`. Raises UsageProblem FN-201 for a unit that is unknown or of another kind."""
    source, target = (OTHER_NAMES.get(unit, unit) for unit in (from_unit, to_unit))
    for unit in (source, target):
        if unit not in _KIND_OF:
            raise UsageProblem("FN-201", what=f"the unit {unit}", reason="it is not in the table of units")
    kind = _KIND_OF[source]
    if kind != _KIND_OF[target]:
        raise UsageProblem("FN-201", what=f"{source} as {target}", reason="they are units of different things")
    if source == target:
        return value
    return value * Decimal(KINDS[kind][source]) / Decimal(KINDS[kind][target])
