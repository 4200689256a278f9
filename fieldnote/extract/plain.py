"""The findings contract's JSON: a case comes in, an extraction goes out, as plain values with numbers as JSON numbers."""

import json
from decimal import Decimal
from typing import Any

from fieldnote.errors import InputProblem
from fieldnote.records import Extraction, to_plain

LONGEST_WORD = 4_000  # characters; nobody says a longer one, and it is no dictation
_NUMBERS = ("value", "cubic_feet", "start_value")


def case(line: bytes, path: str, number: int) -> tuple[str, str]:
    """The id and the text of one line. Raises InputProblem FN-302 that names the line and the reason."""

    def refuse(reason: str) -> InputProblem:
        return InputProblem("FN-302", path=path, line=number, reason=reason)

    try:
        row = json.loads(line)
    except (ValueError, RecursionError) as problem:
        raise refuse(f"not JSON ({problem})") from None
    if not isinstance(row, dict) or not isinstance(row.get("text"), str) or not isinstance(row.get("id"), str):
        raise refuse('wants an object {"id": text, "text": text}')
    if any(ord(sign) < 32 and sign not in "\t\r\n" for sign in row["text"]):
        raise refuse("the text holds control characters")
    if any(0xD800 <= ord(sign) < 0xE000 for sign in row["text"] + row["id"]):
        raise refuse("the text holds half a character")
    if any(len(word) > LONGEST_WORD for word in row["text"].split()):
        raise refuse(f"the text holds a word of more than {LONGEST_WORD} characters")
    return row["id"], row["text"]


def extraction(found: Extraction, *, explain: bool = False) -> dict[str, Any]:
    """An extraction in the contract's shape; `why` only when asked for."""
    out: dict[str, Any] = to_plain(found)
    for reading in out["readings"]:
        reading.update({name: number(Decimal(reading[name])) for name in _NUMBERS if reading[name] is not None})
    for declared in out["declared"]:
        declared["class"] = declared.pop("class_")
    if not explain:
        for kind in ("findings", "doubted", "readings", "declared", "followups"):
            for item in out[kind]:
                item.pop("why", None)
    return out


def number(value: Decimal) -> int | float:
    """A decimal as a JSON number; one that no float holds has no fraction either."""
    whole = value == value.to_integral_value() and abs(value) < 10**15
    return int(value) if whole or abs(value) >= 10**300 else float(value)
