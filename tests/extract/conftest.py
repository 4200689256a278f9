"""The readers for all tests of the room."""

from pathlib import Path

import pytest

from fieldnote.extract import Extractor, build
from fieldnote.extract.taught import making
from fieldnote.extract.taught.reading import Taught
from fieldnote.speech import weights
from tests.conftest import REAL_MODELS


@pytest.fixture(scope="session")
def base() -> Path:
    """The general encoder as it was published."""
    folder = REAL_MODELS / weights.READER
    if not folder.is_dir():
        pytest.skip("the taught reader is not on this machine: fieldnote models fetch reader")
    return folder


@pytest.fixture(scope="session")
def taught(base: Path, tmp_path_factory: pytest.TempPathFactory) -> Taught:
    """The taught reader."""
    folder = tmp_path_factory.mktemp("reader")
    making.make(base, folder)
    return Taught(folder)


@pytest.fixture(scope="session")
def extractor(taught: Taught) -> Extractor:
    """The reader of dictations as it ships."""
    return build(taught=taught.folder)


@pytest.fixture(scope="session")
def rules() -> Extractor:
    """The rules alone, without what was taught."""
    return build()
