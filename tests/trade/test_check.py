"""The check of a visit: what dictated readings call for, what does not add up, what is unsaid, what comes first."""

from datetime import date
from decimal import Decimal as D

import pytest

from fieldnote.records import (
    Action,
    Check,
    Declared,
    Evidence,
    Extraction,
    Finding,
    ProcedureStep,
    Reading,
    Result,
    from_plain,
    to_plain,
)
from fieldnote.trade.check import URGENCY, check
from fieldnote.trade.checks.lists import checklist_of
from fieldnote.trade.knowledge import checklists, symptoms

TODAY = date(2026, 11, 25)
SAID = Evidence("said", 0, 4)
METER = [("meter-reading", "8.436"), ("meter-reading", "8.524"), ("elapsed", "122")]


def reading(quantity: str, value: str, appliance: str | None = "hob", **more: object) -> Reading:
    """One reading."""
    fields = {"unit": "", "position": None, "burner": None, "phase": None, "confidence": 1.0, "evidence": SAID} | more
    return Reading(quantity=quantity, value=D(value), appliance=appliance, **fields)


def readings(*pairs: tuple[str, str], **more: object) -> Extraction:
    """Several readings, as said one after the other."""
    return Extraction(readings=tuple(reading(quantity, value, **more) for quantity, value in pairs))


def finding(component: str | None, condition: str | None, status: str = "present", **more: object) -> Finding:
    """One finding."""
    fields = {
        "appliance": "hob",
        "position": None,
        "burner": None,
        "actions": (),
        "confidence": 1.0,
        "evidence": SAID,
    } | more
    return Finding(component=component, condition=condition, status=status, **fields)


def findings(*found: Finding, **more: object) -> Extraction:
    """Several findings."""
    return Extraction(findings=found, **more)


def checked(said: Extraction, **known: object) -> Check:
    """A check with everything known that a visit may set, unless told otherwise."""
    visit = {
        "work": "hob-service",
        "appliances": ("hob",),
        "gas": "natural",
        "meter": "G4",
        "region": "gb",
        "edition": None,
    }
    return check(said, **(visit | {"on": TODAY} | known))


def only(result: Check, name: str) -> Result:
    """The one result of a calculation."""
    (found,) = [one for one in result.results if one.name == name]
    return found


def points(result: Check, kind: str) -> list[str]:
    """The ids of all points of a kind."""
    return [point.id for point in result.points if point.kind == kind]


# --- readings that go together -------------------------------------------------------------------------------------


@pytest.mark.parametrize("order", [(0, 1, 2), (0, 2, 1), (2, 0, 1)])
def test_two_meter_readings_and_a_time(order):
    """Two meter readings and a time, in any order of talk, are a gas rate (gas engineer's note: 2.597 m3/h)."""
    result = only(checked(readings(*(METER[i] for i in order))), "gas-rate")
    assert float(result.results["gas-rate"].value) == pytest.approx(2.597, rel=0.001)
    assert set(result.from_readings) == {0, 1, 2}


def test_gas_rate_against_the_plate_that_was_said():
    """The data plate that was said of the same appliance is used with its basis; without one it is asked for."""
    plate = reading("rated-input", "24.49", basis="net")
    said = Extraction(readings=(*readings(*METER).readings, plate))
    assert float(only(checked(said), "gas-rate").results["against-rated"].value) == pytest.approx(2.8, abs=0.1)
    bare = Extraction(readings=(*readings(*METER).readings, reading("rated-input", "24.49")))
    result = only(checked(bare), "gas-rate")
    assert (result.verdict, result.reason) == ("no-verdict", "missing-input") and "net" in result.settle


def test_unknown_gas_or_meter_gives_no_verdict():
    """Neither gas nor meter is taken for granted: without a gas there is no heat input, without either no verdict."""
    gasless = only(checked(readings(*METER), gas=None), "gas-rate")
    assert "heat-input-gross" not in gasless.results and gasless.reason == "missing-input"
    said = Extraction(readings=(*readings(*METER).readings, reading("rated-input", "24.49", basis="net")))
    meterless = only(checked(said, meter=None), "gas-rate")
    assert (meterless.verdict, meterless.reason) == ("no-verdict", "missing-input")
    spoken = only(
        checked(Extraction(readings=said.readings, gas="natural", meter="G4"), gas=None, meter=None), "gas-rate"
    )
    assert "heat-input-gross" in spoken.results


