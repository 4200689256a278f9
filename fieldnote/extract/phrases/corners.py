"""Phrases that hold a corner or a side that is none of theirs. In: a phrase of the tree and the words around it. Out: whether
it is given up, or what is left of it.

"Front left rear right" is two corners, "right then" none. Not allowed to know: clauses, facts.
"""

from collections.abc import Sequence

from fieldnote.extract.words.lexicon import Sense, lexicon
from fieldnote.extract.words.matcher import Hit
from fieldnote.extract.words.tokens import Token

# "fitted the right one": a new part, no place
RIGHTING = frozenset("fit fitted put is was its thats not got isnt wasnt be with".split())
_LIKEWISE = frozenset(
    [(so, verb) for so in ("so", "neither", "nor", "as") for verb in "is was are were has does did".split()]
)
CAPPED = frozenset("the that this its burner left right front rear back middle centre wok simmer big small".split())
_HOME = frozenset("on in up down off out home together over".split())  # with which work ends
_OF_A_SIDE = frozenset({"hand", "side"})  # behind "left" or "right"
_CORRECTING = frozenset("no sorry wait mean rather".split())


def unbroken(hit: Hit[Sense], tokens: Sequence[Token]) -> Hit[Sense]:
    """A name of a part or of two places does not run across a comma ("away from the burner, set it back", "right front, both
    stiff") nor over an article in a list ("the electrode the lead and the cap")."""
    if hit.end - hit.start == 3 and tokens[hit.start + 1].norm == "the" and hit.values[0].kind == "pronoun":
        return lexicon().at(tokens, hit.start, hit.start + 1) or hit  # "replaced that, the one on the right"
    if hit.end - hit.start == 1 or all(sense.kind not in ("component", "size", "group") for sense in hit.values):
        return hit
    stop = next((i for i in range(hit.start, hit.end - 1) if tokens[i].pause or _listed_at(i + 1, hit, tokens)), None)
    if stop is None:
        return hit
    # "there's no gas, tap's seized": what stands before the comma may be no name at all
    return lexicon().at(tokens, hit.start, stop + 1) or lexicon().at(tokens, stop + 1, hit.end) or hit


