"""What is said in pictures. In: mentions of a talk. Out: those without what something is only likened to, and without what is
said of people, their things and the weather.

"Rocks like a cradle" tells of no cradle; "the telly's had its chips" of no part. Not allowed to know: what an image means;
those that say something stand in the trade's tables.
"""

import bisect
from collections.abc import Sequence
from dataclasses import replace
from operator import attrgetter

from fieldnote.extract.phrases.mention import Mention
from fieldnote.extract.words.tokens import Token

_OPENS = frozenset("a an any some old your my his her nobodys somebodys two last".split())
# "looks like a crack": a guess and what is guessed
_GUESSES = frozenset(
    "look looks looked looking sound sounds sounded seem seems seemed feel feels smell smells something anything nothing more "
    "like is was its it".split()
)
_BARS = frozenset(
    "and but when so cos because where then with without while although though if until unless or it its is was the this "
    "that i we she he they on um uh er erm eh".split()
)
_TOLD_OF = frozenset("is was are were has had wants needs isnt wasnt wont".split())  # what is told of is no image
_THE = frozenset("the t yon".split())  # "as black as t' fire back"
_LED_TO = frozenset("against on to over round at in under off into onto with".split())
_SOMEBODY = frozenset("somebodys someones somethings summats somebody someone something they".split())
_WENT_AT_IT = frozenset("had taken tekken been gone used dropped left sat stood".split())
_AT_WHAT = frozenset("a an at it on".split())
_SENSES = frozenset("smells smelt sounds sounded looks looked feels felt".split())
_GO_ON = frozenset("of in full with".split())
_LONGEST = 4
# of whom and of what an engineer talks while at work
_STRANGERS = frozenset(
    "telly tv van vans car cars dog dogs puppy husband husbands wife wifes missus kids kid lad lads lass bairn "
    "bairns baby garden gardens phone phones mobile football match traffic weather roads road motorway bypass cat "
    "cats carpet dinner tea knees knee face stomach memory boss fellow landlord agent office queue floor sofa "
    "settee wardrobe stairs night train bus satnav nav radio neighbour neighbours mother mum dad father son "
    "daughter boy girl gaffer mate parking fence lawn kettle toaster computer laptop printer team ref pub curry "
    "beer brew coffee hearing voice hat boots coat bin glasses specs windscreen ladder torch pencil".split()
)
_BESIDE = frozenset("above over beside behind by near under below on next".split())
_CALLS = frozenset("phone mobile".split())
_OURS = frozenset("my our wor".split())
_DOERS = frozenset("i ive im weve youve hes shes he she we just nearly almost only not and id".split())
_YOURS = frozenset({"your"})
# what of ours may be one of the parts
_SPARES = frozenset("spare spares last new old own one only other meter reading readings test end".split())
# what lies about where an engineer works
_AT_HAND = frozenset(
    "torch light lamp ladder ladders steps stool chair chairs table bin mat rug toolbox tools bag box pencil pen camera phone "
    "van car telly radio cat dog pram buggy shopping dishes plates fridge bike".split()
)
_WHOSE = frozenset("the that this your his her their my our".split())
_OBJECTS = frozenset("the a an her his my our their it through at on off that this".split())
_OF_A_ROOM = frozenset("tight hot warm dark cold stuffy cramped damp".split())
_PITY = frozenset({"poor", "bless"})
_PEOPLE = frozenset("hes shes he she theyre im".split())
_BETWEEN = frozenset(
    "is was are were has had have been be s goes went going go sounds sound looks look off like got a the just all so both "
    "these really as it too again".split()
)
_IMAGES = frozenset({"component", "condition", "appliance"})


