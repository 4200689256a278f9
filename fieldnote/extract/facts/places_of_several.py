"""Where several parts are that are told of together: the rest, both, the pair in hand, the first three. In: a part that was named
so, and the talk. Out: their places; facts told of several are put at each place.

Not allowed to know: places that are said of a part, or carried to it, which are in `locating`.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from fieldnote.extract.clauses.target import SIDE, Target
from fieldnote.extract.facts.story import Fact
from fieldnote.extract.facts.talk import Talk
from fieldnote.extract.words.hob import FOUR
from fieldnote.extract.words.symptoms import AT_BURNER

_PRAISED = 6  # facts of a part among which praise of it is looked for
_BUT_FOR = frozenset("except bar barring apart only just".split())
_SEVERAL = frozenset("two three four pair".split())
_SPARKING = frozenset({"spark-generator", "ignition-switch"})  # of which a corner is named when its burner clicks
FIRST = {"first-two": 2, "first-three": 3}  # how many of those told in a row
_BURNERS, _REMAINING = frozenset("burners rings".split()), frozenset("rest other others remaining".split())


def of_them_all(talk: Talk, target: Target) -> bool:
    """ "All four burners light at the first spark and the flames are steady": of the same burners, in the same breath."""
    last = talk.story.facts[-1] if talk.story.facts else None
    if last is None or not target.many or (last.component, last.position) != ("burner", "all"):
        return False
    between = talk.draft.tokens[last.end - 1 : target.start]
    joined = "and" in {token.norm for token in between} and not any(token.pause == "." for token in between)
    return last.clause == talk.state.clause - 1 and joined


def the_pair_in_hand(talk: Talk, target: Target) -> tuple[str, ...]:
    """ "Both front burners, tap stiff and knob loose": the next part of the two burners that the sentence is about."""
    pair, last = talk.state.places or (), talk.story.facts[-1] if talk.story.facts else None
    if last is None or last.component == "burner":
        return ()
    if any(name.note.endswith("s") for name in target.names) and not _heads(talk, last):
        return ()  # "caps fine", "leads all ok": nobody said at which burners
    if len(pair) != 2 or last.clause != talk.state.clause - 1:
        return ()
    there = {fact.position for fact in talk.story.facts[-2:] if fact.component == last.component}
    over = any(token.pause == "." for token in talk.draft.tokens[last.end - 1 : target.start])
    return () if over or there != set(pair) else pair


def _heads(talk: Talk, last: Fact) -> bool:
    """ "The front two, caps good, rings good": a pair that stands apart before its parts, whatever their number."""
    run = [
        fact
        for fact in talk.story.facts[-8:]
        if fact.position in (talk.state.places or ()) and fact.clause <= last.clause
    ]
    first = next((fact for fact in run if fact.explicit), last)
    words = talk.draft.tokens[first.start : max(first.start, first.end - 1)]
    over = any(token.pause == "." for token in talk.draft.tokens[first.end - 1 : last.end - 1])
    return any(token.pause for token in words) and not over


def three_of_four(talk: Talk, made: Sequence[Fact]) -> None:
    """ "Three of the four knobs are split, the rear right's sound": the one that is unlike them tells where the three are."""
    one = made[-1] if made and made[-1].position in FOUR else None
    before = [f for f in talk.story.named(one.component) if f is not one][:1] if one else []
    for fact in before:
        unlike = one is not None and (fact.condition == "ok") != (one.condition == "ok")
        lately = fact.position in (None, "all", "others") and fact.clause >= talk.state.clause - 2
        if not (one and one.position and unlike and lately):
            continue
        said = {t.norm for t in talk.draft.tokens[max(0, fact.start - 4) : one.start]}
        between = {t.norm for t in talk.draft.tokens[fact.end : one.end]}
        # "the taps are all free except hers is tight", "taps fine, it's only the front left that's stiff"
        all_but_it = fact.condition == "ok" and between & _BUT_FOR
        if {"three", "3"} & said or all_but_it:
            at_the_rest(talk, fact, one.position)


def at_the_rest(talk: Talk, fact: Fact, one: str) -> None:
    """Put a fact told of several at the three places of the usual four that are not the one named."""
    places = [place for place in FOUR if place != one]
    fact.position = places[0]
    for place in places[1:]:
        talk.story.add(replace(fact, position=place, actions=list(fact.actions), cues=list(fact.cues)))


def unpraised(talk: Talk, target: Target) -> None:
    """ "Hob's all fine ... oh, and the front right isn't fine either": the praise is not said of that one any more."""
    for place in target.places if target.places and len(target.places) == 1 else ():  # not "they aren't both fine"
        part = target.component if target.names else "burner"
        for fact in talk.story.named(part)[:_PRAISED] if place in FOUR and part else ():
            if fact.condition != "ok" or fact.status != "present" or fact.actions:
                continue
            if fact.position == place:
                talk.story.drop(fact)
            elif fact.position == "all":
                at_the_rest(talk, fact, place)


def the_rest(talk: Talk, component: str) -> Iterable[str]:
    """The places left of the usual four when earlier facts name some of them, else "others"."""
    now = talk.state.clause
    known = [fact for fact in talk.story.named(component) if fact.position in FOUR and fact.clause < now]
    if component == "radiant":
        return ["others"]  # nobody said how many bars the fire has
    if not known and component in AT_BURNER and (pair := _just_praised(talk)):
        return [place for place in FOUR if place not in pair]
    if not known:
        here = talk.one_place()
        return [SIDE[here]] if here in ("left", "right") else ["others"]
    latest = {fact.position for fact in known if fact.clause >= known[0].clause - 12}
    rest = [place for place in FOUR if place not in latest]
    return rest if rest and len(rest) < 4 else ["others"]


def _just_praised(talk: Talk) -> set[str]:
    """ "Front two are fine, the other two won't spark": the pair of burners that the sentence before was about."""
    told = [fact for fact in talk.story.facts[-2:] if fact.component == "burner" and fact.position in FOUR]
    lately = all(fact.clause >= talk.state.clause - 1 and fact.condition == "ok" for fact in told)
    return {str(fact.position) for fact in told} if len(told) == 2 and lately else set()


def unlike_part(talk: Talk, component: str) -> str:
    """ "Front right won't spark, the rest do": the part of which the opposite has just been told."""
    last = talk.story.facts[-1] if talk.story.facts else None
    just = last is not None and last.clause == talk.state.clause - 1 and last.status == "present"
    spark = just and last is not None and last.condition in ("no-spark", "weak-spark") and last.component == "electrode"
    return "electrode" if spark and component == "burner" else component


def counted_rest(talk: Talk, target: Target) -> list[str]:
    """ "Front left jet blocked, rear left knob loose, the other two light": the burners of which nothing was told."""
    said = {token.norm for token in talk.draft.tokens[target.start : target.end]}
    lately = [fact for fact in talk.story.facts[-12:] if fact.clause >= talk.state.clause - 12]
    told = {fact.position for fact in lately if fact.position in FOUR and fact.component in AT_BURNER | _SPARKING}
    left = [place for place in FOUR if place not in told]
    counted = {"two": 2, "2": 2, "three": 3, "3": 3}
    if said & _BURNERS and said & _REMAINING and len(left) < len(FOUR):
        return left  # "the rest of the rings are fine"
    return left if any(word in said and number == len(left) for word, number in counted.items()) else []


def first_told(talk: Talk, target: Target) -> list[str | None]:
    """ "Front left twenty, rear left thirty, rear right nineteen, front right eighty, first three's fine": in the order told."""
    told = [mention.id for mention in talk.draft.mentions if mention.kind == "place" and mention.start < target.start]
    row: list[str] = []
    for place in reversed(told):
        if place not in FOUR or (place in row and row[-1] != place):
            break  # another round of them
        row = row if place in row else [*row, place]
    first = list(reversed(row))[: FIRST[target.group or ""]]
    return [*first] if len(first) == FIRST[target.group or ""] else [None]


def of_another_size(talk: Talk, size: str) -> set[str]:
    """The corners at which burners of other sizes were told of."""
    return {place for place, told in talk.sizes.items() if told != size and place in FOUR}


def last_places(talk: Talk, component: str, at: int) -> list[str | None]:
    """ "Both": the places of the last two facts of the part, else the two places that were said last."""
    seen = [fact.position for fact in talk.story.named(component)[:2]]
    side = side_told(talk)
    if side and component in AT_BURNER and talk.on_small_hob(at):
        return ["left", "right"] if side in ("left", "right") else ["front", "rear"]  # "yellow on the pair of them"
    said = talk.state.places or ()
    if len(said) == 2 and not set(said) & set(seen):
        return list(said)  # "all clear except the two on the left, they were both blocked"
    if seen or len(said) == 2 or component not in AT_BURNER:
        return list(dict.fromkeys(reversed(seen))) or (list(said) if len(said) == 2 else [None])
    lately = [fact.position for fact in talk.story.facts[-6:] if fact.position in FOUR]
    # "gap shut front right, rear left fine, the flame on both is blue"
    corners = list(dict.fromkeys(reversed(lately)))[:2]
    if talk.alike and corners[:1] == [talk.alike[1]]:
        return [*talk.alike]  # "front right same as the front left, flame was yellow on both"
    return [*corners[::-1]] if len(corners) == 2 else [None]


def likened(talk: Talk, target: Target) -> bool:
    """Whether something was said to be "the same as" what is meant."""
    words = [token.norm for token in talk.draft.tokens[max(0, target.start - 3) : target.start]]
    return "as" in words and ("same" in words or "bad" in words)


def is_one(talk: Talk, target: Target) -> bool:
    """Whether a rest is said to be one."""
    words = talk.draft.tokens[target.start : target.end]
    if any(t.norm in _SEVERAL for t in words):
        return False
    return any(t.norm in ("one", "other") or (t.norm in ("ones", "others") and t.clitic) for t in words)


def side_told(talk: Talk) -> str | None:
    """The side at which burners were told of lately, where no corner was."""
    lately = [fact for fact in talk.story.facts[-8:] if fact.component in AT_BURNER and fact.position]
    sides = {fact.position for fact in lately if fact.clause >= talk.state.clause - 12}
    return lately[-1].position if sides and sides <= SIDE.keys() else None
