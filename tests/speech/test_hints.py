"""The hint speaks the trade's language and holds nothing that was said."""

import json
import re
from pathlib import Path

from fieldnote.speech.hints import lexicon, prose
from fieldnote.speech.numbers import comparable

CASES = Path(__file__).parent.parent / "cases"


def test_no_number_in_the_hint() -> None:
    """Neither figures nor number words: a recogniser copies values out of its hint."""
    words = prose().replace("CO2", "CO")
    assert not re.search(r"\d", words)
    assert not [atom for atom in comparable(words.split()) if atom.number]


def test_no_test_sentence_in_the_hint() -> None:
    """No four words in a row of a test text stand in the hint."""
    hint = re.findall(r"[a-z0-9']+", prose().lower())
    runs = {tuple(hint[i : i + 4]) for i in range(len(hint) - 3)}
    for line in (CASES / "dev.jsonl").read_text("utf-8").splitlines():
        words = re.findall(r"[a-z0-9']+", json.loads(line)["text"].lower())
        assert not runs & {tuple(words[i : i + 4]) for i in range(len(words) - 3)}


def test_lexicon_holds_trade_words_and_no_common_ones() -> None:
    """Words of the trade are known, words of everyday speech are not."""
    assert {"injector", "thermocouple", "sooted", "millibar", "hob"} <= lexicon()
    assert not {"the", "not", "no", "was", "it", "left to"} & lexicon()
