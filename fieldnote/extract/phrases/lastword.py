"""Last words of phrases that belong to what follows. In: a phrase of the tree and the words around it. Out: whether its last word
is given up.

"Off the top plate" is not "off the top", "no flame failure" not "no flame". Not allowed to know: clauses, facts.
"""

from collections.abc import Sequence

from fieldnote.extract.phrases.corners import corner_at
from fieldnote.extract.words.lexicon import Sense, lexicon
from fieldnote.extract.words.matcher import Hit
from fieldnote.extract.words.tokens import Token

PRAISE = frozenset("nice good lovely great grand fine okay ok perfect proper clean strong steady".split())
HMM = frozenset("um er erm uh".split())
_DEGREES = frozenset("a bit little touch wee very too quite rather awful dead really fairly pretty so".split())
_LEADS_ON = frozenset("off on in out".split())
_HOW_MANY = frozenset(
    "two three four five six 4 5 6 of the other others burners rings taps caps knobs electrodes flames jets supports".split()
)
_STATING = frozenset("is are was were looks look looked all seems seem being feels works ran its".split())
_WHERE = frozenset("on in at by fitted there here".split())
_IT_IS = frozenset("its hes shes theyre is are was were".split())
_HANDLES = frozenset("handle handles lever levers".split())
_OF_WHAT = frozenset("on in at of for to from under behind run runs".split())
_SEEN = frozenset("in on to of across through visible evident apparent seen found".split())  # behind "no crack"
_IN_FLAMES = frozenset({"lifting", "yellow-tipping"})  # what only a burning flame does
_GOING_ON = frozenset("has needs wants must should will".split())  # behind "it" that is the subject
_BECOME = frozenset("goes gone knocked pushed pulled".split())


