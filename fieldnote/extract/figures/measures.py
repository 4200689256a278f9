"""What stands in a talk that a reading can be made of. In: words. Out: figures with their units, names of quantities and the
words around them, each with its place. Decides nothing: which figure belongs to which name is for `readings`.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from fieldnote.extract.figures.numbers import Numeral, Piece, fraction_after, numeral_at, split
from fieldnote.extract.figures.quantities import Cue, Knowledge, Name, Quantity, Unit, knowledge
from fieldnote.extract.figures.spoken import SOFT, in_line
from fieldnote.extract.words.tokens import Token
from fieldnote.trade.units import convert

LINKS = frozenset("dead exactly ish odd or so of a an full whole just bang spot".split())
ARTICLED = frozenset(
    "bar millibar mil minute min kilowatt ohm meg metre meter hour volt millivolt second percent foot degree megohm".split()
)
LONGEST_MARKING = 5
COUNTED = frozenset("all other these those them both hand".split())
ENDS = frozenset("front rear back top bottom".split())
SIDES = frozenset("left right".split())
_DONE = frozenset("gone been in on fitted now what".split())
_STOOD = frozenset("stopped stayed held sat stood remained still didnt hasnt hadnt never".split())
_COUNTS = frozenset(("one", "two", "three", "four"))
_TIMED_ONE = frozenset("minute millibar mbar hour kilowatt volt".split())
NOT_ONE = frozenset(
    "that this the other next last first each every no any left right front rear back old new good bad big small which "
    "another centre middle wrong only top bottom same second third".split()
)


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its unit, if one was said. Places are indexes of words, end exclusive.

    `units` are all units its form can stand for; `seconds` is set for a time said in parts ("two minutes six").
    """

    start: int
    end: int
    numeral: Numeral
    units: tuple[Unit, ...] = ()
    added: Decimal = Decimal(0)
    seconds: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Said:
    """A name of a quantity (all quantities it can name), or a cue, with its place."""

    start: int
    end: int
    names: tuple[Name, ...] = ()
    cues: tuple[Cue, ...] = ()


@dataclass(slots=True)
class Talk:
    """One talk laid out: words, figures in order, names in order, cues in order. `origins` are indices of the draft's tokens."""

    tokens: list[Token]
    origins: list[int]
    words: list[str]
    figures: list[Figure]
    names: list[Said]
    cues: list[Said]


def lay_out(text: str, tokens: Sequence[Token]) -> Talk:
    """Find every name, cue and figure. Linear in the number of words."""
    known = knowledge()
    line, origins = in_line(text, tokens)
    texts = [token.norm for token in line]
    names = [Said(hit.start, hit.end, names=hit.values) for hit in known.names.find(line)]
    names = [_shorter(name) if _is_number_instead(name, line) else name for name in names]
    names = [name for name in names if not _counts_on(name, line)]
    figures = _figures(_mask(line, names), known)
    inside = {at for figure in figures for at in range(figure.start, figure.end)}
    names = [name for name in names if name.names[0].strength != "none" and not _is_unit(name, inside)]
    return Talk(line, origins, texts, figures, names, list(_cues(line, known)))


def _cues(line: Sequence[Token], known: Knowledge) -> Iterator[Said]:
    """Cues at every word, one inside another too; but "I make it" holds no "make it" that would take a figure back."""
    reach = 0
    for at in range(len(line)):
        hit = known.cues.at(line, at)
        if hit is None or (at < reach and all(cue.kind == "correction" for cue in hit.values)):
            continue
        reach = max(reach, hit.end)
        yield Said(hit.start, hit.end, cues=hit.values)


def _shorter(name: Said) -> Said:
    """ "co two hundred": the name ends before the number."""
    return Said(name.start, name.end - 1, names=(Name("co", "name"),))


def _mask(line: Sequence[Token], names: Sequence[Said]) -> list[Token]:
    """The words with names that hold number words ("co two") taken out, so that no figure starts in them."""
    masked = list(line)
    texts = [token.norm for token in line]
    for name in names:
        if any(numeral_at(texts, at) for at in range(name.start, name.end) if texts[at] not in ("to", "for")):
            for at in range(name.start, name.end):
                masked[at] = replace(masked[at], norm="#")
    return masked


