"""One sheet a calculation: which figures go into which formula, with which doubt, against which limit.

Comes in: a `Job` (inputs as figures, gas, limits in force). Goes out: an `Outcome` (results, ruling, what was used). Not
allowed to know: who asked, or how the inputs were said.
"""

from collections.abc import Callable, Mapping

from fieldnote.trade.sheets import burning, electrical, gas, pipes, rooms
from fieldnote.trade.sheets.job import Job, Outcome

SHEETS: Mapping[str, Callable[[Job], Outcome]] = {
    "gas-rate": gas.gas_rate,
    "gas-rate-dial": gas.gas_rate_dial,
    "injector": gas.injector,
    "injector-bore": gas.injector_bore,
    "injector-change": gas.injector_change,
    "tightness": pipes.tightness,
    "installation-volume": pipes.installation_volume,
    "pressure-loss": pipes.pressure_loss,
    "pipe-size": pipes.pipe_size,
    "ventilation-flueless": rooms.flueless,
    "ventilation-open-flue": rooms.open_flue,
    "combustion": burning.combustion,
    "flame-supervision": burning.flame_supervision,
    "earth-continuity": electrical.earth_continuity,
    "insulation-resistance": electrical.insulation_resistance,
    "supply-voltage": electrical.supply_voltage,
    "fuse": electrical.fuse,
    "standard-conditions": gas.standard_conditions,
}
