"""Which kind each phrase is taken as; one that means nothing here is looked into again. In: phrases. Out: the same with kinds.

Not allowed to know: what was said before in the talk.
"""

import itertools
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import replace

from fieldnote.extract.draft import Draft
from fieldnote.extract.phrases.longest import phrases_within
from fieldnote.extract.phrases.settling import kind_of
from fieldnote.extract.phrases.spot import Spot
from fieldnote.extract.words.lexicon import Sense, lexicon
from fieldnote.extract.words.matcher import Hit
from fieldnote.extract.words.tokens import Token
from fieldnote.trade.spoken import STRANGER

_UNITS = frozenset("bar mil metre metres meter meters".split())
_VERBS = frozenset("is are was were has have had".split())
_COUNTS = frozenset("one two three four five six seven eight nine ten twelve fifteen twenty half few couple of".split())
_A_FEW = frozenset("one two three".split())
_NUMBERS = _COUNTS | frozenset(
    "eleven thirteen fourteen sixteen seventeen eighteen nineteen thirty forty fifty sixty seventy eighty ninety".split()
)
# what is spoken of where no part is named
UNNAMED = frozenset({"burner", "appliance"})
_SITTING = frozenset("sat sits sitting stood stands standing set".split())
_LIKENING = frozenset({"like", "as", "than"})
_GOVERNING = frozenset("of on from with to for at in".split())
_ROWS = frozenset("back front rear left right".split())
_NO_ROW = frozenset("the a and in on so all again then now it its thats rear front".split())  # behind "put them back"
_ARTICLES = frozenset("the a its his her their that".split())
_OF_WHAT = frozenset("to of for behind under from".split())
_WHOLE = frozenset({"appliance"})
_LINKING = frozenset({"be", "not", "pronoun", "mark"})

_SMELLING = frozenset("smell smells smelt smelled smelling".split())
_OF_GAS = frozenset("gas a some the".split())
_MILLIVOLTS = frozenset("mv millivolt millivolts".split())


def taken(hits: Sequence[Hit[Sense]], draft: Draft) -> Iterator[tuple[Hit[Sense], str | None]]:
    """Each phrase with the kind it is taken as; where a phrase means nothing here, the shorter ones inside it are tried."""
    parts = [(at, ids) for at, hit in enumerate(hits) if (ids := _parts(hit) or _door_of(hit))]
    places = [at for at, _ in parts]
    parted = 0  # up to where a phrase was looked into again, what stood in its slot with it
    for at, hit in enumerate(hits):
        if hit.end <= parted:
            continue
        kind, past = _settled(hit, at, hits, draft), 0
        if kind == "condition" and hit.end - hit.start > 1:
            nearest = bisect_left(places, at)
            past = _past_its_verb(hit, hits[max(0, at - 1) : at], draft.tokens)
            if (
                past
                or not _of_near(hit, parts[max(0, nearest - 5) : nearest + 2])
                or _leads_to_another(hit, hits[at + 1 : at + 2], draft.tokens)
                or _better_inside(hit, _without_its_whole(hits[max(0, at - 6) : at], draft.tokens)[-3:], draft.tokens)
                or _in_a_row(hit, at, hits, draft.tokens)
            ):
                kind = None
        if kind == "report" and (smelt := _gas_smelt(hit, draft.tokens)):
            yield replace(hit, end=smelt.start), kind
            yield smelt, "condition"
            parted = smelt.end
            continue
        if kind == "report" and draft.tokens[hit.end - 1].norm in _SMELLING and _of_a_thing(hit, draft.tokens):
            kind = None
        told = any(sense.kind == "condition" for sense in hit.values)
        swallowed = any(sense.kind == "nothing" or sense.id == STRANGER for sense in hit.values) and not told
        if kind is None and hit.end - hit.start > 1 and not swallowed:
            end = hit.start + 1 if kind is None and _lacks(hit, draft.tokens) else hit.end - 1
            first = None if past else lexicon().at(draft.tokens, hit.start, end)
            inner = [first] if first else []
            person = draft.tokens[hit.start].norm in ("he", "she", "they")
            outcome = any(sense.kind == "outcome" for sense in hit.values) and not person
            onward = (outcome and not told) or draft.tokens[hit.end - 1].norm == "all"
            # "it's sparking to the body": not "it's sparking"; "on it, all three injectors": not "it all"
            stop = _stop(hit, draft.tokens) if onward else past or hit.end
            behind = phrases_within(draft.tokens, inner[-1].end if inner else hit.start + 1, stop)
            inner += itertools.takewhile(lambda one, hit=hit: one.start < hit.end, behind)  # type: ignore[misc]
            parted = max([hit.end if hit.slot else parted, *(one.end for one in inner if one.end > hit.end)])
            row = [*hits[max(0, at - 2) : at], *inner, *hits[at + 1 : at + 3]]
            lead = min(at, 2)
            yield from ((one, _settled(one, lead + i, row, draft)) for i, one in enumerate(inner))
        else:
            yield hit, kind


