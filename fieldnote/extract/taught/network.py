"""The network of the second reader: a small transformer that was taught to see what is said of which part. In: numbers of
pieces. Out: for each piece how likely a part is spoken of there; for a part and the pieces that speak of it, how likely each
condition, status, place, burner and work is. Knows nothing of text.

The encoder is a general English sentence encoder that was taught further on the learnt dictations (`making`); what stands on top
of it was made by `tests/benchmarks/taught.py` (models/README.md).
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from fieldnote.extract.taught import stored
from fieldnote.extract.taught.stored import Floats

HEADS = 12  # of attention
FIELDS = ("condition", "status", "position", "burner")
_BUCKETS = 12  # of distances on either side of the words that speak of a part
_TINY = np.float32(1e-5)


class Network:
    """The network with its weights. Shapes: T pieces, D = 384 numbers each, N questions."""

    def __init__(self, folder: Path) -> None:
        """Load it out of a folder that `making` has filled."""
        import onnxruntime

        how = onnxruntime.SessionOptions()
        how.intra_op_num_threads = 1  # a dictation is too short to be worth the waiting of two
        self._encoder = onnxruntime.InferenceSession(
            str(folder / "model.onnx"), how, providers=["CPUExecutionProvider"]
        )
        self.names: dict[str, list[str | None]] = {
            field: [name or None for name in names.tolist()] for field, names in stored.read("names.").items()
        }
        self._w = stored.read("top.")

    def encode(self, ids: Sequence[int]) -> Floats:
        """What each piece means beside the others: (T, D), T at most `making.MOST`."""
        made: Floats = self._encoder.run(None, {"pieces": np.array([ids], dtype=np.int64)})[0][0]
        return made

    def parts(self, x: Floats) -> Floats:
        """How likely each part is spoken of at each piece: (T, parts)."""
        return _sigmoid(self._linear(x, "tag"))

    def ask(self, x: Floats, parts: Sequence[int], spans: Sequence[tuple[int, int]]) -> dict[str, Floats]:
        """What is said of parts by the pieces (first, last + 1): for each of `FIELDS` (N, names) chances that add up to one, for
        `acts` (N, kinds of work) chances each of its own, for `valid` (N,) whether anything is."""
        pooled = np.stack([np.concatenate([x[a:b].mean(0), x[a], x[b - 1]]) for a, b in spans])
        asked = self._w["ce.weight"][np.asarray(parts)] + self._linear(pooled, "sp")
        far = np.stack([_buckets(len(x), a, b) for a, b in spans])  # (N, T)
        bias = self._w["near"][:, far].transpose(1, 0, 2)[:, :, None]  # (N, HEADS, 1, T)
        q = self._linear(asked, "xq").reshape(len(spans), HEADS, 1, -1)
        k, v = _split(self._linear(x, "xk"))[None], _split(self._linear(x, "xv"))[None]
        mixed = _attend(q, k, v, bias).reshape(len(spans), -1)
        asked = self._norm(asked + self._linear(mixed, "xo"), "xn")
        asked = self._norm(asked + self._linear(_gelu(self._linear(asked, "g1")), "g2"), "gn")
        told = {field: _softmax(self._linear(asked, f"heads.{field}")) for field in FIELDS}
        told["acts"] = _sigmoid(self._linear(asked, "heads.acts"))
        told["valid"] = _sigmoid(self._linear(asked, "valid"))[:, 0]
        return told

    def _linear(self, x: Floats, name: str) -> Floats:
        made: Floats = x @ self._w[f"{name}.weight"].T + self._w[f"{name}.bias"]
        return made

    def _norm(self, x: Floats, name: str) -> Floats:
        x = x - x.mean(-1, keepdims=True)
        x /= np.sqrt((x * x).mean(-1, keepdims=True) + _TINY)
        made: Floats = x * self._w[f"{name}.weight"] + self._w[f"{name}.bias"]
        return made


def _split(x: Floats) -> Floats:
    """(T, D) by heads: (HEADS, T, D / HEADS)."""
    return x.reshape(len(x), HEADS, -1).transpose(1, 0, 2)


def _attend(q: Floats, k: Floats, v: Floats, bias: Any) -> Floats:
    made: Floats = _softmax(q @ k.swapaxes(-1, -2) / np.float32(np.sqrt(q.shape[-1])) + bias) @ v
    return made


def _softmax(x: Floats) -> Floats:
    powers = np.exp(x - x.max(-1, keepdims=True))
    made: Floats = (powers / powers.sum(-1, keepdims=True)).astype(np.float32)
    return made


def _sigmoid(x: Floats) -> Floats:
    made: Floats = (1 / (1 + np.exp(-x))).astype(np.float32)
    return made


def _gelu(x: Floats) -> Floats:
    """x times the normal distribution's share below it; erf by Abramowitz and Stegun, 7.1.26, error at most 1.5e-7."""
    half = np.abs(x) * np.float32(np.sqrt(0.5))
    t = 1 / (1 + 0.3275911 * half)
    rest = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
    tail = rest * np.exp(-half * half) / 2
    made: Floats = (x * np.where(x >= 0, 1 - tail, tail)).astype(np.float32)
    return made


def _buckets(length: int, first: int, last: int) -> np.ndarray[Any, Any]:
    """How far each piece stands from those of a span, in steps that widen: none inside, behind and before told apart."""
    at = np.arange(length)
    away = np.where(at < first, at - first, np.where(at >= last, at - last + 1, 0))
    step = np.minimum((np.log2(np.abs(away) + 1) * 1.5).astype(int), _BUCKETS - 2) + 1
    return np.where(away == 0, 0, np.where(away < 0, step + _BUCKETS, step))
