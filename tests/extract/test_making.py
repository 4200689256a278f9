"""The encoder is made ready on this machine: what was published and what was taught become one, in whole numbers.

Outside the project: the layout of safetensors files (its published format), the encoder of Devlin and others, "BERT" (2018), in
plain numpy and erf of scipy, with what was taught beside each matrix as in Hu and others, "LoRA" (2022).
"""

import dataclasses
import json
import re
import shutil
import threading
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import special

from fieldnote import bootstrap, settings
from fieldnote.cli import output
from fieldnote.extract import build
from fieldnote.extract.taught import making, stored
from fieldnote.extract.taught.reading import Taught
from fieldnote.settings import Settings
from fieldnote.speech import fetching, weights

HEADS, EPSILON = 12, 1e-12
Array = np.ndarray[Any, Any]
TALK = "front left burner cap is cracked new one on order and the tap was stiff as you like"


def norm(x: Array, held: dict[str, Array], name: str) -> Array:
    """Over the last axis."""
    x = (x - x.mean(-1, keepdims=True)) / np.sqrt(x.var(-1, keepdims=True) + EPSILON)
    return x * held[f"{name}.weight"] + held[f"{name}.bias"]


def plainly(base: Path, ids: list[int]) -> Array:
    """What the encoder makes of some pieces, in floats."""
    general, taught = making.published(base / "model.safetensors"), stored.read("encoder.")

    def linear(x: Array, layer: int, name: str, of: str) -> Array:
        at = f"layers.{layer}.{name}."
        matrix = general[f"encoder.layer.{layer}.{of}.weight"] + taught[at + "up"] @ taught[at + "down"]
        return x @ matrix.T + taught[at + "bias"]

    def by_heads(x: Array) -> Array:
        return x.reshape(len(x), HEADS, -1).swapaxes(0, 1)

    x = general["embeddings.word_embeddings.weight"][ids] + general["embeddings.position_embeddings.weight"][: len(ids)]
    x = norm(x + taught["te"], taught, "en")
    for n in range(making.LAYERS):
        names = ("query", "key", "value")
        q, k, v = (by_heads(linear(x, n, name[0], f"attention.self.{name}")) for name in names)
        shares = special.softmax(q @ k.swapaxes(1, 2) / np.sqrt(q.shape[-1]), axis=-1)
        mixed = (shares @ v).swapaxes(0, 1).reshape(x.shape)
        x = norm(x + linear(mixed, n, "o", "attention.output.dense"), taught, f"layers.{n}.n1")
        wide = linear(x, n, "f1", "intermediate.dense")
        wide = wide * (1 + special.erf(wide / np.sqrt(2))) / 2
        x = norm(x + linear(wide, n, "f2", "output.dense"), taught, f"layers.{n}.n2")
    return x


def test_the_encoder_makes_what_the_published_arithmetic_makes(base: Path, taught: Taught) -> None:
    """In whole numbers of eight bits, each piece comes out nearly as in floats (cosine 0.99, at the least 0.97)."""
    ids = [101, *taught.cutter.cut(TALK).ids, 102]
    wanted, made = plainly(base, ids), taught.network.encode(ids)
    likeness = (wanted * made).sum(-1) / np.linalg.norm(wanted, axis=-1) / np.linalg.norm(made, axis=-1)
    assert likeness.min() > 0.97
    assert likeness.mean() > 0.99


def test_the_same_files_are_made_each_time(base: Path, tmp_path: Path) -> None:
    """Made twice, each byte is the same, and the graph finds each array where it says."""
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        making.make(base, tmp_path / name)
    for name in making.FILES:
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()


def test_the_graph_finds_each_array_where_it_is(base: Path, taught: Taught) -> None:
    """Names, places and lengths in the graph (the fields of ONNX's TensorProto) are those of model.bin."""
    graph = (taught.folder / "model.onnx").read_bytes()
    field = rb"%s\x12.([0-9]+)"
    told = re.findall(
        rb"B.([\w.]+)j[^B]{1,30}model\.binj." + field % b".{0,3}offset" + rb"j." + field % b".{0,3}length", graph, re.S
    )
    start, wanted = 0, []
    for name, one in making.arrays(base):
        start += -start % making.ALIGNED
        wanted.append((name, start, one.nbytes))
        start += one.nbytes
    assert [(name.decode(), int(at), int(long)) for name, at, long in told] == wanted


def test_a_matrix_is_kept_within_half_a_step() -> None:
    """Each number comes back within half of its row's step; 63 steps where they are asked for."""
    some = np.random.default_rng(2).normal(size=(5, 9)).astype(np.float32)
    for most in (127, 63):
        whole, scale = stored.in_eight_bits(some, most)
        assert np.abs(whole).max() == most
        assert np.all(np.abs(whole * scale - some) <= scale / 2 + 1e-7)


def safetensors(**arrays: Array) -> bytes:
    """A file of that format."""
    head, at = {}, 0
    for name, one in arrays.items():
        head[name] = {"dtype": "F32", "shape": list(one.shape), "data_offsets": [at, at + one.nbytes]}
        at += one.nbytes
    text = json.dumps({"__metadata__": {"format": "pt"}, **head}).encode()
    return len(text).to_bytes(8, "little") + text + b"".join(one.tobytes() for one in arrays.values())


