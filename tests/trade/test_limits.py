"""Limits are strict: refused all at once, dated, sourced, by region and edition; a file of one's own is laid on top."""

from dataclasses import replace
from datetime import date
from decimal import Decimal as D
from pathlib import Path

import pytest

from fieldnote import trade
from fieldnote.errors import InputProblem, UsageProblem
from fieldnote.trade import knowledge, tables
from fieldnote.trade.doubt import Measured
from fieldnote.trade.judge import Circumstances, judge
from fieldnote.trade.limits import Range, load

TODAY = date(2026, 11, 25)
TEST = {"drop": "2.5", "meter": "U6", "largest-pipe": "22", "appliances": "yes", "smell": "no", "seconds": "120"}

OWN = """
region = "gb"
title = "Our own table"
[sources.our-copy]
title = "Our licensed copy of the standard, table 4"
seen = "whole"
[[limit]]
id = "own-volume-small"
quantity = "tightness-drop"
text = "made-up band for this test: up to 0.02 m3, 3 mbar"
unit = "mbar"
high = 3
when = { gas = ["natural"], smell = ["no"], appliances = ["yes"], volume = { up-to = 0.02 } }
edition = "up1b-4"
source = "our-copy"
"""


def own(tmp_path: Path, text: str) -> Path:
    """A limits file of one's own."""
    path = tmp_path / "own.toml"
    path.write_text(text, "utf-8")
    return path


def test_package_files_are_valid():
    """Every data file of the package is accepted, and every trusted limit has a date and a source that was seen or calculated."""
    limits = load()
    for read in (
        knowledge.checklists,
        knowledge.symptoms,
        knowledge.situations,
        knowledge.cautions,
        knowledge.readings,
    ):
        assert read()
    for _, row in limits.rows:
        assert row.grade != "user"
        assert limits.dates(row)[0] < date.max
        if row.trusted:
            assert limits.sources[row.source].seen in ("excerpt", "whole", "listing", "calculated"), row.id


TRUSTED = [(region, row) for region, row in load().rows if row.trusted and not row.fails]


@pytest.mark.parametrize(("region", "row"), TRUSTED, ids=[row.id for _, row in TRUSTED])
def test_every_trusted_limit_can_be_met_and_missed(region, row):
    """In a case made to fit it, on its first day, a trusted limit calls its own figure within and one beyond it outside."""
    limits = load()
    where = Circumstances(limits, limits.dates(row)[0], region, row.edition)
    facts = {
        fact: condition[0] if isinstance(condition, list) else inside(condition) for fact, condition in row.when.items()
    }
    edge = row.high if row.high is not None else row.low
    beyond = edge + 1 if row.high is not None else edge - 1
    assert judge(where, row.quantity, Measured(edge), facts).verdict == "within"
    missed = judge(where, row.quantity, Measured(beyond), facts)
    assert (missed.verdict, missed.limit.id) == ("outside", row.id)


def inside(condition: Range) -> D:
    """A value that lies in a range."""
    ends = [end for end in (condition.from_, condition.up_to) if end is not None]
    return next(value for value in [*ends, *(D(n) for n in range(1000))] if condition.holds(value))


def test_faults_of_the_other_files_are_said_at_once(tmp_path, monkeypatch):
    """A checklist that speaks of a component, a quantity and a source nobody knows, and of one id twice, names all four."""
    point = '{ id = "a", text = "x", by-component = ["flux"], by-quantity = ["mood"], source = "hearsay", grade = "C" }'
    text = f'[[checklist]]\nid = "x"\ntitle = "x"\nnames = []\nappliances = []\npoints = [{point}, {point}]\n'
    (tmp_path / "checklists.toml").write_text(text, "utf-8")
    words = knowledge.vocabulary(), tables.sources(), knowledge.calculations(), tables.gases()
    assert all(words)
    monkeypatch.setattr(tables, "folder", lambda: tmp_path)
    with pytest.raises(InputProblem) as refused:
        knowledge.checklists.__wrapped__()
    assert all(part in refused.value.sentence for part in ("flux", "mood", "hearsay", "a is there twice"))


