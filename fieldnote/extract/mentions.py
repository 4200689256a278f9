"""The phrases of a talk that mean something, each with one kind. In: tokens. Out: `Mention`s in order.

A phrase with several kinds ("right" is a place or opens a statement, "top" a cap or a place) is settled by its neighbours.
Not allowed to know: what was said before in the talk.
"""

import functools
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from fieldnote.extract.draft import Draft
from fieldnote.extract.lexicon import Sense, lexicon
from fieldnote.extract.matcher import Hit, spell
from fieldnote.extract.tokens import Token
from fieldnote.trade.spoken import spoken

# the first kind of a phrase that fits its neighbours is taken, in this order
_ORDER = (
    "size component place group appliance next-burner next-appliance back-to close take-back correct idle report but own if general past "
    "today cured still decline hedge hedge-after no not no-after work condition need same also them pronoun one now mark except and "
    "or prep be det nothing"
).split()
_RANK = {kind: rank for rank, kind in enumerate(_ORDER)}
_COMPLETE = frozenset("van fitted now time one ones order needed required clean wipe replacement it them".split())
_CORNERS = {
    (row, side): f"{row}-{side}" for row in ("front", "rear") for side in ("left", "right")
} | {(side, row): f"{row}-{side}" for row in ("front", "rear") for side in ("left", "right")}
_YEAR = re.compile("(19|20)[0-9][0-9]")
_TEENS = frozenset(
    "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty".split()
)
NOMINAL = frozenset({"component", "place", "size", "group", "appliance"})
_PREPOSITIONS = frozenset("in on at to by".split())
_HEIGHTS = frozenset("top bottom upper lower near far behind hind fore".split())
_COPULAS = frozenset("is was are were been all its bit got".split())
_WANTING = frozenset("needs need wants want with due gave given give a had do good".split())
_STARTERS = frozenset("right ok okay so next now and the then".split())
_BEING = frozenset("is was are were has isnt wasnt wont looks seems needs ones one".split())


@dataclass(frozen=True, slots=True)
class Mention:
    """Words `start` to `end` taken as `kind`; `senses` are its meanings of that kind, `other` those of the other kinds.

    `pause` and `gap` say what stands between it and the mention before: a pause, and how many words that mean nothing.
    `led`: the phrase itself begins with a preposition ("at the rear"). `first`, `last`: its outer words. `owned`: "i" or "we" stands before.
    """

    kind: str
    start: int
    end: int
    senses: tuple[Sense, ...]
    other: tuple[Sense, ...] = ()
    pause: str = ""
    gap: int = 0
    led: bool = False
    last: str = ""
    first: str = ""
    owned: bool = False

    @property
    def id(self) -> str:
        """The id of its first meaning."""
        return self.senses[0].id

    @property
    def takes_object(self) -> bool:
        """Whether what is worked on may follow ("cleaned the cap", not "new one on order")."""
        return self.last not in _COMPLETE

    @property
    def cause(self) -> bool:
        """Whether it is a preposition that names what did it ("with", "by")."""
        return self.id == "with"

    @property
    def fit(self) -> bool:
        """Whether it says that something is fit."""
        return self.kind == "condition" and self.senses[0].id == "ok"

    @property
    def strong(self) -> bool:
        """Whether the name is enough by itself."""
        return any(not sense.note.startswith("weak") for sense in self.senses)

    @property
    def plural(self) -> bool:
        """Whether the name may be a plural (or carry an 's that lost its apostrophe)."""
        return any(sense.note.endswith("s") for sense in self.senses)


def run(draft: Draft) -> None:
    """The step of the pipeline: fills `mentions`."""
    tokens = draft.tokens
    hits = lexicon().find(tokens)
    found: list[Mention] = []
    for at, hit in enumerate(hits):
        kind = _settled(hit, at, hits, draft)
        if kind:
            _readings_between(found, hit.start, draft)
            found.append(_mention(kind, hit, found[-1].end if found else 0, tokens))
            _join_corner(found)
            if kind in ("prep", "be") and (past := _year(tokens, hit.end)):
                found.append(Mention("past", hit.start, past, (Sense("past", "year"),)))
    _readings_between(found, len(tokens), draft)
    draft.mentions = _possible(found)