def without_images(found: "list[Mention]", tokens: Sequence[Token]) -> "list[Mention]":
    """The mentions that are not part of an image."""
    bars = {i for m in found if _stands_alone(m, tokens) for i in range(m.start, m.end)}
    bars |= {
        m.start for m in found if m.kind == "condition" and m.end - m.start > 2
    }  # "rough as a badger, rust all over"
    wordings = {i: m.end for m in found if m.kind == "condition" for i in range(m.start, m.end)}
    image: set[int] = set()
    for at, token in enumerate(tokens):
        if token.norm in ("like", "as", "than") and _likens(tokens, at, wordings):
            image.update(_image(tokens, max(at + 1, wordings.get(at, 0)) + _as_the(tokens, at, wordings), bars))
    found = _painted(_without_mere_likeness(found, tokens))
    if not image:
        return found
    kept: list[Mention] = []
    lost = 0
    for mention in found:
        if mention.kind in _IMAGES and image.issuperset(range(mention.start, mention.end)):
            lost += mention.gap + mention.end - mention.start
            continue
        kept.append(replace(mention, gap=mention.gap + lost) if lost else mention)
        lost = 0
    return kept


def _without_mere_likeness(found: "list[Mention]", tokens: Sequence[Token]) -> "list[Mention]":
    """ "Smells like a cellar under there" guesses at nothing: what it is like is nothing of the trade."""
    kept: list[Mention] = []
    lost = 0
    for at, mention in enumerate(found):
        if (
            mention.kind == "hedge"
            and mention.first in _SENSES
            and mention.last == "like"
            and _strange(at, found, tokens)
        ):
            lost += mention.gap + mention.end - mention.start
            continue
        kept.append(replace(mention, gap=mention.gap + lost) if lost else mention)
        lost = 0
    return kept


def _strange(at: int, found: Sequence[Mention], tokens: Sequence[Token]) -> bool:
    """Whether nothing of the trade stands behind "like a"."""
    end = found[at].end
    row = [token.norm for token in tokens[end : end + 3]]
    if row and row[0] in _SOMEBODY and set(row[1:2]) & _WENT_AT_IT and set(row[2:3]) & _AT_WHAT:
        return True  # "looks like somebody's had a bite out of it": that it is broken is no guess
    if end >= len(tokens) or tokens[end].norm not in ("a", "an", "the"):
        return False
    named = next((m for m in found[at + 1 : at + 4] if m.kind != "det"), None)
    if named is None or named.start > end + _LONGEST or named.pause:
        return True
    return named.start > end + 1 and named.kind == "prep"


def _painted(found: "list[Mention]") -> "list[Mention]":
    """ "Seized like an old engine": what it is like only paints what has been said, and is part of that wording. Not where a
    part follows at once, which would be taken for what is told of."""
    kept: list[Mention] = []
    for at, mention in enumerate(found):
        part = at + 1 < len(found) and found[at + 1].kind == "component" and not found[at + 1].gap
        if kept and not part and _only_likens(kept[-1], mention):
            kept[-1] = replace(kept[-1], end=mention.end, last=mention.last)
        else:
            kept.append(mention)
    return kept


def _only_likens(before: Mention, mention: Mention) -> bool:
    if before.kind != "condition" or before.fit or before.end != mention.start:
        return False
    return mention.kind == "condition" and mention.first == "like"


def _stands_alone(mention: Mention, tokens: Sequence[Token]) -> bool:
    """Whether a mention is surely no image: a place, work, a part of which something is told."""
    if mention.kind in ("place", "size"):
        return mention.strong
    told = mention.clitic or (mention.end < len(tokens) and tokens[mention.end].norm in _TOLD_OF)
    return mention.kind == "work" or (mention.kind == "component" and told)


