"""The way from words to findings, as one visible list of steps. In: text. Out: an `Extraction`.

Each step says which fields of the `Draft` it assigns and which it requires; `problems` checks the list. Not allowed to know:
limits, storage.
"""

import contextlib
import functools
import gc
import hashlib
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING

from fieldnote.extract import findings, marks, twice
from fieldnote.extract.draft import Draft
from fieldnote.extract.figures import readings
from fieldnote.extract.phrases import mentions
from fieldnote.extract.remarks import classes, followups, procedure, tested
from fieldnote.extract.taught import joining
from fieldnote.extract.taught.reading import Taught
from fieldnote.extract.words import kept, lexicon
from fieldnote.extract.words import tokens as words
from fieldnote.records import Extraction

if TYPE_CHECKING:
    from spacy.language import Language


@dataclass(frozen=True, slots=True)
class Step:
    """One step: what it is called, what it does to the draft, which fields it needs and which it fills."""

    name: str
    run: Callable[[Draft], None]
    requires: tuple[str, ...] = ()
    assigns: tuple[str, ...] = ()


_KNOWLEDGE = frozenset({".toml", ".txt", ".npz", ".onnx"})
_KNOWING = frozenset({"cues", "spoken"})

STEPS: tuple[Step, ...] = (
    Step("marks", marks.run, ("text", "tokens")),
    Step("measures", readings.measure, ("text", "tokens"), ("measures", "measured")),
    Step("mentions", mentions.run, ("tokens", "measured"), ("mentions",)),
    Step("findings", findings.run, ("mentions",), ("contexts", "findings", "doubted")),
    Step("twice", twice.run, ("mentions", "findings", "doubted")),
    Step("taught", joining.run, ("mentions", "contexts", "findings", "doubted")),
    Step("readings", readings.run, ("measures", "contexts"), ("readings",)),
    Step("declared", classes.run, ("tokens",), ("declared",)),
    Step("followups", followups.run, ("tokens",), ("followups",)),
    Step("procedure", procedure.run, ("tokens",), ("procedure", "smell_of_gas", "gas", "meter")),
    Step("tested", tested.run, ("tokens", "readings"), ("no_smell", "appliances")),
)


def problems(steps: Sequence[Step]) -> list[str]:
    """What is wrong with the order of steps: fields that are read before any step fills them."""
    known, wrong = {"text", "tokens"}, []
    for step in steps:
        wrong += [
            f"{step.name} needs {field}, which nothing assigns before" for field in step.requires if field not in known
        ]
        known.update(step.assigns)
    return wrong


class Extractor:
    """Reads talks. Built once, used for many; holds no state between two of them."""

    def __init__(self, language: "Language", steps: Sequence[Step], *, taught: bool) -> None:
        self._language = language
        self._steps = tuple(steps)
        self.taught = taught  # whether the taught reader is heard beside the rules

    @functools.cached_property
    def version(self) -> str:
        """Names the knowledge that reads: a digest of words, cues and weights, so that two runs can be compared."""
        hasher = hashlib.sha256()
        knowing = _KNOWING | ({"taught"} if self.taught else set())
        for package in ("fieldnote.extract", "fieldnote.trade"):
            for path in sorted(Path(str(resources.files(package))).rglob("*")):
                if path.suffix in _KNOWLEDGE and not knowing.isdisjoint(path.parts):
                    hasher.update(path.read_bytes())
        return hasher.hexdigest()[:12]

    def read(
        self, text: str, *, work: str | None = None, appliance: str | None = None, soft: Collection[int] = ()
    ) -> Extraction:
        """Everything that one text says, in the order in which it was said. `appliance` is what it starts at, when known;
        `soft` are the characters at which words end whose marks nobody is sure of."""
        draft = Draft(text, words.tokens(self._language.make_doc(text)), work, appliance, frozenset(soft))
        with _no_collector():
            for step in self._steps:
                step.run(draft)
        return Extraction(
            findings=tuple(draft.findings),
            readings=tuple(draft.readings),
            declared=tuple(draft.declared),
            followups=tuple(draft.followups),
            procedure=tuple(draft.procedure),
            smell_of_gas=draft.smell_of_gas,
            gas=draft.gas,
            meter=draft.meter,
            no_smell=draft.no_smell,
            appliances_connected=draft.appliances,
            doubted=tuple(draft.doubted),
        )


def build(cache: Path | None = None, taught: Path | None = None) -> Extractor:
    """The reader of dictations, with its words loaded; `cache` is a folder for what can be made again, `taught` one in which
    the taught reader is."""
    if cache:
        lexicon.given_by(functools.partial(kept.load, cache))
    with _no_collector():
        language = words.language()
        lexicon.lexicon()
        gc.freeze()  # what was built stays for good, so it is not walked later either
    hear = functools.partial(joining.run, taught=Taught(taught) if taught else None)
    steps = [replace(step, run=hear) if step.run is joining.run else step for step in STEPS]
    return Extractor(language, steps, taught=taught is not None)


@contextlib.contextmanager
def _no_collector() -> Iterator[None]:
    """Without the cyclic garbage collector, where nothing goes in circles: walking a tree of a hundred thousand phrases, or
    all that a long talk has said so far, again and again costs more than making it."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()
