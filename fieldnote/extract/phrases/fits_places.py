"""Whether words for places, sizes and numbers mean a place here. In: a phrase with its neighbours. Out: yes or no.

Not allowed to know: what was said before in the talk.
"""

from fieldnote.extract.phrases.spot import Spot
from fieldnote.extract.words.lexicon import Sense, lexicon
from fieldnote.extract.words.matcher import Hit
from fieldnote.extract.words.symptoms import AT_BURNER

_ENDS = frozenset({"side", "end"})
_CLOSE_BY = frozenset("near nearest beside towards toward facing opposite against by".split())
_LEFT = frozenset("it them that him her".split())
_SO = frozenset("for as be alone at how till until where with and so off on running going out to".split())
_HEIGHTS = frozenset("top bottom upper lower near far behind hind fore".split())
WANTED = frozenset("needs need wants to on ordered is coming".split())
_ARTICLES = frozenset({"the", "its", "their"})
_RINGS = frozenset({"burner", "ring", "one"})
OPENINGS = frozenset("hole holes slot slots port ports".split())
_NAMED = 6  # words from a part to "in the middle"
_IN_A_ROW_OF = frozenset({"radiant", "fuel-bed", "pan-support"})  # of which there are several in one appliance
_WEARING = frozenset("worn burnt corroded broken damaged distorted".split())
_MIDDLES = frozenset("middle centre".split())
# what is said of a burner, and of no spot on it: "missing in the middle"
_WHERE_IT_IS = frozenset("missing ok no-spark weak-spark not-lighting not-holding dead passed noisy".split())
_EDGES = frozenset("edge edges rim lip run side wall".split())
BEING = frozenset("is was are were has isnt wasnt hasnt wont looks seems needs ones one".split())
_DOING = frozenset("wont isnt doesnt didnt wouldnt keeps needs wants is was has hasnt drops goes cuts lights".split())
_FAR = 60  # words between "left" and "right" where each heads what is said of it
_TWO = 40  # words in which the left one and the right one are told
_IN_A_ROW = 10  # words in which the left and the right of a row are told
_IN_THE_ROW = frozenset("left right middle centre".split())
_ROW = frozenset("row pair burners rings ones two".split())
_COMING = frozenset("im come comes coming came get gets hes shes theyre".split())
_ROWS = frozenset("fronts backs rears".split())
_OF_SEVERAL = frozenset("are were both all dont do wont havent have".split())


def beside_it(spot: Spot) -> bool:
    """ "Burnt through on the grill side", "scorched next to the oven": at which side of a part, and no other appliance."""
    lead = [token.norm for token in spot.tokens[max(0, spot.hit.start - 3) : spot.hit.start]]
    if spot.tokens[spot.hit.end - 1].norm in _ENDS:
        where = lead[-2:-1] in (["on"], ["at"], ["to"]) and 2
    else:
        where = (lead[-2:-1] and lead[-2] in _CLOSE_BY and 2) or (lead[-3:-1] == ["next", "to"] and 3)
    first = spot.hit.start - (where or 0)
    if not where or lead[-1] not in ("the", "its") or any(t.pause for t in spot.tokens[max(0, first - 1) : first + 1]):
        return False
    told = next((hit for hit in reversed(spot.hits[: spot.at]) if hit.end <= first), None)
    faults = (
        {s.id for s in told.values if s.kind == "condition"} if told is not None and first - told.end <= 1 else set()
    )
    fault = bool(faults) and "leaking" not in faults  # "a smell of gas by the boiler"
    return fault and not spot.followed_by("component", "condition", "place", "size")


