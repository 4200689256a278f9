"""The import directions of the house hold, and every room says what it is for."""

import ast
import re
from pathlib import Path

from importlinter.application.use_cases import lint_imports
from importlinter.configuration import configure

ROOT = Path(__file__).parent.parent
MODULES = sorted((ROOT / "fieldnote").rglob("*.py"))


def test_import_contracts_are_kept(monkeypatch):
    """Every contract of pyproject.toml is kept."""
    monkeypatch.chdir(ROOT)
    configure()
    assert lint_imports(config_filename=str(ROOT / "pyproject.toml"), is_debug_mode=False)


def test_every_module_says_what_it_is_for():
    """Each module opens with a docstring."""
    silent = [str(path) for path in MODULES if not ast.get_docstring(ast.parse(path.read_text("utf-8")))]
    assert silent == []


def test_only_settings_reads_the_environment():
    """No module but settings.py (and the front door's output, for NO_COLOR) reads the environment."""
    allowed = {"settings.py", "output.py"}
    reads = re.compile(r"os\.(getenv|environ)(?!\[[^]]+\] = )")
    readers = [p.name for p in MODULES if reads.search(p.read_text("utf-8")) and p.name not in allowed]
    assert readers == []
