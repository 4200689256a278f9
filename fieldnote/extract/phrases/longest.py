"""All phrases of a talk that mean something, left to right, the longest at each place. In: tokens. Out: `Hit`s in order.

Where the longest is not what is meant ("right, front right" is not "right front"), the shorter is taken. Not allowed to know:
which of its meanings a phrase has.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from fieldnote.extract.phrases.asking import Asked
from fieldnote.extract.phrases.corners import (
    CAPPED,
    RIGHTING,
    a_side,
    before_a_corner,
    corner_at,
    corner_at_end,
    ends_in_a_corner,
    likewise,
    opens_with_a_corner,
    right_hand_one,
    right_that,
    right_turns,
    ring_of_a_place,
    takes_a_corner,
    the_right_hand_pair,
    two_at_the_left,
    two_corners,
    unbroken,
)
from fieldnote.extract.phrases.lastword import (
    HMM,
    all_right_at_end,
    and_all_of,
    bar_at_end,
    crack_in,
    denial_at_end,
    denied_name,
    fault_at_end,
    gone_what,
    good_what,
    how_much_of_a_fault,
    it_goes_on,
    longer_name_at_end,
    merely_at_end,
    name_at_end,
    name_behind_praise,
    on_order,
    part_at_end,
    ruled_out,
    told_of_its_noun,
    verdict_and_mark,
)
from fieldnote.extract.phrases.mention import NOMINAL
from fieldnote.extract.phrases.misheard import heard
from fieldnote.extract.phrases.notwhole import (
    BURNER,
    being_at_start,
    burnt_at,
    dates,
    dead_on_what,
    denies_more,
    ends_a_figure,
    fine_then_crack,
    fine_then_spark,
    found_right,
    goes_on_to_say,
    got_it_to,
    it_does_well,
    its_handle,
    led_to_it,
    left_ring,
    of_that_one,
    one_so_and_so,
    one_thats_fit,
    right_not_said,
    several_is,
    side_denied,
    state_and_work,
    stuck_then_new,
    that_lights,
    the_side_after_all,
    unwanted_by_somebody,
)
from fieldnote.extract.phrases.suiting import Named, named_by_its_end, work_on_a_name
from fieldnote.extract.words.lexicon import Sense, lexicon
from fieldnote.extract.words.matcher import Hit
from fieldnote.extract.words.tokens import Token

_STATES = frozenset({"condition", "work"})
_NAMED = NOMINAL | {"det", "prep", "and"}
# "it's stiff is that", "it wants greasing does that one": the subject once more, behind what was said of it
_TAG_VERBS = frozenset("is are was were has have does do did will".split())
_TAKING_UP = frozenset("it its thats that is was were are theyre isnt".split())
_TAG_SUBJECTS = frozenset("that this them these those".split())
_PUTTING = frozenset("fit fitted put got ordered order with for to in".split())
_BOTH = frozenset("switch plug seal tap light".split())  # nouns that are verbs, too
_OWN = (Sense("own", "own-check"),)
_GAVE = frozenset("gave given".split())

_WITH_A_BIT = frozenset("a got has had".split())
_ITS_EDGE = frozenset("the its it her his one".split())


def all_phrases(tokens: Sequence[Token], asked: Sequence[Asked]) -> Iterator[Hit[Sense]]:
    """All phrases; the verb that opens a question and its answer are none, but what they say."""
    at = 0
    for question in asked:
        yield from phrases_within(tokens, at, question.start)
        if question.verb:
            yield Hit(question.start, question.start + 1, (Sense("ask", "ask"),))
        inside = phrases_within(tokens, question.start + question.verb, question.answer)
        if question.yes is None:
            yield from _only_names(inside)
            at = question.end
            continue
        yield from inside
        answer = (
            Sense("answer", "yes")
            if question.yes
            else Sense("no-after", "none-answer" if question.existence else "no-answer")
        )
        yield Hit(question.answer, question.end, (answer,))
        at = question.end
    yield from phrases_within(tokens, at, len(tokens))


def _bit_out_of(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "a bit out" goes on to what the bit is out of."""
    words = [token.norm for token in tokens[hit.start : hit.end + 2]]
    return words[-3:-1] == ["out", "of"] and words[0] in _WITH_A_BIT and words[-1] in _ITS_EDGE