def is_place(spot: Spot) -> bool:
    """Whether "right", "top", "all" and the like are a place here, and open no statement."""
    if spot.first == "right" and spot.single and _before_a_corner(spot):
        return False
    if spot.first == "right" and _beyond_one(spot) in WANTED and wrong_before(spot):
        return False  # "somebody's fitted the wrong jet, right one needs ordering"
    if _down_its_back(spot) or _how_far(spot) or _in_its_middle(spot):
        return False
    if in_its_row(spot) or _other_row(spot):
        return True
    if _left_of_two(spot) or _heading_of_two(spot) or spot.of_two_ovens:
        return True
    if spot.single and spot.first in _ROWS and not spot.tokens[spot.hit.start].clitic:
        opens = begins(spot, spot.hit.start) and spot.followed_by("same")
        return opens or spot.before == "the" or spot.beyond in _OF_SEVERAL or spot.followed_by("condition")
    behind = spot.behind()
    worked = behind is not None and behind.means("work") and spot.beyond in ("one", "ones", "un")
    worked = worked or (
        spot.tokens[spot.hit.end - 1].norm in ("one", "ones") and behind is not None and behind.means("work")
    )
    if spot.first == "right" and worked and wrong_before(spot):
        return False  # "it's the wrong jet, fitted the right one"
    if spot.first == "left" and spot.single and _remains(spot):
        return False
    if _leaves_it(spot) or _came_off_the_back(spot) or _comes_back(spot):
        return False
    if spot.first in ("top", "bottom", "upper", "lower") and _of_ovens(spot):
        return False  # "double oven: top one's fine"
    if any(sense.note.startswith("strong") for sense in spot.senses("place")):
        return True
    if spot.first == "behind" and spot.single and spot.followed_by("place", "component", "det", "size"):
        return False  # "the switch behind the front right knob"
    if spot.first in _HEIGHTS and spot.single and on_no_burner(spot):
        return False  # "the bottom hinge has dropped"
    if _opens_talk(spot):
        return False
    after = spot.follower()
    if any(sense.id in ("others", "all") for sense in spot.senses("place")):
        each = spot.first in ("every", "each")  # "every tap", "all taps"
        if spot.first in ("four", "4") and spot.single and not _the_four(spot):
            return False  # "hob, four burners", "two of the four caps"
        if spot.first == "all" and _of_several_at_burners(spot):
            return True
        return any(each or name.note.endswith("s") for name in _part_next(spot))
    if after and after.means("component", "size", "one", "place") and (spot.before != "a" or after.means("component")):
        return not after.means("mark")
    if _completes(spot) or _and_right(spot):
        return True
    return spot.first not in _HEIGHTS and _led(spot) and _place_ends(spot)


def _other_row(spot: Spot) -> bool:
    """ "Left side: front fine, back no spark": the row beside one of which something was just said."""
    told = spot.behind()
    row = told.behind() if told is not None and told.means("condition") else None
    last = spot.tokens[row.hit.end - 1].norm.removesuffix("s") if row is not None and row.means("place") else ""
    return spot.single and spot.first == "back" and last == "front" and spot.followed_by("condition", "not", "same")


def _down_its_back(spot: Spot) -> bool:
    """ "Knob's split down the back", "chipped up the left side": where on the part it is, and nowhere on the appliance."""
    led = [token.norm for token in spot.tokens[max(0, spot.hit.start - 2) : spot.hit.start]]
    behind = spot.behind()
    said = behind.behind() if behind is not None else None
    fault = said is not None and said.means("condition") and not said.pause
    if fault and led == ["in", "the"]:  # "the cap's dished in the middle"
        return spot.single and spot.first in _MIDDLES
    return (
        fault
        and led in (["down", "the"], ["up", "the"], ["down", "one"], ["up", "one"])
        and "-" not in "".join(sense.id for sense in spot.senses("place"))
    )


