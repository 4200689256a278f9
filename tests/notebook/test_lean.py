"""What opening a notebook loads."""

import subprocess
import sys


def test_a_notebook_is_opened_without_pandas_or_numpy() -> None:
    """sqlite-utils would load both where they are installed; afterwards they can be imported as ever."""
    code = "import sys, fieldnote.notebook; print({'pandas', 'numpy'} & sys.modules.keys()); import numpy; print(numpy.zeros(2))"
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert told.splitlines() == ["set()", "[0. 0.]"]
