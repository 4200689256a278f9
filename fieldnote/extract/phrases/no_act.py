"""Words of work that tell of none: how a tap stands while something is heard, what was got off that was stuck.

In: a phrase with its neighbours. Out: yes or no. Not allowed to know: what was said before in the talk.
"""

from fieldnote.extract.phrases.spot import Spot

_RUNNING = frozenset("noisy lifting yellow-tipping not-holding weak".split())  # what a flame shows as its tap stands
_HOW_LOW = frozenset("right all the way down up low full high half on off".split())
_DIRT = frozenset("dirty sooted blocked partly-blocked".split())
_DIRTY_LATELY = 16  # words from "caked" to "got it off"
_FULL_OF = frozenset("of with in some".split())
_MOVED = 8  # words from "moved" to "to hoover it"
_MOVING = frozenset("moved moving took taken lifted had shifted shoved pulled".split())
_ABOUT = frozenset("about off out away up over aside round back down".split())
_OF_IT = frozenset("it the most all".split())


def runs_so(spot: Spot) -> bool:
    """ "Whistles turned down low", "lifts turned right up": how its tap stands while that is so, and no act."""
    shown = spot.behind()
    if spot.first != "turned" or shown is None or not any(s.id in _RUNNING for s in shown.senses("condition")):
        return False
    at = spot.hit.end
    while at < len(spot.tokens) and not spot.tokens[at - 1].pause and spot.tokens[at].norm in _HOW_LOW:
        at += 1
    ends = at == len(spot.tokens) or bool(spot.tokens[at - 1].pause)
    low = any(token.norm in _HOW_LOW for token in spot.tokens[spot.hit.start : at])
    return ends and low and spot.tokens[shown.hit.start - 1].norm not in ("was", "were")


def dried_on(spot: Spot) -> bool:
    """ "Full of dried cheese", "packed with dried soup": what the matter is like, and nobody dried anything."""
    return spot.first == "dried" and spot.single and spot.before in _FULL_OF and not spot.pause


def to_get_it_done(spot: Spot) -> bool:
    """ "Moved the coals about to hoover it", "had the trivets off to wash them": why somebody moved a thing, and nothing that is
    to be done to it."""
    if spot.before != "to":
        return False
    row = [token.norm for token in spot.tokens[max(0, spot.hit.start - _MOVED) : spot.hit.start - 1]]
    paused = any(token.pause for token in spot.tokens[spot.hit.start - 2 : spot.hit.start])
    return (
        bool(row)
        and not paused
        and row[-1] in _ABOUT
        and bool(_MOVING & set(row))
        and not {"needs", "need", "want", "wants"} & set(row)
    )


def gets_dirt_off(spot: Spot) -> bool:
    """ "All baked on black, took me ages but I got it off": whether what somebody got off is what a part was dirty with."""
    ends = spot.tokens[spot.hit.end - 1].norm
    if spot.first != "got" or ends not in ("off", "end") or spot.tokens[spot.hit.start + 1].norm not in _OF_IT:
        return True
    lately = [hit for hit in spot.hits[: spot.at] if spot.hit.start - hit.end <= _DIRTY_LATELY]
    return any(sense.id in _DIRT for hit in lately for sense in hit.values if sense.kind == "condition")
