"""Words that were heard elsewhere, taken into the notebook. In: a folder of results, a file each. Out: transcripts, kept.

A result belongs to a recording by the SHA-256 of its bytes, and its key must follow from that and from the recipe it names
(weights, hints, repairs, program). A recording that has words keeps them: here nothing is ever heard anew or replaced. What is
taken says so in its provenance, with the hash of the file it came from. Who made that file nobody can tell from it: such words
are worth as much as the folder.
"""

import json
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from hashlib import sha256 as hash_of
from pathlib import Path
from typing import Any

from fieldnote.flow.hear import Heard, has_words, keep, when
from fieldnote.notebook import Notebook
from fieldnote.records import Item, Transcript, digest, from_plain

LARGEST = 256 * 2**20  # bytes of a result: ten hours of talk are a tenth of it
NAMES = re.compile(rb'"sha256":\s*"([0-9a-f]{64})"')


@dataclass(frozen=True, slots=True)
class _Result:
    recipe: Mapping[str, str]
    transcript: Transcript


def key_of(sha256: str, recipe: Mapping[str, str]) -> str:
    """What a result is known by: the recording's bytes and all else that its words depend on."""
    return digest([sha256, dict(recipe)])


def take(notebook: Notebook, folder: Path, model: str, visit: str | None = None) -> Iterator[Heard]:
    """Keep the words that `model` heard of each recording that has none yet.

    A recording of which there are results and none can be taken is named, with the reason; one of which there is nothing is
    left out: it waits to be heard here.
    """
    items = notebook.items() if visit is None else notebook.items(visit)
    bare = sorted((one for one in items if one.kind == "recording" and not has_words(notebook, one)), key=when)
    found = _found(folder, {item.sha256 for item in bare}) if bare else {}
    for item in bare:
        if paths := found.get(item.sha256):
            yield _take_one(notebook, item, paths, model)


def _found(folder: Path, wanted: set[str]) -> dict[str, list[Path]]:
    """Which files speak of which of the wanted recordings."""
    found: dict[str, list[Path]] = {}
    for path in sorted(folder.glob("*.json")):
        if not path.stem.endswith((".failed", ".begun")) and path.is_file() and path.stat().st_size <= LARGEST:
            for named in {match.decode() for match in NAMES.findall(path.read_bytes())} & wanted:
                found.setdefault(named, []).append(path)
    return found


def _take_one(notebook: Notebook, item: Item, paths: list[Path], model: str) -> Heard:
    results, wrong = [], ""
    for path in paths:
        try:
            results.append(_read(path, item.sha256))
        except (KeyError, TypeError, ValueError, AttributeError, RecursionError) as problem:
            wrong = f"{path.name} is no result of it ({' '.join(str(problem).split()) or type(problem).__name__})"
    fitting = [one for one in results if one.recipe["model"] == model]
    if len(fitting) == 1:
        return keep(notebook, item, fitting[0].transcript)
    return Heard(item, None, _why(results, fitting, model) or wrong)


def _why(results: list[_Result], fitting: list[_Result], model: str) -> str:
    if fitting:
        return f"there are {len(fitting)} results with the weights '{model}', by different recipes: leave one in the folder"
    others = sorted({one.recipe["model"] for one in results})
    names = " or ".join(f"--model {name}" for name in others)
    return f"there is no result with the weights '{model}', but with others: {names} takes it" if others else ""


def _read(path: Path, sha256: str) -> _Result:
    """A result, checked. Raises ValueError, KeyError or TypeError when it is none, or not of this recording."""
    data = path.read_bytes()
    plain = json.loads(data, parse_constant=_no_number)
    recipe = from_plain(Mapping[str, str], plain["recipe"])  # type: ignore[type-abstract]
    if plain["sha256"] != sha256 or not plain["key"] == path.stem == key_of(sha256, recipe):
        raise ValueError("its key does not follow from recording and recipe")
    transcript = _checked(from_plain(Transcript, plain["transcript"]))
    origin = {"from": "result", "result": plain["key"], "result_sha256": hash_of(data).hexdigest()}
    told = {f"recipe_{name}": value for name, value in recipe.items()}
    return _Result(recipe, replace(transcript, provenance={**transcript.provenance, **told, **origin}))


def _no_number(name: str) -> Any:
    raise ValueError(f"{name} is no number")


def _checked(one: Transcript) -> Transcript:
    """A transcript whose parts agree: text and segments, times, places of repairs. Raises ValueError otherwise."""
    spans = [(part.start, part.end) for part in one.segments]
    spans += [(word.start, word.end) for part in one.segments for word in part.words]
    if one.text != " ".join(segment.text for segment in one.segments):
        raise ValueError("its text is not that of its segments")
    if not all(0 <= start <= end and math.isfinite(end) for start, end in [*spans, (0.0, one.duration)]):
        raise ValueError("its times are none")
    if not all(0 <= repair.start <= repair.end <= len(one.text) for repair in one.repairs):
        raise ValueError("its repairs stand nowhere")
    return one
