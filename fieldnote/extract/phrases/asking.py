"""Questions: "is the knob cracked, no it isn't", "tap leak? none". In: tokens. Out: `Asked` spans.

A question without its mark opens with a verb before its subject and must be answered within a few words, so that "is the"
elsewhere is none; one with its mark is one whatever follows. Not allowed to know: what is asked about.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from fieldnote.extract.words import forms
from fieldnote.extract.words.lexicon import lexicon
from fieldnote.extract.words.tokens import Token

REACH = 14  # words between the verb that opens a question and its answer
_OPENING = frozenset("is are was were does do did has have".split())
_DOING = frozenset("does do did".split())
_SUBJECTS = frozenset(
    "the a an any there your all both either front rear back left right it they that this these".split()
)
# what stands before the verb of a statement: "that is the", "the trouble is the"
_STATING = frozenset(
    "whoever whatever "
    "it that this he she they which there here what one ones problem trouble fault cause issue who how where why when you all "
    "thing i we not none reason so only always never usually still".split()
)
_YES = frozenset("yes yeah yep yup aye".split())
_NO = frozenset("no nope nah nay negative nil".split())
_AGAIN = frozenset("also again still well".split())
_WHO = frozenset("it they he she there that you we i".split())
_IS = frozenset("is are does do did was were has have had can".split())
_ISNT = frozenset("isnt arent doesnt dont didnt wasnt werent hasnt havent hadnt cant".split())
_HAVING = frozenset("the it they he she your that this there".split())
_EXISTING = frozenset("there any got fitted have".split())
_WHAT_IT_WAS = frozenset("the that this front rear back left right top bottom".split())
_TAGS = frozenset("isnt arent wasnt doesnt dont didnt hasnt havent right ok okay yeah eh no innit see know".split())
# "did you know the knob's cracked?" tells it
_TELLING = (
    ("did", "you", "know"),
    ("did", "you", "see"),
    ("did", "you", "notice"),
    ("do", "you", "know"),
    ("do", "you", "see"),
)
# "you can leave that, can't you?", "it's not the magnet, is it?"
_TAG_VERBS = frozenset(
    "is are was were do does did has have can could will would should cant couldnt wont wouldnt shouldnt aint".split()
)
_ASKING = frozenset("what which who why how might may".split())
_SENSING = frozenset("feel see hear smell notice spot".split())  # "feel the split?" tells it
_ASKERS = frozenset("he she they customer lady tenant".split())
_SAYS = frozenset("says say said asks ask asked goes wonders".split())
_SHORTEST = 4  # words of a question with who asks it, less one
_DENIALS = tuple(
    tuple(said.split())
    for said in (
        "none", "nothing", "never", "nowt", "not a bit of it", "not a bit", "not at all", "not a sign", "not a trace", "not one",
        "not really", "not any more", "not that i can see", "not that i could see", "not that i could find", "not on your life",
        "not a whiff", "not a drop", "not a thing", "none found", "none at all", "none whatsoever", "not now", "not today",
    )
)  # fmt: skip


_NEED = 4  # words behind an answer in which stands that it is not needed
_NEEDED = frozenset("need needs want wants require requires required needed wanted".split())
_NOT_SO = frozenset("dont doesnt doesnae not none never neednt isnt wouldnt no".split())


@dataclass(frozen=True, slots=True)
class Asked:
    """A question from `start` to `answer` (exclusive), the answer up to `end`. `yes`: what it says, None where nothing is
    answered. `existence`: whether it asks for something to be there at all ("is there a chain"). `verb`: it begins with the
    verb that asks."""

    start: int
    answer: int
    end: int
    yes: bool | None
    existence: bool
    verb: bool = True


def named_then_done(tokens: list[Token]) -> None:
    """ "Thermocouple? Changed.": the name alone, and behind its mark what was done to it, as one sentence."""
    start = 0
    for at, token in enumerate(tokens[:-1]):
        if token.asks:
            first = start + (tokens[start].norm in ("the", "and", "that", "your"))
            name, work = lexicon().at(tokens, first, at + 1), lexicon().at(tokens, at + 1)
            named = name is not None and name.end == at + 1 and all(s.kind == "component" for s in name.values)
            if named and work is not None and any(s.kind == "work" and s.note == "done" for s in work.values):
                tokens[at] = replace(token, pause="", asks=False)
        if token.pause == ".":
            start = at + 1


def questions(tokens: Sequence[Token]) -> list[Asked]:
    """The answered questions of a talk, in order."""
    return list(_questions(tokens))


def _questions(tokens: Sequence[Token]) -> Iterator[Asked]:
    at, marked = 0, _marked(tokens)
    while at < len(tokens):
        asked = _asked(tokens, at) if tokens[at].norm in _OPENING else None
        if asked is None and at not in marked:
            asked = _left_open(tokens, at)
        if at in marked and (asked is None or asked.answer < marked[at]):
            asked = _by_its_mark(tokens, at, marked[at])
        asked = _not_needed(tokens, asked) if asked and asked.existence and asked.yes is False else asked
        if asked:
            yield asked
        at = asked.end if asked else at + 1


def _not_needed(tokens: Sequence[Token], asked: Asked) -> Asked:
    """ "Is there a vent? No, it doesn't need one": not there and not missed, so that nothing is answered."""
    for at in range(asked.answer + 1, min(asked.end + _NEED, len(tokens))):
        if tokens[at].norm in _NEEDED and tokens[at - 1].norm in _NOT_SO and not tokens[at - 1].pause:
            one = at + 1 < len(tokens) and tokens[at + 1].norm in ("one", "any") and not tokens[at].pause
            return replace(asked, end=at + 1 + one, yes=None)
    return asked


def _marked(tokens: Sequence[Token]) -> dict[int, int]:
    """Where sentences with a question mark begin and end (exclusive); "it's cracked, isn't it?" asks nothing."""
    found, start = {}, 0
    for at, token in enumerate(tokens):
        telling = tuple(t.norm for t in tokens[start : start + 3]) in _TELLING or tokens[start].norm in _SENSING
        telling = telling or (at > start and token.norm == "asked")  # "hinge stuck, fixed? No, couldn't shift it"
        if _somebody_asks(tokens, start, at):
            found[start] = at + 1
        elif token.asks and not telling and not _only_tagged(tokens, start, at + 1):
            found[_behind_what_is_told(tokens, start, at)] = at + 1
        if token.pause == ".":
            start = at + 1
    return found


def _somebody_asks(tokens: Sequence[Token], start: int, at: int) -> bool:
    """ "Does it need a vent, he says.": a verb before its subject, and at the end who asks."""
    if tokens[at].pause != "." or at - start < _SHORTEST or tokens[start].norm not in _TAG_VERBS:
        return False
    if at - start > REACH or any(token.norm in _YES | _NO for token in tokens[start:at]):
        return False  # "do you want that seal doing, it's torn, and no thanks, she says"
    subject = tokens[start + 1].norm in _WHO | _SUBJECTS
    return subject and tokens[at - 1].norm in _ASKERS and tokens[at].norm in _SAYS


def _behind_what_is_told(tokens: Sequence[Token], start: int, end: int) -> int:
    """ "Rear right won't hold, is it the magnet?": where the question begins behind a statement of its own."""
    comma = next((i for i in range(end - 1, start, -1) if tokens[i].pause), start)
    if comma == start or tokens[start].norm in _TAG_VERBS or tokens[comma + 1].norm not in _TAG_VERBS | _ASKING:
        return start
    hits = (lexicon().at(tokens, i, comma + 1) for i in range(start, comma + 1))
    told = any(sense.kind in ("condition", "work") for hit in hits if hit is not None for sense in hit.values)
    return comma + 1 if told else start


def _only_tagged(tokens: Sequence[Token], start: int, end: int) -> bool:
    last = next((i for i in range(end - 2, start - 1, -1) if tokens[i].pause), start - 1) + 1
    if last <= start or end - last > len(("isnt", "it", "just")):
        return False
    asked = tokens[start].norm in _OPENING  # "is the cap cracked, is it?"
    bare = (
        not asked
        and end - last == len(("is", "it"))
        and tokens[last].norm in _TAG_VERBS
        and tokens[end - 1].norm in _WHO
    )
    return bare or tokens[last].norm in _TAGS or tokens[end - 1].norm in ("see", "know")


def _by_its_mark(tokens: Sequence[Token], at: int, end: int) -> Asked:
    verb = tokens[at].norm in _OPENING and end > at + 2
    existence = any(token.norm in _EXISTING for token in tokens[at:end]) and not verb
    existence = existence or any(token.norm in _EXISTING for token in tokens[at + 1 : end])
    answer = _answer(tokens, end, tokens[at].norm) or _denial(tokens, end)
    behind, yes = answer or (end, None)
    return Asked(at, end, behind, yes, existence, verb)


def _denial(tokens: Sequence[Token], at: int) -> tuple[int, bool] | None:
    """ "None", "not a bit of it", "not at all": a whole answer."""
    said = [token.norm for token in tokens[at : at + 6]]
    for words in _DENIALS:
        end = at + len(words)
        if tuple(said[: len(words)]) == words and (end >= len(tokens) or tokens[end - 1].pause or len(words) > 1):
            return end, False
    return None


def _asked(tokens: Sequence[Token], at: int) -> Asked | None:
    parted = at == 0 or bool(tokens[at - 1].pause)
    inverted = tokens[at].norm in ("is", "are") and _verdict_asked(tokens, at + 1)
    if not parted and not inverted and (tokens[at - 1].norm in _STATING or tokens[at - 1].clitic):
        return None
    if not parted and not inverted and tokens[at].norm in ("is", "was", "are", "were") and _told_of(tokens, at):
        return None
    if at + 2 >= len(tokens) or tokens[at].pause or not _subject(tokens, at + 1):
        return None
    if tokens[at].norm == "do" and tokens[at + 1].norm in ("it", "that", "this", "them"):
        return None  # "do it when I come back"
    if tokens[at].norm in ("has", "have") and tokens[at + 1].norm not in _HAVING:
        return None  # "the flue has a gap"
    for i in range(at + 2, min(at + 2 + REACH, len(tokens))):
        if found := _answer(tokens, i, tokens[at].norm):
            end, yes = found
            existence = any(token.norm in _EXISTING for token in tokens[at + 1 : i])
            return Asked(at, i, end, yes, existence)
        if tokens[i].norm in ("and", "but", "so") or (
            tokens[i].pause == "." and not _answer(tokens, i + 1, tokens[at].norm)
        ):
            return None
    return None


def _verdict_asked(tokens: Sequence[Token], at: int) -> bool:
    """ "Its crown, is that cracked", "so is that right": a pronoun behind the verb, and what state it might be in."""
    if at + 1 >= len(tokens) or tokens[at].norm not in ("it", "that", "they", "those") or tokens[at].pause:
        return False
    hit = lexicon().at(tokens, at + 1)
    return hit is not None and any(sense.kind == "condition" for sense in hit.values)


def _left_open(tokens: Sequence[Token], at: int) -> Asked | None:
    """ "Is the tap stiff for you as well": a whole sentence that asks of a part, no mark behind it and no answer."""
    if (at and tokens[at - 1].pause != ".") or tokens[at].norm not in ("is", "are", "does") or at + 3 >= len(tokens):
        return None
    end = next((i + 1 for i in range(at, min(at + REACH, len(tokens))) if tokens[i].pause or i + 1 == len(tokens)), 0)
    over = end and (end == len(tokens) or tokens[end - 1].pause == ".")
    name = lexicon().at(tokens, at + 2, at + 3) if tokens[at + 1].norm in ("the", "your", "any") else None
    part = name is not None and any(sense.kind in ("component", "place", "size") for sense in name.values)
    return Asked(at, end, end, None, existence=False) if over and part else None


def _told_of(tokens: Sequence[Token], at: int) -> bool:
    """ "Hose was the wrong type": the name of a part right before the verb is its subject."""
    hit, corner = lexicon().at(tokens, at - 1, at), lexicon().at(tokens, at - 2, at) if at > 1 else None
    if corner is not None and corner.end == at and any(s.kind == "place" and "-" in s.id for s in corner.values):
        return True  # "back right is a good one, it is"
    return hit is not None and any(s.kind == "component" and not s.note.startswith("weak") for s in hit.values)


def _subject(tokens: Sequence[Token], at: int) -> bool:
    if tokens[at].norm in _SUBJECTS:
        return True
    hit = lexicon().at(tokens, at)
    return hit is not None and any(sense.kind == "component" for sense in hit.values)


def _answer(tokens: Sequence[Token], at: int, verb: str) -> tuple[int, bool] | None:
    """Where an answer to a question with a verb, that starts at a token, ends, and whether it says yes."""
    if at >= len(tokens):
        return None
    word = tokens[at].norm
    if word in _AGAIN and at + 1 < len(tokens) and tokens[at + 1].norm in _NO:
        return _answer(tokens, at + 1, verb)  # "is it leaking? also no"
    if word in _YES or (word in _NO and not _denies_next(tokens, at)):
        if _no_and_good(tokens, at):
            return at + 2, False
        tail = _short(tokens, at + 1) if not tokens[at].pause or word in _YES else None
        if tail and word in _NO and tail[1] and _leads_on(tokens, tail[0]):
            return at + 1, False  # "was that the front left? no it was the rear left"
        return (tail[0], tail[1] if word in _NO else True) if tail else (at + 1, word in _YES)
    short = _short(tokens, at)
    return short if short and tokens[at + 1].norm.startswith(verb) and not _says_more(tokens, short[0]) else None


def _leads_on(tokens: Sequence[Token], at: int) -> bool:
    """Whether "it was" goes on with what it was."""
    return at < len(tokens) and not tokens[at - 1].pause and tokens[at].norm in _WHAT_IT_WAS


def _says_more(tokens: Sequence[Token], at: int) -> bool:
    """ "It is seized": a statement of its own."""
    if at >= len(tokens) or tokens[at - 1].pause:
        return False
    hit = lexicon().at(tokens, at)
    return hit is not None and any(sense.kind in ("condition", "work", "det", "be", "not") for sense in hit.values)


def _short(tokens: Sequence[Token], at: int) -> tuple[int, bool] | None:
    """ "It is", "they don't": an answer without yes and no, nothing more said."""
    if at + 1 >= len(tokens) or tokens[at].norm not in _WHO or tokens[at + 1].norm not in _IS | _ISNT:
        return None
    end = at + 2
    if tokens[at + 1].norm in _IS and end < len(tokens) and tokens[end].norm in ("not", "no"):
        return end + 1, False
    if end < len(tokens) and tokens[end].norm in ("one", "any", "so") and not tokens[at + 1].pause:
        end += 1
    return end, tokens[at + 1].norm in _IS


def _no_and_good(tokens: Sequence[Token], at: int) -> bool:
    """ "Is it leaking, no, good, and the bracket": an answer, and what is thought of it."""
    words = [token.norm for token in tokens[at : at + 3]]
    return words[:2] == ["no", "good"] and words[2:] != [] and words[2] in ("and", "so", "now", "then")


def _denies_next(tokens: Sequence[Token], at: int) -> bool:
    """ "No leaks", "no joy": the word denies what follows and answers nothing."""
    if tokens[at].norm != "no" or tokens[at].pause or at + 1 >= len(tokens) or _short(tokens, at + 1):
        return False
    if tokens[at + 1].clitic:
        return False  # "no door's hanging off"
    if _no_and_good(tokens, at):
        return False
    whole, after = lexicon().at(tokens, at), lexicon().at(tokens, at + 1)
    kinds = {sense.kind for sense in whole.values} if whole and whole.end > at + 1 else set()
    fault = after is not None and any(sense.kind == "condition" and sense.id != "ok" for sense in after.values)
    part = after is not None and any(s.kind == "component" and not s.note.startswith("weak") for s in after.values)
    if part and after is not None and after.end < len(tokens) and tokens[after.end].norm not in _IS:
        return not _told_next(tokens, after.end)  # "no bayonet end"
    likened = after is not None and "as" in (token.norm for token in tokens[after.start : after.end])
    return bool(kinds & {"condition", "nothing"}) or (fault and not likened)  # nor "no dry as dust"


def _told_next(tokens: Sequence[Token], at: int) -> bool:
    hit = lexicon().at(tokens, at)
    return hit is not None and any(sense.kind in ("condition", "be", "not", "work") for sense in hit.values)


def as_told(tokens: list[Token], asked: Asked) -> None:
    """ "Does it light" as "it lights": the verb of a question takes the form in which it is told."""
    if tokens[asked.start].norm not in _DOING or asked.yes is None:
        return
    for i in range(asked.start + 2, asked.answer):
        told = replace(tokens[i], norm=forms.third(tokens[i].norm))
        hit = lexicon().at([*tokens[:i], told, *tokens[i + 1 : asked.answer]], i) if len(told.norm) > 4 else None
        if hit and any(sense.kind == "condition" for sense in hit.values):
            tokens[i] = told
            return
