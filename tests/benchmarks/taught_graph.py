"""What is done with the weights of the encoder, as an ONNX graph: writes fieldnote/extract/taught/encoder.onnx.

Run: pip install onnx; python tests/benchmarks/taught_graph.py BASE
BASE is a folder with the general encoder (`taught.py`). The graph holds no weights: it says where in `model.bin`, which
`making.py` writes on the machine where it runs, each array starts. To be run anew only when the shape of the network changes.

The encoder is that of Devlin and others, BERT: Pre-training of Deep Bidirectional Transformers for Language Understanding, 2019.
Matrices are multiplied in whole numbers of eight bits, the other side of each being made so as it comes (opset 17).
"""

import argparse
import math
from pathlib import Path
from typing import Any

import numpy as np
from onnx import NodeProto, StringStringEntryProto, TensorProto, helper, numpy_helper, save

from fieldnote.extract.taught import making

HERE = Path(making.__file__).parent / "encoder.onnx"
WIDE, HEADS = 384, 12
OPSET = 17


class Graph:
    """A graph that grows by one node at a time; what a node makes has the node's name."""

    def __init__(self) -> None:
        self.nodes: list[NodeProto] = []
        self.held: list[TensorProto] = []

    def add(self, kind: str, *of: str, name: str, **how: Any) -> str:
        """One node with one result."""
        self.nodes.append(helper.make_node(kind, list(of), [name], name=name, **how))
        return name

    def number(self, name: str, value: Any) -> str:
        """A small array that the graph holds itself."""
        self.held.append(numpy_helper.from_array(np.asarray(value), name))
        return name

    def outside(self, name: str, one: np.ndarray[Any, Any], start: int) -> None:
        """An array of model.bin."""
        held = TensorProto(name=name, dims=one.shape, data_type=helper.np_dtype_to_tensor_dtype(one.dtype))
        held.data_location = TensorProto.EXTERNAL
        where = {"location": "model.bin", "offset": start, "length": one.nbytes}
        held.external_data.extend(StringStringEntryProto(key=key, value=str(value)) for key, value in where.items())
        self.held.append(held)

    def eight_bits(self, x: str) -> tuple[str, str, str]:
        """What comes, in whole numbers of eight bits: numbers, scale, zero."""
        made = [f"{x}.{what}" for what in ("whole", "whole.scale", "zero")]
        self.nodes.append(helper.make_node("DynamicQuantizeLinear", [x], made, name=made[0]))
        return made[0], made[1], made[2]

    def linear(self, x: tuple[str, str, str], name: str) -> str:
        """x @ w + bias."""
        whole, scale, zero = x
        made = self.add("MatMulInteger", whole, name, zero, name=f"{name}.product")
        made = self.add("Cast", made, name=f"{name}.float", to=TensorProto.FLOAT)
        scale = self.add("Mul", scale, f"{name}.scale", name=f"{name}.scales")
        made = self.add("Mul", made, scale, name=f"{name}.scaled")
        return self.add("Add", made, f"{name}.bias", name=f"{name}.out")

    def norm(self, x: str, name: str) -> str:
        """Over the last axis."""
        return self.add("LayerNormalization", x, f"{name}.weight", f"{name}.bias", name=f"{name}.out", epsilon=1e-12)


def graph() -> Graph:
    """From `pieces` (1, T) to `meant` (1, T, D)."""
    made = Graph()
    made.number("one", np.int64([1]))
    rows = made.add("Gather", "words", "pieces", name="rows")
    rows = made.add("Cast", rows, name="rows.float", to=TensorProto.FLOAT)
    rows = made.add("Mul", rows, made.add("Gather", "words.scale", "pieces", name="rows.scale"), name="rows.scaled")
    long = made.add(
        "Slice", made.add("Shape", "pieces", name="shape"), "one", made.number("two", np.int64([2])), name="long"
    )
    places = made.add("Slice", "places", made.number("zero", np.int64([0])), long, name="places.here")
    x = made.norm(made.add("Add", rows, places, name="placed"), "en")
    made.number("heads", np.int64([0, 0, 3, HEADS, WIDE // HEADS]))
    made.number("whole", np.int64([0, 0, WIDE]))
    made.number("width", np.float32(1 / math.sqrt(WIDE // HEADS)))
    made.number("half", np.float32(0.5))
    made.number("root", np.float32(math.sqrt(2)))
    made.number("unit", np.float32(1))
    for n in range(making.LAYERS):
        x = layer(made, x, f"layers.{n}.")
    made.add("Identity", x, name="meant")
    return made


def layer(made: Graph, x: str, at: str) -> str:
    """One layer."""
    each = made.add("Reshape", made.linear(made.eight_bits(x), f"{at}qkv"), "heads", name=f"{at}heads")
    each = made.add("Transpose", each, name=f"{at}by-heads", perm=[2, 0, 3, 1, 4])  # 3, 1, HEADS, T, D / HEADS
    q, k, v = (
        made.add("Gather", each, made.number(f"{at}{n}", np.int64(n)), name=f"{at}{name}", axis=0)
        for n, name in enumerate("qkv")
    )
    q = made.add("Mul", q, "width", name=f"{at}q.scaled")
    likeness = made.add(
        "MatMul", q, made.add("Transpose", k, name=f"{at}k.turned", perm=[0, 1, 3, 2]), name=f"{at}likeness"
    )
    mixed = made.add("MatMul", made.add("Softmax", likeness, name=f"{at}shares", axis=-1), v, name=f"{at}mixed")
    mixed = made.add("Transpose", mixed, name=f"{at}mixed.turned", perm=[0, 2, 1, 3])
    mixed = made.add("Reshape", mixed, "whole", name=f"{at}mixed.whole")
    x = made.norm(made.add("Add", x, made.linear(made.eight_bits(mixed), f"{at}o"), name=f"{at}n1.in"), f"{at}n1")
    wide = made.linear(made.eight_bits(x), f"{at}f1")
    part = made.add("Erf", made.add("Div", wide, "root", name=f"{at}erf.in"), name=f"{at}erf")
    part = made.add("Mul", wide, made.add("Add", part, "unit", name=f"{at}gelu.one"), name=f"{at}gelu.in")
    wide = made.add("Mul", part, "half", name=f"{at}gelu")
    return made.norm(made.add("Add", x, made.linear(made.eight_bits(wide), f"{at}f2"), name=f"{at}n2.in"), f"{at}n2")


def main() -> None:
    """Write it."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("base", type=Path)
    made, start = graph(), 0
    for name, one in making.arrays(asked.parse_args().base):
        start += -start % making.ALIGNED
        made.outside(name, one, start)
        start += one.nbytes
    pieces = helper.make_tensor_value_info("pieces", TensorProto.INT64, [1, "T"])
    meant = helper.make_tensor_value_info("meant", TensorProto.FLOAT, [1, "T", WIDE])
    whole = helper.make_graph(made.nodes, "encoder", [pieces], [meant], made.held)
    model = helper.make_model(
        whole, opset_imports=[helper.make_opsetid("", OPSET)], ir_version=8, producer_name="fieldnote"
    )
    save(model, HERE)
    print(f"{HERE}: {HERE.stat().st_size / 1e3:.0f} kB")


if __name__ == "__main__":
    main()