def _lacks(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "There's no seal on it": what is a fault of a flue denies a part that may be named anywhere."""
    part = lexicon().at(tokens, hit.start + 1, hit.end) if tokens[hit.start].norm in ("no", "nae") else None
    return part is not None and any(sense.kind == "component" for sense in part.values) and not tokens[hit.start].pause


def _gas_smelt(hit: Hit[Sense], tokens: Sequence[Token]) -> Hit[Sense] | None:
    """ "She says she can smell gas off the hob": who tells it ends in the verb of what is told."""
    at = hit.end - 1
    gas = at > hit.start and tokens[at].norm in _SMELLING and tokens[hit.end : hit.end + 1] != []
    smelt = lexicon().at(tokens, at) if gas and tokens[hit.end].norm in _OF_GAS and not tokens[at].pause else None
    return smelt if smelt and smelt.end > hit.end and any(s.id == "leaking" for s in smelt.values) else None


def _of_a_thing(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "She smells of gas": the boiler does; "she smells gas" is told by somebody."""
    behind = tokens[hit.end].norm if hit.end < len(tokens) else ""
    return (
        tokens[hit.start].norm in ("she", "he", "they")
        and hit.end - hit.start == len(("she", "smells"))
        and behind == "of"
    )


def _stop(hit: Hit[Sense], tokens: Sequence[Token]) -> int:
    """Where the sentence of a phrase ends."""
    return next(
        (i + 1 for i in range(hit.end - 1, min(len(tokens), hit.end + 8)) if tokens[i].pause == "."), len(tokens)
    )


def _door_of(hit: Hit[Sense]) -> frozenset[str]:
    """ "The other oven won't stay shut": its door is meant."""
    ovens = any(sense.kind == "appliance" and sense.id in ("oven", "grill") for sense in hit.values)
    return frozenset({"door"}) if ovens else frozenset()


def _parts(hit: Hit[Sense]) -> frozenset[str]:
    names = [sense for sense in hit.values if sense.kind == "component"]
    strong = [name for name in names if not name.note.startswith("weak")]
    return frozenset(name.id for name in strong or names)


def _of_near(hit: Hit[Sense], near: Sequence[tuple[int, frozenset[str]]]) -> bool:
    """Whether a wording can be said of one of the parts named before or behind it."""
    said = [sense for sense in hit.values if sense.kind == "condition"]
    return any(
        sense.of is None or sense.note == "alone" or sense.of & UNNAMED or any(sense.of & ids for _, ids in near)
        for sense in said
    )


def _without_its_whole(before: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> list[Hit[Sense]]:
    """ "The gas pipe to the hob was loose on the wall": without the appliance that a part belongs to."""
    row = [one for one in before if not any(sense.kind in _LINKING for sense in one.values)]
    names = row[-1:] if row and all(sense.kind == "appliance" for sense in row[-1].values) else []
    lead = next((one for one in reversed(row[-3:-1]) if tokens[one.start].norm in _OF_WHAT), None) if names else None
    return row[: row.index(lead)] if lead is not None else list(before)


def _better_inside(hit: Hit[Sense], before: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> bool:
    """Whether the part named right before cannot be what a wording says, but what a shorter one inside it says: an alarm
    that is dead as a dodo is dead, a bayonet that is worn a bit is worn."""
    ids = next(
        (_parts(one) for one in reversed(before) if not any(s.kind in _LINKING for s in one.values) and not _told(one)),
        frozenset(),
    )
    if not ids or _fits(hit, ids):
        return False
    likened = any(token.norm in _LIKENING for token in tokens[hit.start : hit.end])
    inner = (one for one in _inside(hit, tokens) if _fits(one, ids))
    whole = all(s.of == _WHOLE for s in hit.values if s.kind == "condition")  # "the bayonet's loose on the wall"
    sits = tokens[hit.start].norm in _SITTING
    return any(
        likened
        or (whole and one.start == hit.start)
        or (one.start == hit.start and (_told(one) & _told(hit) or (_told(one) and one.end - one.start > 1)))
        or (one.end == hit.end and sits and _told(one) & _told(hit))  # "sat crooked" of a jet: "crooked" says it
        for one in inner
    )


def _past_its_verb(hit: Hit[Sense], before: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> int:
    """Where a wording ends that begins behind the verb of this one and can be said of the part named right before, as this
    cannot: "screw is hard to turn" ("is hard" is said of taps); 0 when there is none."""
    ids = _parts(before[0]) if before and before[0].end == hit.start else frozenset()
    if not ids or _fits(hit, ids):
        return 0
    for at in range(hit.start, hit.end - 1):
        if tokens[at].norm not in _VERBS or tokens[at].pause:
            return 0
        told = lexicon().at(tokens, at + 1)
        if told is not None and told.end >= hit.end and _fits(told, ids):
            return told.end
    return 0


def _leads_to_another(hit: Hit[Sense], behind: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> bool:
    """Whether a wording leads to a part that cannot be what it says, but what a shorter one inside it says: "muck in the" is said
    of what gas goes through, "muck" of a bayonet too."""
    part = behind[0] if behind and behind[0].start == hit.end and not tokens[hit.end - 1].pause else None
    ids = _parts(part) if part else frozenset()
    if not ids or tokens[hit.end - 1].norm not in _ARTICLES or _fits(hit, ids):
        return False
    return any(_fits(one, ids) and _told(one) for one in _inside(hit, tokens))


def _told(hit: Hit[Sense]) -> set[str]:
    return {sense.id for sense in hit.values if sense.kind == "condition"}


def _in_a_row(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> bool:
    """ "Fuel bed good flame picture good": the part inside a wording is the next of a row of parts each with its verdict."""
    before, after = hits[at - 1] if at else None, hits[at + 1] if at + 1 < len(hits) else None
    if before is None or after is None or before.end != hit.start or after.start != hit.end or not _says_fit(after):
        return False
    if not _parts(before) or not _says_fit(hit) or any(t.pause for t in tokens[before.start : hit.end]):
        return False
    first, rest = lexicon().at(tokens, hit.start, hit.start + 1), lexicon().at(tokens, hit.start + 1, hit.end)
    return first is not None and _says_fit(first) and rest is not None and rest.end == hit.end and bool(_parts(rest))


def _says_fit(hit: Hit[Sense]) -> bool:
    return any(sense.kind == "condition" and sense.id in ("ok", "passed") for sense in hit.values)


def _fits(hit: Hit[Sense], ids: frozenset[str]) -> bool:
    return any(s.of is None or s.note == "alone" or s.of & ids for s in hit.values if s.kind == "condition")


def _inside(hit: Hit[Sense], tokens: Sequence[Token]) -> Iterator[Hit[Sense]]:
    """The shorter phrases inside one."""
    first = lexicon().at(tokens, hit.start, hit.end - 1)
    if first:
        yield first
    yield from phrases_within(tokens, first.end if first else hit.start + 1, hit.end)


def _put_back(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Put them back the two front taps are stiff", "put them back and": where they went, and no row of theirs."""
    back, after = tokens[hit.end], tokens[hit.end + 1].norm if hit.end + 1 < len(tokens) else ""
    return back.norm == "back" and (bool(back.pause) or after in _NO_ROW)


def _settled(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], draft: Draft) -> str | None:
    spot = Spot(hit, at, hits, draft.tokens)
    kind = kind_of(spot)
    if kind == "pronoun" and spot.first in ("that", "this", "its") and _determines(spot):
        return "det"
    if (
        kind == "them"
        and spot.first == "them"
        and spot.single
        and spot.before not in _GOVERNING
        and spot.beyond in _ROWS
        and not _put_back(hit, draft.tokens)
    ):
        return "det"  # "except them back two"
    if kind == "correct" and _numeric(hit, draft) and not _of_a_part(spot, draft):
        return None
    if kind == "mark" and spot.means("condition") and (_verdict_on_figure(spot, draft) or _verdict_alone(spot)):
        return "condition"
    named = spot.followed_by("component") and spot.before in _A_FEW  # "one dead burner"
    if (
        kind == "condition"
        and spot.single
        and spot.first in ("dead", "flat")
        and _figure_before(spot, draft)
        and not (named or _said_of_what_makes_it(spot))
    ):
        return None  # "twenty dead", "nine flat"
    if (
        kind == "condition"
        and spot.single
        and spot.first == "free"
        and hit.start - 1 in draft.measured
        and not spot.owned
    ):
        return None  # "sixty square centimetres free"
    if kind == "component" and any(sense.id in ("pipework", "flue") for sense in spot.senses("component")):
        return kind  # "tightness test": a figure's name, and what has passed
    counted = spot.first in ("metre", "metres") and spot.before in _COUNTS
    unit = spot.first in _UNITS and {hit.start - 1, hit.start} <= draft.measured
    if kind == "component" and spot.single and (counted or unit):
        return None  # "three metres", "one bar fine": a unit
    behind = spot.behind()
    if (
        kind == "component"
        and spot.beyond == "pressure"
        and spot.first == "burner"
        and behind
        and _says_fit(behind.hit)
    ):
        return None  # "gas side's all right, burner pressure eleven point eight"
    if kind == "component" and spot.beyond == "pressure" and hit.start in draft.measured and spot.first == "burner":
        return None  # "set burner pressure fourteen"
    if kind == "condition" and all(sense.of == frozenset({"expansion-vessel"}) for sense in spot.senses("condition")):
        return kind  # "vessel was down to point three": a figure that tells its charge
    if kind == "group" and hit.start - 1 in draft.measured and hit.start in draft.measured:
        return None  # "front right twenty two back right eight": no two at the back
    if kind and kind not in ("place", "work", "component") and draft.measured.issuperset(range(hit.start, hit.end)):
        return None
    exactly = spot.first == "dead" and hit.start - 1 in draft.measured and not _said_of_what_makes_it(spot)
    if kind == "condition" and (exactly or _in_figure(hit, draft)):
        return None  # "in two minutes dead": part of the figure
    return kind


def _said_of_what_makes_it(spot: Spot) -> bool:
    """ "3 mV, dead": behind so few millivolts a verdict on the thermocouple, no "exactly"."""
    return spot.hit.start > 0 and spot.tokens[spot.hit.start - 1].norm in _MILLIVOLTS


def _figure_before(spot: Spot, draft: Draft) -> bool:
    return spot.hit.start - 1 in draft.measured or spot.before in _NUMBERS or spot.before.isdigit()


def _verdict_alone(spot: Spot) -> bool:
    """ "Board renewed June, ok.": a verdict that ends a note on a part."""
    start = spot.hit.start
    if spot.first not in ("ok", "okay") or spot.pause != "." or not start or spot.tokens[start - 1].pause != ",":
        return False
    for hit in reversed(spot.hits[max(0, spot.at - 6) : spot.at]):
        if any(token.pause == "." for token in spot.tokens[hit.end - 1 : start]):
            return False
        if any(sense.kind == "component" for sense in hit.values):
            return True
    return False


def _verdict_on_figure(spot: Spot, draft: Draft) -> bool:
    """ "Thermocouple twelve millivolts ok": what is ok is the part whose figure was told."""
    at = spot.hit.start - 1
    if at not in draft.measured or (draft.tokens[at].pause and not spot.pause) or draft.tokens[at].pause == ".":
        return False
    while at in draft.measured:
        at -= 1
    named = next((hit for hit in reversed(spot.hits[max(0, spot.at - 3) : spot.at]) if hit.start <= at), None)
    part = named is not None and any(sense.kind == "component" for sense in named.values)
    return (
        part
        and named is not None
        and at - named.end < 2
        and not any(t.pause for t in draft.tokens[named.start : at + 1])
    )


def _in_figure(hit: Hit[Sense], draft: Draft) -> bool:
    return hit.end - 1 in draft.measured and hit.end in draft.measured


def _determines(spot: Spot) -> bool:
    """Whether "that" belongs to the name behind it: "had that injector out", "greased that stiff tap", not "cleaned that
    flame's yellow"."""
    noun = spot.follower()
    pointing = spot.first != "its" and spot.before != "is"
    if noun is not None and pointing and noun.means("condition") and noun.followed_by("component"):
        faulty = all(sense.id not in ("ok", "passed") for sense in noun.senses("condition"))
        noun = noun.follower() if faulty else noun  # "greased that stiff tap"
    if noun is None or not noun.means("component", "size") or spot.hit.end - spot.hit.start > 1:
        return False
    beyond = noun.follower()
    return spot.first == "its" or spot.before == "call" or not (beyond and beyond.means("condition", "be", "not"))


def _of_a_part(spot: Spot, draft: Draft) -> bool:
    """ "Working pressure twenty. I tell a lie, that was the rear right injector": a new sentence names a part, and no figure."""
    start, end = spot.hit.start, spot.hit.end
    stop = next((i + 1 for i in range(end, len(draft.tokens)) if draft.tokens[i].pause == "."), len(draft.tokens))
    anew = start > 0 and draft.tokens[start - 1].pause == "." and draft.measured.isdisjoint(range(end, stop))
    row = [hit for hit in spot.hits[spot.at + 1 : spot.at + 6] if hit.end <= stop]
    corner = any(sense.kind == "place" and "-" in sense.id for hit in row for sense in hit.values)
    return anew and corner and any(sense.kind == "component" for hit in row for sense in hit.values)


def _numeric(hit: Hit[Sense], draft: Draft) -> bool:
    """Whether a correction stands beside a figure: then the reading is meant."""
    return hit.end in draft.measured or hit.start - 1 in draft.measured