def test_gas_that_differs_is_nobodys():
    """Gas set on the visit and another one said: shown, and neither is used."""
    result = checked(Extraction(readings=readings(*METER).readings, gas="propane"))
    assert "gas-differs" in points(result, "contradiction")
    assert "heat-input-gross" not in only(result, "gas-rate").results


def test_cubic_feet_are_no_cubic_metres():
    """Readings that count cubic feet are worked out as such (1 ft3 in 120 s: 9.14 kW); mixed with metric ones not at all."""
    feet = [reading("meter-reading", "0", cubic_feet=D(value)) for value in ("100", "101")]
    said = Extraction(readings=(*feet, reading("elapsed", "120")))
    result = only(checked(said), "gas-rate")
    assert float(result.results["heat-input-gross"].value) == pytest.approx(9.14, rel=0.002)
    mixed = checked(Extraction(readings=(feet[0], reading("meter-reading", "8.5"), reading("elapsed", "120"))))
    assert not mixed.results and points(mixed, "contradiction") == ["gas-rate-units"]


def test_last_digit_that_was_said():
    """Readings said with one digit after the point carry the doubt of that digit."""
    result = only(checked(readings(("meter-reading", "8.4"), ("meter-reading", "8.6"), ("elapsed", "120"))), "gas-rate")
    assert result.results["gas-rate"].plus_minus >= 3


def test_which_readings_is_not_guessed():
    """Three meter readings and one time, or two and no time, give no gas rate but a question."""
    three = checked(readings(("meter-reading", "1.0"), *METER))
    assert not three.results and points(three, "contradiction") == ["gas-rate-readings"]
    two = checked(readings(*METER[:2]))
    assert not two.results and "gas-rate-time" in points(two, "unsaid")


def test_readings_of_two_appliances_are_not_mixed():
    """A meter reading at the hob and one at the fire are no pair: each needs two of its own."""
    said = Extraction(
        readings=(
            reading("meter-reading", "8.436", "hob"),
            reading("meter-reading", "8.524", "fire"),
            reading("elapsed", "122", "fire"),
        )
    )
    assert not [one for one in checked(said).results if one.name == "gas-rate"]


def test_co_figures_that_do_not_pair_up():
    """Two CO figures and one CO2 of a phase are not paired by guess but asked about."""
    result = checked(readings(("co", "36"), ("co", "40"), ("co2", "9"), appliance="boiler"))
    assert not result.results and "combustion-pairs" in points(result, "contradiction")


def test_names_nobody_knows_are_shown():
    """A gas or a region that nothing is known as is shown, and no verdict rests on it."""
    result = checked(readings(("supply-voltage", "230")), gas="town gas", region="atlantis")
    assert {"gas", "region"} <= set(points(result, "contradiction"))
    assert only(result, "supply-voltage").verdict == "no-verdict"
    assert "region" in points(checked(Extraction(), region=None), "unsaid")


def test_an_index_that_ran_backwards_is_shown():
    """A second reading below the first is no result and no crash, but something to say again."""
    result = checked(readings(("meter-reading", "8.524"), ("meter-reading", "8.436"), ("elapsed", "122")))
    assert not result.results and points(result, "unlikely") == ["impossible-gas-rate"]


def test_co_and_co2_of_one_phase():
    """CO and CO2 of one phase are a ratio; as found and as left stay apart; CO of one and CO2 of the other are none."""
    said = Extraction(
        readings=(
            reading("co", "400", "boiler", phase="as-found"),
            reading("co2", "9.0", "boiler", phase="as-found"),
            reading("co", "36", "boiler", phase="as-left"),
            reading("co2", "9.0", "boiler", phase="as-left"),
        )
    )
    result = checked(said, work="boiler-service", appliances=("boiler",))
    assert [one.verdict for one in result.results] == ["outside", "within"]
    crossed = Extraction(readings=(said.readings[2], said.readings[1]))
    assert only(checked(crossed), "combustion").reason == "missing-input"


