"""The tree of wordings that is kept between runs."""

from pathlib import Path

import pytest

from fieldnote.extract.words import kept, lexicon


def test_the_kept_tree_is_the_made_one(tmp_path: Path) -> None:
    """What is read back from the file is the same tree, value by value, and nothing is made again for it."""
    made = kept.load(tmp_path)
    (file,) = tmp_path.iterdir()
    written = file.stat().st_mtime_ns
    read = kept.load(tmp_path)
    assert read.plain() == made.plain() == lexicon.made().plain()
    assert file.stat().st_mtime_ns == written


@pytest.mark.parametrize("spoilt", [b"", b"{", b"[]", b'{"tree": {}}', b'{"tree": {}, "values": [[1]], "openers": []}'])
def test_a_damaged_file_is_made_again(tmp_path: Path, spoilt: bytes) -> None:
    """A file that is cut off or holds something else does no harm and is replaced; files of older words go."""
    path = tmp_path / f"words-{kept.digest()}.json"
    path.write_bytes(spoilt)
    (tmp_path / "words-0123456789abcdef.json").write_bytes(b"{}")
    tree = kept.load(tmp_path)
    assert tree.plain() == lexicon.made().plain()
    assert [file.name for file in tmp_path.iterdir()] == [path.name]


def test_a_changed_byte_is_noticed(tmp_path: Path) -> None:
    """A file that can be read but is not what was written is not believed."""
    kept.load(tmp_path)
    (file,) = tmp_path.iterdir()
    file.write_bytes(file.read_bytes().replace(b"cracked", b"crackle", 1))
    assert kept.load(tmp_path).plain() == lexicon.made().plain()


def test_a_folder_that_cannot_be_is_no_harm(tmp_path: Path) -> None:
    """Where a file stands in the place of the folder the tree is made each time."""
    (tmp_path / "cache").write_bytes(b"")
    assert kept.load(tmp_path / "cache").plain() == lexicon.made().plain()
