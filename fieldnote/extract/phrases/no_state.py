"""Words of a state that tell of none: what somebody does, what is looked for in vain, what fell on a part.

In: a phrase with its neighbours. Out: yes or no. Not allowed to know: what was said before in the talk.
"""

from fieldnote.extract.phrases.spot import Spot

_TO_BE_SEEN = ["to", "be", "seen"]
_IN_THE_FLAME = ["in", "the", "flame"]
_MEASURING = frozenset("fair good decent proper right nice".split())  # before what there is much of
_FOR_YEARS = frozenset(
    "for since from years ten twelve fifteen twenty thirty forty fifty sixty donkeys ages two three four five six seven eight "
    "nine all only about over nearly".split()
)
_TO_BEGIN = frozenset("alright ok okay right good fine grand lovely".split())
_BEGINNING = frozenset("alright ok okay right".split())
_HOW_MANY = frozenset("one two three four five six a an just".split())
_SOCKET = 5  # words behind "plugged" in which it is said into what
_STORES = frozenset("drawer drawers cupboard box shed garage van bag packet boot".split())
_SPARES = frozenset("spare another new replacement one fresh".split())
_JOBS = frozenset("call callout job report visit emergency complaint ticket".split())
_ITS = frozenset("its a the his her their any".split())
_LABELS = frozenset("label labels tag sticker sign notice tags stickers".split())
_CLICKS = frozenset("click clicks clicked clicking tick ticks ticked ticking".split())
_SPARKS = frozenset("spark sparks sparked sparking".split())
_IN_VAIN = frozenset({"no-spark", "not-lighting", "dead"})
_TRYING = 5  # words from "sparks" to "but", and from there to what did not come
_TESTED = 10  # words around "the alarm went off" in which a test of it is told
_TESTING = frozenset(
    "test tested testing tests button pressed press pushed push tried try held checked should loud fine good ok okay when".split()
)
_NEVER = frozenset("never not didnt havent hasnt".split())
_DABS = frozenset("bit dab blob smear touch lump drop".split())
_BINDING = frozenset("mortar cement putty sealant silicone mastic compound paste plaster tape solder".split())
_WORKED = 8  # words back from "with a bit of mortar" in which its work is told
_DISPOSED = frozenset("binned chucked thrown scrapped skipped slung".split())
_NEW_SOON = 5  # words from "binned" to "a new one's on"
_SERVICES = frozenset("service serviced services servicing cleaned swept".split())
_OF_IT = frozenset("it that one".split())
_SERVICED = 10  # words between a service and that nothing shows it
_LOOKED_FOR = 4  # words from "no" to what is not to be seen


def no_state(spot: Spot) -> bool:
    """Whether the words of a condition say nothing of how something is."""
    if spot.before == "im" and spot.tokens[spot.hit.end - 1].norm.endswith("ing"):
        return True  # "I'm lifting the trivets off": somebody does it
    if any(rule(spot) for rule in _RULES):
        return True
    start = spot.hit.start
    before = [token.norm for token in spot.tokens[max(0, start - _LOOKED_FOR) : start]]
    words = [token.norm for token in spot.tokens[start : spot.hit.end]]
    if words == _IN_THE_FLAME and not spot.owned and spot.followed_by("be", "need", "work"):
        return True  # "the probe in the flame was crusted": which one it is
    return words == _TO_BE_SEEN and "no" in before  # "no main bond to be seen"


def _vent_opened(spot: Spot) -> bool:
    """ "Room vent painted shut, opened up": what was done to it, and no bend in it."""
    opened = spot.first == "opened" and spot.tokens[spot.hit.end - 1].norm in ("up", "out")
    near = [
        sense.id
        for hit in spot.hits[max(0, spot.at - 3) : spot.at]
        for sense in hit.values
        if sense.kind == "component"
    ]
    return opened and near[-1:] == ["ventilation"]