def test_ratio_of_room_air_becomes_a_point():
    """A ratio with CO2 of room air is refused and shown (common practice)."""
    result = checked(readings(("co", "20"), ("co2", "0.03"), appliance="boiler"))
    assert not result.results and "impossible-combustion" in points(result, "unlikely")


def test_room_sizes_and_a_vent():
    """Room sizes of a room with a hob are a ventilation result; the window counts when it was said."""
    sizes = (("room-length", "3.0"), ("room-width", "2.5"), ("room-height", "2.4"))
    bare = only(checked(readings(*sizes)), "ventilation-flueless")
    assert (bare.verdict, bare.reason) == ("no-verdict", "missing-input")
    with_window = Extraction(readings=readings(*sizes).readings, findings=(finding("window", "ok"),))
    assert only(checked(with_window), "ventilation-flueless").verdict == "within"
    without = Extraction(readings=readings(*sizes).readings, findings=(finding("window", "not-fitted"),))
    assert only(checked(without), "ventilation-flueless").verdict == "outside"
    assert not checked(readings(*sizes, appliance=None), appliances=("boiler",)).results


def test_tightness_as_dictated():
    """Start, drop and time are put together; "no smell" is never taken for granted; a smell that was said counts."""
    drop = reading("tightness-drop", "2.5", "installation", start_value=D("20"))
    said = Extraction(readings=(drop, reading("test-duration", "120", "installation")))
    result = only(checked(said, on=date(2026, 2, 2)), "tightness")
    assert result.inputs["start"] == "20" and result.inputs["end"] == "17.5" and result.inputs["seconds"] == "120"
    assert (result.verdict, result.reason) == ("no-verdict", "missing-input")
    smelt = Extraction(readings=said.readings, smell_of_gas=SAID)
    assert only(checked(smelt, on=date(2026, 2, 2)), "tightness").verdict == "outside"
    assert only(checked(said), "tightness").reason == "missing-limit"


def test_what_was_said_of_the_test_decides_it():
    """No smell and no appliances connected, both said: a drop of 2.5 mbar is outside "no perceptible movement" (pocket guide
    Gas 2); what was not said is left open."""
    drop = reading("tightness-drop", "2.5", "installation", start_value=D("20"))
    both = Extraction(
        readings=(drop, reading("test-duration", "120", "installation")), no_smell=SAID, appliances_connected="no"
    )
    result = only(checked(both, on=date(2026, 2, 2)), "tightness")
    assert (result.inputs["smell"], result.inputs["appliances"], result.verdict) == ("no", "no", "outside")
    smelt = Extraction(readings=both.readings, no_smell=SAID, smell_of_gas=SAID)
    assert only(checked(smelt, on=date(2026, 2, 2)), "tightness").inputs["smell"] == "yes"


def test_let_by_of_the_emergency_valve():
    """A let-by rise of 1 mbar lies outside "no perceptible rise" (pocket guide Gas 2)."""
    result = only(checked(readings(("let-by-rise", "1"), appliance="installation")), "tightness")
    assert result.verdict == "outside"


def test_pressures_at_meter_and_appliance():
    """Working pressures at meter and appliance in one phase are a pressure loss (regulator's magazine July 2021: 1 mbar)."""
    said = Extraction(
        readings=(reading("working-pressure", "21.0", "installation"), reading("working-pressure", "19.6", "hob"))
    )
    assert only(checked(said), "pressure-loss").verdict == "outside"
    apart = Extraction(
        readings=(
            reading("working-pressure", "21.0", "installation", phase="as-found"),
            reading("working-pressure", "19.6", "hob", phase="as-left"),
        )
    )
    assert not checked(apart).results


def test_thermocouple_of_which_nobody_said_how():
    """12 mV is weak when open and fine on the valve: no verdict; 4 mV is outside either way (gas-technician notes)."""
    assert only(checked(readings(("thermocouple-output", "12"))), "flame-supervision").reason == "missing-input"
    assert only(checked(readings(("thermocouple-output", "4"))), "flame-supervision").verdict == "outside"
    assert only(checked(readings(("thermocouple-output", "28"))), "flame-supervision").verdict == "no-verdict"