def _only_names(hits: Iterator[Hit[Sense]]) -> Iterator[Hit[Sense]]:
    """What a question that nobody answers speaks of, nothing of what it asks."""
    for hit in hits:
        names = tuple(sense for sense in hit.values if sense.kind in _NAMED)
        if names:
            yield replace(hit, values=names)


_IT_IS = frozenset("is was were has had been".split())


def phrases_within(tokens: Sequence[Token], at: int, end: int) -> Iterator[Hit[Sense]]:
    """Phrases left to right, the longest at each place; a mis-hearing that fits its place stands before a phrase as long."""
    hit: Hit[Sense] | None = None
    named = Named()
    while at < end:
        if hit and hit.end == at and (tag := _tag(hit, tokens, end)):
            at, hit = tag, None
            continue
        hit, misheard = lexicon().at(tokens, at, end), heard(tokens, at)
        if hit and (told := _before_its_mark(hit, tokens)):
            hit = told  # "the fan's had it, two wires are burnt": not "had it two"
        if hit and tokens[at].norm == "next" and tokens[at].pause and hit.end > at + 1:
            hit = lexicon().at(tokens, at, at + 1)  # "oven next: door seal's hard"
        if hit and at and (tokens[at - 1].norm, tokens[at].norm) == ("no", "gas") and hit.end > at + 1:
            after = tokens[hit.end].norm if hit.end < end else ""
            part = any(sense.kind == "component" for sense in hit.values)
            hit = (
                lexicon().at(tokens, at, at + 1) if part and after in _IT_IS else hit
            )  # "spark but no gas, jet was blocked"
        if hit and right_hand_one(hit, tokens):
            hit = lexicon().at(tokens, at + 1, hit.end)  # "the right one has a chip in it"
        if hit and ends_a_figure(hit, tokens):
            hit = None  # "front right twenty two, back right eight": not "two back"
        if hit and _fitting_one(hit, tokens) and not the_side_after_all(hit, tokens):
            hit = None  # "so I fitted the right one": the part that belongs there
        if hit and hit.slot and tokens[hit.slot[0]].norm == "wrong" and hit.slot[0] > hit.start:
            hit = None  # "somebody's put a wrong one in": nothing was renewed
        if hit and (one_so_and_so(hit, tokens) or its_handle(hit, tokens)):
            hit = lexicon().at(tokens, at, at + 1)  # "one missing crown": not "one missing"
        if hit and (fine_then_spark(hit, tokens) or fine_then_crack(hit, tokens) or burnt_at(hit, tokens)):
            hit = lexicon().at(tokens, at, at + 1) or hit  # "other two fine, spark fine", "lead burnt on the right one"
        if hit and _bit_out_of(hit, tokens):
            hit = lexicon().at(tokens, at, at + 1)  # "has a bit out of the edge": not "a bit out"
        if hit and good_what(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1)  # "lights fine, nice flame"
        if hit and opens_with_a_corner(hit, tokens):
            hit = a_side(at, tokens)  # "back right goes out as soon as you let go": not what goes right out
        if hit and (first_of_two := two_corners(hit, tokens)):
            hit = first_of_two  # "back right and left front": not "back right and left"
        if hit and right_that(hit, tokens):
            hit = lexicon().at(tokens, at, at + 1)
        if hit and two_at_the_left(hit, tokens):
            hit = lexicon().at(tokens, at + 1, hit.end)  # "the two left taps": not those that remain
        if hit and before_a_corner(hit, tokens):
            hit = lexicon().at(tokens, at, at + 1)  # "can't find it back right goes out": the corner
        if hit and ring_of_a_place(hit, tokens):
            hit = lexicon().at(tokens, at, at + 1)  # "left ring, the jet's blocked": nobody is rung
        if hit and ends_in_a_corner(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 2)  # "clipped that on back right tap stiff"
        if hit and right_turns(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1) or hit  # "pressed it in, right, cooker"
        if hit and dead_on_what(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1)
        if hit and of_that_one(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1) or hit  # "can't fault that tap"
        if hit and (one_thats_fit(hit, tokens) or it_does_well(hit, tokens)):
            hit = lexicon().at(tokens, at, at + 1) or hit  # "the front left one that's sparking a treat"
        if hit and unwanted_by_somebody(hit, tokens):
            hit = lexicon().at(tokens, at, at + 2)  # "she doesn't want anything doing"
        if hit and the_right_hand_pair(hit, tokens):
            hit = lexicon().at(tokens, at, at + 1)  # "they're the right hand pair": nobody is agreed with
        if hit and goes_on_to_say(hit, tokens):
            hit = replace(hit, values=_OWN)  # "and it was bang on": what he found himself
        if hit and got_it_to(hit, tokens):
            hit = None  # "I got the stiff one moving": not "I got"
        if hit and tokens[at].norm == "the" and the_side_after_all(hit, tokens):
            hit = lexicon().at(tokens, at, at + 1)
        if hit and led_to_it(hit, tokens):
            hit = lexicon().at(tokens, at, at + 1)  # "the knob for it is cracked": not "it is"
        if hit and (denies_more(hit, tokens, end) or left_ring(hit, tokens)):
            hit = lexicon().at(tokens, at, at + 1)  # "and it doesn't cut off anything": not "and it doesn't"
        if hit and _not_one(hit, tokens, end):
            hit = lexicon().at(tokens, at, at + 1)  # "there's not one bubble": no part is missing
        if hit and bar_at_end(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1)  # "the sparkers all fire bar the rear right"
        after_side = hit and _side_and_row(hit, tokens)
        corner = corner_at(hit.end - 1, tokens) if hit and after_side else None
        if hit and corner and tokens[hit.end].norm != "and":  # nor "left front and left rear"
            hit = lexicon().at(tokens, at, at + 1)  # "right, front right", "right um front right": not "right front"
        if hit and hit.slot and (first := _at_its_first_end(hit, tokens)):
            hit = first  # "put them back the two back caps": not "put ... the two back"
        if hit and (takes_a_corner(hit, tokens) or gone_what(hit, tokens) or on_order(hit, tokens)):
            hit = lexicon().at(tokens, at, hit.end - 1)  # "moved ... um back left": not "moved back"
        if (
            hit
            and hit.slot
            and (_over_its_object(hit.slot, tokens) or state_and_work(hit, tokens) or dates(hit, tokens))
        ):
            hit = lexicon().at(tokens, at, hit.slot[0]) or lexicon().at(tokens, at, at + 1)
        if hit and hit.slot and tokens[at].norm in _GAVE and tokens[hit.slot[0]].norm == "up":
            hit = lexicon().at(tokens, at, hit.slot[0] + 1)  # "given up, so a new one": nothing was given
        if hit and hit.slot and tokens[at].norm in ("left", "right") and tokens[hit.slot[0]].norm in ("hand", "one"):
            hit = lexicon().at(tokens, at, hit.slot[1])  # "left hand one went out": nobody left it out
        if hit and all_right_at_end(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1)
        if hit and (verdict_and_mark(hit, tokens) or and_all_of(hit, tokens)):
            hit = lexicon().at(tokens, at, at + 1) or hit  # "looks ok, so": not "ok so"
        if hit and right_not_said(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1)  # "the cap is right front": where it is
        if hit and (side_denied(hit, tokens) or several_is(hit, tokens)):
            hit = lexicon().at(tokens, at, hit.end - 1)  # "it's the front left, not the right", "knobs is all greasy"
        if hit and found_right(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1) or hit  # "the rest are right": not where they are
        if hit and it_goes_on(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1)  # "is missing, it has to be ordered": not "missing it"
        if hit and denied_name(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1) or hit  # "no flame failure": not "no flame"
        if hit and crack_in(hit, tokens):
            hit = lexicon().at(tokens, at, at + 1) or hit  # "no crack in the electrode": not that of a spark
        if hit and tokens[hit.end - 1].norm in BURNER and part_at_end(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1) or hit  # "rear burner heads": not "rear burner"
        if hit and _cap_of_a_burner(hit, tokens):
            hit = lexicon().at(tokens, at, at + 1)  # "get the front right cap off"
        if hit and _the_switch_on(hit, tokens):
            hit = lexicon().at(tokens, at, at + 1)  # "the switch on the back left got damp"
        if hit and stuck_then_new(hit, tokens):
            hit = lexicon().at(tokens, at, at + 1) or hit  # "stuck; new one needed": not "stuck a new one in"
        if hit and being_at_start(hit, tokens):
            hit = lexicon().at(tokens, at, at + 1)  # "is hard to turn": not "is hard"
        if hit and (name_at_end(hit, tokens) or fault_at_end(hit, tokens) or told_of_its_noun(hit, tokens)):
            hit = lexicon().at(tokens, at, hit.end - 1)  # "off the top plate": not "off the top"
        if hit and how_much_of_a_fault(hit, tokens):
            hit = lexicon().at(tokens, hit.end - 1)  # "a bit slow to catch": not "a bit slow"
        if hit and name_behind_praise(hit, tokens):
            hit = lexicon().at(tokens, at, at + 1)  # "electrode fine spark box fine": not "fine spark"
        if hit and ruled_out(hit, tokens):
            hit = lexicon().at(tokens, at, at + 1)  # "so it's not that the jet was blocked": the jet was
        if hit and longer_name_at_end(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1)  # "oven door seal": not "oven door"
        if hit and that_lights(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1) or hit  # "the pilot lights but": not "pilot lights"
        if hit and merely_at_end(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1)  # "but it's just dirt": not "it's just"
        if hit and named_by_its_end(hit, tokens):
            hit = lexicon().at(tokens, at, hit.end - 1)  # "needs a gas valve": not "needs a gas"
        if hit and (verb := work_on_a_name(hit, tokens)):
            hit = verb  # "rearranged the coals": these are what was worked on
        if hit and _over_a_stop(hit, tokens):
            hit = None  # "over the sink. Tap seized"
        if misheard and misheard.end <= end and (hit is None or misheard.end >= hit.end):
            hit = misheard
        if hit:
            hit = denial_at_end(corner_at_end(unbroken(hit, tokens), tokens), tokens, end)
            hit = named.shorter(hit, tokens)
            named.note(hit)
            yield hit
            if hit.slot:
                yield from phrases_within(tokens, *hit.slot)
            if whole := _said_with_the_name(hit, tokens, end):
                hit = whole
                yield hit
        at = hit.end if hit else at + 1