def test_every_fault_is_said_at_once(tmp_path):
    """Missing source, missing date, unknown edition, unknown unit, unknown fact and crossed figures are all named in one go."""
    bad = OWN.replace('source = "our-copy"', 'source = "nobody"').replace('unit = "mbar"', 'unit = "mb?"')
    bad = (
        bad.replace('edition = "up1b-4"', 'edition = "up1b-9"')
        .replace("smell =", "smel =")
        .replace("high = 3", "high = 3\nlow = 4")
    )
    bad += bad[bad.index("[[limit]]") :].replace("own-volume-small", "second").replace('edition = "up1b-9"\n', "")
    with pytest.raises(InputProblem) as refused:
        load(own(tmp_path, bad))
    for part in (
        "nobody",
        "not in mb?",
        "up1b-9",
        "known as smel",
        "low lies above",
        "second: it has neither a date nor an edition",
    ):
        assert part in refused.value.sentence


def test_unknown_keys_and_missing_keys_are_refused_together(tmp_path):
    """An unknown key and a missing source are named together, before anything is used."""
    bad = OWN.replace("high = 3", "hihg = 3").replace('source = "our-copy"\n', "")
    with pytest.raises(InputProblem, match=r"(?s)source.*hihg|hihg.*source"):
        load(own(tmp_path, bad))


def test_undeclared_overlap_is_refused(tmp_path):
    """Two limits that hold at once for one case must say so; with `besides` both are applied, with `replaces` one goes."""
    second = OWN[OWN.index("[[limit]]") :].replace("own-volume-small", "own-again").replace("high = 3", "high = 2")
    with pytest.raises(InputProblem, match="own-volume-small and limit own-again hold at the same time"):
        load(own(tmp_path, OWN + second))
    limits = load(own(tmp_path, OWN + second + 'besides = ["own-volume-small"]\n'))
    inputs = TEST | {"volume": "0.01"}
    result = trade.calculate("tightness", inputs, on=TODAY, region="gb", gas="natural", limits=limits)
    assert (result.verdict, result.limit.id) == ("outside", "own-again")


def test_own_row_over_a_published_one_must_say_so(tmp_path):
    """A figure of one's own beside a published one is refused unless it says that it replaces it."""
    voltage = """
region = "gb"
title = "Our own table"
[[limit]]
id = "own-voltage"
quantity = "supply-voltage"
text = "tighter, made up for this test"
unit = "V"
low = 225
high = 235
from = 2026-01-01
source = "practice"
"""
    with pytest.raises(InputProblem, match="supply-voltage"):
        load(own(tmp_path, voltage))
    limits = load(own(tmp_path, voltage + 'replaces = ["supply-voltage"]\n'))
    result = trade.calculate("supply-voltage", {"volts": "241"}, on=TODAY, region="gb", limits=limits)
    assert (result.verdict, result.limit.id) == ("outside", "own-voltage")


def test_own_table_fills_the_gap(tmp_path):
    """The empty table of Edition 4 gives no verdict; a supervisor's own row does, with its own source and grade."""
    inputs = TEST | {"volume": "0.01"}
    bare = trade.calculate("tightness", inputs, on=TODAY, region="gb", gas="natural")
    limits = load(own(tmp_path, OWN))
    mine = trade.calculate("tightness", inputs, on=TODAY, region="gb", gas="natural", limits=limits)
    assert (bare.verdict, bare.reason) == ("no-verdict", "missing-limit")
    assert (mine.verdict, mine.limit.grade) == ("within", "user")
    assert "licensed copy" in mine.limit.source
    assert mine.trade_version.startswith(bare.trade_version + "+")


def test_own_table_never_lifts_a_smell_of_gas(tmp_path):
    """With a smell of gas a row of one's own that asks for none does not apply."""
    inputs = TEST | {"volume": "0.01", "smell": "yes"}
    result = trade.calculate("tightness", inputs, on=TODAY, region="gb", gas="natural", limits=load(own(tmp_path, OWN)))
    assert result.verdict != "within"