def test_electrical_figures():
    """Electrical figures are judged one by one; a class nobody said gives no verdict unless both classes would fail it."""
    said = readings(("supply-voltage", "212"), ("earth-continuity", "0.08"), ("insulation-resistance", "1.5"))
    verdicts = {one.name: (one.verdict, one.reason) for one in checked(said).results}
    assert verdicts == {
        "supply-voltage": ("outside", None),
        "earth-continuity": ("within", None),
        "insulation-resistance": ("no-verdict", "missing-input"),
    }
    assert only(checked(readings(("insulation-resistance", "0.3"))), "insulation-resistance").verdict == "outside"


def test_more_than_and_about_are_no_exact_figures():
    """ "About" never carries a verdict; "less than" does where it can only help."""
    assert (
        only(checked(readings(("earth-continuity", "0.05"), comparator="about")), "earth-continuity").reason == "doubt"
    )
    assert only(checked(readings(("earth-continuity", "0.05"), comparator="<")), "earth-continuity").verdict == "within"
    assert only(checked(readings(("earth-continuity", "0.05"), comparator=">")), "earth-continuity").reason == "doubt"


def test_injector_with_its_burner_pressure():
    """An injector size and the burner pressure of the same burner give its heat input (calculated: 1.82 kW)."""
    said = readings(("injector-size", "0.97"), ("burner-pressure", "20"), position="rear-left")
    assert float(only(checked(said), "injector").results["heat-input-gross"].value) == pytest.approx(1.82, rel=0.005)


# --- what does not add up ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("said", "shown"), [("2.6", False), ("2.597", False), ("3.1", True)])
def test_gas_rate_said_and_worked_out(said, shown):
    """A gas rate said aloud is kept beside the worked one; only a difference beyond the doubt is shown."""
    result = checked(readings(*METER, ("gas-rate", said)))
    assert ("said-gas-rate" in points(result, "contradiction")) is shown


@pytest.mark.parametrize(
    ("said", "basis", "shown"), [("25.2", None, False), ("28", "gross", False), ("28", "net", True)]
)
def test_heat_input_said_and_worked_out(said, basis, shown):
    """A bare kW is compared with gross and net, one with its basis only with that."""
    heat = reading("heat-input", said, basis=basis)
    result = checked(Extraction(readings=(*readings(*METER).readings, heat)))
    assert ("said-heat-input" in points(result, "contradiction")) is shown


@pytest.mark.parametrize(("ratio", "shown"), [("0.0004", False), ("0.004", True)])
def test_ratio_said_and_worked_out(ratio, shown):
    """A ratio said aloud that is ten times the worked one is shown."""
    result = checked(readings(("co", "36"), ("co2", "9.0"), ("co-ratio", ratio), appliance="boiler"))
    assert ("said-co-ratio" in points(result, "contradiction")) is shown


def test_unlikely_readings_are_asked_about():
    """198 mbar for 19.8, and 16 mbar of propane working pressure, are asked about; 20.5 mbar of natural gas is not."""
    assert points(checked(readings(("working-pressure", "198"))), "unlikely") == ["unlikely-working-pressure"]
    assert points(checked(readings(("working-pressure", "16")), gas="propane"), "unlikely") == [
        "unlikely-working-pressure"
    ]
    assert points(checked(readings(("working-pressure", "20.5"))), "unlikely") == []


def test_two_values_of_one_thing():
    """Two data plate figures of one appliance do not add up; the same figure twice does."""
    two = checked(readings(("rated-input", "24.49"), ("rated-input", "12")))
    assert "differ-rated-input" in points(two, "contradiction")
    assert points(checked(readings(("rated-input", "24.49"), ("rated-input", "24.49"))), "contradiction") == []


