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


def load(notebook: Path | None = None, environment: dict[str, str] | None = None) -> Settings:
    """Settings from option, environment and `config.toml` in the per-user folder.

    Raises InputProblem FN-304 when the file is not valid or holds an unknown key.
    """
    env = dict(os.environ) if environment is None else environment
    data, config = _user_folders(env)
    values = _from_file(config / "config.toml") | _from_environment(env)
    if notebook is not None:
        values["notebook"] = str(notebook)
    base = Settings(
        notebook=data / "notebook", models=data / "models", keys=data / "keys", particulars=config / "engineer.toml"
    )
    return replace(base, **{name: _typed(name, value) for name, value in values.items()})


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
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as problem:
        raise InputProblem("FN-304", path=path, reason=problem) from None
    if unknown := values.keys() - _names():
        raise InputProblem("FN-304", path=path, reason=f"unknown keys {', '.join(sorted(unknown))}")
    return values


def _typed(name: str, value: object) -> Any:
    if name in ("notebook", "models", "keys", "limits", "demo", "manifest", "particulars"):
        return Path(str(value)).expanduser().absolute()
    if name == "threads":
        return max(1, int(str(value)))
    return str(value)