def bar_at_end(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "bar" at the end of a name leaves out a place that follows, and is no bar of a fire."""
    if hit.end - hit.start == 1 or tokens[hit.end - 1].norm != "bar" or tokens[hit.end - 1].pause:
        return False
    at = hit.end + (hit.end < len(tokens) and tokens[hit.end].norm == "the")
    return hit.end < len(tokens) and corner_at(min(at, len(tokens) - 1), tokens) is not None


def it_goes_on(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "it" at the end of a fault begins what is said next: "the cap is missing, it has to be ordered"."""
    if hit.end - hit.start == 1 or hit.slot or tokens[hit.end - 1].norm != "it" or hit.end >= len(tokens):
        return False
    if tokens[hit.end - 1].pause or tokens[hit.end].norm not in _GOING_ON:
        return False
    fault = lexicon().at(tokens, hit.start, hit.end - 1)
    return fault is not None and fault.end == hit.end - 1 and any(s.kind == "condition" for s in fault.values)


def name_at_end(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the last word of what means nothing begins the whole name of a part."""
    if hit.end - hit.start == 1 or any(sense.kind != "nothing" for sense in hit.values):
        return False
    if tokens[hit.end - 1].pause:
        return False  # "there's no gas, tap's blocked"
    whole = lexicon().at(tokens, hit.end - 1)
    named = whole is not None and any(s.kind == "component" and not s.note.startswith("weak") for s in whole.values)
    return named and whole is not None and whole.end > hit.end


def all_right_at_end(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "And it's all right": not "it's all", which means nothing. "That's all, right" may close what was told."""
    if hit.end - hit.start == 1 or tokens[hit.end - 1].norm != "all" or hit.end >= len(tokens):
        return False
    now = tokens[hit.end + 1].norm == "now" if hit.end + 1 < len(tokens) and not tokens[hit.end].pause else False
    if not (tokens[hit.end - 2].norm in _IT_IS or now) or tokens[hit.end - 1].pause:
        return False  # "that's all, right, both the ones at the back"
    if tokens[hit.end].norm != "right" or any(sense.kind != "nothing" for sense in hit.values):
        return False
    whole = lexicon().at(tokens, hit.end - 1)
    return whole is not None and whole.end > hit.end and any(sense.id == "ok" for sense in whole.values)


def ruled_out(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "There's a good spark so it's not that the jet was blocked": what was thought of is ruled out, and the next part named."""
    words = [token.norm for token in tokens[hit.start : hit.end]]
    lead = [token.norm for token in tokens[max(0, hit.start - 2) : hit.start]]
    if lead[-1:] == ["so"]:
        return words in (["its", "not", "that", "the"], ["it", "isnt", "that", "the"], ["it", "wasnt", "that", "the"])
    return lead == ["so", "its"] and words == ["not", "that", "the"]


def how_much_of_a_fault(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "A bit slow to catch": not "a bit slow", the last word begins a fault that says more."""
    words = {token.norm for token in tokens[hit.start : hit.end - 1]}
    if not words or not words <= _DEGREES or hit.slot or any(sense.kind != "condition" for sense in hit.values):
        return False
    whole = lexicon().at(tokens, hit.end - 1)
    if whole is None or whole.end <= hit.end or whole.slot or tokens[hit.end - 1].norm in _LEADS_ON:
        return False
    return all(sense.kind == "condition" and sense.id not in ("ok", "passed") for sense in whole.values)


def longer_name_at_end(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Left oven door seal", "gas tap spindle", "oven thermo couple": the last word of a name begins the whole name of another
    part, and what stands before it says whose it is."""
    if hit.end - hit.start == 1 or hit.slot or tokens[hit.end - 1].pause or tokens[hit.end - 1].clitic:
        return False
    ids = {sense.id for sense in hit.values if sense.kind == "component"}
    if not ids or any(sense.kind not in ("component", "nothing") for sense in hit.values):
        return False
    whole = lexicon().at(tokens, hit.end - 1)
    if whole is None or whole.end <= hit.end or whole.slot:
        return False
    if _OF_WHAT & {token.norm for token in tokens[hit.end : whole.end]}:
        return False  # "knob seal on the oven", "mains lead run across the back"
    if tokens[whole.end - 1].norm in _HANDLES:
        return False  # "emergency control handle": its own
    named = {s.id for s in whole.values if s.kind == "component" and not s.note.startswith("weak")}
    return bool(named) and not named & ids


def name_behind_praise(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Electrode fine spark box fine", "flex is good um spark's weak": the last word of "fine spark" is another part."""
    between = {token.norm for token in tokens[hit.start + 1 : hit.end - 1]}
    praise = tokens[hit.start].norm in PRAISE and hit.end - hit.start > 1 and between <= HMM
    if not praise or hit.slot or not hit.start or any(sense.id != "ok" for sense in hit.values):
        return False
    last = hit.start - (1 if tokens[hit.start - 1].norm in _STATING else 0)
    before = lexicon().at(tokens, last - 1, last) if last else None
    if before is None or not any(sense.kind == "component" for sense in before.values):
        return False
    whole = lexicon().at(tokens, hit.end - 1)
    part = [] if whole is None else [sense.note for sense in whole.values if sense.kind == "component"]
    behind = lexicon().at(tokens, hit.end) if hit.end < len(tokens) and not tokens[hit.end - 1].pause else None
    told = bool(between) or (behind is not None and any(sense.kind == "condition" for sense in behind.values))
    longer = whole is not None and whole.end > hit.end and not all(note.startswith("weak") for note in part)
    return bool(part) and (told or longer)


def fault_at_end(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the last word begins a fault that says more: "cap off its seat" is not "cap off", "lid's off its hinges" no
    lid that is off."""
    if hit.end - hit.start == 1 or hit.slot or any(sense.kind not in ("nothing", "condition") for sense in hit.values):
        return False
    name, whole = lexicon().at(tokens, hit.start, hit.end - 1), lexicon().at(tokens, hit.end - 1)
    named = name is not None and name.end == hit.end - 1 and any(sense.kind == "component" for sense in name.values)
    fault = whole is not None and any(sense.kind == "condition" and sense.id != "ok" for sense in whole.values)
    if whole is not None and whole.end == hit.end + 1 and _LEADS_ON & {t.norm for t in tokens[hit.end - 1 : whole.end]}:
        return False  # "enamel's flaking off the two at the front"
    return named and fault and whole is not None and whole.end > hit.end


def merely_at_end(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the last word of "it's just" begins a fault that says more ("just dirt")."""
    if hit.end - hit.start < 2 or hit.slot or tokens[hit.end - 1].norm not in ("just", "only"):
        return False
    if any(sense.kind != "but" for sense in hit.values):
        return False
    whole = lexicon().at(tokens, hit.end - 1)
    fault = whole is not None and any(sense.kind == "condition" and sense.id != "ok" for sense in whole.values)
    return fault and whole is not None and whole.end > hit.end


def told_of_its_noun(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "The rest is fine spark's weak": the noun with "is" opens what is said next, and ends no "fine spark"."""
    if hit.end - hit.start != 2 or hit.slot or not tokens[hit.end - 1].clitic:
        return False
    praise, next_ = lexicon().at(tokens, hit.start, hit.end - 1), lexicon().at(tokens, hit.end - 1)
    praised = praise is not None and any(sense.id == "ok" for sense in praise.values)
    goes_on = next_ is not None and next_.end > hit.end and any(sense.kind == "condition" for sense in next_.values)
    return praised and goes_on and all(sense.kind == "condition" for sense in hit.values)


def part_at_end(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether a part of a burner begins with the last word of a place, or the head with that of a size ("small burner head")."""
    kinds = {sense.kind for sense in hit.values}
    if hit.end - hit.start == 1 or not kinds & {"place", "size"}:
        return False
    whole = lexicon().at(tokens, hit.end - 1)
    if whole is None or whole.end <= hit.end or not any(sense.kind == "component" for sense in whole.values):
        return False
    return "place" in kinds or (whole.values[0].id == "burner-head" and not tokens[hit.end - 1].pause)


def verdict_and_mark(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "ok" in "ok so" is said of something: a form of "be" stands before it."""
    if hit.end - hit.start == 1 or tokens[hit.start].norm not in ("ok", "okay", "alright") or not hit.start:
        return False
    before = tokens[hit.start - 1]
    return not before.pause and (before.norm in _STATING or before.clitic)


def and_all_of(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "And all four sparkers": not "and all"."""
    if [token.norm for token in tokens[hit.start : hit.end]] != ["and", "all"] or tokens[hit.end - 1].pause:
        return False
    return hit.end < len(tokens) and tokens[hit.end].norm in _HOW_MANY


def _closed(name: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether nothing is said of a name by what follows: "no spark box on these"."""
    last = tokens[name.end - 1]
    if last.clitic:
        return False
    return name.end == len(tokens) or bool(last.pause) or tokens[name.end].norm in _WHERE


def denied_name(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the last word of "no flame" begins a longer name of a part."""
    if hit.end - hit.start < 2 or tokens[hit.end - 2].norm not in ("no", "any") or tokens[hit.end - 1].pause:
        return False
    whole, part = lexicon().at(tokens, hit.end - 1), lexicon().at(tokens, hit.end) if hit.end < len(tokens) else None
    if (
        tokens[hit.end - 1].norm == "spark"
        and part is not None
        and any(sense.kind == "component" for sense in part.values)
        and not _closed(part, tokens)
    ):
        return False  # "no spark, electrode tip burnt away"
    if (
        tokens[hit.end - 1].norm in ("flame", "flames")
        and part is not None
        and _IN_FLAMES & {s.id for s in part.values}
    ):
        return True  # "no flame lifting anywhere": not that there is none
    return (
        whole is not None
        and whole.end > hit.end
        and any(sense.kind == "component" and not sense.note.startswith("weak") for sense in whole.values)
    )


def crack_in(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the crack of "no crack" is one that would be seen."""
    if [token.norm for token in tokens[hit.start : hit.end]] != ["no", "crack"] or tokens[hit.end - 1].pause:
        return False
    return hit.end < len(tokens) and tokens[hit.end].norm in _SEEN


def on_order(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the last word of a verdict or of work begins a wording of work: "all on order" is not "all on", "there's a
    new one on order" not "a new one on"."""
    told = any(sense.kind in ("condition", "work") for sense in hit.values)
    if hit.end - hit.start == 1 or tokens[hit.end - 1].norm != "on" or not told:
        return False
    whole = lexicon().at(tokens, hit.end - 1)
    return whole is not None and whole.end > hit.end and any(sense.kind == "work" for sense in whole.values)


def good_what(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the last word of praise begins praise of its own: "lights fine nice flame"."""
    if hit.end - hit.start < 3 or not any(sense.kind == "condition" and sense.id == "ok" for sense in hit.values):
        return False
    noun = lexicon().at(tokens, hit.end) if hit.end < len(tokens) and not tokens[hit.end - 1].pause else None
    named = noun is not None and any(sense.kind == "component" for sense in noun.values)
    return named and tokens[hit.end - 1].norm in PRAISE and tokens[hit.end - 2].norm in PRAISE


def gone_what(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "it's gone" goes on to say what it has gone: "it's gone hard", "has been knocked skew"."""
    if hit.end - hit.start == 1 or tokens[hit.end - 1].norm not in _BECOME:
        return False
    whole = lexicon().at(tokens, hit.end - 1)
    if tokens[hit.end - 1].norm == "goes" and whole is not None:  # "it goes out with a pop"
        return whole.end > hit.end + 2 and not any(sense.id in ("ok", "passed") for sense in whole.values)
    said = ("condition", "be")
    return whole is not None and whole.end > hit.end and any(sense.kind in said for sense in whole.values)


_TELLING = frozenset("told says said reckons reckoned complained complains reported reports".split())
_LATELY_TOLD = 14  # words back to what somebody told


def _wasnt_at_end(hit: Hit[Sense], tokens: Sequence[Token], end: int) -> Hit[Sense] | None:
    """ "That's why it wasn't holding": what is denied of "it", and nothing is taken back."""
    pair = hit.end - hit.start == 2 and tokens[hit.start].norm == "it" and tokens[hit.start].pause == ""
    if not pair or tokens[hit.end - 1].norm != "wasnt" or tokens[hit.end - 1].pause:
        return None
    whole = lexicon().at(tokens, hit.end - 1, end)
    told = whole is not None and whole.end > hit.end and any(s.kind == "condition" for s in whole.values)
    why = hit.start > 0 and tokens[hit.start - 1].norm == "why"
    after = lexicon().at(tokens, hit.end, end) if hit.end < end else None
    fault = after is not None and any(sense.kind == "condition" and sense.id != "ok" for sense in after.values)
    reported = {token.norm for token in tokens[max(0, hit.start - _LATELY_TOLD) : hit.start]} & _TELLING
    denied = (told and why) or (fault and bool(reported))  # "leaking he told me, I sprayed it, it wasn't leaking"
    return lexicon().at(tokens, hit.start, hit.start + 1) if denied else None


def denial_at_end(hit: Hit[Sense], tokens: Sequence[Token], end: int) -> Hit[Sense]:
    """ "It's got no air in it": where a wording begins with the last word of a denial, the wording is meant."""
    if verb := _wasnt_at_end(hit, tokens, end):
        return verb
    if tokens[hit.end - 1].norm != "no" or any(sense.kind not in ("no", "deny") for sense in hit.values):
        return hit
    whole = lexicon().at(tokens, hit.end - 1, end)
    told = whole is not None and any(sense.kind == "condition" for sense in whole.values)
    named = whole is not None and denied_name(whole, tokens)  # "have no flame failure"
    return whole if whole is not None and told and not named and whole.end > hit.end else hit