def test_fit_and_faulty_at_once():
    """One electrode fine and cracked at one place does not add up; at two places it does."""
    same = [finding("electrode", state, position="front-left") for state in ("ok", "cracked")]
    assert "fit-and-faulty" in points(checked(findings(*same)), "contradiction")
    apart = [same[0], finding("electrode", "cracked", position="rear-left")]
    assert points(checked(findings(*apart)), "contradiction") == []
    mended = [same[0], finding("electrode", "cracked", "resolved", position="front-left")]
    assert points(checked(findings(*mended)), "contradiction") == []


def test_called_fine_against_a_result():
    """A flame called fine beside a ratio above its limit does not add up."""
    said = Extraction(
        readings=readings(("co", "640"), ("co2", "8"), appliance="boiler").readings,
        findings=(finding("flame", "ok", appliance="boiler"),),
    )
    assert "fit-but-combustion" in points(checked(said), "contradiction")


# --- what findings point to ----------------------------------------------------------------------------------------


def test_no_spark_on_one_and_on_all():
    """One burner without a spark points at its electrode and lead, all of them at supply, fuse and generator."""
    one = checked(findings(finding("electrode", "no-spark", position="front-left")))
    every = checked(findings(finding("electrode", "no-spark", position="all")))
    assert points(one, "symptom") == ["no-spark-one"] and points(every, "symptom") == ["no-spark-all"]
    places = ("front-left", "front-right", "rear-left", "rear-right")
    four = checked(findings(*(finding("electrode", "no-spark", position=place) for place in places)))
    assert points(four, "symptom") == ["no-spark-all"]


@pytest.mark.parametrize(
    ("component", "condition", "symptom"),
    [
        ("ignition-switch", "constant-spark", "constant-spark"),
        ("burner", "not-holding", "dies-on-release-one"),
        ("flame", "yellow-tipping", "yellow-tips"),
        ("flame", "lifting", "lifting"),
        ("gas-tap", "stiff", "stiff-tap"),
        ("injector", "blocked", "blocked-injector"),
        ("injector", "enlarged", "enlarged-injector"),
        ("hose", "leaking", "leaking-connection"),
        ("burner-ring", "partly-blocked", "blocked-ports"),
    ],
)
def test_symptoms(component, condition, symptom):
    """Each symptom says what it points to and what to look at next, with its source."""
    result = checked(findings(finding(component, condition, position="rear-left")))
    (point,) = [one for one in result.points if one.id == symptom]
    assert point.steps and point.source and point.evidence == SAID and point.findings == (0,)


@pytest.mark.parametrize("status", ["absent", "resolved", "historical"])
def test_what_is_not_there_points_to_nothing(status):
    """What was not there, was put right or was long ago brings up no symptom and no question."""
    result = checked(findings(finding("hose", "leaking", status)))
    assert points(result, "symptom") == [] and points(result, "question") == []


def test_a_class_is_only_asked_about():
    """A leaking hose brings up a question with its reason, never a class; once the engineer declared one it is not asked."""
    asked = [one for one in checked(findings(finding("hose", "leaking"))).points if one.kind == "question"]
    assert [one.id for one in asked] == ["gas-escape"] and asked[0].text.endswith("You decide.")
    declared = Declared("immediately-dangerous", "hob", SAID)
    settled = checked(findings(finding("hose", "leaking"), declared=(declared,)))
    assert points(settled, "question") == ["immediately-dangerous/report"]


def test_what_nobody_trusts_is_asked_about():
    """A finding that the reader did not trust is filed nowhere: it is asked about, as a question when it is dangerous."""
    stiff = finding("gas-tap", "stiff", position="rear-left", actions=(Action("regrease", "needed"),))
    said = Extraction(doubted=(finding("hose", "leaking"), finding("joint", "leaking"), stiff))
    told = [one for one in checked(said).points if one.id.startswith("doubted/")]
    assert [one.kind for one in told] == ["question", "question", "unlikely"]
    assert len({one.id for one in told}) == 3  # an answer to one answers no other
    assert all(one.evidence == SAID and not one.findings for one in told)
    assert told[0].text.endswith("You decide.")
    for word in ("rear left", "stiff", "regrease", "\u201csaid\u201d"):
        assert word in told[2].text.lower()