def _is_number_instead(name: Said, line: Sequence[Token]) -> bool:
    """Whether "co two ..." is CO with a number that starts with two: "co two hundred", "co two oh five parts"."""
    if line[name.end - 1].norm not in ("two", "2") or line[name.start].norm not in ("co", "c", "see", "sea"):
        return False
    texts = [token.norm for token in line[name.end - 1 : name.end + 12]]
    numeral = numeral_at(texts, 0)
    if numeral is None or numeral.end == 1:
        return False
    units = knowledge().units.at(line, name.end - 1 + numeral.end) if name.end - 1 + numeral.end < len(line) else None
    if units and any(unit.id in ("ppm", "%") for unit in units.values):
        return any(unit.id == "ppm" for unit in units.values)
    rest = numeral_at(texts, 1)
    return rest is None or not any(2 <= option.value <= 20 for option in rest.options)


_THROUGH = frozenset("in after over for through".split())  # "no rise in the minute": the one minute of the test
_INDEX = 4  # digits of a meter's index before the point, at least


def _counts_on(name: Said, line: Sequence[Token]) -> bool:
    """ "Reading one and a half", "ambient's reading two parts": the number at a name's end is the figure itself."""
    if line[name.end - 1].norm not in ("one", "two") or line[name.end - 2].norm not in ("reading", "meter"):
        return False
    texts = [token.norm for token in line[name.end - 1 : name.end + 12]]
    numeral = numeral_at(texts, 0)
    if line[name.end - 2].norm == "meter":  # "meter one two six oh eight point four", but "meter one: 1234"
        # "the meter, two minutes no drop", "through the meter two point five two an hour"
        after = name.end - 1 + numeral.end if numeral else name.end
        units = knowledge().units.at(line, after) if after < len(line) else None
        timed = units is not None and any(unit.id in ("s", "min", "m3/h", "ft3/h") for unit in units.values)
        return timed or (numeral is not None and numeral.decimals is not None and len(numeral.whole) > _INDEX)
    counted = numeral is not None and (numeral.decimals is not None or numeral.added is not None)
    several = numeral is not None and len(numeral.pieces) in (2, 3)  # "mains was reading two two eight"
    return counted or several or knowledge().units.at(line, min(name.end, len(line) - 1)) is not None


def _is_unit(name: Said, inside: set[int]) -> bool:
    """Whether a loose name is a figure's own unit: "19 millivolts", but "millivolts: front left 19"."""
    return name.names[0].strength == "weak" and name.start in inside and name.end - 1 in inside


def _figures(line: list[Token], known: Knowledge) -> list[Figure]:
    figures: list[Figure] = []
    at, masked = 0, [token.norm for token in line]
    while at < len(masked):
        figure = _clock(line, at) or _article(line, masked, at, known)
        numeral = None if figure else numeral_at(masked, at)
        if numeral and _is_word_one(numeral, masked):
            at += 1
            continue
        if numeral:
            figure = _with_unit(_before_minutes(numeral, masked), line, masked, known)
        if figure:
            figures.append(figure)
        at = figure.end if figure else at + 1
    return _join_times(figures, masked)


def _before_minutes(numeral: Numeral, masked: list[str]) -> Numeral:
    """ "Down to eighteen two minutes", "nineteen point eight two minutes": the last digit counts minutes. So it does in "twenty
    down to twenty two minutes", where a pressure is said again."""
    if masked[numeral.end : numeral.end + 1] not in (["minutes"], ["minute"], ["mins"]):
        return numeral
    kinds = [piece.kind for piece in numeral.pieces]
    apart = kinds[-1:] == ["digit"] and kinds[:1] != ["digit"] and len(kinds) > 1 and numeral.decimals is None
    behind_point = len(numeral.decimals or "") > 1
    row = masked[max(0, numeral.start - 3) : numeral.end]
    again = len(row) == 5 and row[0] == row[3] and row[1:3] == ["down", "to"]
    if not (apart or behind_point or again):
        return numeral
    # the digit is taken out and put back: a copy of the words would cost the whole talk each time
    digit = masked[numeral.end - 1]
    masked[numeral.end - 1] = "#"
    shorter = numeral_at(masked, numeral.start)
    masked[numeral.end - 1] = digit
    return shorter if shorter and shorter.end == numeral.end - 1 else numeral