def _likens(tokens: Sequence[Token], at: int, wordings: dict[int, int]) -> bool:
    """Whether "like", "as", "than" opens an image: inside a wording or behind what is done or how it is."""
    if wordings.get(at, 0) < len(tokens) and tokens[wordings.get(at, 0) - 1].norm in ("a", "an") and at in wordings:
        return True  # "like turning a" rusty bolt
    if _as_the(tokens, at, wordings):
        return True
    if not at or tokens[at - 1].pause or not _opens(tokens, at):
        return False
    if (
        at in wordings and (end := wordings[at]) > at + 2
    ):  # the image is part of the wording, but for "of", "in", "full"
        return end < len(tokens) and tokens[end].norm in _GO_ON
    if at in wordings:
        return True
    if tokens[at].norm == "as":
        return at - 1 in wordings and wordings[at - 1] == at
    if tokens[at - 1].norm in ("it", "them") and at > 1 and tokens[at - 2].norm in _LED_TO and not tokens[at - 2].pause:
        return True  # "flattened against it like a squashed hat"
    return not tokens[at - 1].clitic and tokens[at - 1].norm not in _GUESSES


def _as_the(tokens: Sequence[Token], at: int, wordings: dict[int, int]) -> bool:
    """ "As black as the fire back": behind a wording that ends in "as" stands what it is likened to."""
    last = at in wordings and wordings[at] == at + 1 < len(tokens) and tokens[at].norm == "as" and not tokens[at].pause
    return last and tokens[at + 1].norm in _THE


def _opens(tokens: Sequence[Token], at: int) -> bool:
    return at + 1 < len(tokens) and not tokens[at].pause and tokens[at + 1].norm in _OPENS


def _image(tokens: Sequence[Token], at: int, bars: set[int]) -> range:
    """The words of an image that starts at a token."""
    stop = at
    while stop < min(at + _LONGEST, len(tokens)) and tokens[stop].norm not in _BARS and stop not in bars:
        stop += 1
        if tokens[stop - 1].pause:
            break
    return range(at, stop)


def without_strangers(found: "list[Mention]", tokens: Sequence[Token]) -> "list[Mention]":
    """The mentions without wordings of several words that are said of people, their things and the weather."""
    named = {i for m in found if m.kind in ("component", "place", "size") for i in range(m.start, m.end)}
    found = [m for m in found if not _somebodys_state(m, tokens, named)]
    return [m for m in found if not (_of_a_stranger(m, tokens, named) and not _named_next(m, found))]


def _somebodys_state(mention: Mention, tokens: Sequence[Token], named: set[int]) -> bool:
    """How a person, his dog, the room is: nothing that they do to a part."""
    if mention.kind != "condition":
        return False
    single = mention.end - mention.start == 1
    if mention.start and tokens[mention.start - 1].norm == "im" and not mention.fit:
        return True  # "I'm stiff as a board today"
    behind = tokens[mention.end].norm if mention.end < len(tokens) and not tokens[mention.end - 1].pause else ""
    if single and behind in _STRANGERS and mention.start and tokens[mention.start - 1].norm in ("a", "the"):
        return True  # "she's got a cracked windscreen"
    single = single and behind not in _OBJECTS  # "the dog's chewed the hose"
    return (single and _of_its_owner(mention, tokens, named)) or _poor_lad(mention, tokens) or _in_here(mention, tokens)


def _in_here(mention: Mention, tokens: Sequence[Token]) -> bool:
    """ "It's a bit tight in here": the room, or the corner in which somebody works."""
    row = [token.norm for token in tokens[mention.end : mention.end + 2]]
    it = {token.norm for token in tokens[max(0, mention.start - 2) : mention.start]}
    return row == ["in", "here"] and tokens[mention.end - 1].norm in _OF_A_ROOM and "its" in it


def _done_to_ours(mention: Mention, tokens: Sequence[Token], named: set[int]) -> bool:
    """ "Hold on, I've lost my light", "just moving the ladder": what somebody does with his own things."""
    whose = mention.end
    if mention.kind not in ("condition", "work") or whose + 1 >= len(tokens) or named.intersection((whose, whose + 1)):
        return False
    if tokens[whose - 1].pause or tokens[whose].pause or mention.fit:
        return False
    thing = tokens[whose + 1].norm
    before = tokens[mention.start - 1] if mention.start else None
    if tokens[whose + 1].clitic or (before is not None and not before.pause and before.norm not in _DOERS):
        return False  # "tap's loose your tea's getting cold"
    if tokens[whose].norm in _OURS | _YOURS:
        return thing not in _SPARES
    return (
        tokens[whose].norm in ("the", "that", "this", "me") and thing in _AT_HAND and mention.end - mention.start == 1
    )


