"""Settings: one frozen object, made once at the front door and handed in everywhere.

The only module that reads the environment or the configuration file. Precedence: option, environment, file, default.
"""

import os
import tomllib
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

from fieldnote.errors import InputProblem

PROJECT = Path(__file__).resolve().parent.parent
PATHS = ("notebook", "models", "keys", "limits", "demo", "manifest", "particulars", "cache")
MOST_THREADS = 1024


@dataclass(frozen=True, slots=True)
class Settings:
    """Everything that can be set. Paths are absolute."""

    notebook: Path
    models: Path
    model: str = "base"
    region: str | None = None
    limits: Path | None = None
    engineer: str = ""
    keys: Path = Path()
    demo: Path = PROJECT / "demo_recordings"
    manifest: Path = PROJECT / "models" / "manifest.toml"
    threads: int = 2
    particulars: Path = Path("engineer.toml")
    cache: Path = Path()
    emergency_number: str = (
        ""  # to be called about a smell of gas, as the user confirmed it for the place; never assumed
    )


def load(notebook: Path | None = None, environment: dict[str, str] | None = None) -> Settings:
    """Settings from option, environment and `config.toml` in the per-user folder.

    Raises InputProblem FN-304 when the file is not valid or holds an unknown key, or a value is none that it can have.
    """
    env = dict(os.environ) if environment is None else environment
    data, config = _user_folders(env)
    file = config / "config.toml"
    values = _typed(_from_file(file), file) | _typed(_from_environment(env), "the environment")
    if notebook is not None:
        values |= _typed({"notebook": str(notebook)}, "--notebook")
    base = Settings(
        notebook=data / "notebook",
        models=data / "models",
        keys=data / "keys",
        particulars=config / "engineer.toml",
        cache=data / "cache",
    )
    return replace(base, **values)


def _user_folders(env: dict[str, str]) -> tuple[Path, Path]:
    if home := env.get("FIELDNOTE_HOME"):
        return Path(home).absolute(), Path(home).absolute()
    import platformdirs

    return Path(platformdirs.user_data_dir("fieldnote")), Path(platformdirs.user_config_dir("fieldnote"))


def _names() -> set[str]:
    return {field.name for field in fields(Settings)}


def _from_environment(env: dict[str, str]) -> dict[str, object]:
    return {name: env[f"FIELDNOTE_{name.upper()}"] for name in _names() if env.get(f"FIELDNOTE_{name.upper()}")}


def _from_file(path: Path) -> dict[str, object]:
    if not path.is_file():
        return {}
    try:
        values = tomllib.loads(path.read_text("utf-8"))
    except OSError as problem:
        raise InputProblem("FN-301", path=path, reason=problem.strerror) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as problem:
        raise InputProblem("FN-304", path=path, reason=problem) from None
    if unknown := values.keys() - _names():
        raise InputProblem("FN-304", path=path, reason=f"unknown keys {', '.join(sorted(unknown))}")
    return values


def _typed(values: dict[str, object], where: object) -> dict[str, Any]:
    typed = {}
    for name, value in values.items():
        try:
            typed[name] = _value(name, value)
        except (ValueError, RuntimeError) as problem:  # RuntimeError: ~ of nobody who has a home here
            raise InputProblem("FN-304", path=where, reason=f"{name}: {problem}") from None
    return typed


def _value(name: str, value: object) -> Any:
    if name == "threads":
        return _whole(value)
    if not isinstance(value, str) or "\0" in value:
        raise ValueError(f"{value!r} is no text")
    return Path(value).expanduser().absolute() if name in PATHS else value


def _whole(value: object) -> int:
    """A whole number from 1 on, also written as text, as the environment does."""
    text = str(value)
    if isinstance(value, bool) or not (text.isascii() and text.isdecimal() and 1 <= int(text) <= MOST_THREADS):
        raise ValueError(f"{value!r} is no whole number from 1 to {MOST_THREADS}")
    return int(text)
