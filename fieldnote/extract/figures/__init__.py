"""Readings: spoken numbers, the quantities they belong to, phases, tests over time. In: tokens. Out: `Bound` readings."""
