"""Wordings of the tree that are longer than what is meant: "fine, spark" is not "fine spark". In: a phrase of the tree and the
words around it. Out: whether less of it is meant. Not allowed to know: clauses, facts.
"""

from collections.abc import Sequence

from fieldnote.extract.phrases.corners import (
    a_side,
    corner_at,
)
from fieldnote.extract.phrases.lastword import (
    PRAISE,
)
from fieldnote.extract.words.lexicon import Sense, lexicon
from fieldnote.extract.words.matcher import Hit
from fieldnote.extract.words.tokens import Token

BURNER = frozenset({"burner", "ring"})


_BEHIND_LIGHTS = frozenset(
    "but and first straight every when fine okay ok no on off easy easily lovely grand up".split()
)
_BURNT = frozenset("burnt burned scorched singed melted".split())
# where a part is burnt
_SPOTS = frozenset(
    "tip tips side edge edges end ends rim corner underside inside outside top bottom back front".split()
)
_BEING_VERBS = frozenset("is are was were has have had".split())
_LEADING_TO = frozenset(
    "for in on to over under behind below beneath above beside with of inside into underneath round near at by from".split()
)
_NEW_TURN = frozenset(
    "so and but i ive its the she he then next now anyway right ok okay too as still just well when at".split()
)
_AFTER_VERDICT = frozenset("and but so then though enough as anyway now".split())
_NOT = frozenset("not isnt wasnt arent werent never".split())
_OF_A_PART = frozenset("part size type kind make model sort gas jet jets injector injectors cap fit".split())
_SIDE_SAID = 25  # words from "left electrode" to "that's the right one"
_WRONG_WAY = frozenset("side way end round behind back".split())
_TENS = frozenset("twenty thirty forty fifty sixty seventy eighty ninety".split())
_UNITS = frozenset("one two three four".split())
_WHERE_DEAD = frozenset("the both all front rear back left right".split())
_LIVELY = frozenset(
    "spark ignition sparker igniter button electrode they it theyre its".split()
)  # what can be dead somewhere
_IT = frozenset("it he she they that".split())
_THAT = frozenset("that them those this these".split())
_PLACED = frozenset("left right one ones un uns front back rear burner ring tap".split())
_WANTING = frozenset("dont doesnt didnt not".split())
_COUNTED = _UNITS | frozenset("ones uns pair it that they those these rest others lot all both which".split())


