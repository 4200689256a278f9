"""Whether words for sizes, numbers and several at once mean burners here. In: a phrase with its neighbours. Out: yes or no.

Not allowed to know: what was said before in the talk.
"""

from fieldnote.extract.phrases.corners import corner_at
from fieldnote.extract.phrases.fits_places import BEING, OPENINGS, begins, on_no_burner
from fieldnote.extract.phrases.spot import Spot
from fieldnote.extract.words.lexicon import FUNCTION
from fieldnote.extract.words.symptoms import AT_BURNER

_BITS = frozenset("seal seals rubber rubbers spring springs clip clips washer washers wire wires brush".split())
_SMALLNESS = frozenset("little small big large wee".split())
# parts that are little by themselves, so that "wee" tells of no burner
_LITTLE = frozenset({"ht-lead", "magnet-unit", "low-rate-screw", "tap-spindle", "fsd", "thermocouple", "electrode"})
_SIMMERING = frozenset("itll will to ll wont would wouldnt can cant it theyll they doesnt shell".split())
_LIGHTING = frozenset("light lit lights work working fire spark burn burning going hold".split())
_FIXINGS = frozenset("screws bolts nuts clips pins springs washers rivets".split())
_SCALES = frozenset("dial knob control gauge display probe thermometer".split())
_TENS = frozenset(
    "ten fifteen twenty thirty forty fifty sixty seventy eighty ninety hundred one two three four five six seven eight nine "
    "degrees".split()
)
_SMALL_ANYHOW = frozenset("magnet-unit low-rate-screw tap-seal fuse pilot flame-sensor joint".split())


def small_anyhow(spot: Spot) -> bool:
    """Whether a part that is always small follows ("the wee magnet")."""
    piece = spot.follower()
    ids = {sense.id for sense in piece.senses("component")} if piece is not None else set()
    return bool(ids) and ids <= _SMALL_ANYHOW


_OF_TWO = 45  # words from "two ovens" to "the small one"


def of_the_ovens(spot: Spot) -> bool:
    """ "Two ovens on this, the big one's thermostat is out": which of the ovens, and no size of a burner."""
    if spot.tokens[spot.hit.end - 1].norm not in ("one", "ones"):
        return False
    lately = [token.norm for token in spot.tokens[max(0, spot.hit.start - _OF_TWO) : spot.hit.start]]
    at = next((at for at in range(len(lately) - 1, -1, -1) if lately[at] in ("ovens", "oven")), None)
    several = at is not None and "ovens" in lately
    return several and not {"hob", "ring", "rings", "hotplate", "burners", "top", "front", "rear", "back"} & set(
        lately[at:]
    )


