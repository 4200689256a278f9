"""Declared classes, follow-ups, steps of an unsafe situation, a smell of gas: said and meant. Common practice, no source."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldnote.extract import by_rules


def _classes(text: str) -> list[str]:
    return [declared.class_ for declared in by_rules(text).declared]


@pytest.mark.parametrize(
    ("said", "classes"),
    [
        ("hose is perished, at risk, isolated it", ["at-risk"]),
        ("At risk, no, make that immediately dangerous", ["immediately-dangerous"]),
        ("I wouldn't call it at risk", []),
        ("is that at risk?", []),
        ("if she blocks the vent it'll be at risk", []),
        ("it was classed at risk last year", []),
        ("I'd have said not to current standards", []),
        ("the last engineer's sheet has it down as at risk", []),
        ("at risk because of that lead, so at risk", ["at-risk"]),
        ("classed it as ID and capped it", ["immediately-dangerous"]),
        ("as I'd say to anybody, keep it clean", []),
        ("written up as NCS", ["not-to-current-standards"]),
        ("hose leaking not allowed immediately dangerous", ["immediately-dangerous"]),
        ("front left won't stay in at risk", ["at-risk"]),
        ("bonding is missing so this is not to current standards", ["not-to-current-standards"]),
        ("the pipe has got no sleeve: not to current standards", ["not-to-current-standards"]),
        ("spilling back so that's i d I've capped it", ["immediately-dangerous"]),
        ("checked the lot, none at risk", []),
        ("I'm not putting that down as at risk", []),
        ("no vent in there so I turned it off a r and told her", ["at-risk"]),
        ("capped it at the elbow i d notice handed over", ["immediately-dangerous"]),
        ("Spilling at the hood. ID. Capped off.", ["immediately-dangerous"]),
        ("No vent. AR. Turned off.", ["at-risk"]),
        ("so that's an a r", ["at-risk"]),
        ("bond's too small so en see ess", ["not-to-current-standards"]),
        ("nothing wrong with it, not an a r", []),
        ("is that an a r, she says", []),
        ("I checked his ID at the door", []),
        ("boiler's off i'd put a new fan in it", []),
    ],
)
def test_a_class_counts_only_when_it_is_declared(said: str, classes: list[str]) -> None:
    """Not when it is negated, asked, conditional, of another time or somebody else's."""
    assert _classes(said) == classes


@pytest.mark.parametrize(
    ("said", "kind", "days"),
    [
        ("I'll be back in a fortnight", "revisit", 14),
        ("back in 10 days", "revisit", 10),
        ("revisit tomorrow", "revisit", 1),
        ("I'll come back in a fortnight no make that three weeks", "revisit", 21),
        ("back on Tuesday to fit it", "revisit", None),
        ("I'll order one by Friday", "order", None),
        ("customer would like a price for a new cooker", "quote", None),
        ("I'll report it to the landlord within 7 days", "report", 7),
        ("I'll come back in a week or two", "revisit", None),
        ("see you in three months", "revisit", 90),
        ("check that hose again in twelve months", "revisit", 365),
        ("it's not urgent I will be back in twenty one days", "revisit", 21),
    ],
)
def test_what_is_to_be_done_and_when(said: str, kind: str, days: int | None) -> None:
    """The kind with the days until then; a weekday, a date or a range has no number of days."""
    (followup,) = by_rules(said).followups
    assert (followup.kind, followup.due_days) == (kind, days)


@pytest.mark.parametrize(
    "said",
    [
        "new one on order",
        "taps in good order",
        "this is a revisit for the magnet",
        "no need to order one",
        "if it locks out again I'll come back",
        "back to the hob",
        "pushed it back on",
        "the landlord will order one",
        "nothing to report on the oven",
    ],
)
def test_what_only_sounds_like_a_follow_up(said: str) -> None:
    """Orders already placed, places, conditions and other people's business are no follow-ups."""
    assert by_rules(said).followups == ()


def test_the_steps_of_an_unsafe_situation_in_the_order_said() -> None:
    """Each step once, with the words it came from and the reference of a call."""
    text = (
        "Told the customer, she wouldn't let me disconnect it, so isolated it, put a label on, left a warning notice, "
        "she refused to sign. Rang the gas emergency service, reference 4471 9."
    )
    steps = by_rules(text).procedure
    assert [step.step for step in steps] == [
        "responsible-person-told",
        "permission-refused",
        "isolated",
        "label-attached",
        "notice-left",
        "notice-refused",
        "emergency-service-called",
    ]
    assert steps[-1].reference == "4471 9"
    assert all(text[s.evidence.start : s.evidence.end] == s.evidence.text for s in steps)


@pytest.mark.parametrize(
    ("said", "smells"),
    [
        ("there's a strong smell of gas in here", True),
        ("I can smell gas at the meter", True),
        ("no smell of gas", False),
        ("if you smell gas call the emergency line", False),
        ("customer reported a smell of gas last week", False),
        ("there was a smell of gas last year", False),
    ],
)
def test_a_smell_of_gas_counts_when_it_is_here_and_now(said: str, smells: bool) -> None:
    """Said of this place, now, by the engineer."""
    assert (by_rules(said).smell_of_gas is not None) == smells


def test_gas_and_meter_when_they_are_said() -> None:
    """The one gas and the one meter named; nothing where two were."""
    found = by_rules("Caravan on propane. G4 meter in the box.")
    assert (found.gas, found.meter) == ("propane", "G4")
    assert by_rules("changed it from natural gas to propane").gas is None


@settings(deadline=None)
@given(st.lists(st.sampled_from("at risk not id back in a fortnight order one told the customer no . , ? if".split())))
def test_any_heap_of_words_is_read(words: list[str]) -> None:
    """No talk stops the reading, and each announcement holds exactly the words it came from."""
    text = " ".join(words)
    found = by_rules(text)
    for said in (*found.declared, *found.followups, *found.procedure):
        assert text[said.evidence.start : said.evidence.end] == said.evidence.text
