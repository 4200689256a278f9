"""A person decides what the machine proposed: one queue and one desk, with a terminal and a local page in front of them.

In: a notebook, and a way to look at a visit. Out: decisions, each a record of its own. It rewrites nothing.
"""