def test_own_table_asks_for_what_it_needs(tmp_path):
    """A row by volume gives no verdict until the volume is known."""
    result = trade.calculate("tightness", TEST, on=TODAY, region="gb", gas="natural", limits=load(own(tmp_path, OWN)))
    assert (result.verdict, result.reason) == ("no-verdict", "missing-input")
    assert "volume" in result.settle


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (('meter = ["U6"]', 'meter = ["u6"]'), "meter is never u6"),
        (('meter = ["U6"]', "meter = { up-to = 3 }"), "meter is a word"),
        (("volume = { up-to = 0.02 }", 'volume = ["0.02"]'), "volume is a figure"),
        (('quantity = "tightness-drop"', 'quantity = "tightness"'), "nothing is judged as tightness"),
        (('text = "made-up', 'text = "then it is safe, made-up'), "all-clear"),
        (('id = "own-volume-small"', 'id = "up1b-4-volume"'), "up1b-4-volume: the id is there twice"),
        (("[sources.our-copy]", "[sources.practice]"), "practice: the id is there already"),
        (("high = 3", "high = 1e999999999"), "outside of anything"),
        (("high = 3", "high = nan"), "finite"),
        (('title = "Our own table"', 'title = "x"\n[[edition]]\nid="up1b-3"\ntitle="x"\nfrom=2000-01-01\nsource="memory"'),
         "edition up1b-3: the id is there twice"),
    ],
)  # fmt: skip
def test_what_would_never_apply_or_mislead_is_refused(tmp_path, change, says):
    """A word that a fact never is, a figure as a word, an id that is taken, an all-clear, an endless figure: refused by name."""
    text = OWN.replace("volume = {", 'meter = ["U6"], volume = {')
    assert load(own(tmp_path, text))
    with pytest.raises(InputProblem, match=says):
        load(own(tmp_path, text.replace(*change)))


def test_own_vent_rate_must_say_what_it_replaces(tmp_path):
    """A rate of one's own for open-flued appliances is refused beside the published one, and used where it replaces it."""
    text = """
region = "gb"
title = "Our own table"
[[rate]]
id = "own-vent"
quantity = "vent-area-open-flue"
text = "made up for this test: 6 cm2 for each net kW above 7"
unit = "cm2"
per-kw = 6
first-kw = 7
from = 2020-01-01
source = "practice"
"""
    with pytest.raises(InputProblem, match="own-vent and rate open-flue-vent"):
        load(own(tmp_path, text))
    limits = load(own(tmp_path, text + 'replaces = ["open-flue-vent"]\n'))
    inputs = {"rated": "16", "basis": "net", "fitted": "50"}
    result = trade.calculate("ventilation-open-flue", inputs, on=TODAY, region="gb", limits=limits)
    assert (result.results["vent-area"].value, result.verdict) == (54, "outside")


def test_deep_or_strange_files_are_refused(tmp_path):
    """A file nested without end, a folder, a missing file: refused in one line, no crash."""
    deep = own(tmp_path, "a = " + "[" * 20000)
    for path in (deep, tmp_path, tmp_path / "none.toml"):
        with pytest.raises(InputProblem):
            load(path)


WITHIN = [
    ("tightness", TEST, date(2026, 2, 2)),
    ("tightness", TEST | {"drop": "0", "appliances": "no"}, TODAY),
    ("tightness", {"let-by-rise": "0"}, TODAY),
    ("installation-volume", {"meter": "G4", "pipe": "22:6"}, TODAY),
    ("pressure-loss", {"meter-pressure": "20.4", "appliance-pressure": "19.7"}, TODAY),
    ("ventilation-flueless", {"volume": "18", "openable-window": "yes"}, TODAY),
    ("ventilation-open-flue", {"rated": "16", "basis": "net", "fitted": "50"}, TODAY),
    ("combustion", {"co": "36", "co2": "9", "appliance": "boiler"}, TODAY),
    ("flame-supervision", {"open-circuit": "28", "closed-circuit": "14"}, TODAY),
    ("earth-continuity", {"ohm": "0.05"}, TODAY),
    ("earth-continuity", {"ohm": "0.13", "flex-length": "1.5", "flex-area": "0.75"}, TODAY),
    ("insulation-resistance", {"mohm": "5", "class": "II"}, TODAY),
    ("supply-voltage", {"volts": "240"}, TODAY),
    ("fuse", {"rating": "3", "watts": "10"}, TODAY),
]
SPOILED = [
    {"grade": "M"}, {"grade": "M-low"}, {"grade": "C"}, {"from_": date(2030, 1, 1), "edition": None},
    {"to": date(2020, 1, 1)}, {"low": None, "high": None}, {"from_": None, "edition": None},
]  # fmt: skip


@pytest.mark.parametrize(("name", "inputs", "on"), WITHIN)
@pytest.mark.parametrize("spoiled", SPOILED, ids=str)
def test_a_spoiled_limit_never_passes(name, inputs, on, spoiled):
    """Every "within" is lost when its limits are from memory, out of date, undated or without a figure."""
    limits = load()
    known = {"on": on, "region": "gb", "gas": "natural"}
    assert trade.calculate(name, inputs, limits=limits, **known).verdict == "within"
    rows = tuple((region, row.model_copy(update=spoiled)) for region, row in limits.rows)
    of_rate = {key: value for key, value in spoiled.items() if key in ("grade", "from_", "to") and value is not None}
    rates = tuple((region, row.model_copy(update=of_rate)) for region, row in limits.rates) if of_rate else ()
    result = trade.calculate(name, inputs, limits=replace(limits, rows=rows, rates=rates), **known)
    assert result.verdict == "no-verdict" and result.reason in ("missing-limit", "unsourced", "missing-input")


