"""Talk without marks is read twice: what only one of the readings has is less sure, and nothing else changes.

The sentences are our own.
"""

from itertools import pairwise

import pytest

from fieldnote.extract import by_rules, pauses, twice
from fieldnote.extract.confidence import FILED
from fieldnote.extract.draft import Draft
from fieldnote.extract.figures import readings
from fieldnote.extract.phrases import mentions
from fieldnote.extract.words.tokens import language, tokens

RUN_ON = (
    "right so four burner hob front left the cap's chipped front right tap was stiff greased it and it's fine now rear right "
    "electrode cracked so i've ordered one and the hose is in date no kinks lid's fine"
)


def _drafted(text: str) -> Draft:
    draft = Draft(text, tokens(language().make_doc(text)))
    readings.measure(draft)
    mentions.run(draft)
    return draft


def test_only_long_talk_without_marks_is_read_twice() -> None:
    """A few words, and talk with marks, are read once."""
    marked = (
        RUN_ON.replace(" front", ", front").replace(" rear", ". rear").replace(" and", ", and").replace(" so", ", so")
    )
    assert pauses.run_on(_drafted(RUN_ON).tokens)
    assert not pauses.run_on(_drafted(marked).tokens)
    assert not pauses.run_on(_drafted("front left cap chipped rear right tap stiff").tokens)


def test_pauses_stand_between_words_and_change_none() -> None:
    """The words and their places stay; some of them get a pause, the corners' first words among what follows one."""
    draft = _drafted(RUN_ON)
    paused = pauses.paused(draft.tokens, draft.mentions)
    assert [(t.norm, t.start, t.end) for t in paused] == [(t.norm, t.start, t.end) for t in draft.tokens]
    behind = [after.norm for token, after in pairwise(paused) if token.pause]
    assert behind.count("rear") == 1 and 2 <= len(behind) < len(paused) // 3


def test_what_only_one_reading_has_is_less_sure(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the second reading has pauses at other places, a finding that it loses falls by as much as was measured."""
    before = {one.evidence.text: one.confidence for one in by_rules(RUN_ON).findings}
    monkeypatch.setattr(twice.pauses, "run_on", lambda _tokens: False)
    once = {one.evidence.text: one.confidence for one in by_rules(RUN_ON).findings}
    assert before.keys() == once.keys()
    assert all(before[words] >= min(once[words], 0.99) for words in once)
    monkeypatch.undo()
    monkeypatch.setattr(twice.pauses, "paused", lambda tokens, _mentions: tokens[:-1])
    alone = by_rules(RUN_ON)
    told = {one.evidence.text: one for one in (*alone.findings, *alone.doubted)}
    lost = "lid's fine"
    assert told[lost].confidence == pytest.approx(once[lost] + twice.FIRST_ALONE, abs=0.002)
    assert told[lost].why[-1].rule.startswith("read-once")
    assert (told[lost] in alone.findings) == (told[lost].confidence >= FILED)
