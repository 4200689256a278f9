"""Words to findings: the only room that knows spaCy. In: the text of a talk. Out: an `Extraction`. May not know limits."""

import functools
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from fieldnote.extract.pipeline import Extractor
    from fieldnote.records import Extraction

__all__ = ["Extractor", "build", "by_rules"]


def __getattr__(name: str) -> object:
    if name == "Extractor":
        from fieldnote.extract.pipeline import Extractor

        return Extractor
    raise AttributeError(name)


@functools.cache
def build(cache: "Path | None" = None, taught: "Path | None" = None) -> "Extractor":
    """The reader of dictations, built once. `cache` is a folder in which its words are kept ready for the next process;
    `taught` a folder in which the taught reader was made ready: without it the rules read alone."""
    from fieldnote.extract import pipeline

    return pipeline.build(cache, taught)


def by_rules(text: str) -> "Extraction":
    """Everything that the rules alone make of one text. Any text is read; none raises."""
    return build().read(text)
