"""Every construction of the data files holds for its example and not for its counter-example."""

import pytest

from fieldnote.extract import by_rules
from fieldnote.extract.draft import Draft
from fieldnote.extract.figures import readings
from fieldnote.extract.figures.quantities import knowledge
from fieldnote.extract.phrases import beside, mentions
from fieldnote.extract.phrases.spot import Spot
from fieldnote.extract.remarks.announcements import wordings
from fieldnote.extract.words import tokens
from fieldnote.records import Extraction

MEASURES = [(id_, *yes, no) for id_, yes, no in knowledge().examples]
SAID = [(name, *row) for name in ("classes", "followups", "procedure", "tested") for row in wordings(name).examples]
BESIDE = [(row, yes, no) for _, row, yes, no in beside.rows()]


def _readings(text: str) -> str:
    found = by_rules(text).readings
    return "; ".join(f"{r.quantity} {r.value}" + (f" {r.phase}" if r.phase else "") for r in found)


def _announced(name: str, found: Extraction) -> list[str]:
    if name == "classes":
        return [declared.class_ for declared in found.declared]
    if name == "followups":
        return [f"{f.kind} {'none' if f.due_days is None else f.due_days}" for f in found.followups]
    if name == "tested":
        appliances = found.appliances_connected
        return ["no-smell"] * (found.no_smell is not None) + ([f"appliances-{appliances}"] if appliances else [])
    steps = [step.step for step in found.procedure]
    return steps + ["smell-of-gas"] * (found.smell_of_gas is not None)


@pytest.mark.parametrize(("id_", "text", "gives", "no"), MEASURES, ids=[row[0] for row in MEASURES])
def test_words_around_figures(id_: str, text: str, gives: str, no: str) -> None:
    """The example gives exactly its readings; the counter-example gives none."""
    assert _readings(text) == gives
    assert _readings(no) == ""


@pytest.mark.parametrize(("name", "id_", "text", "gives", "no"), SAID, ids=[f"{r[0]}-{r[1]}" for r in SAID])
def test_set_phrases(name: str, id_: str, text: str, gives: str, no: str) -> None:
    """The example gives exactly its announcement; the counter-example does not give it."""
    assert _announced(name, by_rules(text)) == [gives]
    assert gives not in _announced(name, by_rules(no))


def test_construction_ids_are_told_apart() -> None:
    """No two constructions of a file share an id."""
    for rows in ([row[0] for row in MEASURES], *([r[1] for r in SAID if r[0] == name] for name in ("classes",))):
        assert len(rows) == len(set(rows))


@pytest.mark.parametrize(("row", "yes", "no"), BESIDE, ids=[row.id for row, _, _ in BESIDE])
def test_what_a_phrase_does_not_mean_beside_its_neighbours(
    row: beside.Row, yes: str, no: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The row holds in its example; in its counter-example its words are read and it does not hold."""
    held, asked = set[str](), set[str]()
    holds = beside.Row.holds

    def watched(one: beside.Row, spot: Spot) -> bool:
        asked.add(one.id)
        if holds(one, spot):
            held.add(one.id)
            return True
        return False

    monkeypatch.setattr(beside.Row, "holds", watched)
    for text, holding in ((yes, True), (no, False)):
        held.clear()
        asked.clear()
        draft = Draft(text, tokens.tokens(tokens.language().make_doc(text)))
        readings.measure(draft)
        mentions.run(draft)
        assert row.id in asked
        assert (row.id in held) is holding
