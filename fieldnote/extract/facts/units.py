"""Which of several appliances of one kind is meant: "two fires ... the second one", "hob two", "the other boiler".

In: tokens. Out: where the talk turns to which of them. Not allowed to know: what is said of any of them.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from fieldnote.extract.words.tokens import Token

_KINDS = {kind: kind for kind in ("fire", "boiler", "hob", "cooker", "heater")} | {"range": "cooker", "stove": "cooker"}
_COUNTS = frozenset("two three four five six 2 3 4 5 6 both couple".split())
_NUMBERS = {"one": 1, "two": 2, "three": 3, "four": 4, "1": 1, "2": 2, "3": 3, "4": 4}
_ORDINALS = {"first": 1, "second": 2, "third": 3, "fourth": 4}
_ONE = frozenset("one un".split())
_BETWEEN = frozenset("of the gas them living flame water room wall big small little separate old new".split())
_OPENING = frozenset("the and so then right now ok okay um er but well".split())
_OVENS = dict.fromkeys("top upper small little second".split(), 1) | dict.fromkeys(
    "main bottom lower big large".split(), 2
)
_WITH_BURNERS = frozenset({"hob", "cooker"})  # of which "the second one" may be a burner
_ROOMS = frozenset(
    "room bedroom lounge parlour kitchen loft attic garage utility bathroom study conservatory basement cellar office annexe den "
    "snug hall landing diner".split()
)
_WHICH_ROOM = frozenset("front back living sitting dining spare big little morning music play".split())
_TO_A_ROOM = frozenset("the then now next so and right ok going go back on to over in first last".split())
_BACK = frozenset("to on at".split())


class Mark(NamedTuple):
    """From this token on the talk is about this one."""

    at: int
    kind: str
    unit: str


def marks(tokens: Sequence[Token]) -> list[Mark]:
    """Every turn to one of several, in order; none where nobody counts any, nor tells two of them by their rooms."""
    counted = list(_marks(tokens))
    by_room = [mark for mark in _by_rooms(tokens) if mark.kind not in {one.kind for one in counted}]
    return sorted([*counted, *by_room, *_by_height(tokens)])


def _by_rooms(tokens: Sequence[Token]) -> Iterator[Mark]:
    """ "Fire in the front room ... fire in the back room", "bedroom fire": two of a kind that stand in two rooms."""
    told = [
        (at, _KINDS[token.norm], room)
        for at, token in enumerate(tokens)
        if token.norm in _KINDS and (room := _room_behind(tokens, at) or _room_before(tokens, at))
    ]
    for kind in dict.fromkeys(kind for _, kind, _ in told):
        rooms = list(dict.fromkeys(room for _, one, room in told if one == kind))
        if len(rooms) > 1 and not any(set(a) <= set(b) for a in rooms for b in rooms if a is not b):
            yield from (Mark(at, kind, f"{kind} {rooms.index(room) + 1}") for at, one, room in told if one == kind)


def _by_height(tokens: Sequence[Token]) -> Iterator[Mark]:
    """ "Top oven won't light ... main oven lights": two ovens that are told apart by where they are."""
    told = [
        (at, _OVENS[token.norm])
        for at, token in enumerate(tokens[:-1])
        if token.norm in _OVENS and tokens[at + 1].norm == "oven" and not token.pause and _begins(tokens, at)
    ]
    if len({which for _, which in told}) > 1:
        yield from (Mark(at, "oven", f"oven {which}") for at, which in told)


def _begins(tokens: Sequence[Token], at: int) -> bool:
    """Whether a sentence begins here, or with "the" before."""
    first = at - (at > 0 and tokens[at - 1].norm == "the")
    return first == 0 or tokens[first - 1].pause == "."


def _room_behind(tokens: Sequence[Token], at: int) -> tuple[str, ...]:
    """ "In the front room" right behind a kind of appliance."""
    row = tokens[at : at + 6]
    words = [token.norm for token in row]
    if words[1:3] not in (["in", "the"], ["in", "her"], ["in", "his"], ["up", "the"]) or any(t.pause for t in row[:3]):
        return ()
    end = next((i for i in range(3, len(row)) if words[i] in _ROOMS), 0)
    return tuple(words[3 : end + 1]) if end and not any(t.pause for t in row[3:end]) else ()


def _room_before(tokens: Sequence[Token], at: int) -> tuple[str, ...]:
    """ "The bedroom fire", "front room fire"."""
    start = at - (at > 0 and tokens[at - 1].norm == "gas") - 1
    if start < 0 or tokens[start].norm not in _ROOMS or any(token.pause for token in tokens[start:at]):
        return ()
    which = start > 0 and tokens[start - 1].norm in _WHICH_ROOM and not tokens[start - 1].pause
    return tuple(token.norm for token in tokens[start - which : start + 1])


def _in_room(tokens: Sequence[Token], at: int) -> bool:
    """ "Lounge first: ...", "now the parlour: ...", "going back to the lounge, ...": a room that heads what is told."""
    if tokens[at].norm not in _ROOMS or tokens[at].clitic:
        return False
    before = at - 1
    while before >= 0 and tokens[before].norm in _TO_A_ROOM and not tokens[before].pause:
        before -= 1
    after = tokens[at + 1].norm if at + 1 < len(tokens) else ""
    return (before < 0 or tokens[before].pause == ".") and bool(tokens[at].pause or after in ("first", "now", "next"))


def _marks(tokens: Sequence[Token]) -> Iterator[Mark]:
    counted: str | None = None
    here = 0
    rooms: list[str] = []
    for at, token in enumerate(tokens):
        if token.norm in _COUNTS and (several := _several(tokens, at + 1)):
            counted, here, rooms = several, 0, []
            continue
        if counted and counted not in _WITH_BURNERS and _in_room(tokens, at):
            rooms += [token.norm] if token.norm not in rooms else []
            here = rooms.index(token.norm) + 1
            yield Mark(at, counted, f"{counted} {here}")
            continue
        kind, number = _told(tokens, at, counted, here)
        if kind and number:
            counted, here = kind, number
            yield Mark(at, kind, f"{kind} {number}")


def _several(tokens: Sequence[Token], at: int) -> str | None:
    """ "Two gas fires": the kind that is counted."""
    for token in tokens[at : at + 4]:
        if token.norm.endswith("s") and not token.clitic and token.norm[:-1] in _KINDS:
            return _KINDS[token.norm[:-1]]
        if token.norm not in _BETWEEN or token.pause:
            return None
    return None


def _told(tokens: Sequence[Token], at: int, counted: str | None, here: int) -> tuple[str | None, int]:
    """The kind and the number that begin at a token ("second fire", "hob two", "number two", "the first one")."""
    word = tokens[at].norm
    after = tokens[at + 1] if at + 1 < len(tokens) and not tokens[at].pause else None
    if after is None:
        return None, 0
    if word in _KINDS and after.norm in _NUMBERS and counted == _KINDS[word]:
        return _KINDS[word], _NUMBERS[after.norm]  # not "boiler one bar"
    named = after.norm.removesuffix("s") if after.clitic else after.norm
    if word == "number" and named in _NUMBERS:
        behind = tokens[at + 2] if at + 2 < len(tokens) and not after.pause else after
        kind = _KINDS.get(behind.norm.removesuffix("s") if behind.clitic else behind.norm)
        return kind or counted, _NUMBERS[named] if kind or counted else 0  # "number one boiler's fan", "number two's"
    number = _ORDINALS.get(word, 0)
    number = number or (here + 1 if word == "next" else 3 - here if word == "other" and here in (1, 2) else 0)
    number = number or (2 if word == "other" and counted else 0)
    if not number:
        return None, 0
    noun = after.norm.removesuffix("s") if after.clitic else after.norm
    if noun == "gas" and at + 2 < len(tokens):
        noun = tokens[at + 2].norm
    if noun in _KINDS and (counted in (None, _KINDS[noun])):
        told = counted or word in ("first", "second")
        return (_KINDS[noun], number) if told else (None, 0)
    return (counted, number) if counted and noun in _ONE and _apart(tokens, at, counted) else (None, 0)


def _apart(tokens: Sequence[Token], at: int, kind: str) -> bool:
    """Whether "the second one" is an appliance: it opens a sentence, or the talk goes back to it; of what has no row of
    burners it always is."""
    if kind not in _WITH_BURNERS and tokens[at].norm in _ORDINALS:
        return True
    before = at - 1
    while before >= 0 and tokens[before].norm in _OPENING and not tokens[before].pause:
        before -= 1
    return before < 0 or tokens[before].pause == "." or tokens[before].norm in _BACK
