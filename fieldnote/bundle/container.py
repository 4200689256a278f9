"""A bundle as a folder or a zip, looked at before anything of it is believed, and never unpacked to disk.

Comes in: a path. Goes out: names, sizes, bytes; and every way in which the container itself is wrong. Nothing is followed: no
link, no device, no path that leaves the bundle; sizes, counts and ratios are bounded before a byte is inflated.
"""

import os
import stat
import struct
import zipfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import BinaryIO

MAX_FILES = 20_000
MAX_FILE_BYTES = 4 * 2**30
MAX_TOTAL_BYTES = 16 * 2**30
MAX_RATIO = 200  # sound and photos hardly shrink, records about tenfold: more than this is a bomb
BLOCK = 1 << 20


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong: a stable code, where in the bundle, and a sentence."""

    code: str
    where: str
    detail: str


class Damaged(Exception):
    """Reading a file of the bundle failed; carries the problem."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.detail)
        self.problem = problem


class FolderBundle:
    """A bundle that lies as a folder."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.sizes: dict[str, int] = {}
        self.problems: list[Problem] = []
        self._walk(root, "")
        self.problems += name_problems(list(self.sizes))
        if sum(self.sizes.values()) > MAX_TOTAL_BYTES:
            self.problems.append(Problem("too-big", ".", "the files are larger than any visit"))

    def _walk(self, folder: Path, prefix: str) -> None:
        for entry in sorted(os.scandir(folder), key=lambda e: e.name):
            name, mode = prefix + entry.name, entry.stat(follow_symlinks=False).st_mode
            if len(self.sizes) > MAX_FILES:
                self.problems.append(Problem("too-many-files", ".", f"more than {MAX_FILES} files"))
                return
            if stat.S_ISLNK(mode):
                self.problems.append(Problem("link", name, "a link; nothing is followed"))
            elif stat.S_ISDIR(mode):
                self._walk(Path(entry.path), name + "/")
            elif stat.S_ISREG(mode):
                self.sizes[name] = entry.stat(follow_symlinks=False).st_size
            else:
                self.problems.append(Problem("special-file", name, "neither a file nor a folder"))

    def copies(self, name: str) -> int:
        """A folder holds a name once."""
        return int(name in self.sizes)

    def blocks(self, name: str, copy: int = -1) -> Iterator[bytes]:
        """The bytes of one file, in blocks. Raises Damaged when they cannot be read."""
        try:
            with os.fdopen(os.open(self.root / name, os.O_RDONLY | os.O_NOFOLLOW), "rb") as file:
                while block := file.read(BLOCK):
                    yield block
        except OSError as problem:
            raise Damaged(Problem("unreadable", name, problem.strerror or "cannot be read")) from None


class ZipBundle:
    """A bundle that lies as one zip file; the folder inside it that holds the bag is left out of the names."""

    def __init__(self, path: Path) -> None:
        self.problems: list[Problem] = []
        self.sizes: dict[str, int] = {}
        self._infos: dict[str, list[zipfile.ZipInfo]] = {}
        try:
            self._zip = zipfile.ZipFile(path)
        except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError, struct.error) as problem:
            self.problems.append(Problem("truncated", path.name, f"not a whole zip file: {problem}"))
            return
        infos = self._zip.infolist()
        self.problems += _zip_problems(path, self._zip, infos)
        root = _common_root([info.filename for info in infos])
        for info in infos:
            if not info.is_dir():
                name = info.filename.removeprefix(root)
                self.sizes[name] = info.file_size
                self._infos.setdefault(name, []).append(info)

    def copies(self, name: str) -> int:
        """How many entries have this name; more than one is a problem of its own."""
        return len(self._infos.get(name, []))

    def blocks(self, name: str, copy: int = -1) -> Iterator[bytes]:
        """The bytes of one file, in blocks, never more than its entry promises; of a name that comes twice, the last.

        Raises Damaged.
        """
        info = self._infos[name][copy]
        left = info.file_size
        try:
            with self._zip.open(info) as file:
                while block := file.read(BLOCK):
                    left -= len(block)
                    if left < 0:
                        raise Damaged(Problem("size-lies", name, "holds more than its entry says"))
                    yield block
        except (
            zipfile.BadZipFile,
            zipfile.LargeZipFile,
            OSError,
            EOFError,
            ValueError,
            RuntimeError,
            struct.error,
        ) as problem:
            code = "crc-wrong" if "CRC" in str(problem) else "unreadable"
            raise Damaged(Problem(code, name, f"cannot be read: {problem}")) from None
        except Exception as problem:  # zlib, bz2 and lzma raise classes of their own
            raise Damaged(Problem("unreadable", name, f"cannot be inflated: {problem}")) from None
        if left:
            raise Damaged(Problem("size-lies", name, "holds less than its entry says"))


def open_container(path: Path) -> FolderBundle | ZipBundle:
    """The container at a path: a folder or a zip file."""
    return FolderBundle(path) if path.is_dir() else ZipBundle(path)


def _common_root(names: list[str]) -> str:
    tops = {name.split("/", 1)[0] for name in names}
    return f"{tops.pop()}/" if len(tops) == 1 and all("/" in name for name in names) else ""


def name_problems(names: list[str]) -> list[Problem]:
    """Names that leave the bundle, come twice, or differ by case alone."""
    problems = []
    for name in names:
        if name.startswith(("/", "\\")) or (len(name) > 1 and name[1] == ":"):
            problems.append(Problem("path-absolute", name, "an absolute path"))
        elif ".." in PurePosixPath(name.replace("\\", "/")).parts or "\\" in name or "\0" in name:
            problems.append(Problem("path-escape", name, "a path that leaves the bundle"))
    for folded, times in Counter(name.casefold() for name in set(names)).items():
        if times > 1:
            problems.append(Problem("names-differ-by-case", folded, "names that differ by case alone"))
    return problems


def _zip_problems(path: Path, archive: zipfile.ZipFile, infos: list[zipfile.ZipInfo]) -> list[Problem]:
    problems = name_problems([info.filename for info in infos])
    problems += _bomb_problems(infos)
    if problems and problems[-1].code == "too-many-files":
        return problems
    with path.open("rb") as raw:
        for info in infos:
            problems += _entry_problems(raw, info)
    problems += _overlaps(infos, archive.start_dir)
    return problems


def _bomb_problems(infos: list[zipfile.ZipInfo]) -> list[Problem]:
    problems = []
    if sum(info.file_size for info in infos) > MAX_TOTAL_BYTES:
        problems.append(Problem("too-big", ".", "the files are larger than any visit"))
    for info in infos:
        if info.file_size > MAX_FILE_BYTES or info.file_size > MAX_RATIO * max(info.compress_size, 1024):
            problems.append(Problem("bomb", info.filename, "swells beyond measure"))
    if len(infos) > MAX_FILES:
        problems.append(Problem("too-many-files", ".", f"more than {MAX_FILES} files"))
    return problems


def _entry_problems(raw: BinaryIO, info: zipfile.ZipInfo) -> list[Problem]:
    name, mode = info.filename, info.external_attr >> 16
    problems = []
    if stat.S_IFMT(mode) == stat.S_IFLNK:
        problems.append(Problem("link", name, "a link; nothing is followed"))
    elif stat.S_IFMT(mode) not in (0, stat.S_IFREG, stat.S_IFDIR):
        problems.append(Problem("special-file", name, "neither a file nor a folder"))
    if info.flag_bits & 0x41:
        problems.append(Problem("encrypted", name, "encrypted; nobody can check it"))
    raw.seek(max(0, info.header_offset))
    head = raw.read(30)
    if info.header_offset < 0 or len(head) < 30 or head[:4] != b"PK\x03\x04":
        return [*problems, Problem("truncated", name, "its header is not where the directory says")]
    local = raw.read(struct.unpack("<H", head[26:28])[0])
    encoding = "utf-8" if struct.unpack("<H", head[6:8])[0] & 0x800 else "cp437"
    if local.decode(encoding, "replace") != info.orig_filename:
        problems.append(Problem("names-disagree", name, "the directory and the file's own header name it differently"))
    return problems


def _overlaps(infos: list[zipfile.ZipInfo], directory: int) -> list[Problem]:
    """Entries that share bytes, the trick of the bombs that need no nesting."""
    spans = sorted((info.header_offset, info.header_offset + 30 + info.compress_size, info.filename) for info in infos)
    ends = [*(start for start, _, _ in spans[1:]), directory]
    return [
        Problem("overlap", name, "shares bytes with another entry")
        for (_, end, name), limit in zip(spans, ends, strict=True)
        if end > limit
    ]