def _clock(line: list[Token], at: int) -> Figure | None:
    """ "2:30" as a stopwatch shows it."""
    minutes, colon, seconds = line[at].norm.partition(":")
    watch = [token.norm for token in line[at + 1 : at + 3]] == ["on", "the"]
    if at and line[at - 1].norm in ("at", "by", "since", "before") and not watch:
        return None
    if not colon or not minutes.isdigit() or not seconds.isdigit():
        return None
    numeral = Numeral(at, at + 1, (Piece(minutes, at, at + 1, "whole"),), needs_unit=True)
    units = (Unit("min", Decimal(1)),)
    return Figure(at, at + 1, numeral, units, seconds=Decimal(minutes) * 60 + Decimal(seconds))


def _is_word_one(numeral: Numeral, masked: list[str]) -> bool:
    """Whether "one" is a word here: "that one", "left hand one", "one of them"."""
    side = numeral.start > 1 and masked[numeral.start - 1] in ENDS and masked[numeral.start - 2] not in SIDES
    counted = numeral.start > 0 and masked[numeral.start - 1] in COUNTED and masked[max(0, numeral.start - 2)] != "of"
    measured = masked[numeral.end : numeral.end + 1] in (["mil"], ["mm"], ["millimetres"], ["millivolts"])
    if (counted or side) and not measured and numeral.options[0].value in (2, 3, 4, 5, 6):
        return True
    if masked[numeral.start] in ("oh", "o") and numeral.end - numeral.start == 1:
        return True
    counts = masked[numeral.start] in _COUNTS and numeral.end - numeral.start > 1
    if counts and masked[numeral.start + 1].isdigit():
        return True  # "grill one 6 mV", "the front two 22": whoever writes figures writes a 1
    if masked[numeral.start] != "one":
        return False
    before = masked[numeral.start - 1] if numeral.start else ""
    if len(numeral.pieces) > 2 and all(piece.kind == "digit" for piece in numeral.pieces):
        return False  # "front left one one five": a string of digits
    if (
        masked[numeral.end : numeral.end + 1]
        and masked[numeral.end] in _TIMED_ONE
        and before in ("first", "last", "next")
    ):
        return False  # "let-by first, one minute"
    if numeral.end - numeral.start > 1:
        return before in NOT_ONE and masked[numeral.start + 1] not in ("point", "and")
    after = masked[numeral.end] if numeral.end < len(masked) else ""
    return before in NOT_ONE or before == "hand" or after in ("of", "is", "was", "has", "by", "on", "at", "thats")


def _article(line: list[Token], masked: list[str], at: int, known: Knowledge) -> Figure | None:
    """ "a minute", "a bar and a half": one of a unit."""
    unit = at + 1 + (masked[at + 1 : at + 2] in (["full"], ["whole"], ["good"]))
    timed = masked[at : at + 2] == ["the", "minute"] and masked[max(0, at - 1)] in _THROUGH
    another = masked[at] == "another" and masked[unit : unit + 1] in (["metre"], ["foot"])
    if (
        (masked[at] not in ("a", "an") and not timed and not another)
        or unit >= len(masked)
        or masked[unit] not in ARTICLED
    ):
        return None
    units = known.units.at(line, unit)
    if units is None:
        return None
    one = Numeral(at, at + 1, (Piece("1", at, at + 1, "digit"),), needs_unit=True)
    return _fraction(Figure(at, units.end, one, units.values), masked)


def _with_unit(numeral: Numeral, line: list[Token], masked: list[str], known: Knowledge) -> Figure:
    at = numeral.end
    while at < min(numeral.end + 3, len(masked)):
        hit = known.units.at(line, at)
        joined = line[at].start == line[at - 1].end
        units = tuple(unit for unit in hit.values if joined or not unit.joined) if hit else ()
        index = masked[at] == "second" and len(numeral.decimals or "") > 2  # "first ... point oh one eight, second ..."
        if hit and units and not index and not _belongs_elsewhere(line, masked, at, hit.end):
            numeral = _last_digit(numeral) if any(unit.id in ("min", "h") for unit in units) else numeral
            return _fraction(Figure(numeral.start, hit.end, numeral, units), masked)
        if masked[at] not in LINKS or (masked[at] in ("a", "an") and masked[at - 1] != "of"):
            break
        at += 1
    return Figure(numeral.start, numeral.end, numeral)


