"""One extractor for all tests of the room."""

import pytest

from fieldnote.extract import Extractor, build


@pytest.fixture(scope="session")
def extractor() -> Extractor:
    """The reader of dictations as it ships."""
    return build()
