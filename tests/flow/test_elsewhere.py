"""Words that were heard elsewhere: taken by recording and recipe, with where they came from, never over words that are there."""

import json
import math
from datetime import timedelta
from functools import partial
from pathlib import Path

import pytest

from fieldnote import cli
from fieldnote.audit.batch import jobs, local, waiting
from fieldnote.bundle import Keyring
from fieldnote.flow import elsewhere
from fieldnote.flow.elsewhere import take
from fieldnote.flow.hear import hear
from fieldnote.flow.process import process
from fieldnote.flow.talk import transcripts
from fieldnote.notebook import Notebook, verify
from fieldnote.records import Transcript, from_plain, to_plain
from tests import fakes

SCRIPT = {b"one": "front left cracked pressure 21?", b"two": "rear one is cracked"}
RECIPE = {"model": "scripted", "weights": "0" * 64}


@pytest.fixture
def book(tmp_path: Path):
    """A notebook with a visit and two recordings, in a folder of its own."""
    with fakes.notebook(tmp_path / "own") as book:
        visit = book.open_visit("JOB-1", work="hob-service")
        for number, data in enumerate(SCRIPT):
            book.file(
                fakes.incoming(tmp_path, f"{number}.ogg", data, at=fakes.START + timedelta(minutes=number)), visit.id
            )
        yield book


def batch(folder: Path, out: Path, recipe: dict[str, str] = RECIPE, script: dict[bytes, str] = SCRIPT) -> Path:
    """The results of a batch over a notebook, made by real processes."""
    every = jobs([folder], recipe, Keyring()).jobs
    done = list(local(waiting(every, out), partial(fakes.ScriptedEngine, script), out, 1))
    assert [one.status for one in done] == ["done"] * len(SCRIPT)
    return out


def kept(book: Notebook) -> list[Transcript]:
    """Every transcript there is."""
    return [from_plain(Transcript, entry.payload) for entry in book.entries(kind="transcript")]


def result_of(out: Path, data: bytes) -> Path:
    """The result for a recording."""
    return next(
        path
        for path in out.glob("*.json")
        if json.loads(path.read_text())["transcript"]["raw"] == SCRIPT[data].replace("?", "")
    )


def test_results_of_a_batch_are_taken_and_read(book, tmp_path):
    """A batch's words come in as if heard here, no engine is asked for, lines lead to their second, and a search finds them."""
    out = batch(book.path, tmp_path / "out")
    assert [step.item.name for step in take(book, out, "scripted") if step.transcript] == ["0.ogg", "1.ogg"]
    list(process(book, lambda: pytest.fail("an engine was made"), fakes.WordReader, fakes.count_checker))
    assert [one.text for one in transcripts(book, book.visit("JOB-1").id).values()] == [
        "front left cracked pressure 21",
        "rear one is cracked",
    ]
    assert book.search("rear") and verify(book.path).sound


def test_where_they_came_from_is_kept(book, tmp_path):
    """The transcript names the result, the hash of its file and the whole recipe; the rest is what was heard, word for word."""
    out = batch(book.path, tmp_path / "out")
    list(take(book, out, "scripted"))
    one = kept(book)[0]
    path = out / f"{one.provenance['result']}.json"
    assert one.provenance["from"] == "result" and one.provenance["recipe_weights"] == RECIPE["weights"]
    assert one.provenance["result_sha256"] == elsewhere.hash_of(path.read_bytes()).hexdigest()
    heard = json.loads(path.read_text())["transcript"]
    assert to_plain(one) | {"provenance": {}} == heard | {"provenance": {}}


def test_words_that_are_there_stay(book, tmp_path):
    """A recording that was heard here keeps its words and gets no second transcript; taking twice takes nothing twice."""
    list(hear(book, lambda: fakes.ScriptedEngine({b"one": "heard here", b"two": "here too"})))
    out = batch(book.path, tmp_path / "out")
    assert list(take(book, out, "scripted")) == []
    assert sorted(one.text for one in kept(book)) == ["heard here", "here too"]


def test_words_that_came_meanwhile_stay(book, tmp_path):
    """While an engine listens, another process takes the words: the engine's own are not put over them."""
    out = batch(book.path, tmp_path / "out")

    class Slow(fakes.ScriptedEngine):
        def hear(self, path, *, progress=None):
            list(take(book, out, "scripted"))
            return super().hear(path, progress=progress)

    list(hear(book, lambda: Slow({b"one": "too late", b"two": "too late"})))
    assert sorted(one.text for one in kept(book)) == ["front left cracked pressure 21", "rear one is cracked"]


def test_a_failed_step_does_not_keep_words_out(book, tmp_path):
    """What could not be heard here is taken when it was heard elsewhere."""
    list(hear(book, lambda: fakes.ScriptedEngine({})))
    out = batch(book.path, tmp_path / "out")
    assert len([step for step in take(book, out, "scripted") if step.transcript]) == 2


