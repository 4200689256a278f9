"""Words to findings: the only room that knows spaCy. In: the text of a talk. Out: an `Extraction`. May not know limits."""

import functools
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from fieldnote.extract.pipeline import Extractor
    from fieldnote.records import Extraction

__all__ = ["Extractor", "build", "extract", "rules"]


def __getattr__(name: str) -> object:
    if name == "Extractor":
        from fieldnote.extract.pipeline import Extractor

        return Extractor
    raise AttributeError(name)


@functools.cache
def build(cache: "Path | None" = None) -> "Extractor":
    """The reader of dictations, built once; `cache` is a folder in which its words are kept ready for the next process."""
    from fieldnote.extract import pipeline

    return pipeline.build(cache)


@functools.cache
def rules() -> "Extractor":
    """The rules alone, without what was taught: what the second reader learns from, and what the golden cases hold."""
    from fieldnote.extract import pipeline

    return build().without(pipeline.TAUGHT)


def extract(text: str) -> "Extraction":
    """Everything that one text says of appliances. Any text is read; none raises."""
    return build().read(text)