def _possible(found: list[Mention]) -> list[Mention]:
    """Without the wordings that are limited to parts of which nobody speaks here ("flat" with no vessel near)."""
    parts = [(i, {s.id for s in m.senses}) for i, m in enumerate(found) if m.kind == "component"]
    kept, at = [], 0
    for i, mention in enumerate(found):
        while at < len(parts) and parts[at][0] < i:
            at += 1
        near = {id_ for _, ids in parts[max(0, at - 5) : at + 2] for id_ in ids} | {"burner", "appliance"}
        if mention.kind != "condition" or any(sense.of is None or sense.of & near for sense in mention.senses):
            kept.append(mention)
    return kept


def _settled(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], draft: Draft) -> str | None:
    kind = _kind(hit, at, hits, draft.tokens)
    if kind == "pronoun" and draft.tokens[hit.start].norm in ("that", "this", "its") and _determines(hit, at, hits, draft.tokens):
        return "det"
    if kind == "correct" and _numeric(hit, draft):
        return None
    if kind and kind not in ("place", "work") and draft.measured.issuperset(range(hit.start, hit.end)):
        return None
    return kind


def _determines(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> bool:
    """Whether "that" belongs to the name behind it: "had that injector out", not "cleaned that flame's yellow"."""
    noun = _follower(hit, at, hits, tokens)
    if not _has(noun, "component", "size") or hit.end - hit.start > 1:
        return False
    return tokens[hit.start].norm == "its" or not _has(
        _follower(hits[at + 1], at + 1, hits, tokens), "condition", "be", "not"
    )


def _readings_between(found: list[Mention], end: int, draft: Draft) -> None:
    """Figures are said of what was named before them, as conditions are: each run of them is a mention."""
    at = found[-1].end if found else 0
    while at < end:
        if at not in draft.measured:
            at += 1
            continue
        stop = at
        while stop < end and stop in draft.measured:
            stop += 1
        last = found[-1].end if found else 0
        pause = max((draft.tokens[i].pause for i in range(max(last - 1, 0), at)), key=" ,.".find, default="")
        found.append(Mention("reading", at, stop, (Sense("reading", "reading"),), (), pause if at else "", at - last))
        at = stop


def _join_corner(found: list[Mention]) -> None:
    """ "At the rear" and "left" are one place."""
    if len(found) < 2 or found[-1].kind != "place" or found[-2].kind != "place" or found[-1].pause or found[-1].gap:
        return
    corner = _CORNERS.get((found[-2].id, found[-1].id))
    if corner:
        first, second = found[-2], found.pop()
        sense = Sense("place", corner, None, "strong" + ("+burner" if "+burner" in second.senses[0].note else ""))
        found[-1] = replace(first, end=second.end, senses=(sense,))


def _year(tokens: Sequence[Token], at: int) -> int | None:
    """Where a year ends that starts at a token ("2019", "twenty nineteen"), behind "in": the statement is of the past."""
    if at >= len(tokens) or tokens[at - 1].norm not in ("in", "since", "from"):
        return None
    if _YEAR.fullmatch(tokens[at].norm):
        return at + 1
    if tokens[at].norm == "twenty" and at + 1 < len(tokens) and tokens[at + 1].norm in _TEENS:
        return at + 2
    return None


def _owned(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    return hit.start > 0 and tokens[hit.start - 1].norm in ("i", "we")


def _numeric(hit: Hit[Sense], draft: Draft) -> bool:
    """Whether a correction stands beside a figure: then the reading is meant."""
    return hit.end in draft.measured or hit.start - 1 in draft.measured


def _mention(kind: str, hit: Hit[Sense], last: int, tokens: Sequence[Token]) -> Mention:
    values = _heard(hit, tokens) if any(sense.note.startswith("misheard") for sense in hit.values) else hit.values
    mine = tuple(sense for sense in values if sense.kind == kind) or values
    other = tuple(sense for sense in hit.values if sense.kind not in (kind, "nothing"))
    between = range(min(last, hit.start), hit.start)
    pause = max((tokens[i].pause for i in range(max(min(last, hit.start) - 1, 0), hit.start)), key=" ,.".find, default="")
    end = hit.end if not hit.slot else hit.slot[0]
    led = kind == "place" and tokens[hit.start].norm in _PREPOSITIONS
    return Mention(kind, hit.start, end, mine, other, pause if hit.start else "", len(between), led, tokens[hit.end - 1].norm, tokens[hit.start].norm, _owned(hit, tokens))


def _kind(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> str | None:
    if any(sense.note.startswith("misheard") for sense in hit.values):
        hit = replace(hit, values=_heard(hit, tokens))
    kinds = {sense.kind for sense in hit.values}
    for kind in sorted(kinds, key=_RANK.__getitem__):
        if kind == "nothing":
            return None
        if len(kinds - {"nothing"}) == 1 and kind not in ("place", "component", "size", "work", "condition"):
            return kind
        if _FITS.get(kind, _always)(hit, at, hits, tokens):
            return kind
    return None


def _heard(hit: Hit[Sense], tokens: Sequence[Token]) -> tuple[Sense, ...]:
    """A mis-hearing whose neighbourhood is there stands before everything else that the words can mean."""
    found = tuple(
        sense._replace(note="strong")
        for sense in hit.values
        if sense.note.startswith("misheard ") and _around(sense.note[9:], hit, tokens)
    )
    return found or tuple(sense for sense in hit.values if not sense.note.startswith("misheard"))


def _always(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> bool:
    return True


def _before(hit: Hit[Sense], tokens: Sequence[Token]) -> str:
    return tokens[hit.start - 1].norm if hit.start and not tokens[hit.start - 1].pause else ""


def _follower(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> Hit[Sense] | None:
    beyond = hits[at + 1] if at + 1 < len(hits) else None
    return beyond if beyond and beyond.start == hit.end and not tokens[hit.end - 1].pause else None


def _around(wanted: str, hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the neighbourhood that a mis-hearing needs is there: alternatives by |, all of it by +."""
    return any(
        all(_one_around(part.split(), hit, tokens) for part in alternative.split("+")) for alternative in wanted.split("|")
    )


def _one_around(part: Sequence[str], hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    where, words = part[0], _words(part[1:])
    if where == "start":
        return hit.start == 0 or bool(tokens[hit.start - 1].pause) or tokens[hit.start - 1].norm in _STARTERS
    if where == "end":
        return bool(tokens[hit.end - 1].pause)
    if where == "prev":
        return bool(_before(hit, tokens) in words)
    if where == "next":
        return hit.end < len(tokens) and not tokens[hit.end - 1].pause and tokens[hit.end].norm in words
    if where == "near":
        around = [*range(max(0, hit.start - 6), hit.start), *range(hit.end, min(len(tokens), hit.end + 6))]
        return any(tokens[i].norm in words for i in around)
    return where == "with"  # the appliance in hand: a cooker or hob in nearly every talk


@functools.cache
def _contexts() -> dict[str, frozenset[str]]:
    own = {name: frozenset(spell(" ".join(words))) for name, words in spoken().contexts.items()}
    single = {id_: {p for p in c.says if " " not in p} for id_, c in spoken().conditions.items()}
    fit = single.pop("ok")
    return own | {"fault": own["fault"].union(*single.values()), "fit": own["fit"] | fit}


def _words(names: Sequence[str]) -> frozenset[str]:
    plain = frozenset(part for name in names if not name.startswith("@") for part in (name.replace("'", ""), name.split("_")[-1]))
    return plain.union(*(_contexts()[name[1:]] for name in names if name.startswith("@")))


def _has(hit: Hit[Sense] | None, *kinds: str) -> bool:
    return hit is not None and any(sense.kind in kinds for sense in hit.values)


def _fits_place(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> bool:
    if any(sense.kind == "place" and sense.note.startswith("strong") for sense in hit.values):
        return True
    after, before = _follower(hit, at, hits, tokens), _before(hit, tokens)
    if _opens_talk(hit, at, hits, tokens):
        return False
    if any(sense.kind == "place" and sense.id in ("others", "all") for sense in hit.values):
        each = tokens[hit.start].norm in ("every", "each")
        return after is not None and any(s.kind == "component" and (each or s.note.endswith("s")) for s in after.values)
    if _has(after, "component", "size", "one", "place") and (before != "a" or _has(after, "component")):
        return not _has(after, "mark")
    if hit.start and _side_before(at, hits):
        return True
    if tokens[hit.start].norm in _HEIGHTS:
        return False
    beyond = tokens[hit.end].norm if hit.end < len(tokens) else ""
    led = before in ("the", "on", "at", "both", "other") or (hit.start and _place_before(at, hits))
    return bool(led) and (beyond in _BEING or _has(after, "condition", "be", "and", "work") or tokens[hit.end - 1].pause != "")


def _opens_talk(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> bool:
    """Whether "right" opens a statement ("right vessel's weak"): no place or article before it, no full stop either."""
    if tokens[hit.start].norm != "right" or hit.end - hit.start > 1 or _has(_follower(hit, at, hits, tokens), "one"):
        return False
    if hit.start == 0 or tokens[hit.start - 1].pause == ".":
        return not any(token.pause for token in tokens[hit.start : hit.start + 30])
    return not (at and hits[at - 1].end == hit.start and _has(hits[at - 1], "det", "place", "prep", "group", "and", "or", "size"))


def _side_before(at: int, hits: Sequence[Hit[Sense]]) -> bool:
    """Whether "front" or "rear" stands right before, so that "left" completes it."""
    behind = hits[at - 1] if at else None
    return behind is not None and behind.end == hits[at].start and any(
        s.kind == "place" and s.id in ("front", "rear") for s in behind.values
    )


def _place_before(at: int, hits: Sequence[Hit[Sense]]) -> bool:
    return at > 0 and hits[at - 1].end >= hits[at].start - 1 and _has(hits[at - 1], "place", "group")


def _fits_size(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> bool:
    if any(sense.kind == "size" and sense.note.startswith("strong") for sense in hit.values):
        return True
    if _has(hit, "appliance"):
        return False  # oven and grill are appliances first; the reader takes the burner from there
    after = _follower(hit, at, hits, tokens)
    return _has(after, "component", "one", "place") or (
        _before(hit, tokens) in ("the", "other")
        and (not _has(after, "condition") or _before(hit, tokens) == "other" or any(s.id == "ok" for s in after.values))  # type: ignore[union-attr]
    )


def _fits_component(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> bool:
    strong = any(sense.kind == "component" and not sense.note.startswith("weak") for sense in hit.values)
    if strong:
        return not (_has(hit, "condition") and not _has(_follower(hit, at, hits, tokens), "condition", "be", "work", "need"))
    if all(s.note == "weak-the" for s in hit.values if s.kind == "component") and _before(hit, tokens) != "the":
        return False
    if _has(hit, "appliance", "place", "size") and not _has(_follower(hit, at, hits, tokens), "condition", "be", "work", "need"):
        return False
    return not _has(hit, "appliance")


def _fits_correct(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> bool:
    if not _has(hit, "no"):
        return True
    after = _follower(hit, at, hits, tokens)
    return after is None or _has(after, "place", "group", "pronoun", "det", "mark")


def _fits_mark(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> bool:
    return True


def _fits_condition(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> bool:
    if all(sense.note == "bare" for sense in hit.values if sense.kind == "condition"):
        return _before(hit, tokens) in _COPULAS
    if tokens[hit.end - 1].norm == "gone" and hit.end < len(tokens) and not tokens[hit.end - 1].pause:
        after = _follower(hit, at, hits, tokens)
        return after is not None and not _has(after, "condition")  # "gone rusty" says what it is
    if tokens[hit.start].norm == "wrong" and hit.end - hit.start == 1:
        return _has(_follower(hit, at, hits, tokens), "component")
    if not _has(hit, "mark"):
        return True
    # "ok", "okay", "right": a finding when something fit is spoken of right before
    behind = hits[at - 1] if at else None
    close = behind is not None and behind.end == hit.start and tokens[hit.start - 1].pause != "."
    return close and _has(behind, "component", "place", "be", "size", "one", "them", "group", "appliance")


def _fits_work(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> bool:
    if not any(sense.kind == "work" and sense.note == "base" for sense in hit.values):
        return True
    if any(sense.kind == "work" and (sense.note != "base" or sense.id == "monitor") for sense in hit.values):
        return True
    if _before(hit, tokens) in ("i", "we", "ive"):
        return True
    behind = hits[at - 1] if at else None
    if behind is None or hit.start - behind.end > 1:
        return False
    return _has(behind, "need", "decline", "not", "hedge") or (
        _before(hit, tokens) in ("a", "good", "quick") and tokens[hit.start - 2].norm in _WANTING
    )


def _fits_need(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> bool:
    if not _has(hit, "prep", "pronoun", "det", "mark"):
        return True
    return _has(_follower(hit, at, hits, tokens), "work")


_FITS = {
    "place": _fits_place,
    "size": _fits_size,
    "component": _fits_component,
    "correct": _fits_correct,
    "condition": _fits_condition,
    "work": _fits_work,
    "need": _fits_need,
}
