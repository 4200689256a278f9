"""Several records kept in one go."""

import pytest

from tests.sample_visit import sample_book


@pytest.mark.parametrize("bad", [object(), float("nan")])
def test_several_records_are_kept_together_or_not_at_all(tmp_path, bad):
    """When one of several records cannot be kept, none of them is."""
    book = sample_book(tmp_path / "book")
    visit = book.visit("KITCHEN-1").id
    assert [entry.payload for entry in book.append_all("decision", [{"n": 1}, {"n": 2}], visit=visit)] == [
        {"n": 1},
        {"n": 2},
    ]
    with pytest.raises((TypeError, ValueError)):
        book.append_all("decision", [{"n": 3}, bad], visit=visit)
    assert [entry.payload for entry in book.entries(kind="decision")] == [{"n": 1}, {"n": 2}]
