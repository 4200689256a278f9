"""Mis-hearings are put right by rules that carry their own examples."""

import pytest

from fieldnote.records import Word
from fieldnote.speech import repair
from fieldnote.speech.repair import Rule, repaired

RULES = pytest.mark.parametrize("rule", repair.rules(), ids=lambda rule: rule.id)


def heard(text: str, doubt: str | None = None) -> list[Word]:
    """Words of half a second each."""
    return [Word(index / 2, index / 2 + 0.5, word, 0.9, doubt) for index, word in enumerate(text.split())]


def read(text: str) -> str:
    """The text after all rules."""
    return " ".join(word.text for word in repaired(heard(text))[0])


@RULES
def test_example_is_put_right(rule: Rule) -> None:
    """Every rule does in its own example what it says."""
    words, repairs = repaired(heard(rule.example))
    assert " ".join(word.text for word in words) == rule.becomes
    assert rule.becomes == rule.example or rule.id in {one.rule for one in repairs}


@RULES
def test_counter_example_stays(rule: Rule) -> None:
    """The ordinary use of the same words is left alone by all rules."""
    assert read(rule.counter) == rule.counter


@RULES
def test_example_does_not_repair_itself(rule: Rule) -> None:
    """What has been repaired is not repaired again."""
    assert read(rule.becomes) == rule.becomes


@pytest.mark.parametrize("rule", [rule for rule in repair.rules() if rule.number], ids=lambda rule: rule.id)
def test_a_changed_figure_is_marked(rule: Rule) -> None:
    """Where a figure is involved, the words that were changed carry a doubt."""
    words, repairs = repaired(heard(rule.example))
    text = " ".join(word.text for word in words)
    for one in repairs:
        count = text.count(" ", 0, one.start)
        assert words[count].doubt == "number"


def test_no_rule_touches_a_figure_unmarked() -> None:
    """Figures pass unchanged through every rule that does not say that it is about numbers."""
    for rule in repair.rules():
        if not rule.number and rule.becomes != rule.example:
            assert [c for c in rule.example if c.isdigit()] == [c for c in rule.becomes if c.isdigit()], rule.id


def test_places_of_repairs_are_those_of_the_text() -> None:
    """Start and end of a repair are characters of the text as it is read, also behind an earlier repair."""
    words, repairs = repaired(heard("Hobb front left week spark and the flue pass the spillage test"))
    text = " ".join(word.text for word in words)
    assert text == "Hob front left weak spark and the flue passed the spillage test"
    assert [(text[one.start : one.end], one.heard) for one in repairs] == [
        ("Hob", "Hobb"),
        ("weak", "week"),
        ("passed", "pass"),
    ]


def test_two_words_that_become_one_keep_their_time() -> None:
    """A word that was heard as two lasts as long as both."""
    words, _ = repaired(heard("the thermal couple is loose"))
    assert [(word.text, word.start, word.end) for word in words][1] == ("thermocouple", 0.5, 1.5)


def test_an_older_doubt_survives() -> None:
    """A repair does not wipe out a doubt."""
    words, _ = repaired(heard("nine milly volts", "number"))
    assert [word.doubt for word in words] == ["number", "number"]
