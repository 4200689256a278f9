"""The arithmetic of the trade: pure functions, numbers in, a number out. Each names its units and where it comes from.

Not allowed to know: limits, doubt, regions, which gas is in the pipe, what was said. Values are `Decimal`, so that a
figure that lies exactly on a limit stays exactly there.
"""
