"""Records travel to plain JSON values and back without loss; the canonical form is one."""

import json
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldnote.records import (
    Action,
    Evidence,
    Extraction,
    Finding,
    Line,
    Reading,
    Trace,
    Visit,
    canonical,
    digest,
    from_plain,
    to_plain,
)
from fieldnote.records.findings import days_on

WORDS = st.text(max_size=12)
EVIDENCE = st.builds(Evidence, WORDS, st.integers(0, 99), st.integers(0, 99))
ACTIONS = st.lists(st.builds(Action, WORDS, WORDS), max_size=3).map(tuple)
MAYBE = st.none() | WORDS
FINDINGS = st.builds(
    Finding, MAYBE, MAYBE, MAYBE, MAYBE, MAYBE, WORDS, ACTIONS, st.floats(0, 1), EVIDENCE, MAYBE, MAYBE
)
VALUES = st.decimals(allow_nan=False, allow_infinity=False, places=4)
READINGS = st.builds(Reading, WORDS, VALUES, WORDS, MAYBE, MAYBE, MAYBE, MAYBE, st.floats(0, 1), EVIDENCE)


@given(st.lists(FINDINGS, max_size=3).map(tuple), st.lists(READINGS, max_size=3).map(tuple))
def test_there_and_back(findings, readings):
    """What goes through JSON comes back equal, exact decimals included."""
    whole = Extraction(findings, readings)
    assert from_plain(Extraction, json.loads(json.dumps(to_plain(whole)))) == whole


def test_a_line_keeps_which_kind_of_record_it_holds():
    """A reading does not come back as a finding, nor the other way round."""
    evidence = Evidence("x", 0, 1)
    reading = Reading("co", Decimal("36"), "ppm", None, None, None, None, 0.9, evidence)
    finding = Finding("hob", "knob", None, None, "loose", "present", (), 0.9, evidence)
    for said, kind in ((reading, "reading"), (finding, "finding")):
        line = Line("x", kind, said, said, "open", Trace(None, 0, 1))
        assert from_plain(Line, to_plain(line)) == line


@pytest.mark.parametrize("spoil", [{"more": 1}, {"opened_at": "yesterday"}, {"ref": 7}, {"appliances": [3]}])
def test_what_does_not_fit_is_refused(spoil):
    """An unknown field, a date that is none, a number for a word."""
    plain = to_plain(Visit("1", "JOB", datetime(2026, 11, 18, tzinfo=UTC)))
    with pytest.raises((ValueError, TypeError)):
        from_plain(Visit, plain | spoil)


def test_the_canonical_form_does_not_depend_on_order():
    """RFC 8259 says that the order of members means nothing: one hash for both."""
    assert digest({"a": 1, "b": [2, "é"]}) == digest({"b": [2, "é"], "a": 1})
    assert canonical({"b": 1, "a": "é"}) == '{"a":"é","b":1}'.encode()


def test_no_value_outside_json_is_hashed():
    """NaN has no canonical form."""
    with pytest.raises(ValueError, match="range"):
        canonical(float("nan"))


def test_records_do_not_change():
    """They are frozen: a change is a new record."""
    visit = Visit("1", "JOB", datetime(2026, 11, 18, tzinfo=UTC))
    with pytest.raises(AttributeError):
        visit.ref = "other"
    assert replace(visit, ref="other").ref == "other"


@pytest.mark.parametrize(
    ("days", "due"), [(14, date(2026, 12, 2)), (0, date(2026, 11, 18)), (None, None), (10**12, None)]
)
def test_days_are_counted_as_far_as_a_calendar_goes(days, due):
    """A number of days that no calendar has gives no date, and no error."""
    assert days_on(date(2026, 11, 18), days) == due