def _last_digit(numeral: Numeral) -> Numeral:
    """ "... past nine two minutes": of digits in a row only the last counts minutes."""
    if numeral.decimals or len(numeral.pieces) < 2 or any(piece.kind != "digit" for piece in numeral.pieces):
        return numeral
    return Numeral(numeral.pieces[-1].start, numeral.end, numeral.pieces[-1:])


def _belongs_elsewhere(line: list[Token], masked: list[str], at: int, end: int) -> bool:
    """Whether a unit's word is something else here: "the second burner", "a bar fire"."""
    after = masked[end] if end < len(masked) else ""
    if masked[at] in ("meters", "meter") and line[at].clitic:
        return True  # "working twenty and a half, meter's sound"
    if masked[at] == "meter" and numeral_at(masked, end) is not None:
        return True  # "working twenty dead, meter eight eight one seven"
    if masked[at] == "s" and (after in _DONE or masked[max(0, at - 2) : at - 1] in (["number"], ["no"], ["flat"])):
        return True  # "so a 3's gone in", "number 31's cupboard"
    if masked[at] == "min" and after in ("rate", "fire", "setting", "flame", "end", "co2", "ratio"):
        return True  # "CO 80, min rate 8.9"
    return masked[at] == "second" and after in ("reading", "read", "burner", "ring", "one", "test", "go")


def _fraction(figure: Figure, masked: list[str]) -> Figure:
    """ "a bar and a half": a part of the unit that stands before."""
    found = fraction_after(masked, figure.end)
    return replace(figure, end=found[1], added=found[0]) if found else figure


def _join_times(figures: list[Figure], masked: list[str]) -> list[Figure]:
    """ "two minutes six", "one minute and thirty seconds", "2:30": one time."""
    joined: list[Figure] = []
    for figure in figures:
        last = joined[-1] if joined else None
        if last and (part := _part_of(last, figure, masked)):
            joined[-1] = replace(last, end=figure.end, added=part)
        elif last and _is_minutes(last) and _is_seconds_after(last, figure, masked):
            minutes = plain(last) * 60
            joined[-1] = replace(last, end=figure.end, seconds=minutes + figure.numeral.options[0].value)
        else:
            joined.append(figure)
    return joined


def _part_of(last: Figure, figure: Figure, masked: list[str]) -> Decimal | None:
    """ "three metres eighty" is 3.8 m, "twelve foot six" 12.5 ft: what the second figure adds in the first one's unit."""
    if last.end != figure.start or last.added or figure.numeral.decimals or len(figure.numeral.pieces) != 1:
        return None
    value, ids = figure.numeral.options[0].value, {unit.id for unit in last.units}
    after = masked[figure.end] if figure.end < len(masked) else ""
    if "m" in ids and not figure.units and len(figure.numeral.whole) == 2 and after not in ("mil", "mm"):
        return value / 100
    if "ft" in ids and value < 12 and (not figure.units or any(unit.id == "in" for unit in figure.units)):
        return value / 12
    return None


def _is_minutes(figure: Figure) -> bool:
    return figure.seconds is None and any(unit.id == "min" for unit in figure.units)


def _is_seconds_after(minutes: Figure, figure: Figure, masked: list[str]) -> bool:
    between = masked[minutes.end : figure.start]
    if between not in ([], ["and"], [SOFT]):
        return False
    options = figure.numeral.options
    if between == ["and"] and masked[minutes.start] == "a" and not figure.units:
        between = []  # "a minute and ten"
    if figure.units and any(unit.id == "s" for unit in figure.units):
        return options[0].value < 60
    after = masked[figure.end] if figure.end < len(masked) else ""
    again = masked[figure.end : figure.end + 1] in (["and"], ["an"]) and masked[figure.end + 2 : figure.end + 3]
    if again and again[0] in _STOOD:
        return False  # "two minutes, twenty and it stopped at twenty": the pressure of the test
    plainly = len(options) == 1 and options[0].digits.isdigit() and 1 <= options[0].value < 60
    return between == [] and not figure.units and plainly and after not in ("down", "to", "up", "point", "drop", "by")


def plain(figure: Figure) -> Decimal:
    """The figure's plainest value in its own unit."""
    return figure.numeral.options[0].value + figure.added


