"""What became of a fault, as the words behind it weigh: what the rules do not know is turned, and nothing else is.

The sentences are our own.
"""

import pytest

from fieldnote.extract import extract, outcome
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.words.tokens import language, tokens


def _status(text: str) -> list[tuple[str | None, str | None, str]]:
    """Part, condition and status of all that was read, filed or not."""
    read = extract(text)
    return [(one.component, one.condition, one.status) for one in (*read.findings, *read.doubted)]


@pytest.mark.parametrize("status", ["absent", "possible", "historical", "reported"])
def test_only_a_fault_that_was_seen_is_turned(status: str) -> None:
    """What is not there, guessed, past or told by others stays so, whatever the words behind it are, and so does what is fit."""
    words = tokens(language().make_doc("tap stiff greased it turns lovely now all sorted"))
    facts = [
        Fact("gas-tap", None, None, "stiff", status, 0, 2),
        Fact("gas-tap", None, None, "ok", "present", 0, 2),
        Fact("gas-tap", None, None, None, "resolved", 0, 2),
    ]
    outcome.weigh(words, facts)
    assert [fact.status for fact in facts] == [status, "present", "resolved"]


def test_what_is_turned_says_so() -> None:
    """A status that was weighed keeps the one before as superseded, and "weighed" is the rule that decided it."""
    words = tokens(language().make_doc("tap stiff greased it turns lovely now all sorted"))
    fact = Fact("gas-tap", None, None, "stiff", "present", 0, 2)
    outcome.weigh(words, [fact])
    assert (fact.status, fact.superseded, fact.cues) == ("resolved", "stiff, present", ["weighed"])


def test_a_leak_is_not_lightly_called_stopped() -> None:
    """Of a leak far more has to speak for its being stopped than of another fault."""
    assert outcome.GRAVELY_SURE > outcome.SURE
    held = outcome.table()
    assert held.sure([], "present", "leaking") < outcome.GRAVELY_SURE


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
