"""Whether "off" is what is wrong with a part, and not where something came from. In: a phrase with its neighbours.
Out: yes or no. Not allowed to know: what was said before in the talk.
"""

from fieldnote.extract.phrases.spot import Spot

# what "off" leads to
_OFF_FROM = ("det", "component", "place", "size", "group", "one", "pronoun", "them", "appliance", "work", "condition")
_LIES_LOOSE = frozenset("knob burner-cap burner-ring ht-lead".split())
_IS = frozenset("is are was were".split())
_LED = frozenset("the a that this his her its their".split())
_RELATING = frozenset("that thats which what whats".split())
_OFF_WHAT = frozenset("position mark setting stop limits the a an its it of to centre load".split())


def _off_another(spot: Spot) -> bool:
    """ "The lead's off the spark box": what a part that hangs on another has come off."""
    part, article = spot.behind(), spot.follower()
    whole = article.follower() if article is not None and article.means("det") else article
    being = part is not None and part.means("be") and part.first in _IS  # "the leads are off the front two"
    part = part.behind() if part is not None and being else part
    if part is None or whole is None or part.pause or spot.pause:
        return False
    if whole.first == "it" and whole.single and (whole.pause or not whole.beyond):
        names = {sense.id for sense in part.senses("component")}
        return bool(names & {"ht-lead"}) and (part.hit.start == 0 or bool(part.tokens[part.hit.start - 1].pause))
    names = {sense.id for sense in part.senses("component")}
    opens = part.hit.start == 0 or bool(part.tokens[part.hit.start - 1].pause)
    corner = any("-" in sense.id for sense in whole.senses("place")) and whole.hit.start == spot.hit.end
    if corner and names & _LIES_LOOSE and not being and part.before not in _LED and _no_more_told(part, whole):
        return True  # "knob off front right put it back on"
    if not (being or part.tokens[part.hit.end - 1].clitic) and not (opens and "ht-lead" in names):
        return False
    if names & _LIES_LOOSE and (whole.means("group") or any("-" in sense.id for sense in whole.senses("place"))):
        return True  # "knob's off the front right", "leads are off the front two"
    return bool(names & {"ht-lead", "hose", "mains-lead"}) and whole.means("component")


def _no_more_told(part: Spot, corner: Spot) -> bool:
    """Whether nothing is told of a corner but work, and nobody took the part before it."""
    taken, next_ = part.behind(), corner.follower()
    return (taken is None or not taken.means("work")) and (next_ is None or next_.means("work"))


def _relates(spot: Spot) -> bool:
    """ "It's the lead that was off": which of its parts it is."""
    last = spot.tokens[spot.hit.end - 1].norm
    return spot.means("pronoun") and spot.first in _RELATING and (spot.single or last in ("was", "were", "is"))


def is_off(spot: Spot) -> bool:
    """ "The lead's off", "might be off", "no lead off so no spark": what is off, where nothing follows that it is off."""
    after = spot.follower()
    there = after is not None and after.first in ("at", "in", "on")  # "lead's off at the rear left"
    behind_it = (
        spot.hits[spot.at + 1] if spot.at + 1 < len(spot.hits) and spot.pause != "." else None
    )  # "off, refitted"
    done = behind_it.values if behind_it is not None and behind_it.start == spot.hit.end else ()
    back_on = any(sense.kind == "work" and sense.id == "refit" and sense.note == "done" for sense in done)
    if not (_off_another(spot) or back_on) and (
        spot.beyond in _OFF_WHAT or (after is not None and not there and after.means(*_OFF_FROM))
    ):
        return False
    behind = spot.behind()
    linked = behind is not None and (behind.means("be", "not", "hedge") or _relates(behind))
    part = behind.behind() if behind is not None and linked else behind
    fits = {id_ for sense in spot.senses("condition") for id_ in sense.of or ()}
    if part is None or part.pause or not any(sense.id in fits for sense in part.senses("component")):
        return False
    if linked or part.tokens[part.hit.end - 1].clitic:
        return True
    lead = part.behind()
    placed = lead is not None and lead.means("place")
    while lead is not None and lead.means("det", "place") and not lead.pause:
        lead = lead.behind()
    if back_on and (placed or lead is None or lead.pause or lead.means("condition", "cured")):
        return True  # "front left lead off, pushed it on", "trap fine switch tube off refitted"
    if lead is not None and not lead.pause:
        told = ("no", "found", "find", "thats", "theres", "its", "thems", "was")  # "that's her lead off, look"
        return lead.first in told or lead.means("no", "hedge", "report")
    lone = any(sense.id == "ht-lead" for sense in part.senses("component"))
    # "front left lead off, so no spark"
    if not lone and lead is None:
        return _off_another(spot)  # "knob off front right put it back on"
    return lone and (lead is not None or not spot.hits[0].start or _off_another(spot))