def _of_a_stranger(mention: Mention, tokens: Sequence[Token], named: set[int]) -> bool:
    if _done_to_ours(mention, tokens, named):
        return True
    if mention.kind != "condition":
        return False
    if mention.end - mention.start < 2:
        return _of_my_own(mention, tokens, named)
    for at in range(mention.start - 1, max(mention.start - 5, -1), -1):
        if at in named or tokens[at].pause:
            return False
        word = tokens[at].norm
        if word in _CALLS and _on_the(tokens, at):
            return False  # "he told me on the phone there was no spark"
        if word in _STRANGERS or word.removesuffix("s") in _STRANGERS or word == "im":
            return not _beside_it(at, tokens, named)
        if at and tokens[at - 1].norm in _OURS:
            return True
        if word not in _BETWEEN:
            return False
    return False


def _beside_it(at: int, tokens: Sequence[Token], named: set[int]) -> bool:
    """ "The alarm above the telly's out of date": where the part is, of which it is said."""
    lead = at - 1 - (tokens[at - 1].norm in _WHOSE)
    if lead > 0 and [tokens[lead - 1].norm, tokens[lead].norm] == ["next", "to"]:
        lead -= 1
    near = lead > 0 and tokens[lead].norm in _BESIDE and lead - 1 in named
    return near and not (tokens[lead].pause or tokens[lead - 1].pause)


def _of_my_own(mention: Mention, tokens: Sequence[Token], named: set[int]) -> bool:
    """ "Left it, my chicken's going cold": a single word of what is the speaker's own and no part."""
    at = mention.start - 1
    if at > 1 and tokens[at].norm in _BETWEEN and not tokens[at].pause:
        at -= 1
    if at < 1 or at in named or tokens[at].pause or tokens[at].norm in _SPARES:
        return False
    return tokens[at - 1].norm in _OURS and not tokens[at - 1].pause


def _poor_lad(mention: Mention, tokens: Sequence[Token]) -> bool:
    """ "He's worn out, poor lad", "she's stiff, bless her": how somebody is."""
    at = mention.end + (mention.end < len(tokens) and tokens[mention.end].norm == "out")
    behind = tokens[at].norm if at < len(tokens) else ""
    return behind in _PITY and bool(mention.start) and tokens[mention.start - 1].norm in _BETWEEN | _PEOPLE


def _of_its_owner(mention: Mention, tokens: Sequence[Token], named: set[int]) -> bool:
    """ "That dog's loose", "her phone is dead": a single word of what nobody would call a part."""
    at = mention.start - 1
    if at > 1 and tokens[at].norm in ("is", "was") and not tokens[at].pause:
        at -= 1
    if at < 1 or at in named or tokens[at].pause or not (tokens[at].clitic or at < mention.start - 1):
        return False
    word = tokens[at].norm.removesuffix("s") if tokens[at].clitic else tokens[at].norm
    return word in _STRANGERS and tokens[at - 1].norm in _WHOSE and not tokens[at - 1].pause


def _on_the(tokens: Sequence[Token], at: int) -> bool:
    """Whether it is only how somebody was told: "on the phone"."""
    row = [token.norm for token in tokens[max(0, at - 2) : at]]
    return row[-1:] in (["on"], ["by"]) or (row[-1:] == ["the"] and row[0] in ("on", "over"))


def _named_next(mention: Mention, found: "list[Mention]") -> bool:
    """Whether a part is named right behind: what a dog or a kettle did to it."""
    next_one = bisect.bisect_left(found, mention.end, key=attrgetter("start"))
    for behind in found[next_one : next_one + 3]:
        if behind.pause or behind.kind == "prep":
            return False
        if behind.kind == "component":
            return behind.start - mention.end < 4
    return False
