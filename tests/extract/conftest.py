"""The extractors for all tests of the room."""

import pytest

from fieldnote import extract
from fieldnote.extract import Extractor, build


@pytest.fixture(scope="session")
def extractor() -> Extractor:
    """The reader of dictations as it ships."""
    return build()


@pytest.fixture(scope="session")
def rules() -> Extractor:
    """The rules alone, without what was taught."""
    return extract.rules()
