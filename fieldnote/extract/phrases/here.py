"""Names that only some appliances have: what the talk is of decides. In: mentions. Out: mentions whose names can be meant.

Not allowed to know: what is said of them.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldnote.extract.phrases.mention import COOKING, HEATING, Mention
from fieldnote.extract.phrases.taking import UNNAMED
from fieldnote.extract.words.lexicon import Sense
from fieldnote.extract.words.tokens import Token
from fieldnote.trade.spoken import spoken

_OWNERS = frozenset("fire boiler hob cooker oven grill".split())
_WARMED = frozenset("radiators radiator rads heating".split())
_IN = frozenset("in with of some".split())  # "soaked in hot water"
_BUILT_IN = frozenset(
    "heat-exchanger gas-valve pressure-switch condensate-trap pump diverter-valve case-seal radiant fuel-bed "
    "expansion-vessel relief-valve flue terminal".split()
)
_PIECES = frozenset({"burner-ring", "burner-head", "burner-cap"})  # of a hob's burner; elsewhere the burner is one
_ONE_BURNER = frozenset({"oven", "grill"})  # what has a burner without crown and cap
_BEHIND_A_FIRE = frozenset({"back", "bbu", "b"})  # first words of a boiler that stands behind a fire
_FIRES_ONLY = frozenset({"fuel-bed", "radiant"})  # no kitchen has them, so that a corner beside them is theirs


def they_fire(found: list[Mention]) -> None:
    """ "All the sparkers fire", "both burners fire bar one": what they do, and no gas fire."""
    if len(found) < 2 or found[-1].kind != "appliance" or not found[-1].first == found[-1].last == "fire":
        return
    who = found[-2]
    several = (
        who.kind == "component" and who.id in ("electrode", "burner") and who.last.endswith("s") and not who.clitic
    )
    if several and not (found[-1].gap or found[-1].pause):
        does = Sense("condition", "ok", frozenset({"electrode", "burner"}))
        found[-1] = replace(found[-1], kind="condition", senses=(does,))


def a_treat(found: list[Mention]) -> None:
    """ "It sparks a treat, oven door's dropped": how it does what was said, nothing that is said of what follows."""
    does, article, treat = found[-3:] if len(found) > 2 else (None, None, None)
    if does is None or article is None or treat is None or treat.first != "treat" or article.kind != "det":
        return
    close = not any(m.gap or m.pause for m in (article, treat)) and article.first == "a"
    if close and treat.fit and (does.kind in ("outcome", "cured") or does.fit):
        found[-3:] = [replace(does, end=treat.end, last=treat.last)]


def of_what_is_here(found: list[Mention], known: str | None) -> list[Mention]:
    """Without the parts that none of the appliances in talk has, where all of them cook or none does."""
    here = {mention.id for mention in found if mention.kind == "appliance"} | ({known} if known else set())
    here |= {mention.first for mention in found if mention.kind == "component" and mention.first in _OWNERS}
    if any(m.kind == "component" and m.strong and m.id in _FIRES_ONLY for m in found) and not here & COOKING:
        here.add("fire")
    if any(m.kind == "appliance" and m.id == "boiler" and m.first in _BEHIND_A_FIRE for m in found):
        here.add("fire")  # "back boiler, closure plate refitted"
    corner = _at_a_corner(found)
    if not here and not corner:
        here = _heaters(found)
    others = here - COOKING - {"installation"}
    if others and not here & COOKING:
        here |= _unnamed(found, here)
    if others and (corner or here & COOKING):
        return found
    if not here and not corner:
        return found
    one_burner = here - {"installation"} <= _ONE_BURNER and not corner and not _of_several(found)
    here |= {"installation"} | (COOKING if corner or here & COOKING else set())
    kept: list[Mention] = []
    dropped, pause = 0, ""
    for mention in found:
        if mention.kind == "component":
            plain = here & COOKING and not corner and mention.strong  # its heater may have gone unnamed
            senses = tuple(s for s in mention.senses if plain or s.id == "appliance" or here & spoken().found_at(s.id))
            senses = tuple(s for s in senses if s.id == "appliance" or here & spoken().found_at(s.id)) or senses
            if not senses and not here & COOKING and mention.strong:
                senses = tuple(s._replace(id="burner") for s in mention.senses if s.id in _PIECES)
            if one_burner:
                senses = tuple(s._replace(id="burner") if s.id in _PIECES else s for s in senses)
            if not senses:
                dropped += mention.gap + mention.end - mention.start
                pause = max(pause, mention.pause, key=" ,.".find)
                continue
            mention = replace(mention, senses=senses)
        paused = max(pause, mention.pause, key=" ,.".find)
        kept.append(replace(mention, gap=mention.gap + dropped, pause=paused) if dropped else mention)
        dropped, pause = 0, ""
    return kept


def _heaters(found: Sequence[Mention]) -> set[str]:
    """What warms rooms or water and has the parts that are named, where one is named that nothing else has."""
    parts = {m.id for m in found if m.kind == "component" and m.strong and m.id in _BUILT_IN}
    own = [of for id_ in parts if (of := spoken().found_at(id_) - {"installation"}) <= HEATING]
    return (set(frozenset.intersection(*own)) or HEATING) if own else set()


def _unnamed(found: Sequence[Mention], here: set[str]) -> set[str]:
    """ "The diverter's stuck ... and her fire clicks": the heater that alone has a part that is named before anybody names it."""
    parts = {m.id for m in found if m.kind == "component" and m.strong and m.id in _BUILT_IN}
    own = [spoken().found_at(id_) - {"installation"} for id_ in parts]
    return {id_ for of in own if len(of) == 1 and of <= HEATING and not of & here for id_ in of}


def warms(tokens: Sequence[Token], found: Sequence[Mention]) -> bool:
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


def implied(found: Sequence[Mention]) -> str | None:
    """The appliance, where none is named and a part is that nothing else has."""
    if _at_a_corner(found) or any(m.kind in ("appliance", "next-appliance") or m.first in _OWNERS for m in found):
        return None
    here = _heaters(found)
    return here.pop() if len(here) == 1 else None


def _at_a_corner(found: Sequence[Mention]) -> bool:
    return any(mention.kind == "place" and "-" in mention.id for mention in found)


def _of_several(found: Sequence[Mention]) -> bool:
    """Whether caps or crowns of several burners are spoken of, as no oven has them."""
    pieces = [m for m in found if m.kind == "component" and m.id in _PIECES and not m.senses[0].note.startswith("part")]
    counted = any(_counts_burners(mention) for mention in found)
    return any(m.many or (counted and m.plural and m.last.endswith("s") and not m.clitic) for m in pieces)


def _counts_burners(mention: Mention) -> bool:
    return (mention.kind in ("group", "place") and mention.id == "all") or (
        mention.kind == "group" and "-" in mention.id
    )


def possible(found: list[Mention]) -> list[Mention]:
    """Without the wordings that are limited to parts of which nobody speaks here ("flat" with no vessel near)."""
    parts = [
        (i, {s.id for s in m.senses} if m.kind == "component" else {"door"})
        for i, m in enumerate(found)
        if m.kind == "component" or m.id in ("oven", "grill")
    ]
    kept: list[Mention] = []
    at = dropped = 0
    pause = ""
    for i, mention in enumerate(found):
        while at < len(parts) and parts[at][0] < i:
            at += 1
        near = {id_ for _, ids in parts[max(0, at - 5) : at + 2] for id_ in ids} | UNNAMED
        said = found[i - 1 - (i > 1 and found[i - 1].kind in ("be", "not"))] if i else None
        if (
            (said is not None and said.kind == "component" and said.strong and not mention.pause)
            or (said is not None and said.kind in ("pronoun", "them") and mention.fit)  # "and it holds"
            or mention.kind != "condition"
            or any(sense.of is None or sense.note == "alone" or sense.of & near for sense in mention.senses)
        ):
            paused = max(pause, mention.pause, key=" ,.".find)
            kept.append(replace(mention, gap=mention.gap + dropped, pause=paused) if dropped else mention)
            dropped, pause = 0, ""
        else:
            dropped += mention.gap + mention.end - mention.start
            pause = max(pause, mention.pause, key=" ,.".find)
    return kept