def is_size(spot: Spot) -> bool:
    """Whether "small", "medium" and the like say which burner is meant."""
    if any(sense.note.startswith("strong") for sense in spot.senses("size")):
        return True
    if spot.first == "simmer" and spot.before in _SIMMERING:
        return False  # "turned it down and it'll simmer"
    if spot.single and spot.first in ("mediums", "smalls", "bigs", "larges", "simmers"):
        return True
    if spot.means("appliance"):
        return False  # oven and grill are appliances first; the reader takes the burner from there
    if spot.single and spot.pause == "," and begins(spot, spot.hit.start) and corner_at(spot.hit.end, spot.tokens):
        return True  # "Medium, rear right: nothing to report": size and corner head what is told
    if spot.first in _SMALLNESS and (on_no_burner(spot) or spot.beyond in OPENINGS | _BITS):
        return False  # "the little trap", "all the little slots": no size of a burner
    piece = spot.follower()
    whole = {s.id for s in piece.senses("appliance")} if piece is not None and spot.first in _SMALLNESS else set()
    if whole - {"oven", "grill"}:
        return False  # "the wee fire in the good room", "little cooker in the flat"
    ids = {s.id for s in piece.senses("component")} if piece is not None and spot.first in ("wee", "little") else set()
    if _LITTLE & ids or (spot.first == "wee" and ids and not ids & {"burner", "flame"}):
        return False  # "the wee lead had come off", "the little magnet in the tap", "the wee tube below it"
    named = piece is not None and piece.means("component") and spot.first in _SMALLNESS
    placed = piece is not None and piece.followed_by("place") and not piece.followed_by("size")
    if piece is not None and named and placed and not any(s.id == "burner" for s in piece.senses("component")):
        return False  # "little nozzle right rear is blocked": where it is tells which
    if named and small_anyhow(spot):
        return False  # "the wee magnet"
    if piece is not None and named and all(sense.note.startswith("part") for sense in piece.senses("component")):
        return False  # "one of the little teeth on the crown": the size of a piece
    if spot.followed_by("component", "one", "place") or (spot.beyond == "one" and spot.followed_by("group")):
        return True  # "the small one behind it"
    behind = spot.behind()
    if (
        behind is not None
        and behind.means("place")
        and (spot.pause or spot.followed_by("condition", "be", "and", "also"))
    ):
        return True  # "front right medium ok", "rear right medium and all"
    after = spot.follower()
    fault = after is not None and after.means("condition") and not any(s.id == "ok" for s in after.senses("condition"))
    told = (
        bool(spot.pause)
        or not spot.beyond
        or spot.followed_by("be", "condition", "and", "work", "need", "not", "now", "size")
    )
    if spot.first in _SMALLNESS and spot.before == "the" and not told:
        return False  # "the wee flat above the shop"
    return spot.before == "other" or (spot.before == "the" and not fault)


def counts_unknown(spot: Spot) -> bool:
    """ "Both bolts", "the two screws": two of what nobody knows, not the two that were spoken of."""
    words = [token.norm for token in spot.tokens[spot.hit.start : spot.hit.end]]
    if (
        (words != ["both"] and words[-1] != "two")
        or len(words) > 2
        or spot.pause
        or not spot.beyond
        or spot.beyond in FUNCTION
    ):
        return False
    return spot.follower() is None or spot.beyond in _FIXINGS


def is_group(spot: Spot) -> bool:
    """ "The one behind it", "the knob behind it": a place; "the spring behind it" is none."""
    if (
        spot.first == "the"
        and spot.before
        and spot.tokens[spot.hit.end - 1].norm in ("two", "three")
        and _faulty_named(spot)
    ):
        return False  # "tightened the two loose knobs"
    several = any(" " in sense.id for sense in spot.senses("group"))
    if several and spot.tokens[spot.hit.end - 1].clitic and spot.tokens[spot.hit.end - 1].norm == "ones":
        return False  # "the outer one's not lighting"
    if spot.first == "rest" and not spot.single and spot.tokens[spot.hit.start + 1].norm == "of":
        named = spot.tokens[spot.hit.end - 1].norm in ("them", "em") or spot.followed_by("component")
        return named and spot.before not in ("pan", "pot", "a", "for", "his")  # "rest of the caps are OK"
    last = spot.tokens[spot.hit.end - 1]
    if last.norm == "outers" and last.clitic:
        return False  # "inner ring warped, outer's fine", "flex was trapped and the outer's split"
    if spot.hit.values and any(sense.id.startswith("first-") for sense in spot.senses("group")):
        return last.clitic or spot.pause != "" or spot.followed_by("be", "condition", "not", "cured", "outcome")
    if spot.first in ("three", "3") and spot.tokens[spot.hit.end - 1].norm in ("three", "3", "them", "em"):
        after = spot.follower()
        fit = after is not None and any(sense.id == "ok" for sense in after.senses("condition"))
        return fit and not spot.before and (not spot.single or spot.beyond in _LIGHTING)  # "three light fine"
    to = spot.first == "next" and spot.tokens[spot.hit.start + 1 : spot.hit.end][0].norm == "to"
    to = to or spot.first in ("beside", "alongside")
    if to and spot.before and not spot.followed_by("place"):
        before = spot.behind()
        # "the big one next to it", not "the electrode next to it is sound"
        return before is not None and before.means("same", "and", "one", "size")
    if spot.first == "opposite" and spot.single and not spot.followed_by("component"):
        return False  # "and opposite, the front right": where it is, told anew
    if any(token.pause for token in spot.tokens[spot.hit.start : spot.hit.end - 1]):
        return spot.first not in ("one", "two", "three", "four")  # "number two, left oven"
    if spot.first != "behind" or not spot.hit.start or spot.tokens[spot.hit.start - 1].pause:
        return True
    behind = spot.behind()
    ends = bool(spot.pause) and not (behind is not None and _of_the_pipe(behind))
    if behind is not None and behind.means("component") and not (_at_burner(behind) or ends):
        return False  # "the hose is fine but the isolation valve behind that's stiff": where it is, no other burner
    if behind is None or behind.means("now", "condition", "work"):
        return _leads_a_part(spot)
    return behind.means("component", "one", "and", "det", "size", "be", "place", "same", "mark")


