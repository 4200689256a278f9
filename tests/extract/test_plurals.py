"""Names in s: several parts, or one part and the "'s" of what is told of it."""

import pytest


def places(extractor, text: str, soft: tuple[int, ...] = ()) -> list[tuple[str, str | None]]:
    """Parts and places of what was read, filed or doubted."""
    found = extractor.read(text, soft=soft)
    return [(one.component, one.position) for one in (*found.findings, *found.doubted)]


@pytest.mark.parametrize("told", ["blocked", "been drilled out", "come loose", "too big"])
def test_a_recogniser_loses_apostrophes(extractor, told: str) -> None:
    """Behind marks that were guessed "jets blocked" is the jet of the burner in talk."""
    text = f"Hob. Rear left lights, then it's gone. The jets {told}."
    assert ("injector", "rear-left") in places(extractor, text, soft=(3,))


def test_several_that_are_counted_are_several(extractor) -> None:
    """However the name was written."""
    text = "Hob. Rear left lights, then it's gone. All four jets blocked."
    assert ("injector", "rear-left") not in places(extractor, text, soft=(3,))


def test_who_writes_apostrophes_writes_them_everywhere(rules) -> None:
    """In a typed text beside "it's" the jets are several, to the rules."""
    assert ("injector", "rear-left") not in places(rules, "Hob. Rear left lights, then it's gone. The jets blocked.")
