"""Which weights exist, which are on this machine, and whether their checksums hold.

Comes in: `models/manifest.toml` and the folder of models. Goes out: `Manifest`, `State`, and the folder that an engine may
load. Knows neither sound nor engines, and never reaches for a network (`fetching` does, and only when a person asks). Weights
of the reader of findings are kept in the same way; how they are made ready is handed in (`Maker`).

    MODELS/NAME/model.bin, config.json, tokenizer.json, vocabulary.*    the original files (of speech)
    MODELS/NAME/origin.json                                             hashes of files that no manifest knows
    MODELS/NAME/int8/                                                   the int8 container, with made.json
"""

import hashlib
import json
import shutil
import tempfile
import tomllib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, ValidationError

from fieldnote.errors import InputProblem, MachineLacks, UsageProblem
from fieldnote.settings import Settings
from fieldnote.speech import container

SPEECH, FINDINGS = "speech", "findings"  # what weights are for
NEEDED = {
    SPEECH: ("model.bin", "config.json", "tokenizer.json"),
    FINDINGS: ("model.safetensors", "tokenizer.json"),
}  # the first of them holds the weights
READER = "reader"  # the model that reads findings


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class Hub(_Strict):
    """Where the hub keeps a model: repository and revision (a commit)."""

    repository: str
    revision: str


class Package(_Strict):
    """A data-only wheel on the package registry, pinned by version and hash; `size` in bytes."""

    name: str
    version: str
    sha256: str
    size: int


class File(_Strict):
    """A file of a model: `size` in bytes, SHA-256, and the parts it is joined from, in order."""

    name: str
    size: int
    sha256: str
    parts: list[str]


class Model(_Strict):
    """A model of the manifest."""

    name: str
    use: Literal["speech", "findings"] = "speech"
    title: str
    origin: str
    licence: str
    hub: Hub | None = None
    package: list[Package]
    file: list[File]


class Manifest(_Strict):
    """All models that the project knows."""

    model: list[Model]

    def find(self, name: str) -> Model | None:
        """The model of that name, or None when the manifest does not know it."""
        return next((model for model in self.model if model.name == name), None)


@dataclass(frozen=True, slots=True)
class Maker:
    """Makes what is loaded: `fill` writes model.bin and what belongs to it out of a folder of original files into another one,
    and raises ValueError when these are not what they should be; `use` is what they are for, `by` names what else they are made
    of."""

    use: str
    fill: Callable[[Path, Path], None]
    by: str = ""


@dataclass(frozen=True, slots=True)
class State:
    """One model on this machine. `state`: ready, damaged (see `reason`), absent.

    `checked` says against what: "manifest" or "recorded" (hashes written down when the files came in).
    """

    name: str
    state: str
    checked: str
    folder: Path
    title: str = ""
    licence: str = ""
    origin: str = ""
    reason: str = ""
    sha256: str = ""


def manifest(path: Path) -> Manifest:
    """Read the manifest. Raises InputProblem FN-304 with every fault that is in it."""
    try:
        return Manifest.model_validate(tomllib.loads(path.read_text("utf-8")))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError, ValidationError) as problem:
        raise InputProblem("FN-304", path=path, reason=problem) from None