def that_lights(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "lights" at the end of a name says what the part does ("the pilot lights first time", "the pilot lights but")."""
    ends = hit.end - hit.start > 1 and tokens[hit.end - 1].norm == "lights" and hit.end < len(tokens)
    named = ends and all(sense.kind == "component" for sense in hit.values)
    led = hit.start > 0 and tokens[hit.start - 1].norm in ("the", "that", "this", "its")  # not "pilot lights and all"
    led = led or (ends and tokens[hit.end].norm == "first")  # "pilot lights first press"
    return named and led and not tokens[hit.end - 2].clitic and tokens[hit.end].norm in _BEHIND_LIGHTS


def stuck_then_new(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether a mark parts how a part is from what it calls for: "thermostat stuck, new one needed"."""
    work = hit.end - hit.start > 1 and all(sense.kind == "work" for sense in hit.values)
    return work and tokens[hit.start].norm == "stuck" and bool(tokens[hit.start].pause)


def ends_a_figure(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the number that a group of places begins with is the last word of a figure."""
    before = tokens[hit.start - 1] if hit.start else None
    if before is None or before.pause or before.norm not in _TENS or tokens[hit.start].norm not in _UNITS:
        return False
    return hit.end - hit.start > 1 and all(sense.kind in ("group", "place") for sense in hit.values)


def one_so_and_so(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether a number counts the part that follows what is wrong with it."""
    if (
        hit.end - hit.start != 2
        or hit.slot
        or tokens[hit.start].norm not in ("one", "two")
        or tokens[hit.end - 1].pause
    ):
        return False
    part = lexicon().at(tokens, hit.end) if hit.end < len(tokens) else None
    named = part is not None and any(s.kind == "component" and not s.note.startswith("weak") for s in part.values)
    return named and all(sense.kind == "condition" for sense in hit.values) and not _said_of_next(part, tokens)


def its_handle(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "The tap stiff and the handle loose": a part of its own behind "and the", and no wording of the part before."""
    lead = [token.norm for token in tokens[max(0, hit.start - 2) : hit.start]]
    handle = tokens[hit.start].norm == "handle" and hit.end - hit.start > 1
    return handle and lead == ["and", "the"] and all(sense.kind == "condition" for sense in hit.values)


def _said_of_next(part: Hit[Sense] | None, tokens: Sequence[Token]) -> bool:
    """Whether something is said of a part behind its name: "one missing, crown's fine"."""
    if part is None or part.end >= len(tokens):
        return False
    last = tokens[part.end - 1]
    return last.clitic or (not last.pause and tokens[part.end].norm in _BEING_VERBS)


_IN_WHAT_STATE = frozenset("date order good fine great decent nice perfect bits pieces two".split())  # behind "in"


def denies_more(hit: Hit[Sense], tokens: Sequence[Token], end: int) -> bool:
    """Whether the last word of an answer ("and it doesn't"), or of what is said so of few parts ("not out"), opens the wording
    of a fault that goes on behind it ("not | out of date")."""
    last = hit.end - 1
    inner = lexicon().at(tokens, hit.start + 1, end) if hit.end - hit.start > 1 else None
    longer = inner is not None and inner.end > hit.end and any(sense.kind == "no" for sense in inner.values)
    if longer and all(sense.kind == "deny" for sense in hit.values):
        return True  # "and there isn't | a bubble": nothing is answered
    longer = inner is not None and inner.end > hit.end and any(sense.kind == "condition" for sense in inner.values)
    if tokens[hit.start].norm == "it" and all(sense.kind == "correct" for sense in hit.values):
        after = lexicon().at(tokens, hit.end, end) if hit.end < end and not tokens[last].pause else None
        told = after is not None and all(sense.kind == "condition" for sense in after.values)
        return longer or told  # "front left it | wasn't holding in", "it wasn't | leaking": nothing is taken back
    limited = all(sense.kind == "condition" and sense.of is not None for sense in hit.values)
    limited = limited and hit.end - hit.start == 2 and tokens[hit.start].norm in _NOT
    if last == hit.start or tokens[last].pause or not (limited or all(sense.kind == "deny" for sense in hit.values)):
        return False
    fault = lexicon().at(tokens, last, end)
    return fault is not None and fault.end > hit.end and any(sense.kind == "condition" for sense in fault.values)


def left_ring(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Left ring went out": a burner and its side, nothing that somebody left out."""
    begins = hit.start == 0 or tokens[hit.start - 1].pause != ""
    return bool(hit.slot) and begins and tokens[hit.start].norm == "left" and tokens[hit.start + 1].norm in BURNER


def the_side_after_all(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Left electrode's cracked. Hang on, I'm stood the wrong side of it. That's the right one.": the one on the right."""
    words = [token.norm for token in tokens[max(0, hit.start - _SIDE_SAID) : hit.end]]
    if words[-4:] != ["thats", "the", "right", "one"]:
        return False
    left = next((at for at, word in enumerate(words) if word in ("left", "lefts")), len(words))
    return ("wrong" in words[left:] or "back" in words[left:]) and bool(_WRONG_WAY & set(words[left:]))


def led_to_it(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "it" is what a preposition leads to, and "is" said of the part before: no "it is" that answers somebody."""
    before = tokens[hit.start - 1] if hit.start else None
    led = before is not None and (before.norm in _LEADING_TO or before.norm == "now") and not before.pause
    return led and [token.norm for token in tokens[hit.start : hit.end]] in (["it", "is"], ["that", "is"])


_IT_IS = frozenset("its thats hes shes theyre".split())


def being_at_start(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether more is said behind the verb that begins a fault: "has dropped off" is not "has dropped", "that's out of date" not
    "that's out"."""
    if hit.end - hit.start == 1 or hit.slot or tokens[hit.start].norm not in _BEING_VERBS | _IT_IS:
        return False
    if tokens[hit.start + 1].norm == "off":
        return False  # "the crown was off its seat": off all the same
    longer = lexicon().at(tokens, hit.start + 1)
    faults = ({sense.kind for sense in one.values} for one in (hit, longer) if one)
    return longer is not None and longer.end > hit.end and all("condition" in kinds for kinds in faults)


def right_not_said(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "right" behind a verb goes on with what follows ("are right hand ones"), and is no verdict."""
    words = [token.norm for token in tokens[hit.start : hit.end]]
    if len(words) != len(("is", "right")) or words[0] not in _BEING_VERBS or words[1] != "right":
        return False
    if hit.start and tokens[hit.start - 1].norm in ("what", "whatever"):
        return True  # "to start with what is right"
    return not (tokens[hit.end - 1].pause or hit.end == len(tokens) or tokens[hit.end].norm in _AFTER_VERDICT)


def several_is(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Knobs is all greasy": several of them, and no "knob's" that was heard so."""
    ends = hit.end - hit.start > 1 and tokens[hit.end - 1].norm == "is" and hit.end < len(tokens)
    named = ends and all(sense.kind == "component" for sense in hit.values)
    return named and not tokens[hit.end - 1].pause and tokens[hit.end].norm in ("all", "both", "them", "they")


def side_denied(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "It's the front left, not the right": the side where it is not, and no wrong part."""
    if [token.norm for token in tokens[hit.start : hit.end]] != ["not", "the", "right"]:
        return False
    at = hit.start - (hit.start > 0 and tokens[hit.start - 1].norm in ("that", "and"))
    over = hit.end >= len(tokens) or bool(tokens[hit.end - 1].pause) or tokens[hit.end].norm not in _OF_A_PART
    return at > 0 and tokens[at - 1].norm == "left" and over


def found_right(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the verb at the end of "the rest are" is that of a verdict."""
    end = hit.end
    if end - hit.start < 2 or tokens[end - 1].norm not in _BEING_VERBS or tokens[end - 1].pause or end >= len(tokens):
        return False
    over = bool(tokens[end].pause) or end + 1 == len(tokens) or tokens[end + 1].norm in _AFTER_VERDICT
    group = any(sense.kind in ("group", "place") for sense in hit.values)
    return tokens[end].norm == "right" and over and group


def goes_on_to_say(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "I had the probe in and it was bang on": it says something itself and confirms nothing."""
    if hit.end - hit.start != 3 or tokens[hit.start].norm != "and" or any(s.kind != "confirm" for s in hit.values):
        return False
    if tokens[hit.end - 1].norm not in _BEING_VERBS:
        return False  # "and it did"
    ended = hit.end >= len(tokens) or tokens[hit.end - 1].pause or a_side(hit.end, tokens)  # "and it is | front left"
    return not ended and tokens[hit.end].norm not in _NEW_TURN


def got_it_to(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "got" at the end of "I got" begins work."""
    if hit.end - hit.start != 2 or tokens[hit.end - 1].norm != "got":
        return False
    whole = lexicon().at(tokens, hit.end - 1)
    return whole is not None and whole.end > hit.end and any(sense.kind in ("work", "cured") for sense in whole.values)


def unwanted_by_somebody(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "doesn't want anything doing" is said by somebody, and of no burner: "she doesn't want owt doing"."""
    words = [token.norm for token in tokens[hit.start : hit.end]]
    told = all(sense.kind == "condition" for sense in hit.values) and words[-1] in ("doing", "touching")
    if not told or words[0] not in _WANTING | {"wants", "want"}:
        return False
    before = tokens[hit.start - 1] if hit.start and not tokens[hit.start - 1].pause else None
    named = before is not None and lexicon().at(tokens, hit.start - 1, hit.start)
    of_a_part = named and any(
        sense.kind in ("component", "place", "group", "appliance", "one") for sense in named.values
    )
    return not (of_a_part or (before is not None and before.norm in _COUNTED))


def of_that_one(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "that" at the end of a verdict belongs to a name behind it: "couldn't fault that back left tap"."""
    verdict = hit.end - hit.start > 1 and hit.end < len(tokens) and not tokens[hit.end - 1].pause
    if not verdict or tokens[hit.end - 1].norm not in _THAT or any(s.kind != "condition" for s in hit.values):
        return False
    name = lexicon().at(tokens, hit.end)
    named = name is not None and any(
        sense.kind in ("component", "place", "group", "appliance") for sense in name.values
    )
    return named and all(sense.id == "ok" for sense in hit.values)


def one_thats_fit(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "that's sparking a treat" is said of a place named right before it, and comes of no work."""
    if tokens[hit.start].norm != "thats" or not hit.start or tokens[hit.start - 1].pause:
        return False
    if tokens[hit.start - 1].norm not in _PLACED or any(sense.kind != "outcome" for sense in hit.values):
        return False
    said = lexicon().at(tokens, hit.start + 1, hit.end)
    return said is not None and said.end == hit.end and any(s.kind == "condition" and s.id == "ok" for s in said.values)


def it_does_well(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether more praise begins with what "it" does than the words of an outcome: "it turns | easy as you like"."""
    if hit.end - hit.start != 2 or tokens[hit.start].norm not in _IT or any(s.kind != "outcome" for s in hit.values):
        return False
    if hit.start and tokens[hit.start - 1].norm in _NOT:
        return False  # "the grill's isn't, it burns lovely"
    said = lexicon().at(tokens, hit.start + 1)
    fit = said is not None and any(s.kind == "condition" and s.id == "ok" for s in said.values)
    return fit and said is not None and said.end > hit.end


def dead_on_what(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Spark's dead on the two front ones": there is none there, and nothing is bang on."""
    words = [token.norm for token in tokens[hit.start : hit.end + 1]]
    if words[-3:-1] != ["dead", "on"] or tokens[hit.end - 1].pause or words[-1] not in _WHERE_DEAD:
        return False
    before = tokens[hit.start - 1].norm if hit.start and hit.end - hit.start == 2 else words[0]
    return before.removesuffix("s") in _LIVELY


def fine_then_spark(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the noun behind praise is praised itself, and the praise is that of what stands before: "two fine spark fine"."""
    if (
        hit.end - hit.start != len(("fine", "spark"))
        or not hit.start
        or tokens[hit.start - 1].pause
        or hit.end >= len(tokens)
    ):
        return False
    if not all(sense.kind == "condition" and sense.id == "ok" for sense in hit.values) or tokens[hit.end - 1].pause:
        return False
    after = lexicon().at(tokens, hit.end)
    told = after is not None and any(sense.kind == "condition" and sense.id == "ok" for sense in after.values)
    return (
        told and tokens[hit.start].norm in PRAISE | {"fine"} and tokens[hit.start - 1].norm not in ("a", "and", "with")
    )


def fine_then_crack(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Cap fine, crack in the electrode", "hose fine a crack in the cap": praise, and what is wrong with another part; a fine
    crack has neither a mark nor an article in it."""
    if hit.end - hit.start == 1 or hit.slot or tokens[hit.start].norm not in PRAISE | {"fine"}:
        return False
    if all(sense.kind != "condition" or sense.id == "ok" for sense in hit.values):
        return False
    return bool(tokens[hit.start].pause) or tokens[hit.start + 1].norm in ("a", "the")


def burnt_at(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Lead burnt on the right one", "burnt on the tip": where it is burnt, and nothing that is burnt on."""
    if hit.end - hit.start != len(("burnt", "on")) or tokens[hit.end - 1].norm != "on" or hit.end + 1 >= len(tokens):
        return False
    state = tokens[hit.start].norm in _BURNT
    the = tokens[hit.end].norm in ("the", "that", "its")
    where = lexicon().at(tokens, hit.end + the)
    placed = where is not None and any(sense.kind == "place" for sense in where.values)
    placed = placed or bool(_SPOTS & {token.norm for token in tokens[hit.end + the : hit.end + the + 2]})
    # not "clocked at thirty bang on"
    fault = all(sense.kind == "condition" and sense.id != "ok" for sense in hit.values)
    return state and placed and fault


def state_and_work(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Door catch bent, pulled it back": a state, and the work on it; not "bent ... back". So is what a part is: "the
    electrode's snapped, front right the same, back ..."."""
    if hit.slot is None or hit.slot[0] != hit.start + 1:
        return False
    state, work = lexicon().at(tokens, hit.start, hit.start + 1), lexicon().at(tokens, hit.slot[0], hit.end)
    if state is None or not any(sense.kind == "condition" for sense in state.values):
        return False
    if hit.start and tokens[hit.start - 1].clitic and corner_at(hit.slot[0], tokens):
        return True
    if work is not None and any(s.kind == "work" and s.note == "done" for s in work.values):
        return True
    # "the electrode was bent as well, put it back over"
    well = [t.norm for t in tokens[hit.slot[0] : hit.slot[0] + 2]] == ["as", "well"]
    return well and hit.start > 0 and tokens[hit.start - 1].norm in _BEING_VERBS


def dates(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Had a new fan in the spring": not "new ... in", the last word begins a time, or a verdict on the next part ("fitted a
    new lead, hose in date")."""
    if tokens[hit.end - 1].norm != "in" or tokens[hit.end - 1].pause:
        return False
    time = lexicon().at(tokens, hit.end - 1)
    if time is None or time.end <= hit.end:
        return False
    kinds = {sense.kind for sense in time.values}
    return "past" in kinds or (bool(kinds & {"condition", "in-order"}) and tokens[hit.end].norm in _IN_WHAT_STATE)