def _in_its_middle(spot: Spot) -> bool:
    """ "The oven burner was sooted in the middle": a spot on a part, whichever way its words are cut."""
    end, start = spot.hit.end, spot.hit.end - len(("in", "the", "middle"))
    words = [token.norm for token in spot.tokens[max(0, start) : end]]
    if words[:-1] != ["in", "the"] or words[-1] not in _MIDDLES or spot.followed_by("component", "one", "size"):
        return False
    said = next((hit for hit in reversed(spot.hits[: spot.at]) if hit.end <= start), None)
    lately = [hit for hit in spot.hits[: spot.at] if start - hit.end <= _NAMED]
    if any(sense.id in _IN_A_ROW_OF for hit in lately for sense in hit.values if sense.kind == "component"):
        return False  # "radiants, one cracked in the middle"
    told = [sense.id for sense in said.values if sense.kind == "condition"] if said and said.end == start else []
    return bool(told) and not _WHERE_IT_IS & set(told) and not (said and spot.tokens[said.end - 1].pause)


def _how_far(spot: Spot) -> bool:
    """ "The electrode was worn right back", "burnt right back": how far it has gone, where nothing is said of a place."""
    said = spot.behind()
    own = [token.norm for token in spot.tokens[spot.hit.start : spot.hit.end]]
    if own == ["back"] and spot.before == "right":
        said, own = Spot(spot.hits[spot.at - 1], spot.at - 1, spot.hits, spot.tokens).behind(), ["right", "back"]
    if own != ["right", "back"] or said is None or said.pause:
        return False
    worn = any(sense.id in _WEARING for sense in said.senses("condition")) or said.first == "bent"
    return worn and not spot.followed_by("component", "condition", "be", "one", "size", "det", "pronoun")


def along_its_ports(spot: Spot) -> bool:
    """ "Rusted along the back row of ports", "blocked along the front edge": where on a burner it is."""
    row = [token.norm for token in spot.tokens[spot.hit.end : spot.hit.end + 3]]
    if spot.first not in ("along", "across") or spot.pause or not row:
        return False
    return row[0] in _EDGES or (row[0] in ("of", "row") and bool(OPENINGS & set(row)))


def _before_a_corner(spot: Spot) -> bool:
    """ "Right front left cap's cracked": the word that opens what is said, before the corner that it is said of."""
    corner, behind = spot.follower(), spot.behind()
    named = corner is not None and any("-" in sense.id for sense in corner.senses("place"))
    return named and (behind is None or not behind.means("place", "det", "prep", "group"))


def _left_of_two(spot: Spot) -> bool:
    """ "Left won't stay lit, needs a thermocouple", "... right's fine": the one of two that a sentence begins with."""
    start = spot.hit.start
    clitic = spot.tokens[spot.hit.end - 1].clitic
    side = spot.first.removesuffix("s") if clitic else spot.first
    if side == "right" and clitic and _left_heard(spot):
        return True
    if side not in ("left", "right") or not spot.single or not begins(spot, start):
        return False
    if spot.pause:
        return side == "left" and spot.pause == "," and _right_later(spot)
    if _next_in_row(spot):
        return True
    told = clitic or spot.beyond in _DOING
    if side == "left":
        return told
    before = range(max(0, start - _TWO), start)
    return told and any(spot.tokens[at].norm in ("left", "lefts") and begins(spot, at) for at in before)


def _left_heard(spot: Spot) -> bool:
    """ "Left flame's all yellow and feathery right's tidy": the other side was spoken of, and no mark parts them."""
    before = spot.tokens[max(0, spot.hit.start - _FAR) : spot.hit.start]
    sides = [at for at, token in enumerate(before) if token.norm in ("left", "lefts")]
    alone = any(not at or before[at - 1].norm not in ("front", "rear", "back", "top", "bottom") for at in sides)
    return alone and not spot.pause and spot.followed_by("condition", "not", "work")


def _right_later(spot: Spot) -> bool:
    """ "Left, flame's all yellow. Right's tidy": whether a later sentence begins with the other side."""
    later = range(spot.hit.end, min(len(spot.tokens), spot.hit.end + _TWO))
    return any(
        spot.tokens[at].norm.removesuffix("s") == "right"
        and spot.tokens[at - 1].pause == "."
        and (spot.tokens[at].clitic or spot.tokens[at].pause == ",")
        for at in later
    )


