"""How far understanding hangs on the form of what is said: dictations that are read without a fault, in another form.

Run: python tests/benchmarks/forms.py [CHANGE ...] [--step N] [--offset K] [--seed S] [--missed]. Each Nth dictation of every
practice set that is read perfectly is changed in its form alone, so that its labels stay true: marks away, corners, praise, work
or faults in other words, "is not" for "isn't". Prints F1 of the findings by change; --missed prints what broke. A change may make
another sense ("tight" for "stiff" of a bond): what breaks is to be looked at, not to be trusted.
"""

import argparse
import json
import random
import re
from collections.abc import Callable, Iterator
from typing import Any

from calibration import FITTED, ROOT, UNREAD, score

from fieldnote import bootstrap
from fieldnote.extract import Extractor

Change = Callable[[str, random.Random], str]
CORNERS = (
    "front left|left front|left hand front|front left hand",
    "front right|right front|right hand front|front right hand",
    "back left|rear left|left back|left rear|back left hand",
    "back right|rear right|right back|right rear|right hand back",
)
NAMES = (
    "injector|jet", "injectors|jets", "generator|spark generator", "pan support|pan rest", "pan supports|pan rests",
    "hose|flexible hose|cooker hose", "door seal|door gasket", "cap|burner cap", "tap|gas tap", "knob|control knob",
)  # fmt: skip
PRAISE = (
    "is fine|is ok|is all right|is sound|is good|is in good order|is spot on",
    "'s fine|'s ok|'s all right|'s sound|'s good|'s in good order|'s spot on",
    "are fine|are ok|are all right|are sound|are good|are in good order|are spot on",
)
FAULTS = (
    "blocked|bunged up|clogged|choked|gummed up", "cracked|split", "leaking|weeping", "rusty|rusted|corroded",
    "dirty|filthy|mucky", "loose|slack|wobbly",
)  # fmt: skip
WORK = (
    "cleaned it out|cleared it|cleared it out|poked it through",
    "changed it|replaced it|swapped it|fitted a new one|put a new one on|renewed it",
    "greased it|put some grease on it|gave it some grease", "tightened it|nipped it up|tightened it up",
    "needs replacing|needs changing|wants replacing|needs a new one|wants a new one|will need replacing|wants renewing",
)  # fmt: skip
SHORT = (
    "won't|will not", "doesn't|does not", "isn't|is not", "aren't|are not", "wasn't|was not", "couldn't|could not",
    "i've|i have", "it's|it is", "there's|there is",
)  # fmt: skip


def swapped(families: tuple[str, ...]) -> Change:
    """A change that says each wording of a family by another of the same."""
    others = {one: family.split("|") for family in families for one in family.split("|")}
    longest = sorted(map(re.escape, others), key=len, reverse=True)
    wording = re.compile(rf"(?<!\w)(?:{'|'.join(longest)})\b", re.IGNORECASE)

    def change(text: str, chance: random.Random) -> str:
        def other(found: re.Match[str]) -> str:
            said = chance.choice([one for one in others[found[0].lower()] if one != found[0].lower()])
            return said[0].upper() + said[1:] if found[0][0].isupper() else said

        return wording.sub(other, text)

    return change


def unmarked(text: str, _chance: random.Random) -> str:
    """Small letters and no mark, as some recognisers leave it; the points of figures stay."""
    return re.sub(r"[,;:!?]|\.(?!\d)|\s[-–—]\s", lambda found: " " if found[0].strip() in "-–—" else "", text.lower())


def run_on(text: str, chance: random.Random) -> str:
    """Sentences that run on with a comma or "and"."""
    first, *rest = re.split(r"(?<=[a-z])\. (?=[A-Z])", text)
    for one in rest:
        begins = one if re.match(r"I\b|[A-Z]{2}", one) else one[0].lower() + one[1:]
        first += chance.choice([", ", ". ", " and ", ", and "]) + begins
    return first


CHANGES: dict[str, Change] = {
    "unmarked": unmarked,
    "run-on": run_on,
    "no-articles": lambda text, _chance: re.sub(r"(?<=[a-z,] )the (?=\w)", "", text),
    "corners": swapped(CORNERS),
    "names": swapped(NAMES),
    "praise": swapped(PRAISE),
    "faults": swapped(FAULTS),
    "work": swapped(WORK),
    "in-full": swapped(SHORT),
}


def compared(extractor: Extractor, gold: list[dict[str, Any]], text: str) -> tuple[int, list[str]]:
    """How many findings of a text are right, and which are missed ("-") and false ("+")."""
    keys = score.FINDING_KEYS
    out = [{key: getattr(found, key) for key in keys} for found in extractor.read(text).findings]
    pairs = score.match(gold, out, lambda one, other: score.same_finding(one, other, keys))
    missed = [
        f"- {[one.get(key) for key in keys]}"
        for at, one in enumerate(gold)
        if at not in pairs and not one.get("optional")
    ]
    false = [f"+ {list(one.values())}" for at, one in enumerate(out) if at not in pairs.values()]
    return len(pairs), missed + false


def read_perfectly(extractor: Extractor, step: int, offset: int) -> Iterator[dict[str, Any]]:
    """Every so many dictations of the practice sets, those that are read without a fault."""
    for path in sorted((ROOT / "tests/cases").glob("*.jsonl")):
        lines = [] if path.stem in UNREAD | FITTED else path.read_text("utf-8").splitlines()[offset::step]
        for row in map(json.loads, lines):
            right, wrong = compared(extractor, row["findings"], row["text"])
            if right and not wrong:
                yield row


def main(asked: argparse.Namespace) -> None:
    """Prints each change: dictations that it changed, F1, dictations that broke."""
    extractor = bootstrap.extractor()
    base = list(read_perfectly(extractor, asked.step, asked.offset))
    for name in asked.changes or CHANGES:
        right, wrong, broken, changed = 0, 0, 0, 0
        for row in base:
            text = CHANGES[name](row["text"], random.Random(f"{row['id']} {name} {asked.seed}"))
            if text == row["text"]:
                continue
            hits, faults = compared(extractor, row["findings"], text)
            right, wrong, broken, changed = right + hits, wrong + len(faults), broken + bool(faults), changed + 1
            if faults and asked.missed:
                print(row["id"], text, *faults, sep="\n  ")
        print(f"{name:12} {changed:5} changed, F1 {2 * right / max(1, 2 * right + wrong):.3f}, {broken} broke")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("changes", nargs="*", metavar="CHANGE", choices=[*CHANGES, []])
    parser.add_argument("--step", type=int, default=4)
    parser.add_argument("--offset", type=int, default=0)
    parser.add_argument("--seed", default="")
    parser.add_argument("--missed", action="store_true")
    main(parser.parse_args())