def in_seconds(figure: Figure) -> Decimal | None:
    """A time in seconds, or None when the figure has no unit of time."""
    if figure.seconds is not None:
        return figure.seconds
    for unit in figure.units:
        if unit.id in ("s", "min", "h"):
            return convert(plain(figure), unit.id, "s")
    return None


def parts(figure: Figure) -> list[Figure]:
    """A run of number words cut into the figures it must be when it is no string of digits."""
    cut = split(figure.numeral)
    if len(cut) == 1:
        return [figure]
    heads = [Figure(part.start, part.end, part) for part in cut[:-1]]
    return [*heads, replace(figure, start=cut[-1].start, numeral=cut[-1])]


@dataclass(frozen=True, slots=True)
class Value:
    """A value in a quantity's unit; `doubt` names why it is not certain, if it is not."""

    value: Decimal
    rule: str
    doubt: bool = False


def value_of(figure: Figure, quantity: Quantity) -> Value | None:
    """What a figure says of a quantity; None when it cannot be one of its values."""
    if quantity.unit == "s":
        return _time(figure, quantity)
    if figure.units:
        found = [_in_unit(figure, unit, quantity) for unit in figure.units if quantity.takes(unit.id)]
        low, high = quantity.likely
        return next((v for v in found if v and low <= v.value <= high), next((v for v in found if v), None))
    if quantity.bare is None or figure.numeral.needs_unit:
        return None
    if quantity.bare == "mark":
        return _marking(figure, quantity)
    return _in_unit(figure, Unit(quantity.bare, Decimal(1)), quantity)


def _time(figure: Figure, quantity: Quantity) -> Value | None:
    seconds = in_seconds(figure)
    if seconds is None and not figure.units and quantity.bare == "s" and not figure.numeral.needs_unit:
        seconds = plain(figure)
    low, high = quantity.possible
    return Value(seconds, "time") if seconds is not None and low <= seconds <= high else None


def _in_unit(figure: Figure, unit: Unit, quantity: Quantity) -> Value | None:
    target = "ft3" if unit.id == "ft3" and quantity.unit == "m3" else quantity.unit
    options = figure.numeral.options
    values = [
        (convert((o.value + figure.added + unit.offset) * unit.factor, unit.id, target), o.style) for o in options
    ]
    if quantity.style == "string":
        return Value(values[0][0], "digits")
    likely = [v for v in values if quantity.likely[0] <= v[0] <= quantity.likely[1]]
    fit = likely or [v for v in values if quantity.possible[0] <= v[0] <= quantity.possible[1]]
    if not fit:
        return _lost_point(values[0][0], quantity)
    whole = [v for v in fit if v[1] != "tenths"]
    if whole and (quantity.style == "whole" or len(options) == 1):
        return Value(whole[0][0], "said" if len(options) == 1 else "whole")
    tenths = [v for v in fit if v[1] == "tenths"]
    chosen = tenths[-1] if tenths else whole[0]
    zeros = len(figure.numeral.whole) - len(figure.numeral.whole.lstrip("0"))
    return Value(chosen[0], "point left out", doubt=len(fit) > 1 or zeros in (1, 3))


def _lost_point(value: Decimal, quantity: Quantity) -> Value | None:
    """ "198 mbar" where only 19.8 can be: the point was lost; kept in doubt."""
    tenth = value / 10
    if quantity.style != "tenths" or value != int(value) or quantity.unit not in ("mbar", "%"):
        return None
    return Value(tenth, "point lost", doubt=True) if quantity.likely[0] <= tenth <= quantity.likely[1] else None


def _marking(figure: Figure, quantity: Quantity) -> Value | None:
    """An injector's marking in hundredths of a millimetre ("72"), or its bore in millimetres ("nought point seven two")."""
    low, high = quantity.likely
    first = figure.numeral.options[0]
    if len(first.digits) > LONGEST_MARKING:
        return None
    if first.value == int(first.value) and "." not in first.digits and figure.added == 0:
        hundredths = first.value / 100
        if low <= hundredths <= high and len(first.digits) >= 2:
            return Value(hundredths, "marking")
    for option in figure.numeral.options:
        if low <= option.value + figure.added <= high and ("." in option.digits or figure.added):
            return Value(option.value + figure.added, "bore", doubt=option.style == "tenths")
    return None