def fingerprint(path: Path) -> str:
    """SHA-256 of a file, in hex, read in blocks."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def states(settings: Settings, *, deep: bool) -> list[State]:
    """Every model of the manifest and every further one in the folder.

    `deep` reads every byte; otherwise the files must be there, and the container, which is what is loaded, is checked.
    """
    known = manifest(settings.manifest)
    names = [model.name for model in known.model]
    if settings.models.is_dir():
        found = sorted(
            path.name for path in settings.models.iterdir() if path.is_dir() and not path.name.startswith(".")
        )
        names += [name for name in found if name not in names]
    return [state(settings, name, deep=deep) for name in names]


def state(settings: Settings, name: str, *, deep: bool) -> State:
    """How one model stands on this machine."""
    model, folder = manifest(settings.manifest).find(name), settings.models / name
    checked = "manifest" if model else "recorded"
    about = (model.title, model.licence, model.origin) if model else ("", "", "added by hand")
    if not folder.is_dir():
        return State(name, "absent", checked, folder, *about)
    needed = NEEDED[model.use if model else SPEECH]
    reason = fault(folder, expected(folder, model), needed, deep=deep) or container_fault(folder)
    return State(
        name, "damaged" if reason else "ready", checked, folder, *about, reason, _made(folder).get("sha256", "")
    )


def expected(folder: Path, model: Model | None) -> dict[str, str]:
    """File name to SHA-256: from the manifest, else as recorded when the files came in."""
    if model:
        return {file.name: file.sha256 for file in model.file}
    return _json(folder / "origin.json")


def fault(folder: Path, hashes: dict[str, str], needed: Iterable[str], *, deep: bool) -> str:
    """What is wrong with the files of a folder, in words; empty when nothing is."""
    for name in needed:
        if name not in hashes:
            return f"no checksum is known for {name}"
    for name, sha256 in hashes.items():
        if not (folder / name).is_file():
            return f"{name} is missing"
        if deep and fingerprint(folder / name) != sha256:
            return f"the checksum of {name} differs"
    return ""


def check_originals(settings: Settings, name: str) -> None:
    """Read every byte of the original files. Raises MachineLacks FN-405 when one is not what the manifest says."""
    folder, model = settings.models / name, manifest(settings.manifest).find(name)
    if reason := fault(folder, expected(folder, model), NEEDED[made_by(folder)[0]], deep=True):
        raise MachineLacks("FN-405", path=folder, reason=reason, model=name)


def container_fault(folder: Path) -> str:
    """What is wrong with the int8 container, in words; reads every byte of it."""
    known = _made(folder).get("files") or {"model.bin": _made(folder).get("sha256")}
    for name, sha256 in known.items():
        path = folder / "int8" / name
        if not path.is_file() or not sha256:
            return (
                "the int8 container is missing" if name == "model.bin" else f"{name} of the int8 container is missing"
            )
        if fingerprint(path) != sha256:
            return f"the checksum of {name} of the int8 container differs"
    return ""


def made_by(folder: Path) -> tuple[str, str]:
    """What the int8 container of a folder is for, and what else it was made of; empty where there is none."""
    made = _made(folder)
    return (made.get("use", SPEECH), made.get("by", "")) if made else ("", "")


def make_container(folder: Path, maker: Maker) -> None:
    """Make `folder/int8` out of the checked original files: whole or not at all, with its own hashes in made.json.

    Raises MachineLacks FN-405 when the original files are not what they should be. When another process makes the same at the
    same time, one of both is kept.
    """
    with tempfile.TemporaryDirectory(prefix=".int8-", dir=folder) as scratch:
        new, target = Path(scratch) / "int8", folder / "int8"
        new.mkdir()
        try:
            maker.fill(folder, new)
        except (FileNotFoundError, ValueError) as problem:
            raise MachineLacks("FN-405", path=folder, reason=problem, model=folder.name) from None
        hashes = {path.name: fingerprint(path) for path in sorted(new.iterdir())}
        about = {"use": maker.use, "by": maker.by, "sha256": hashes["model.bin"], "files": hashes}
        (new / "made.json").write_text(json.dumps(about) + "\n", "utf-8")
        try:
            if target.is_dir():
                target.rename(Path(scratch) / "old")
            new.rename(target)
        except OSError:
            if made_by(folder) != (maker.use, maker.by):
                raise


def make_speech(folder: Path, to: Path) -> None:
    """The int8 container of a CTranslate2 model. Raises ValueError when model.bin is none."""
    smaller = container.to_int8(container.read(folder / "model.bin"))
    with (to / "model.bin").open("wb") as file:
        container.write(smaller, file)
    for path in folder.glob("*.*"):
        if path.suffix in (".json", ".txt") and path.name != "origin.json":
            shutil.copyfile(path, to / path.name)
    mended = mend_tokenizer(json.loads((folder / "tokenizer.json").read_text("utf-8")))
    (to / "tokenizer.json").write_text(json.dumps(mended, ensure_ascii=False), "utf-8")


def mend_tokenizer(tokenizer: dict[str, Any]) -> dict[str, Any]:
    """Put back merges without which a piece of the vocabulary can never be made.

    The published tokenizer.json of multilingual Whisper lacks its first merge, " t": text that is handed to the decoder (a
    hint, or words to be aligned) then breaks every word that begins with t into pieces that the network never saw.
    """
    model = tokenizer["model"]
    pairs = [pair.split(" ") if isinstance(pair, str) else pair for pair in model["merges"]]
    made = {left + right for left, right in pairs}
    lost = [[*piece] for piece in model["vocab"] if len(piece) == 2 and piece not in made]
    merges = [*lost, *pairs] if not isinstance(model["merges"][0], str) else [" ".join(p) for p in [*lost, *pairs]]
    return tokenizer | {"model": model | {"merges": merges}}


def ready(settings: Settings, name: str, use: str = SPEECH) -> tuple[Path, str]:
    """The folder to load and the SHA-256 of its weights, checked now.

    Raises MachineLacks FN-401 when the model is not here, FN-405 when the weights are not what they were; UsageProblem FN-201
    when they are for something else.
    """
    folder = settings.models / name
    if not folder.is_dir():
        raise MachineLacks("FN-401", model=name)
    if reason := container_fault(folder):
        raise MachineLacks("FN-405", path=folder, reason=reason, model=name)
    if made_by(folder)[0] != use:
        raise UsageProblem("FN-201", what=f"{use} with the weights {name}", reason="they are for something else")
    return folder / "int8", _made(folder)["sha256"]


def _made(folder: Path) -> dict[str, Any]:
    return _json(folder / "int8" / "made.json")


def _json(path: Path) -> dict[str, Any]:
    try:
        value = json.loads(path.read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    return value if isinstance(value, dict) else {}