def test_other_weights_are_named_and_not_taken(book, tmp_path):
    """Results of other weights are not taken unless these are asked for, and the recording goes on waiting."""
    out = batch(book.path, tmp_path / "out", RECIPE | {"model": "larger"})
    steps = list(take(book, out, "scripted"))
    assert [step.transcript for step in steps] == [None, None] and "--model larger" in steps[0].reason
    assert kept(book) == []
    assert all(step.transcript for step in take(book, out, "larger"))


def test_two_recipes_are_not_chosen_between(book, tmp_path):
    """Two results of the same weights by different recipes: named, none taken."""
    out = batch(book.path, tmp_path / "out")
    batch(book.path, out, RECIPE | {"hints": "others"})
    assert ["2 results" in step.reason for step in take(book, out, "scripted")] == [True, True]
    assert kept(book) == []


def _times(plain):
    plain["transcript"]["segments"][0]["words"][0]["start"] = -1.0


def _endless(plain):
    plain["transcript"]["duration"] = math.inf


def _text(plain):
    plain["transcript"]["text"] += " and all is well"


def _recipe(plain):
    plain["recipe"]["weights"] = "1" * 64


def _nothing(plain):
    plain.pop("recipe")


def _unknown(plain):
    plain["transcript"]["said_by"] = "somebody"


@pytest.mark.parametrize("spoil", [_times, _endless, _text, _recipe, _nothing, _unknown])
def test_a_result_that_does_not_hold_is_named(book, tmp_path, spoil):
    """A result whose parts disagree is named with its file and not taken; the other recording's is."""
    out = batch(book.path, tmp_path / "out")
    path = result_of(out, b"one")
    plain = json.loads(path.read_text())
    spoil(plain)
    path.write_text(json.dumps(plain))
    first, second = take(book, out, "scripted")
    assert first.transcript is None and path.name in first.reason and second.transcript is not None
    assert len(kept(book)) == 1 and verify(book.path).sound


def test_a_result_of_another_recording_is_not_taken(book, tmp_path):
    """A result under the name of another one, or with another recording's hash in it, is named."""
    out = batch(book.path, tmp_path / "out")
    one, two = result_of(out, b"one"), result_of(out, b"two")
    one.write_text(
        two.read_text().replace(json.loads(two.read_text())["sha256"], json.loads(one.read_text())["sha256"])
    )
    two.unlink()
    (step,) = take(book, out, "scripted")
    assert step.transcript is None and "does not follow" in step.reason


@pytest.mark.parametrize(
    "text", ["", "{", "[]", "null", '"sha256": "%s"', '{"sha256": "%s", "a": NaN}', "[" * 100_000 + '"sha256": "%s"']
)
def test_any_file_in_the_folder_is_survived(book, tmp_path, text):
    """Other files in the folder are passed over, or named when they speak of a recording that waits; nothing is taken of them."""
    (item, _) = book.items(book.visit("JOB-1").id)
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "a.json").write_text(text.replace("%s", item.sha256))
    (tmp_path / "out" / "folder.json").mkdir()
    steps = list(take(book, tmp_path / "out", "scripted"))
    assert [step.transcript for step in steps] == [None] * ("%s" in text) and kept(book) == []


def test_the_command_takes_what_is_there_and_leaves_what_is_doubtful(tmp_path, capsys, monkeypatch):
    """`process --transcripts`: words come in without weights; a result of other weights leaves its recording waiting, with 3."""
    path = tmp_path / "own" / "book"
    path.parent.mkdir()
    with Notebook.open(path, create=True) as book:
        visit = book.open_visit("JOB-1", work="hob-service")
        for number, data in enumerate(SCRIPT):
            book.file(
                fakes.incoming(tmp_path, f"{number}.ogg", data, at=fakes.START + timedelta(minutes=number)), visit.id
            )
    out = batch(path, tmp_path / "out")
    other = batch(path, tmp_path / "other", RECIPE | {"model": "larger"})
    monkeypatch.setenv("FIELDNOTE_MODELS", str(tmp_path / "none"))
    assert _run("--notebook", str(path), "process", "--transcripts", str(other), "--model", "scripted") == 3
    told = capsys.readouterr().err
    assert "words of 0 recordings taken" in told and "--model larger takes it" in told and "Traceback" not in told
    assert _run("--notebook", str(path), "process", "--transcripts", str(out), "--model", "scripted") == 0
    assert "words of 2 recordings taken" in capsys.readouterr().err
    assert _run("--notebook", str(path), "process", "--transcripts", str(tmp_path / "nowhere")) == 2


def _run(*arguments: str) -> int:
    with pytest.raises(SystemExit) as end:
        cli.main(arguments)
    assert isinstance(end.value.code, int)
    return end.value.code
