"""Spoken commands are obeyed as whole phrases and never out of dictation. All phrases are our own; common practice, no source."""

import itertools
import json
from pathlib import Path

import pytest

from fieldnote.errors import InputProblem
from fieldnote.flow import commands as module
from fieldnote.flow.commands import commands

CASES = sorted((Path(__file__).parents[1] / "cases").glob("*.jsonl"))
SAID = {
    "start": ["Start", "start recording", "Carry on.", "Resume, please.", "Carryon.", "OK, start again."],
    "pause": ["Pause", "pause recording", "Okay pause.", "Pause for a moment."],
    "stop": ["STOP!", "Stop recording.", "Stop listening please.", "Right, stop.", "End of recording."],
    "photo": ["Photo", "Picture.", "Taking a photo.", "Photo of this."],
    "next-appliance": ["Next appliance", "Right, on to the next appliance."],
    "strike": ["Strike that.", "No, strike that.", "Scratch that please."],
    "read-back": ["Read that back.", "Read it back to me.", "Could you read that back please?"],
    "left": ["What's left?", "What is left to do?", "So what have I missed?", "What\u2019s left then?"],
}
DICTATION = """Stop tap's stiff. | The stop valve lets by. | Pause of a second before it lights. | Start up was rough.
Start pressure twenty. | Photo of the hose. | Picture of the flames. | Next appliance is the boiler.
Next, the hob. | Strike plate is worn. | It strikes at every burner. | Read back twenty one millibar.
What is left of the gasket is hard. | Front left. | Rear left, what a state. | Can't stop it dripping.
Stopped clicking. | It won't start. | Starts and stops. | Paused and relit. | No photo needed of that.
Left hand burner. | Nothing left to clean. | I left a label on. | Stop end is missing.
Carry on using it, she was told. | Scratch on the glass. | Strike that, twenty one.
Stop, no, the hose is leaking. | Pause, the flame lifts. | Right, start with the hob."""


@pytest.mark.parametrize(("id_", "text"), [(id_, text) for id_, texts in SAID.items() for text in texts])
def test_a_command_is_obeyed(id_, text):
    """However it is punctuated, and with a courtesy around it."""
    assert commands().match(text) == id_


@pytest.mark.parametrize("text", [one.strip() for one in DICTATION.replace("\n", "|").split("|")])
def test_dictation_in_the_same_words_is_no_command(text):
    """Words of a command inside of a statement do nothing."""
    assert commands().match(text) is None


def test_no_sentence_of_any_practice_set_is_a_command():
    """Every sentence, every clause between commas, counted: none is obeyed but a bare correction or photo cue."""
    obeyed = {}
    for line in itertools.chain.from_iterable(path.read_text("utf-8").splitlines() for path in CASES):
        for sentence in json.loads(line)["text"].replace("?", ".").replace("!", ".").split("."):
            if (found := commands().match(sentence)) is not None:
                obeyed[found] = obeyed.get(found, 0) + 1
    assert not {"start", "stop", "pause", "left", "read-back"} & obeyed.keys(), obeyed


@pytest.mark.parametrize(
    ("text", "others"),
    [
        ("Stop listening, please.", ["Start listening, please."]),
        ("start", ["stop"]),
        ("Photo of that.", []),
        ("Start again.", []),
    ],
)
def test_the_commands_for_which_one_is_easily_taken(text, others):
    """The same words with one exchanged, where that is another command."""
    assert commands().rivals(text) == others
    assert commands().rivals("Stop tap is stiff.") == []


def test_a_table_that_contradicts_itself_is_refused(tmp_path):
    """An example that is not obeyed is named."""
    text = module.FILE.read_text("utf-8").replace('yes = ["Start.",', 'yes = ["Begin now.",')
    (tmp_path / "commands.toml").write_text(text, "utf-8")
    with pytest.raises(InputProblem, match=r"'Begin now\.' must be obeyed"):
        module.load(tmp_path / "commands.toml")