@pytest.mark.parametrize(
    ("more", "asked"),
    [
        ({}, 0),
        ({"status": "resolved"}, 0),
        ({"status": "absent"}, 1),
        ({"appliance": "oven"}, 1),
        ({"position": "left"}, 1),
    ],
)
def test_only_what_is_filed_of_the_very_same_is_not_asked(more, asked):
    """What is filed of another appliance or place, or as not there, silences nothing."""
    said = Extraction(findings=(finding("hose", "leaking", **more),), doubted=(finding("hose", "leaking"),))
    assert sum(one.id.startswith("doubted/") for one in checked(said).points) == asked


def test_elsewhere_no_class_of_another_region_is_named():
    """Outside the region whose classes these are, the question names none."""
    for region in ("cn", None):
        texts = [one.text for one in checked(findings(finding("hose", "leaking")), region=region).points]
        assert not any("immediately dangerous" in text for text in texts)


def test_what_must_be_told():
    """Faults left, work declined and classes declared are for the responsible person; what was put right is not."""
    left = finding("gas-tap", "stiff", actions=(Action("replace", "declined"),))
    told = [
        one.text
        for one in checked(findings(left, finding("injector", "blocked", "resolved"))).points
        if one.kind == "tell"
    ]
    assert len(told) == 1 and "declined: replace" in told[0]


def test_what_is_told_names_appliance_place_and_doubt():
    """A part is told with its appliance and place; what is only suspected is told as that, a class with its appliance."""
    suspected = finding("thermocouple", "weak", "possible", position="front-right")
    said = findings(suspected, finding("fan", "noisy"))
    told = [one.text for one in checked(said).points if one.kind == "tell"]
    assert [text.partition("person: ")[2] for text in told] == [
        "Hob, Thermocouple (front right): Weak; suspected",
        "Hob, Fan: Noisy",
    ]


def test_smell_of_gas_comes_first():
    """A smell of gas brings the emergency steps before everything else; the number is only one that the user confirmed."""
    said = Extraction(findings=(finding("hose", "leaking"),), smell_of_gas=SAID)
    first = checked(said).points[0]
    assert first.kind == "emergency" and first.id == "smell-of-gas" and first.evidence == SAID
    (call,) = [step for step in first.steps if "call the gas emergency number" in step]
    assert "no flames" in first.steps[0] and "none is confirmed by you" in call
    for elsewhere in (checked(said, region=None), checked(said, region="cn")):
        assert not any(character.isdigit() for step in elsewhere.points[0].steps for character in step)
    confirmed = " ".join(checked(said, emergency_number="555 0100").points[0].steps)
    assert "555 0100, as you confirmed it" in confirmed and "0800" not in confirmed


def test_room_co_brings_people_first():
    """CO of 40 ppm in the room is an emergency point (figure from memory, and said so), 12 ppm a question, 5 nothing."""
    assert points(checked(readings(("ambient-co", "40"))), "emergency") == ["room-co-high"]
    assert "room-co" in points(checked(readings(("ambient-co", "12"))), "question")
    assert points(checked(readings(("ambient-co", "5"))), "emergency") == []


# --- the record of an unsafe situation -----------------------------------------------------------------------------


def test_procedure_that_is_not_complete():
    """For a declared class the record shows which of its steps are still unsaid; actions of findings count."""
    steps = (ProcedureStep("responsible-person-told", None, SAID), ProcedureStep("permission-given", None, SAID))
    cut = finding("hose", "leaking", actions=(Action("disconnect", "done"), Action("label", "needed")))
    said = findings(cut, declared=(Declared("immediately-dangerous", "hob", SAID),), procedure=steps)
    assert points(checked(said), "procedure-unsaid") == [
        "immediately-dangerous/label-attached",
        "immediately-dangerous/notice-left",
        "immediately-dangerous/notice-signed",
    ]


def test_procedure_when_permission_is_refused():
    """Permission refused for something immediately dangerous: who was called is asked for, disconnecting is not."""
    steps = (ProcedureStep("responsible-person-told", None, SAID), ProcedureStep("permission-refused", None, SAID))
    said = Extraction(declared=(Declared("immediately-dangerous", "hob", SAID),), procedure=steps)
    unsaid = points(checked(said), "procedure-unsaid")
    assert "immediately-dangerous/emergency-service-called" in unsaid
    assert "immediately-dangerous/disconnected" not in unsaid


