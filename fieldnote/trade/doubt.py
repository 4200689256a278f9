"""Doubt, carried through a calculation. Comes in: measured values with their doubt. Goes out: the result with its doubt.

The doubt of a result is found by trying every corner: each measured value as low and as high as its doubt allows, in
every combination. As long as a result only rises or only falls with each of its inputs (all formulas of this room do),
the corners hold the largest deviation there is. Not allowed to know: limits, gases, where a value came from.
"""

import itertools
from collections.abc import Callable
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, ROUND_UP, Context, Decimal

NONE = Decimal(0)
MOST_DIGITS = 15


@dataclass(frozen=True, slots=True)
class Measured:
    """A value and its doubt, plus or minus, in the same unit. The doubt is never negative."""

    value: Decimal
    doubt: Decimal = NONE

    @property
    def low(self) -> Decimal:
        """The least that it may be."""
        return self.value - self.doubt

    @property
    def high(self) -> Decimal:
        """The most that it may be."""
        return self.value + self.doubt


def carry(formula: Callable[..., Decimal], *given: Measured) -> Measured:
    """The formula's result for the values as read, with the largest deviation that their doubts allow."""
    value = formula(*(one.value for one in given))
    corners = itertools.product(*({one.low, one.high} for one in given))
    return Measured(value, max(abs(formula(*corner) - value) for corner in corners))


def shown(value: Decimal) -> Decimal:
    """A value as it is printed and stored: six significant figures, no exponent."""
    return _plain(Context(prec=6, rounding=ROUND_HALF_EVEN).plus(value))


def shown_doubt(doubt: Decimal) -> Decimal:
    """A doubt as it is printed and stored: two significant figures, rounded up, so that it never shrinks."""
    return _plain(Context(prec=2, rounding=ROUND_UP).plus(doubt))


def _plain(value: Decimal) -> Decimal:
    if not value or abs(value.adjusted()) > MOST_DIGITS:
        return value or NONE
    return Decimal(format(value.normalize(), "f"))
