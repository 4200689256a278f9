"""Set phrases that count only when they are meant. In: a data file of wordings and of what undoes them. Out: those that stand.

Used for declared classes, follow-ups, steps of a procedure and a smell of gas: each is a wording ("said") that is nothing when
it is negated, asked, conditional, of another time or somebody else's ("undone", with where it stands and how far it reaches).
Not allowed to know: what the phrases are for.
"""

import functools
import tomllib
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import resources
from typing import Any, Literal

from fieldnote.extract.draft import Draft
from fieldnote.extract.words.matcher import Hit, Phrases, built
from fieldnote.extract.words.tokens import Token


@dataclass(frozen=True, slots=True)
class Undone:
    """What undoes a wording: `where` it stands ("before" or "after") and within how many words.

    `of` are the kinds it undoes, all when empty; `through` lets it reach over "so" and "but"; `over` are the only words it
    reaches over, any when empty: "not allowed, at risk" denies what is allowed and no class.
    """

    id: str
    where: str
    reach: int
    of: frozenset[str] = frozenset()
    through: bool = False
    over: frozenset[str] = frozenset()


FURTHEST = 25
STOPS = frozenset("so but because although though however now therefore hence".split())


@dataclass(frozen=True, slots=True)
class Announcement:
    """A wording that stands: its kind, its construction and its words (token indices, end exclusive)."""

    kind: str
    id: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Wordings:
    """One data file, ready for matching. `examples` are (id, text that must match, what it gives, text that must not).

    `capitals` are the ids of wordings that count only in capitals and by themselves: "No vent. AR. Turned off."
    """

    said: Phrases[tuple[str, str]]
    undone: Phrases[Undone]
    timed: frozenset[str]
    capitals: frozenset[str]
    corrections: Phrases[str]
    due: dict[str, Any]
    examples: tuple[tuple[str, str, str, str], ...]


@functools.cache
def wordings(name: str) -> Wordings:
    """The wordings of `cues/<name>.toml`. Raises ValueError (pydantic) when the file does not have its form."""
    raw = tomllib.loads(resources.files("fieldnote.extract").joinpath(f"cues/{name}.toml").read_text("utf-8"))
    data = _form().model_validate(raw).model_dump()
    said, undone, corrections = Phrases[tuple[str, str]](), Phrases[Undone](), Phrases[str]()
    for row in data["said"]:
        for phrase in [*row["forms"], *built(row["built"])]:
            said.add(phrase, (row["kind"], row["id"]))
    for row in data["undone"]:
        for phrase in row["forms"]:
            undone.add(phrase, _undone(row))
    for row in data["correction"]:
        for phrase in row["forms"]:
            corrections.add(phrase, row["id"])
    rows = [*data["said"], *data["undone"], *data["correction"]]
    timed = frozenset(row["id"] for row in data["said"] if row["timed"])
    capitals = frozenset(row["id"] for row in data["said"] if row["capitals"])
    examples = tuple((r["id"], *r["yes"], r["no"]) for r in rows)
    return Wordings(said, undone, timed, capitals, corrections, data["due"], examples)


def _undone(row: dict[str, Any]) -> Undone:
    sets = frozenset(row["of"]), frozenset(row["over"])
    return Undone(row["id"], row["where"], row["reach"], sets[0], row["through"], sets[1])


@functools.cache
def _form() -> Any:
    from pydantic import BaseModel, ConfigDict, Field

    class Strict(BaseModel):
        model_config = ConfigDict(extra="forbid", frozen=True)

    class Construction(Strict):
        id: str
        forms: list[str]
        yes: tuple[str, str]
        no: str

    class Said(Construction):
        kind: str
        timed: bool = False
        built: list[list[list[str]]] = Field(default=[])
        capitals: bool = False

    class UndoneRow(Construction):
        where: Literal["before", "after"]
        reach: int
        of: list[str] = Field(default=[])
        through: bool = False
        over: list[str] = Field(default=[])

    class Due(Strict):
        days: dict[str, int] = Field(default={})
        units: dict[str, list[str]] = Field(default={})
        uncounted: list[str] = Field(default=[])

    class File(Strict):
        said: list[Said]
        undone: list[UndoneRow] = Field(default=[])
        correction: list[Construction] = Field(default=[])
        due: Due = Due()

    return File


