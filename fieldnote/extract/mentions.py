"""The phrases of a talk that mean something, each with one kind. In: tokens. Out: `Mention`s in order.

A phrase with several kinds ("right" is a place or opens a statement, "top" a cap or a place) is settled by its neighbours.
Not allowed to know: what was said before in the talk.
"""

import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from fieldnote.extract import asking, likening
from fieldnote.extract.asking import Asked
from fieldnote.extract.draft import Draft
from fieldnote.extract.lexicon import Sense, lexicon
from fieldnote.extract.matcher import Hit
from fieldnote.extract.settling import Spot, heard, kind_of, narrated
from fieldnote.extract.tokens import Token
from fieldnote.trade.spoken import spoken

_COMPLETE = frozenset("van fitted now time one ones order needed required clean wipe replacement it them".split())
_CORNERS = {(row, side): f"{row}-{side}" for row in ("front", "rear") for side in ("left", "right")} | {
    (side, row): f"{row}-{side}" for row in ("front", "rear") for side in ("left", "right")
}
_CORNERS |= {pair: "centre" for row in ("front", "rear") for pair in ((row, "centre"), ("centre", row))}
_YEAR = re.compile("(19|20)[0-9][0-9]")
_TEENS = frozenset("ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty".split())
NOMINAL = frozenset({"component", "place", "size", "group", "appliance", "which"})
_OWNERS = frozenset("fire boiler hob cooker oven grill".split())
COOKING = frozenset({"hob", "cooker", "oven", "grill"})
_WARMED = frozenset("radiators radiator rads heating".split())
_IN = frozenset("in with of some".split())  # "soaked in hot water"
_UNITS = frozenset("bar mil metre metres meter meters".split())
_COUNTS = frozenset("one two three four five six seven eight nine ten twelve fifteen twenty half few couple of".split())
HEATING = {"boiler", "water-heater", "fire"}
_BUILT_IN = frozenset(
    "heat-exchanger gas-valve pressure-switch condensate-trap pump diverter-valve case-seal radiant fuel-bed "
    "expansion-vessel relief-valve flue terminal".split()
)
# what is spoken of where no part is named
_UNNAMED = frozenset({"burner", "appliance"})
_CROWD = frozenset("pair both them ones two three four lot".split())
_BURNER = frozenset({"burner", "ring"})
_ANSWERS = frozenset({"yes", "no-answer", "none-answer"})
# words behind "she says" that begin no account of hers
_NOT_TOLD = frozenset("but and so i ive im we weve though although however well anyway because cos".split())
_TOLD_OF_ME = frozenset("should need needed must can cant could ought have want might had".split())
# "fitted the right one": a new part, no place
_RIGHTING = frozenset("fit fitted put is was its thats not got isnt wasnt be with".split())
_PRAISE = frozenset("nice good lovely great grand fine okay ok perfect proper clean strong steady".split())
_HOW_MANY = frozenset(
    "two three four five six 4 5 6 of the other others burners rings taps caps knobs electrodes".split()
)
_PAST = frozenset("last ago year years before since christmas".split())
_THEM = frozenset("she they customer tenant lady wife husband son landlord owner builder plumber".split())
_ANYBODY = frozenset("somebody someone somebodys someones fella cowboy".split())
_STATING = frozenset("is are was were looks look looked all seems seem being feels works ran its".split())
_BECOME = frozenset("gone knocked pushed pulled".split())
_FIRES_ONLY = frozenset({"fuel-bed", "radiant"})  # no kitchen has them, so that a corner beside them is theirs
_LIKENING = frozenset({"like", "as", "than"})
_LINKING = frozenset({"be", "not", "pronoun", "mark"})
_PREPOSITIONS = frozenset("in on at to by".split())