def _faulty_named(spot: Spot) -> bool:
    """Whether a fault and then the name of several that have it stand right behind."""
    fault = spot.follower()
    name = fault.follower() if fault is not None and fault.means("condition") else None
    return name is not None and name.means("component") and spot.tokens[name.hit.end - 1].norm.endswith("s")


def _at_burner(part: Spot) -> bool:
    """Whether a name may be that of a part that sits at a burner."""
    names = part.senses("component")
    return any(name.id in AT_BURNER or name.id == "pan-support" for name in names)


def _of_the_pipe(part: Spot) -> bool:
    """ "It's not the tap, it's the union behind it": what stands behind many parts, and at no burner of its own."""
    return any(name.id in ("joint", "pipework", "hose", "isolation-valve") for name in part.senses("component"))


def _leads_a_part(spot: Spot) -> bool:
    """ "Order that today behind it the flame's lifting": a part that sits at a burner follows, with its article."""
    article = spot.follower()
    part = article.follower() if article is not None and article.means("det") else None
    return part is not None and any(name.id in AT_BURNER for name in part.senses("component"))


def is_which(spot: Spot) -> bool:
    """ "The stiff one", "them two dirty ones" say which part is meant, unless that is what is said ("that's the stiff one")."""
    if spot.before not in ("the", "that", "them", "those", "two", "three") or not spot.followed_by("one"):
        return False
    if spot.before in ("two", "three") and spot.beyond == "one":
        return False  # "two bent, one with no feet"
    # "the door's hanging off one hinge"
    named = any(token.clitic for token in spot.tokens[spot.hit.start : spot.hit.end])
    if named or all(sense.id == "ok" for sense in spot.senses("condition")):
        return False
    article = spot.hit.start - 1 - (spot.before in ("two", "three"))
    told = spot.tokens[article - 1] if article else None
    return told is None or bool(told.pause) or not (told.norm in BEING or told.clitic)


def only_those(only: Spot | None) -> bool:
    """ "Both front knobs cracked, no just the left one": those that are meant of those that were named."""
    if only is None or only.first not in ("just", "only"):
        return False
    article = only.follower()
    meant = article.follower() if article is not None and article.means("det") else article
    return meant is not None and meant.means("place", "group")


def all_counts_on(spot: Spot) -> bool:
    """ "Three burners on it, all three injectors": "it" and what a number counts, not "it all"."""
    counted = spot.beyond in ("two", "three", "four") and not spot.pause
    return counted and not spot.single and spot.tokens[spot.hit.end - 1].norm == "all"


def shows_a_figure(spot: Spot) -> bool:
    """ "Hundred and eighty on the dial, hundred and seventy eight on the probe": where a figure was read or set, not a part."""
    if spot.first not in _SCALES or not spot.single or spot.tokens[spot.hit.start].clitic:
        return False
    lead = [token.norm for token in spot.tokens[max(0, spot.hit.start - 3) : spot.hit.start]]
    lead = [word for word in lead if word not in ("the", "her", "his")]
    return len(lead) > 1 and lead[-1] == "on" and (lead[-2] in _TENS or lead[-2].isdigit())