def standing(draft: Draft, name: str) -> list[Announcement]:
    """The announcements of one file that stand in a talk, in order."""
    known, tokens = wordings(name), draft.tokens
    undone = _everywhere(known.undone, tokens)
    starts = [hit.start for hit in undone]
    found = []
    for hit in known.said.find(tokens):
        if _is_contraction(draft, hit) or _is_undone(tokens, hit, undone, starts) or _is_asked(draft, hit):
            continue
        kind, id_ = hit.values[0]
        if id_ in known.capitals and not _stands_out(draft, hit):
            continue
        found.append(Announcement(kind, id_, hit.start, hit.end))
    return found


def _everywhere(phrases: Phrases[Undone], tokens: Sequence[Token]) -> list[Hit[Undone]]:
    return [hit for at in range(len(tokens)) if (hit := phrases.at(tokens, at))]


def _stands_out(draft: Draft, hit: Hit[Any]) -> bool:
    """Whether a wording stands by itself, in capitals that the rest of the talk does not have."""
    alone = draft.tokens[hit.end - 1].pause and hit.start and draft.tokens[hit.start - 1].pause
    return bool(alone) and draft.evidence(hit.start, hit.end).text.isupper() and not draft.text.isupper()


def _is_contraction(draft: Draft, hit: Hit[Any]) -> bool:
    """Whether "id" in the phrase is "I'd"."""
    return any(token.norm == "id" and token.end - token.start == 3 for token in draft.tokens[hit.start : hit.end])


def _is_undone(tokens: Sequence[Token], hit: Hit[Any], undone: Sequence[Hit[Undone]], starts: Sequence[int]) -> bool:
    at = bisect_left(starts, hit.start - 20)
    while at < len(undone) and undone[at].start <= hit.end + FURTHEST:
        if any(_reaches(tokens, hit, undone[at], how) for how in undone[at].values):
            return True
        at += 1
    return False


def _reaches(tokens: Sequence[Token], hit: Hit[Any], cue: Hit[Undone], how: Undone) -> bool:
    if how.of and not how.of & {kind for kind, _ in hit.values}:
        return False
    if how.where == "before" and cue.start < hit.start < cue.end and tokens[hit.start].norm in ("not", "no"):
        return False  # "this is not to current standards": the word is the wording's own
    if how.where == "before":
        first, last = (min(cue.end, hit.start) if cue.start < hit.start else cue.end), hit.start
    else:
        first, last = hit.end, cue.start
    if first > last or last - first > how.reach:
        return False
    if how.over and not {token.norm for token in tokens[first:last]} <= how.over:
        return False
    if how.reach == 0 and tokens[first - 1].pause:
        return False
    if not how.through and how.where == "before" and (_stopped(tokens, first, last) or _own(tokens, hit, first)):
        return False
    return not any(token.pause == "." for token in tokens[max(first - 1, 0) : last])


def _stopped(tokens: Sequence[Token], first: int, last: int) -> bool:
    """Whether a word between begins a statement of its own: "so", "but"; not in "so far as"."""
    return any(tokens[at].norm in STOPS and tokens[at + 1].norm not in ("far", "much") for at in range(first, last))


def _own(tokens: Sequence[Token], hit: Hit[Any], first: int) -> bool:
    """Whether the wording has its own subject, so that a word before it does not reach into it: "not here, I'll order one"."""
    mine = [token.norm for token in tokens[hit.start : hit.start + 2]]
    return (mine[0] in ("ill", "im") or mine in (["i", "will"], ["i", "shall"], ["i", "am"])) and first <= hit.start


def _is_asked(draft: Draft, hit: Hit[Any]) -> bool:
    """Whether the sentence ends in a question mark."""
    for token in draft.tokens[hit.end - 1 : hit.end + 12]:
        if token.pause == ".":
            return draft.text[token.end : token.end + 1] == "?"
    return False
