"""What intake and hearing noticed about an item, in words. In: items and transcripts. Out: one sentence for each that is flagged.

A flagged item is never read as "nothing was said" or "nothing is wrong": the person who decides is told of it.
"""

from collections.abc import Iterator, Mapping, Sequence

from fieldnote.records import Item, Transcript

WORDS = {
    "one-sided": "sound on one side only",
    "antiphase": "its two sides cancel each other out",
    "silent": "there is no sound in it",
    "clipped": "overdriven, so that words may be lost",
    "cut-short": "it is cut short",
    "damaged-passage": "a passage of it is damaged",
    "no-speech": "nobody was heard to speak in it",
    "passage-missing": "a passage of it could not be heard",
    "too-dark": "too dark to see much",
    "blurred": "blurred",
    "duplicate-look": "looks like another photo of this visit",
    "hidden-characters": "holds characters that cannot be seen: what stands in it may not be what was read, look at it yourself",
    "foreign-letters": "holds letters of another alphabet: what stands in it may not be what was read, look at it yourself",
}


def flagged(items: Sequence[Item], transcripts: Mapping[str, Transcript]) -> Iterator[str]:
    """One sentence for each item that carries a flag, in the order of the items."""
    for item in items:
        heard = transcripts[item.id].flags if item.id in transcripts else ()
        if found := tuple(dict.fromkeys((*item.flags, *heard))):
            yield f"{item.name}: {in_words(found)}"


def in_words(flags: Sequence[str]) -> str:
    """Flags as people read them."""
    return "; ".join(WORDS.get(flag, flag.replace("-", " ")) for flag in flags)
