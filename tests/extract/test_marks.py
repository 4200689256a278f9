"""Marks that nobody is sure of: where they part what belongs together, the reader reads over them."""

import re

import pytest

from fieldnote.extract.draft import Draft
from fieldnote.extract.marks import run
from fieldnote.extract.words import tokens as words


def soft(text: str) -> list[int]:
    """Where the words end behind which a mark stands."""
    return [found.start() for found in re.finditer(r"(?<=\w)[.,](?=\s)", text)]


def read_over(text: str) -> str:
    """A text with the marks that are left when none of them is sure."""
    draft = Draft(text, words.tokens(words.language().make_doc(text)), soft=frozenset(soft(text)))
    run(draft)
    return " ".join(token.norm + token.pause.strip() for token in draft.tokens)


@pytest.mark.parametrize(
    ("heard", "read"),
    [
        ("hob. rear left burner. blocked with fat", "hob. rear left burner blocked with fat."),
        ("the leak's on the. rear right tap", "the leaks on the rear right tap."),
        ("the door seal, is split", "the door seal is split."),
        ("the hinge wants. Replacing", "the hinge wants replacing."),
        ("nothing on either of them pan. Stands are sound", "nothing on either of them pan stands are sound."),
        ("pilot jet's tight no. The pump's tight", "pilot jets tight. no the pumps tight."),
        ("rear left flame. Keeps blowing off the ring", "rear left flame keeps blowing off the ring."),
        ("front right cap. Rocks about on its ring", "front right cap rocks about on its ring."),
        (
            "water's hot. pumps. A bit noisy the board's got a mark",
            "waters hot. pumps a bit noisy the boards got a mark.",
        ),
        ("rear left taps. Slightly stiff the cap's fine", "rear left taps slightly stiff the caps fine."),
    ],
)
def test_a_mark_within_a_statement_goes(heard: str, read: str) -> None:
    """A part before it and its fault behind it, a word that nobody ends on, the words of
    one name, "no" that begins the next sentence, what a part does."""
    assert read_over(heard) == read


@pytest.mark.parametrize(
    "heard",
    [
        "cap's cracked. wants a new one.",
        "case seal sound. Heat exchanger. Fins are furred.",
        "checked the burner. cap is fine.",
        "is it leaking? no. the union's dry.",
        "front left tap's stiff. rear right cap's chipped.",
        "working pressure nineteen. twenty one at the meter.",
        "lid. hinges are tight.",
        "checked the pump. all joints dry.",
        "heat exchanger. a bit of fluff on the fan.",
    ],
)
def test_a_mark_between_statements_stays(heard: str) -> None:
    """What is whole on both sides was meant to be parted."""
    plain = re.sub(r"['?]", "", heard.lower().replace("leaking?", "leaking."))
    assert read_over(heard).rstrip(".") == plain.rstrip(".")


def test_sure_marks_stand(extractor) -> None:
    """Nothing is read over in a text that somebody wrote."""
    text = "Hob. Put a new knob on. The shaft itself, is sound."
    draft = Draft(text, words.tokens(words.language().make_doc(text)))
    run(draft)
    assert [token.norm for token in draft.tokens if token.pause] == ["hob", "on", "itself", "sound"]
    assert (
        extractor.read("the leak's on the. rear right tap").findings
        != extractor.read("the leak's on the. rear right tap", soft=[17]).findings
    )


def test_sizes_that_end_what_is_read_around_a_mark(extractor) -> None:
    """The words around a mark may end with a size and its comma: nothing stands behind it there."""
    text = "Front left tap. stiff, cap's fine. Medium, rear right: nothing to report."
    found = extractor.read(text, soft=soft(text)).findings
    assert [(finding.component, finding.position) for finding in found][:1] == [("gas-tap", "front-left")]
