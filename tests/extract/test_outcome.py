"""What became of a fault, as the words behind it weigh: what the rules do not know is turned, and nothing else is.

The sentences are our own.
"""

import pytest

from fieldnote.extract import by_rules, outcome
from fieldnote.extract.confidence import strict
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.words.tokens import language, tokens


def _status(text: str) -> list[tuple[str | None, str | None, str]]:
    """Part, condition and status of all that was read, filed or not."""
    read = by_rules(text)
    return [(one.component, one.condition, one.status) for one in (*read.findings, *read.doubted)]


WORDS = tokens(language().make_doc("tap stiff greased it turns lovely now all sorted"))


def _weighed(monkeypatch: pytest.MonkeyPatch, base: float, *facts: Fact) -> list[str]:
    """The statuses of facts where nothing weighs but the base of a table, in logits."""
    monkeypatch.setattr(outcome, "table", lambda: strict([f"\t{base}"]))
    outcome.weigh(WORDS, facts)
    return [fact.status for fact in facts]


@pytest.mark.parametrize("status", ["absent", "possible", "historical", "reported"])
def test_only_a_fault_that_was_seen_is_turned(monkeypatch: pytest.MonkeyPatch, status: str) -> None:
    """What is not there, guessed, past or told by others stays so, whatever the words behind it are, and so does what is fit."""
    facts = [
        Fact("gas-tap", None, None, "stiff", status, 0, 2),
        Fact("gas-tap", None, None, "ok", "present", 0, 2),
        Fact("gas-tap", None, None, None, "present", 0, 2),
        Fact("gas-tap", None, None, "stiff", "present", 0, 2, cues=["still"]),
    ]
    assert _weighed(monkeypatch, 9, *facts) == [status, "present", "present", "present"]


def test_what_is_turned_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """A status that was weighed keeps the one before as superseded, and "weighed" is the rule that decided it."""
    fact = Fact("gas-tap", None, None, "stiff", "present", 0, 2)
    assert _weighed(monkeypatch, 0, fact) == ["present"]
    assert _weighed(monkeypatch, 1, fact) == ["resolved"]
    assert (fact.superseded, fact.cues) == ("stiff, present", ["weighed"])


@pytest.mark.parametrize(
    ("part", "condition"),
    [
        ("gas-tap", "leaking"),
        ("flue", "blocked"),
        ("hose", "perished"),
        ("appliance", "unstable"),
        ("case-seal", "cracked"),
    ],
)
def test_what_may_be_a_danger_is_never_turned(monkeypatch: pytest.MonkeyPatch, part: str, condition: str) -> None:
    """However much speaks for it: there only the rules say what was put right."""
    assert _weighed(monkeypatch, 9, Fact(part, None, None, condition, "present", 0, 2)) == ["present"]


@pytest.mark.parametrize(
    "text",
    [
        "Vent was blocked with a carrier bag. Took a photo and put it in the folder.",
        "Flue was blocked. So I've isolated it and put a label on.",
        "Boiler. Case seal was split, new one on order. Trap was blocked, cleaned it out and it runs now.",
        "Union was weeping behind the boiler. Cap was loose on the hob, fitted one and put it on right, sat down now.",
        "Bayonet was loose, tried it again and it's the same.",
        "Cooker. Chain was off. Front left jet was blocked, ran a pin through.",
    ],
)
def test_work_on_another_part_or_making_safe_mends_no_danger(text: str) -> None:
    """Whatever else was done in that talk, the danger told first is still there."""
    read = by_rules(text)
    first = min((*read.findings, *read.doubted), key=lambda one: one.evidence.start)
    assert first.status == "present"


@pytest.mark.parametrize(
    "text",
    [
        "Hob. Front left tap stiff. Told them it wants greasing.",
        "Hob. Rear right electrode cracked. None on the van.",
        "Boiler fan noisy. They'll leave it for now.",
    ],
)
def test_what_is_left_stays_present(text: str) -> None:
    """Where nothing was done, nothing was put right."""
    assert "resolved" not in [status for _, _, status in _status(text)]