def test_advice_is_no_unsafe_class():
    """ "Not to current standards" is advice: only telling the responsible person is asked for, no label, no notice."""
    said = Extraction(declared=(Declared("not-to-current-standards", "hob", SAID),))
    assert points(checked(said), "procedure-unsaid") == ["not-to-current-standards/responsible-person-told"]


def test_steps_without_a_class_or_a_reference():
    """Steps that were said without any class, and a call without its reference, are asked for."""
    steps = (ProcedureStep("notice-left", None, SAID), ProcedureStep("supplier-called", None, SAID))
    assert points(checked(Extraction(procedure=steps)), "procedure-unsaid") == ["class", "supplier-called/reference"]


# --- checklists ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("work", "id_"),
    [("hob-service", "hob-service"), ("Cooker Service", "hob-service"), ("boiler service", "boiler-service"),
     ("gas safety check", "safety-check"), ("installation-check", "installation-check"), ("fire", "fire-service")],
)  # fmt: skip
def test_checklist_by_name(work, id_):
    """A kind of work is found by its id, its title or what people call it."""
    assert checklist_of(work).id == id_


def test_said_and_unsaid():
    """What a finding or a reading answered is said; what only somebody else reported is not."""
    said = Extraction(
        findings=(finding("injector", "ok"), finding("flame", "yellow-tipping", "reported")),
        readings=(reading("drop-out-time", "12"),),
    )
    result = checked(said)
    assert {"injectors", "flame-supervision"} <= set(result.facts["checklist-said"].split(", "))
    assert "hob-service/flame" in points(result, "unsaid") and "hob-service/injectors" not in points(result, "unsaid")


def test_everything_said_leaves_nothing_unsaid():
    """A visit that answers every point of its list has none left."""
    for row in checklists():
        said = Extraction(
            findings=tuple(finding(point.by_component[0], "ok") for point in row.points if point.by_component),
            readings=tuple(reading(point.by_quantity[0], "1") for point in row.points if point.by_quantity),
        )
        result = checked(said, work=row.id)
        assert [id_ for id_ in points(result, "unsaid") if "/" in id_] == []


def test_no_kind_of_work_no_list():
    """Without a kind of work there is no list to compare with, and it says so."""
    assert points(checked(Extraction(), work=None), "unsaid") == ["work"]


# --- the check as a whole ------------------------------------------------------------------------------------------


def test_nothing_said_brings_nothing_up():
    """An empty visit has no result, no question, no symptom: only what is unsaid, and the caution that always holds."""
    result = checked(Extraction())
    assert result.results == () and {point.kind for point in result.points} == {"unsaid", "caution"}


def test_order_and_storage():
    """Points come by urgency, every result names its trade data, and a check survives being stored."""
    said = Extraction(
        findings=tuple(finding(row.component[0], row.condition[0]) for row in symptoms()),
        readings=readings(*METER, ("ambient-co", "40"), ("supply-voltage", "212")).readings,
        smell_of_gas=SAID,
    )
    result = checked(said)
    order = [URGENCY.index(point.kind) for point in result.points]
    assert order == sorted(order) and all(one.trade_version == result.trade_version for one in result.results)
    assert from_plain(Check, to_plain(result)) == result


def test_an_edition_nobody_knows_is_shown():
    """A visit that names an unknown edition is still checked, and told so."""
    result = checked(readings(("supply-voltage", "230")), edition="99")
    assert "edition" in points(result, "contradiction") and only(result, "supply-voltage").verdict == "within"


def test_cautions_where_they_belong():
    """Electrics bring isolation and proving dead, an injector "never open it up", a tray its sharp edges."""
    cautions = points(checked(findings(finding("electrode", "dirty"), finding("injector", "blocked"))), "caution")
    assert {"licence", "isolation", "injector", "gas-off"} <= set(cautions) and "sharp" not in cautions
    assert "sharp" in points(checked(findings(finding("hotplate", "dirty"))), "caution")
