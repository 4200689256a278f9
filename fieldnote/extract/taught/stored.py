"""What was taught, as `taught.npz` keeps it, made by `tests/benchmarks/taught.py`. In: arrays. Out: the same, a little coarser.

A matrix is kept in whole numbers of eight bits with one scale for each row, anything else in sixteen bits, words as they are.
"""

from collections.abc import Mapping
from importlib import resources
from typing import Any, BinaryIO

import numpy as np

Array = np.ndarray[Any, Any]
Floats = np.ndarray[Any, np.dtype[np.float32]]
_SCALE = " scale"


def write(file: BinaryIO, arrays: Mapping[str, Array]) -> None:
    """Keep arrays of floats by their names."""
    kept: dict[str, Array] = {}
    for name, one in arrays.items():
        kept[name] = one
        if one.ndim == 2:
            kept[name], kept[name + _SCALE] = in_eight_bits(one)
        elif one.dtype.kind == "f":
            kept[name] = one.astype(np.float16)
    np.savez(file, **kept)  # type: ignore[arg-type]  # its own options are not among the names


def read(start: str) -> dict[str, Array]:
    """The arrays whose names start so, matrices and vectors as floats, by the rest of their names."""
    with _file().open("rb") as file:
        held = np.load(file, allow_pickle=False)
        names = [name for name in held.files if name.startswith(start) and not name.endswith(_SCALE)]
        return {name.removeprefix(start): _whole(held, name) for name in names}


def in_eight_bits(one: Array, most: int = 127) -> tuple[Array, Floats]:
    """Whole numbers up to `most` either way, and the scale of each row by which they are multiplied (rows, 1)."""
    scale = np.maximum(np.abs(one).max(axis=1, keepdims=True) / most, 1e-12).astype(np.float32)
    return np.rint(one / scale).astype(np.int8), scale


def _whole(held: Any, name: str) -> Array:
    one: Array = held[name]
    if one.dtype.kind in "US":
        return one
    made = one.astype(np.float32)
    return made * held[name + _SCALE] if name + _SCALE in held.files else made


def _file() -> Any:
    return resources.files("fieldnote.extract.taught").joinpath("taught.npz")