@dataclass(frozen=True, slots=True)
class Mention:
    """Words `start` to `end` taken as `kind`; `senses` are its meanings of that kind, `other` those of the other kinds.

    `pause` and `gap` say what stands between it and the mention before: a pause, and how many words that mean nothing.
    `led`: the phrase itself begins with a preposition ("at the rear"). `first`, `last`: its outer words. `owned`: "i", "we",
    "had to" or "with a" stands before. `theirs`: work of somebody else.
    `many`: surely a plural. `clitic`: apostrophe and s at its end.
    `crowd`: a word for several in it. `closing`: nothing that is told by it can follow ("she says but ...").
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
    theirs: bool = False
    many: bool = False
    clitic: bool = False
    crowd: bool = False
    closing: bool = False

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
    def done(self) -> bool:
        """Whether it says that work has been done."""
        return self.kind == "work" and self.senses[0].note == "done"

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
    asked = asking.questions(tokens)
    for question in asked:
        asking.as_told(tokens, question)
    found: list[Mention] = []
    for hit, kind in _taken(list(_all_hits(tokens, asked)), draft):
        if kind:
            _readings_between(found, hit.start, draft)
            found.append(_mention(kind, hit, found[-1].end if found else 0, tokens))
            _join_corner(found)
            _once(found)
            if kind in ("prep", "be") and (past := _year(tokens, hit.end)):
                found.append(Mention("past", hit.start, past, (Sense("past", "year"),)))
    _readings_between(found, len(tokens), draft)
    found = likening.without_strangers(likening.without_images(found, tokens), tokens)
    draft.appliance = draft.appliance or _implied(found)
    here = draft.appliance or ("boiler" if _warms(tokens, found) else None)
    draft.mentions = _possible(_of_what_is_here(found, here))


def _all_hits(tokens: Sequence[Token], asked: Sequence[Asked]) -> Iterator[Hit[Sense]]:
    """All phrases; the verb that opens a question and its answer are none, but what they say."""
    at = 0
    for question in asked:
        yield from _hits(tokens, at, question.start)
        yield Hit(question.start, question.start + 1, (Sense("ask", "ask"),))
        yield from _hits(tokens, question.start + 1, question.answer)
        answer = (
            Sense("answer", "yes")
            if question.yes
            else Sense("no-after", "none-answer" if question.existence else "no-answer")
        )
        yield Hit(question.answer, question.end, (answer,))
        at = question.end
    yield from _hits(tokens, at, len(tokens))


def _hits(tokens: Sequence[Token], at: int, end: int) -> Iterator[Hit[Sense]]:
    """Phrases left to right, the longest at each place; a mis-hearing that fits its place stands before a phrase as long."""
    while at < end:
        hit, misheard = lexicon().at(tokens, at, end), heard(tokens, at)
        if hit and _right_hand_one(hit, tokens):
            hit = lexicon().at(tokens, at + 1, hit.end)  # "the right one has a chip in it"
        if hit and _good_what(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1)  # "lights fine, nice flame"
        if hit and _got_it_to(hit, tokens):
            hit = None  # "I got the stiff one moving": not "I got"
        if hit and hit.end == at + 2 and tokens[at].norm in ("right", "left") and _corner_at(at + 1, tokens):
            hit = lexicon().at(tokens, at, at + 1)  # "right, front right": not "right front"
        if hit and (_takes_a_corner(hit, tokens) or _gone_what(hit, tokens) or _on_order(hit, tokens)):
            hit = lexicon().at(tokens, at, hit.end - 1)  # "moved ... um back left": not "moved back"
        if hit and (_verdict_and_mark(hit, tokens) or _and_all_of(hit, tokens)):
            hit = lexicon().at(tokens, at, at + 1) or hit  # "looks ok, so": not "ok so"
        if hit and _denied_name(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1) or hit  # "no flame failure": not "no flame"
        if hit and tokens[hit.end - 1].norm in _BURNER and _part_at_end(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1) or hit  # "rear burner heads": not "rear burner"
        if misheard and misheard.end <= end and (hit is None or misheard.end >= hit.end):
            hit = misheard
        if hit:
            hit = _denial_at_end(_corner_at_end(_unbroken(hit, tokens), tokens), tokens, end)
            yield hit
            if hit.slot:
                yield from _hits(tokens, *hit.slot)
        at = hit.end if hit else at + 1


def _part_at_end(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether a part of a burner begins with the last word of a place."""
    if hit.end - hit.start == 1 or not any(sense.kind == "place" for sense in hit.values):
        return False
    whole = lexicon().at(tokens, hit.end - 1)
    return whole is not None and whole.end > hit.end and any(sense.kind == "component" for sense in whole.values)


