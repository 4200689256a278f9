"""The encoder as it runs, made on the machine where it runs. In: the general English sentence encoder as it was published, and
what was taught beside it (`stored`). Out: `model.bin`, its weights in whole numbers of eight bits, beside the graph that says
what is done with them and the list of word pieces.

    w + up @ down   of each matrix: Hu and others, LoRA: Low-Rank Adaptation of Large Language Models, ICLR 2022
"""

import functools
import hashlib
import json
import shutil
from collections.abc import Iterator
from importlib import resources
from pathlib import Path
from typing import Any

import numpy as np

from fieldnote.extract.taught import stored
from fieldnote.extract.taught.stored import Array, Floats

LAYERS, MOST = 6, 400  # layers; pieces that are read at once
ALIGNED = 64  # bytes: where each array starts in model.bin is a multiple of it
FILES = ("model.bin", "model.onnx", "tokenizer.json")
_FORM = 1  # goes up when this module makes other files out of the same
_STEPS = 63  # either way, of 127: some processors add two products in sixteen bits, and what is larger would be cut off
_NAMES = {
    "q": "attention.self.query",
    "k": "attention.self.key",
    "v": "attention.self.value",
    "o": "attention.output.dense",
    "f1": "intermediate.dense",
    "f2": "output.dense",
}


def make(base: Path, to: Path) -> None:
    """Write the files of the encoder into a folder, out of `model.safetensors` and `tokenizer.json` in another one.

    Raises ValueError when these are not the encoder that was taught.
    """
    with (to / "model.bin").open("wb") as file:
        for _, one in arrays(base):
            file.write(bytes(-file.tell() % ALIGNED))
            file.write(one.tobytes())
    (to / "model.onnx").write_bytes(_shipped("encoder.onnx"))
    shutil.copyfile(base / "tokenizer.json", to / "tokenizer.json")


@functools.cache
def made_of() -> str:
    """Names what the files are made of beside the general encoder: when this changes, they are to be made anew."""
    parts = (_shipped("taught.npz"), _shipped("encoder.onnx"), str(_FORM).encode())
    return hashlib.sha256(b"".join(parts)).hexdigest()


def _shipped(name: str) -> bytes:
    return resources.files("fieldnote.extract.taught").joinpath(name).read_bytes()


def arrays(base: Path) -> Iterator[tuple[str, Array]]:
    """The arrays of `model.bin`, in its order, which is that of the graph: matrices (in, out) in whole numbers of eight bits,
    with a scale for each column."""
    general, taught = published(base / "model.safetensors"), stored.read("encoder.")
    try:
        words, scale = stored.in_eight_bits(general["embeddings.word_embeddings.weight"])
        yield "words", words
        yield "words.scale", scale
        yield "places", general["embeddings.position_embeddings.weight"][:MOST] + taught["te"]
        yield from _vectors(taught, "en")
        for n in range(LAYERS):
            at = f"layers.{n}."
            each = [_matrix(general, taught, n, name) for name in "qkv"]
            yield from _eight_bits(at + "qkv", np.concatenate(each))
            yield at + "qkv.bias", np.concatenate([taught[f"{at}{name}.bias"] for name in "qkv"])
            for name in ("o", "f1", "f2"):
                yield from _eight_bits(at + name, _matrix(general, taught, n, name))
                yield f"{at}{name}.bias", taught[f"{at}{name}.bias"]
            yield from _vectors(taught, at + "n1")
            yield from _vectors(taught, at + "n2")
    except KeyError as problem:
        raise ValueError(f"no {problem.args[0]} in it") from None


def published(path: Path) -> dict[str, Floats]:
    """The arrays of a safetensors file that are floats of 32 bits: the length of its head in eight bytes, the head in JSON, the
    numbers. Raises ValueError when it is none."""
    with path.open("rb") as file:
        long = min(int.from_bytes(file.read(8), "little"), path.stat().st_size)
        head = json.loads(file.read(long))
        data = memoryview(file.read())
    try:
        return {name: _array(about, data) for name, about in head.items() if about.get("dtype") == "F32"}
    except (KeyError, TypeError, AttributeError) as problem:
        raise ValueError(f"no head of a safetensors file: {problem}") from None


def _array(about: dict[str, Any], data: memoryview) -> Floats:
    start, end = about["data_offsets"]
    return np.frombuffer(data[start:end], np.float32).reshape(about["shape"])


def _matrix(general: dict[str, Floats], taught: dict[str, Array], layer: int, name: str) -> Array:
    """(out, in), with what was taught beside it; in 64 bits, so that each machine rounds alike."""
    at = f"layers.{layer}.{name}."
    beside = taught[at + "up"].astype(np.float64) @ taught[at + "down"].astype(np.float64)
    made: Array = general[f"encoder.layer.{layer}.{_NAMES[name]}.weight"] + beside
    return made


def _eight_bits(name: str, matrix: Array) -> Iterator[tuple[str, Array]]:
    whole, scale = stored.in_eight_bits(matrix, _STEPS)
    yield name, np.ascontiguousarray(whole.T)
    yield name + ".scale", scale[:, 0]


def _vectors(taught: dict[str, Array], name: str) -> Iterator[tuple[str, Array]]:
    yield name + ".weight", taught[name + ".weight"]
    yield name + ".bias", taught[name + ".bias"]