@pytest.mark.parametrize("text", ["region = ", "\x00", "region = 1\n", "[[limit]]\nid = 'x'\n"])
def test_broken_files_are_refused_in_one_line(tmp_path, text):
    """A file that is no TOML or no table of limits is refused in one line that names it."""
    path = own(tmp_path, text)
    with pytest.raises(InputProblem) as refused:
        load(path)
    assert str(path) in refused.value.line() and "\n" not in refused.value.line()


@pytest.mark.parametrize(
    ("on", "edition", "verdict", "reason", "title"),
    [
        (date(2012, 6, 1), None, "no-verdict", "missing-limit", None),
        (date(2026, 2, 28), None, "within", None, "IGEM/UP/1B Edition 3"),
        (date(2026, 6, 1), None, "no-verdict", "edition", None),
        (date(2026, 6, 1), "3", "within", None, "IGEM/UP/1B Edition 3"),
        (date(2026, 6, 1), "IGEM/UP/1B Edition 4", "no-verdict", "missing-limit", "IGEM/UP/1B Edition 4"),
        (date(2026, 9, 30), "3", "within", None, "IGEM/UP/1B Edition 3"),
        (date(2026, 10, 1), None, "no-verdict", "missing-limit", "IGEM/UP/1B Edition 4"),
        (date(2026, 10, 1), "3", "no-verdict", "edition", None),
        (date(2026, 2, 1), "4", "no-verdict", "edition", None),
    ],
)
def test_edition_by_the_day_of_the_test(on, edition, verdict, reason, title):
    """The day picks the edition; where two were in force one must be named; an edition out of force gives no verdict.

    Source: regulator's magazine 2026 (Edition 3 until 30 September 2026, both from March).
    """
    result = trade.calculate("tightness", TEST, on=on, edition=edition, region="gb", gas="natural")
    assert (result.verdict, result.reason) == (verdict, reason)
    assert (result.limit.edition if result.limit else None) == title


def test_unknown_edition_is_refused():
    """An edition that nobody knows is refused by name."""
    with pytest.raises(UsageProblem, match="12"):
        trade.calculate("tightness", TEST, on=TODAY, edition="12", region="gb", gas="natural")


@pytest.mark.parametrize("region", [None, "atlantis"])
def test_no_region_no_verdict(region):
    """Without a region, or with one nobody holds limits for, limits that depend on it give no verdict."""
    for name, inputs in (
        ("supply-voltage", {"volts": "230"}),
        ("tightness", TEST),
        ("earth-continuity", {"ohm": "0.01"}),
    ):
        result = trade.calculate(name, inputs, on=date(2026, 2, 2), region=region, gas="natural")
        assert (result.verdict, result.reason) == ("no-verdict", "missing-limit")
    part = trade.calculate("flame-supervision", {"open-circuit": "12"}, on=TODAY, region=region)
    assert part.verdict == "outside"


def test_other_regions_have_their_own_limits():
    """GB 16410-2020 (published notices): hob burner within 10 % of its rating, flame supervision closes within 60 s."""
    slow = {"drop-out": "75"}
    assert trade.calculate("flame-supervision", slow, on=TODAY, region="cn").verdict == "outside"
    assert trade.calculate("flame-supervision", slow, on=TODAY, region="gb").reason == "unsourced"
    inputs = {"first": "0", "second": "0.030", "seconds": "600", "rated": "1.93", "basis": "gross", "appliance": "hob"}
    assert trade.calculate("gas-rate", inputs, on=TODAY, region="cn", gas="natural").verdict == "within"


def test_figures_from_memory_never_decide():
    """LPG bands and pipes above 28 mm are from memory: shown as a note, no verdict, whatever the drop."""
    for drop in ("0", "1", "19"):
        for more in ({"gas": "propane"}, {"gas": "natural"}):
            inputs = TEST | {"drop": drop, "largest-pipe": "35", "volume": "0.002"}
            result = trade.calculate("tightness", inputs, on=date(2026, 2, 2), region="gb", **more)
            assert (result.verdict, result.reason) == ("no-verdict", "unsourced")
            assert any("from memory" in note for note in result.notes)


