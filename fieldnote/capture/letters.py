"""Letters that are not what they look like. In: a text. Out: flags. Not allowed to know: what the text is about.

A word with a hidden character in it, or with a letter of another alphabet, looks like an ordinary one and is read as none: so
nothing would be found in it and nobody would know. Such a text is flagged, for a person to read.
"""

import re
import unicodedata

HIDDEN, FOREIGN = "hidden-characters", "foreign-letters"
_OTHERS = re.compile(r"[^\x00-\u024f]")  # beyond Latin letters and their accents
_UNITS = frozenset("Ωμ\u2126\u00b5Δ")
_SOFT = "\u00ad"  # a soft hyphen is dropped when words are read


def flags(text: str) -> list[str]:
    """What is odd about the letters of a text: "hidden-characters", "foreign-letters"."""
    if text.isascii():
        return []
    found = {_kind(text, match.start()) for match in _OTHERS.finditer(text)}
    return [name for name in (HIDDEN, FOREIGN) if name in found]


def _kind(text: str, at: int) -> str:
    category = unicodedata.category(text[at])
    if category in ("Cf", "Cc", "Co", "Cn") and text[at] != _SOFT and not (at == 0 and text[at] == "\ufeff"):
        beside = text[max(0, at - 1) : at] + text[at + 1 : at + 2]
        return HIDDEN if any(one.isalnum() or one.isspace() for one in beside) else ""
    if category.startswith("L") and category != "Lm" and text[at] not in _UNITS:
        return FOREIGN
    return ""