def _verdict_and_mark(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "ok" in "ok so" is said of something: a form of "be" stands before it."""
    if hit.end - hit.start == 1 or tokens[hit.start].norm not in ("ok", "okay", "alright") or not hit.start:
        return False
    before = tokens[hit.start - 1]
    return not before.pause and (before.norm in _STATING or before.clitic)


def _and_all_of(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "And all four sparkers": not "and all"."""
    if [token.norm for token in tokens[hit.start : hit.end]] != ["and", "all"] or tokens[hit.end - 1].pause:
        return False
    return hit.end < len(tokens) and tokens[hit.end].norm in _HOW_MANY


def _denied_name(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the last word of "no flame" begins a longer name of a part."""
    if hit.end - hit.start < 2 or tokens[hit.end - 2].norm not in ("no", "any") or tokens[hit.end - 1].pause:
        return False
    whole, part = lexicon().at(tokens, hit.end - 1), lexicon().at(tokens, hit.end) if hit.end < len(tokens) else None
    if (
        tokens[hit.end - 1].norm == "spark"
        and part is not None
        and any(sense.kind == "component" for sense in part.values)
    ):
        return False  # "no spark, electrode tip burnt away"
    return (
        whole is not None
        and whole.end > hit.end
        and any(sense.kind == "component" and not sense.note.startswith("weak") for sense in whole.values)
    )


def _unbroken(hit: Hit[Sense], tokens: Sequence[Token]) -> Hit[Sense]:
    """A name of a part does not run across a comma ("away from the burner, set it back") nor over an article in a list
    ("the electrode the lead and the cap")."""
    if hit.end - hit.start == 3 and tokens[hit.start + 1].norm == "the" and hit.values[0].kind == "pronoun":
        return lexicon().at(tokens, hit.start, hit.start + 1) or hit  # "replaced that, the one on the right"
    if hit.end - hit.start == 1 or all(sense.kind != "component" for sense in hit.values):
        return hit
    stop = next((i for i in range(hit.start, hit.end - 1) if tokens[i].pause or _listed_at(i + 1, hit, tokens)), None)
    if stop is None:
        return hit
    return lexicon().at(tokens, hit.start, stop + 1) or hit


def _listed_at(at: int, hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether an article stands between two names of parts."""
    if tokens[at].norm != "the" or at + 1 >= hit.end:
        return False
    names = (lexicon().at(tokens, hit.start, at), lexicon().at(tokens, at + 1, hit.end))
    return all(
        name is not None and name.end in (at, hit.end) and any(s.kind == "component" for s in name.values)
        for name in names
    )


def _corner_at_end(hit: Hit[Sense], tokens: Sequence[Token]) -> Hit[Sense]:
    """ "At the rear left the", "going back left": where a corner begins in the last word, the corner is meant."""
    preposed = any(sense.kind == "place" and sense.id in ("front", "rear") for sense in hit.values)
    if not preposed and (hit.end - hit.start == 1 or any(sense.kind != "nothing" for sense in hit.values)):
        return hit
    corner = _corner_at(hit.end - 1, tokens)
    return Hit(hit.start if preposed else corner.start, corner.end, corner.values) if corner else hit


def _on_order(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the last word of a verdict begins a wording of work: "all on order" is not "all on"."""
    if hit.end - hit.start == 1 or tokens[hit.end - 1].norm != "on" or all(s.kind != "condition" for s in hit.values):
        return False
    whole = lexicon().at(tokens, hit.end - 1)
    return whole is not None and whole.end > hit.end and any(sense.kind == "work" for sense in whole.values)


def _takes_a_corner(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the last word of work or of a name begins a corner: "nice flame front right"."""
    named = hit.end - hit.start > 1 and any(sense.kind == "component" for sense in hit.values)
    return (named or hit.slot is not None) and _corner_at(hit.end - 1, tokens) is not None


def _right_hand_one(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "the right one" is a place: something is said of it."""
    words = [token.norm for token in tokens[hit.start : hit.end]]
    if (
        words not in (["the", "right", "one"], ["the", "right", "ones"])
        or tokens[hit.end - 1].pause
        or hit.end >= len(tokens)
    ):
        return False
    before = tokens[hit.start - 1] if hit.start else None
    if before is not None and not before.pause and (before.norm in _RIGHTING or before.clitic):
        return False
    said = lexicon().at(tokens, hit.end)
    return said is not None and any(sense.kind in ("be", "condition", "not", "no") for sense in said.values)


def _got_it_to(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "got" at the end of "I got" begins work."""
    if hit.end - hit.start != 2 or tokens[hit.end - 1].norm != "got":
        return False
    whole = lexicon().at(tokens, hit.end - 1)
    return whole is not None and whole.end > hit.end and any(sense.kind == "work" for sense in whole.values)


def _good_what(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the last word of praise begins praise of its own: "lights fine nice flame"."""
    if hit.end - hit.start < 3 or not any(sense.kind == "condition" and sense.id == "ok" for sense in hit.values):
        return False
    noun = lexicon().at(tokens, hit.end) if hit.end < len(tokens) and not tokens[hit.end - 1].pause else None
    named = noun is not None and any(sense.kind == "component" for sense in noun.values)
    return named and tokens[hit.end - 1].norm in _PRAISE and tokens[hit.end - 2].norm in _PRAISE


def _gone_what(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "it's gone" goes on to say what it has gone: "it's gone hard", "has been knocked skew"."""
    if hit.end - hit.start == 1 or tokens[hit.end - 1].norm not in _BECOME:
        return False
    whole = lexicon().at(tokens, hit.end - 1)
    said = ("condition", "be")
    return whole is not None and whole.end > hit.end and any(sense.kind in said for sense in whole.values)


def _corner_at(at: int, tokens: Sequence[Token]) -> Hit[Sense] | None:
    """The corner of a hob ("back left") that begins at a word and goes on behind it."""
    whole = lexicon().at(tokens, at)
    if whole is None or whole.end == at + 1:
        return None
    places = tuple(sense for sense in whole.values if sense.kind == "place" and "-" in sense.id)
    return Hit(at, whole.end, places) if places else None


def _denial_at_end(hit: Hit[Sense], tokens: Sequence[Token], end: int) -> Hit[Sense]:
    """ "It's got no air in it": where a wording begins with the last word of a denial, the wording is meant."""
    if tokens[hit.end - 1].norm != "no" or any(sense.kind not in ("no", "deny") for sense in hit.values):
        return hit
    whole = lexicon().at(tokens, hit.end - 1, end)
    told = whole is not None and any(sense.kind == "condition" for sense in whole.values)
    named = whole is not None and _denied_name(whole, tokens)  # "have no flame failure"
    return whole if whole is not None and told and not named and whole.end > hit.end else hit


def _taken(hits: Sequence[Hit[Sense]], draft: Draft) -> Iterator[tuple[Hit[Sense], str | None]]:
    """Each phrase with the kind it is taken as; where a phrase means nothing here, the shorter ones inside it are tried."""
    parts = [(at, ids) for at, hit in enumerate(hits) if (ids := _parts(hit))]
    places = [at for at, _ in parts]
    for at, hit in enumerate(hits):
        kind = _settled(hit, at, hits, draft)
        if kind == "condition" and hit.end - hit.start > 1:
            first = bisect_left(places, at)
            if not _of_near(hit, parts[max(0, first - 5) : first + 2]) or _better_inside(
                hit, hits[:at][-2:], draft.tokens
            ):
                kind = None
        told = any(sense.kind == "condition" for sense in hit.values)
        swallowed = any(sense.kind == "nothing" for sense in hit.values) and not told
        if kind is None and hit.end - hit.start > 1 and not swallowed:
            inner = list(_inside(hit, draft.tokens))
            inner += _hits(draft.tokens, inner[-1].end if inner else hit.start + 1, hit.end)
            row = [*hits[:at][-2:], *inner, *hits[at + 1 : at + 3]]
            first = min(at, 2)
            yield from ((one, _settled(one, first + i, row, draft)) for i, one in enumerate(inner))
        else:
            yield hit, kind


def _of_what_is_here(found: list[Mention], known: str | None) -> list[Mention]:
    """Without the parts that none of the appliances in talk has, where all of them cook or none does."""
    here = {mention.id for mention in found if mention.kind == "appliance"} | ({known} if known else set())
    here |= {mention.first for mention in found if mention.kind == "component" and mention.first in _OWNERS}
    if any(m.kind == "component" and m.strong and m.id in _FIRES_ONLY for m in found) and not here & COOKING:
        here.add("fire")
    corner = _at_a_corner(found)
    if not here and not corner:
        here = _heaters(found)
    others = here - COOKING - {"installation"}
    if others and (corner or here & COOKING):
        return found
    if not here and not corner:
        return found
    here |= {"installation"} | (COOKING if corner or here & COOKING else set())
    kept = []
    for mention in found:
        if mention.kind == "component":
            plain = here & COOKING and not corner and mention.strong  # its heater may have gone unnamed
            senses = tuple(
                s for s in mention.senses if plain or s.id == "appliance" or here & set(spoken().components[s.id].of)
            )
            senses = (
                tuple(s for s in senses if s.id == "appliance" or here & set(spoken().components[s.id].of)) or senses
            )
            if not senses:
                continue
            mention = replace(mention, senses=senses)
        kept.append(mention)
    return kept


def _heaters(found: Sequence[Mention]) -> set[str]:
    """What warms rooms or water and has the parts that are named, where one is named that nothing else has."""
    parts = {m.id for m in found if m.kind == "component" and m.strong and m.id in _BUILT_IN}
    own = [of for id_ in parts if (of := set(spoken().components[id_].of) - {"installation"}) <= HEATING]
    return (set.intersection(*own) or HEATING) if own else set()


def _warms(tokens: Sequence[Token], found: Sequence[Mention]) -> bool:
    """Whether hot water, radiators or the heating are spoken of, and nothing that cooks."""
    if _at_a_corner(found) or any(
        m.kind in ("appliance", "next-appliance", "size") or m.first in _OWNERS for m in found
    ):
        return False
    words = [token.norm for token in tokens]
    water = (
        b == "hot" and c == "water" and a not in _IN for a, b, c in zip(["", *words], words, words[1:], strict=False)
    )
    return any(water) or bool(_WARMED.intersection(words))


def _implied(found: Sequence[Mention]) -> str | None:
    """The appliance, where none is named and a part is that nothing else has."""
    if _at_a_corner(found) or any(m.kind in ("appliance", "next-appliance") or m.first in _OWNERS for m in found):
        return None
    here = _heaters(found)
    return here.pop() if len(here) == 1 else None


def _at_a_corner(found: Sequence[Mention]) -> bool:
    return any(mention.kind == "place" and "-" in mention.id for mention in found)


def _parts(hit: Hit[Sense]) -> frozenset[str]:
    names = [sense for sense in hit.values if sense.kind == "component"]
    strong = [name for name in names if not name.note.startswith("weak")]
    return frozenset(name.id for name in strong or names)


def _of_near(hit: Hit[Sense], near: Sequence[tuple[int, frozenset[str]]]) -> bool:
    """Whether a wording can be said of one of the parts named before or behind it."""
    said = [sense for sense in hit.values if sense.kind == "condition"]
    return any(
        sense.of is None or sense.note == "alone" or sense.of & _UNNAMED or any(sense.of & ids for _, ids in near)
        for sense in said
    )


def _better_inside(hit: Hit[Sense], before: Sequence[Hit[Sense]], tokens: Sequence[Token]) -> bool:
    """Whether the part named right before cannot be what a wording says, but what a shorter one inside it says: an alarm
    that is dead as a dodo is dead."""
    if not any(token.norm in _LIKENING for token in tokens[hit.start : hit.end]):
        return False
    ids = next(
        (_parts(one) for one in reversed(before) if not any(s.kind in _LINKING for s in one.values)), frozenset()
    )
    if not ids or _fits(hit, ids):
        return False
    return any(_fits(one, ids) for one in _inside(hit, tokens))


def _fits(hit: Hit[Sense], ids: frozenset[str]) -> bool:
    return any(s.of is None or s.note == "alone" or s.of & ids for s in hit.values if s.kind == "condition")


def _inside(hit: Hit[Sense], tokens: Sequence[Token]) -> Iterator[Hit[Sense]]:
    """The shorter phrases inside one."""
    first = lexicon().at(tokens, hit.start, hit.end - 1)
    if first:
        yield first
    yield from _hits(tokens, first.end if first else hit.start + 1, hit.end)


def _possible(found: list[Mention]) -> list[Mention]:
    """Without the wordings that are limited to parts of which nobody speaks here ("flat" with no vessel near)."""
    parts = [(i, {s.id for s in m.senses}) for i, m in enumerate(found) if m.kind == "component"]
    kept: list[Mention] = []
    at = dropped = 0
    for i, mention in enumerate(found):
        while at < len(parts) and parts[at][0] < i:
            at += 1
        near = {id_ for _, ids in parts[max(0, at - 5) : at + 2] for id_ in ids} | _UNNAMED
        said = found[i - 1 - (i > 1 and found[i - 1].kind in ("be", "not"))] if i else None
        if (
            (said is not None and said.kind == "component" and said.strong and not mention.pause)
            or (said is not None and said.kind in ("pronoun", "them") and mention.fit)  # "and it holds"
            or mention.kind != "condition"
            or any(sense.of is None or sense.note == "alone" or sense.of & near for sense in mention.senses)
        ):
            kept.append(replace(mention, gap=mention.gap + dropped) if dropped else mention)
            dropped = 0
        else:
            dropped += mention.gap + mention.end - mention.start
    return kept


def _settled(hit: Hit[Sense], at: int, hits: Sequence[Hit[Sense]], draft: Draft) -> str | None:
    spot = Spot(hit, at, hits, draft.tokens)
    kind = kind_of(spot)
    if kind == "pronoun" and spot.first in ("that", "this", "its") and _determines(spot):
        return "det"
    if kind == "correct" and _numeric(hit, draft):
        return None
    if kind == "condition" and spot.single and hit.start - 1 in draft.measured and spot.first in ("dead", "flat"):
        return None  # "twenty dead", "nine flat"
    if kind == "component" and any(sense.id in ("pipework", "flue") for sense in spot.senses("component")):
        return kind  # "tightness test": a figure's name, and what has passed
    counted = spot.first in ("metre", "metres") and spot.before in _COUNTS
    unit = spot.first in _UNITS and {hit.start - 1, hit.start} <= draft.measured
    if kind == "component" and spot.single and (counted or unit):
        return None  # "three metres", "one bar fine": a unit
    if kind == "component" and spot.beyond == "pressure" and hit.start in draft.measured and spot.first == "burner":
        return None  # "set burner pressure fourteen"
    if kind == "condition" and all(sense.of == frozenset({"expansion-vessel"}) for sense in spot.senses("condition")):
        return kind  # "vessel was down to point three": a figure that tells its charge
    if kind and kind not in ("place", "work", "component") and draft.measured.issuperset(range(hit.start, hit.end)):
        return None
    if kind == "condition" and ((spot.first == "dead" and hit.start - 1 in draft.measured) or _in_figure(hit, draft)):
        return None  # "in two minutes dead": part of the figure
    return kind


def _in_figure(hit: Hit[Sense], draft: Draft) -> bool:
    return hit.end - 1 in draft.measured and hit.end in draft.measured


def _determines(spot: Spot) -> bool:
    """Whether "that" belongs to the name behind it: "had that injector out", not "cleaned that flame's yellow"."""
    noun = spot.follower()
    if noun is None or not noun.means("component", "size") or spot.hit.end - spot.hit.start > 1:
        return False
    beyond = noun.follower()
    return spot.first == "its" or not (beyond and beyond.means("condition", "be", "not"))


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


def _once(found: list[Mention]) -> None:
    """ "Rear left, um, rear left": a place that is only said again is said once."""
    if len(found) < 3 or found[-1].kind != "place" or found[-2].kind != "mark" or found[-2].id != "pause":
        return
    if found[-3].kind == "place" and found[-3].id == found[-1].id and not found[-1].gap and not found[-2].gap:
        del found[-2:]


def _year(tokens: Sequence[Token], at: int) -> int | None:
    """Where a year ends that starts at a token ("2019", "twenty nineteen"), behind "in": the statement is of the past."""
    if at >= len(tokens) or tokens[at - 1].norm not in ("in", "since", "from"):
        return None
    if _YEAR.fullmatch(tokens[at].norm):
        return at + 1
    if tokens[at].norm == "twenty" and at + 1 < len(tokens) and tokens[at + 1].norm in _TEENS:
        return at + 2
    return None


def _theirs(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Somebody has tightened the gland so hard it won't turn": work that somebody else did, of no known day."""
    lead = [token.norm for token in tokens[max(0, hit.start - 2) : hit.start]]
    if not lead or _PAST & {token.norm for token in tokens[hit.end : hit.end + 9]}:
        return False
    return lead[-1] in _ANYBODY or (lead[-1] in ("has", "had", "have") and lead[0] in _ANYBODY | _THEM)


def _owned(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    before = [token.norm for token in tokens[max(0, hit.start - 2) : hit.start]]
    return before[-1:] in (["i"], ["we"]) or before in (["had", "to"], ["with", "a"])


def _many(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether a name in s is a plural: no apostrophe where others have one, or "are" and the like beside it."""
    last = tokens[hit.end - 1]
    plural = any(sense.note.endswith("s") for sense in hit.values) or last.norm in ("burners", "rings")
    if not plural or last.clitic:
        return False
    row = any(sense.kind == "place" and sense.id in ("front", "rear") for sense in hit.values)
    if row and last.norm in ("burners", "rings"):
        return True  # "the back burners": both of them
    around = {tokens[i].norm for i in (hit.start - 1, hit.end) if 0 <= i < len(tokens)}
    nearby = tokens[max(0, hit.start - 40) : hit.end + 40]
    return bool(around & {"are", "were", "both", "all", "these", "those", "arent", "have"}) or any(
        t.clitic for t in nearby
    )


def _numeric(hit: Hit[Sense], draft: Draft) -> bool:
    """Whether a correction stands beside a figure: then the reading is meant."""
    return hit.end in draft.measured or hit.start - 1 in draft.measured


def _mention(kind: str, hit: Hit[Sense], last: int, tokens: Sequence[Token]) -> Mention:
    mine = tuple(sense for sense in hit.values if sense.kind == kind) or hit.values
    other = tuple(sense for sense in hit.values if sense.kind not in (kind, "nothing"))
    between = range(min(last, hit.start), hit.start)
    pause = max(
        (tokens[i].pause for i in range(max(min(last, hit.start) - 1, 0), hit.start)), key=" ,.".find, default=""
    )
    end = hit.end if not hit.slot else hit.slot[0]
    led = kind == "place" and tokens[hit.start].norm in _PREPOSITIONS
    return Mention(
        kind,
        hit.start,
        end,
        mine,
        other,
        pause if hit.start else "",
        len(between),
        led,
        tokens[end - 1].norm,
        tokens[hit.start].norm,
        _owned(hit, tokens) or (kind == "work" and narrated(tokens, hit.end)),
        kind == "work" and _theirs(hit, tokens),
        kind in ("component", "place") and _many(hit, tokens),
        tokens[hit.end - 1].clitic and not hit.slot,
        crowd=any(tokens[i].norm in _CROWD for i in range(hit.start, hit.end)),
        closing=mine[0].id in _ANSWERS or (kind == "report" and _closing(hit.end, tokens)),
    )


def _closing(end: int, tokens: Sequence[Token]) -> bool:
    """Whether words of telling that end here close what was told: "it clicks she says but I", "it clicks, she says."."""
    if end >= len(tokens) or tokens[end - 1].pause:
        return True
    of_me = end + 1 < len(tokens) and tokens[end + 1].norm in _TOLD_OF_ME
    return tokens[end].norm in _NOT_TOLD and not (tokens[end].norm in ("i", "we") and of_me)
