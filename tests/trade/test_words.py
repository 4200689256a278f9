"""What the room may never say: no all-clear in any data text or any output."""

import re
from datetime import date
from decimal import Decimal as D

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldnote.cli import calc
from fieldnote.records import (
    Action,
    Declared,
    Evidence,
    Extraction,
    Finding,
    ProcedureStep,
    Reading,
    canonical,
    to_plain,
)
from fieldnote.trade import tables
from fieldnote.trade.catalogue import calculations
from fieldnote.trade.check import check
from fieldnote.trade.knowledge import checklists, situations
from fieldnote.trade.sheets import SHEETS
from fieldnote.trade.vocabulary import vocabulary

ALL_CLEAR = re.compile(r"\bsafe(ly)?\b|\bpass(ed|es)?\b|\bapproved\b|\bcertif(y|ied)\b|\ball[- ]clear\b", re.IGNORECASE)
WORDS = vocabulary()
SAID = Evidence("x", 0, 1)


def test_no_all_clear_in_the_data():
    """No data file holds the word "safe" or any other all-clear."""
    for path in tables.decisive():
        if path.name != "vocabulary.toml":  # the ids of what people say
            assert [match[0] for match in ALL_CLEAR.finditer(path.read_text("utf-8"))] == [], path.name


def test_no_all_clear_in_lists():
    """`calc --list` gives no all-clear either."""
    assert not any(ALL_CLEAR.search(calc.listed(row)) for row in calc.listing())


def test_every_calculation_has_its_sheet():
    """Each calculation of the data has a sheet, and no sheet is without its data."""
    assert SHEETS.keys() == calculations().keys()


ids = {
    name: st.sampled_from(sorted(getattr(WORDS, name)))
    for name in ("components", "conditions", "statuses", "appliances")
}
appliances = st.none() | ids["appliances"]
findings = st.builds(
    Finding,
    appliance=appliances, component=st.none() | ids["components"],
    position=st.sampled_from([None, "front-left", "rear-right", "all"]), burner=st.sampled_from([None, "wok"]),
    condition=st.none() | ids["conditions"], status=ids["statuses"],
    actions=st.lists(
        st.builds(Action, st.sampled_from(sorted(WORDS.actions)), st.sampled_from(["done", "needed", "declined"])), max_size=2
    ).map(tuple),
    confidence=st.just(1.0), evidence=st.just(SAID), unit=st.none(), superseded=st.none(), why=st.just(()),
)  # fmt: skip
readings = st.builds(
    Reading,
    quantity=st.sampled_from(sorted(WORDS.quantities)), value=st.decimals(-10, D(5000), places=3), unit=st.just(""),
    appliance=appliances, position=st.just(None), burner=st.just(None),
    phase=st.sampled_from([None, "as-found", "as-left"]), confidence=st.just(1.0), evidence=st.just(SAID),
    basis=st.sampled_from([None, "gross", "net"]), comparator=st.sampled_from([None, "<", ">", "about"]), said=st.none(),
    cubic_feet=st.none() | st.decimals(0, 9999, places=2), start_value=st.none() | st.decimals(0, 40, places=1),
    superseded=st.none(), why=st.just(()),
)  # fmt: skip
extractions = st.builds(
    Extraction,
    findings=st.lists(findings, max_size=6).map(tuple), readings=st.lists(readings, max_size=8).map(tuple),
    declared=st.lists(
        st.builds(Declared, st.sampled_from(sorted(WORDS.classes)), appliances, st.just(SAID), st.just(())), max_size=2
    ).map(tuple),
    followups=st.just(()),
    procedure=st.lists(
        st.builds(ProcedureStep, st.sampled_from(sorted(situations().step_names)), st.none(), st.just(SAID)), max_size=3
    ).map(tuple),
    smell_of_gas=st.sampled_from([None, SAID]), gas=st.sampled_from([None, "natural", "butane"]),
    meter=st.sampled_from([None, "U6", "imperial"]),
)  # fmt: skip


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    extractions,
    st.sampled_from([None, *(row.id for row in checklists())]),
    st.sampled_from([None, "gb", "cn", "nowhere"]),
    st.sampled_from([date(2026, 2, 2), date(2026, 6, 1), date(2026, 11, 25)]),
    st.sampled_from([None, "3", "99"]),
)
def test_whatever_is_said(said, work, region, on, edition):
    """Whatever is said: the check does not fail, gives no all-clear, and "within" rests on a trusted limit of the region."""
    known = {"work": work, "appliances": ("hob",), "gas": None, "meter": None, "region": region, "edition": edition}
    result = check(said, on=on, **known)
    canonical(to_plain(result))
    for one in result.results:
        texts = [*one.notes, one.settle or "", one.formula, *(calc.lines_of(one))]
        assert not any(re.search(r"\bsafe(ly)?\b", text, re.IGNORECASE) for text in texts)
        assert one.verdict in ("within", "outside", "no-verdict")
        assert one.verdict != "no-verdict" or one.reason in (
            "missing-input",
            "missing-limit",
            "doubt",
            "edition",
            "unsourced",
        )
        if one.verdict == "within":
            assert one.limit.grade in ("P", "K") and one.limit.source and one.limit.from_date <= on
            assert region in ("gb", "cn") or one.name == "flame-supervision"
    for point in result.points:
        assert not re.search(r"\bsafe(ly)?\b", " ".join([point.text, *point.steps]), re.IGNORECASE)
