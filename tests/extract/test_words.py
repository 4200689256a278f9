"""Words, phrases, forms, the list of steps, and the data behind them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldnote.errors import InputProblem
from fieldnote.extract import Extractor, pipeline, plain
from fieldnote.extract.draft import Draft
from fieldnote.extract.phrases import mentions
from fieldnote.extract.words import dialect, forms
from fieldnote.extract.words.lexicon import cues, lexicon
from fieldnote.extract.words.matcher import PhraseClass, Phrases, WordClass, spell
from fieldnote.extract.words.tokens import language, tokens
from fieldnote.trade import spoken

NLP = language()
EXAMPLES = [cue for cue in cues() if "yes" in cue]


def kinds(text: str) -> set[str]:
    """The ids of all cues that are found in a text."""
    draft = Draft(text, tokens(NLP.make_doc(text)))
    mentions.run(draft)
    return {sense.id for mention in draft.mentions for sense in (*mention.senses, *mention.other)}


@pytest.mark.parametrize("cue", EXAMPLES, ids=lambda cue: cue["id"])
def test_a_cue_is_found_in_its_example_and_not_in_the_other(cue: dict[str, str]) -> None:
    """Each cue's own "yes" holds it, its "no" does not."""
    assert cue["id"] in kinds(cue["yes"])
    assert cue["id"] not in kinds(cue["no"])


@pytest.mark.parametrize("row", spoken.spoken().built, ids=lambda row: row.yes)
def test_what_is_built_is_told_by_its_example_and_not_by_the_other(row: spoken.Built, rules: Extractor) -> None:
    """Each row's "yes" gives a finding in its condition, its "no" gives none."""
    told = [
        [found.condition for found in (*read.findings, *read.doubted) if found.status == "present"]
        for read in map(rules.read, (row.yes, row.no))
    ]
    assert row.condition in told[0]
    assert row.condition not in told[1]


@given(st.text())
def test_a_doc_gives_its_text_back(text: str) -> None:
    """No character is lost or moved: the tokens spell the text, and each word's offsets are exact."""
    doc = NLP.make_doc(text)
    assert doc.text == text
    for token in tokens(doc):
        said = text[token.start : token.end].lstrip("'’`´").replace("\u2212", "-")  # a minus sign is heard as one
        assert said.lower().startswith(token.norm[:1]) or dialect.plain(said.lower()) == token.norm  # "yin" is one


def test_pauses_hyphens_and_apostrophes() -> None:
    """Punctuation becomes the pause behind a word; hyphens part words; apostrophes vanish; figures part from units."""
    said = tokens(NLP.make_doc("Hob. The electrode's yellow-tipping, won't spark: 20.5mbar, CO2 9.1%"))
    assert [token.norm for token in said] == (
        ["hob", "the", "electrodes", "yellow", "tipping", "wont", "spark", "20.5", "mbar", "co2", "9.1", "%"]
    )
    assert [token.pause for token in said][:8] == [".", "", "", "", ",", "", ",", ""]


def test_a_wording_is_built_of_phrases() -> None:
    """A class of phrases stands for any one of them, however many words it has; small words may stand within."""
    parts = {"none": PhraseClass(["nothing", "not a thing", "not"]), "wrong": PhraseClass(["wrong", "the matter"])}
    phrases: Phrases[str] = Phrases({"a", "really"}, parts)
    phrases.add("[none] [wrong]", "fit")
    said = {
        "nothing wrong": 2,
        "not a thing the matter": 5,
        "not a really thing really wrong": 6,
        "not. wrong": 0,
        "the matter": 0,
    }
    assert {text: sum(hit.end for hit in phrases.find(tokens(NLP.make_doc(text)))) for text in said} == said


def test_the_longest_phrase_wins_and_a_star_stands_for_words_between() -> None:
    """ "Put the cap back on" is one phrase with its object free; the longer of two phrases is taken."""
    phrases: Phrases[str] = Phrases()
    for phrase in ("put", "put * back on", "back"):
        phrases.add(phrase, phrase)
    (hit,) = phrases.find(tokens(NLP.make_doc("put the cap back on")))
    assert hit.values == ("put * back on",)
    assert hit.slot == (1, 3)


def test_a_class_stands_for_its_words_and_for_what_may_stand_before_them() -> None:
    """ "Full of [matter]" is "full of old burnt on soup"; words outside the class, and the end of a sentence, stop it."""
    matter = WordClass(frozenset({"soup", "fat"}), frozenset({"old", "burnt", "on"}))
    phrases: Phrases[str] = Phrases(classes={"matter": matter})
    phrases.add("full of [matter]", "dirty")
    (hit,) = phrases.find(tokens(NLP.make_doc("it was full of old burnt on soup again")))
    assert (hit.start, hit.end) == (2, 8)
    for other in ("it was full of holes", "it was full of old", "it was full of. Soup"):
        assert not phrases.find(tokens(NLP.make_doc(other)))


# Regular English spelling: common practice, no source.
@pytest.mark.parametrize(
    ("base", "past", "ing", "plural"),
    [
        ("clean", "cleaned", "cleaning", "cleans"),
        ("dry", "dried", "drying", "dries"),
        ("replace", "replaced", "replacing", "replaces"),
        ("tag", "tagged", "tagging", "tags"),
        ("flush", "flushed", "flushing", "flushes"),
        ("free", "freed", "freeing", "frees"),
        ("tighten", "tightened", "tightening", "tightens"),
        ("scrub", "scrubbed", "scrubbing", "scrubs"),
        ("unclog", "unclogged", "unclogging", "unclogs"),
    ],
)
def test_forms_are_made_by_rule(base: str, past: str, ing: str, plural: str) -> None:
    """Past, -ing and s-form follow from the base."""
    assert (forms.past(base, {}), forms.ing(base), forms.third(base)) == (past, ing, plural)


