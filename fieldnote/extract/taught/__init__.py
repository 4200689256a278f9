"""A second reader, which was taught by examples. In: a text. Out: what it most likely says of which part.

`pieces` cuts the text, `network` weighs it, `reading` makes likely findings of that, `joining` puts them beside what the rules
read. What was taught (`taught.npz`) is made by `tests/benchmarks/taught.py`; the general encoder that it changes is fetched like
the speech weights, and `making` puts both together. Knows no rule and no word by name.
"""