def _calls_it_a_job(spot: Spot) -> bool:
    """ "Smell of gas call, meter under the stairs": what somebody was sent for."""
    return {"smell", "smells", "leak"} & {t.norm for t in spot.tokens[spot.hit.start : spot.hit.end]} != set() and (
        spot.beyond in _JOBS and not spot.pause
    )


def _lacks_its_label(spot: Spot) -> bool:
    """ "The bond's missing its label": the part is there, only what should hang on it is not."""
    row = [token.norm for token in spot.tokens[spot.hit.end : spot.hit.end + 3]]
    missing = spot.first in ("missing", "lacking", "lost") and spot.single and not spot.pause
    return missing and row[:1] != [] and row[0] in _ITS and not _LABELS.isdisjoint(row[1:])


def _counts_what_is_here(spot: Spot) -> bool:
    """ "Alright, two appliances here": a word to begin with, before what there is is counted."""
    opens = spot.hit.start == 0 or spot.tokens[spot.hit.start - 1].pause == "."
    begins = (
        spot.first in _BEGINNING and not spot.pause and spot.followed_by("appliance")
    )  # "alright, hob in the back shop"
    return opens and spot.single and ((spot.first in _TO_BEGIN and spot.beyond in _HOW_MANY) or begins)


def _tries_in_vain(spot: Spot) -> bool:
    """ "Rear left sparked like mad but never caught", "back left clicks but won't light": what was tried, and told as what
    came of it. Of a part that is named it may be the verdict."""
    behind = spot.behind()
    if spot.first not in _CLICKS | _SPARKS or (behind is not None and behind.means("component")):
        return False
    at = spot.hit.end
    while at < min(len(spot.tokens), spot.hit.end + _TRYING) and spot.tokens[at].norm not in ("but", "yet", "without"):
        at += 1
    if at >= len(spot.tokens) or spot.tokens[at].norm not in ("but", "yet", "without"):
        return False
    if any(spot.tokens[i].pause == "." for i in range(spot.hit.end - 1, at)):
        return False
    then = [hit for hit in spot.hits[spot.at + 1 :] if at <= hit.start <= at + _TRYING]
    return any(sense.id in _IN_VAIN for hit in then for sense in hit.values if sense.kind == "condition")


def _rang_by_itself(spot: Spot) -> bool:
    """ "The alarm went off last night", "sent because the alarm went off": no test of it, where nobody speaks of one."""
    words = [token.norm for token in spot.tokens[spot.hit.start : spot.hit.end]]
    alarm = spot.behind(1)
    if words != ["went", "off"] or alarm is None or not any(s.id == "co-alarm" for s in alarm.senses("component")):
        return False
    around = [*spot.tokens[max(0, spot.hit.start - _TESTED) : spot.hit.end]]
    for token in spot.tokens[spot.hit.end : spot.hit.end + _TESTED]:
        if around[-1].pause == ".":
            break
        around.append(token)
    return not any(token.norm in _TESTING for token in around)


def _left_alone(spot: Spot) -> bool:
    """ "Fan and gas valve I never touched": somebody touched nothing, which says nothing of how it sits."""
    lead = {token.norm for token in spot.tokens[max(0, spot.hit.start - 3) : spot.hit.start]}
    return spot.first == "touched" and spot.single and bool(lead & _NEVER) and "been" not in lead


def _worked_with(spot: Spot) -> bool:
    """ "Fixed it with a bit of mortar", "sealed it with a dab of cement": what work was done with, and no dirt on anything."""
    lead = [token.norm for token in spot.tokens[max(0, spot.hit.start - 2) : spot.hit.start]]
    stuff = [token.norm for token in spot.tokens[spot.hit.start : spot.hit.end]]
    if lead != ["with", "a"] or stuff[0] not in _DABS or stuff[-1] not in _BINDING:
        return False
    row = [hit for hit in spot.hits[: spot.at] if spot.hit.start - hit.end <= _WORKED]
    return not any(sense.kind == "condition" for hit in row for sense in hit.values)


