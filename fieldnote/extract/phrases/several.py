"""Whether several burners or parts are named, of which a verb in the plural is said. In: a phrase with its neighbours.
Out: yes or no. Not allowed to know: what was said before in the talk.
"""

from fieldnote.extract.phrases.spot import Spot


def several_before(spot: Spot) -> bool:
    """Whether several are spoken of right before: "the pan supports wobble", "both light", "the back two stick"."""
    behind = spot.behind()
    if behind is None:
        return False
    many = any(sense.note.endswith("s") for sense in behind.senses("component"))
    left_out = behind.behind() if behind.means("place", "size") else None
    if left_out is not None and left_out.means("det"):
        left_out = left_out.behind()
    if left_out is not None and left_out.means("except"):
        return True  # "all but the front left hold in"
    they = behind.means("them") and behind.first.startswith(("they", "both", "all", "each"))
    return many or they or behind.means("group") or several_burners(behind)


def several_places(last: Spot) -> bool:
    """Whether several burners are named by their places: "front left and rear right", "all the others"."""
    if any(sense.id in ("others", "all") for sense in last.senses("place")):
        return True
    and_ = last.behind() if last.means("place") else None
    first = and_.behind() if and_ is not None and and_.means("and") else None
    return first is not None and first.means("place")


def several_burners(spot: Spot) -> bool:
    """ "All of them", "the front burners": a place that several burners are at."""
    last = spot.tokens[spot.hit.end - 1].norm
    rows = last in ("burners", "rings", "ones")
    return spot.means("place") and (rows or any(sense.id == "all" for sense in spot.senses("place")))