def _listed_at(at: int, hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether an article stands between two names of parts."""
    if tokens[at].norm != "the" or at + 1 >= hit.end:
        return False
    names = (lexicon().at(tokens, hit.start, at), lexicon().at(tokens, at + 1, hit.end))
    return all(
        name is not None and name.end in (at, hit.end) and any(s.kind == "component" for s in name.values)
        for name in names
    )


def corner_at_end(hit: Hit[Sense], tokens: Sequence[Token]) -> Hit[Sense]:
    """ "At the rear left the", "on the right hand front", "going back left": where a corner begins in the last words, the corner
    is meant; "on the left front right ..." may be either."""
    sides = {sense.id for sense in hit.values if sense.kind == "place"} & {"front", "rear", "left", "right"}
    if hit.end - hit.start == 1 and not sides & {"front", "rear"}:
        return hit  # "right, that front left knob"
    if not sides and any(sense.kind != "nothing" for sense in hit.values):
        return hit
    first = hit.end - 1 - (bool(sides) and hit.end - hit.start > 1 and tokens[hit.end - 1].norm in _OF_A_SIDE)
    sided = bool(sides & {"left", "right"})
    # "on the left front and back right": not "front and back"
    corner = (a_side(first, tokens) if sided else None) or corner_at(first, tokens)
    if corner is None or corner.end <= hit.end or right_that(corner, tokens):
        return hit
    if sided and hit.end < len(tokens) and a_side(hit.end, tokens):
        return hit
    return Hit(hit.start if sides else corner.start, corner.end, corner.values)


def two_corners(hit: Hit[Sense], tokens: Sequence[Token]) -> Hit[Sense] | None:
    """ "Back right and left front taps", "right front and back right": two corners, where the words up to the last but one would
    be a row of two. Gives the first of them."""
    last = hit.end - 1
    row = hit.end - hit.start == len(("back", "right", "and", "left")) and tokens[last - 1].norm == "and"
    if not row or tokens[last].pause or all(sense.kind != "group" for sense in hit.values):
        return None
    hand = last + 1 < len(tokens) and tokens[last + 1].norm == "hand"  # "back right and left hand front"
    second = lexicon().at(tokens, last, last + 3) if hand else a_side(last, tokens)
    corner = second is not None and any(sense.kind == "place" and "-" in sense.id for sense in second.values)
    return a_side(hit.start, tokens) if corner else None


def right_that(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Right, that front left knob is changed": a word to begin with, and no corner."""
    inside = {token.norm for token in tokens[hit.start + 1 : hit.end - 1]}
    return tokens[hit.start].norm == "right" and bool(inside & _POINTING) and hit.values[0].kind == "place"


_POINTING = frozenset("that this those these".split())
_BEFORE = frozenset("it she he they just then".split())
_GOES = frozenset("goes drops cuts dies pops blows conks fades wont keeps went dropped cut".split())


def opens_with_a_corner(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Back right goes out as soon as you let go": a corner and what is said of it, whatever may go right out."""
    return (
        hit.end > hit.start + 2 and all(s.kind == "condition" for s in hit.values) and bool(a_side(hit.start, tokens))
    )


def before_a_corner(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "Nobody can find it back right goes out": the corner behind "it" begins what is said of it."""
    if hit.end <= hit.start + 3 or not all(sense.kind == "condition" for sense in hit.values):
        return False
    verb = tokens[hit.start + 3].norm
    return tokens[hit.start].norm in _BEFORE and verb in _GOES and bool(a_side(hit.start + 1, tokens))


def a_side(at: int, tokens: Sequence[Token]) -> Hit[Sense] | None:
    """A corner told in two words that begins at a word."""
    found = lexicon().at(tokens, at, at + 2)
    return found if found and any(sense.kind == "place" and "-" in sense.id for sense in found.values) else None


def two_at_the_left(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "the two left" are those at the left, and not those that remain: what they are stands behind it."""
    rest = any(sense.kind == "group" and sense.id == "rest" for sense in hit.values)
    if not rest or [token.norm for token in tokens[hit.start : hit.end]] != ["the", "two", "left"]:
        return False
    part = lexicon().at(tokens, hit.end) if hit.end < len(tokens) and not tokens[hit.end - 1].pause else None
    return part is not None and any(sense.kind == "component" and sense.note.endswith("s") for sense in part.values)


def ring_of_a_place(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "ring the" is a burner and what follows: a place or a size stands right before it."""
    if hit.end - hit.start < 2 or tokens[hit.start].norm != "ring" or not hit.start:
        return False
    before = tokens[hit.start - 1]
    return before.norm in CAPPED - {"the", "that", "this", "its"} | {"hand"} and not before.pause


def right_turns(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "right" at the end of a wording of work begins the talk of another appliance."""
    if hit.end - hit.start < 3 or tokens[hit.end - 1].norm != "right" or hit.end >= len(tokens):
        return False
    after = lexicon().at(tokens, hit.end)
    moves = after is not None and any(s.kind == "appliance" and s.note.startswith("strong") for s in after.values)
    return moves and all(sense.kind == "work" for sense in hit.values)


def the_right_hand_pair(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "they're the right" goes on to a side, and agrees with nobody: "they're the right hand pair"."""
    behind = tokens[hit.end].norm if hit.end < len(tokens) and not tokens[hit.end - 1].pause else ""
    agreeing = hit.end - hit.start > 1 and all(sense.kind in ("confirm", "nothing") for sense in hit.values)
    return agreeing and tokens[hit.end - 1].norm in ("right", "left") and behind in ("hand", "side", "pair")


def ends_in_a_corner(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether work that is told to its end takes in the corner of the next burner: "pushed that on, back right tap's stiff"."""
    told = hit.end - hit.start > 3 and tokens[hit.end - 3].norm in _HOME
    if not told or hit.end >= len(tokens) or tokens[hit.end - 1].pause or any(s.kind != "work" for s in hit.values):
        return False
    corner = corner_at(hit.end - 2, tokens)
    return corner is not None and corner.end == hit.end


def takes_a_corner(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether the last word of work or of a name begins a corner: "nice flame front right"."""
    named = hit.end - hit.start > 1 and any(sense.kind in ("component", "still") for sense in hit.values)
    bent = (
        hit.end - hit.start > 1 and tokens[hit.end - 1].norm == "back" and lexicon().at(tokens, hit.start, hit.end - 1)
    )
    if bent and any(sense.kind == "condition" or (sense.kind, sense.note) == ("work", "done") for sense in bent.values):
        if corner_at(hit.end - 1, tokens) is not None:
            return True  # "its crown's bent back right's fine"
        pair = lexicon().at(tokens, hit.end - 1, hit.end + 1) if not tokens[hit.end - 1].pause else None
        return pair is not None and any(
            sense.kind == "group" for sense in pair.values
        )  # "electrode snapped back two fine"
    return (named or hit.slot is not None) and corner_at(hit.end - 1, tokens) is not None


def right_hand_one(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """Whether "the right one" is a place: something is said of it."""
    words = [token.norm for token in tokens[hit.start : hit.end]]
    if words[:2] != ["the", "right"] or words[2:] not in (["one"], ["ones"], ["un"], ["uns"]):
        return False
    before = tokens[hit.start - 1] if hit.start else None
    if likewise(hit.start, tokens):
        return True
    if before is not None and not before.pause and (before.norm in RIGHTING or before.clitic):
        return False
    lately = [token.norm for token in tokens[max(0, hit.start - 8) : hit.start]]
    if before is not None and before.norm in _CORRECTING and "left" in lately:
        return True  # "the left one's stiff, no the right one"
    ends = hit.end >= len(tokens) or bool(tokens[hit.end - 1].pause)
    said = None if ends else lexicon().at(tokens, hit.end)
    return said is not None and any(sense.kind in ("be", "condition", "not", "no") for sense in said.values)


def likewise(at: int, tokens: Sequence[Token]) -> bool:
    """ "The left one's cracked and so is the right one": the other one of two."""
    return tuple(token.norm for token in tokens[max(0, at - 2) : at]) in _LIKEWISE


def corner_at(at: int, tokens: Sequence[Token]) -> Hit[Sense] | None:
    """The corner of a hob ("back left") that begins at a word and goes on behind it; none where no word is left."""
    whole = lexicon().at(tokens, at) if at < len(tokens) else None
    if whole is None or whole.end == at + 1:
        return None
    places = tuple(sense for sense in whole.values if sense.kind == "place" and "-" in sense.id)
    return Hit(at, whole.end, places) if places else None
