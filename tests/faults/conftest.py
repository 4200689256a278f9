"""The shim and the desks of these tests."""

import pytest

from tests.faults.desk import Place, make_bases
from tests.faults.harness import Shim


@pytest.fixture(scope="module")
def shim(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FIELDNOTE_HOME", str(tmp_path_factory.mktemp("home")))
        made = Shim(tmp_path_factory.mktemp("shim"))
    yield made
    made.close()


@pytest.fixture(scope="module")
def bases(tmp_path_factory):
    """Notebooks to start from."""
    folder = tmp_path_factory.mktemp("bases")
    make_bases(folder)
    return folder


@pytest.fixture
def place(bases, tmp_path):
    return Place(bases, tmp_path)