def _heading_of_two(spot: Spot) -> bool:
    """ "Left: cap's missing. Right: flame's weak": each of two heads its sentence by itself."""
    start = spot.hit.start
    if spot.first not in ("left", "right") or not spot.single or not _heads(spot, start):
        return False
    other = {"left": "right", "right": "left"}[spot.first]
    around = range(max(0, start - _FAR), start) if spot.first == "right" else range(start + 1, start + _FAR)
    return any(at < len(spot.tokens) and spot.tokens[at].norm == other and _heads(spot, at) for at in around)


def _heads(spot: Spot, at: int) -> bool:
    """Whether a word stands by itself at the head of a sentence."""
    return (at == 0 or spot.tokens[at - 1].pause == ".") and bool(spot.tokens[at].pause)


def _next_in_row(spot: Spot) -> bool:
    """ "Left radiant cracked. Middle fine. Right fine.": what begins a sentence, as the other sides began the last ones."""
    if not spot.followed_by("condition"):
        return False
    before = range(max(0, spot.hit.start - _IN_A_ROW), spot.hit.start)
    others = _IN_THE_ROW - {spot.first}
    return any(spot.tokens[at].norm in others and begins(spot, at) for at in before)


def begins(spot: Spot, at: int) -> bool:
    return at == 0 or spot.tokens[at - 1].pause != ""


def _part_next(spot: Spot) -> list[Sense]:
    """The part of which all are meant ("every tap on this", "all the caps", "each of the injectors"): the name behind, its
    article passed over, and what goes on behind it left out."""
    at = spot.hit.end
    if spot.pause or at >= len(spot.tokens):
        return []
    several = spot.tokens[at].norm == "the" and at + 1 < len(spot.tokens)
    hits = (lexicon().at(spot.tokens, at + several, end) for end in (None, at + several + 2, at + several + 1))
    of_one = [
        hit for hit in hits if hit and not (several and spot.tokens[hit.end - 1].clitic)
    ]  # "and all the pointer's off"
    names = [sense for hit in of_one for sense in hit.values if sense.kind == "component"]
    return [name for name in names if name.note.endswith("s")] if several else names


def _and_right(spot: Spot) -> bool:
    """ "Middle and right are fine": the second of two places of which something is said together."""
    joint, start = spot.behind(), spot.hit.start
    first = joint.behind() if joint is not None and spot.before == "and" else None
    told = spot.beyond in ("are", "were", "both") or spot.followed_by("condition")
    sides = first is not None and first.first in ("left", "middle", "centre", "center", "mid") and first.means("place")
    return sides and spot.first == "right" and spot.single and told and not spot.tokens[start - 2].pause


def _remains(spot: Spot) -> bool:
    """ "There's one strand left back right the flame was lazy": what remains, before the corner that comes next."""
    after = spot.follower()
    corner = after is not None and not spot.pause and any("-" in sense.id for sense in after.senses("place"))
    behind = spot.behind()
    led = behind is not None and behind.means("place", "det", "and", "or", "prep", "group", "size", "component", "be")
    return corner and not led and bool(spot.before)


def _leaves_it(spot: Spot) -> bool:
    """ "It's come loose at the top left it for now": the verb, with what was left and how."""
    if spot.tokens[spot.hit.end - 1].norm != "left" or spot.pause or spot.beyond not in _LEFT:
        return False
    at = spot.hit.end + 1
    return at >= len(spot.tokens) or spot.tokens[spot.hit.end].pause != "" or spot.tokens[at].norm in _SO


def _came_off_the_back(spot: Spot) -> bool:
    """ "The wire had come off the back, pushed it on": where on the part, not which burner."""
    lead = [token.norm for token in spot.tokens[max(0, spot.hit.start - 2) : spot.hit.start]]
    if not spot.single or spot.first != "back" or lead not in (["off", "the"], ["out", "the"], ["down", "the"]):
        return False
    after = spot.follower()
    return bool(spot.pause) or after is None or not after.means("component", "one", "size", "place", "group", "be")