@pytest.mark.parametrize(
    ("drop", "verdict"), [("0", "within"), ("0.1", "no-verdict"), ("0.25", "no-verdict"), ("0.3", "outside")]
)
def test_perceptible_movement(drop, verdict):
    """No movement keeps to "no perceptible movement"; up to 0.25 mbar sources differ on what can be seen; above, it moved."""
    inputs = TEST | {"drop": drop, "appliances": "no"}
    result = trade.calculate("tightness", inputs, on=date(2026, 2, 2), region="gb", gas="natural")
    assert result.verdict == verdict


def test_a_rise_is_no_pass():
    """A pressure that rose during the test gives no verdict."""
    inputs = TEST | {"start": "20.0", "end": "20.4"}
    del inputs["drop"]
    result = trade.calculate("tightness", inputs, on=date(2026, 2, 2), region="gb", gas="natural")
    assert (result.verdict, result.reason) == ("no-verdict", "doubt")


def test_a_short_test_is_no_pass():
    """The limits are for two minutes: a test of 60 s has no limit that applies, whatever fell."""
    result = trade.calculate("tightness", TEST | {"seconds": "60"}, on=date(2026, 2, 2), region="gb", gas="natural")
    assert result.verdict == "no-verdict"


def test_outside_needs_no_more_than_what_decides():
    """A drop that every limit that might apply calls outside is outside although the meter was not named."""
    inputs = {"drop": "9", "largest-pipe": "22", "seconds": "120"}
    assert trade.calculate("tightness", inputs, on=date(2026, 2, 2), region="gb", gas="natural").verdict == "outside"
    inputs["drop"] = "5"
    result = trade.calculate("tightness", inputs, on=date(2026, 2, 2), region="gb", gas="natural")
    assert (result.verdict, result.reason) == ("no-verdict", "missing-input")


def test_a_room_at_the_edge_of_a_band_is_doubtful():
    """A measured room whose volume lies at 5 m3 within its doubt gives the band as read and no verdict."""
    inputs = {
        "length": "2.5",
        "width": "1.0",
        "height": "2.0",
        "outside-door": "no",
        "openable-window": "yes",
        "fitted": "60",
    }
    result = trade.calculate("ventilation-flueless", inputs, on=TODAY, region="gb")
    assert result.results["vent-area"].value == 50
    assert (result.verdict, result.reason) == ("no-verdict", "doubt")


@pytest.mark.parametrize(
    ("one", "other", "meet"),
    [
        ({"up_to": D(5)}, {"above": D(5)}, False),
        ({"up_to": D(5)}, {"from_": D(5)}, True),
        ({"below": D(5)}, {"from_": D(5)}, False),
        ({}, {"above": D(5)}, True),
        ({"above": D(1), "below": D(2)}, {"above": D(2)}, False),
    ],
)
def test_ranges_meet(one, other, meet):
    """Two ranges meet when any value lies in both, whichever ends are open."""
    ranges = [Range.model_construct(**one), Range.model_construct(**other)]
    assert ranges[0].meets(ranges[1]) is meet and ranges[1].meets(ranges[0]) is meet


def test_version_names_the_data(tmp_path, monkeypatch):
    """The version is a digest over the data files: the same for the same files, another for other files."""
    copy = tmp_path / "data"
    copy.mkdir()
    (copy / "limits.toml").write_text("a = 1")
    before = trade.version()
    assert before == tables.version.__wrapped__()
    monkeypatch.setattr(tables, "folder", lambda: copy)
    first = tables.version.__wrapped__()
    (copy / "limits.toml").write_text("a = 2")
    assert len({before, first, tables.version.__wrapped__()}) == 3


def test_doubt_says_what_would_settle_it():
    """A gas rate whose doubt is wider than the band says to time it for ten minutes (figures by calculation)."""
    where = Circumstances(load(), TODAY, "cn")
    assert judge(where, "against-rated", Measured(D(9), D(5)), {"appliance": "hob"}).reason == "doubt"
    inputs = {"first": "0", "second": "0.003", "seconds": "120", "rated": "1.0", "basis": "gross", "appliance": "hob"}
    result = trade.calculate("gas-rate", inputs, on=TODAY, region="cn", gas="natural")
    assert result.reason == "doubt" and "ten minutes" in result.settle
