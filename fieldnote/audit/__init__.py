"""Many notebooks and bundles side by side. In: paths. Out: one picture of them all, samples, comparisons.

Everything is read as plain JSON values, never as records, so that a million findings are looked at in seconds. What a record
means is taken from `flow`; this room knows no terminal. Nothing that is audited is ever written to, only the supervisor's own
folder.
"""