def _thrown_out(spot: Spot) -> bool:
    """ "Cracked all round, so it's binned and a new one's on": the old part went, and nothing is missing."""
    words = {token.norm for token in spot.tokens[spot.hit.start : spot.hit.end]}
    later = {token.norm for token in spot.tokens[spot.hit.end : spot.hit.end + _NEW_SOON]}
    ends = any(token.pause == "." for token in spot.tokens[spot.hit.end - 1 : spot.hit.end + 1])
    return bool(words & _DISPOSED) and bool(later & {"new", "another", "fresh"}) and not ends and "been" not in words


def _how_much_of_it(spot: Spot) -> bool:
    """ "Oven's got a fair draught out of the door", "a good leak at the union": how much of it, no praise."""
    if not spot.single or spot.before not in ("a", "an") or spot.first not in _MEASURING or spot.pause:
        return False
    after = spot.follower()
    if after is None:
        return spot.first == "fair" and spot.beyond not in ("", "and", "but", "so", "enough", "few", "one", "un")
    if spot.first == "fair" and after.first in ("draught", "draft", "gap", "bit", "amount", "whack"):
        return True
    faults = [sense.id for sense in after.senses("condition")]
    return bool(faults) and not {"ok", "passed"} & set(faults) and not after.means("component", "one")


def _of_a_service(spot: Spot) -> bool:
    """ "They had it serviced in June, well there's no sign of it": of work that was said to be done, and no part is missing."""
    words = [token.norm for token in spot.tokens[spot.hit.start : spot.hit.end + 2]]
    if "sign" not in words or not _OF_IT & set(words):
        return False
    before = {token.norm for token in spot.tokens[max(0, spot.hit.start - _SERVICED) : spot.hit.start]}
    return bool(before & _SERVICES)


def _had_it_long(spot: Spot) -> bool:
    """ "He's had it thirty year", "she's had it from new": how long somebody has owned it."""
    words = [token.norm for token in spot.tokens[max(0, spot.hit.start - 1) : spot.hit.end]]
    if words[-2:] != ["had", "it"] or spot.pause:
        return False
    return spot.beyond in _FOR_YEARS or spot.beyond.isdigit()


def _plugged_in(spot: Spot) -> bool:
    """ "Plugged into a socket behind the drawers": nothing is bunged up."""
    if spot.first != "plugged" or not spot.single:
        return False
    words = [token.norm for token in spot.tokens[spot.hit.end : spot.hit.end + _SOCKET]]
    return spot.beyond in ("into", "in") and bool(
        {"socket", "sockets", "spur", "wall", "adaptor", "extension"} & set(words)
    )


def _kept_spare(spot: Spot) -> bool:
    """ "She had a spare in the drawer": where a new part was, and no old one that came off."""
    if spot.first != "in" or spot.tokens[spot.hit.end - 1].norm not in _STORES:
        return False
    before = {token.norm for token in spot.tokens[max(0, spot.hit.start - 4) : spot.hit.start]}
    return bool(before & _SPARES)


_RULES = (
    _how_much_of_it,
    _had_it_long,
    _plugged_in,
    _kept_spare,
    _vent_opened,
    _lacks_its_label,
    _calls_it_a_job,
    _counts_what_is_here,
    _of_a_service,
    _rang_by_itself,
    _tries_in_vain,
    _left_alone,
    _worked_with,
    _thrown_out,
)


def let_fall(spot: Spot) -> bool:
    """ "Cracked from a dropped pan": what fell on it, and nothing that dropped of it."""
    if spot.first not in ("dropped", "falling", "fallen") or not spot.single or spot.before not in ("a", "the", "some"):
        return False
    led = spot.tokens[spot.hit.start - 2].norm if spot.hit.start > 1 else ""
    return led in ("from", "by", "with") and not spot.pause and not spot.followed_by("component")