def _comes_back(spot: Spot) -> bool:
    """ "I'll fit it tomorrow when I'm back wok one burns lovely": who comes back, before what is told next."""
    return spot.single and spot.first == "back" and spot.before in _COMING


def _runs_round(spot: Spot) -> bool:
    """Whether "all round" tells where something runs: round what is named behind it, which is no hob."""
    if spot.tokens[spot.hit.end - 1].norm not in ("round", "around") or spot.pause or spot.beyond not in _ARTICLES:
        return False
    noun = spot.tokens[spot.hit.end + 1].norm if spot.hit.end + 1 < len(spot.tokens) else ""
    return noun not in ("hob", "top", "burners", "rings", "board")


def _beyond_one(spot: Spot) -> str:
    """The word behind, "one" and "ones" passed over."""
    if not spot.single or spot.beyond not in ("one", "ones", "un") or spot.hit.end + 1 >= len(spot.tokens):
        return spot.beyond
    return spot.tokens[spot.hit.end + 1].norm


def wrong_before(spot: Spot) -> bool:
    """Whether "wrong" was said within eight words before: "right" is its opposite then."""
    return any(spot.tokens[i].norm == "wrong" for i in range(max(0, spot.hit.start - 8), spot.hit.start))


def _the_four(spot: Spot) -> bool:
    """ "The four caps", "none of the four taps": all of them."""
    before = [token.norm for token in spot.tokens[max(0, spot.hit.start - 3) : spot.hit.start]]
    return before[-1:] == ["the"] and (before[-2:-1] != ["of"] or before[:1] == ["none"])


def _of_several_at_burners(spot: Spot) -> bool:
    """Whether "all" goes with a plural right before it and a verdict right behind ("caps all fine", "taps are all stiff")."""
    behind = spot.behind()
    if behind is not None and behind.means("be"):
        behind = behind.behind()
    for kind in ("appliance", "det", "prep"):  # "four burners on the hob, all lighting"
        if behind is not None and behind.means(kind) and not behind.means("component"):
            behind = behind.behind()
    plural = behind is not None and any(
        sense.note.endswith("s") and sense.id in AT_BURNER for sense in behind.senses("component")
    )
    if behind is not None and spot.tokens[behind.hit.end - 1].clitic:
        return False  # "burner's all clean": one, and all of it
    return plural and spot.followed_by("condition")


def on_no_burner(spot: Spot) -> bool:
    """Whether the part behind is none that sits at a burner: its top and bottom are no places on a hob."""
    after = spot.follower()
    names = after.senses("component") if after else []
    return bool(names) and not any(name.id in AT_BURNER or name.id == "pan-support" for name in names)


def _of_ovens(spot: Spot) -> bool:
    """Whether "the top one" is one of two ovens: an oven was the last appliance named, and no corner since."""
    if any("-" in sense.id for sense in spot.senses("place")):
        return False
    for at in range(spot.at - 1, max(spot.at - 12, -1), -1):
        values = spot.hits[at].values
        if any(sense.kind == "place" and "-" in sense.id for sense in values):
            return False
        if any(sense.kind == "appliance" or (sense.kind == "size" and sense.id == "oven") for sense in values):
            return any(sense.id in ("oven", "grill") for sense in values)
    return False


def _led(spot: Spot) -> bool:
    behind = spot.behind(1)
    return spot.before in ("the", "on", "at", "both", "other") or (
        behind is not None and behind.means("place", "group")
    )


def _place_ends(spot: Spot) -> bool:
    return spot.beyond in BEING or spot.followed_by("condition", "be", "and", "work") or spot.pause != ""


