"""Whether a name in s is a plural or carries the "'s" of what is told of it. In: tokens. Out: yes or no. Not allowed to know:
what was said before in the talk.
"""

from collections.abc import Sequence

from fieldnote.extract.draft import Draft
from fieldnote.extract.words.lexicon import Sense, lexicon
from fieldnote.extract.words.matcher import Hit
from fieldnote.extract.words.tokens import Token

_SEVERAL = frozenset("are were both all these those arent have two".split())
_ROWS = frozenset("fronts rears backs lefts rights".split())
# what is said of several: of one it would be "goes", "lights"
_BEING_SEVERAL = frozenset(
    "are were arent werent have havent both all dont do wont go come light spark burn work run catch hold stay want need look "
    "seem turn".split()
)
_VERBS_OF_SEVERAL = _BEING_SEVERAL - {"all", "both", "come"}  # "the leads come off": it has
_BEFORE_SEVERAL = frozenset("all both four other some these those three two".split())
_BEHIND_ITS_VERB = frozenset(
    "a an all been come gone got just lost never no not on only quite so still the too very well".split()
)
_OF_ONE = frozenset("ports holes slots pins contacts terminals threads tips cones bars".split())  # several of one part
_BEING_ONE = frozenset("is was shows showed leaks sticks".split())
_ANY = frozenset("any none neither each every".split())


def many(hit: Hit[Sense], draft: Draft) -> bool:
    """Whether a name in s is a plural: no apostrophe where others have one, or "are" and the like beside it. A recogniser
    writes "the jets blocked" as often as "the jet's blocked"."""
    tokens = draft.tokens
    last = tokens[hit.end - 1]
    sides = any(sense.kind == "place" and sense.id in ("front", "rear", "left", "right") for sense in hit.values)
    joined = hit.start > 0 and tokens[hit.start - 1].norm == "and"  # "middle and right ones"
    if sides and last.norm in ("ones", "uns") and not last.clitic and not joined:
        behind = tokens[hit.end].norm if hit.end < len(tokens) and not last.pause else ""
        return behind in _BEING_SEVERAL
    if sides and last.norm in _ROWS and not (last.clitic or joined):
        behind = tokens[hit.end].norm if hit.end < len(tokens) and not last.pause else ""
        # "the fronts are fine"
        return behind in _BEING_SEVERAL | {"much", "same", "just"} or (
            hit.start > 0 and tokens[hit.start - 1].norm == "the"
        )
    plural = any(sense.note.endswith("s") for sense in hit.values) or last.norm in ("burners", "rings")
    if _of_them_all(hit, tokens):
        return True
    if not plural or last.clitic:
        return False
    row = any(sense.kind == "place" and sense.id in ("front", "rear", "left", "right") for sense in hit.values)
    if row and last.norm in ("burners", "rings"):
        return True  # "the back burners": both of them
    around = {tokens[i].norm for i in (hit.start - 1, hit.end) if 0 <= i < len(tokens)}
    nearby = tokens[max(0, hit.start - 40) : hit.end + 40]
    if any(t.end in draft.soft for t in nearby) and _told_of_one(tokens, hit.end):
        return hit.start > 0 and tokens[hit.start - 1].norm in _BEFORE_SEVERAL
    written = any(t.pause for t in nearby[:-1]) and last.norm not in _OF_ONE  # with commas, so with apostrophes too
    return bool(around & _SEVERAL) or any(t.clitic for t in nearby) or written


def _told_of_one(tokens: Sequence[Token], at: int) -> bool:
    """Whether words begin what is told of a name before them, with the verb in its s ("jets been drilled", "jets blocked")."""
    if at == len(tokens) or tokens[at - 1].pause or tokens[at].norm in _VERBS_OF_SEVERAL:
        return False
    if tokens[at].norm in _BEHIND_ITS_VERB:
        return True
    hit = lexicon().at(tokens, at)
    return hit is not None and any(sense.kind == "condition" for sense in hit.values)


def _of_them_all(hit: Hit[Sense], tokens: Sequence[Token]) -> bool:
    """ "No leak at any tap", "no tap is leaking", "none of the taps": whichever it may be, not the one in talk."""
    before = [token.norm for token in tokens[max(0, hit.start - 3) : hit.start]]
    behind = tokens[hit.end].norm if hit.end < len(tokens) and not tokens[hit.end - 1].pause else ""
    denied = before[-1:] == ["no"] and behind in _BEING_ONE
    return denied or before[-1:] == ["any"] or (len(before) == 3 and before[0] in _ANY and before[1] == "of")
