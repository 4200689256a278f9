"""Known mis-hearings put right by rules that are data.

Comes in: words as they were heard, and `repairs.toml`. Goes out: words as they are read, and a `Repair` for every change. It
knows how trade words are mis-heard, never what they mean; a figure is never changed without a doubt on it.
"""

import functools
import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from importlib import resources

from pydantic import BaseModel, ConfigDict

from fieldnote.records import Repair, Word
from fieldnote.speech.rehearing import Change, read_for

_SHORT = {
    "POS": r"(?:front|rear|back|left|right|centre|center|top|bottom|middle)",
    "GAP": r"[\s,]+",
    "DIGIT": r"(?:nought|naught|oh|zero|one|two|three|four|five|six|seven|eight|nine)",
    "TENS": r"(?:ten|eleven|twelve|(?:thir|four|fif|six|seven|eigh|nine)teen|"
    r"(?:twen|thir|for|fif|six|seven|eigh|nine)ty)",
    "PART": r"(?:cap|crown|ring|burner|head|tap|spindle|knob|electrode|injector|jet|thermocouple|probe|fan|pump|plate|plug|"
    r"flame|pilot|seal|glass|hinge|hose|valve|lead|support|screw|tube|bayonet|radiant|hotplate|sensor|meter|regulator)",
    "STATE": r"(?:fine|ok|okay|alright|clean|dirty|cracked|chipped|broken|missing|worn|stiff|loose|seized|sticking|blocked|"
    r"partly blocked|enlarged|corroded|rusty|sooted|distorted|perished|split|kinked|leaking|weak|burnt|noisy|damaged|lifting|"
    r"yellow|discoloured|faulty|in good order|going|gone|not|caked|warped|bent|furred|scorched|lovely|grand|sound|spotless|"
    r"dead|snapped|bunged|choked|rusted|rotten|manky|clarted|melted|jammed|knackered|crooked|sluggish|weeping)",
}
BY_SOUND = "by-sound"  # the rule of what the sound was asked for
_CONTEXT = 60  # characters of text that a rule's `before` may look at


class Rule(BaseModel):
    """One rule as it stands in the file; the file's own head explains the columns."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)

    id: str
    heard: str
    read: str
    before: str = ""
    after: str = ""
    number: bool = False
    guess: bool = False
    example: str
    becomes: str
    counter: str

    @property
    def doubt(self) -> str | None:
        """The doubt that this rule leaves on its words."""
        return "number" if self.number else "low" if self.guess else None

    def patterns(self) -> tuple[re.Pattern[str], re.Pattern[str], re.Pattern[str]]:
        """`heard` as whole words, `before` up to there, `after` from there."""
        return (
            _compiled(rf"(?<![\w'.])(?:{self.heard})(?![\w'])"),
            _compiled(f"(?:{self.before})$"),
            _compiled(self.after),
        )


@functools.cache
def _compiled(pattern: str) -> re.Pattern[str]:
    for short, long in _SHORT.items():
        pattern = pattern.replace(short, long)
    return re.compile(pattern, re.IGNORECASE)


def source() -> str:
    """The rules as they stand in the file: their hash belongs into the record."""
    return resources.files("fieldnote.speech").joinpath("repairs.toml").read_text("utf-8")


@functools.cache
def rules() -> tuple[Rule, ...]:
    """The rules of `repairs.toml`, in order. Raises ValueError when a row is not right."""
    raw = tomllib.loads(source())
    found = tuple(Rule.model_validate(row) for row in raw["repair"])
    if len({rule.id for rule in found}) != len(found):
        raise ValueError("two repairs have the same id")
    return found


@dataclass(frozen=True, slots=True)
class _Item:
    """A word on its way, and the notes of the repairs that made it."""

    word: Word
    notes: tuple[int, ...] = ()


def repaired(words: Sequence[Word], reheard: Sequence[Change] = ()) -> tuple[list[Word], list[Repair]]:
    """Words after what was heard otherwise on asking the sound, and after all rules; and every change with its place in the text
    that the words make when joined by spaces."""
    items = [_Item(word) for word in words]
    notes: list[tuple[str, str, str]] = []
    for change in reversed(reheard):
        old = items[change.first : change.last]
        heard, read = (" ".join(item.word.text for item in old), " ".join(read_for(change, [w.word.text for w in old])))
        notes.append((heard, read, BY_SOUND))
        items[change.first : change.last] = _replaced(old, read, "low", len(notes) - 1)
    for rule in rules():
        text = " ".join(item.word.text for item in items)
        for start, end, read in reversed(_places(text, rule)):
            notes.append((text[start:end], read, rule.id))
            first, last = text.count(" ", 0, start), text.count(" ", 0, end)
            begin = text.rfind(" ", 0, start) + 1
            stop = text.find(" ", end) if " " in text[end:] else len(text)
            new = text[begin:start] + read + text[end:stop]
            items[first : last + 1] = _replaced(items[first : last + 1], new, rule.doubt, len(notes) - 1)
    return [item.word for item in items], _placed(items, notes)


def _places(text: str, rule: Rule) -> list[tuple[int, int, str]]:
    """Where a rule applies in a text: start, end, what is read there."""
    heard, before, after = rule.patterns()
    found = []
    for match in heard.finditer(text):
        near = text[max(0, match.start() - _CONTEXT) : match.start()]
        if before.search(near) and after.match(text, match.end()):
            read = match.expand(rule.read)
            read = read[0].upper() + read[1:] if match[0][0].isupper() else read
            if read != match[0]:
                found.append((match.start(), match.end(), read))
    return found


def _replaced(old: list[_Item], text: str, doubt: str | None, note: int) -> list[_Item]:
    """New items for old ones: times are kept where the number of words is, else shared out over the same stretch."""
    new = text.split()
    notes = (*(n for item in old for n in item.notes), note)
    doubts = [item.word.doubt for item in old if item.word.doubt]
    start, step = old[0].word.start, (old[-1].word.end - old[0].word.start) / len(new)
    confidence = min(item.word.confidence for item in old)
    if len(new) == len(old):
        doubted = [replace(item.word, doubt=doubt or item.word.doubt) for item in old]
        return [_Item(replace(word, text=text), notes) for word, text in zip(doubted, new, strict=True)]
    times = [(round(start + index * step, 2), round(start + (index + 1) * step, 2)) for index in range(len(new))]
    doubt = doubt or (doubts[0] if doubts else None)
    return [_Item(Word(*time, word, confidence, doubt), notes) for time, word in zip(times, new, strict=True)]


def _placed(items: list[_Item], notes: list[tuple[str, str, str]]) -> list[Repair]:
    """Each note with the characters that its words take up, in the order of the text."""
    spans: dict[int, tuple[int, int]] = {}
    at = 0
    for item in items:
        end = at + len(item.word.text)
        for note in item.notes:
            spans[note] = (spans[note][0] if note in spans else at, end)
        at = end + 1
    return sorted((Repair(*notes[note], *span) for note, span in spans.items()), key=lambda repair: repair.start)