def _completes(spot: Spot) -> bool:
    """Whether "front" or "rear" stands right before, so that "left" completes it."""
    behind = spot.behind()
    return behind is not None and any(sense.id in ("front", "rear") for sense in behind.senses("place"))


def _opens_talk(spot: Spot) -> bool:
    """Whether "right" opens a statement ("right vessel's weak"): no place or article before it, no full stop either."""
    if spot.first != "right" or not spot.single or spot.followed_by("one"):
        return False
    start = spot.hit.start
    if start == 0 or spot.tokens[start - 1].pause == ".":
        return not any(token.pause for token in spot.tokens[start : start + 30])
    behind = spot.behind()
    if spot.beyond in ("oven", "ovens") and _left_before(spot):
        return False  # "left oven seal torn, right oven fine"
    if _told_on_the_left(spot):
        return False
    if spot.followed_by("component") and any(
        _bare_left(hit, spot) for hit in spot.hits[max(0, spot.at - 40) : spot.at]
    ):
        after = spot.follower()
        # "right ring's fine"
        return after is None or not any(sense.id == "burner" for sense in after.senses("component"))
    return behind is None or not behind.means("det", "place", "prep", "group", "and", "or", "size")


def in_its_row(spot: Spot) -> bool:
    """ "Front row: left fine, right not lighting": a row is told from left to right."""
    start = spot.hit.start
    lead = [token.norm for token in spot.tokens[max(0, start - _IN_A_ROW) : start]]
    if spot.first == "right" and "left" in lead:
        lead = lead[: len(lead) - 1 - lead[::-1].index("left")]
    elif spot.first != "left":
        return False
    return lead[-1:] != [] and lead[-1] in _ROW and bool({"front", "back", "rear"} & set(lead[-3:-1]))


def _told_on_the_left(spot: Spot) -> bool:
    """ "Left electrode ok, right electrode cracked": the part behind "right" was spoken of on the left."""
    if not spot.followed_by("component") or spot.pause:
        return False
    start = spot.hit.start
    words = [token.norm for token in spot.tokens[max(0, start - 10) : start]]
    beside = words.index("left") if "left" in words else None
    return beside is not None and words[beside + 1 : beside + 2] == [spot.beyond]


def says_how(spot: Spot) -> bool:
    """Whether "all round" closes what was said of one burner ("lights all round now"), and names no place."""
    if spot.first == "right" and spot.tokens[spot.hit.end - 1].norm in ("across", "along"):
        said = spot.behind(1)
        fault = said is not None and any(sense.id != "ok" for sense in said.senses("condition"))
        ends = fault or bool(spot.pause) or spot.beyond not in _ARTICLES
        return ends and said is not None and said.means("condition")  # "flame's even right across"
    if spot.first != "all" or spot.tokens[spot.hit.end - 1].norm not in ("round", "around"):
        return False
    if _runs_round(spot):
        return True
    behind = spot.behind(1)
    fault = behind is not None and any(sense.id != "ok" for sense in behind.senses("condition"))
    lit = behind is not None and behind.single and behind.first in ("lights", "lighting", "lit")
    done = behind is not None and behind.means("work", "cured", "outcome")
    return fault or lit or done  # "flame good all round": at all of them


def _left_before(spot: Spot) -> bool:
    """Whether the left one of what follows was spoken of before."""
    words = [token.norm.removesuffix("s") for token in spot.tokens[max(0, spot.hit.start - 80) : spot.hit.start]]
    what = spot.beyond.removesuffix("s")  # "left oven won't stay lit, right oven's fine"
    return any(
        one == "left" and (then == what or (then == "hand" and after == what))
        for one, then, after in zip(words, words[1:], [*words[2:], ""], strict=False)
    )


def _bare_left(hit: Hit[Sense], spot: Spot) -> bool:
    return hit.end - hit.start == 1 and spot.tokens[hit.start].norm == "left" and spot.tokens[hit.end].norm in _RINGS
