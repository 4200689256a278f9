"""A watched folder gives each file once, when it has come to rest."""

import pytest

from fieldnote.capture import Watch
from fieldnote.errors import InputProblem


def test_a_file_is_given_when_it_has_come_to_rest(tmp_path):
    """A growing file waits; one that held still is given once; changed again, it is given again; unfinished names never."""
    now = [0.0]
    watch = Watch(tmp_path, rest=3, clock=lambda: now[0])
    growing, ready = tmp_path / "growing.wav", tmp_path / "ready.wav"
    for name in (".hidden.wav", "~$lock.txt", "a.part", "b.CRDOWNLOAD"):
        (tmp_path / name).write_text("x")
    (tmp_path / "folder").mkdir()
    ready.write_text("x")
    given = []
    for second in range(0, 12, 2):
        now[0] = second
        if second < 6:
            growing.write_text("x" * (second + 1))
        given += [(second, path.name) for path in watch.look()]
    assert given == [(4, "ready.wav"), (8, "growing.wav")]
    ready.write_text("more")
    assert watch.look() == []
    now[0] += 3
    assert watch.look() == [ready]


def test_a_folder_that_cannot_be_read_is_told(tmp_path):
    """A file in the place of the folder is one error that names it; a folder that is gone for now is waited for."""
    (tmp_path / "file").touch()
    with pytest.raises(InputProblem, match="file"):
        Watch(tmp_path / "file").look()
    assert Watch(tmp_path / "gone").look() == []
