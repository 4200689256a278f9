"""A second reader, which was taught by examples. In: a text. Out: what it most likely says of which part.

`pieces` cuts the text, `network` weighs it, `reading` makes likely findings of that, `joining` puts them beside what the rules
read. Its weights (encoder.onnx, heads.npz) are made by `tests/benchmarks/taught.py`. Knows no rule and no word by name.
"""
