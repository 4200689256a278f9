"""The review command at a real terminal: what reaches it can be read line by line, by a screen reader or in a log."""

import os
import pty
import re
import select
import subprocess
import sys
import time

import pytest

from fieldnote.flow.view import decisions
from fieldnote.notebook import Notebook
from tests.sample_visit import sample_book

PATIENCE = 30  # seconds until the next line has to be there


class Sitting:
    """`fieldnote review` behind a pseudo-terminal: what it printed, and keys to press."""

    def __init__(self, path, **environment):
        self.master, slave = pty.openpty()
        command = [sys.executable, "-c", "from fieldnote.cli import main; main()", "--notebook", str(path), "review"]
        known = {name: value for name, value in os.environ.items() if name != "NO_COLOR"} | environment
        self.process = subprocess.Popen(command, stdin=slave, stdout=slave, stderr=slave, env=known, close_fds=True)
        os.close(slave)
        self.text = ""

    def until(self, words):
        """Read until `words` were printed after what was read before."""
        start, ends = len(self.text), time.monotonic() + PATIENCE
        while words not in self.text[start:] and time.monotonic() < ends:
            if select.select([self.master], [], [], 0.2)[0] and not self._read():
                break
        assert words in self.text[start:], self.text[start:]

    def _read(self):
        try:
            part = os.read(self.master, 65536)
        except OSError:  # Linux says so when the other side is closed
            return False
        self.text += part.decode()
        return bool(part)

    def press(self, keys, words, then="Key?"):
        os.write(self.master, keys.encode())
        self.until(words)
        if then not in self.text.rpartition(words)[2]:
            self.until(then)

    def leave(self):
        self.press("q", "Everything decided so far is kept", then=".")
        assert self.process.wait(30) == 0


@pytest.fixture(params=["xterm-256color", "dumb"])
def sitting(tmp_path, request):
    sample_book(tmp_path / "book").close()
    made = Sitting(tmp_path / "book", TERM=request.param, FIELDNOTE_HOME=str(tmp_path / "home"), PATH=str(tmp_path))
    yield made
    if made.process.poll() is None:
        made.process.kill()
    made.process.wait()
    os.close(made.master)


def walk(sitting):
    """Hear, ask why, ask for the keys, change, accept, put off, take back, accept what is sure, hand over, leave."""
    sitting.until("Key?")
    sitting.press("p", "The clip is kitchen.wav")
    sitting.press("w", "said as")
    sitting.press("?", "Keys:")
    sitting.press("c", "Say it as it should be", then=":")
    sitting.press("condition: damaged\r", "Changed:")
    for key, words in (("a", "Accepted."), ("d", "Left for later."), ("u", "Taken back: defer"), ("s", "in one go")):
        sitting.press(key, words)
    sitting.press("h", "Next visit due", then=":")
    sitting.press("2027-11-25\r", "Signature:", then="on.")
    sitting.press("r", "Kept for the report")
    sitting.leave()


def test_it_reads_line_by_line(sitting, tmp_path):
    """No cursor is moved, nothing is redrawn, coloured, erased or rung; each prompt is one line; what was decided is kept."""
    walk(sitting)
    assert re.findall(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\x9b]", sitting.text) == []
    assert "\r" not in sitting.text.replace("\r\n", "")
    prompts = [
        line for line in sitting.text.split("\r\n") if line.startswith(("Say it as", "Next visit due", "Signature:"))
    ]
    assert len(prompts) == 3
    with Notebook.open(tmp_path / "book", write=False) as book:
        kept = [decision.kind for decision in decisions(book, book.visit("KITCHEN-1").id)]
    assert kept[:4] == ["amend", "accept", "defer", "undo"] and set(kept[4:]) == {"accept-sure"} and len(kept) > 5


def test_what_is_typed_ahead_is_not_lost_and_arrows_decide_nothing(sitting, tmp_path):
    """Keys pressed all at once are taken one by one; an arrow key (ESC [ A, ECMA-48) does not accept anything."""
    sitting.until("Key?")
    while "Unlikely value" not in sitting.text:
        sitting.press("d", "Left for later.")
    before = sitting.text.count("Left for later.")
    sitting.press("\x1b[A\x1b[B\x1bOA" + "ddq", "Everything decided so far is kept", then=".")
    assert sitting.process.wait(30) == 0
    with Notebook.open(tmp_path / "book", write=False) as book:
        kept = [decision.kind for decision in decisions(book, book.visit("KITCHEN-1").id)]
    assert kept == ["defer"] * (before + 2)


def test_a_dangerous_card_is_not_answered_before_it_is_shown(sitting, tmp_path):
    """Keys typed ahead stop at a card that may be dangerous: it waits for a key of its own."""
    sitting.until("Key?")
    sitting.press("aaaaaa", "Accepted.")
    assert sitting.text.count("Dangerous, or declared so.") == 2
    sitting.leave()
    with Notebook.open(tmp_path / "book", write=False) as book:
        assert [decision.kind for decision in decisions(book, book.visit("KITCHEN-1").id)] == ["accept"]


def test_what_is_sure_is_read_out_before_it_is_taken(sitting):
    """Each card says in words why it stands where it does and how many are left, so that nothing is told by place or colour."""
    sitting.until("Key?")
    first = sitting.text.split("\r\n")
    assert re.fullmatch(r"Visit KITCHEN-1: \d+ to decide\. Keys: .+\.", first[0])
    assert re.fullmatch(r"\d+ to go\. [A-Z][a-z ,]+\.", first[2])
    sitting.leave()