def _at_its_first_end(hit: Hit[Sense], tokens: Sequence[Token]) -> Hit[Sense] | None:
    """The same wording up to where its last word was said first, where it reached on to the same word once more."""
    last = tokens[hit.end - 1].norm
    begin, end = hit.slot or (hit.end, hit.end)
    stop = next((at for at in range(begin + 1, end) if tokens[at].norm == last), None)
    short = lexicon().at(tokens, hit.start, stop + 1) if stop is not None and end == hit.end - 1 else None
    same = short is not None and stop is not None and short.end == stop + 1
    return short if same and short is not None and {s.id for s in short.values} & {s.id for s in hit.values} else None


def _side_and_row(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether a wording is "right" or "left" and one word more, with nothing but "um" between them."""
    words = [token.norm for token in tokens[hit.start : hit.end]]
    return (
        len(words) > 1 and words[0] in ("right", "left") and not tokens[hit.end - 1].pause and set(words[1:-1]) <= HMM
    )


def _before_its_mark(hit: Hit[Sense], tokens: Sequence[Token]) -> Hit[Sense] | None:
    """What is said before a mark, where a wording that means nothing would reach over the mark."""
    if any(sense.kind != "nothing" for sense in hit.values):
        return None
    if hit.end - hit.start == 2 and tokens[hit.start].norm in ("left", "right") and tokens[hit.start].pause:
        return lexicon().at(tokens, hit.start, hit.start + 1)  # "Right: jet clear": not "the right jet"
    mark = hit.end - 1 if tokens[hit.end - 2].pause and hit.end - hit.start > 1 else None
    told = lexicon().at(tokens, hit.start, mark) if mark else None
    if told is None or told.end != mark:
        return None
    if any(sense.kind == "component" and not sense.note.startswith("weak") for sense in told.values):
        return told  # "changed the front left cap, it was chipped": not "cap it"
    return told if mark - hit.start > 1 and any(sense.kind in _STATES for sense in told.values) else None


def _over_a_stop(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether a thing of the house ("sink tap") is made up of the end of one sentence and the beginning of the next."""
    stops = any(tokens[at].pause == "." for at in range(hit.start, hit.end - 1))
    return stops and all(sense.kind == "nothing" for sense in hit.values)


def _fitting_one(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "right one" is a new part that was put in, its article swallowed by the work: nothing is said of it."""
    row = [token.norm for token in tokens[max(0, hit.start - 2) : hit.end]]
    put = row[0] in _PUTTING and row[1:2] in (["the"], ["a"]) and row[-1] in ("one", "ones", "jet")
    if put and all(sense.id == "wrong-part" for sense in hit.values):
        return True  # "fitted the LPG one"
    fitting = len(row) == 4 and row[0] in RIGHTING and row[1:3] == ["the", "right"] and row[3] in ("one", "ones")
    return fitting and not likewise(hit.start - 1, tokens)


def _not_one(hit: Hit[Sense], tokens: Sequence[Token], end: int) -> bool:
    """Whether "not one" at the end of "there's not one" counts a fault that follows."""
    words = [token.norm for token in tokens[hit.start : hit.end]]
    if words[-2:] != ["not", "one"] or len(words) < 3 or tokens[hit.end - 1].pause or hit.end >= end:
        return False
    fault = lexicon().at(tokens, hit.end, end)
    return fault is not None and any(sense.kind == "condition" and sense.id != "ok" for sense in fault.values)


def _tag(said: Hit[Sense], tokens: Sequence[Token], end: int) -> int | None:
    """Where "is that" ends behind what was said, when it only takes up the subject."""
    at = said.end
    told = any(sense.kind in ("condition", "work", "cured") for sense in said.values)
    if not told or at + 2 > end or tokens[at - 1].pause or tokens[at].norm not in _TAG_VERBS:
        return None
    if tokens[at + 1].norm not in _TAG_SUBJECTS or tokens[at].pause:
        return None
    stop = at + 2 + (at + 2 < end and tokens[at + 2].norm in ("one", "un", "uns", "ones") and not tokens[at + 1].pause)
    whole = lexicon().at(tokens, at, end)
    if whole is not None and (whole.end > stop or any(sense.kind == "carried-out" for sense in whole.values)):
        return None  # "clamp loose, did that up"
    name = lexicon().at(tokens, stop) if stop < end and not tokens[stop - 1].pause else None
    named = name is not None and any(sense.kind in ("component", "appliance") for sense in name.values)
    return None if named and name is not None and stop == at + 2 and not _said_of(name.end, tokens) else stop


def _said_of(at: int, tokens: Sequence[Token]) -> bool:
    """Whether what was named just before is spoken of: "has that plate it's taped up"."""
    return at < len(tokens) and not tokens[at - 1].pause and tokens[at].norm in _TAKING_UP


def _said_with_the_name(name: Hit[Sense], tokens: Sequence[Token], end: int) -> Hit[Sense] | None:
    """ "Lid springs have gone": where a wording begins with the last word of a name and is said of such a part, what
    follows the name says that."""
    ids = {sense.id for sense in name.values if sense.kind == "component"}
    if not ids or name.end - name.start == 1 or tokens[name.end - 1].pause or name.end >= end:
        return None
    whole, plain = lexicon().at(tokens, name.end - 1, end), lexicon().at(tokens, name.end, end)
    alike = tokens[name.end].norm == "gone"  # "hose date's gone": expired, not missing
    if whole is None or whole.end <= name.end or (plain is not None and plain.end >= whole.end + alike):
        return None
    told = (sense for sense in whole.values if sense.kind == "condition" and sense.note != "alone")
    said = tuple(sense for sense in told if sense.of and sense.of & ids)
    return Hit(name.end, whole.end, said) if said else None


def _cap_of_a_burner(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "cap off" is no work: an article or a place stands before the cap."""
    if [token.norm for token in tokens[hit.start : hit.end]] != ["cap", "off"] or not hit.start:
        return False
    before = tokens[hit.start - 1]
    return not before.pause and before.norm in CAPPED


def _the_switch_on(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether a name that its article makes a noun stands in what would be a verb: "the switch on the back left"."""
    if (
        hit.end - hit.start != 2
        or tokens[hit.start].norm not in _BOTH
        or tokens[hit.start + 1].norm not in ("on", "off")
    ):
        return False
    led = hit.start > 0 and tokens[hit.start - 1].norm in ("the", "its", "a", "that")
    goes_on = hit.end < len(tokens) and not tokens[hit.end - 1].pause and tokens[hit.end].norm in ("the", "that", "its")
    return led and goes_on and all(sense.kind == "nothing" for sense in hit.values)


def _over_its_object(slot: tuple[int, int], tokens: Sequence[Token]) -> bool:
    """ "Changed it regulator's way out of date": not "changed ... out"; after "it" no other part is the object."""
    first, end = slot
    if tokens[first].norm == "out" and tokens[first - 1].norm in ("turned", "turns"):
        return True  # "turned out the floor's off": nothing was turned off
    if (
        tokens[first].norm in ("one", "ones", "un")
        and end - first > 1
        and tokens[first + 1].norm in ("the", "its", "his", "her")
    ):
        return True  # "get a new one the mains lead on the boiler": not "new ... on"
    if any(_is_so(at, end, tokens) for at in range(first + 1, end)):
        return True  # "a new valve, er, grill's bang on": not "new ... on"
    if tokens[first].norm not in ("it", "them") or end - first < 2:
        return False
    found = (lexicon().at(tokens, at, end) for at in range(first + 1, end))
    return any(hit is not None and any(_whole_name(s) for s in hit.values) for hit in found)


def _is_so(at: int, end: int, tokens: Sequence[Token]) -> bool:
    """Whether a name ends at a word in a slot with "is": of what belongs to it another name would follow."""
    if not tokens[at].clitic or at + 1 >= end:
        return False
    part, next_ = lexicon().at(tokens, at, at + 1), lexicon().at(tokens, at + 1)
    named = part is not None and any(_whole_name(s) or s.kind == "appliance" for s in part.values)
    return named and not (next_ is not None and any(s.kind == "component" for s in next_.values))


def _whole_name(sense: Sense) -> bool:
    """Whether it is a name of a part or corner that is enough by itself."""
    return (sense.kind == "component" and not sense.note.startswith("weak")) or (
        sense.kind == "place" and "-" in sense.id
    )
