"""What the trade knows: arithmetic, limits, checklists, symptoms. Comes in: readings and findings. Goes out: results and points.

Not allowed to know: language (how anything is said), storage, other rooms. It never gives an all-clear and never sets a
danger class. Imports are made when called, so that readers of the vocabulary pay for nothing else.
"""

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fieldnote.records import Result
    from fieldnote.trade.limits import Limits


def calculate(
    name: str,
    inputs: Mapping[str, str],
    *,
    on: date,
    edition: str | None = None,
    region: str | None = None,
    gas: str | None = None,
    limits: "Limits | None" = None,
) -> "Result":
    """Work one calculation out; see `fieldnote.trade.calculation.calculate`."""
    from fieldnote.trade.calculation import calculate

    return calculate(name, inputs, on=on, edition=edition, region=region, gas=gas, limits=limits)


def version() -> str:
    """The name of the trade data, a digest over all data files."""
    from fieldnote.trade.tables import version

    return version()
