"""sqlite-utils as lean as it can be; to be imported before any module that imports it.

Where pandas and numpy are installed sqlite-utils loads them for types that nobody here keeps: 0.3 s of every command and 50 MB.
"""

import sys
from importlib import import_module

OPTIONAL = ("pandas", "numpy")

_hidden = [name for name in OPTIONAL if name not in sys.modules]
sys.modules.update(dict.fromkeys(_hidden))  # type: ignore[arg-type]  # None: importing it fails
try:
    import_module("sqlite_utils")
finally:
    for _name in _hidden:
        del sys.modules[_name]