def test_published_arrays_are_read(tmp_path: Path) -> None:
    """The names, shapes and numbers of a file come back."""
    some = {"a": np.arange(6, dtype=np.float32).reshape(2, 3), "b": np.ones(2, np.float32)}
    (tmp_path / "x").write_bytes(safetensors(**some))
    read = making.published(tmp_path / "x")
    assert set(read) == {"a", "b"}
    assert all(np.array_equal(read[name], one) for name, one in some.items())


@pytest.mark.parametrize(
    "data", [b"", b"\x05", b"\xff" * 40, safetensors(a=np.ones(3, np.float32))[:-4], safetensors()]
)
def test_what_is_not_that_encoder_is_refused(tmp_path: Path, data: bytes) -> None:
    """Cut short, of another kind, or without the arrays that are needed."""
    (tmp_path / "model.safetensors").write_bytes(data)
    with pytest.raises(ValueError):
        list(making.arrays(tmp_path))


@pytest.fixture
def home(tmp_path: Path, base: Path) -> Settings:
    """Settings with the reader in a folder of its own."""
    chosen = dataclasses.replace(settings.load(), models=tmp_path / "models")
    fetching.add_folder(chosen, weights.READER, base, lambda _: None, bootstrap.makers())
    return chosen


def older(home: Settings) -> Path:
    """Make as if it had been made by an older program; its made.json."""
    made = home.models / weights.READER / "int8" / "made.json"
    about = json.loads(made.read_text("utf-8"))
    made.write_text(json.dumps({**about, "by": "something older"}), "utf-8")
    (made.parent / "model.bin").write_bytes(b"older")
    return made


def test_it_is_made_anew_when_more_was_taught(home: Settings) -> None:
    """What was made for another state of the program is made again out of the original files, without a network."""
    made = home.models / weights.READER / "int8" / "made.json"
    before = json.loads(made.read_text("utf-8"))
    older(home)
    assert bootstrap.taught(home) == (made.parent, "")
    assert json.loads(made.read_text("utf-8")) == before


def test_it_is_not_made_anew_out_of_damaged_files(home: Settings) -> None:
    """The original files are checked first; what is wrong is told, and the rules read alone."""
    older(home)
    path = home.models / weights.READER / "model.safetensors"
    with path.open("r+b") as file:
        file.seek(1 << 20)
        file.write(bytes(100))
    folder, why = bootstrap.taught(home)
    assert folder is None
    assert "FN-405" in why and "model.safetensors" in why and "models fetch reader" in why


@pytest.mark.parametrize("name", making.FILES)
def test_a_damaged_one_is_not_used(home: Settings, name: str) -> None:
    """One byte differs, or a file is gone: told by name, with the way out; nothing is read by it."""
    path = home.models / weights.READER / "int8" / name
    data = bytearray(path.read_bytes())
    data[1000] ^= 1
    path.write_bytes(data)
    folder, why = bootstrap.taught(home)
    assert folder is None
    assert "FN-405" in why and name in why and "models fetch reader" in why
    path.unlink()
    assert weights.state(home, weights.READER, deep=False).state == "damaged"


def test_two_that_make_it_at_once_leave_a_whole_one(home: Settings) -> None:
    """Two processes that start after an update make it at the same time: both go on, and what stays is whole."""
    folder, maker = home.models / weights.READER, bootstrap.makers()[weights.FINDINGS]
    both, failed = threading.Barrier(2), []

    def slowly(base: Path, to: Path) -> None:
        maker.fill(base, to)
        both.wait(60)

    def make() -> None:
        try:
            weights.make_container(folder, dataclasses.replace(maker, fill=slowly))
        except Exception as problem:
            failed.append(problem)

    some = [threading.Thread(target=make) for _ in range(2)]
    for one in some:
        one.start()
    for one in some:
        one.join()
    assert failed == []
    assert weights.container_fault(folder) == ""
    assert sorted(path.name for path in folder.iterdir()) == ["int8", "model.safetensors", "tokenizer.json"]


def test_nothing_half_made_stays(home: Settings) -> None:
    """When the disk is full in the midst of it, what was there stays, and no scrap of the new one."""
    folder = home.models / weights.READER

    def full(base: Path, to: Path) -> None:
        shutil.copyfile(base / "tokenizer.json", to / "tokenizer.json")
        raise OSError(28, "No space left on device")

    with pytest.raises(OSError, match="No space"):
        weights.make_container(folder, weights.Maker(weights.FINDINGS, full))
    assert weights.container_fault(folder) == ""
    assert sorted(path.name for path in folder.iterdir()) == ["int8", "model.safetensors", "tokenizer.json"]


def test_without_it_the_rules_read_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Not fetched, or a folder of that name that is for something else: told, and another version of the reader."""
    chosen = dataclasses.replace(settings.load(), models=tmp_path)
    folder, why = bootstrap.taught(chosen)
    assert folder is None and "models fetch reader" in why
    output.tell_if_rules_alone(chosen)
    assert "the rules read alone" in capsys.readouterr().err
    assert not build().taught
    assert build().version != build(taught=tmp_path).version