def test_a_wording_with_a_name_in_it_limits_no_other() -> None:
    """ "Good flame" is said of flames only; "spot on", which stands behind it in the same list, of anything."""
    hit = lexicon().at(tokens(NLP.make_doc("behaving itself")), 0)
    assert hit is not None
    assert None in {sense.of for sense in hit.values if sense.id == "ok"}


def test_a_refusal_is_known_in_all_its_frames() -> None:
    """ "Won't turn" brings "refuses to turn", "not turning", "never turns"; nothing else does."""
    found = set(forms.refusals("won't turn over"))
    assert {"refused to turn over", "isn't turning over", "never turns over", "ll not turn over"} <= found
    assert not set(forms.refusals("turns over"))


def test_phrases_are_spelt_as_words_are_normalised() -> None:
    """A phrase of a data file and the same words in a talk meet."""
    said = tokens(NLP.make_doc("Won't hold-in"))
    assert spell("won't hold in") == tuple(token.norm for token in said)


def test_regional_words_are_read_as_plain_ones_where_they_stand() -> None:
    """ "Wouldnae" is "wouldn't", "deid" is "dead", a verb on a noun parts from it; the characters stay those of the text."""
    text = "pilot'll no stay in, the sparker's deid noo an it wouldnae light"
    said = tokens(NLP.make_doc(text))
    norms = [token.norm for token in said]
    assert norms[:5] == ["pilot", "ll", "no", "stay", "in"]
    assert norms[7:] == ["dead", "now", "and", "it", "wouldnt", "light"]
    assert [text[token.start : token.end] for token in said[7:9]] == ["deid", "noo"]


def test_each_step_finds_what_it_needs() -> None:
    """Every field that a step reads is filled by a step before it, and a list in the wrong order is noticed."""
    assert pipeline.problems(pipeline.STEPS) == []
    assert pipeline.problems(pipeline.STEPS[::-1]) != []


def test_the_spoken_tables_name_only_ids_of_the_vocabulary(tmp_path: object) -> None:
    """Everything that is wrong with the tables is said at once: an unknown condition, a twin, an unknown part or class."""
    found = spoken.spoken()
    wrong = found.model_copy(
        update={
            "conditions": {
                **found.conditions,
                "haunted": found.conditions["cracked"],
                "cracked": found.conditions["cracked"].model_copy(
                    update={"says": ["cracked", "cracked", "full of [ghosts]"]}
                ),
            }
        }
    )
    said = list(spoken._problems(wrong))
    assert any("haunted" in line for line in said)
    assert any("twice" in line for line in said)
    assert "cracked: no class of words ghosts" in said
    assert list(spoken._problems(found)) == []


@pytest.mark.parametrize(
    "line",
    [b"not json", b"[1]", b'{"id": 1, "text": "x"}', b'{"id": "a", "text": 5}', b'{"id": "a", "text": "\\u0001"}'],
)
def test_a_line_that_cannot_be_used_is_named(line: bytes) -> None:
    """A broken line is refused with its number and a reason."""
    with pytest.raises(InputProblem, match="line 7"):
        plain.case(line, "cases.jsonl", 7)


# How the trade and its customers talk: common practice, no source.
@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("front left tap you'd need a wrench to turn it", "gas-tap stiff"),
        ("the hose is worn through to the braid", "hose worn"),
        ("front right injector was tight as a drum with muck", "injector blocked"),
        ("rear left knob comes off in your hand", "knob loose"),
        ("oven stat's thirty over", "thermostat out-of-adjustment"),
        ("vessel's flat nothing inside", "expansion-vessel dead"),
        ("data plate you can't read a word", "data-plate worn"),
        ("the inspector was half bunged up", "injector partly-blocked"),
        ("lid drops like a guillotine", "lid broken"),
        ("rear right cap rocks on its seat", "burner-cap distorted"),
        ("co alarm should have been changed in twenty twenty one", "co-alarm expired"),
        ("meter's hanging off its own tails", "meter unstable"),
        ("rear left flame sits off the ports", "flame lifting"),
        ("the alarm sang out when i pressed it", "co-alarm passed"),
        ("bonding's only four mil", "bonding inadequate"),
        ("rear left burner refuses to light", "burner not-lighting"),
    ],
)
def test_a_fault_is_known_by_what_one_sees_hears_or_feels(text: str, wanted: str, extractor: Extractor) -> None:
    """An indirect description gives its part and its condition, filed or asked about."""
    read = extractor.read(text)
    assert wanted in [f"{finding.component} {finding.condition}" for finding in (*read.findings, *read.doubted)]


@pytest.mark.parametrize(
    "text",
    [
        "we were stuck in traffic on the motorway",
        "the flat upstairs has new carpet",
        "he broke the news at half past two",
        "i'm back in a week",
        "she gave up waiting and went home",
        "the dog chewed my sandwich",
        "that radio's too loud in here",
        "the drop off's at five",
        "it's a tough day for the rugby",
        "his van's packed in the drive",
        "split the bill with the landlord",
        "i'm knackered after that",
        "paid the odd job man",
        "the customer let go of the dog",
    ],
)
def test_the_same_words_in_other_talk_are_no_fault(text: str, extractor: Extractor) -> None:
    """Words that mean a fault of a part mean none when no part is spoken of."""
    assert extractor.read(text).findings == ()
